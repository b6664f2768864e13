//! Where the spread is made: by reading the change of temperature of which leg.
//!
//! A result is in proportion to the change of temperature of its calibration and of its determination. Noise s and last digit
//! d of a reading make the variance (s^2 + d^2/12) sum w^2 / N of the mean over the N runs of a leg, with the weights w of its
//! reduction; over the square of that change it is a part of the relative variance of the result.

use super::outcome::Outcome;
use crate::lab::Reduction;
use crate::scenario::{Heat, Leg, Scenario, SourceId};

/// A part of the variance that is most of it.
const MOST: f64 = 0.5;

/// The leg whose readings make most of the spread, and what makes its change of temperature larger.
#[derive(Debug, Clone, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub struct Made {
    /// Name of the leg.
    pub leg: String,
    /// Its part of the variance.
    pub share: f64,
    /// Key of what to use more of.
    #[serde(rename = "more_of")]
    pub path: String,
    /// What to do.
    #[serde(skip)]
    pub what: String,
}

/// The leg whose readings of temperature make more than half of the variance, if one does.
pub fn made(scenario: &Scenario, own: &Outcome) -> Option<Made> {
    let spread = own.errors.spread.value / own.target;
    let legs = [&scenario.calibration, &scenario.determination];
    let parts = legs.map(|leg| reading(scenario, leg) / (spread * spread));
    let most = usize::from(parts[1] > parts[0]);
    let (leg, share) = (legs[most], parts[most]);
    // The estimate is to first order: more than all of it is all of it.
    let share = share.min(1.0);
    // The name before what explains it.
    let substance = leg.reaction.substance.split(',').next().unwrap_or_default();
    let (path, what) = match leg.heat {
        Heat::Reaction if leg.mass.0 > 0.0 => ("charge.mass", format!("weigh in more {substance}")),
        Heat::Reaction => ("charge.portion", "use more of the portion".to_owned()),
        Heat::Electrical(_) => ("electrical.time", "heat for longer".to_owned()),
        Heat::HotWater { .. } => ("water.hot", "use hotter water".to_owned()),
    };
    (share > MOST && !scenario.is_cycle()).then(|| Made {
        leg: leg.name.clone(),
        share,
        path: format!("{}.{path}", leg.name),
        what,
    })
}

/// Relative variance of the mean change of temperature of a leg by noise and last digit.
fn reading(scenario: &Scenario, leg: &Leg) -> f64 {
    if leg.runs == 0 {
        return 0.0;
    }
    let noise = leg
        .binding(SourceId::Noise)
        .input
        .dist
        .standard_uncertainty();
    let digit = leg.binding(SourceId::Resolution).input.dist.mean();
    let [squares, ..] = Reduction::of(leg).noise_squares(0.0);
    let change = leg.nominal_change(&scenario.room).0;
    (noise * noise + digit * digit / 12.0) * squares / f64::from(leg.runs) / (change * change)
}

impl Made {
    /// In a sentence.
    pub fn words(&self) -> String {
        let leg = self.leg.rsplit('.').next().unwrap_or_default();
        format!(
            "{:.0} % of the variance comes from reading the change of temperature of the {leg}: {} (`{}`) before \
             anything else.",
            100.0 * self.share,
            self.what,
            self.path
        )
    }
}

#[cfg(test)]
mod tests {
    use super::super::DesignOptions;
    use super::*;
    use crate::scenario::{Raw, read, shipped};

    fn of(changes: &[(&str, &str)]) -> Option<Made> {
        let text = |(k, v): &(&str, &str)| ((*k).to_owned(), Raw::Text((*v).to_owned()));
        let s = read(shipped("ammonium-chloride-dewar").unwrap()).unwrap();
        let s = s
            .changed(&changes.iter().map(text).collect::<Vec<_>>())
            .unwrap();
        let options = DesignOptions {
            trials: 4096,
            ..DesignOptions::new(1)
        };
        made(&s, &Outcome::of(&s, &options).unwrap())
    }

    #[test]
    fn it_is_the_leg_with_the_coarser_thermometer_for_its_change() {
        let coarse = ("thermometer.noise", "s = 12 mK");
        let own = of(&[coarse]).unwrap();
        assert_eq!(own.path, "calibration.charge.mass");
        assert!(own.share > 0.6, "{own:?}");
        let other = of(&[
            coarse,
            ("calibration.charge.mass", "1.4 g"),
            ("calibration.charge.window", "1.38 g to 1.42 g"),
            ("determination.charge.mass", "0.2 g"),
            ("determination.charge.window", "0.19 g to 0.21 g"),
        ]);
        assert_eq!(other.unwrap().path, "determination.charge.mass");
        assert_eq!(
            of(&[
                ("thermometer.noise", "s = 0.1 mK"),
                ("thermometer.resolution", "0.1 mK")
            ]),
            None
        );
    }
}
