//! The reference against the program: keys, errors, units, options, columns and fields stand there as they are; commands and
//! scenarios that are shown run.

use super::help::{commands, root, topic};
use super::{flowing, joulecast, run, text};
use joulecast::help::{TOPICS, find};
use joulecast::quantity::{
    Dimension, UNITS, parse_error_statement, parse_measured, parse_quantity,
};
use joulecast::scenario::schema::{KEYS, Key, Place, Shape, all_keys};
use joulecast::scenario::{Holds, RUN_COLUMNS, SOURCES, read, shipped, shipped_names};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use tempfile::tempdir;

fn readme() -> String {
    fs::read_to_string(root().join("README.md")).expect("README")
}

/// README and all topics, by name.
fn pages() -> Vec<(String, String)> {
    let topics = TOPICS
        .iter()
        .map(|t| (t.name.to_owned(), t.text.to_owned()));
    std::iter::once(("README".to_owned(), readme()))
        .chain(topics)
        .collect()
}

/// What stands in backticks.
fn code(text: &str) -> Vec<&str> {
    text.split('`').skip(1).step_by(2).collect()
}

/// Fenced blocks of a language.
fn fenced<'t>(page: &'t str, language: &str) -> Vec<&'t str> {
    let begin = format!("```{language}\n");
    let blocks = page.split(&begin).skip(1);
    blocks
        .map(|b| b.split("```").next().expect("a block"))
        .collect()
}

/// The cells of the rows of all tables of a text, headers included.
fn rows(text: &str) -> Vec<Vec<&str>> {
    let lines = text.lines().filter(|l| l.starts_with('|'));
    lines
        .map(|l| l.trim_matches('|').split('|').map(str::trim).collect())
        .filter(|row: &Vec<&str>| !row[0].starts_with("---"))
        .collect()
}

/// Sections: heading, and what stands below it.
fn sections(page: &str) -> Vec<(&str, &str)> {
    let all = page.split("\n## ").skip(1);
    all.map(|s| s.split_once('\n').unwrap_or((s, ""))).collect()
}

/// Whether a section is about the table of a key.
fn is_about(heading: &str, key: &Key) -> bool {
    match key.site {
        "" if key.place == Place::Top => heading.contains("top of"),
        "" => heading.contains("`[determination]`"),
        site => code(heading).iter().any(|c| {
            let inner = c.trim_matches(['[', ']']);
            inner == site
                || inner.starts_with(&format!("{site}."))
                || inner.ends_with(&format!(".{site}"))
        }),
    }
}

/// What holds if a key is not stated, by the table of keys, where it is a number or a word of its own.
fn default_of(key: &Key) -> Option<&'static str> {
    let (_, rest) = key.doc.rsplit_once("; ")?;
    let default = rest.strip_suffix(" if not stated")?;
    let plain = default.starts_with(|c: char| c == '"' || c.is_ascii_digit());
    (plain || default == "true" || default == "false").then_some(default.trim_matches('"'))
}

#[test]
fn every_key_stands_in_its_section_with_default_range_and_words() {
    let all: Vec<(&str, &str)> = ["scenario", "charges"]
        .into_iter()
        .flat_map(|t| sections(topic(t)))
        .collect();
    let mut ranged = 0;
    for key in KEYS.iter().filter(|k| k.shape != Shape::Open) {
        let path = format!("{}.{}", key.site, key.name);
        let own: Vec<&(&str, &str)> = all.iter().filter(|(h, _)| is_about(h, key)).collect();
        assert!(!own.is_empty(), "no section about {path}");
        let named = |cell: &str| code(cell).iter().any(|c| *c == key.name || *c == path);
        let row = own
            .iter()
            .flat_map(|(_, body)| rows(body))
            .find(|row| named(row[0]));
        let prose = own.iter().any(|(_, body)| code(body).contains(&key.name));
        assert!(
            row.is_some() || prose,
            "{path} does not stand in its section"
        );
        if let Some(row) = &row {
            let whole = row.join(" | ");
            assert!(
                whole.contains(key.usual),
                "{path}: {} in {whole}",
                key.usual
            );
            ranged += usize::from(!key.usual.is_empty());
            if let Some(default) = default_of(key) {
                assert!(whole.contains(default), "{path}: {default} in {whole}");
            }
        }
        if let Shape::Choice(words) = key.shape {
            for word in words {
                let quoted = format!("\"{word}\"");
                assert!(
                    own.iter().any(|(_, body)| body.contains(&quoted)),
                    "{path}: {quoted}"
                );
            }
        }
    }
    assert!(ranged > 25, "{ranged}");
    // And no row is about a key that there is not.
    for (heading, body) in all {
        let tables = rows(body);
        for row in tables.iter().filter(|r| r[0].starts_with('`')) {
            for name in code(row[0]) {
                let is = |k: &Key| {
                    (k.name == name && is_about(heading, k))
                        || format!("{}.{}", k.site, k.name) == name
                };
                assert!(all_keys().any(|k| is(&k)), "{heading}: `{name}`");
            }
        }
    }
}

