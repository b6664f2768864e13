//! What a sweep says: its best point, the one of least effort, and where its goal is reached.

use super::goal::Goal;
use super::sweep::{Sweep, SweepPoint};
use crate::stats::Estimate;

impl Sweep {
    /// The goal, and a point that reaches it from which a window can be looked for: the best, or the first that does.
    pub(super) fn middle_of_window(&self) -> Option<(Goal, usize)> {
        let goal = self.goal?;
        let [vary] = self.vary.as_slice() else {
            return None;
        };
        if self.untold().is_some() {
            return None;
        }
        let good = |i: &usize| self.points[*i].reaches(goal);
        let best = self.best().filter(good);
        let found = best.or_else(|| (0..self.points.len()).find(good))?;
        (!vary.parameter.is_count() && !self.is_scattered()).then_some((goal, found))
    }

    /// Along one number that is no number of runs: how many points the trials do not tell from the target, if some seem to reach
    /// it and none is told to. Noise would decide where a window about them ends.
    pub fn untold(&self) -> Option<usize> {
        let goal = self.goal?;
        let [vary] = self.vary.as_slice() else {
            return None;
        };
        let sound = self.points.iter().filter(|p| p.zones.is_empty());
        let all: Vec<Estimate> = sound
            .filter_map(|p| Some(goal.measure(p.outcome.as_ref()?)))
            .collect();
        let open = all.iter().filter(|e| goal.is_open(**e)).count();
        let mut met = all.iter().filter(|e| goal.met(e.value));
        let chance = all.len() > 1 && met.clone().next().is_some() && met.all(|e| goal.is_open(*e));
        (chance && !vary.parameter.is_count()).then_some(open)
    }

    /// Whether values that cannot be at all lie between values that can, as with the volumes of pipettes: then there is no
    /// stretch to speak of, and nothing known between the points.
    pub fn is_scattered(&self) -> bool {
        let possible = |p: &SweepPoint| p.outcome.is_some();
        let mut inside = self.points.iter().skip_while(|p| !possible(p));
        self.vary.len() == 1 && inside.any(|p| !possible(p)) && inside.any(possible)
    }

    /// Points that reach the goal and lie outside the window, if there is one.
    pub fn further(&self) -> Vec<usize> {
        let (Some(goal), [_]) = (self.goal, self.vary.as_slice()) else {
            return Vec::new();
        };
        let within = |x: f64| {
            let window = self.window.as_ref();
            window.is_some_and(|w| (w.ends[0]..=w.ends[1]).contains(&x))
        };
        (0..self.points.len())
            .filter(|i| self.points[*i].reaches(goal) && !within(self.points[*i].at[0]))
            .collect()
    }

    /// Why no point at all makes an experiment: what the first one says; `None` if some point does.
    pub fn nowhere(&self) -> Option<&str> {
        if self.points.iter().any(|p| p.outcome.is_some()) {
            return None;
        }
        Some(&self.points.first()?.zones.first()?.words)
    }

    /// The point of smallest RMS error among those that may be proposed.
    pub fn best(&self) -> Option<usize> {
        let rms = |i: &usize| {
            self.points[*i]
                .outcome
                .as_ref()
                .map(|o| o.relative(o.errors.rms).value)
        };
        (0..self.points.len())
            .filter(|i| self.points[*i].zones.is_empty() && rms(i).is_some_and(f64::is_finite))
            .min_by(|a, b| {
                rms(a)
                    .unwrap_or(f64::INFINITY)
                    .total_cmp(&rms(b).unwrap_or(f64::INFINITY))
            })
    }

    /// What a point costs: of runs, their time, s, or their number where no times are stated; along another line, its
    /// value; on a map of other numbers, its RMS error.
    pub fn effort(&self, point: usize) -> f64 {
        let p = &self.points[point];
        let counts = self.vary.iter().all(|v| v.parameter.is_count());
        let runs = || {
            let each = p.at.iter().zip(&self.vary);
            each.map(|(n, v)| n * v.parameter.keys() as f64).sum()
        };
        match (counts, self.vary.len()) {
            (true, _) => p.time().unwrap_or_else(runs),
            (false, 1) => p.at[0],
            _ => p.rms(),
        }
    }

    /// The point that reaches the goal with the least [`Sweep::effort`]; of several, that of the smallest RMS error.
    pub fn least(&self) -> Option<usize> {
        let goal = self.goal?;
        let price = |i: &usize| (self.effort(*i), self.points[*i].rms());
        (0..self.points.len())
            .filter(|i| self.points[*i].reaches(goal))
            .min_by(|a, b| {
                let (a, b) = (price(a), price(b));
                a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
            })
    }
}
