//! An empty file of runs to fill in.

use crate::quantity::decimal;
use crate::scenario::{Charge, Heat, Leg, LiquidBy, Per, Record, RunColumn as C, Scenario, Supply};
use std::collections::BTreeMap;

/// How an empty file of runs is written.
#[derive(Debug, Clone, Copy, Default)]
pub struct TemplateForm {
    /// Decimal commas and semicolons in place of points and commas.
    pub decimal_comma: bool,
    /// Also columns that may be filled in in place of others: net masses, readings, the change of temperature.
    pub all_columns: bool,
}

/// A file of runs with the columns that the runs of this scenario need, and one example line for each leg with the
/// targets of its procedure. Columns that may stand in place of others are empty there.
pub fn template(scenario: &Scenario, form: TemplateForm) -> String {
    let decimal_comma = form.decimal_comma;
    let legs = scenario.legs().into_iter().filter(|leg| leg.runs > 0);
    let lines: Vec<BTreeMap<C, String>> = legs
        .zip(1..)
        .map(|(leg, number)| line(scenario, leg, number, decimal_comma))
        .collect();
    let mut columns: Vec<C> = lines.iter().flat_map(|l| l.keys().copied()).collect();
    if form.all_columns {
        let has = |own: &[C]| own.iter().any(|c| columns.contains(c));
        let more = INSTEAD.iter().filter(|(own, _)| has(own));
        let more: Vec<C> = more.flat_map(|(_, more)| more.iter().copied()).collect();
        columns.extend(more);
    }
    columns.sort();
    columns.dedup();
    let separator = if decimal_comma { b';' } else { b',' };
    let mut writer = csv::WriterBuilder::new()
        .delimiter(separator)
        .from_writer(Vec::new());
    let headers: Vec<String> = columns.iter().map(|c| c.entry().header()).collect();
    let rows = lines.iter().map(|line| {
        let cell = |c: &C| line.get(c).cloned().unwrap_or_default();
        columns.iter().map(cell).collect::<Vec<String>>()
    });
    for row in std::iter::once(headers).chain(rows) {
        // Into memory, rows of one width: nothing can fail.
        writer.write_record(&row).expect("a row");
    }
    let bytes = writer.into_inner().expect("in memory");
    String::from_utf8(bytes).expect("text")
}

/// Columns, and those that may be filled in in their place.
const INSTEAD: [(&[C], &[C]); 5] = [
    (&[C::SolidGross], &[C::Solid]),
    (
        &[C::LiquidVolume, C::LiquidGross],
        &[C::LiquidVolume, C::LiquidGross, C::LiquidTare, C::Liquid],
    ),
    (
        &[C::PortionVolume, C::Portion],
        &[C::PortionVolume, C::Portion],
    ),
    (&[C::ReagentGross], &[C::Reagent]),
    (
        &[C::Initial, C::Record],
        &[
            C::Initial,
            C::Final,
            C::Change,
            C::Mixing,
            C::Record,
            C::MixedAt,
        ],
    ),
];

/// Decimals that instruments show.
const MASS: usize = 4;
const VOLUME: usize = 2;
const TEMPERATURE: usize = 2;

/// Mass of a flask in which a liquid may be weighed, g.
const FLASK: f64 = 250.0;

/// The cells of a run that goes as planned.
fn line(scenario: &Scenario, leg: &Leg, number: usize, decimal_comma: bool) -> BTreeMap<C, String> {
    let room = &scenario.room;
    let mut cells = BTreeMap::new();
    for (column, word) in [
        (C::Run, number.to_string()),
        (C::Kind, leg.title().to_owned()),
        (C::Counts, "yes".to_owned()),
        (C::Remark, "example, replace".to_owned()),
    ] {
        cells.insert(column, word);
    }
    let mut put = |column: C, value: f64, places: usize| {
        let text = format!("{value:.places$}");
        let text = if decimal_comma {
            text.replace('.', ",")
        } else {
            text
        };
        cells.insert(column, text);
    };
    let boat = leg.boat.0;
    let is_reaction = matches!(leg.heat, Heat::Reaction);
    if is_reaction && !matches!(leg.charge, Charge::Liquid { .. }) {
        put(C::SolidGross, boat + leg.mass_of(0).0, MASS);
        put(C::SolidTare, boat, MASS);
    }
    match leg.liquid_by {
        LiquidBy::Volume { nominal, .. } => put(C::LiquidVolume, nominal.0, VOLUME),
        LiquidBy::Weighed { nominal } => {
            put(C::LiquidGross, FLASK + nominal.0, VOLUME);
            put(C::LiquidTare, FLASK, VOLUME);
        }
    }
    match leg.portion.as_ref().map(|p| p.by) {
        Some(LiquidBy::Volume { nominal, .. }) => put(C::PortionVolume, nominal.0, VOLUME),
        Some(LiquidBy::Weighed { nominal }) => put(C::Portion, nominal.0, VOLUME),
        None => {}
    }
    // Of the other reagents only the one counts that the result is stated for.
    let reagent = match leg.per {
        Per::Reagent(at) if is_reaction => Some(&leg.reagents[at].supply),
        _ => None,
    };
    let reagent = match reagent {
        Some(Supply::Weighed(w)) => Some(w.mass.0),
        Some(Supply::InStock(s)) => Some(s.mass.0),
        _ => None,
    };
    if let Some(mass) = reagent {
        put(C::ReagentGross, boat + mass, MASS);
        put(C::ReagentTare, boat, MASS);
    }
    put(C::Room, room.temperature.0, TEMPERATURE);
    match leg.heat {
        Heat::Reaction => {}
        Heat::Electrical(heater) => {
            put(C::Voltage, heater.voltage.0, 3);
            put(C::Current, heater.current.0, 3);
            put(C::Time, heater.time.0, 1);
        }
        Heat::HotWater { hot, .. } => put(C::Hot, hot.0, TEMPERATURE),
    }
    let start = match leg.heat {
        Heat::HotWater { cold, .. } => cold.0,
        _ => room.temperature.0,
    };
    match leg.record {
        Record::TwoReadings { .. } => {
            put(C::Initial, start, TEMPERATURE);
            put(
                C::Final,
                decimal(start + leg.nominal_change(room).0),
                TEMPERATURE,
            );
        }
        Record::Trace { fore, .. } => {
            put(C::MixedAt, fore.0, 0);
            cells.insert(C::Record, format!("run-{number}.csv"));
        }
    }
    cells
}
