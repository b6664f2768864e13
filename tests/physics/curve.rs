//! The closed temperature curve against an integrator that knows only the differential equation.
//! Integrator: classical Runge-Kutta of fourth order from the crate `ode_solvers`.

use joulecast::nature::vessel::Curve;
use joulecast::quantity::{Celsius, Kelvin, KelvinPerSecond, PerSecond, Second};
use joulecast::scenario::LawOfDissolving;
use ode_solvers::{DVector, Rk4, System};

/// The right-hand side; its clock starts at `from`, since the integrator's output wants times >= 0.
struct HeatBalance<'c> {
    curve: &'c Curve,
    from: f64,
    /// Whether this stretch lies after mixing (an end point belongs to both sides).
    reacting: bool,
}

impl System<f64, DVector<f64>> for HeatBalance<'_> {
    fn system(&self, since: f64, y: &DVector<f64>, dy: &mut DVector<f64>) {
        let (c, t) = (self.curve, self.from + since);
        let surroundings = c.from.0 + c.surroundings.0 + c.ambient_drift.0 * (t - c.start.0);
        let rate = if !self.reacting {
            0.0
        } else {
            match c.law {
                LawOfDissolving::Instant => 0.0,
                LawOfDissolving::FirstOrder => (-t / c.time.0).exp() / c.time.0,
                LawOfDissolving::CubeRoot if t <= c.time.0 => {
                    3.0 / c.time.0 * (1.0 - t / c.time.0).powi(2)
                }
                // A stretch lies on one side of its end, where the rate jumps.
                LawOfDissolving::Steady if self.from < c.time.0 => 1.0 / c.time.0,
                LawOfDissolving::CubeRoot | LawOfDissolving::Steady => 0.0,
            }
        };
        dy[0] = -c.leak.0 * (c.from.0 + y[0] - surroundings) + c.stirring.0 + c.change.0 * rate;
        // The thermometer follows the contents; without a lag it is the contents.
        dy[1] = if c.lag.0 > 0.0 {
            (y[0] - y[1]) / c.lag.0
        } else {
            dy[0]
        };
    }
}

/// Integrates contents and thermometer from one time to another.
fn integrate(c: &Curve, from: f64, to: f64, y: [f64; 2]) -> [f64; 2] {
    let reacting = from >= 0.0;
    if to <= from {
        return y;
    }
    // 4,000 steps of a fourth-order rule, and 20 in each time constant of a quick thermometer, whose
    // global error is then (1/20)^4 / 120 of a transient that is small itself: below 1e-9.
    let mut step = (to - from) / 4000.0;
    if c.lag.0 > 0.0 {
        step = step.min(c.lag.0 / 20.0);
    }
    // A whole number of steps, so that the last one ends where the next stretch begins.
    let steps = ((to - from) / step).ceil();
    let mut solver = Rk4::new(
        HeatBalance {
            curve: c,
            from,
            reacting,
        },
        0.0,
        DVector::from_vec(y.map(|y| y - c.from.0).to_vec()),
        to - from,
        (to - from) / steps,
    );
    solver.integrate().expect("integrates");
    let end = solver.y_out().last().expect("has an end");
    [c.from.0 + end[0], c.from.0 + end[1]]
}

/// Temperature of the contents and of the thermometer.
pub fn numeric(c: &Curve, t: f64) -> [f64; 2] {
    let mut y = integrate(c, c.start.0, 0.0_f64.min(t), [c.from.0; 2]);
    if t >= 0.0 && c.law == LawOfDissolving::Instant {
        y[0] += c.change.0;
    }
    if t > 0.0 {
        // The rate of dissolving has kinks at 0 and at the end of a cube root; stop there.
        let ends = [LawOfDissolving::CubeRoot, LawOfDissolving::Steady];
        let kink = if ends.contains(&c.law) {
            c.time.0.min(t)
        } else {
            0.0
        };
        y = integrate(c, 0.0, kink, y);
        y = integrate(c, kink, t, y);
    }
    y
}

