//! Heat that the thermometer has not felt yet when readings begin to count.
//!
//! In a vessel that loses nothing, the share of the whole change that is felt at a time t after mixing is
//! [`felt_response`] with k = 0: of what is dissolved or liquid already by the time constant of mixing, of a dropped
//! solid by its law, of a heater evenly, and all of it through the lag of the thermometer. What is left of it then
//! comes into the readings as a slope, or after them.

use crate::nature::lag::felt_response;
use crate::quantity::{PerSecond, Second};
use crate::scenario::{Charge, Heat, LawOfDissolving, Leg, SourceId};

/// Share of the heat of a typical run that the thermometer has not felt when readings begin to count.
pub fn unfelt(leg: &Leg) -> f64 {
    let typical = |id: SourceId| Second(leg.binding(id).input.dist.quantile(0.5));
    let (law, time) = match (leg.heat, leg.charge) {
        (Heat::Electrical(heater), _) => (LawOfDissolving::Steady, heater.time),
        (Heat::Reaction, Charge::Dropped | Charge::Metal)
            if leg.law != LawOfDissolving::Instant =>
        {
            (leg.law, typical(SourceId::DissolvingTime))
        }
        _ => (LawOfDissolving::FirstOrder, typical(SourceId::MixingTime)),
    };
    let law = if time.0 > 0.0 {
        law
    } else {
        LawOfDissolving::Instant
    };
    let lag = typical(SourceId::Lag);
    1.0 - felt_response(law, time, PerSecond(0.0), lag, leg.read_from())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::elementary::exp;
    use crate::scenario::{Raw, read, shipped};

    fn left(name: &str, changes: &[(&str, &str)], calibrates: bool) -> f64 {
        let plain = read(shipped(name).unwrap()).unwrap();
        let set = changes
            .iter()
            .map(|(key, text)| ((*key).to_owned(), Raw::Text((*text).to_owned())));
        let s = plain.changed(&set.collect::<Vec<_>>()).unwrap();
        unfelt(if calibrates {
            &s.calibration
        } else {
            &s.determination
        })
    }

    #[test]
    fn what_mixes_and_what_lags_leave_what_their_exponentials_leave() {
        // Readings count from 150 s on.
        let name = "neutralisation-mug";
        let mixes = [
            ("determination.dissolving.mixing_time", "50 s"),
            ("thermometer.lag", "0 s"),
        ];
        assert!((left(name, &mixes, false) - exp(-3.0)).abs() < 1e-12);
        let lags = [
            ("determination.dissolving.mixing_time", "0 s"),
            ("thermometer.lag", "50 s"),
        ];
        assert!((left(name, &lags, false) - exp(-3.0)).abs() < 1e-12);
        // Two in a row: (a e^(-t/a) - b e^(-t/b)) / (a - b).
        let both = [
            ("determination.dissolving.mixing_time", "50 s"),
            ("thermometer.lag", "25 s"),
        ];
        let due = (50.0 * exp(-3.0) - 25.0 * exp(-6.0)) / 25.0;
        assert!((left(name, &both, false) - due).abs() < 1e-10);
    }

    #[test]
    fn a_heater_leaves_what_it_has_still_to_give() {
        let set = |time| {
            [
                ("calibration.electrical.time", time),
                ("thermometer.lag", "0 s"),
            ]
        };
        let name = "neutralisation-mug";
        assert!((left(name, &set("200 s"), true) - 0.25).abs() < 1e-12);
        assert!(left(name, &set("149 s"), true).abs() < 1e-12);
    }

    #[test]
    fn a_solid_leaves_what_its_law_leaves() {
        let set = |time| {
            [
                ("determination.dissolving.time", time),
                ("thermometer.lag", "0 s"),
            ]
        };
        // By the cube root: (1 - 150 / 300)^3.
        let got = left("ammonium-chloride-dewar", &set("300 s"), false);
        assert!((got - 0.125).abs() < 1e-12, "{got}");
        // Dissolved in acid before it is released: the rest comes late by another bound.
        let got = left("permanganate-iron-dewar", &set("2000 s"), false);
        assert!(got < 1e-12, "{got}");
    }
}
