//! Places that show ties as ties.

/// Places of `n` contenders, 1 for the first, in the order of their numbers; `order` holds the numbers from the best
/// to the worst, `behind(a, b)` says whether `a` is told apart from `b` and worse.
///
/// A place is shared with those that are not told apart from the best of that place, and the next place counts all
/// before it (1, 1, 3): so two that share a place may differ from each other only by what both may differ from that
/// best one. Whoever is told apart from the best of a place begins the next one, even if it is not told apart from the
/// last of that place.
pub fn places(order: &[usize], behind: impl Fn(usize, usize) -> bool) -> Vec<usize> {
    let mut places = vec![1; order.len()];
    let (mut best, mut place) = (0, 1);
    for (at, &own) in order.iter().enumerate() {
        if behind(own, order[best]) {
            (best, place) = (at, at + 1);
        }
        places[own] = place;
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Places of values that are told apart from a distance on.
    fn of(values: &[f64], apart: f64) -> Vec<usize> {
        let mut order: Vec<usize> = (0..values.len()).collect();
        order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
        places(&order, |a, b| values[a] - values[b] > apart)
    }

    #[test]
    fn a_place_is_shared_with_what_is_not_told_apart_from_its_best() {
        assert_eq!(of(&[2.0, 1.0, 3.0], 0.5), [2, 1, 3]);
        assert_eq!(of(&[1.0, 1.4, 2.0], 0.5), [1, 1, 3]);
        // A chain whose ends lie eight apart is no single tie.
        assert_eq!(of(&[0.0, 2.0, 4.0, 6.0, 8.0], 2.5), [1, 1, 3, 3, 5]);
        assert_eq!(of(&[7.0], 1.0), [1]);
        assert!(of(&[], 1.0).is_empty());
    }
}
