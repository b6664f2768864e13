//! A table: columns, each described once for every form, and rows of cells.

use super::cell::Cell;
use std::borrow::Cow;

/// What a number is in.
#[derive(Debug, Clone, PartialEq)]
pub struct Unit {
    /// What people read.
    pub shown: Cow<'static, str>,
    /// How much of the result's unit one of it is.
    pub per: f64,
    /// What a program reads: the unit of the result, as the end of a name.
    pub suffix: Cow<'static, str>,
}

impl Unit {
    /// As it is shown, how much of the result's unit it is, and how a program's name ends.
    pub const fn new(shown: &'static str, per: f64, suffix: &'static str) -> Self {
        Self {
            shown: Cow::Borrowed(shown),
            per,
            suffix: Cow::Borrowed(suffix),
        }
    }
}

/// A number without a unit.
pub const NONE: Unit = Unit::new("", 1.0, "");
/// °C.
pub const CELSIUS: Unit = Unit::new("°C", 1.0, "C");
/// J/K.
pub const J_PER_K: Unit = Unit::new("J/K", 1.0, "J_per_K");
/// s.
pub const SECOND: Unit = Unit::new("s", 1.0, "s");
/// A share from 0 to 1, or a relative number, in percent.
pub const PERCENT: Unit = Unit::new("%", 0.01, "");
/// A molar energy in J/mol, in kJ/mol.
pub const KJ_PER_MOL: Unit = Unit::new("kJ/mol", 1e3, "J_per_mol");
/// A molar energy as it is.
pub const J_PER_MOL: Unit = Unit::new("J/mol", 1.0, "J_per_mol");
/// A difference of temperature.
pub const KELVIN: Unit = Unit::new("K", 1.0, "K");
/// A mass.
pub const GRAM: Unit = Unit::new("g", 1.0, "g");
/// A time in seconds, in hours.
pub const HOUR: Unit = Unit::new("h", 3600.0, "s");
/// A volume.
pub const MILLILITRE: Unit = Unit::new("mL", 1.0, "mL");
/// A relative number that is in percent for programs too.
pub const IN_PERCENT: Unit = Unit::new("%", 1.0, "percent");

/// What the cells of a column are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Words, which may be wrapped.
    Words,
    /// A key or a name to be copied, which stays whole.
    Code,
    /// A number.
    Number,
    /// A number with its standard error.
    Estimate,
    /// Two ends.
    Interval,
}

impl Kind {
    /// Numbers or words that a program reads of one cell.
    pub const fn parts(self) -> usize {
        match self {
            Self::Estimate | Self::Interval => 2,
            Self::Words | Self::Code | Self::Number => 1,
        }
    }
}

/// Where a column appears.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// On screen and page, but in no file: numbers or words for people where the file has others for programs.
    People,
    /// Everywhere.
    Screen,
    /// On the page and in files: a screen has no room for it.
    Page,
    /// In files only.
    File,
}

/// A column.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Its heading, without the unit.
    pub head: String,
    /// Its name for programs, without the unit.
    pub key: String,
    /// Unit of its numbers.
    pub unit: Unit,
    /// What its cells are.
    pub kind: Kind,
    /// Where it appears.
    pub place: Place,
}

impl Column {
    /// A column; its name for programs is its heading with underscores.
    pub fn new(head: &str, kind: Kind, unit: Unit) -> Self {
        let key = head.to_lowercase().replace([' ', '-'], "_");
        Self {
            head: head.to_owned(),
            key: key.replace([',', '.', '\'', '%'], ""),
            unit,
            kind,
            place: Place::Screen,
        }
    }

    /// Words.
    pub fn words(head: &str) -> Self {
        Self::new(head, Kind::Words, NONE)
    }

    /// Keys.
    pub fn code(head: &str) -> Self {
        Self::new(head, Kind::Code, NONE)
    }

    /// Numbers.
    pub fn number(head: &str, unit: Unit) -> Self {
        Self::new(head, Kind::Number, unit)
    }

    /// Numbers with standard errors.
    pub fn estimate(head: &str, unit: Unit) -> Self {
        Self::new(head, Kind::Estimate, unit)
    }

    /// Intervals.
    pub fn interval(head: &str, unit: Unit) -> Self {
        Self::new(head, Kind::Interval, unit)
    }

    /// Another name for programs.
    #[must_use]
    pub fn key(mut self, key: &str) -> Self {
        self.key = key.to_owned();
        self
    }

    /// Not everywhere.
    #[must_use]
    pub fn at(mut self, place: Place) -> Self {
        self.place = place;
        self
    }

