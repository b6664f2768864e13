//! A straight line through points, by ordinary least squares.

use super::{Estimate, Moments};

/// The line y = intercept + slope x that leaves the least sum of squares in y.
///
/// The abscissae are taken as exact, and the errors of the ordinates as independent and of one
/// standard deviation, which the residuals give: √(Σr²/(n − 2)). All errors are made from it; with
/// few points they are known to 1/√(2(n − 2)), and intervals need Student's t with
/// [`Line::dof`] degrees of freedom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    n: f64,
    centre: (f64, f64),
    sxx: f64,
    slope: f64,
    residual: f64,
}

impl Line {
    /// The line through `points` (x, y), in any order and at any distances; `None` with fewer than
    /// three of them, if one is not finite, or if all have the same x.
    pub fn through(points: &[(f64, f64)]) -> Option<Self> {
        let [x, y] = [|p: &(f64, f64)| p.0, |p: &(f64, f64)| p.1].map(|of| {
            Moments::of(&points.iter().map(of).collect::<Vec<_>>())
                .mean()
                .value
        });
        let centred = || points.iter().map(|p| (p.0 - x, p.1 - y));
        let sxx: f64 = centred().map(|(dx, _)| dx * dx).sum();
        let slope = centred().map(|(dx, dy)| dx * dy).sum::<f64>() / sxx;
        let squares: f64 = centred()
            .map(|(dx, dy)| (dy - slope * dx) * (dy - slope * dx))
            .sum();
        let n = points.len() as f64;
        // A point that is not finite, or no spread in x, leaves no finite sum.
        (n > 2.0 && squares.is_finite()).then(|| Self {
            n,
            centre: (x, y),
            sxx,
            slope,
            residual: (squares / (n - 2.0)).sqrt(),
        })
    }

    /// Slope, in the unit of y over that of x.
    pub fn slope(&self) -> Estimate {
        Estimate::new(self.slope, self.residual / self.sxx.sqrt())
    }

    /// Value at x = 0.
    pub fn intercept(&self) -> Estimate {
        self.at(0.0)
    }

    /// Value of the line at any x, with the standard error of the line there (not of a further
    /// point, which scatters by [`Line::residual_sd`] as well).
    pub fn at(&self, x: f64) -> Estimate {
        let d = x - self.centre.0;
        let se = self.residual * (1.0 / self.n + d * d / self.sxx).sqrt();
        Estimate::new(self.centre.1 + self.slope * d, se)
    }

    /// Standard deviation of the points about the line, n − 2 in the divisor.
    pub fn residual_sd(&self) -> f64 {
        self.residual
    }

