//! The columns that a file of runs may have: one entry each.
//!
//! The table drives the reader of such files (`measured`), the keys of `[columns]`, and the reference.

use crate::quantity::Dimension as D;
use Holds::{Counts, File, Kind, Number, Text};

/// A column of a file of runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum RunColumn {
    /// What the run is called, for messages and tables.
    Run,
    /// Calibration, determination, the name of a leg, or what reacts in it.
    Kind,
    /// Boat and solid, before it is put in.
    SolidGross,
    /// Empty boat, or boat with what stuck to it.
    SolidTare,
    /// Solid, if the balance was tared.
    Solid,
    /// Liquid in the vessel, as delivered by its device.
    LiquidVolume,
    /// Vessel or flask with the liquid, if it is weighed.
    LiquidGross,
    /// The same without the liquid.
    LiquidTare,
    /// Liquid, if it is weighed and the balance was tared.
    Liquid,
    /// Liquid that enters with the charge, or hot water.
    PortionVolume,
    /// The same, weighed.
    Portion,
    /// Boat and the further solid.
    ReagentGross,
    /// Its empty boat.
    ReagentTare,
    /// Further solid, if the balance was tared.
    Reagent,
    /// Room.
    Room,
    /// Reading before mixing.
    Initial,
    /// Reading after mixing.
    Final,
    /// Change of temperature, if the group worked it out itself.
    Change,
    /// Contents at the moment of mixing.
    Mixing,
    /// Hot water before it was poured.
    Hot,
    /// Heater, voltage.
    Voltage,
    /// Heater, current.
    Current,
    /// Heater, how long it was on.
    Time,
    /// File with the temperature-time record of the run.
    Record,
    /// Moment of mixing on the clock of that record; may be a clock time.
    MixedAt,
    /// Yes (or empty), repeated, rejected.
    Counts,
    /// Anything.
    Remark,
}

/// What the cells of a column hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Holds {
    /// Any text.
    Text,
    /// Which leg the run belongs to.
    Kind,
    /// The name of a file.
    File,
    /// Whether the run counts.
    Counts,
    /// A number with its dimension; least and largest value that is possible, in base units.
    Number(D, f64, f64),
}

/// One column.
#[derive(Debug, Clone, Copy)]
pub struct RunColumnEntry {
    /// Which.
    pub id: RunColumn,
    /// Its header, without the unit.
    pub key: &'static str,
    /// What its cells hold.
    pub holds: Holds,
    /// What it says, for people.
    pub help: &'static str,
    /// A cell as it may look, in base units.
    pub example: &'static str,
}

impl RunColumnEntry {
    /// Dimension of its numbers, if it holds numbers.
    pub fn dimension(&self) -> Option<D> {
        match self.holds {
            Number(d, ..) => Some(d),
            _ => None,
        }
    }

    /// Our header, with the base unit if it holds numbers: `solid_gross [g]`.
    pub fn header(&self) -> String {
        match self.dimension() {
            Some(d) => format!("{} [{}]", self.key, d.base_unit()),
            None => self.key.to_owned(),
        }
    }
}

impl RunColumn {
    /// Its entry.
    pub fn entry(self) -> &'static RunColumnEntry {
        &RUN_COLUMNS[self as usize]
    }
}

const fn column(
    id: RunColumn,
    key: &'static str,
    holds: Holds,
    help: &'static str,
    example: &'static str,
) -> RunColumnEntry {
    RunColumnEntry {
        id,
        key,
        holds,
        help,
        example,
    }
}