#[test]
fn every_error_source_stands_in_its_family_with_its_scope_and_way() {
    let all = sections(topic("errors"));
    let mut seen = 0;
    for source in SOURCES {
        let family = all
            .iter()
            .find(|(h, _)| h.eq_ignore_ascii_case(source.family.name()));
        let (_, body) = family.unwrap_or_else(|| panic!("{}", source.family.name()));
        let row = rows(body)
            .into_iter()
            .find(|r| r[0].trim_matches('`') == source.key);
        let row = row.unwrap_or_else(|| panic!("{} not in {}", source.key, source.family.name()));
        assert_eq!(row[1], source.scope.name(), "{}", source.key);
        assert_eq!(
            row[2].starts_with("one way; "),
            source.one_sided,
            "{}",
            source.key
        );
        seen += 1;
    }
    let listed = rows(topic("errors"))
        .into_iter()
        .filter(|r| r[0].contains('.'));
    assert_eq!(listed.count(), seen);
}

#[test]
fn every_unit_stands_with_the_quantities() {
    let listed: BTreeSet<&str> = code(topic("quantities")).into_iter().collect();
    for unit in UNITS {
        assert!(listed.contains(unit.symbol), "{}", unit.symbol);
    }
}

#[test]
fn every_column_of_measured_data_stands_with_its_unit_range_and_example() {
    let listed: Vec<Vec<&str>> = rows(topic("data")).into_iter().skip(1).collect();
    assert_eq!(listed.len(), RUN_COLUMNS.len());
    for (row, column) in listed.iter().zip(RUN_COLUMNS) {
        assert_eq!(row[0].trim_matches('`'), column.key);
        let unit = column.dimension().map_or("", Dimension::base_unit);
        assert_eq!(row[1], unit, "{}", column.key);
        assert_eq!(row[2], column.help, "{}", column.key);
        if let (Holds::Number(_, low, high), false) = (column.holds, row[3].is_empty()) {
            assert_eq!(row[3], format!("{low} to {high}"), "{}", column.key);
        }
        assert_eq!(row[4], column.example, "{}", column.key);
    }
}

/// The number that a cell of the table of errors states, for half-width or size `a`.
fn stated(cell: &str, a: f64) -> Option<f64> {
    let formula = cell
        .split('=')
        .next()
        .unwrap_or_default()
        .trim()
        .trim_matches('`');
    match formula {
        "a/√3" => Some(a / 3f64.sqrt()),
        "a/√6" => Some(a / 6f64.sqrt()),
        "a/√2" => Some(a / 2f64.sqrt()),
        "a √((1 + β²)/6)" => Some(a * (1.25f64 / 6.0).sqrt()),
        // A fifth of a.
        "√(a²/3 + d²/9)" => Some((a * a / 3.0 + 0.04 * a * a / 9.0).sqrt()),
        "width/√12" => Some(4.0 * a / 12f64.sqrt()),
        "U/k" => Some(2.0 * a),
        "0" => Some(0.0),
        plain => parse_quantity(plain).ok().map(|q| q.value),
    }
}