    /// Degrees of freedom of all its errors: n − 2.
    pub fn dof(&self) -> f64 {
        self.n - 2.0
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::*;
    use super::*;

    /// NIST Statistical Reference Datasets, Norris (ozone monitors): x and y.
    const NORRIS: [(f64, f64); 36] = [
        (0.2, 0.1),
        (337.4, 338.8),
        (118.2, 118.1),
        (884.6, 888.0),
        (10.1, 9.2),
        (226.5, 228.1),
        (666.3, 668.5),
        (996.3, 998.5),
        (448.6, 449.1),
        (777.0, 778.9),
        (558.2, 559.2),
        (0.4, 0.3),
        (0.6, 0.1),
        (775.5, 778.1),
        (666.9, 668.8),
        (338.0, 339.3),
        (447.5, 448.9),
        (11.6, 10.8),
        (556.0, 557.7),
        (228.1, 228.3),
        (995.8, 998.0),
        (887.6, 888.8),
        (120.2, 119.6),
        (0.3, 0.3),
        (0.3, 0.6),
        (556.8, 557.6),
        (339.1, 339.3),
        (887.2, 888.0),
        (999.0, 998.5),
        (779.0, 778.9),
        (11.1, 10.2),
        (118.3, 117.6),
        (229.2, 228.9),
        (669.1, 668.4),
        (448.9, 449.2),
        (0.5, 0.2),
    ];

    fn certified(line: &Line) -> bool {
        let [slope, intercept] = [line.slope(), line.intercept()];
        [
            (slope.value, 1.002_116_818_020_45),
            (slope.se, 0.000_429_796_848_199_937),
            (intercept.value, -0.262_323_073_774_029),
            (intercept.se, 0.232_818_234_301_152),
            (line.residual_sd(), 0.884_796_396_144_373),
        ]
        .iter()
        .all(|(is, should)| (is / should - 1.0).abs() < 1e-11)
    }

    /// JCGM 100:2008, H.3: corrections of a thermometer against its reading less 20 °C.
    #[test]
    fn the_calibration_of_a_thermometer_has_the_numbers_of_the_guide() {
        let readings = [
            21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511,
        ];
        let corrections = [
            -0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160,
        ];
        let points: Vec<(f64, f64)> = readings.iter().map(|t| t - 20.0).zip(corrections).collect();
        let line = Line::through(&points).unwrap();
        let near = |e: Estimate, value: f64, se: f64, digit: f64| {
            (e.value - value).abs() < digit && (e.se - se).abs() < digit
        };
        assert!(near(line.intercept(), -0.1712, 0.0029, 6e-5));
        assert!(near(line.slope(), 0.00218, 0.00067, 6e-6));
        assert!((line.residual_sd() - 0.0035).abs() < 6e-5);
        assert!(near(line.at(10.0), -0.1494, 0.0041, 6e-5));
    }

    #[test]
    fn the_line_of_norris_has_its_certified_numbers() {
        assert!(certified(&Line::through(&NORRIS).unwrap()));
        // In another order and with one digit wrong.
        let mut points = NORRIS;
        points.reverse();
        assert!(certified(&Line::through(&points).unwrap()));
        points[17].1 += 0.1;
        assert!(!certified(&Line::through(&points).unwrap()));
    }

    #[test]
    fn a_line_far_from_the_origin_keeps_its_digits() {
        // 2 + 3 x through x = 1e9 + (-2, -1, 0, 1, 2), one point lifted by 5: residuals by hand
        // -1 -1 4 -1 -1, sum of squares 20.
        let points: Vec<(f64, f64)> = (-2..=2)
            .map(|k| {
                let lift = if k == 0 { 5.0 } else { 0.0 };
                (1e9 + f64::from(k), 2.0 + 3.0 * f64::from(k) + lift)
            })
            .collect();
        let line = Line::through(&points).unwrap();
        assert_eq!((line.slope().value, line.at(1e9).value), (3.0, 3.0));
        assert!((line.residual_sd() - (20.0_f64 / 3.0).sqrt()).abs() < 1e-12);
        assert!((line.at(1e9).se - (20.0_f64 / 3.0 / 5.0).sqrt()).abs() < 1e-12);
        assert!((line.slope().se - (20.0_f64 / 3.0 / 10.0).sqrt()).abs() < 1e-12);
    }

    #[test]
    fn too_few_points_on_one_abscissa_or_not_finite_make_no_line() {
        assert!(Line::through(&NORRIS[..2]).is_none());
        assert!(Line::through(&[(1.0, 0.0), (1.0, 2.0), (1.0, 4.0)]).is_none());
        assert!(Line::through(&[(1.0, 0.0), (2.0, f64::NAN), (3.0, 4.0)]).is_none());
        assert!(Line::through(&[(1.0, 0.0), (f64::INFINITY, 1.0), (3.0, 4.0)]).is_none());
    }

    #[test]
    fn stated_errors_of_a_line_match_their_spread_on_uneven_abscissae() {
        let of = |seed| {
            let noise = normal(seed, 40);
            // Abscissae crowd towards zero: 0, 0.1, 0.4, 0.9 ...
            let x = |i: usize| 0.1 * (i * i) as f64;
            let points: Vec<_> = (0..40)
                .map(|i| (x(i), 2.0 - 0.3 * x(i) + noise[i]))
                .collect();
            Line::through(&points).unwrap()
        };
        for ratio in [
            calibration(|seed| of(seed).slope()),
            calibration(|seed| of(seed).intercept()),
            calibration(|seed| of(seed).at(200.0)),
        ] {
            assert!(honest(ratio), "{ratio}");
        }
        let as_if_in_the_middle = |seed| {
            let line = of(seed);
            Estimate::new(line.at(200.0).value, line.at(line.centre.0).se)
        };
        assert!(!honest(calibration(as_if_in_the_middle)));
    }
}
