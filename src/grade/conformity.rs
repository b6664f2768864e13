//! Probabilities that what was measured conforms with limits (JCGM 106:2012).
//!
//! With a normal state of knowledge, value x and standard uncertainty u, the limits L and U (7.3, 7.4):
//! `p_c = Phi((U - x)/u) - Phi((L - x)/u)`.

use crate::random::special::normal_cdf;

/// Probability that a quantity lies within limits, either of which may be infinite.
pub fn conforms(x: f64, u: f64, [low, high]: [f64; 2]) -> f64 {
    let below = |limit: f64| match limit {
        l if l == f64::INFINITY => 1.0,
        l if l == f64::NEG_INFINITY => 0.0,
        l => normal_cdf((l - x) / u),
    };
    below(high) - below(low)
}