#[test]
fn errors_have_the_uncertainties_and_means_that_are_stated_of_them() {
    let all = sections(topic("quantities"));
    let body = |part: &str| {
        all.iter()
            .find(|(h, _)| h.contains(part))
            .expect("a section")
            .1
    };
    let mut seen = 0;
    for row in rows(body("both ways")).iter().skip(1) {
        for written in code(row[0]) {
            let dist = parse_error_statement(written, Dimension::Mass, None)
                .expect(written)
                .dist;
            let Some(due) = stated(row[2], 1e-4) else {
                panic!("{row:?}")
            };
            // Of a Student t the estimate that it is scaled by.
            let u = dist.standard_uncertainty();
            assert!((u - due).abs() <= 0.01 * due, "{written}: {u} {due}");
            seen += 1;
        }
    }
    assert!(seen > 15, "{seen}");
    let near = |got: f64, cell: &str| {
        let due = parse_quantity(cell).map_or(0.0, |q| q.value);
        assert!((got - due).abs() <= 0.04 * due, "{got} for {cell}");
    };
    for row in rows(body("one way")).iter().skip(1) {
        let written = code(row[0])[0];
        let d = if written.contains('%') {
            Dimension::Fraction
        } else {
            Dimension::Volume
        };
        let own = parse_measured(written, d).map(|m| m.dist);
        let own = own.or_else(|_| parse_error_statement(written, d, None).map(|s| s.dist));
        let dist = match written {
            // As an error it is always that much.
            _ if written.starts_with("exactly") => {
                parse_error_statement(written, d, None).map(|s| s.dist)
            }
            _ => own,
        };
        let dist = dist.expect(written);
        near(dist.mean(), row[2]);
        near(dist.sd(), row[3]);
    }
    for written in code(body("its error")).iter().filter(|w| w.contains("J/K")) {
        parse_measured(written, Dimension::HeatCapacity).expect(written);
    }
    // The median and the logarithm's standard deviation.
    let time = parse_measured("40 s, 30 % log-normal", Dimension::Time).expect("a time");
    for (p, due) in [
        (0.5, 40.0),
        (0.158_655, 30.0),
        (0.841_345, 54.0),
        (0.025, 22.0),
        (0.975, 72.0),
    ] {
        assert!((time.dist.quantile(p) - due).abs() < 0.5, "{p}: {due}");
        assert!(body("Log-normal").contains(&format!("{due} s")));
    }
}

/// Long options in a text.
fn options(text: &str) -> BTreeSet<String> {
    let found = text.split("--").skip(1).map(|rest| {
        let name = rest
            .chars()
            .take_while(|c| c.is_ascii_lowercase() || *c == '-');
        name.collect::<String>()
    });
    found.filter(|name| name.len() > 1).collect()
}

#[test]
fn every_option_is_named_and_every_named_one_is_there() {
    let folder = tempdir().expect("a folder");
    let mut known = BTreeSet::new();
    for command in commands() {
        let (_, help, _) = run(folder.path(), &[&command, "--help"]);
        known.extend(options(&help));
    }
    let mut named = BTreeSet::new();
    for (_, page) in pages() {
        named.extend(options(&page));
    }
    for option in known
        .iter()
        .filter(|o| !["help", "version", "title"].contains(&o.as_str()))
    {
        assert!(named.contains(option), "--{option} is nowhere explained");
    }
    // Those of cargo, in its commands.
    for option in named
        .iter()
        .filter(|o| !["release", "path", "write"].contains(&o.as_str()))
    {
        assert!(known.contains(option), "there is no --{option}");
    }
}

/// The words of a command as a shell would split them.
fn words(line: &str) -> Vec<String> {
    let line = line.split(" #").next().unwrap_or(line).trim();
    let quoted = line.split('"').enumerate();
    let mut all: Vec<String> = Vec::new();
    for (i, part) in quoted {
        if i % 2 == 1 {
            all.push(part.to_owned());
        } else {
            all.extend(part.split_whitespace().map(str::to_owned));
        }
    }
    all
}

/// The measured runs that README shows.
fn runs_in_readme() -> String {
    let readme = include_str!("../../README.md");
    let block = fenced(readme, "text")
        .into_iter()
        .find(|b| b.starts_with("run;"));
    block.expect("runs").to_owned()
}

