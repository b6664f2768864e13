//! Mistakes with the thermometer, the record and the vessel.

use super::super::acts::{Act, change};
use super::super::size::{Size, Unit};
use super::*;
use crate::lab::{Entry, LegPages};
use crate::quantity::Second;
use crate::random::{BLOCK, Column};
use crate::scenario::ReductionMethod;
use SourceId as S;
use std::rc::Rc;

mistakes! {
    MISTAKES:
    "reads-high", "thermometer reads too high by a constant"; Size::of(Unit::Kelvin, [0.5, 0.05, 2.0]).both_ways(), EACH, any,
        Act::Happens(|leg, x| leg.let_be(S::Offset, x));
        "nothing in a difference; the temperature at which tabulated values are taken";
        "hold it into melting ice: ten minutes once";
    "long-scale", "scale of the thermometer too long (%)"; Size::percent(1.0, 0.1, 3.0).both_ways(), EACH, any,
        Act::Happens(|leg, x| leg.let_be(S::ThermometerGain, x));
        "every change of temperature in proportion; it cancels where one thermometer serves all runs";
        "compare with another thermometer at two temperatures: ten minutes once";
    "slow-thermometer", "thermometer slow (time constant)"; Size::of(Unit::Second, [30.0, 5.0, 120.0]), EACH, any,
        Act::Happens(|leg, x| leg.let_be(S::Lag, x));
        "readings come late; lines carried back to mixing keep their distance";
        "dip it into warm water and watch: a minute once";
    "drifting", "reading creeps during a run"; Size::of(Unit::KelvinPerMinute, [0.02, 0.001, 0.1]).both_ways(), EACH, any,
        Act::Happens(|leg, x| leg.let_be(S::Drift, x));
        "a difference of readings far apart; straight lines remove it";
        "record a vessel of water without a reaction: ten minutes once";
    "misread", "change of temperature written down too large"; Size::of_change([0.1, 0.01, 0.3]).both_ways(), EACH, any,
        Act::Noted(|page, _, x| {
            change(page, Entry::Change, |t| t + x * t.signum());
        });
        "the change of temperature of that run";
        "compare with the other runs; look at the record again: costs nothing";
    "wrong-way", "initial and final temperature exchanged"; Size::NONE, EACH, any,
        Act::Noted(|page, _, _| change(page, Entry::Change, |t| -t));
        "the sign of the change of temperature";
        "did the vessel become warmer or colder?: costs nothing";
    "changes-swapped", "changes of temperature of calibration and determination swapped"; Size::NONE, WHOLE, any,
        Act::Runs(swap);
        "both kinds of run have the other's change of temperature";
        "compare the notebook with the records: costs nothing";
    "line-early", "line behind begun too early (by)"; Size::of(Unit::Second, [60.0, 10.0, 300.0]).both_ways(), EACH, lines,
        Act::Happens(|leg, x| {
            if let Record::Trace { settle, .. } = &mut leg.record {
                *settle = Second((settle.0 - x).max(0.0));
            }
        });
        "late heat belongs to the line, whose slope is too steep";
        "look at the residuals of the line: costs nothing";
    "moment", "moment of mixing taken too late (by)"; Size::of(Unit::Second, [10.0, 2.0, 60.0]).both_ways(), EACH, to_a_moment,
        Act::Moment;
        "where both lines are compared: their slopes differ by leak and stirring";
        "look where the record bends: costs nothing";
    "extreme", "extreme reading taken instead of the lines"; Size::NONE, EACH,
        |s, leg| lines(s, leg),
        Act::Happens(|leg, _| leg.way = ReductionMethod::Extreme);
        "leak until the extreme is lost, noise picks the extreme";
        "reduce the record again: some minutes";
    "read-late", "second reading taken too late (by)"; Size::of(Unit::Second, [60.0, 10.0, 300.0]), EACH, two_readings,
        Act::Happens(|leg, x| match &mut leg.record {
            Record::Trace { read_at, .. } | Record::TwoReadings { read_at, .. } => *read_at = Second(read_at.0 + x),
        });
        "what leaks away until then";
        "look at the watch: costs nothing";
    "lid-open", "lid open or vessel badly closed (times the leak)"; Size::of(Unit::Times, [3.0, 1.2, 10.0]), EACH, any,
        Act::Happens(|leg, x| times(leg, S::Leak, x));
        "heat leaks away faster; straight lines remove most of it";
        "compare the slopes of the lines behind: costs nothing";
    "stirrer", "stirrer faster than in the other runs (heat of stirring)"; Size::of(Unit::Watt, [0.05, 0.005, 0.5]), EACH, any,
        Act::Happens(|leg, x| {
            let input = &mut leg.bindings[S::Stirring as usize].input;
            input.dist = input.dist.shifted(x);
        });
        "both lines are steeper; straight lines remove it, two readings do not";
        "compare the slopes before mixing: costs nothing";
    "away-from-room", "started warmer than the room (by)"; Size::of(Unit::Kelvin, [3.0, 0.3, 10.0]).both_ways(), EACH,
        |s, leg| any(s, leg) && leg.asks_for(S::Disequilibrium),
        Act::Happens(|leg, x| leg.let_be(S::Disequilibrium, x));
        "leak along the whole record, and tables are read at another temperature";
        "compare the first reading with the room: costs nothing";
    "another-vessel", "vessel heavier than the one calibrated (%)"; Size::percent(10.0, 1.0, 100.0).both_ways(), EACH, any,
        Act::Happens(|leg, x| times(leg, S::VesselHeat, 1.0 + x));
        "its heat capacity is not the calibrated one";
        "number the vessels: costs nothing";
    "hot-water-cooled", "hot water cooled while it was poured (by)"; Size::of(Unit::Kelvin, [1.0, 0.1, 5.0]), CALIBRATION,
        |s, leg| any(s, leg) && matches!(leg.heat, Heat::HotWater { .. }),
        Act::Happens(|leg, x| leg.let_be(S::PouringLoss, x));
        "less heat than reckoned: the constant is too large";
        "read the hot water in the vessel that pours: costs nothing";
    "heater-time", "heater on for longer than written down (by)"; Size::of(Unit::Second, [5.0, 0.5, 60.0]).both_ways(), CALIBRATION,
        |s, leg| any(s, leg) && matches!(leg.heat, Heat::Electrical(_)),
        Act::Happens(|leg, x| {
            let input = &mut leg.bindings[S::HeatingTime as usize].input;
            input.dist = input.dist.shifted(x);
        });
        "more heat than reckoned: the constant is too small";
        "look at the record: how long does it climb?: costs nothing";
}

/// Exchanges the mean changes of temperature of calibration and determination.
fn swap(legs: &mut [Rc<LegPages>]) {
    let means: Vec<Column<f64>> = legs.iter().map(|leg| leg.mean(Entry::Change)).collect();
    for (at, leg) in legs.iter_mut().enumerate() {
        let other = if at == 0 { 1 } else { 0 };
        // Each run keeps its distance from the mean of its kind.
        for page in &mut Rc::make_mut(leg).runs {
            if let Some(change) = page.entry_mut(Entry::Change) {
                for i in 0..BLOCK {
                    change[i] += means[other][i] - means[at][i];
                }
            }
        }
    }
}
