//! How large a mistake is: its usual size, and what is plausible.

use crate::scenario::{Leg, Scenario};

/// What a size is stated in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// The mistake is made or not: it has no size.
    None,
    /// Per cent of something, which the mistake's words name.
    Percent,
    /// Millilitres.
    Millilitre,
    /// Grams.
    Gram,
    /// Kelvin.
    Kelvin,
    /// Kelvin in a minute.
    KelvinPerMinute,
    /// Seconds.
    Second,
    /// Watt.
    Watt,
    /// A factor.
    Times,
}

impl Unit {
    /// As it is written after a number.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::None => "",
            Self::Percent => "%",
            Self::Millilitre => "mL",
            Self::Gram => "g",
            Self::Kelvin => "K",
            Self::KelvinPerMinute => "K/min",
            Self::Second => "s",
            Self::Watt => "W",
            Self::Times => "times",
        }
    }

    /// What one of it is in the units of the chain (fractions, mL, g, K, K/s, s, W).
    pub fn base(self) -> f64 {
        match self {
            Self::Percent => 0.01,
            Self::KelvinPerMinute => 1.0 / 60.0,
            _ => 1.0,
        }
    }
}

/// What a stated size refers to.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Of {
    /// Nothing.
    Itself,
    /// The volume of liquid of a run, rounded.
    Volume,
    /// The smallest mass of solid of a run, rounded.
    Mass,
    /// The smallest change of temperature, rounded.
    Change,
}

/// Usual size and plausible range of a mistake; magnitudes, for one that goes both ways.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// Unit.
    pub unit: Unit,
    /// Usual size, least and most plausible one.
    numbers: [f64; 3],
    of: Of,
    /// Whether it goes both ways.
    pub signed: bool,
}

/// The size of a mistake in a scenario, in its unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sized {
    /// Unit.
    pub unit: Unit,
    /// Usual size.
    pub usual: f64,
    /// Least plausible magnitude.
    pub low: f64,
    /// Most plausible magnitude.
    pub high: f64,
    /// Whether it goes both ways.
    pub signed: bool,
}

impl Size {
    /// None: the mistake is made or not.
    pub const NONE: Self = Self::of(Unit::None, [1.0, 1.0, 1.0]);

    /// Usual, least and most plausible size.
    pub const fn of(unit: Unit, numbers: [f64; 3]) -> Self {
        Self {
            unit,
            numbers,
            of: Of::Itself,
            signed: false,
        }
    }

    /// The same in per cent.
    pub const fn percent(usual: f64, low: f64, high: f64) -> Self {
        Self::of(Unit::Percent, [usual, low, high])
    }

    /// A part of the volume of liquid, in mL.
    pub const fn of_volume(numbers: [f64; 3]) -> Self {
        Self {
            of: Of::Volume,
            ..Self::of(Unit::Millilitre, numbers)
        }
    }

    /// A part of the mass of solid, in g.
    pub const fn of_mass(numbers: [f64; 3]) -> Self {
        Self {
            of: Of::Mass,
            ..Self::of(Unit::Gram, numbers)
        }
    }

    /// A part of the change of temperature, in K.
    pub const fn of_change(numbers: [f64; 3]) -> Self {
        Self {
            of: Of::Change,
            ..Self::of(Unit::Kelvin, numbers)
        }
    }

    /// The same, that goes both ways.
    pub const fn both_ways(self) -> Self {
        Self {
            signed: true,
            ..self
        }
    }

    /// In a scenario.
    pub fn in_scenario(&self, scenario: &Scenario) -> Sized {
        let legs = scenario.legs();
        let run = legs.iter().filter(|leg| leg.runs > 0);
        let least = |of: &dyn Fn(&Leg) -> f64| {
            let all = run.clone().map(|leg| of(leg)).filter(|x| *x > 0.0);
            all.fold(f64::INFINITY, f64::min)
        };
        let whole = match self.of {
            Of::Itself => 1.0,
            Of::Volume => scenario.determination.nominal_volume(&scenario.room).0,
            Of::Mass => least(&|leg| leg.mass.0),
            Of::Change => least(&|leg| leg.nominal_change(&scenario.room).0.abs()),
        };
        let whole = if whole.is_finite() { whole } else { 1.0 };
        let round = |x: f64| match self.of {
            Of::Itself => x,
            _ => one_two_five(x * whole),
        };
        let [usual, low, high] = self.numbers.map(round);
        Sized {
            unit: self.unit,
            usual,
            low,
            high,
            signed: self.signed,
        }
    }
}

impl Sized {
    /// Whether there is a size at all.
    pub fn is_some(&self) -> bool {
        self.unit != Unit::None
    }

    /// A size with its unit, in as many digits as it takes.
    pub fn text(&self, x: f64) -> String {
        match self.unit {
            Unit::None => String::new(),
            unit => format!("{} {}", digits(x), unit.symbol()),
        }
    }
}

/// Two significant digits, without zeros at the end.
fn digits(x: f64) -> String {
    if x == 0.0 || !x.is_finite() {
        return format!("{x}");
    }
    let decimals = (1 - libm::floor(libm::log10(x.abs())) as i32).max(0) as usize;
    let text = format!("{x:.decimals$}");
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}

/// The nearest of 1, 2, 5 in its decade.
fn one_two_five(x: f64) -> f64 {
    if x <= 0.0 {
        return x;
    }
    let decade = libm::exp10(libm::floor(libm::log10(x)));
    let steps = [1.0, 2.0, 5.0, 10.0].map(|step| step * decade);
    let far = |step: &f64| libm::log(step / x).abs();
    let near = |a: &f64, b: &f64| far(a).total_cmp(&far(b));
    steps.into_iter().min_by(near).unwrap_or(x)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::builtin;

    #[test]
    fn sizes_of_a_scenario_are_round() {
        assert_eq!(
            [0.7, 1.5, 3.3, 8.0].map(one_two_five),
            [0.5, 2.0, 5.0, 10.0]
        );
        let size = Size::of_volume([0.01, 0.002, 0.1]).in_scenario(&builtin());
        assert!(size.usual >= 0.5 && size.low < size.usual && size.usual < size.high);
        assert_eq!(size.text(1.234), "1.2 mL");
        assert_eq!(size.text(-20.0), "-20 mL");
        assert_eq!(Size::NONE.in_scenario(&builtin()).text(1.0), "");
    }
}
