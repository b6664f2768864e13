//! Results that fall on few values, as where a display has steps and nothing else errs.

use super::Sorted;

/// Values nearer to each other than this part of the whole range are one value, parted by the last bits of a sum.
pub(super) const ONE: f64 = 1e-11;

/// Few is fewer than one value for so many results.
const EACH: usize = 50;

/// The few values that results fall on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lattice {
    /// How many.
    pub values: usize,
    /// Median distance of neighbours, in the unit of the column.
    pub step: f64,
}

impl Lattice {
    /// `None` where results take more values than one for each fifty of them, or all of them the same.
    pub fn of(sorted: &Sorted) -> Option<Self> {
        let all = sorted.values();
        let least = ONE * (sorted.maximum() - sorted.minimum());
        let gaps = all.windows(2).map(|w| w[1] - w[0]).filter(|g| *g > least);
        let few = all.len() / EACH;
        let gaps: Vec<f64> = gaps.take(few).collect();
        let values = gaps.len() + 1;
        (values > 1 && values < few).then(|| Self {
            values,
            step: Sorted::from_vec(gaps).median().value,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::exponential;
    use super::*;

    #[test]
    fn steps_are_counted_whatever_the_last_bits_make_of_them() {
        let smooth = exponential(5, 10_000);
        assert_eq!(Lattice::of(&Sorted::of(&smooth)), None);
        assert_eq!(Lattice::of(&Sorted::of(&[2.0; 10_000])), None);
        // Rounded to quarters; each result off by a bit or two of its own.
        let bits = |i: usize| 1.0 + f64::EPSILON * (i % 3) as f64;
        let rounded = smooth.iter().enumerate();
        let rounded: Vec<f64> = rounded
            .map(|(i, v)| (v * 4.0).round() / 4.0 * bits(i))
            .collect();
        let most = rounded.iter().copied().fold(0.0, f64::max);
        let found = Lattice::of(&Sorted::of(&rounded)).unwrap();
        assert!((found.step - 0.25).abs() < 1e-9);
        // The tail leaves some out.
        assert!(found.values as f64 <= most * 4.0 + 1.0 && found.values > 20);
        // An end that lies on a step has no error, instead of one of the last bit.
        assert_eq!(Sorted::of(&rounded).quantile(0.5).se, 0.0);
        assert!(Sorted::of(&smooth).quantile(0.5).se > 0.0);
    }
}
