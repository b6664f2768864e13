//! Coverage intervals from ordered results, JCGM 101:2008, 7.7.

use super::batch::{cut, spread};
use super::{Estimate, Sorted};

/// How many batches give the errors of the shortest interval's ends.
pub const SHORTEST_BATCHES: usize = 16;

/// Which of the many intervals of one coverage probability is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum IntervalKind {
    /// The same share of results below as above.
    Symmetric,
    /// The least width.
    Shortest,
}

/// A coverage interval, in the unit of the column.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub struct Interval {
    /// Lower end; undefined when the column is too short.
    pub low: Estimate,
    /// Upper end; undefined when the column is too short.
    pub high: Estimate,
    /// Coverage probability asked for.
    pub probability: f64,
    /// How the interval was placed.
    pub kind: IntervalKind,
}

impl Interval {
    /// Upper minus lower end; NaN when undefined.
    pub fn width(&self) -> f64 {
        self.high.value - self.low.value
    }
}

/// The number q of steps between the ends for M results, JCGM 101:2008, 7.7:
/// pM if that is an integer, else the integer part of pM + 1/2. One expression
/// serves both. `None` unless at least one interval [y(r), y(r+q)] exists.
fn steps(m: usize, p: f64) -> Option<usize> {
    if !(p > 0.0 && p < 1.0) {
        return None;
    }
    let q = (p * m as f64 + 0.5).floor() as usize;
    (q >= 1 && q < m).then_some(q)
}

/// The probabilistically symmetric coverage interval [y(r), y(r+q)],
/// JCGM 101:2008, 7.7: r = (M−q)/2 if an integer, else the integer part of
/// (M−q+1)/2.
///
/// `p` in (0, 1). Ends are undefined when M is too small for `p` (19 results
/// for 0.95 leave one place, 10 leave none). Errors of the ends are those of
/// the quantiles r/M and (r+q)/M, see [`Sorted::quantile`].
pub fn symmetric(sorted: &Sorted, p: f64) -> Interval {
    let m = sorted.len();
    let end = |rank: usize| {
        let share = rank as f64 / m as f64;
        let se = sorted.standard_error_at((rank - 1) as f64, share);
        Estimate::new(sorted.values()[rank - 1], se)
    };
    let (low, high) = match steps(m, p) {
        // Integer division gives both cases of the clause.
        Some(q) => {
            let r = (m - q).div_ceil(2);
            (end(r), end(r + q))
        }
        None => (Estimate::undefined(), Estimate::undefined()),
    };
    Interval {
        low,
        high,
        probability: p,
        kind: IntervalKind::Symmetric,
    }
}

/// The ends of the narrowest [y(r), y(r+q)]; of equals, the lowest.
fn narrowest(sorted: &Sorted, p: f64) -> Option<(f64, f64)> {
    let y = sorted.values();
    let q = steps(y.len(), p)?;
    let mut best = (y[0], y[q]);
    for (&low, &high) in y.iter().zip(&y[q..]) {
        if high - low < best.1 - best.0 {
            best = (low, high);
        }
    }
    Some(best)
}

/// The shortest coverage interval, JCGM 101:2008, 7.7: r* with
/// y(r*+q) − y(r*) least over r = 1 … M−q.
///
/// `column` holds the results in trial order and `sorted` the same results
/// ordered; the errors need the former, because batches cut from ordered values
/// would not be independent.
///
/// Those errors come from [`SHORTEST_BATCHES`] batches and are noisy, to about
/// 18 %. Where the density falls on both sides, the place of the minimum is
/// found only at the rate M^(−1/3) (J. Kim and D. Pollard, *Cube root
/// asymptotics*, Ann. Statist. 18, 1990), so the spread over the batches is
/// divided by the cube root of their number. Where one end rests on an edge of
/// the distribution the ends settle faster and the stated error is up to 1.6
/// times too large. The width, in either case, is known better than the ends.
pub fn shortest(column: &[f64], sorted: &Sorted, p: f64) -> Interval {
    let (mut low, mut high) = (Estimate::undefined(), Estimate::undefined());
    if let Some((a, b)) = narrowest(sorted, p) {
        let (se_low, se_high) = shortest_errors(column, p);
        (low, high) = (Estimate::new(a, se_low), Estimate::new(b, se_high));
    }
    Interval {
        low,
        high,
        probability: p,
        kind: IntervalKind::Shortest,
    }
}

fn shortest_errors(column: &[f64], p: f64) -> (f64, f64) {
    let Some(runs) = cut(column, SHORTEST_BATCHES) else {
        return (f64::NAN, f64::NAN);
    };
    let (lows, highs): (Vec<f64>, Vec<f64>) = runs
        .map(|run| narrowest(&Sorted::of(run), p).unwrap_or((f64::NAN, f64::NAN)))
        .unzip();
    let root = libm::cbrt(SHORTEST_BATCHES as f64);
    (spread(&lows) / root, spread(&highs) / root)
}

#[cfg(test)]
mod tests {
    use super::super::testing::*;
    use super::*;

    const M: usize = 100_000;

    fn sym(column: &[f64]) -> Interval {
        symmetric(&Sorted::of(column), 0.95)
    }

    fn short(column: &[f64]) -> Interval {
        shortest(column, &Sorted::of(column), 0.95)
    }

    fn matches(interval: Interval, low: f64, high: f64) -> bool {
        agrees(interval.low, low) && agrees(interval.high, high)
    }