pub fn base() -> Curve {
    Curve {
        start: Second(-180.0),
        from: Celsius(21.3),
        leak: PerSecond(3e-4),
        surroundings: Kelvin(-0.7),
        stirring: KelvinPerSecond(2e-5),
        ambient_drift: KelvinPerSecond(4e-5),
        change: Kelvin(-0.8),
        law: LawOfDissolving::CubeRoot,
        time: Second(90.0),
        lag: Second(0.0),
    }
}

fn worst(c: &Curve) -> f64 {
    [
        -180.0, -60.0, -1.0, 1.0, 20.0, 60.0, 89.9, 90.0, 200.0, 900.0,
    ]
    .into_iter()
    .map(|t| {
        let difference = c.temperature(Second(t)).0 - numeric(c, t)[0];
        (difference / c.change.0).abs()
    })
    .fold(0.0, f64::max)
}

#[test]
fn closed_curve_of_both_laws_agrees_with_the_integrator_to_1e_8_of_the_change() {
    use LawOfDissolving::{CubeRoot, FirstOrder, Steady};
    let cases = [
        ("cube root", base()),
        (
            "first order",
            Curve {
                law: FirstOrder,
                time: Second(30.0),
                ..base()
            },
        ),
        (
            "constant power",
            Curve {
                law: Steady,
                ..base()
            },
        ),
        (
            "constant power, no leak",
            Curve {
                law: Steady,
                leak: PerSecond(0.0),
                ..base()
            },
        ),
        (
            "no leak, cube root",
            Curve {
                leak: PerSecond(0.0),
                ..base()
            },
        ),
        (
            "no leak, first order",
            Curve {
                leak: PerSecond(0.0),
                law: FirstOrder,
                ..base()
            },
        ),
        (
            "rate within 1e-6 of the leak",
            Curve {
                law: FirstOrder,
                time: Second(1.0 / (3e-4 * (1.0 + 1e-6))),
                ..base()
            },
        ),
        (
            "rate below the leak",
            Curve {
                law: FirstOrder,
                time: Second(1.0 / 1e-4),
                ..base()
            },
        ),
        (
            "tiny k t_d",
            Curve {
                law: CubeRoot,
                leak: PerSecond(1e-4 / 90.0),
                ..base()
            },
        ),
        (
            "large k t_d",
            Curve {
                law: CubeRoot,
                leak: PerSecond(2e-2),
                ..base()
            },
        ),
    ];
    for (name, c) in cases {
        let w = worst(&c);
        assert!(w < 1e-8, "{name}: {w:e}");
    }
}

#[test]
fn a_curve_with_a_slightly_wrong_leak_is_told_apart() {
    let right = base();
    let wrong = Curve {
        leak: PerSecond(3e-4 * (1.0 + 1e-6)),
        ..right
    };
    let t = 600.0;
    let off = (wrong.temperature(Second(t)).0 - numeric(&right, t)[0]).abs() / right.change.0.abs();
    assert!(off > 1e-8, "{off:e}");
}

#[test]
fn the_plain_polynomial_would_lose_what_the_moments_keep() {
    // Written out, the answer of the cube-root law is a difference of terms of order (k t_d)^-3;
    // at k t_d = 1e-4 that costs about 1e-4 of the change.
    let (k, td, t): (f64, f64, f64) = (1e-4 / 90.0, 90.0, 45.0);
    let plain = {
        let u = |x: f64| {
            let w = 1.0 - x / td;
            3.0 / td * (w * w / k + 2.0 * w / (td * k * k) + 2.0 / (td * td * k * k * k))
        };
        u(t) - u(0.0) * (-k * t).exp()
    };
    let exact = joulecast::nature::dissolve::response(
        LawOfDissolving::CubeRoot,
        Second(td),
        PerSecond(k),
        Second(t),
    );
    assert!(
        (plain - exact).abs() > 1e-9,
        "the plain form happens to be good enough"
    );
    let c = Curve {
        leak: PerSecond(k),
        surroundings: Kelvin(0.0),
        stirring: KelvinPerSecond(0.0),
        ambient_drift: KelvinPerSecond(0.0),
        ..base()
    };
    let want = (numeric(&c, t)[0] - c.from.0) / c.change.0;
    assert!((exact - want).abs() < 1e-10);
}
