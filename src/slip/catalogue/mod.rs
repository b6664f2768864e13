//! The mistakes that are known: one entry for each.

mod charge;
mod evaluation;
mod liquid;
mod temperature;

use super::acts::Act;
use super::place::Place;
use super::size::Size;
use crate::scenario::{Charge, Heat, LawOfDissolving, Leg, Record, Scenario, SourceId, Supply};
use std::borrow::Cow;

/// A mistake.
#[derive(Debug, Clone)]
pub struct Mistake {
    /// What it is called on the command line.
    pub key: Cow<'static, str>,
    /// What happened.
    pub words: Cow<'static, str>,
    /// Its size: usual and plausible.
    pub size: Size,
    /// Legs in which it can happen.
    pub fits: fn(&Scenario, &Leg) -> bool,
    /// In which runs it may be made; those of [`Self::fits`] apart.
    pub places: &'static [Place],
    /// What it changes.
    pub act: Act,
    /// Where it enters the chain.
    pub enters: Cow<'static, str>,
    /// How one would notice, and what that costs.
    pub check: Cow<'static, str>,
}

/// Made in some kinds of runs, or in one.
const EACH: &[Place] = &Place::ALL;
/// Made with the whole evaluation.
const WHOLE: &[Place] = &[Place::Both];
/// Made with the calibration alone.
const CALIBRATION: &[Place] = &[Place::Calibration];
/// Made with the determinations alone.
const DETERMINATIONS: &[Place] = &[Place::Determinations];

/// Writes a table of mistakes: key, words; size; runs; legs; what it changes; where it enters; how one would notice.
macro_rules! mistakes {
    ($name:ident: $($key:literal, $words:literal; $size:expr, $places:expr, $fits:expr, $act:expr;
        $enters:literal; $check:literal;)*) => {
        pub(super) const $name: &[Mistake] = &[$(Mistake {
            key: Cow::Borrowed($key), words: Cow::Borrowed($words), size: $size, fits: $fits, places: $places,
            act: $act, enters: Cow::Borrowed($enters), check: Cow::Borrowed($check),
        },)*];
    };
}
use mistakes;

/// All of them, in the order of an experiment.
pub fn all() -> impl Iterator<Item = &'static Mistake> {
    let tables = [
        charge::MISTAKES,
        liquid::MISTAKES,
        temperature::MISTAKES,
        evaluation::MISTAKES,
    ];
    tables.into_iter().flatten()
}

/// Any leg with runs.
fn any(_: &Scenario, leg: &Leg) -> bool {
    leg.runs > 0
}

/// A weighed solid that reacts.
fn solid(s: &Scenario, leg: &Leg) -> bool {
    any(s, leg) && leg.heat == Heat::Reaction && leg.mass.0 > 0.0
}

/// A solid that dissolves over time.
fn slow(s: &Scenario, leg: &Leg) -> bool {
    solid(s, leg) && leg.law != LawOfDissolving::Instant
}

/// A hydrate.
fn hydrate(s: &Scenario, leg: &Leg) -> bool {
    solid(s, leg) && leg.reaction.anhydrous.is_some()
}

/// A stock.
fn stock(s: &Scenario, leg: &Leg) -> bool {
    let stock = |r: &crate::scenario::Reagent| matches!(r.supply, Supply::InStock(_));
    any(s, leg) && leg.reagents.iter().any(stock)
}

/// A portion of liquid.
fn portion(s: &Scenario, leg: &Leg) -> bool {
    any(s, leg) && leg.portion.is_some() && !matches!(leg.heat, Heat::HotWater { .. })
}

/// A reagent that comes in a portion.
fn reagent_portion(s: &Scenario, leg: &Leg) -> bool {
    portion(s, leg) && matches!(leg.charge, Charge::Liquid { .. })
}

/// A reagent in the liquid of the vessel.
fn reagent_liquid(s: &Scenario, leg: &Leg) -> bool {
    let there = |r: &crate::scenario::Reagent| matches!(r.supply, Supply::InLiquid { .. });
    any(s, leg) && leg.reagents.iter().any(there)
}

/// A record whose lines begin where the procedure says.
fn lines(s: &Scenario, leg: &Leg) -> bool {
    use crate::scenario::ReductionMethod as R;
    any(s, leg)
        && matches!(leg.record, Record::Trace { .. })
        && !matches!(leg.way, R::Extreme | R::TwoReadings)
}

/// Lines that are carried back to a moment that the lab takes down.
fn to_a_moment(s: &Scenario, leg: &Leg) -> bool {
    lines(s, leg) && leg.way == crate::scenario::ReductionMethod::BackToMixing
}

/// Two readings.
fn two_readings(s: &Scenario, leg: &Leg) -> bool {
    any(s, leg) && leg.way == crate::scenario::ReductionMethod::TwoReadings
}

/// What a share of a solid's mass is, g.
fn of_mass(leg: &Leg, share: f64) -> f64 {
    leg.mass.0 * share
}

/// Multiplies what a source is, with what it errs by.
fn times(leg: &mut Leg, id: SourceId, factor: f64) {
    let input = &mut leg.bindings[id as usize].input;
    input.dist = input.dist.scaled(factor);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_mistake_has_a_key_of_its_own_and_says_how_it_is_noticed() {
        let all: Vec<&Mistake> = all().collect();
        assert!(all.len() > 40);
        for (i, m) in all.iter().enumerate() {
            assert!(
                all[..i]
                    .iter()
                    .all(|o| o.key != m.key && o.words != m.words)
            );
            assert!(m.check.len() > 10 && m.enters.len() > 10, "{}", m.key);
            assert!(
                m.key
                    .chars()
                    .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
            );
        }
    }
}
