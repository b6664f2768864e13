//! Tests of the error statements.

use super::*;
use crate::quantity::parse_measured;
use crate::random::Dist;

fn volume(text: &str) -> Result<Dist, StatementError> {
    parse_error_statement(text, Dimension::Volume, None).map(|s| s.dist)
}

#[test]
fn every_form_of_the_table_is_read() {
    let cases = [
        ("none", 0.0),
        ("exactly 1 mL", 0.0),
        ("+-0.1 mL", 0.1 / 3f64.sqrt()),
        ("0.1 mL rectangular", 0.1 / 3f64.sqrt()),
        ("0.1 mL triangular", 0.1 / 6f64.sqrt()),
        ("0.1 mL arcsine", 0.1 / 2f64.sqrt()),
        ("0.1 mL trapezoid, top = 50 %", 0.1 * (1.25f64 / 6.0).sqrt()),
        (
            "0.1 mL curvilinear, limits = 0.03 mL",
            (0.01 / 3.0 + 0.0001f64).sqrt(),
        ),
        ("u = 0.06 mL", 0.06),
        ("s = 60 uL", 0.06),
        ("u = 0.06 mL rectangular", 0.06),
        ("u = 0.06 mL, dof = 9", 0.06 * (9.0f64 / 7.0).sqrt()),
        ("2s = 0.4 mL", 0.2),
        ("U = 0.26 mL, k = 2", 0.13),
        ("0.2 mL exponential", 0.2),
        ("0 mL to 0.5 mL", 0.5 / 12f64.sqrt()),
        ("0 to 0.5 mL triangular", 0.25 / 6f64.sqrt()),
        ("0 mL to 1 mL beta(1, 1)", 1.0 / 12f64.sqrt()),
    ];
    for (text, sd) in cases {
        let got = volume(text).unwrap_or_else(|e| panic!("{text}: {e}")).sd();
        assert!((got - sd).abs() < 1e-12, "{text}: {got} for {sd}");
    }
    let folded = volume("0.2 mL one-sided").unwrap();
    assert!(folded.quantile(1e-9) >= 0.0);
}

#[test]
fn a_percentage_is_relative_to_the_value() {
    let m = parse_measured("45 J/K, u = 10 %", Dimension::HeatCapacity).unwrap();
    assert!((m.dist.sd() - 4.5).abs() < 1e-12 && m.value == 45.0);
    let p = parse_measured("99.0 % to 100 %", Dimension::Fraction).unwrap();
    assert!((p.value - 0.995).abs() < 1e-15);
}

#[test]
fn what_is_wrong_is_named() {
    use StatementError as E;
    assert_eq!(volume("U = 0.2 mL"), Err(E::NoCoverageFactor));
    assert!(matches!(volume("0.1 mL"), Err(E::NoShape(_))));
    assert!(matches!(
        volume("0.1 mL rectangulr"),
        Err(E::Shape {
            nearest: Some("rectangular"),
            ..
        })
    ));
    assert!(matches!(volume("-0.1 mL rectangular"), Err(E::Negative(_))));
    assert!(matches!(volume("u = 0.1 mL, dog = 3"), Err(E::Stray(_))));
    assert!(matches!(
        volume("0.1 g rectangular"),
        Err(E::Quantity(QuantityError::WrongDimension { .. }))
    ));
}

#[test]
fn a_value_may_be_called_exact_but_not_uncertain_besides() {
    use crate::quantity::parse_measured;
    let whole = parse_measured("exactly 100 %", Dimension::Fraction).unwrap();
    assert_eq!(
        (whole.value, whole.dist.clone()),
        (1.0, Dist::constant(1.0))
    );
    for text in ["exactly 100 %, u = 1 %", "exactly 99 % to 100 %"] {
        assert!(parse_measured(text, Dimension::Fraction).is_err(), "{text}");
    }
    assert_eq!(
        volume("1 mL").unwrap_err().to_string(),
        "say what `1 mL` is: `1 mL rectangular`, `u = 1 mL`, `exactly 1 mL`"
    );
}

#[test]
fn a_log_normal_spread_needs_the_value_that_it_belongs_to() {
    // Alone it would be taken for that of 1 mL, or of 1 g.
    assert_eq!(
        volume("60 % log-normal"),
        Err(StatementError::LogNormalOfValue)
    );
    let lost = parse_measured("0.2 mL, 60 % log-normal", Dimension::Volume).unwrap();
    assert!((lost.dist.quantile(0.5) - 0.2).abs() < 1e-12);
    // A percentage of a point of the Celsius scale means nothing.
    let room = parse_measured("21.5 C, 2 % log-normal", Dimension::Temperature);
    assert_eq!(room, Err(StatementError::LogNormalOfValue));
}
