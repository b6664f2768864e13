//! Ranks that show ties as ties.

use super::share::Share;
use crate::stats::places;

/// Ranks of shares of one study, 1 for the largest, in the order given.
///
/// One ranks below another only if the 95 % interval of their difference, batch by batch, excludes
/// zero; who shares a rank follows [`places`]. A share that is not a number cannot be told from any.
///
/// The intervals are meant one by one: of twenty equal sources, a few will seem to differ from the largest.
pub fn order(shares: &[&Share]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..shares.len()).collect();
    let size = |i: usize| match shares[i].value {
        v if v.is_nan() => f64::NEG_INFINITY,
        v => v,
    };
    order.sort_by(|&i, &j| size(j).total_cmp(&size(i)));
    places(&order, |below, above| {
        shares[above].less(shares[below]).is_positive()
    })
}

#[cfg(test)]
mod tests {
    use super::super::control::Controls;
    use super::*;

    /// A share whose batches are `value` and its own noise.
    fn share(value: f64, noise: [f64; 4]) -> Share {
        let batches = noise.map(|e| value + e);
        Share::ratio(&batches, &[1.0; 4], &Controls::new(4, &[]))
    }

    const UP: [f64; 4] = [0.01, -0.01, 0.01, -0.01];
    const DOWN: [f64; 4] = [-0.01, 0.01, -0.01, 0.01];

    fn ranks(shares: &[Share]) -> Vec<usize> {
        order(&shares.iter().collect::<Vec<_>>())
    }

    #[test]
    fn clear_differences_give_clear_ranks() {
        let all = [share(0.2, UP), share(0.5, DOWN), share(0.3, UP)];
        assert_eq!(ranks(&all), [3, 1, 2]);
    }

    #[test]
    fn what_cannot_be_told_apart_shares_a_rank() {
        let all = [
            share(0.2, UP),
            share(0.5, UP),
            share(0.21, DOWN),
            share(0.0, UP),
        ];
        assert_eq!(ranks(&all), [2, 1, 2, 4]);
        // Common noise drops out, and the same two values are told apart.
        let paired = [share(0.2, UP), share(0.21, UP)];
        assert_eq!(ranks(&paired), [2, 1]);
    }

    #[test]
    fn a_chain_of_ties_ends_where_the_first_of_them_is_told_apart() {
        // The ends differ by more than their noise, neighbours do not.
        let all = [share(0.2, UP), share(0.225, DOWN), share(0.25, UP)];
        assert!(all[2].less(&all[0]).is_positive());
        assert!(!all[2].less(&all[1]).is_positive() && !all[1].less(&all[0]).is_positive());
        assert_eq!(ranks(&all), [3, 1, 1]);
    }

    #[test]
    fn nothing_exactly_zero_or_undefined_is_ranked_apart() {
        let zero = || share(0.0, [0.0; 4]);
        assert_eq!(ranks(&[zero(), share(0.1, UP), zero()]), [2, 1, 2]);
        let undefined = Share::ratio(&[0.0; 4], &[0.0; 4], &Controls::new(4, &[]));
        assert_eq!(ranks(&[undefined, share(0.1, UP)]), [1, 1]);
        assert!(ranks(&[]).is_empty());
    }
}