#[test]
fn the_result_of_the_runs_in_readme_is_what_the_program_says() {
    let folder = tempdir().expect("a folder");
    fs::write(folder.path().join("runs.csv"), runs_in_readme()).expect("a file");
    let (code, said, why) = run(
        folder.path(),
        &["evaluate", "ammonium-chloride-dewar", "runs.csv"],
    );
    assert_eq!(code, 0, "{why}");
    let pasted = said
        .lines()
        .map(str::trim)
        .find(|l| l.starts_with("Delta H = "));
    let pasted = pasted.expect("a sentence to paste");
    assert!(include_str!("../../README.md").contains(pasted), "{pasted}");
    assert!(said.lines().count() <= 45, "{} lines", said.lines().count());
    let (_, full, _) = run(
        folder.path(),
        &["evaluate", "ammonium-chloride-dewar", "runs.csv", "--full"],
    );
    super::fits_80_columns(&full);
    let (code, _, why) = run(folder.path(), &["evaluate", "runs.csv"]);
    assert!(
        code == 2 && why.contains("name the scenario before it"),
        "{why}"
    );
}

#[test]
fn the_mistakes_that_are_shown_can_be_made() {
    let shown = fenced(topic("scenario"), "toml")
        .into_iter()
        .find(|t| t.starts_with("[slips]"));
    let text = shipped("ammonium-chloride-dewar").expect("shipped");
    let own = read(&format!("{text}\n{}", shown.expect("own mistakes"))).expect("a scenario");
    assert_eq!(own.slips.len(), 2);
    assert!(joulecast::slip::own(&own).is_ok());
}

/// The class that the topic about data shows.
fn class_in_help() -> String {
    let data = topic("data");
    let class = fenced(data, "text")
        .into_iter()
        .find(|t| t.starts_with("group"));
    class.expect("a class").to_owned()
}

#[test]
fn every_command_that_is_shown_runs() {
    let all = commands();
    let known = |word: &str| all.iter().any(|c| c == word);
    let (mut seen, mut done) = (BTreeSet::new(), BTreeSet::new());
    for (name, page) in pages() {
        let folder = tempdir().expect("a folder");
        // Files of measured data that a reader has.
        if page.contains(" runs.csv") {
            fs::write(folder.path().join("runs.csv"), runs_in_readme()).expect("a file");
        }
        if page.contains(" record.csv") {
            run(folder.path(), &["trace", "--out", "."]);
        }
        if page.contains(" class.csv") {
            fs::write(folder.path().join("class.csv"), class_in_help()).expect("a file");
        }
        for line in fenced(&page, "sh").into_iter().flat_map(str::lines) {
            let words = words(line);
            if words.first().is_none_or(|w| w != "joulecast") {
                continue;
            }
            // What stands on two pages runs once, unless it needs a file of its own.
            if !done.insert(words.clone()) && !line.contains("my.toml") {
                continue;
            }
            let mut arguments: Vec<&str> = words[1..].iter().map(String::as_str).collect();
            let command = arguments.first().copied().unwrap_or("forecast");
            seen.insert(command.to_owned());
            if !["new", "check", "show", "help"].contains(&command) {
                arguments.extend(["--trials", "256", "--out", "o"]);
            }
            let (code, said, why) = run(folder.path(), &arguments);
            assert!(code < 2 && !said.is_empty(), "{name}: {line}: {why}");
        }
        // Those in sentences name commands and topics that there are.
        for call in code(&page)
            .into_iter()
            .filter_map(|c| c.strip_prefix("joulecast "))
        {
            let call: Vec<&str> = call.split_whitespace().collect();
            assert!(known(call[0]), "{name}: joulecast {call:?}");
            if call[0] == "help" && call.len() > 1 {
                let placeholder = ["TOPIC", "topics", "completions"].contains(&call[1]);
                assert!(
                    placeholder || find(call[1]).is_some() || known(call[1]),
                    "{name}: {call:?}"
                );
            }
        }
    }
    // A command that no page shows is not explained; how to ask for help is said in sentences.
    for command in all.iter().filter(|c| *c != "help") {
        assert!(seen.contains(command), "{command} is nowhere shown");
    }
}

#[test]
fn every_scenario_and_table_that_is_shown_is_accepted() {
    let folder = tempdir().expect("a folder");
    let (_, template, _) = run(folder.path(), &["show", "urea-foam-cups"]);
    let mut whole = 0;
    for (name, page) in pages() {
        for block in fenced(&page, "toml") {
            let text = match block.contains("format = 1") {
                true => block.to_owned(),
                false => format!("{template}\n{block}"),
            };
            whole += usize::from(text.len() == block.len());
            if let Err(problems) = read(&text) {
                let all: Vec<String> = problems.0.iter().map(ToString::to_string).collect();
                panic!("{name}: {all:?} in\n{text}");
            }
        }
    }
    assert!(whole > 0);
}

