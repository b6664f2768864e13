//! Whether a tolerance, written as the scenario would state it, holds what the search found.
//!
//! A size is cut to three figures, and a curve of finitely many trials is jagged: a little less is not always better. So what
//! is proposed is simulated as it would be written, and made smaller until it meets the target.

use super::bounds::{OutOfBounds, crossed, planned};
use super::loosen_stated::loosened;
use super::outcome::DesignOptions;
use crate::engine::{EngineError, Table};
use crate::experiment::Experiment;
use crate::random::Plan;
use crate::scenario::{Raw, Scenario, Source};

/// Parts of an answer that are tried in turn.
const PARTS: [f64; 7] = [1.0, 0.99, 0.98, 0.95, 0.9, 0.8, 0.6];

/// What a statement is compared with.
pub(super) struct Held<'a> {
    /// The scenario as it is.
    pub scenario: &'a Scenario,
    /// The bounds that its plan is beyond as it is.
    pub own: Vec<OutOfBounds>,
    /// Cap of the change of temperature, K.
    pub cap: f64,
    /// Whether what was simulated meets the target within all bounds that only runs show.
    pub holds: &'a (dyn Fn(&Table) -> bool + Sync),
}

impl Held<'_> {
    /// The keys of sources with their errors up to `factor` times as large; empty if not even the smallest part of it does.
    ///
    /// # Errors
    /// If interrupted.
    pub fn stated(
        &self,
        sources: &[&'static Source],
        factor: f64,
        options: &DesignOptions,
    ) -> Result<Vec<(String, String)>, EngineError> {
        for part in PARTS {
            let set = loosened(self.scenario, sources, factor * part);
            if set.is_empty() || self.meets(&set, options)? {
                return Ok(set);
            }
        }
        Ok(Vec::new())
    }

    fn meets(
        &self,
        set: &[(String, String)],
        options: &DesignOptions,
    ) -> Result<bool, EngineError> {
        let set = set
            .iter()
            .map(|(key, text)| (key.clone(), Raw::Text(text.clone())));
        let Ok(changed) = self.scenario.changed(&set.collect::<Vec<_>>()) else {
            return Ok(false);
        };
        if crossed(&planned(&changed, self.cap), &self.own).is_some() {
            return Ok(false);
        }
        let model = Experiment::without_claims(changed);
        Ok((self.holds)(&options.run(&model, Plan::new())?))
    }
}
