//! What classes of competent groups come to: their mean, their scatter, how far the farthest group lies.
//!
//! A class shares its course: reagents, tables and the error of the accepted value are drawn once for it, instruments and sessions
//! for each group. So the distribution of its mean is not that of its groups over sqrt(n), and its scatter misses what the groups
//! share. Both are simulated, and a class is compared with the simulated ones.

use crate::engine::{EngineError, Model, Output, Study};
use crate::experiment::{Experiment, ResultColumn};
use crate::random::{Column, Dist, Draws, Input, Layout, Name, Tag};
use crate::scenario::Scenario;
use crate::stats::{Moments, Sorted};
use std::sync::atomic::AtomicBool;

/// Fewest and most classes, and about how many groups in all.
const CLASSES: [u64; 2] = [1_000, 8_000];
const GROUPS: u64 = 100_000;

/// Share of competent classes in which a group is called outlying.
const OUTLYING: f64 = 0.05;

/// Stream of the error of the accepted value.
const ACCEPTED: Tag = Tag::of("accepted value of a class");

/// Differences from the accepted value, as fractions of it.
struct Against {
    experiment: Experiment,
    /// Standard uncertainty of the accepted value, likewise.
    accepted: Input,
}

impl Model for Against {
    fn columns(&self) -> Vec<String> {
        vec!["difference".to_owned()]
    }

    fn block(&self, draws: &Draws) -> Output {
        let found = self.experiment.block(draws);
        let [error, target] =
            [ResultColumn::Error, ResultColumn::Target].map(|c| &found[c as usize]);
        let name = Name::once(ACCEPTED, Tag::of(""));
        let off: Column<f64> = draws.course(name, &self.accepted);
        vec![Column::from_fn(|i| error[i] / target[i] - off[i])]
    }
}

/// What a class shows; fractions of the accepted value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    /// Mean of the differences.
    pub mean: f64,
    /// Their median.
    pub median: f64,
    /// Middle of the half of the groups that lie closest together; of two such halves the one nearer to the accepted value.
    pub centre: f64,
    /// Their standard deviation; NaN for one group.
    pub sd: f64,
    /// Largest distance of a group from that centre.
    pub farthest: f64,
    /// Mean of the differences without those of outlying groups.
    pub core: f64,
}

impl Seen {
    /// Of a class; groups farther from the centre than `outlying` are so called.
    pub fn of(differences: &[f64], outlying: f64) -> Self {
        let moments = Moments::of(differences);
        let sorted = Sorted::of(differences);
        let centre = centre(sorted.values());
        let far = differences.iter().map(|d| (d - centre).abs());
        let near = differences
            .iter()
            .filter(|d| (**d - centre).abs() <= outlying);
        let near: Vec<f64> = near.copied().collect();
        Self {
            core: Moments::of(&near).mean().value,
            mean: moments.mean().value,
            median: sorted.median().value,
            centre,
            sd: moments.sd().value,
            farthest: far.fold(0.0, f64::max),
        }
    }
}

/// Mean of the shortest half of sorted differences: groups that fall into two clusters have their centre in one of them, and
/// not in the gap where the median of an even number lies.
fn centre(sorted: &[f64]) -> f64 {
    let half = sorted.len().div_ceil(2).max(1);
    let width = |w: &[f64]| w[w.len() - 1] - w[0];
    let middle = |w: &[f64]| w.iter().sum::<f64>() / w.len() as f64;
    // What differs by less than that is a tie.
    const SAME: f64 = 1e-9;
    let shortest = sorted.windows(half).min_by(|a, b| {
        let off = width(a) - width(b);
        match off.abs() < SAME {
            true => middle(a).abs().total_cmp(&middle(b).abs()),
            false => off.total_cmp(&0.0),
        }
    });
    shortest.map_or(f64::NAN, middle)
}

/// Competent classes of a size.
#[derive(Debug, Clone)]
pub struct Expected {
    /// Groups in a class.
    pub groups: usize,
    /// Differences of the groups, class by class.
    classes: Vec<Vec<f64>>,
    means: Sorted,
    sds: Sorted,
    /// Mean of class means.
    pub bias: f64,
    /// Their standard deviation: what a whole class may be off by.
    pub mean_spread: f64,
    /// Standard deviation of groups within a class.
    pub own_spread: f64,
    /// Distance from the centre beyond which a group is called outlying.
    pub outlying: f64,
}

