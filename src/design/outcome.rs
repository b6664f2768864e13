//! What a design study asks of one scenario, and of one column of any model.

use crate::engine::{EngineError, Model, Study, Table};
use crate::experiment::{Experiment, ResultColumn};
use crate::quantity::Currency;
use crate::random::Plan;
use crate::scenario::{Leg, Scenario};
use crate::stats::{Estimate, Moments, Sorted, rms, share_within, spread};
use std::sync::atomic::AtomicBool;

/// Trials of each point unless asked otherwise: a spread is then known to 0.7 %, and differences between points
/// much better, since all use the same random numbers.
pub const TRIALS: u64 = 10_240;

/// Share of results that [`Errors::within`] speaks of.
const PROBABILITY: f64 = 0.95;

/// How to run a design study.
#[derive(Clone, Copy)]
pub struct DesignOptions<'a> {
    /// Seed of all streams: all points of a study use the same random numbers.
    pub seed: u64,
    /// Trials of each point, whatever the number of points.
    pub trials: u64,
    /// Ends the study early.
    pub interrupt: Option<&'a AtomicBool>,
    /// Called with the number of simulations done.
    pub progress: Option<&'a (dyn Fn(u64) + Sync)>,
}

impl DesignOptions<'_> {
    /// [`TRIALS`] trials with this seed.
    pub fn new(seed: u64) -> Self {
        Self {
            seed,
            trials: TRIALS,
            interrupt: None,
            progress: None,
        }
    }

    /// Runs a model under a plan.
    ///
    /// # Errors
    /// If interrupted.
    pub fn run(&self, model: &dyn Model, plan: Plan) -> Result<Table, EngineError> {
        let study = Study {
            plan,
            interrupt: self.interrupt,
            ..Study::new(self.seed)
        };
        study.run(model, self.trials)
    }

    pub(super) fn tick(&self, done: u64) {
        if let Some(progress) = self.progress {
            progress(done);
        }
    }
}

/// Statistics of a column of errors, in its unit, which in JSON is J/mol.
#[derive(Debug, Clone, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub struct Errors {
    /// Mean.
    #[serde(rename = "bias_J_per_mol")]
    pub bias: Estimate,
    /// Standard deviation.
    #[serde(rename = "spread_J_per_mol")]
    pub spread: Estimate,
    /// Root mean square about zero.
    #[serde(rename = "rms_J_per_mol")]
    pub rms: Estimate,
    /// Distance from zero within which 95 % lie.
    #[serde(rename = "within_95_J_per_mol")]
    pub within: Estimate,
    /// Trials whose result is not finite, left out.
    #[serde(rename = "nonfinite_trials")]
    pub nonfinite: u64,
    /// The errors, trial by trial, for differences on common random numbers.
    #[serde(skip)]
    pub values: Vec<f64>,
}

impl Errors {
    /// Of a column, in trial order.
    pub fn of(values: &[f64]) -> Self {
        let moments = Moments::of(values);
        let sizes: Vec<f64> = values.iter().map(|e| e.abs()).collect();
        Self {
            bias: moments.mean(),
            spread: spread(values),
            rms: rms(values),
            within: Sorted::from_vec(sizes).quantile(PROBABILITY),
            nonfinite: moments.nonfinite(),
            values: values.to_vec(),
        }
    }
}

/// What a procedure delivers and costs.
#[derive(Debug, Clone, serde::Serialize, schemars::JsonSchema)]
pub struct Outcome {
    /// Errors of the result, J/mol.
    #[serde(flatten)]
    pub errors: Errors,
    /// Nature's value: its mean over the trials, J/mol.
    #[serde(rename = "result_J_per_mol")]
    pub target: f64,
    /// Share of results within the fair band, if there is one.
    pub in_band: Option<Estimate>,
    /// Half-width of the 95 % interval that a student computes from the scatter of the determinations alone:
    /// its median over groups, J/mol; `None` for a single determination.
    #[serde(rename = "student_half_width_J_per_mol")]
    pub student: Option<Estimate>,
    /// Mean changes of temperature, K: calibration, determination.
    #[serde(rename = "change_of_temperature_K")]
    pub changes: [f64; 2],
    /// The same in last digits of the display or widths of its noise, whichever is larger.
    #[serde(rename = "change_in_steps_of_the_reading")]
    pub steps: [f64; 2],
    /// Repeats for each planned run, both kinds together.
    #[serde(rename = "repeats_per_run")]
    pub repeats: Estimate,
    /// The same of each kind, calibrations and determinations: their means.
    #[serde(rename = "repeats_per_calibration_and_determination")]
    pub repeats_each: [f64; 2],
    /// Share of determinations in which what should be in excess ran out.
    #[serde(rename = "excess_ran_out")]
    pub ran_out: Estimate,
    /// What the procedure takes.
    #[serde(flatten)]
    pub cost: Cost,
}

/// What the procedure takes one group, repeats counted by their mean number.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub struct Cost {
    /// Time, s; `None` if the scenario does not say what a run takes.
    #[serde(rename = "time_s")]
    pub time: Option<f64>,
    /// Money; `None` if it does not say what a run costs.
    pub money: Option<f64>,
    /// What it is stated in, if a currency is named.
    pub currency: Option<Currency>,
    /// Solids of the charges, g: calibration, determinations.
    #[serde(rename = "solid_g")]
    pub solid: [f64; 2],
    /// Liquids, mL, portions counted.
    #[serde(rename = "liquid_mL")]
    pub liquid: [f64; 2],
}

