//! The repeat rule against closed forms.
//!
//! Residue m exponential with mean 0.02, noticed with probability 1 - e^(-m / 0.01); in 80 % of runs
//! there is none at all. The accepted density is f(m) (1 - p(m)) / P_accept, so an accepted residue
//! has mean 1 / (1/0.02 + 1/0.01) = 1/150 (derived; checked by quadrature elsewhere).

use joulecast::experiment::repeat::{Attempt, settle};
use joulecast::nature::inspect::chance;
use joulecast::quantity::Gram;
use joulecast::random::Dist;
use joulecast::random::{BLOCK, Column, Draws, Input, Layout, Name, Plan, Tag};
use joulecast::scenario::Inspection;
use joulecast::stats::Moments;

struct Outcome {
    residue: Moments,
    attempts: Moments,
    unnoticed_at_first: Moments,
}

fn simulate(incomplete: f64, most: u32, scale: f64) -> Outcome {
    let plan = Plan::new();
    let uniform = Input::error(Dist::rectangular(0.0, 1.0).unwrap());
    let residue = Input::error(Dist::exponential(0.0, 0.02).unwrap());
    let inspection = Inspection::Exponential { scale: Gram(scale) };
    let mut out = Outcome {
        residue: Moments::new(),
        attempts: Moments::new(),
        unnoticed_at_first: Moments::new(),
    };
    for block in 0..2000 {
        let draws = Draws::new(17, block, Layout::MARGINAL, &plan);
        let mut first: Option<(Column<Gram>, Column<bool>)> = None;
        let settled = settle(most, |attempt| {
            let name = |what: &str| Name::run(Tag::of(what), Tag::of(""), 0, attempt);
            let happens: Column<f64> = draws.column(name("happens"), 0, &uniform);
            let size: Column<f64> = draws.column(name("size"), 0, &residue);
            let chance_draw: Column<f64> = draws.column(name("chance_draw"), 0, &uniform);
            let left = Column::from_fn(|i| {
                Gram(if happens[i] < incomplete {
                    size[i]
                } else {
                    0.0
                })
            });
            let noticed = Column::from_fn(|i| chance_draw[i] < chance(inspection, left[i]));
            first.get_or_insert((left.clone(), noticed.clone()));
            Attempt {
                page: left.clone(),
                residue: left,
                noticed,
            }
        });
        let (left, noticed) = first.unwrap();
        for i in 0..BLOCK {
            out.residue.push(settled.last.residue[i].0);
            assert_eq!(settled.last.page[i], settled.last.residue[i]);
            out.attempts.push(f64::from(settled.attempts[i]));
            if !noticed[i] && left[i].0 > 0.0 {
                out.unnoticed_at_first.push(left[i].0);
            }
        }
    }
    out
}

fn near(what: &str, got: joulecast::stats::Estimate, want: f64) {
    let z = (got.value - want) / got.se;
    assert!(z.abs() < 5.0, "{what}: {got:?} for {want}");
}

#[test]
fn what_passes_an_inspection_is_the_small_residue() {
    let o = simulate(1.0, 0, 0.01);
    near("accepted mean", o.unnoticed_at_first.mean(), 1.0 / 150.0);
    let share = o.unnoticed_at_first.count() as f64 / o.residue.count() as f64;
    assert!(
        (share - 1.0 / 3.0).abs() < 5.0 * (2.0 / 9.0 / 512_000f64).sqrt(),
        "{share}"
    );
}

#[test]
fn repeats_leave_the_residue_and_cost_the_runs_that_the_closed_form_says() {
    // Most repeats, mean residue of the run that counts, expected runs.
    let cases = [
        (0, 0.004, 1.0),
        (1, 0.000_977_778, 1.133_333),
        (2, 0.000_574_815, 1.151_111),
        (5, 0.000_512_967, 1.153_840),
    ];
    for (most, residue, runs) in cases {
        let o = simulate(0.2, most, 0.01);
        near("residue", o.residue.mean(), residue);
        if most == 0 {
            assert_eq!(o.attempts.mean().value, 1.0);
        } else {
            near("runs", o.attempts.mean(), runs);
        }
    }
    // An inspection that sees twice as well is told apart.
    let spoiled = simulate(0.2, 1, 0.005).residue.mean();
    assert!(((spoiled.value - 0.000_977_778) / spoiled.se).abs() > 5.0);
}
