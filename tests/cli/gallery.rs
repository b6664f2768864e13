//! The gallery in `results/`: the page of every shipped scenario, two pictures of it in small, and an index, all of them of
//! today.
//!
//! After a change that is meant, `JOULECAST_ACCEPT=1 cargo test --test cli -- gallery` writes all of it anew. Without that,
//! numbers and words are compared; the pages of two scenarios whole, those of the others as far as the forecast goes, since
//! what makes another ranking or another sweep does so for all of them.

use super::agree::forms::{Grid, of_html, of_markdown};
use joulecast::report::Picture;
use joulecast::scenario::{read, shipped, shipped_names};
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Once;

/// What each scenario asks.
const ASKED: [(&str, &str); 10] = [
    (
        "ammonium-chloride-dewar",
        "How well does a 0.01 K probe find the heat of a salt in a Dewar that tris base calibrates?",
    ),
    (
        "urea-foam-cups",
        "Is one reading before and one after enough in nested foam cups?",
    ),
    (
        "citric-acid-thermistor",
        "What is left to improve where a millikelvin thermistor reads the temperature?",
    ),
    (
        "calcium-chloride-foam-cup",
        "How far does a class get with an open cup, a 0.1 K display and the extreme reading?",
    ),
    (
        "permanganate-iron-dewar",
        "What does a powder that dissolves slowly, in a medium that shifts the enthalpy, leave of a result?",
    ),
    (
        "zinc-copper-foam-cup",
        "What does a metal in excess give per mole of copper?",
    ),
    (
        "neutralisation-mug",
        "How well does a heater calibrate a mug for acid and base?",
    ),
    (
        "magnesium-oxide-cycle",
        "How well does a cycle of two reactions give an enthalpy of formation?",
    ),
    (
        "copper-sulfate-hydration",
        "What is left of the difference of two dissolutions when one salt clumps?",
    ),
    (
        "peroxide-cups",
        "What does it cost to assume the vessel and not to calibrate it?",
    ),
];

/// Pictures in small: the chapter of the page whose first one it is.
const PICTURES: [&str; 2] = ["result", "causes"];

/// Scenarios whose pages are compared whole.
const WHOLE: [&str; 2] = ["peroxide-cups", "urea-foam-cups"];

/// Pixels of a picture from side to side, and most bytes of it.
const SMALL: (u16, usize) = (480, 60_000);

/// Most bytes of a page, and of all results.
const MOST: (usize, u64) = (750_000, 10_000_000);

/// What stands above the list.
const HEAD: &str = "\
# Answers

The program has written everything here; the last line of each answer says how to get it again. The page of a scenario is a
single file: download it and open it in a browser.

