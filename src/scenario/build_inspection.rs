//! Looking for a residue, and what is done about it.

use super::build::Builder;
use super::document::Raw;
use super::model::{Inspection, RepeatRule};
use super::problem::Problem;
use crate::quantity::{Dimension, Gram};

/// How a leg's residue is looked for; reports what is missing or wrong.
pub(super) fn inspection(b: &mut Builder, leg: &str) -> Inspection {
    match b.choice(leg, "inspection", "kind").as_deref() {
        Some("logistic") => {
            let just_visible = mass(b, leg, "just_visible");
            let surely_visible = mass(b, leg, "surely_visible");
            if surely_visible <= just_visible
                && let Some(found) = b.find(leg, "inspection", "surely_visible")
            {
                b.problem(
                    Problem::error(&found.path, "not above the just visible mass")
                        .hint("residue is noticed in 5 % of cases at one, in 95 % at the other")
                        .at(found.entry.span),
                );
            }
            Inspection::Logistic {
                just_visible,
                surely_visible,
            }
        }
        Some("exponential") => Inspection::Exponential {
            scale: mass(b, leg, "scale"),
        },
        Some("step") => Inspection::Step {
            from: mass(b, leg, "just_visible"),
        },
        _ => Inspection::None,
    }
}

fn mass(b: &mut Builder, leg: &str, name: &str) -> Gram {
    if b.find(leg, "inspection", name).is_none() {
        b.missing(&format!("inspection.{name}"));
    }
    Gram(
        b.positive(leg, "inspection", name, Dimension::Mass)
            .unwrap_or(1.0),
    )
}

/// When a run is repeated: once and then accepted, unless the scenario says otherwise.
pub(super) fn repeat_rule(b: &mut Builder) -> RepeatRule {
    let most = match b.doc.entries.get("repeat.most").map(|e| &e.raw) {
        Some(Raw::Whole(n)) => *n as u32,
        _ => 1,
    };
    RepeatRule {
        most,
        drop: b.choice("", "repeat", "then").as_deref() == Some("drop"),
    }
}
