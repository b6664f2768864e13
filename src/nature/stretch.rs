//! Sums over many readings at one interval, without the readings.
//!
//! Where nothing but leak, stirring and drift happens, the steps of [`super::step`] are one linear map again and again. From
//! the state y, d, h at the first of n readings the j-th has
//!
//! y_j = y + w j dt + h b G_j,   d_j = d L^j + w b_0 E_j + h m C_j
//!
//! with q = e^(-k dt), L = e^(-dt/tau) and G_j = sum_(i<j) q^i, E_j = sum_(i<j) L^i, C_j = sum_(i<j) q^i L^(j-1-i). A line
//! needs the sums of u_j = y_j - d_j and of j u_j, and so those of G, L^j, E and C alone, which belong to the group: they
//! are summed once, term by term (all are positive: nothing cancels, whatever k and tau).

use super::step::{State, Step};
use crate::random::{BLOCK, Column};
use multiversion::multiversion;
use std::rc::Rc;

/// Sums of the four series over j, and over j times each.
#[derive(Debug)]
pub(super) struct Stretch {
    pub(super) step: Rc<Step>,
    pub(super) n: u32,
    warmth: [Column<f64>; 2],
    lagging: [Column<f64>; 2],
    evenly: [Column<f64>; 2],
    both: [Column<f64>; 2],
}

/// Lanes that are summed side by side.
const WIDE: usize = 8;

impl Stretch {
    pub(super) fn new(step: Rc<Step>, n: u32) -> Self {
        let zero = || [Column::splat(0.0), Column::splat(0.0)];
        let mut own = Self {
            step: Rc::clone(&step),
            n,
            warmth: zero(),
            lagging: zero(),
            evenly: zero(),
            both: zero(),
        };
        let (keeps, lags) = step.factors();
        for from in (0..BLOCK).step_by(WIDE) {
            let lanes = |c: &Column<f64>| -> [f64; WIDE] { std::array::from_fn(|i| c[from + i]) };
            let all = series(lanes(keeps), lanes(lags), n);
            let into = [
                &mut own.warmth,
                &mut own.lagging,
                &mut own.evenly,
                &mut own.both,
            ];
            for (columns, sums) in into.into_iter().zip(all) {
                for (column, sum) in columns.iter_mut().zip(sums) {
                    column.0[from..from + WIDE].copy_from_slice(&sum);
                }
            }
        }
        own
    }

    /// Sums of what the thermometer feels above the start of the record, and of j times it, from a state on.
    pub(super) fn sums(&self, state: &State, drift: &Column<f64>) -> [Column<f64>; 2] {
        let n = f64::from(self.n);
        let (first, second) = (0.5 * n * (n - 1.0), n * (n - 1.0) * (2.0 * n - 1.0) / 6.0);
        // Sums of 1 and j, and of j and j^2.
        let of = |k: usize, ones: f64, numbers: f64| {
            let mut out = Column::splat(0.0);
            let [warms, evenly, behind] = self.step.gains();
            sum(
                (state, drift, self.step.length),
                [ones, numbers],
                [warms, evenly, behind],
                [
                    &self.warmth[k],
                    &self.lagging[k],
                    &self.evenly[k],
                    &self.both[k],
                ],
                &mut out,
            );
            out
        };
        [of(0, n, first), of(1, first, second)]
    }
}

/// Sums of G_j, L^j, E_j and C_j, and of j times each, over j from 0 to n - 1.
#[multiversion(targets("x86_64+avx2"))]
fn series(q: [f64; WIDE], lag: [f64; WIDE], n: u32) -> [[[f64; WIDE]; 2]; 4] {
    let mut sums = [[[0.0; WIDE]; 2]; 4];
    let (mut g, mut e, mut c) = ([0.0; WIDE], [0.0; WIDE], [0.0; WIDE]);
    let (mut of_q, mut of_lag) = ([1.0; WIDE], [1.0; WIDE]);
    for j in 0..n {
        let j = f64::from(j);
        for i in 0..WIDE {
            for (sum, term) in sums.iter_mut().zip([g[i], of_lag[i], e[i], c[i]]) {
                sum[0][i] += term;
                sum[1][i] += j * term;
            }
            g[i] += of_q[i];
            e[i] += of_lag[i];
            c[i] = lag[i] * c[i] + of_q[i];
            of_q[i] *= q[i];
            of_lag[i] *= lag[i];
        }
    }
    sums
}

#[multiversion(targets("x86_64+avx2"))]
fn sum(
    (state, drift, length): (&State, &Column<f64>, f64),
    [ones, numbers]: [f64; 2],
    [warms, evenly, behind]: [&Column<f64>; 3],
    [g, lag, e, c]: [&Column<f64>; 4],
    out: &mut Column<f64>,
) {
    for i in 0..BLOCK {
        let (y, d, h, w) = (
            state.contents.0[i],
            state.behind.0[i],
            state.warming.0[i],
            drift.0[i],
        );
        let there = ones * y + w * length * numbers + h * warms.0[i] * g.0[i];
        let late = d * lag.0[i] + w * evenly.0[i] * e.0[i] + h * behind.0[i] * c.0[i];
        out.0[i] = there - late;
    }
}
