//! Which leg a run belongs to.

use super::header::plain;
use super::names::{Named, Names};
use super::problem::shown;
use crate::scenario::{Heat, Leg, Scenario, library_of, nearest};

/// The words for the legs of a scenario.
pub(super) struct Kinds {
    /// Word, leg, and whether it is the name of that leg rather than of something in it.
    words: Vec<(String, usize, bool)>,
    /// The leg of all runs, where a scenario has only one that is run.
    only: Option<usize>,
    /// Leg names for messages.
    legs: Vec<String>,
    calibrates: bool,
}

impl Kinds {
    pub(super) fn new(scenario: &Scenario, names: &Names) -> Self {
        let legs = scenario.legs();
        let run: Vec<usize> = (0..legs.len()).filter(|i| legs[*i].runs > 0).collect();
        // Only a text that has the word can have entries of its own; to read it again takes a while.
        let own = scenario.text.contains("library");
        let own = own.then(|| library_of(&scenario.text, &scenario.library).ok());
        let own = own.flatten();
        let library = own.as_ref().unwrap_or(&scenario.library);
        let mut words: Vec<(String, usize, bool)> = Vec::new();
        for &i in &run {
            let leg = legs[i];
            let mut add = |word: &str, firm| words.push((plain(word), i, firm));
            add(leg.title(), true);
            for name in names.all.iter().filter(|n| n.named == Named::Leg(i)) {
                add(&name.word, true);
            }
            let reaction = library.reactions.get(&leg.reaction.key);
            let substance = reaction.and_then(|r| library.substances.get(&r.substance));
            for word in kind_words(leg) {
                add(word, false);
            }
            if let (Heat::Reaction, Some(substance)) = (leg.heat, substance) {
                add(&substance.key, false);
                add(&substance.formula.text, false);
            }
        }
        Self {
            words,
            only: (run.len() == 1).then(|| run[0]),
            legs: run.iter().map(|i| legs[*i].title().to_owned()).collect(),
            calibrates: legs[0].runs > 0,
        }
    }

    /// The leg of all runs, where there is only one.
    pub(super) fn only(&self) -> Option<usize> {
        self.only
    }

    /// What the cells may say.
    pub(super) fn choices(&self) -> String {
        format!("`{}`", self.legs.join("`, `"))
    }

    /// The leg that a cell names.
    ///
    /// # Errors
    /// What is wrong with it, and what to do.
    pub(super) fn find(&self, cell: &str) -> Result<usize, (String, String)> {
        let word = plain(cell);
        let cell = shown(cell);
        for firm in [true, false] {
            let fits = self
                .words
                .iter()
                .filter(|(w, _, f)| *w == word && *f == firm);
            let mut legs: Vec<usize> = fits.map(|(_, leg, _)| *leg).collect();
            legs.dedup();
            match legs[..] {
                [] => {}
                [leg] => return Ok(leg),
                _ => {
                    let message = format!("`{cell}` may be more than one kind of run");
                    return Err((message, format!("write {}", self.choices())));
                }
            }
        }
        if word == "calibration" && !self.calibrates {
            let message = "this scenario does not calibrate".to_owned();
            return Err((message, format!("write {}", self.choices())));
        }
        let near = nearest(&word, self.words.iter().map(|(w, ..)| w.as_str()));
        let near = near.map_or(String::new(), |n| format!(", did you mean `{n}`?"));
        let hint = format!(
            "kinds are {}{near}; [columns] may give them other names",
            self.choices()
        );
        Err((format!("`{cell}` is no kind of run"), hint))
    }
}

/// What people may call a leg by what is in it.
fn kind_words(leg: &Leg) -> Vec<&str> {
    match leg.heat {
        Heat::Reaction => vec![
            &leg.reaction.key,
            &leg.reaction.title,
            &leg.reaction.substance,
        ],
        Heat::Electrical(_) => vec!["electrical", "heater"],
        Heat::HotWater { .. } => vec!["hot and cold water", "hot water"],
    }
}
