//! Round numbers.

/// The smallest of 1, 2, 2.5, 5 times a power of ten that is not below the wanted step.
pub fn round_step(wanted: f64) -> f64 {
    let unit = libm::exp10(libm::floor(libm::log10(wanted)));
    let all = [1.0, 2.0, 2.5, 5.0, 10.0].map(|m| m * unit);
    // The tolerance keeps a step that misses by rounding alone.
    let fits = |step: &f64| *step >= wanted * (1.0 - 1e-9);
    all.into_iter().find(fits).unwrap_or(wanted)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round_and_not_below_what_is_wanted() {
        let near = |wanted: f64, step: f64| (round_step(wanted) / step - 1.0).abs() < 1e-9;
        assert!(near(0.3, 0.5) && near(1.0, 1.0) && near(2.1e-7, 2.5e-7) && near(70.0, 100.0));
    }
}
