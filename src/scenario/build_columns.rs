//! What files of measured runs call columns and legs: the table `[columns]`; and own mistakes: the table `[slips]`.

use super::build::Builder;
use super::document::Raw;
use super::leg::Leg;
use super::problem::Problem;
use super::run_column::RUN_COLUMNS;
use super::schema::{COLUMNS, SLIPS};
use super::wording::nearest;
use crate::quantity::MOST_GUESSES;
use std::ops::Range;

impl Builder<'_> {
    /// Keys and names as stated; a key is that of a column, or the name of a leg.
    pub(super) fn columns(&mut self, legs: &[&Leg]) -> Vec<(String, String)> {
        let known = RUN_COLUMNS.iter().map(|c| c.key);
        let known: Vec<&str> = known.chain(legs.iter().map(|leg| leg.title())).collect();
        let table = format!("{COLUMNS}.");
        let of_table = |(path, entry): (&String, &super::document::Entry)| {
            let key = path.strip_prefix(&table)?.to_owned();
            Some((path.clone(), key, entry.clone()))
        };
        let stated: Vec<_> = self.doc.entries.iter().filter_map(of_table).collect();
        let mut columns: Vec<(String, String)> = Vec::new();
        for (path, key, entry) in stated {
            let Raw::Text(word) = &entry.raw else {
                continue;
            };
            let word = word.trim();
            let same = |(_, other): &&(String, String)| other.to_lowercase() == word.to_lowercase();
            let problem = if !known.contains(&key.as_str()) {
                let few = self.doc.problems.len() < MOST_GUESSES;
                let near = few.then(|| nearest(&key, known.iter().copied())).flatten();
                let hint = match near {
                    Some(near) => format!("did you mean `{table}{near}`?"),
                    None => "keys are those of the columns, and the names of the legs".to_owned(),
                };
                Problem::error(&path, "unknown key").hint(hint)
            } else if word.is_empty() {
                Problem::error(&path, "an empty name")
                    .hint("leave it out if the file says it as we do")
            } else if let Some((other, _)) = columns.iter().find(same) {
                let message = format!("`{word}` is the name of `{other}` already");
                Problem::error(&path, message).hint("a name in a file means one thing only")
            } else {
                columns.push((key, word.to_owned()));
                continue;
            };
            self.problem(problem.at(entry.span));
        }
        columns
    }

    /// Mistakes as stated; whether their changes are changes of keys shows when they are made.
    pub(super) fn slips(&self) -> Vec<(String, String, Option<Range<usize>>)> {
        let table = format!("{SLIPS}.");
        let of_table = |(path, entry): (&String, &super::document::Entry)| {
            let name = path.strip_prefix(&table)?.to_owned();
            match &entry.raw {
                Raw::Text(text) => Some((name, text.clone(), entry.span.clone())),
                _ => None,
            }
        };
        self.doc.entries.iter().filter_map(of_table).collect()
    }
}
