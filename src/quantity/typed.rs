//! Unit types of the chain: a number that knows its unit, at no cost.
//!
//! A point on the Celsius scale and a difference in kelvin are two types, so the compiler refuses
//! to swap them. Only the products that the chain needs are defined, each once, below.

use std::ops::{Add, Div, Mul, Neg, Sub};

macro_rules! unit_type {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        #[repr(transparent)]
        pub struct $name(pub f64);

        impl From<f64> for $name {
            fn from(value: f64) -> Self { Self(value) }
        }
        impl From<$name> for f64 {
            fn from(value: $name) -> Self { value.0 }
        }
    )*};
}

/// Sums, scaling and ratios: everything but a point on a scale has them.
macro_rules! linear {
    ($($name:ident)*) => {$(
        impl Add for $name { type Output = Self; fn add(self, o: Self) -> Self { Self(self.0 + o.0) } }
        impl Sub for $name { type Output = Self; fn sub(self, o: Self) -> Self { Self(self.0 - o.0) } }
        impl Neg for $name { type Output = Self; fn neg(self) -> Self { Self(-self.0) } }
        impl Mul<f64> for $name { type Output = Self; fn mul(self, o: f64) -> Self { Self(self.0 * o) } }
        impl Div<f64> for $name { type Output = Self; fn div(self, o: f64) -> Self { Self(self.0 / o) } }
        impl Div for $name { type Output = f64; fn div(self, o: Self) -> f64 { self.0 / o.0 } }
    )*};
}

/// `a * b = c`, with the commuted product and both quotients.
macro_rules! product {
    ($($a:ident * $b:ident = $c:ident;)*) => {$(
        impl Mul<$b> for $a { type Output = $c; fn mul(self, o: $b) -> $c { $c(self.0 * o.0) } }
        impl Mul<$a> for $b { type Output = $c; fn mul(self, o: $a) -> $c { $c(self.0 * o.0) } }
        impl Div<$a> for $c { type Output = $b; fn div(self, o: $a) -> $b { $b(self.0 / o.0) } }
        impl Div<$b> for $c { type Output = $a; fn div(self, o: $b) -> $a { $a(self.0 / o.0) } }
    )*};
}

unit_type! {
    /// Mass, g.
    Gram;
    /// Volume, mL.
    Millilitre;
    /// Density, g/mL.
    GramPerMillilitre;
    /// A point on the Celsius scale, °C.
    Celsius;
    /// A difference of temperatures, K.
    Kelvin;
    /// Time, s.
    Second;
    /// Rate constant, 1/s.
    PerSecond;
    /// Drift of a temperature, K/s.
    KelvinPerSecond;
    /// Relative change per kelvin, 1/K.
    PerKelvin;
    /// Energy, J.
    Joule;
    /// Power, W.
    Watt;
    /// Heat capacity, J/K.
    JoulePerKelvin;
    /// Specific heat capacity, J/(g K).
    JoulePerGramKelvin;
    /// Amount of substance, mol.
    Mole;
    /// Molar mass, g/mol.
    GramPerMole;
    /// Molar enthalpy, J/mol.
    JoulePerMole;
    /// Molar heat capacity, J/(mol K).
    JoulePerMoleKelvin;
    /// Molality, mol/kg.
    MolePerKilogram;
    /// Amount concentration, mol/L.
    MolePerLitre;
    /// Voltage, V.
    Volt;
    /// Electric current, A.
    Ampere;
}

linear! {
    Gram Millilitre GramPerMillilitre Kelvin Second PerSecond KelvinPerSecond PerKelvin Joule Watt
    JoulePerKelvin JoulePerGramKelvin Mole GramPerMole JoulePerMole JoulePerMoleKelvin MolePerKilogram
    MolePerLitre Volt Ampere
}

product! {
    Millilitre * GramPerMillilitre = Gram;
    Gram * JoulePerGramKelvin = JoulePerKelvin;
    JoulePerKelvin * Kelvin = Joule;
    Mole * GramPerMole = Gram;
    Mole * JoulePerMole = Joule;
    JoulePerMoleKelvin * Kelvin = JoulePerMole;
    Mole * JoulePerMoleKelvin = JoulePerKelvin;
    GramPerMole * JoulePerGramKelvin = JoulePerMoleKelvin;
    Watt * Second = Joule;
    KelvinPerSecond * Second = Kelvin;
    PerSecond * Kelvin = KelvinPerSecond;
    JoulePerKelvin * KelvinPerSecond = Watt;
}

impl Mul<Millilitre> for MolePerLitre {
    type Output = Mole;
    fn mul(self, o: Millilitre) -> Mole {
        Mole(self.0 * o.0 * 1e-3)
    }
}

impl Mul<Ampere> for Volt {
    type Output = Watt;
    fn mul(self, o: Ampere) -> Watt {
        Watt(self.0 * o.0)
    }
}

impl Mul<Second> for PerSecond {
    type Output = f64;
    fn mul(self, o: Second) -> f64 {
        self.0 * o.0
    }
}

impl Mul<Kelvin> for PerKelvin {
    type Output = f64;
    fn mul(self, o: Kelvin) -> f64 {
        self.0 * o.0
    }
}

impl Sub for Celsius {
    type Output = Kelvin;
    fn sub(self, o: Self) -> Kelvin {
        Kelvin(self.0 - o.0)
    }
}

impl Add<Kelvin> for Celsius {
    type Output = Self;
    fn add(self, o: Kelvin) -> Self {
        Self(self.0 + o.0)
    }
}

impl Sub<Kelvin> for Celsius {
    type Output = Self;
    fn sub(self, o: Kelvin) -> Self {
        Self(self.0 - o.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn products_carry_their_units() {
        let heat: Joule = Mole(0.01) * JoulePerMole(14_780.0);
        let change: Kelvin = heat / (Gram(100.0) * JoulePerGramKelvin(4.0) + JoulePerKelvin(50.0));
        assert!((change.0 - 147.8 / 450.0).abs() < 1e-15);
        let hot: Celsius = Celsius(20.0) + change;
        assert!((hot - Celsius(20.0)).0 > 0.328);
    }
}
