//! What the sentences say against the numbers of the same answer, for reactions that warm and that cool: signs, and what is
//! called little.

use serde_json::Value;
use tempfile::tempdir;

/// The short answer and the JSON document of the same call.
fn answer(arguments: &[&str]) -> (String, Value) {
    let folder = tempdir().expect("a folder");
    let (code, text, why) = super::run(folder.path(), &[arguments, &["--out", "o"]].concat());
    assert!(code < 2, "{why}");
    let (_, json, _) = super::run(folder.path(), &[arguments, &["--json"]].concat());
    let short = text.split("IN SHORT").nth(1).expect("a short answer");
    (
        super::flowing(short),
        serde_json::from_str(&json).expect("JSON"),
    )
}

/// A number of a document, by its pointer.
fn number(document: &Value, pointer: &str) -> f64 {
    let found = document.pointer(pointer).and_then(Value::as_f64);
    found.unwrap_or_else(|| panic!("{pointer} in {document}"))
}

const WARM_AND_COLD: [&str; 4] = [
    "calcium-chloride-foam-cup",
    "zinc-copper-foam-cup",
    "urea-foam-cups",
    "ammonium-chloride-dewar",
];

#[test]
fn a_forecast_says_too_small_of_a_magnitude_and_little_of_a_fifth() {
    let mut seen = [0; 3];
    for name in WARM_AND_COLD {
        let (short, json) = answer(&["forecast", name, "--trials", "4096"]);
        let of = |p: &str| number(&json, p);
        let target = of("/accepted_J_per_mol");
        let [bias, se] = ["/bias_J_per_mol/value", "/bias_J_per_mol/se"].map(of);
        let spread = of("/spread_J_per_mol/value");
        if bias.abs() < 3.0 * se {
            continue;
        }
        let small = bias * target < 0.0;
        assert_eq!(short.contains("% too small"), small, "{name}: {short}");
        assert_eq!(short.contains("% too large"), !small, "{name}: {short}");
        let little = bias.abs() < 0.2 * spread;
        assert_eq!(
            short.contains("little compared with the spread"),
            little,
            "{name}"
        );
        seen[0] += i32::from(target < 0.0);
        seen[1] += i32::from(little);
        seen[2] += i32::from(!little);
    }
    assert!(seen.iter().all(|n| *n > 0), "{seen:?}");
}

#[test]
fn a_ranking_says_too_small_of_a_magnitude() {
    for name in WARM_AND_COLD {
        let (short, _) = answer(&["rank", name, "--trials", "4096"]);
        let Some(own) = short.split("The largest bias comes from").nth(1) else {
            continue;
        };
        let size = own.split("): ").nth(1).expect("its size");
        let sign = if size.starts_with('-') {
            "small"
        } else {
            "large"
        };
        let due = format!("makes it too {sign};");
        assert!(own.contains(&due), "{name}: {own}");
    }
}

#[test]
fn a_sweep_of_runs_counts_determinations_where_nothing_calibrates() {
    let folder = tempdir().expect("a folder");
    let arguments = [
        "sweep",
        "peroxide-cups",
        "--vary",
        "runs = 1 to 2",
        "--trials",
        "2048",
        "--out",
        "o",
    ];
    let (code, said, why) = super::run(folder.path(), &arguments);
    assert_eq!(code, 0, "{why}");
    let said = super::flowing(&said);
    assert!(
        said.contains("Do 1 determination: the RMS error is"),
        "{said}"
    );
    assert!(!said.contains("of each kind"), "{said}");
}
