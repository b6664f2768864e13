//! The results in `results/`, from which README quotes the forecast, are what the program prints today.
//!
//! After a change that is meant, `JOULECAST_ACCEPT=1 cargo test --test cli published` writes them anew;
//! then look at the pictures, renew README's excerpt, and say so in CHANGELOG under "values that change".

use assert_cmd::Command;
use std::fs;
use std::path::{Path, PathBuf};

fn results() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("results/ammonium-chloride-dewar")
}

/// Runs a command into a folder of `results/`, and compares its files and README's excerpts (each from one text to another of
/// what it prints) against it.
fn today(folder: &str, arguments: &[&str], files: &[&str], excerpts: &[(&str, &str)]) {
    let published = results().with_file_name(folder);
    let scratch = tempfile::tempdir().unwrap();
    let out = if std::env::var_os("JOULECAST_ACCEPT").is_some() {
        published.clone()
    } else {
        scratch.path().to_owned()
    };
    let run = Command::cargo_bin("joulecast")
        .unwrap()
        .args(arguments)
        .arg("--out")
        .arg(&out)
        .assert()
        .success();
    let printed = String::from_utf8(run.get_output().stdout.clone()).unwrap();
    for name in files {
        let today = fs::read_to_string(out.join(name)).unwrap();
        let before = fs::read_to_string(published.join(name)).unwrap();
        assert!(today == before, "results/{folder}/{name} is not of today");
    }
    let readme =
        fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    for (from, to) in excerpts {
        let start = printed.find(from).unwrap();
        let end = start + printed[start..].find(to).unwrap();
        let excerpt = printed[start..end].trim_end();
        assert!(
            readme.contains(excerpt),
            "README does not quote today's:\n{excerpt}"
        );
    }
}

#[test]
fn the_forecast_in_results_and_in_readme_is_what_the_program_prints() {
    today(
        "ammonium-chloride-dewar",
        &["forecast", "--reductions"],
        &[
            "forecast.txt",
            "forecast.json",
            "histogram.svg",
            "record.svg",
            "reductions.svg",
        ],
        &[("IN SHORT", "REDUCTIONS OF")],
    );
}

#[test]
fn the_comparison_in_results_is_what_the_program_prints() {
    today(
        "ammonium-chloride-dewar-compare",
        &["compare"],
        &["compare.txt", "compare.json", "compare.csv", "compare.svg"],
        &[],
    );
}

#[test]
fn the_ranking_in_results_is_what_the_program_prints() {
    today(
        "ammonium-chloride-dewar-rank",
        &["rank"],
        &[
            "rank.txt",
            "rank.json",
            "sources.csv",
            "budget.csv",
            "variance.svg",
            "better.svg",
        ],
        &[],
    );
}

#[test]
fn the_sweep_in_results_is_what_the_program_prints() {
    today(
        "permanganate-mass",
        &[
            "sweep",
            "permanganate-iron-dewar",
            "--vary",
            "determination.charge.mass = 0.05 g to 0.35 g by 0.05 g",
            "--within",
            "5 %",
        ],
        &[
            "sweep.txt",
            "sweep.json",
            "determination-charge-mass.csv",
            "determination-charge-mass.svg",
        ],
        &[],
    );
}

#[test]
fn the_loosest_tolerances_in_results_are_what_the_program_prints() {
    today(
        "urea-loosen",
        &["loosen", "urea-foam-cups", "--spread", "5 %"],
        &["loosen.txt", "loosen.json", "tolerances.csv", "doubled.svg"],
        &[],
    );
}