    /// Heading with unit.
    pub fn title(&self) -> String {
        match &*self.unit.shown {
            "" => self.head.clone(),
            unit if self.head.is_empty() => unit.to_owned(),
            unit => format!("{}, {unit}", self.head),
        }
    }

    /// Names of what [`Cell::raw`] gives.
    pub fn raw_names(&self) -> Vec<String> {
        let of = |part: &str| {
            let unit = match &*self.unit.suffix {
                "" => String::new(),
                suffix => format!("_{suffix}"),
            };
            format!("{}{part}{unit}", self.key)
        };
        match self.kind {
            Kind::Estimate => vec![of(""), of("_se")],
            Kind::Interval => vec![of("_low"), of("_high")],
            _ => vec![of("")],
        }
    }

    /// Whether it is aligned to the right.
    pub fn is_number(&self) -> bool {
        !matches!(self.kind, Kind::Words | Kind::Code)
    }
}

/// A table.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// File stem; without one it is for the screen only, and another table has its columns elsewhere.
    pub name: String,
    /// Columns.
    pub columns: Vec<Column>,
    /// Rows, each with a cell for each column.
    pub rows: Vec<Vec<Cell>>,
    /// Rows that a brief answer shows.
    pub brief: usize,
    /// Which ones, if not the first.
    pub picked: Vec<usize>,
    /// Rows that any screen shows; the rest is on the page and in files.
    pub most: usize,
}

impl Table {
    /// A table without columns, with a row for each item.
    pub fn of<T>(name: &str, items: &[T]) -> Self {
        Self {
            name: name.to_owned(),
            columns: Vec::new(),
            rows: items.iter().map(|_| Vec::new()).collect(),
            brief: usize::MAX,
            picked: Vec::new(),
            most: usize::MAX,
        }
    }

    /// Adds a column: what it is, and its cell for each item.
    ///
    /// # Panics
    /// If there are fewer items than rows.
    #[must_use]
    pub fn column<T>(mut self, items: &[T], column: Column, cell: impl Fn(&T) -> Cell) -> Self {
        self.add(items, column, cell);
        self
    }

    /// The same in place.
    ///
    /// # Panics
    /// If there are fewer items than rows.
    pub fn add<T>(&mut self, items: &[T], column: Column, cell: impl Fn(&T) -> Cell) {
        self.columns.push(column);
        assert_eq!(items.len(), self.rows.len(), "one item for each row");
        for (row, item) in self.rows.iter_mut().zip(items) {
            row.push(cell(item));
        }
    }

    /// Shows only so many rows: in brief, and on any screen.
    #[must_use]
    pub fn first(mut self, brief: usize, most: usize) -> Self {
        (self.brief, self.most) = (brief, most);
        self
    }

    /// Shows these rows in brief.
    #[must_use]
    pub fn picked(mut self, rows: Vec<usize>) -> Self {
        (self.brief, self.picked) = (rows.len(), rows);
        self
    }

    /// Columns for a place, each with its position in the rows.
    pub fn columns_at(&self, place: Place) -> impl Iterator<Item = (usize, &Column)> {
        let columns = self.columns.iter().enumerate();
        let hidden = move |c: &Column| place == Place::File && c.place == Place::People;
        columns.filter(move |(_, c)| c.place <= place && !hidden(c))
    }

    /// Whether there is something of it at a place.
    pub fn is_at(&self, place: Place) -> bool {
        self.columns_at(place).next().is_some()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_column_is_named_for_people_and_for_programs() {
        let bias = Column::estimate("bias", KJ_PER_MOL);
        assert_eq!(bias.title(), "bias, kJ/mol");
        assert_eq!(bias.raw_names(), ["bias_J_per_mol", "bias_se_J_per_mol"]);
        let share = Column::number("total share", PERCENT);
        assert_eq!(share.raw_names(), ["total_share"]);
        let ends = Column::interval("95 %", PERCENT).key("total");
        assert_eq!(ends.raw_names(), ["total_low", "total_high"]);
    }

    #[test]
    fn columns_fill_all_rows() {
        let items = [1.0, 2.0];
        let table = Table::of("t", &items)
            .column(&items, Column::number("x", NONE), |x| Cell::given(*x))
            .column(&items, Column::words("w").at(Place::File), |_| {
                Cell::text("a")
            });
        assert_eq!(table.columns_at(Place::Screen).count(), 1);
        let people = Column::words("said").at(Place::People);
        let only = Table::of("p", &items).column(&items, people, |_| Cell::text("b"));
        assert!(only.is_at(Place::Screen) && only.is_at(Place::Page) && !only.is_at(Place::File));
        assert!(table.rows.iter().all(|row| row.len() == 2));
    }
}
