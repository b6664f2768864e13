//! The cautions of a scenario: those of its author, then those of everything that it names.

use super::build::Builder;
use super::chemistry::{Heat, Supply};
use super::document::Raw;
use super::leg::Leg;
use std::fmt::{Display, Formatter};

const ELECTRICAL: &str =
    "Low voltage only; switch it on under the liquid and off before it is taken out";

const SCALDING: &str = "It scalds from about 50 °C on; pour away from the body";

/// Something that can hurt people or the environment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Caution {
    /// What it is about.
    pub of: String,
    /// What can happen, and what to do against it.
    pub text: String,
}

impl Display for Caution {
    fn fmt(&self, f: &mut Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}: {}", self.of, self.text)
    }
}

impl Builder<'_> {
    /// Cautions of the procedure itself, then of everything in it.
    pub(super) fn cautions(&self, legs: &[&Leg]) -> Vec<Caution> {
        let mut all: Vec<Caution> = Vec::new();
        let mut add = |of: &str, cautions: &[String]| {
            for caution in cautions {
                let named = Caution {
                    of: of.to_owned(),
                    text: caution.clone(),
                };
                if !all.contains(&named) {
                    all.push(named);
                }
            }
        };
        if let Some(Raw::Texts(notes)) = self.find("", "hazards", "notes").map(|f| f.entry.raw) {
            add("This procedure", &notes);
        }
        let lib = self.library;
        for leg in legs {
            let mut solids: Vec<&str> = Vec::new();
            let mut liquids = vec![leg.liquid.key.as_str()];
            if let Some(r) = lib.reactions.get(&leg.reaction.key)
                && leg.heat == Heat::Reaction
            {
                if let Some(s) = lib.substances.get(&r.substance) {
                    add(&s.title, &s.cautions);
                    add(&s.title, &r.cautions);
                }
                liquids.push(&r.medium);
            }
            for reagent in &leg.reagents {
                match &reagent.supply {
                    Supply::InStock(s) => solids.push(&s.solid.key),
                    Supply::Weighed(w) => solids.push(&w.solid.key),
                    Supply::InLiquid { .. } => {}
                }
            }
            for s in solids.into_iter().filter_map(|key| lib.substances.get(key)) {
                add(&s.title, &s.cautions);
            }
            liquids.extend(leg.portion.as_ref().map(|p| p.liquid.key.as_str()));
            for l in liquids.into_iter().filter_map(|key| lib.liquids.get(key)) {
                add(&l.title, &l.cautions);
            }
            match leg.heat {
                Heat::Electrical(_) => add("Heater", &[ELECTRICAL.to_owned()]),
                Heat::HotWater { .. } => add("Hot water", &[SCALDING.to_owned()]),
                Heat::Reaction => {}
            }
        }
        for leg in legs {
            let vessel = match self.find(&leg.name, "vessel", "use").map(|f| f.entry.raw) {
                Some(Raw::Text(key)) => lib.vessels.get(&key),
                _ => None,
            };
            if let Some(v) = vessel {
                add(&v.title, &v.cautions);
            }
        }
        all
    }
}
