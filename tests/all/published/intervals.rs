//! Coverage intervals of plain distributions, symmetric and shortest, against closed forms
//! (JCGM 101:2008, 5.3.4 and 7.7; the factor 1.65 of the rectangle from JCGM 100:2008, G.1.3, from
//! memory).

use super::{inputs, interval, moments, simulate_one};
use crate::judge::{agrees, close, holds_and_bites};
use joulecast::random::Dist;
use joulecast::stats::{Sorted, shortest, symmetric};

const TRIALS: u64 = 1 << 19;

fn draws(dist: impl Into<Dist>) -> Vec<f64> {
    simulate_one(inputs([dist.into()]), |x| x[0], TRIALS)
}

/// Checks the symmetric interval of a distribution.
fn symmetric_ends(what: &str, y: &[f64], low: f64, high: f64) {
    holds_and_bites(what, y, |y| agrees(interval(y).low, low));
    holds_and_bites(what, y, |y| agrees(interval(y).high, high));
}

/// Checks the shortest interval; its stated errors come from 16 batches only.
fn shortest_ends(what: &str, y: &[f64], low: f64, high: f64) {
    let of = |y: &[f64]| shortest(y, &Sorted::of(y), 0.95);
    let width = high - low;
    let right = |y: &[f64]| {
        let i = of(y);
        // An end that rests on an edge has almost no error; a trial may still lie off the edge.
        let slack = 1e-4 * width;
        close(i.low.value, low, 6.0 * i.low.se + slack)
            && close(i.high.value, high, 6.0 * i.high.se + slack)
    };
    holds_and_bites(what, y, right);
}

#[test]
fn exponential() {
    let y = draws(Dist::exponential(0.0, 1.0).expect("valid"));
    symmetric_ends(
        "exponential",
        &y,
        0.025_317_807_984_289_897,
        3.688_879_454_113_936_3,
    );
    shortest_ends("exponential", &y, 0.0, 2.995_732_273_553_991);
}

#[test]
fn one_sided_triangle() {
    // Density 2 (1 - x) on [0, 1]: what is left undissolved.
    let y = draws(Dist::triangular(0.0, 0.0, 1.0).expect("valid"));
    symmetric_ends(
        "triangle",
        &y,
        0.012_579_117_093_425_074,
        0.841_886_116_991_581,
    );
    shortest_ends("triangle", &y, 0.0, 0.776_393_202_250_021_1);
    holds_and_bites("mean", &y, |y| agrees(moments(y).mean(), 1.0 / 3.0));
    holds_and_bites("sd", &y, |y| {
        agrees(moments(y).sd(), 0.235_702_260_395_515_84)
    });
}

#[test]
fn symmetric_triangle_and_trapezoids() {
    let triangle = draws(Dist::triangular_within(0.0, 1.0).expect("valid"));
    let half = 1.0 - 0.05f64.sqrt();
    symmetric_ends("triangle", &triangle, -half, half);
    for (top, half, sd, k) in [
        (
            0.0,
            0.776_393_202_250_021_1,
            0.408_248_290_463_863,
            1.901_767_185_278_012,
        ),
        (
            0.25,
            0.783_493_649_053_890_3,
            0.420_812_705_765_086_6,
            1.861_858_347_716_491_6,
        ),
        (
            0.5,
            0.806_350_832_689_629_1,
            0.456_435_464_587_638_45,
            1.766_626_161_308_735_7,
        ),
        (
            0.75,
            0.852_098_005_422_509_6,
            0.510_310_363_079_828_8,
            1.669_764_259_302_753_5,
        ),
        (1.0, 0.95, 0.577_350_269_189_625_7, 1.645_448_267_190_433_4),
    ] {
        let dist = Dist::trapezoid(0.0, 1.0, top).expect("valid");
        let y = draws(dist.clone());
        symmetric_ends("trapezoid", &y, -half, half);
        holds_and_bites("sd", &y, |y| agrees(moments(y).sd(), sd));
        assert!(close(dist.quantile(0.975), half, 1e-14) && close(half / sd, k, 1e-12));
    }
}

#[test]
fn rectangle_and_arcsine_where_the_shortest_is_not_unique() {
    let y = draws(Dist::within(0.0, 1.0).expect("valid"));
    symmetric_ends("rectangle", &y, -0.95, 0.95);
    assert!(close(0.95 * 3f64.sqrt(), 1.65, 0.005));
    let width = |y: &[f64]| shortest(y, &Sorted::of(y), 0.95).width();
    holds_and_bites("rectangle", &y, |y| close(width(y), 1.9, 0.004));

    // The arcsine is dense at its ends: the shortest interval holds one of them.
    let y = draws(Dist::arcsine(0.0, 1.0).expect("valid"));
    let end = 0.996_917_333_733_128;
    symmetric_ends("arcsine", &y, -end, end);
    let (whole, part) = (1.0, 0.987_688_340_595_137_7);
    let at_an_end = |y: &[f64]| {
        let i = shortest(y, &Sorted::of(y), 0.95);
        let at =
            |low: f64, high: f64| close(i.low.value, low, 1e-3) && close(i.high.value, high, 1e-3);
        at(-whole, part) || at(-part, whole)
    };
    holds_and_bites("arcsine", &y, at_an_end);
}

#[test]
fn ranks_are_those_of_the_supplement() {
    // 7.7 with M = 1000: q = 950, r = 25, so y(25) and y(975).
    let all: Vec<f64> = (1..=1000).map(f64::from).collect();
    let i = symmetric(&Sorted::of(&all), 0.95);
    assert_eq!((i.low.value, i.high.value), (25.0, 975.0));
    let i = symmetric(&Sorted::of(&all[..999]), 0.95);
    assert_ne!((i.low.value, i.high.value), (25.0, 975.0));
}
