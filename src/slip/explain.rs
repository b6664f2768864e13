//! Back from a difference to the size that each mistake would need.
//!
//! The size x with shift(x) = d is looked for from the usual one, x_0 d / shift(x_0), and corrected by secants in simulations
//! on the same draws. How likely a mistake makes such a difference: sizes are taken as log-normal about the usual one, with the
//! plausible range as two standard deviations, `s = ln(x_end / x_0) / 2`. With the standard uncertainty u of the difference, in
//! proportion to the spread of groups that err so,
//!
//! `L = exp(-z^2 / 2) / (|d| w)`, `w^2 = s^2 + (u / d)^2`, `z = ln(x / x_0) / w`, half of it for one that goes both ways;
//! `L = exp(-z^2 / 2) / u`, `z = (d - shift) / u` for one without a size.
//!
//! Causes whose likelihoods differ by less than a factor of ten are ties: from there on evidence is called strong (Jeffreys, Theory of
//! Probability, appendix B, from memory).

use super::catalogue::Mistake;
use super::place::Place;
use super::size::{Sized, Unit};
use super::study::{Effect, SlipOptions, Slips, of_sizes};
use crate::engine::EngineError;
use crate::quantity::texts;
use crate::random::elementary::{exp, ln};
use crate::stats::{self, Moments};

/// A difference of a result from the accepted value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Observed {
    /// As a fraction of the accepted value: minus for too small a magnitude.
    pub difference: f64,
    /// Its standard uncertainty, likewise.
    pub u: f64,
}

texts! {
    /// Whether the size that a mistake would need is likely to be made.
    Judgement::words:
    /// Within the range.
    Plausible = "plausible",
    /// Up to three times beyond an end of the range.
    Borderline = "borderline",
    /// Farther beyond.
    Unlikely = "unlikely",
    /// It goes the other way, or does not reach so far.
    Impossible = "cannot",
}

/// A mistake as the only cause of a difference.
#[derive(Debug, Clone)]
pub struct Cause {
    /// The mistake.
    pub mistake: Mistake,
    /// In which runs.
    pub place: Place,
    /// Its range.
    pub range: Sized,
    /// The size that it would need, in its unit; `None` if there is none, or if it has no size.
    pub size: Option<f64>,
    /// What it does at that size, or without one; a fraction.
    pub shift: f64,
    /// Share of groups whose runs would scatter more than those of 95 % of competent groups do; `None` where no kind has two runs.
    pub scatter: Option<f64>,
    /// How likely it makes such a difference, over the most likely cause.
    pub likelihood: f64,
    /// How much more groups that err so scatter than competent ones.
    wider: f64,
    /// Whether a size was simulated that makes the difference.
    settled: bool,
    /// A size that was simulated before, and its shift.
    tried: Option<(f64, f64)>,
    /// Whether it is likely.
    pub judgement: Judgement,
    /// Its place among all causes; ties share one.
    pub rank: usize,
}

/// How far beyond an end of its range a size is borderline.
const BEYOND: f64 = 3.0;

/// Shifts smaller than this part of the difference are none.
const NONE: f64 = 1e-3;

/// What is less likely than this beside the most likely cause is not.
const NEVER: f64 = 1e-12;

/// Likelihoods within this factor are ties.
const TIE: f64 = 10.0;

/// Rounds of correction.
const ROUNDS: usize = 6;

/// How near to the difference a shift has to be, as a part of it; a size that does not come so near is none.
const CLOSE: f64 = 0.01;
const NEAR: f64 = 0.1;

/// Trials of each: the shifts are paired, so that few suffice.
const TRIALS: u64 = 256;

/// Causes of a difference.
#[derive(Debug, Clone)]
pub struct Explained {
    /// The difference.
    pub observed: Observed,
    /// Share of competent groups that are off as far, on either side.
    pub probability: f64,
    /// Causes, the most plausible first.
    pub causes: Vec<Cause>,
}

/// Looks for single causes of a difference.
///
/// # Errors
/// If interrupted.
pub fn explain(
    slips: &Slips,
    observed: Observed,
    options: &SlipOptions,
) -> Result<Explained, EngineError> {
    let d = observed.difference;
    let mut causes = Vec::new();
    for own in &slips.mistakes {
        for effect in &own.effects {
            let shift = effect.shift.value;
            let size = needed(&own.range, own.size, d, shift);
            causes.push(Cause {
                mistake: own.mistake.clone(),
                place: effect.place,
                range: own.range,
                size,
                shift,
                scatter: effect.scatter,
                likelihood: 0.0,
                wider: wider(slips, effect),
                settled: false,
                tried: Some((none(&own.range), 0.0)),
                judgement: Judgement::Impossible,
                rank: 0,
            });
        }
    }
    for _ in 0..ROUNDS {
        refine(slips, &mut causes, d, options)?;
    }
    for cause in &mut causes {
        judge(cause, observed);
        if cause.judgement == Judgement::Impossible {
            (cause.scatter, cause.likelihood) = (None, 0.0);
        }
    }
    let most = causes.iter().map(|c| c.likelihood).fold(0.0, f64::max);
    for cause in causes.iter_mut().filter(|_| most > 0.0) {
        let relative = cause.likelihood / most;
        cause.likelihood = if relative < NEVER { 0.0 } else { relative };
    }
    causes.sort_by(|a, b| {
        let far = |c: &Cause| c.judgement > Judgement::Borderline;
        let likelier = b.likelihood.total_cmp(&a.likelihood);
        far(a).cmp(&far(b)).then(likelier)
    });
    let order: Vec<usize> = (0..causes.len()).collect();
    let behind = |a: usize, b: usize| causes[b].likelihood > TIE * causes[a].likelihood;
    let ranks = stats::places(&order, behind);
    for (cause, rank) in causes.iter_mut().zip(ranks) {
        cause.rank = rank;
    }
    Ok(Explained {
        observed,
        probability: as_far(slips, observed),
        causes,
    })
}