// The possible ranges of the keys of a scenario; the tables of the library end at 5 and 45 °C.
const MASS: Holds = Number(D::Mass, 0.0, 1e4);
const LIQUID: Holds = Number(D::Mass, 0.0, 1e5);
const VOLUME: Holds = Number(D::Volume, 0.0, 1e5);
const ROOM: Holds = Number(D::Temperature, 5.0, 45.0);
const READING: Holds = Number(D::Temperature, -20.0, 120.0);
const CHANGE: Holds = Number(D::TemperatureDifference, -100.0, 100.0);
const VOLTAGE: Holds = Number(D::Voltage, 0.0, 1e3);
const CURRENT: Holds = Number(D::Current, 0.0, 100.0);
const ON: Holds = Number(D::Time, 0.0, 1e5);
/// Times of a clock of any origin, seconds since 1970 included.
const MOMENT: Holds = Number(D::Time, -1e10, 1e10);

/// All columns, in the order of [`RunColumn`].
#[rustfmt::skip] // a table: one line, one column
pub const RUN_COLUMNS: &[RunColumnEntry] = &[
    column(RunColumn::Run, "run", Text, "what the run is called, for messages and tables", "1"),
    column(RunColumn::Kind, "kind", Kind, "calibration, determination, the name of a leg, or what reacts in it", "calibration"),
    column(RunColumn::SolidGross, "solid_gross", MASS, "boat and solid, before it is put in", "3.2415"),
    column(RunColumn::SolidTare, "solid_tare", MASS, "empty boat, or boat with what stuck to it", "2.5021"),
    column(RunColumn::Solid, "solid", MASS, "solid, if the balance was tared", "0.7394"),
    column(RunColumn::LiquidVolume, "liquid_volume", VOLUME, "liquid in the vessel, as delivered by its device", "150.0"),
    column(RunColumn::LiquidGross, "liquid_gross", LIQUID, "vessel or flask with the liquid, if it is weighed", "412.3"),
    column(RunColumn::LiquidTare, "liquid_tare", LIQUID, "the same without the liquid", "262.5"),
    column(RunColumn::Liquid, "liquid", LIQUID, "liquid, if it is weighed and the balance was tared", "149.8"),
    column(RunColumn::PortionVolume, "portion_volume", VOLUME, "liquid that enters with the charge, or hot water", "25.0"),
    column(RunColumn::Portion, "portion", LIQUID, "the same, weighed", "24.9"),
    column(RunColumn::ReagentGross, "reagent_gross", MASS, "boat and the further solid", "4.1220"),
    column(RunColumn::ReagentTare, "reagent_tare", MASS, "its empty boat", "2.5021"),
    column(RunColumn::Reagent, "reagent", MASS, "further solid, if the balance was tared", "1.6199"),
    column(RunColumn::Room, "room", ROOM, "room", "21.5"),
    column(RunColumn::Initial, "initial", READING, "reading before mixing", "21.42"),
    column(RunColumn::Final, "final", READING, "reading after mixing", "22.35"),
    column(RunColumn::Change, "change", CHANGE, "change of temperature, if the group worked it out itself", "0.93"),
    column(RunColumn::Mixing, "mixing", READING, "contents at the moment of mixing", "21.44"),
    column(RunColumn::Hot, "hot", READING, "hot water before it was poured", "60.2"),
    column(RunColumn::Voltage, "voltage", VOLTAGE, "heater, voltage", "6.02"),
    column(RunColumn::Current, "current", CURRENT, "heater, current", "1.21"),
    column(RunColumn::Time, "time", ON, "heater, how long it was on", "120"),
    column(RunColumn::Record, "record", File, "file with the temperature-time record of the run", "run-1.csv"),
    column(RunColumn::MixedAt, "mixed_at", MOMENT, "moment of mixing on the clock of that record; may be a clock time", "180"),
    column(RunColumn::Counts, "counts", Counts, "yes (or empty), repeated, rejected", "yes"),
    column(RunColumn::Remark, "remark", Text, "anything", "grains on the rim"),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_in_the_order_of_its_columns_and_no_key_is_there_twice() {
        for (at, entry) in RUN_COLUMNS.iter().enumerate() {
            assert_eq!(entry.id as usize, at, "{}", entry.key);
            let same = RUN_COLUMNS.iter().filter(|e| e.key == entry.key);
            assert_eq!(same.count(), 1, "{}", entry.key);
        }
    }
}
