//! The command `rank`, as a user meets it.

use super::{joulecast, text};
use serde_json::Value;

#[test]
fn a_ranking_is_one_document_with_shares_biases_sides_and_budget() {
    let folder = tempfile::tempdir().expect("a folder");
    let output = joulecast(folder.path())
        .args(["rank", "urea-foam-cups", "--trials", "512", "--json"])
        .output()
        .expect("the program starts");
    assert_eq!(output.status.code(), Some(0));
    let document: Value = serde_json::from_slice(&output.stdout).expect("one document");
    assert_eq!(document["schema"], "joulecast.rank/1");
    let sources = document["sources"].as_array().expect("sources");
    assert!(sources.len() > 10);
    let total = |s: &Value| s["total"]["value"].as_f64().expect("a share");
    assert!(sources.windows(2).all(|w| total(&w[0]) >= total(&w[1])));
    for s in sources {
        assert!(
            s["rank"].as_u64().is_some() && s["better"]["perfect"].is_object(),
            "{s}"
        );
        assert!(
            s["total"]["low"].as_f64() <= s["total"]["high"].as_f64(),
            "{s}"
        );
    }
    assert!(!document["sides"].as_array().expect("sides").is_empty());
    let lines = document["linear_budget"]["lines"]
        .as_array()
        .expect("lines");
    let sum: f64 = lines
        .iter()
        .map(|l| l["share"].as_f64().expect("a share"))
        .sum();
    assert!((sum - 1.0).abs() < 1e-9, "{sum}");
    for l in lines {
        for key in [
            "quantity",
            "symbol",
            "unit",
            "type",
            "distribution",
            "scope",
            "of",
            "sensitivity_unit",
        ] {
            assert!(l[key].as_str().is_some_and(|s| !s.is_empty()), "{key}: {l}");
        }
        for key in [
            "value",
            "u",
            "sensitivity",
            "contribution_J_per_mol",
            "share",
        ] {
            assert!(l[key].is_number(), "{key}: {l}");
        }
    }
    // Nothing but the document; no files without --out.
    assert!(
        std::fs::read_dir(folder.path())
            .expect("a folder")
            .next()
            .is_none()
    );
}

#[test]
fn a_source_is_explained_and_an_unknown_one_is_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let explain = |key: &str| {
        joulecast(folder.path())
            .args([
                "rank",
                "urea-foam-cups",
                "--trials",
                "512",
                "--explain",
                key,
            ])
            .output()
            .expect("the program starts")
    };
    let told = text(&explain("thermometer.noise").stdout);
    for part in [
        "scatter of one reading",
        "WHAT IT IS",
        "WHAT IT DOES",
        "WHY",
        "More runs average it",
    ] {
        assert!(told.contains(part), "{part} in {told}");
    }
    super::fits_80_columns(&told);
    let silent = text(&explain("electrical.voltage").stdout);
    assert!(silent.contains("does not err in this scenario"), "{silent}");
    let wrong = explain("thermometer.nois");
    assert_eq!(wrong.status.code(), Some(2));
    assert!(text(&wrong.stderr).contains("did you mean `thermometer.noise`?"));
}

#[test]
fn the_text_of_a_ranking_fits_eighty_columns() {
    let folder = tempfile::tempdir().expect("a folder");
    for name in ["urea-foam-cups", "permanganate-iron-dewar", "peroxide-cups"] {
        let output = joulecast(folder.path())
            .args(["rank", name, "--trials", "256", "--out", "out"])
            .output()
            .expect("the program starts");
        let told = text(&output.stdout);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        super::fits_80_columns(&told);
        let budget =
            std::fs::read_to_string(folder.path().join("out/budget.csv")).expect("a table");
        let header = "quantity,enters,scope,symbol,contribution_J_per_mol,share,value,u,unit,\
                      sensitivity_J_per_mol_per_unit,type,distribution,dof,sensitivity_unit";
        assert_eq!(budget.lines().nth(1), Some(header));
        assert!(
            budget.lines().skip(2).all(|l| l.matches(',').count() == 13),
            "{budget}"
        );
        for file in [
            "rank.txt",
            "sources.csv",
            "budget.csv",
            "variance.png",
            "bias.png",
            "better.png",
        ] {
            assert!(folder.path().join("out").join(file).is_file(), "{file}");
        }
    }
}
