//! One-way analysis of variance: what scatters within groups, and what between them.

use super::{Estimate, Moments};
use crate::random::special::beta_inc;

/// A mean square with its degrees of freedom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeanSquare {
    /// Sum of squares over degrees of freedom, in the unit squared.
    pub value: f64,
    /// Degrees of freedom.
    pub dof: f64,
}

/// Analysis of groups of any sizes, JCGM 100:2008, H.5: each value is a common mean, plus a
/// deviation of its group, plus one of its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OneWay {
    /// Between the groups: expectation is the variance within plus
    /// [`OneWay::size`] times that between.
    pub between: MeanSquare,
    /// Within the groups.
    pub within: MeanSquare,
    /// Effective size of a group, (N − Σn²/N)/(k − 1): its size, if all have the same.
    pub size: f64,
    /// Ratio of the mean squares, between over within; 1 is expected without a deviation of the
    /// groups, infinity comes of groups without any scatter.
    pub f: f64,
}

impl OneWay {
    /// Analyses groups of values; a value that is not finite is left out, and so is a group without
    /// any. `None` with fewer than two groups, or without a group of two.
    pub fn of(groups: &[&[f64]]) -> Option<Self> {
        // All less one of them, which is exact where they lie close together.
        let origin = groups
            .iter()
            .flat_map(|g| g.iter())
            .find(|v| v.is_finite())?;
        let moments: Vec<Moments> = groups
            .iter()
            .map(|g| Moments::of(&g.iter().map(|v| v - origin).collect::<Vec<_>>()))
            .filter(|m| m.count() > 0)
            .collect();
        let sizes = || moments.iter().map(|m| m.count() as f64);
        let (n, k) = (sizes().sum::<f64>(), moments.len() as f64);
        if k < 2.0 || n <= k {
            return None;
        }
        let centre = moments
            .iter()
            .map(|m| m.count() as f64 * m.mean().value)
            .sum::<f64>()
            / n;
        let square = |m: &Moments| {
            let d = m.mean().value - centre;
            m.count() as f64 * d * d
        };
        let own = |m: &&Moments| m.count() > 1;
        let inside = |m: &Moments| {
            let s = m.sd().value;
            (m.count() as f64 - 1.0) * s * s
        };
        let mean_square = |sum: f64, dof: f64| MeanSquare {
            value: sum / dof,
            dof,
        };
        let between = mean_square(moments.iter().map(square).sum(), k - 1.0);
        let within = mean_square(moments.iter().filter(own).map(inside).sum(), n - k);
        Some(Self {
            between,
            within,
            size: (n - sizes().map(|m| m * m).sum::<f64>() / n) / (k - 1.0),
            f: between.value / within.value,
        })
    }

    /// Probability of an [`OneWay::f`] as large or larger if the groups do not deviate and all is
    /// normal.
    pub fn probability(&self) -> f64 {
        let [a, b] = [self.within.dof, self.between.dof];
        beta_inc(0.5 * a, 0.5 * b, a / (a + b * self.f))
    }

    /// Variance within the groups, with the standard error for normal deviations.
    pub fn variance_within(&self) -> Estimate {
        Estimate::new(self.within.value, self.within.se())
    }

    /// Variance of the deviations of the groups, by setting the mean squares to their expectations;
    /// with the standard error for normal deviations. It comes out negative by chance where they are
    /// small, and is not cut off, so that it stays free of bias.
    pub fn variance_between(&self) -> Estimate {
        let value = (self.between.value - self.within.value) / self.size;
        Estimate::new(value, self.between.se().hypot(self.within.se()) / self.size)
    }
}