/// Runs of the built-in scenario, of our own invention.
const MEASURED: &str = "run,kind,solid [g],mixing [C],change [K],remark
1,calibration,0.7499,21.52,0.2623,
2,calibration,0.7580,21.61,0.2671,
3,determination,1.5999,21.55,-0.6502,
4,determination,1.6081,21.58,-0.6553,salt at the rim
";

#[test]
fn every_column_and_every_field_of_a_document_is_explained() {
    let explained: BTreeSet<&str> = code(topic("output")).into_iter().collect();
    let folder = tempdir().expect("a folder");
    fs::write(folder.path().join("measured.csv"), MEASURED).expect("a file");
    for arguments in [
        &["forecast", "--reductions", "--samples"][..],
        &["rank"],
        &["sweep", "urea-foam-cups"],
        &["loosen", "urea-foam-cups", "--spread", "5 %"],
        &["compare", "urea-foam-cups", "--set", "runs = 3"],
        &["evaluate", "ammonium-chloride-dewar", "measured.csv"],
        &["trace", "ammonium-chloride-dewar"],
        &["report", "urea-foam-cups"],
    ] {
        let out = folder.path().join(arguments[0]);
        let mut command = joulecast(folder.path());
        let command = command
            .args(arguments)
            .args(["--trials", "256", "--json", "--out"]);
        let said = text(&command.arg(&out).output().expect("it runs").stdout);
        let document: Value = serde_json::from_str(&said).expect("JSON");
        let schema = document["schema"].as_str().expect("a schema");
        assert!(explained.contains(schema), "{schema}");
        for field in document.as_object().expect("an object").keys() {
            assert!(explained.contains(field.as_str()), "{schema}: {field}");
        }
        for file in fs::read_dir(&out).expect("files") {
            let path = file.expect("a file").path();
            let name = path.file_name().and_then(|n| n.to_str()).expect("UTF-8");
            let stem = name.split('.').next().expect("a name");
            let of_sweep =
                arguments[0] == "sweep" && stem.contains("runs") || stem.contains("charge-mass");
            assert!(
                of_sweep
                    || stem.starts_with("runs-")
                    || explained.contains(name)
                    || explained.contains(stem),
                "{name}"
            );
            if path.extension().is_some_and(|e| e == "csv") {
                columns(&path, &explained);
            }
        }
    }
}

/// Checks that the columns of a file are explained; those with a unit in brackets are a sweep's own.
fn columns(path: &Path, explained: &BTreeSet<&str>) {
    let table = fs::read_to_string(path).expect("a table");
    let header = table
        .lines()
        .find(|l| !l.starts_with('#'))
        .expect("a header");
    // Columns of labels may have no name.
    for column in header
        .split(',')
        .filter(|c| !c.contains('[') && !c.is_empty())
    {
        // Said once for a group, and for the errors of all.
        let as_group = column.replacen("section_", "group_", 1);
        let without_error = column.replacen("_se_percent", "_percent", 1);
        let known = [column, &as_group, &without_error];
        assert!(
            known.iter().any(|c| explained.contains(c)),
            "{}: {column}",
            path.display()
        );
    }
}

#[test]
fn readme_is_short_and_names_what_there_is() {
    let page = readme();
    let lines = page.lines().count();
    assert!(lines <= 200, "{lines} lines");
    for t in TOPICS {
        let row = format!("| `{}` | {} |", t.name, t.summary);
        assert!(page.contains(&row), "{row}");
    }
    for name in shipped_names() {
        assert!(page.contains(&format!("| `{name}` |")), "{name}");
    }
    let targets = page
        .split("](")
        .skip(1)
        .map(|rest| rest.split(')').next().expect("a link"));
    for target in targets.filter(|t| !t.starts_with("http")) {
        assert!(root().join(target).exists(), "{target}");
    }
    // Files and folders in sentences.
    for path in code(&page)
        .into_iter()
        .filter(|c| c.contains('/') && !c.contains(' ') && !c.contains('"'))
    {
        assert!(
            root().join(path).exists() || path.starts_with("joulecast-out"),
            "{path}"
        );
    }
    assert!(flowing(&page).contains("joulecast help TOPIC"));
}