/// Share of competent groups that are off as far, with the spread scaled to the uncertainty of the difference.
fn as_far(slips: &Slips, observed: Observed) -> f64 {
    let scale = observed.u / slips.spread.value;
    let far = slips
        .errors
        .iter()
        .filter(|e| (**e * scale).abs() >= observed.difference.abs());
    far.count() as f64 / slips.errors.len() as f64
}

/// The size that a shift in proportion would need.
fn needed(range: &Sized, size: f64, d: f64, shift: f64) -> Option<f64> {
    if !range.is_some() || shift.is_nan() || shift.abs() < NONE * d.abs() {
        return None;
    }
    let from = none(range);
    let x = from + (size - from) * d / shift;
    (x.is_finite() && (range.signed || x > from)).then_some(x)
}

/// How much more groups that err so scatter than competent ones.
fn wider(slips: &Slips, effect: &Effect) -> f64 {
    let own = Moments::of(&effect.errors).sd().value / slips.spread.value;
    if own.is_finite() { own.max(1.0) } else { 1.0 }
}

/// The size of no mistake: a factor of 1.
fn none(range: &Sized) -> f64 {
    match range.unit {
        Unit::Times => 1.0,
        _ => 0.0,
    }
}

/// Whether it is a part of something that cannot be more than all of it.
fn is_share(range: &Sized) -> bool {
    range.unit == Unit::Percent && range.high < 100.0
}

/// Whether a size is near enough to its range to be looked at.
fn is_near(range: &Sized, x: f64) -> bool {
    let most = if is_share(range) { 99.9 } else { f64::INFINITY };
    (range.low / BEYOND..=(range.high * BEYOND).min(most)).contains(&x.abs())
}

/// Corrects the sizes of those that are near.
fn refine(
    slips: &Slips,
    causes: &mut [Cause],
    d: f64,
    options: &SlipOptions,
) -> Result<(), EngineError> {
    let near: Vec<usize> = (0..causes.len())
        .filter(|&i| {
            let c = &causes[i];
            !c.settled && c.size.is_some_and(|x| is_near(&c.range, x))
        })
        .collect();
    if near.is_empty() {
        return Ok(());
    }
    let sized: Vec<(Mistake, f64, Place)> = near
        .iter()
        .map(|&i| {
            let c = &causes[i];
            (c.mistake.clone(), c.size.unwrap_or(c.range.usual), c.place)
        })
        .collect();
    let few = SlipOptions {
        trials: Some(TRIALS),
        ..*options
    };
    let shifts = of_sizes(&slips.scenario, &sized, &few)?;
    for (i, (shift, scatter)) in near.into_iter().zip(shifts) {
        let c = &mut causes[i];
        let Some(x) = c.size else { continue };
        (c.shift, c.scatter) = (shift, scatter);
        // Not farther at once than by this factor.
        const FAR: f64 = 4.0;
        let (before, there) = c.tried.unwrap_or((none(&c.range), 0.0));
        let next = x + (x - before) * (d - shift) / (shift - there);
        c.tried = Some((x, shift));
        c.settled = (shift - d).abs() <= CLOSE * d.abs();
        if !c.settled && next.is_finite() {
            let within = |y: f64| y.abs().clamp(x.abs() / FAR, x.abs() * FAR).copysign(x);
            c.size = Some(within(next));
        }
    }
    Ok(())
}

fn judge(cause: &mut Cause, observed: Observed) {
    let (d, u) = (observed.difference, cause.wider * observed.u);
    let range = &cause.range;
    if !range.is_some() {
        // What does little, or goes the other way, explains nothing.
        if cause.shift / d < 0.5 {
            return;
        }
        let z = ((d - cause.shift) / u).abs();
        cause.likelihood = exp(-0.5 * z * z) / u;
        cause.judgement = match z {
            z if z <= 2.0 => Judgement::Plausible,
            z if z <= 3.0 => Judgement::Borderline,
            _ => Judgement::Impossible,
        };
        return;
    }
    let Some(x) = cause.size.map(f64::abs) else {
        return;
    };
    if is_near(range, x) && (cause.shift - d).abs() > NEAR * d.abs() {
        cause.size = None;
        return;
    }
    let from = none(range);
    let off = ln((x - from) / (range.usual - from));
    let end = if off < 0.0 { range.low } else { range.high };
    let sd = ln((end - from) / (range.usual - from)).abs() / 2.0;
    let width = sd.hypot(u / d);
    let z = off / width;
    let sides = if range.signed { 2.0 } else { 1.0 };
    cause.likelihood = exp(-0.5 * z * z) / (d.abs() * width * sides);
    cause.judgement = match x {
        x if (range.low..=range.high).contains(&x) => Judgement::Plausible,
        x if is_near(range, x) => Judgement::Borderline,
        x if is_share(range) && x > 99.9 => Judgement::Impossible,
        _ => Judgement::Unlikely,
    };
}
