//! What each column of a table is in JSON, as `columns.toml` has it.

use super::checks::near;
use super::forms::{Grid, numbers};
use serde::Deserialize;
use serde_json::Value;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// All that is known of tables.
#[derive(Deserialize)]
pub struct Columns {
    file: Vec<Block>,
    people: Vec<Block>,
    said: BTreeMap<String, BTreeMap<String, Vec<String>>>,
}

/// Some rows of some tables.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Block {
    tables: Vec<String>,
    #[serde(default)]
    only: BTreeMap<String, String>,
    #[serde(default)]
    named: BTreeMap<String, String>,
    #[serde(default)]
    rows: String,
    #[serde(default)]
    by: BTreeMap<String, String>,
    columns: BTreeMap<String, String>,
}

impl Columns {
    /// As `columns.toml` has it.
    pub fn known() -> &'static Self {
        static KNOWN: LazyLock<Columns> = LazyLock::new(|| {
            toml::from_str(include_str!("columns.toml")).expect("tables and their columns")
        });
        &KNOWN
    }

    /// Numbers of sentences that are not those of JSON to the last digit that is printed.
    pub fn said(&self, text: &str, json: &Value) -> Vec<String> {
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let known = json["schema"].as_str().and_then(|name| self.said.get(name));
        let mut all = Vec::new();
        for (before, due) in known.into_iter().flatten() {
            for rest in text.split(before.as_str()).skip(1) {
                let parts = rest.split(" ± ").flat_map(|p| p.split(" to "));
                let parts: Vec<&str> = parts.take(due.len()).collect();
                let seen = numbers(&parts.join(" to "));
                let exact = due.iter().map(|words| value(words, json, json));
                let same =
                    |(n, exact): (&(f64, f64), Option<f64>)| exact.is_some_and(|x| near(*n, x));
                if seen.len() < due.len() || !seen.iter().zip(exact).all(same) {
                    let rest: String = rest.chars().take(20).collect();
                    all.push(format!("{before}{rest}: JSON has another number"));
                }
            }
        }
        all
    }

    /// Numbers of a file that are not those of JSON.
    pub fn file(&self, grid: &Grid, json: &Value) -> Vec<String> {
        let same = |cell: &str, exact: Option<f64>| match (cell.parse::<f64>(), exact) {
            (Ok(x), Some(exact)) => alike((x, exact)),
            // JSON has no infinite number.
            (Ok(x), None) => x.is_infinite(),
            (Err(_), exact) => exact.is_none(),
        };
        unlike(&self.file, grid, &grid.heads, json, &same)
    }

    /// Numbers for people under these titles that are not those of JSON to the last digit that is printed.
    pub fn people(&self, grid: &Grid, titles: &[String], json: &Value) -> Vec<String> {
        if let Some(sweep) = grid.name.strip_suffix("-map") {
            return map(sweep, grid, json);
        }
        let same = |cell: &str, exact: Option<f64>| match (numbers(cell).first(), exact) {
            (Some(n), Some(exact)) => near(*n, exact),
            (shown, _) => shown.is_none(),
        };
        unlike(&self.people, grid, titles, json, &same)
    }
}

/// Whether two numbers differ in how they were worked out at most.
fn alike((a, b): (f64, f64)) -> bool {
    (a - b).abs() <= 1e-12 * b.abs()
}

/// The study that a table is of.
fn sweep<'j>(name: &str, json: &'j Value) -> Option<&'j Value> {
    let mut all = json["sweeps"].as_array()?.iter();
    all.find(|s| s["name"] == *name)
}

/// Numbers under some heads of a table that are not those of JSON, or of which nothing is known.
fn unlike(
    blocks: &[Block],
    grid: &Grid,
    heads: &[String],
    json: &Value,
    same: &dyn Fn(&str, Option<f64>) -> bool,
) -> Vec<String> {
    let (name, within) = match sweep(&grid.name, json) {
        Some(study) => ("sweep", study),
        None => (grid.name.as_str(), json),
    };
    let varied = within["vary"].as_array().map_or(0, Vec::len);
    let of_table = |b: &&Block| b.tables.iter().any(|t| t == name);
    let blocks: Vec<&Block> = blocks.iter().filter(of_table).collect();
    let mut all = Vec::new();
    for (i, row) in grid.rows.iter().enumerate() {
        let mut entries = blocks.iter().map(|b| (b, b.entry(grid, i, within)));
        let found = entries.find_map(|(b, entry)| Some((b, entry?)));
        let cells = grid.heads.iter().zip(row).enumerate();
        for (at, (head, cell)) in cells.filter(|(_, (head, _))| heads.contains(head)) {
            // What a sweep varies has another name in each.
            let own = at.to_string();
            let key = if at < varied { &own } else { head };
            let what = found.and_then(|(block, _)| block.columns.get(key));
            let entry = found.map_or(&Value::Null, |(_, entry)| entry);
            let said = match what.map(String::as_str) {
                None if cell.parse::<f64>().is_ok() => "which number of JSON is it?",
                None | Some("") => continue,
                Some(words) if same(cell, value(words, json, entry)) => continue,
                Some(_) => "JSON has another number",
            };
            all.push(format!(
                "{}: {head} {cell:?} of {:?}: {said}",
                grid.name, row[0]
            ));
        }
    }
    all
}

