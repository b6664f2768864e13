//! What a better source would bring, on the same random numbers.

use super::control::{Controls, dot};
use super::group::{Group, ShareOptions};
use super::pair::Pair;
use crate::engine::{EngineError, Model, in_order, under_plans};
use crate::random::{BLOCK, Plan, Treatment};
use crate::stats::Estimate;
use std::ops::ControlFlow;

/// Where a column of errors lies and how wide it is; all in the unit of the column, which in JSON is J/mol.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub struct State {
    /// Mean: the bias, if the column is an error about zero.
    #[serde(rename = "bias_J_per_mol")]
    pub mean: Estimate,
    /// Standard deviation.
    #[serde(rename = "spread_J_per_mol")]
    pub sd: Estimate,
    /// Root mean square about zero.
    #[serde(rename = "rms_error_J_per_mol")]
    pub rms: Estimate,
}

/// What one treatment of a group does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effect {
    /// What is done to its sources.
    pub treatment: Treatment,
    /// The column under the treatment.
    pub treated: State,
    /// The column now less the column treated, trial by trial: for [`Treatment::Perfect`], `mean` is the
    /// bias that the group makes, `sd` the spread and `rms` the error that would go with it.
    pub gain: State,
    /// Trials left out of both because one of the two results was not finite.
    pub nonfinite: u64,
}

/// What the treatments of one group do.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupEffects {
    /// Name of the group.
    pub name: String,
    /// One for each treatment, in the order given.
    pub effects: Vec<Effect>,
}

/// What better sources bring: the errors with them, and those now less these.
#[derive(Debug, Clone, Copy, serde::Serialize, schemars::JsonSchema)]
pub struct Better {
    /// Without the errors of these sources.
    pub perfect: State,
    /// What that gains: bias and spread that they make, and the RMS error that goes with them.
    pub gain_if_perfect: State,
    /// With half of these errors.
    pub halved: State,
    /// What that gains.
    pub gain_if_halved: State,
}

impl From<&GroupEffects> for Better {
    /// Of the effects of [`Treatment::Perfect`] and of half the error, in this order.
    fn from(found: &GroupEffects) -> Self {
        let [perfect, halved] = [&found.effects[0], &found.effects[1]];
        Self {
            perfect: perfect.treated,
            gain_if_perfect: perfect.gain,
            halved: halved.treated,
            gain_if_halved: halved.gain,
        }
    }
}

/// The column now, and under each treatment of each group.
#[derive(Debug, Clone, PartialEq)]
pub struct WhatIf {
    /// Nothing treated.
    pub now: State,
    /// The groups in the order given.
    pub groups: Vec<GroupEffects>,
    /// Trials run for each treatment.
    pub trials: u64,
    /// Trials that are not finite with nothing treated.
    pub nonfinite: u64,
}

impl State {
    /// This one less a difference, whose error counts by itself.
    fn less(&self, gain: &Self) -> Self {
        let of = |own: Estimate, gain: Estimate| {
            Estimate::new(own.value - gain.value, own.se.hypot(gain.se))
        };
        Self {
            mean: of(self.mean, gain.mean),
            sd: of(self.sd, gain.sd),
            rms: of(self.rms, gain.rms),
        }
    }
}

impl WhatIf {
    /// The same differences about a state that more trials have found: what is treated is that state less the gain.
    #[must_use]
    pub fn about(mut self, better_known: &Self) -> Self {
        self.now = better_known.now;
        self.nonfinite = better_known.nonfinite;
        for effect in self.groups.iter_mut().flat_map(|g| &mut g.effects) {
            effect.treated = self.now.less(&effect.gain);
        }
        self
    }
}