impl Expected {
    /// Simulates classes of `groups` groups.
    ///
    /// # Errors
    /// If interrupted.
    pub fn of(
        scenario: &Scenario,
        groups: usize,
        seed: u64,
        interrupt: Option<&AtomicBool>,
    ) -> Result<Self, EngineError> {
        let size = groups.max(1) as u64;
        let [fewest, most] = CLASSES;
        let classes = (GROUPS / size).clamp(fewest, most);
        let u = (scenario.tabulated_u().0 / scenario.tabulated().0).abs();
        let accepted = match Dist::normal(0.0, u) {
            Ok(dist) if u > 0.0 => Input::error(dist),
            _ => Input::exact(0.0),
        };
        let model = Against {
            experiment: Experiment::without_claims(scenario.clone()),
            accepted,
        };
        let study = Study {
            layout: Layout { groups: size },
            interrupt,
            ..Study::new(seed)
        };
        let table = study.run(&model, classes * size)?;
        let all = table.columns[0].chunks_exact(groups.max(1));
        let whole = all.filter(|c| c.iter().all(|d| d.is_finite()));
        let classes: Vec<Vec<f64>> = whole.map(<[f64]>::to_vec).collect();
        let seen = |outlying: f64| -> Vec<Seen> {
            classes.iter().map(|c| Seen::of(c, outlying)).collect()
        };
        let far = seen(f64::INFINITY).iter().map(|s| s.farthest).collect();
        let outlying = Sorted::from_vec(far).quantile(1.0 - OUTLYING).value;
        let seen = seen(outlying);
        let column = |of: fn(&Seen) -> f64| -> Vec<f64> { seen.iter().map(of).collect() };
        let [means, sds] = [|s: &Seen| s.core, |s: &Seen| s.sd].map(column);
        let of_means = Moments::of(&means);
        let squares: Vec<f64> = sds.iter().map(|s| s * s).collect();
        Ok(Self {
            groups,
            bias: of_means.mean().value,
            mean_spread: of_means.sd().value,
            own_spread: Moments::of(&squares).mean().value.sqrt(),
            outlying,
            means: Sorted::from_vec(means),
            sds: Sorted::from_vec(sds),
            classes,
        })
    }

    /// The simulated classes.
    pub fn classes(&self) -> &[Vec<f64>] {
        &self.classes
    }

    /// What a class shows.
    pub fn seen(&self, differences: &[f64]) -> Seen {
        Seen::of(differences, self.outlying)
    }

    /// Probability that a competent class's mean without outlying groups lies as far out as this one, on either side.
    pub fn p_mean(&self, mean: f64) -> f64 {
        let above = tail(&self.means, mean);
        (2.0 * above.min(1.0 - above + 1.0 / self.count())).min(1.0)
    }

    /// Probability that a competent class scatters at least as much; 1 for a single group.
    pub fn p_scatter(&self, sd: f64) -> f64 {
        if sd.is_finite() {
            tail(&self.sds, sd)
        } else {
            1.0
        }
    }

    /// Of the smaller of both, as one: `1 - (1 - p)^2`, so that 5 % of competent classes fall below 5 %.
    pub fn p_either(&self, seen: &Seen) -> f64 {
        let least = self.p_mean(seen.core).min(self.p_scatter(seen.sd));
        1.0 - (1.0 - least) * (1.0 - least)
    }

    fn count(&self) -> f64 {
        self.means.len() as f64 + 1.0
    }

    /// Share of classes with half of their groups shifted by a fraction that are told from competent ones at 5 %.
    pub fn power(&self, shift: f64, classes: usize) -> f64 {
        let erring = self.groups.div_ceil(2);
        let some = self.classes.iter().take(classes);
        let told = some.clone().filter(|class| {
            let mut own = (*class).clone();
            own[..erring].iter_mut().for_each(|d| *d += shift);
            self.p_either(&self.seen(&own)) < 0.05
        });
        told.count() as f64 / some.count().max(1) as f64
    }
}

/// Share of values at or above x, x itself counted.
fn tail(sorted: &Sorted, x: f64) -> f64 {
    let below = sorted.values().partition_point(|v| *v < x);
    (sorted.len() - below + 1) as f64 / (sorted.len() as f64 + 1.0)
}