impl MeanSquare {
    fn se(&self) -> f64 {
        self.value * (2.0 / self.dof).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::*;
    use super::*;

    fn close(a: f64, b: f64, relative: f64) -> bool {
        (a / b - 1.0).abs() < relative
    }

    /// NIST Statistical Reference Datasets, SiRstv: resistivity of silicon on five instruments.
    const SILICON: [[f64; 5]; 5] = [
        [196.3052, 196.1240, 196.1890, 196.2569, 196.3403],
        [196.3042, 196.3825, 196.1669, 196.3257, 196.0422],
        [196.1303, 196.2005, 196.2889, 196.0343, 196.1811],
        [196.2795, 196.1748, 196.1494, 196.1485, 195.9885],
        [196.2119, 196.1051, 196.1850, 196.0052, 196.2090],
    ];

    /// The same, AtmWtAg: atomic weight of silver, in 1e-7 above 107.8681000.
    const SILVER: [[i32; 24]; 2] = [
        [
            568, 465, 572, 785, 446, 903, 526, 494, 616, 587, 519, 486, 419, 569, 508, 672, 385,
            518, 662, 424, 360, 333, 610, 477,
        ],
        [
            79, 344, 513, 197, 604, 385, 642, 365, 151, 82, 517, 448, 198, 482, 334, 609, 101, 512,
            469, 360, 254, 261, 450, 368,
        ],
    ];

    fn silver(level: f64, unit: f64) -> OneWay {
        let [a, b] = SILVER.map(|g| g.map(|v| level + unit * f64::from(v)));
        OneWay::of(&[&a, &b]).unwrap()
    }

    #[test]
    fn certified_mean_squares_of_silicon_are_found() {
        let groups = SILICON.each_ref().map(|g| g.as_slice());
        let found = OneWay::of(&groups).unwrap();
        assert!(close(found.between.value, 1.278_656_54e-2, 1e-10));
        assert!(close(found.within.value, 1.083_182_8e-2, 1e-10));
        assert!(close(found.f, 1.180_462_374_402_55, 1e-10));
        assert_eq!(
            (found.between.dof, found.within.dof, found.size),
            (4.0, 20.0, 5.0)
        );
        // Upper tail of F with 4 and 20 degrees of freedom there, computed with scipy.
        assert!(close(found.probability(), 0.349_447_493_402_193, 1e-9));
        let mut wrong = SILICON;
        wrong[2][2] += 0.01;
        let groups = wrong.each_ref().map(|g| g.as_slice());
        assert!(!close(OneWay::of(&groups).unwrap().f, found.f, 1e-3));
    }

    #[test]
    fn seven_constant_leading_digits_cost_no_more_than_they_hide() {
        let (level, unit) = (107.868_1, 1e-7);
        let found = silver(level, unit);
        assert!(close(found.f, 15.946_733_567_793, 1e-7));
        assert!(close(found.between.value, 3.638_341_875e-9, 1e-7));
        assert!(close(found.within.value, 2.281_559_329_710_14e-10, 1e-7));
        // Without the digits that are common to all, to all digits certified.
        assert!(close(silver(0.0, 1.0).f, 15.946_733_567_793_0, 1e-13));
    }

    #[test]
    fn voltages_on_ten_days_give_the_numbers_of_the_guide() {
        // JCGM 100:2008, table H.9: means and standard deviations in microvolts about 10 V, five
        // readings a day; from memory, as what the guide makes of them: 57, 128, 85, F = 2.25 and
        // 43 between the days.
        let days = [
            (172.0, 60.0),
            (116.0, 77.0),
            (13.0, 111.0),
            (144.0, 101.0),
            (106.0, 67.0),
            (31.0, 93.0),
            (60.0, 80.0),
            (125.0, 73.0),
            (163.0, 88.0),
            (41.0, 86.0),
        ];
        let readings = days.map(|(mean, s): (f64, f64)| {
            // Five numbers with that mean and that standard deviation.
            [-2.0, -1.0, 0.0, 1.0, 2.0].map(|k| 1e7 + mean + k * s / 2.5_f64.sqrt())
        });
        let all = OneWay::of(&readings.each_ref().map(|g| g.as_slice())).unwrap();
        let root = |v: f64| v.sqrt().round();
        assert_eq!(
            (root(all.between.value), root(all.within.value)),
            (128.0, 85.0)
        );
        assert_eq!((all.between.dof, all.within.dof), (9.0, 40.0));
        // 2.25 from the rounded 128 and 85.
        assert_eq!((100.0 * all.f).round(), 226.0);
        assert_eq!(root(all.variance_between().value), 43.0);
        assert_eq!(root(all.between.value / 5.0), 57.0);
        // Between the 2.5 % (F = 2.45) and the 5 % point (2.12) that the guide quotes.
        assert!((0.025..0.05).contains(&all.probability()));
    }

    #[test]
    fn groups_of_several_sizes_have_the_numbers_worked_by_hand() {
        // 1 2 3 | 5 7 | 9: means 2, 6, 9; grand mean 4.5. Within: 2 + 2 = 4 on 3 degrees of
        // freedom; between: 3 x 6.25 + 2 x 2.25 + 20.25 = 43.5 on 2. Size (6 - 14/6) / 2.
        let found = OneWay::of(&[&[1.0, 2.0, 3.0], &[], &[5.0, 7.0], &[9.0, f64::NAN]]).unwrap();
        assert!(close(found.within.value, 4.0 / 3.0, 1e-14));
        assert!(close(found.between.value, 21.75, 1e-14));
        assert!(close(found.size, 11.0 / 6.0, 1e-14));
        assert!(close(found.f, 21.75 * 0.75, 1e-14));
    }

    #[test]
    fn too_few_groups_or_values_tell_nothing() {
        assert!(OneWay::of(&[]).is_none());
        assert!(OneWay::of(&[&[1.0, 2.0], &[f64::NAN]]).is_none());
        assert!(OneWay::of(&[&[1.0], &[2.0], &[3.0]]).is_none());
        let alike = OneWay::of(&[&[4.0, 4.0], &[5.0, 5.0]]).unwrap();
        assert_eq!((alike.f, alike.within.value), (f64::INFINITY, 0.0));
    }

    #[test]
    fn variance_components_of_uneven_groups_are_free_of_bias_and_their_errors_honest() {
        // Groups of 2, 4 ... 24 with deviations of 0.8 about readings of 1.
        let of = |seed| {
            let (own, all) = (normal(seed, 12), normal(seed + 10_000, 200));
            let mut rest = all.as_slice();
            let groups: Vec<Vec<f64>> = (0..12)
                .map(|i| {
                    let (group, left) = rest.split_at(2 * (i + 1));
                    rest = left;
                    group.iter().map(|z| z + 0.8 * own[i]).collect()
                })
                .collect();
            OneWay::of(&groups.iter().map(Vec::as_slice).collect::<Vec<_>>()).unwrap()
        };
        let mut mean = Moments::new();
        (1_000..1_400).for_each(|seed| mean.push(of(seed).variance_between().value));
        assert!(agrees(mean.mean(), 0.64) && !agrees(mean.mean(), 0.8));
        assert!(honest(calibration(|seed| of(seed).variance_within())));
    }
}