    #[test]
    fn a_thousand_ranks_give_the_25th_and_the_975th() {
        // JCGM 101:2008, 7.7: M = 1000, p = 0.95, so q = 950 and r = 25.
        let ranks: Vec<f64> = (1..=1_000).rev().map(f64::from).collect();
        let i = sym(&ranks);
        assert_eq!((i.low.value, i.high.value), (25.0, 975.0));
        assert_eq!(i.width(), 950.0);
        assert_eq!(i.kind, IntervalKind::Symmetric);
    }

    #[test]
    fn odd_remainders_and_fractional_products_follow_the_clause() {
        // M = 999: pM = 949.05, q = 949, M - q = 50, r = 25.
        let i = sym(&(1..=999).map(f64::from).collect::<Vec<_>>());
        assert_eq!((i.low.value, i.high.value), (25.0, 974.0));
        // M = 1001: pM = 950.95, q = 951, M - q = 50, r = 25.
        let i = sym(&(1..=1_001).map(f64::from).collect::<Vec<_>>());
        assert_eq!((i.low.value, i.high.value), (25.0, 976.0));
        // M = 20: q = 19, M - q = 1, r = 1.
        let i = sym(&(1..=20).map(f64::from).collect::<Vec<_>>());
        assert_eq!((i.low.value, i.high.value), (1.0, 20.0));
    }

    #[test]
    fn too_few_results_or_a_senseless_probability_give_no_interval() {
        let ten: Vec<f64> = (0..10).map(f64::from).collect();
        assert!(sym(&ten).low.value.is_nan() && short(&ten).high.value.is_nan());
        assert!(!sym(&[]).low.is_defined());
        for p in [0.0, 1.0, -1.0, 2.0, f64::NAN] {
            assert!(!symmetric(&Sorted::of(&ten), p).low.is_defined());
        }
    }

    #[test]
    fn of_equally_short_intervals_the_lowest_is_taken() {
        let ranks: Vec<f64> = (1..=1_000).map(f64::from).collect();
        let i = short(&ranks);
        assert_eq!((i.low.value, i.high.value), (1.0, 951.0));
    }

    #[test]
    fn exponential_intervals_match_the_inverse_distribution() {
        // -ln(0.975), -ln(0.025); shortest from 0 to -ln(0.05), as the density
        // falls throughout.
        let sample = exponential(41, M);
        let ends = (0.025317807984289897, 3.6888794541139363);
        assert!(matches(sym(&sample), ends.0, ends.1));
        assert!(matches(short(&sample), 0.0, 2.995732273553991));
        let spoiled = scaled(&sample, 1.2);
        assert!(!agrees(sym(&spoiled).low, ends.0));
        assert!(!agrees(sym(&spoiled).high, ends.1));
        assert!(!agrees(short(&spoiled).high, 2.995732273553991));
    }

    #[test]
    fn triangular_intervals_match_the_inverse_distribution() {
        // Sum of two rectangulars less one; half width 1 - sqrt(0.05).
        let (a, b) = (unit(42, M), unit(43, M));
        let sample: Vec<f64> = a.iter().zip(&b).map(|(x, y)| x + y - 1.0).collect();
        let half = 0.7763932022500211;
        assert!(matches(sym(&sample), -half, half));
        assert!(matches(short(&sample), -half, half));
        assert!(!matches(sym(&scaled(&sample, 1.05)), -half, half));
    }

    #[test]
    fn right_triangular_intervals_match_the_inverse_distribution() {
        // Density 2(1 - x): x = 1 - sqrt(U); quantile of p is 1 - sqrt(1 - p).
        let sample: Vec<f64> = unit(44, M).iter().map(|u| 1.0 - u.sqrt()).collect();
        let (low, high) = (0.012579117093425074, 0.841886116991581);
        assert!(matches(sym(&sample), low, high));
        assert!(matches(short(&sample), 0.0, 0.7763932022500211));
        assert!(!matches(sym(&scaled(&sample, 1.05)), low, high));
    }

    #[test]
    fn rectangular_and_arcsine_intervals_match_the_inverse_distribution() {
        // Rectangular on +-1: ends +-0.95. Arcsine on +-1: +-sin(0.475 pi).
        let flat: Vec<f64> = unit(45, M).iter().map(|u| 2.0 * u - 1.0).collect();
        assert!(matches(sym(&flat), -0.95, 0.95));
        assert!(!matches(sym(&scaled(&flat, 1.02)), -0.95, 0.95));
        let angle = std::f64::consts::TAU;
        let wave: Vec<f64> = unit(46, M).iter().map(|u| libm::sin(angle * u)).collect();
        let end = 0.996917333733128;
        assert!(matches(sym(&wave), -end, end));
        assert!(!matches(sym(&scaled(&wave, 1.02)), -end, end));
    }

    #[test]
    fn stated_errors_of_symmetric_ends_match_their_spread() {
        let low = |seed| sym(&normal(seed, 4_000)).low;
        let high = |seed| sym(&exponential(seed, 4_000)).high;
        assert!(honest(calibration(low)));
        assert!(honest(calibration(high)));
    }

    #[test]
    fn stated_errors_of_shortest_ends_are_right_inside_and_cautious_at_an_edge() {
        let inside = calibration(|seed| short(&normal(seed, 16_000)).high);
        let edge = calibration(|seed| short(&exponential(seed, 16_000)).high);
        assert!(honest(inside), "{inside}");
        // Dividing the spread by the square root instead would understate it.
        let square_root = inside * libm::pow(SHORTEST_BATCHES as f64, 1.0 / 6.0);
        assert!(!honest(square_root), "{square_root}");
        // At an edge the rate is M^(-1/2): expected ratio 16^(1/3 - 1/2) = 0.63.
        assert!((0.5..0.8).contains(&edge), "{edge}");
    }
}