impl Outcome {
    /// Simulates a scenario as a forecast would, with the claims of its groups.
    ///
    /// # Errors
    /// If interrupted.
    pub fn of(scenario: &Scenario, options: &DesignOptions) -> Result<Self, EngineError> {
        Self::treated(scenario, Plan::new(), options)
    }

    /// The same under a plan of treatments.
    ///
    /// # Errors
    /// If interrupted.
    pub fn treated(
        scenario: &Scenario,
        plan: Plan,
        options: &DesignOptions,
    ) -> Result<Self, EngineError> {
        let model = Experiment::new(scenario.clone());
        let table = options.run(&model, plan)?;
        Ok(Self::read(scenario, &table))
    }

    /// Reads the columns of a simulated scenario.
    pub fn read(scenario: &Scenario, table: &Table) -> Self {
        let column = |q: ResultColumn| table.columns[q as usize].as_slice();
        let mean = |q: ResultColumn| Moments::of(column(q)).mean();
        let errors = Errors::of(column(ResultColumn::Error));
        let target = mean(ResultColumn::Target).value;
        let in_band = scenario.target.band.map(|band| {
            let half = band * target.abs();
            share_within(column(ResultColumn::Error), -half, half)
        });
        let student = Sorted::of(column(ResultColumn::ScatterClaim)).median();
        let changes = [
            ResultColumn::CalibrationChange,
            ResultColumn::DeterminationChange,
        ]
        .map(|q| mean(q).value);
        let of_legs = [&scenario.calibration, &scenario.determination];
        let steps = [0, 1].map(|i| changes[i].abs() / of_legs[i].reading_step());
        let repeats = [
            ResultColumn::CalibrationRepeats,
            ResultColumn::DeterminationRepeats,
        ]
        .map(|q| mean(q).value);
        let all: Vec<f64> = column(ResultColumn::CalibrationRepeats)
            .iter()
            .zip(column(ResultColumn::DeterminationRepeats))
            .map(|(c, d)| (c + d) / f64::from(runs(scenario).iter().sum::<u32>().max(1)))
            .collect();
        Self {
            errors,
            target,
            in_band,
            student: student.value.is_finite().then_some(student),
            changes,
            steps,
            repeats: Moments::of(&all).mean(),
            repeats_each: [0, 1].map(|i| repeats[i] / f64::from(runs(scenario)[i].max(1))),
            ran_out: mean(ResultColumn::RanOutShare),
            cost: Cost::of(scenario, repeats),
        }
    }

    /// Counts in the time what the runs wait and record longer than another scenario states, whose times of a run were taken
    /// over as they are.
    pub(super) fn stretched(&mut self, before: &Scenario, after: &Scenario) {
        let legs = after.legs().into_iter().zip(before.legs());
        let more: f64 = legs
            .map(|(a, b)| {
                let [cal, det] = self.repeats_each;
                let again = if a.calibrates() { cal } else { det };
                f64::from(a.runs) * (1.0 + again) * (a.nominal_length().0 - b.nominal_length().0)
            })
            .sum();
        if let Some(time) = &mut self.cost.time {
            *time += more;
        }
    }

    /// The bias as a fraction of the result, signed like it: above zero where the size of the result comes out too large.
    pub fn relative_bias(&self) -> Estimate {
        self.in_size(self.errors.bias)
    }

    /// A number in J/mol as a fraction of the result, signed like it.
    pub fn in_size(&self, e: Estimate) -> Estimate {
        let Estimate { value, se } = self.relative(e);
        Estimate::new(value * self.target.signum(), se)
    }

    /// A number in J/mol as a fraction of the result.
    pub fn relative(&self, e: Estimate) -> Estimate {
        let size = self.target.abs();
        Estimate::new(e.value / size, e.se / size)
    }
}

/// Planned runs: calibrations, and determinations of all legs.
pub(super) fn runs(scenario: &Scenario) -> [u32; 2] {
    let determinations = scenario.determinations().map(|leg| leg.runs).sum();
    [scenario.calibration.runs, determinations]
}

impl Cost {
    /// Of the planned runs and so many repeats: calibrations, determinations.
    pub fn of(scenario: &Scenario, repeats: [f64; 2]) -> Self {
        let planned = runs(scenario);
        let done = [0, 1].map(|i| f64::from(planned[i]) + repeats[i]);
        let sum = |each: [Option<f64>; 2]| {
            let of = |i: usize| match each[i] {
                Some(x) => Some(done[i] * x),
                None if planned[i] == 0 => Some(0.0),
                None => None,
            };
            Some(of(0)? + of(1)?)
        };
        let times = scenario.times.run.map(|t| t.map(|t| t.0));
        let set_up = scenario.times.set_up.map_or(0.0, |t| t.0);
        // Repeats of the determinations are spread over their legs as the planned runs are.
        let factor = done[1] / f64::from(planned[1].max(1));
        let of = |amount: &dyn Fn(&Leg) -> f64| {
            let det: f64 = scenario
                .determinations()
                .map(|leg| f64::from(leg.runs) * amount(leg))
                .sum();
            [done[0] * amount(&scenario.calibration), factor * det]
        };
        let money = sum(scenario.times.price);
        Self {
            time: sum(times).map(|t| t + set_up),
            money,
            currency: money.and(scenario.times.currency),
            solid: of(&|leg| leg.mass.0),
            liquid: of(&|leg| leg.nominal_volume(&scenario.room).0 + leg.portion_volume().0),
        }
    }
}
