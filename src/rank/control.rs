//! Means over batches, sharpened by control variates.

/// Part of a control's sum of squares, beyond what the controls before it explain, below which it
/// says nothing new: rounding leaves about 1e-30.
const NOTHING_NEW: f64 = 1e-18;

/// Controls: one vector per control, one number per batch, each with expectation zero.
///
/// If a quantity follows a control from batch to batch, the part of its error that the control
/// shows can be taken off: the mean is replaced by the intercept of the regression on the
/// controls, evaluated where all of them are zero. Errors and degrees of freedom are those of that
/// regression, exact for jointly normal batches: S. S. Lavenberg and P. D. Welch, Management
/// Science 27 (1981) 322 (from memory).
pub(super) struct Controls {
    batches: usize,
    kept: Vec<Control>,
}

/// A control made orthogonal to those before it.
struct Control {
    mean: f64,
    centred: Vec<f64>,
    squares: f64,
}

/// A mean after regression.
pub(super) struct Intercept {
    /// The mean where all controls are zero.
    pub value: f64,
    /// What the regression leaves of each batch.
    pub residuals: Vec<f64>,
}

impl Controls {
    /// Takes them in this order; one that those before it determine is dropped.
    pub fn new(batches: usize, controls: &[Vec<f64>]) -> Self {
        let mut kept: Vec<Control> = Vec::new();
        for control in controls {
            let (mut mean, mut centred) = centre(control);
            let whole = dot(&centred, &centred);
            // Twice: once leaves rounding that the second pass removes.
            for _ in 0..2 {
                for k in &kept {
                    let slope = dot(&centred, &k.centred) / k.squares;
                    mean -= slope * k.mean;
                    subtract(&mut centred, slope, &k.centred);
                }
            }
            let squares = dot(&centred, &centred);
            if squares > NOTHING_NEW * whole && squares.is_normal() {
                kept.push(Control {
                    mean,
                    centred,
                    squares,
                });
            }
        }
        Self { batches, kept }
    }

    /// Degrees of freedom left for the spread.
    pub fn dof(&self) -> usize {
        self.batches.saturating_sub(1 + self.kept.len())
    }

    /// The variance of an intercept over that of a residual: 1/n without controls.
    pub fn leverage(&self) -> f64 {
        let extra: f64 = self.kept.iter().map(|k| k.mean * k.mean / k.squares).sum();
        1.0 / self.batches as f64 + extra
    }

    /// The mean of a quantity, one number per batch, with the controls at zero.
    pub fn intercept(&self, values: &[f64]) -> Intercept {
        let (mut value, mut residuals) = centre(values);
        for k in &self.kept {
            let slope = dot(&residuals, &k.centred) / k.squares;
            value -= slope * k.mean;
            subtract(&mut residuals, slope, &k.centred);
        }
        Intercept { value, residuals }
    }
}

fn centre(values: &[f64]) -> (f64, Vec<f64>) {
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    (mean, values.iter().map(|v| v - mean).collect())
}

/// Sum of products.
pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

fn subtract(from: &mut [f64], factor: f64, what: &[f64]) {
    for (f, w) in from.iter_mut().zip(what) {
        *f -= factor * w;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(a: f64, b: f64) -> bool {
        (a - b).abs() < 1e-12
    }

    #[test]
    fn without_controls_it_is_the_mean() {
        let c = Controls::new(4, &[]);
        let i = c.intercept(&[1.0, 2.0, 3.0, 6.0]);
        assert_eq!(i.value, 3.0);
        assert_eq!(i.residuals, [-2.0, -1.0, 0.0, 3.0]);
        assert_eq!((c.dof(), c.leverage()), (3, 0.25));
    }

    #[test]
    fn what_a_control_explains_is_taken_off() {
        // Five plus three times the control, exactly.
        let control = vec![0.3, -0.1, 0.4, -0.2];
        let values: Vec<f64> = control.iter().map(|k| 5.0 + 3.0 * k).collect();
        let c = Controls::new(4, &[control]);
        let i = c.intercept(&values);
        assert!(close(i.value, 5.0) && i.residuals.iter().all(|r| close(*r, 0.0)));
        // The plain mean is off by three times the mean of the control.
        assert!(!close(Controls::new(4, &[]).intercept(&values).value, 5.0));
        // Mean 0.1, deviations 0.2 -0.2 0.3 -0.3: 0.01/0.26 more than a quarter.
        assert!(close(c.leverage(), 0.25 + 0.01 / 0.26));
    }

    #[test]
    fn repeated_constant_and_undefined_controls_are_dropped() {
        let a = vec![1.0, -2.0, 0.5, 0.7, 0.1];
        let twice: Vec<f64> = a.iter().map(|x| -2.0 * x).collect();
        let b = vec![0.2, 0.9, -1.0, 0.4, -0.3];
        let c = Controls::new(5, &[a, twice, vec![0.0; 5], vec![f64::NAN; 5], b]);
        assert_eq!(c.dof(), 2);
        let i = c.intercept(&[1.0, 4.0, 2.0, 3.0, 9.0]);
        assert!(i.residuals.iter().sum::<f64>().abs() < 1e-12);
        assert!(
            c.kept
                .iter()
                .all(|k| close(dot(&k.centred, &i.residuals), 0.0))
        );
    }
}
