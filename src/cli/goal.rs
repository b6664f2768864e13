//! What a design study is asked to reach, from the command line.

use super::args::GoalArguments;
use super::{Exit, output};
use crate::design::{Goal, cap};
use crate::quantity::{Dimension, parse_quantity_as};
use crate::scenario::{Problems, Raw, Scenario, Severity};

/// The scenario with the band of the command line, the goal, and the cap of the change of temperature.
pub(super) fn asked(
    a: &GoalArguments,
    scenario: Scenario,
) -> Result<(Scenario, Option<Goal>, f64), Exit> {
    let scenario = match &a.band {
        Some(band) => {
            fraction("--band", band, 1e3)?;
            with(&scenario, "target.band", band)?
        }
        None => scenario,
    };
    let goal = match (&a.spread, &a.within, &a.pass) {
        (Some(x), _, _) => Some(Goal::Spread(fraction("--spread", x, 1e3)?)),
        (_, Some(x), _) => Some(Goal::Within(fraction("--within", x, 1e3)?)),
        (_, _, Some(x)) => Some(Goal::Pass(fraction("--pass", x, 1.0)?)),
        _ => Goal::of(&scenario),
    };
    if matches!(goal, Some(Goal::Pass(_))) && scenario.target.band.is_none() {
        return Err(refused(
            "--pass needs a band: add --band \"5 %\", or `band` under [target] of the scenario",
        ));
    }
    let cap = match &a.cap {
        Some(text) => positive("--cap", text, Dimension::TemperatureDifference)?,
        None => cap(&scenario),
    };
    Ok((scenario, goal, cap))
}

/// The scenario with a key that an option states; its warnings stay those of the file.
pub(super) fn with(scenario: &Scenario, key: &str, text: &str) -> Result<Scenario, Exit> {
    let set = [(key.to_owned(), Raw::Text(text.to_owned()))];
    let mut changed = scenario.changed(&set).map_err(|Problems(all)| {
        // Warnings of the file stand before it.
        let error = all.iter().find(|p| p.severity == Severity::Error);
        refused(&error.map_or(String::new(), ToString::to_string))
    })?;
    changed.warnings.clone_from(&scenario.warnings);
    Ok(changed)
}

/// A quantity of an option that must be above zero.
pub(super) fn positive(option: &str, text: &str, dimension: Dimension) -> Result<f64, Exit> {
    match parse_quantity_as(text, dimension) {
        Ok(x) if x > 0.0 => Ok(x),
        Ok(_) => Err(refused(&format!("{option}: must be above zero"))),
        Err(e) => Err(refused(&format!("{option}: {e}"))),
    }
}

fn fraction(option: &str, text: &str, most: f64) -> Result<f64, Exit> {
    match parse_quantity_as(text, Dimension::Fraction) {
        Ok(x) if x > 0.0 && x <= most => Ok(x),
        Ok(_) => Err(refused(&format!("{option}: {text} is out of range"))),
        Err(e) => Err(refused(&format!("{option}: {e}"))),
    }
}

/// Says what is wrong with the command line.
pub(super) fn refused(message: &str) -> Exit {
    output::complain(message);
    Exit::BadInput
}