impl Block {
    /// What JSON has for a row.
    fn entry<'j>(&self, grid: &Grid, at: usize, json: &'j Value) -> Option<&'j Value> {
        let row = &grid.rows[at];
        let cell = |head: &str| Some(&row[grid.heads.iter().position(|h| h == head)?]);
        if !self
            .only
            .iter()
            .all(|(head, text)| cell(head) == Some(text))
        {
            return None;
        }
        let mut named = self.named.iter();
        let named = named.find(|(from, _)| row[0].starts_with(*from));
        self.listed(at, &cell, json)
            .or_else(|| json.pointer(named?.1))
    }

    /// What its list has for a row with these cells.
    fn listed<'j, 'c>(
        &self,
        at: usize,
        cell: &dyn Fn(&str) -> Option<&'c String>,
        json: &'j Value,
    ) -> Option<&'j Value> {
        // Entries of lists inside of entries go by what either says.
        let (outer, inner) = self.rows.split_once("/*").unwrap_or((&self.rows, ""));
        let outer = json.pointer(outer)?.as_array()?.iter();
        let mut both = outer.flat_map(|o| match inner {
            "" => vec![(o, o)],
            _ => {
                let inner = o.pointer(inner).and_then(Value::as_array);
                inner.into_iter().flatten().map(|i| (o, i)).collect()
            }
        });
        let is_of = |(outer, inner): &(&Value, &Value)| {
            self.by.iter().all(|(head, pointer)| {
                let own = inner.pointer(pointer).or(outer.pointer(pointer));
                cell(head).is_some_and(|cell| match own {
                    Some(Value::String(text)) => text == cell,
                    Some(Value::Null) | None => cell.is_empty(),
                    Some(number) => cell.parse().ok().zip(number.as_f64()).is_some_and(alike),
                })
            })
        };
        let found = match self.by.is_empty() {
            true => both.nth(at),
            false => both.find(is_of),
        };
        found.map(|(_, entry)| entry)
    }
}

/// A number by its words in `columns.toml`.
fn value(words: &str, whole: &Value, entry: &Value) -> Option<f64> {
    words.split(" or ").find_map(|one| {
        let (mut product, mut divided) = (1.0, false);
        for word in one.split(' ') {
            match word {
                "*" => divided = false,
                ":" => divided = true,
                _ if divided => product /= factor(word, whole, entry)?,
                _ => product *= factor(word, whole, entry)?,
            }
        }
        Some(product)
    })
}

fn factor(word: &str, whole: &Value, entry: &Value) -> Option<f64> {
    if let Some(inner) = word.strip_prefix('|') {
        return factor(inner.strip_suffix('|')?, whole, entry).map(f64::abs);
    }
    if let Some(pointer) = word.strip_prefix('~') {
        return factor(pointer, whole, whole);
    }
    match word {
        "/value" if entry.is_number() => entry.as_f64(),
        _ if word.starts_with('/') => entry.pointer(word)?.as_f64(),
        _ => word.parse().ok(),
    }
}

/// Cells of a map that are not those of the sweep: what the target is about, in % of the result.
fn map(name: &str, grid: &Grid, json: &Value) -> Vec<String> {
    let Some(study) = sweep(name, json) else {
        return vec![format!("{name} is no sweep of JSON")];
    };
    let of = |i: usize| study["vary"][i]["values"].as_array().map_or(0, Vec::len);
    // The number with fewer values goes across.
    let across = usize::from(of(0) > of(1));
    let measure = match study["goal"]["measure"].as_str() {
        None => "/outcome/spread_J_per_mol/value",
        Some(_) => "/outcome/within_95_J_per_mol/value",
    };
    let words = format!("100 * {measure} : |/outcome/result_J_per_mol|");
    let point = |head: &str, first: &str| -> Option<&Value> {
        let due: [f64; 2] = [head.parse().ok()?, first.parse().ok()?];
        let mut points = study["points"].as_array()?.iter();
        points.find(|p| {
            let at = [&p["at"][across], &p["at"][1 - across]];
            at.map(Value::as_f64) == due.map(Some)
        })
    };
    let mut all = Vec::new();
    for row in &grid.rows {
        for (head, cell) in grid.heads.iter().zip(row).skip(1) {
            let exact = point(head, &row[0]).and_then(|p| value(&words, json, p));
            let is_same = match (numbers(cell).first(), exact) {
                (Some(n), Some(exact)) => near(*n, exact),
                _ => false,
            };
            if !is_same {
                all.push(format!(
                    "{name}: {cell} at {head}, {}: JSON has {exact:?}",
                    row[0]
                ));
            }
        }
    }
    all
}
