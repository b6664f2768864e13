//! The page of `report` in a real browser, where there is one: no error, sliders that show what the JSON says, all of it
//! there without scripts, and room on a telephone.

use super::{joulecast, text};
use serde_json::Value;
use std::fs;
use std::path::Path;
use std::process::Command;

/// A browser of this machine.
fn browser() -> Option<&'static str> {
    let names = ["chromium", "chromium-browser", "google-chrome"];
    let found = names.into_iter().find(|name| {
        let tried = Command::new(name).arg("--version").output();
        tried.is_ok_and(|o| o.status.success())
    });
    if found.is_none() {
        eprintln!("skipped: no Chromium on this machine");
    }
    found
}

/// What the browser makes of a page.
fn opened(browser: &str, folder: &Path, page: &str, more: &[&str]) -> String {
    let path = folder.join("opened.html");
    fs::write(&path, page).expect("written");
    let profile = format!("--user-data-dir={}", folder.join("profile").display());
    let output = Command::new(browser)
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--no-first-run",
            "--disable-background-networking",
        ])
        .args([
            "--disable-component-update",
            "--disable-sync",
            "--virtual-time-budget=20000",
            &profile,
        ])
        .args(more)
        .arg(format!("file://{}", path.display()))
        .output()
        .expect("the browser starts");
    text(&output.stdout)
}

/// The page of the built-in scenario, and its JSON.
fn report(folder: &Path) -> (String, Value) {
    let output = joulecast(folder)
        .args(["report", "--trials", "4096", "--out", "out"])
        .output()
        .expect("it runs");
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let read = |name: &str| fs::read_to_string(folder.join("out").join(name)).expect("a file");
    let json = serde_json::from_str(&read("report.json")).expect("JSON");
    (read("report.html"), json)
}

/// Gathers errors, moves both sliders everywhere, and measures a narrow window.
const TRIED: &str = r##"<script>
const errors = [];
addEventListener("error", (e) => errors.push(String(e.message)));
const complain = console.error;
console.error = (...all) => { errors.push(all.join(" ")); complain(...all); };
addEventListener("load", () => {
  const [x, y] = [document.getElementById("axis-0"), document.getElementById("axis-1")];
  const cells = [];
  for (let j = 0; j <= Number(y.max); j++) {
    for (let i = 0; i <= Number(x.max); i++) {
      x.value = i; y.value = j;
      x.dispatchEvent(new Event("input"));
      const at = [0, 1].map((n) => document.getElementById("at-" + n).textContent);
      const of = [0, 1, 2, 3].map((n) => document.getElementById("of-" + n).textContent);
      cells.push({ at, of });
    }
  }
  const head = document.querySelector("#causes").closest("section").querySelector("th button");
  head.click();
  const sorted = head.closest("th").getAttribute("aria-sort");
  const wide = document.documentElement.scrollWidth - document.documentElement.clientWidth;
  const ids = [...document.querySelectorAll("[id]")].map((e) => e.id);
  const twice = ids.filter((id, i) => ids.indexOf(id) !== i);
  const out = document.createElement("pre");
  out.id = "tried";
  out.textContent = JSON.stringify({ errors, cells, sorted, wide, twice });
  document.body.append(out);
});
</script>"##;

#[test]
fn the_page_works_in_a_browser_and_its_sliders_say_what_the_json_says() {
    let folder = tempfile::tempdir().expect("a folder");
    let (page, json) = report(folder.path());
    let Some(browser) = browser() else { return };
    let tried = page.replacen("<head>", &format!("<head>{TRIED}"), 1);
    let dom = opened(
        browser,
        folder.path(),
        &tried,
        &["--window-size=360,800", "--dump-dom"],
    );
    let (_, rest) = dom.split_once("<pre id=\"tried\">").expect("it was tried");
    let found = rest.split_once("</pre>").expect("closed").0;
    let found: Value =
        serde_json::from_str(&found.replace("&nbsp;", " ").replace("&amp;", "&")).expect("JSON");
    assert_eq!(
        found["errors"],
        Value::Array(Vec::new()),
        "{}",
        found["errors"]
    );
    assert_eq!(
        found["twice"],
        Value::Array(Vec::new()),
        "names that are there twice"
    );
    assert_eq!(found["sorted"], "descending");
    assert!(
        found["wide"].as_f64().is_some_and(|w| w <= 0.0),
        "wider than the window: {}",
        found["wide"]
    );
    let points = json["study"]["sweeps"][0]["points"]
        .as_array()
        .expect("points");
    let cells = found["cells"].as_array().expect("cells");
    assert_eq!(points.len(), cells.len());
    for (point, cell) in points.iter().zip(cells) {
        let result = point["outcome"]["result_J_per_mol"]
            .as_f64()
            .expect("a result");
        for (i, name) in ["spread", "bias", "rms", "within_95"].iter().enumerate() {
            let Some(value) = point["outcome"][format!("{name}_J_per_mol")]["value"].as_f64()
            else {
                panic!("{name} is not in {point}");
            };
            let due = 100.0 * value
                / if *name == "bias" {
                    result
                } else {
                    result.abs()
                };
            let shown = cell["of"][i]
                .as_str()
                .expect("a text")
                .replace('\u{2212}', "-");
            let (number, error) = shown.split_once('±').unwrap_or((&shown, "0.01"));
            let number: f64 = number.trim().parse().expect("a number");
            let error: f64 = error.trim().parse().expect("a number");
            assert!(
                (number - due).abs() <= error,
                "{name}: {shown} and {due} in {cell}"
            );
        }
    }
}

#[test]
fn the_page_prints() {
    let folder = tempfile::tempdir().expect("a folder");
    let (page, _) = report(folder.path());
    let Some(browser) = browser() else { return };
    let pdf = folder.path().join("page.pdf");
    let to = format!("--print-to-pdf={}", pdf.display());
    opened(
        browser,
        folder.path(),
        &page,
        &[&to, "--no-pdf-header-footer"],
    );
    let bytes = fs::read(&pdf).expect("a PDF");
    assert!(
        bytes.starts_with(b"%PDF") && bytes.len() > 50_000,
        "{} bytes",
        bytes.len()
    );
}