/// What becomes of result column number `column`, an error about zero, if each group in turn is
/// treated in each of these ways: usually [`Treatment::Perfect`] and `Scaled(0.5)`.
///
/// Both sides of a comparison use the same draws, so the error of a `gain` is that of the
/// difference, mostly far below the errors of its two sides. Errors come from batches: means,
/// squared deviations and squares are averaged over them, roots taken of the averages and their
/// errors linearised.
///
/// The model is run `options.rounded()` times (1 + groups x treatments) trials.
///
/// # Errors
/// If interrupted.
///
/// # Panics
/// If the model has no such column.
pub fn what_if(
    model: &dyn Model,
    column: usize,
    groups: &[Group],
    treatments: &[Treatment],
    options: &ShareOptions,
) -> Result<WhatIf, EngineError> {
    let plans: Vec<Plan> = groups
        .iter()
        .flat_map(|g| treatments.iter().map(|t| g.plan(*t)))
        .collect();
    let each = options.blocks_each();
    let blocks = each * options.parts() as u64;
    let as_drawn = Plan::new();
    let every_plan = || std::iter::once(&as_drawn).chain(&plans);
    // By plan, the untreated one with itself first; by batch.
    let mut pairs = vec![vec![Pair::default(); options.parts()]; 1 + plans.len()];
    in_order(
        blocks,
        options.interrupt,
        &|block| {
            let columns = under_plans(model, (options.seed, block), every_plan(), |output| {
                output[column].0.to_vec()
            });
            columns.iter().map(|own| finite(&columns[0], own)).collect()
        },
        &mut |block, new: Vec<Pair>| {
            for (batches, pair) in pairs.iter_mut().zip(&new) {
                batches[(block / each) as usize].merge(pair);
            }
            ControlFlow::Continue(())
        },
        &|done| {
            if let Some(progress) = options.progress {
                progress(done * BLOCK as u64);
            }
        },
    )?;
    let trials = blocks * BLOCK as u64;
    let lost = |batches: &[Pair]| trials - batches.iter().map(Pair::count).sum::<u64>();
    let effect = |i: usize, treatment: Treatment| {
        let batches = &pairs[1 + i];
        let now = Side::of(batches, false);
        let treated = Side::of(batches, true);
        Effect {
            treatment,
            treated: treated.state(),
            gain: now.less(&treated).state(),
            nonfinite: lost(batches),
        }
    };
    Ok(WhatIf {
        now: Side::of(&pairs[0], false).state(),
        groups: groups
            .iter()
            .enumerate()
            .map(|(g, group)| GroupEffects {
                name: group.name.clone(),
                effects: treatments
                    .iter()
                    .enumerate()
                    .map(|(t, treatment)| effect(g * treatments.len() + t, *treatment))
                    .collect(),
            })
            .collect(),
        trials,
        nonfinite: lost(&pairs[0]),
    })
}

/// The pairs of which both are finite.
fn finite(now: &[f64], treated: &[f64]) -> Pair {
    let (x, y): (Vec<f64>, Vec<f64>) = now
        .iter()
        .zip(treated)
        .filter(|(a, b)| a.is_finite() && b.is_finite())
        .unzip();
    Pair::of(&x, &y)
}

/// One side of a comparison, or the difference of two: values, and what each batch adds to them.
struct Side {
    mean: Linear,
    sd: Linear,
    rms: Linear,
}

/// A statistic, and the deviations of the batches from it, to first order.
struct Linear {
    value: f64,
    deviations: Vec<f64>,
}

impl Side {
    fn of(batches: &[Pair], treated: bool) -> Self {
        let means: Vec<f64> = batches
            .iter()
            .map(|p| if treated { p.means().1 } else { p.means().0 })
            .collect();
        let centre = means.iter().sum::<f64>() / means.len() as f64;
        let squares = |origin: f64| -> Vec<f64> {
            batches
                .iter()
                .map(|p| {
                    if treated {
                        p.square_y(origin)
                    } else {
                        p.square_x(origin)
                    }
                })
                .collect()
        };
        Self {
            mean: Linear::mean(&means),
            sd: Linear::root(&squares(centre)),
            rms: Linear::root(&squares(0.0)),
        }
    }

    fn less(&self, other: &Self) -> Self {
        Self {
            mean: self.mean.less(&other.mean),
            sd: self.sd.less(&other.sd),
            rms: self.rms.less(&other.rms),
        }
    }

    fn state(&self) -> State {
        State {
            mean: self.mean.estimate(),
            sd: self.sd.estimate(),
            rms: self.rms.estimate(),
        }
    }
}

impl Linear {
    fn mean(values: &[f64]) -> Self {
        let mean = Controls::new(values.len(), &[]).intercept(values);
        Self {
            value: mean.value,
            deviations: mean.residuals,
        }
    }

    /// The root of a mean of squares.
    fn root(squares: &[f64]) -> Self {
        let mean = Self::mean(squares);
        let root = mean.value.sqrt();
        let slope = if root == 0.0 { 0.0 } else { 0.5 / root };
        Self {
            value: root,
            deviations: mean.deviations.iter().map(|d| slope * d).collect(),
        }
    }

    fn less(&self, other: &Self) -> Self {
        let deviations = self
            .deviations
            .iter()
            .zip(&other.deviations)
            .map(|(a, b)| a - b)
            .collect();
        Self {
            value: self.value - other.value,
            deviations,
        }
    }

    fn estimate(&self) -> Estimate {
        let n = self.deviations.len() as f64;
        let squares = dot(&self.deviations, &self.deviations);
        Estimate::new(self.value, (squares / (n * (n - 1.0))).sqrt())
    }
}