| folder | command |
|---|---|
| [ammonium-chloride-dewar](ammonium-chloride-dewar/forecast.md) | `joulecast forecast ammonium-chloride-dewar --reductions` |
| [ammonium-chloride-dewar-rank](ammonium-chloride-dewar-rank/rank.md) | `joulecast rank ammonium-chloride-dewar` |
| [ammonium-chloride-dewar-compare](ammonium-chloride-dewar-compare/compare.md) | `joulecast compare` |
| [permanganate-mass](permanganate-mass/sweep.md) | `joulecast sweep permanganate-iron-dewar --vary \"determination.charge.mass = 0.05 g to 0.35 g by 0.05 g\" --within \"5 %\"` |
| [urea-loosen](urea-loosen/loosen.md) | `joulecast loosen urea-foam-cups --spread \"5 %\"` |
| [gallery](#the-shipped-scenarios) | `joulecast report` of every shipped scenario |

[benchmark.md](benchmark.md) has the speed.

## The shipped scenarios
";

/// The folder of all results; its gallery is written anew first where that is asked for, once for all tests.
fn results() -> PathBuf {
    static RENEWED: Once = Once::new();
    let results = Path::new(env!("CARGO_MANIFEST_DIR")).join("results");
    RENEWED.call_once(|| {
        if std::env::var_os("JOULECAST_ACCEPT").is_some() {
            renew(&results);
        }
    });
    results
}

/// A file of what a command writes for a scenario.
fn written(folder: &Path, command: &str, name: &str, file: &str) -> String {
    let out = format!("{name}-{command}");
    let target = folder.join(&out);
    if !target.exists() {
        let (code, _, why) = super::run(folder, &[command, name, "--out", &out]);
        assert!(code < 2, "{command} {name}: {why}");
    }
    fs::read_to_string(target.join(file)).expect("a file")
}

/// A scenario in the index: what it asks, and the first sentences of where groups land and of what to change, from a forecast
/// in Markdown.
fn entry(name: &str, asked: &str, forecast: &str, page: &str) -> String {
    let title = read(shipped(name).expect("shipped")).expect("valid").title;
    let said = |number: &str| {
        let mut lines = forecast.lines().filter_map(|l| l.strip_prefix(number));
        let line = lines.next().expect("a sentence");
        let end = line.find(". ").map_or(line.len(), |i| i + 1);
        line[..end].to_owned()
    };
    let mut out = format!(
        "\n### [{title}](gallery/{name}.html)\n\n*{asked}* {} {}\n\n",
        said("1. "),
        said("3. ")
    );
    for chapter in PICTURES {
        let alt = picture(page, chapter).1;
        // Two beside each other on a page of a code host.
        let _ = writeln!(
            out,
            "<a href=\"gallery/{name}.html\"><img src=\"gallery/{name}-{chapter}.png\" width=\"400\" alt=\"{alt}\"></a>"
        );
    }
    out
}

/// The first picture of a chapter, and its words.
fn picture(page: &str, chapter: &str) -> (Picture, String) {
    let (_, rest) = page
        .split_once(&format!("<h2 id=\"{chapter}\">"))
        .expect("the chapter");
    let (_, rest) = rest.split_once("<figure>").expect("a picture");
    let (svg, rest) = rest.split_once("<figcaption>").expect("its words");
    let alt = rest.split("</figcaption>").next().expect("an end");
    (
        Picture {
            svg: svg.to_owned(),
        },
        alt.to_owned(),
    )
}

/// Writes pages, pictures and the index.
fn renew(results: &Path) {
    let folder = tempfile::tempdir().expect("a folder");
    let gallery = results.join("gallery");
    fs::create_dir_all(&gallery).expect("a folder");
    for name in shipped_names() {
        let page = written(folder.path(), "report", name, "report.html");
        for chapter in PICTURES {
            let small = picture(&page, chapter).0.thumbnail(SMALL.0);
            let file = gallery.join(format!("{name}-{chapter}.png"));
            fs::write(file, small.expect("pixels")).expect("written");
        }
        fs::write(gallery.join(format!("{name}.html")), page).expect("written");
    }
    fs::write(results.join("README.md"), index(folder.path(), results)).expect("written");
}

fn page(results: &Path, name: &str) -> String {
    fs::read_to_string(results.join(format!("gallery/{name}.html"))).expect("a page")
}

/// The index as it should be, of forecasts of today.
fn index(folder: &Path, results: &Path) -> String {
    let entries = ASKED.map(|(name, asked)| {
        let forecast = written(folder, "forecast", name, "forecast.md");
        entry(name, asked, &forecast, &page(results, name))
    });
    format!("{HEAD}{}", entries.concat())
}

#[test]
fn the_forecasts_of_the_gallery_are_what_the_program_prints() {
    let (results, folder) = (results(), tempfile::tempdir().expect("a folder"));
    let seen = fs::read_to_string(results.join("README.md")).expect("the index");
    let due = index(folder.path(), &results);
    assert!(seen == due, "results/README.md is not of today");
    for (name, _) in ASKED {
        let due = of_markdown(&written(folder.path(), "forecast", name, "forecast.md"));
        let page = page(&results, name);
        assert_eq!(lacking(&page, &due), [""; 0], "{name}.html is not of today");
        // One digit is enough to be seen.
        let spoiled = page.replacen("\u{a0}±\u{a0}0", "\u{a0}±\u{a0}9", 1);
        assert!(!lacking(&spoiled, &due).is_empty(), "{name}");
    }
    assert!(
        shipped_names().eq(ASKED.map(|a| a.0)),
        "every scenario, in order"
    );
}

/// Headings of tables that a page does not have with the same cells.
fn lacking(page: &str, due: &[Grid]) -> Vec<String> {
    let page = of_html(page);
    let is_missing = |due: &&Grid| {
        let same = |g: &Grid| g.heads == due.heads && g.rows == due.rows;
        !page.iter().any(same)
    };
    let missing = due.iter().filter(is_missing);
    missing.map(|g| g.heads.join(", ")).collect()
}

#[test]
fn whole_pages_of_the_gallery_are_what_the_program_prints() {
    let (results, folder) = (results(), tempfile::tempdir().expect("a folder"));
    for name in WHOLE {
        let today = of_html(&written(folder.path(), "report", name, "report.html"));
        let missing = lacking(&page(&results, name), &today);
        assert_eq!(missing, [""; 0], "{name}.html is not of today");
    }
}

#[test]
fn the_gallery_is_small_and_its_pictures_are_as_wide_as_they_should_be() {
    let results = results();
    for name in shipped_names() {
        let bytes = page(&results, name).len();
        assert!(bytes < MOST.0, "{name}: {bytes} bytes");
    }
    let mut all = 0;
    for path in files(&results) {
        let bytes = fs::read(&path).expect("a file");
        all += bytes.len() as u64;
        let small = path.parent().is_some_and(|p| p.ends_with("gallery"));
        if small && path.extension().is_some_and(|e| e == "png") {
            let width = u32::from_be_bytes(bytes[16..20].try_into().expect("four bytes"));
            let is = (width, bytes.len());
            assert!(
                width == u32::from(SMALL.0) && bytes.len() <= SMALL.1,
                "{path:?}: {is:?}"
            );
        }
    }
    assert!(all < MOST.1, "{all} bytes");
}

/// All files of a folder and of those in it.
fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).expect("a folder");
    let paths = entries.map(|e| e.expect("an entry").path());
    let all = paths.flat_map(|p| if p.is_dir() { files(&p) } else { vec![p] });
    all.collect()
}
