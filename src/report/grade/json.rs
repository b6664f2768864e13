//! Fair bands and a class as JSON.

use crate::grade::{At, ClassJudged, Grade, JudgedGroup, Noticed, Verdict};
use crate::report::json::{Headed, document, part};
use crate::slip::{Cause, Place};
use crate::stats::Estimate;
use serde_json::Value;

/// Name and version of the document's form.
pub const GRADE_SCHEMA: &str = "joulecast.grade/1";

part! {
    /// Bands, what they notice, and a class.
    Answer<'a>(g: &'a Grade, c: Option<&'a ClassJudged>):
    trials: u64 = g.slips.trials,
    accepted_J_per_mol: f64 = g.slips.scenario.tabulated().0,
    /// Of competent groups, as fractions of the true value.
    competent_bias: Estimate = g.slips.bias,
    competent_spread: Estimate = g.slips.spread,
    bands: Vec<Band> = g.bands.iter().map(Band::of).collect(),
    /// Groups in a class.
    class_size: usize = g.expected.groups,
    /// Mean, standard deviation of class means and of groups within a class, for competent classes; fractions of the accepted value.
    class_mean: f64 = g.expected.bias,
    class_mean_spread: f64 = g.expected.mean_spread,
    class_scatter: f64 = g.expected.own_spread,
    mistakes: Vec<OneMistake<'a>> = g.mistakes.iter().map(OneMistake::of).collect(),
    class: Option<Class<'a>> = c.map(|c| Class::of(g, c)),
}

part! {
    /// A band about the accepted value.
    Band(b: &At):
    /// Share of competent groups that it is recommended for; null for the stated one.
    recommended_for: Option<f64> = b.share,
    /// As a fraction of the accepted value.
    half_width: Estimate = b.band,
    /// Share of competent groups.
    competent_inside: Estimate = b.inside,
    /// Mistakes of which more than half of the groups lie outside.
    mistakes_noticed: usize = b.noticed,
}

part! {
    /// How often a mistake of usual size is noticed.
    OneMistake<'a>(m: &'a Noticed):
    mistake: &'a str = &m.studied.mistake.key,
    /// Null for what is made or not.
    size: Option<f64> = m.studied.range.is_some().then_some(m.studied.size),
    unit: &'static str = m.studied.range.unit.symbol(),
    made_in: Place = m.place,
    /// Share of erring groups inside each of the bands.
    inside: Vec<Estimate> = m.inside.clone(),
    /// Share of classes, half of whose groups err, that are told from competent ones at 5 %.
    class_noticed: f64 = m.class,
}

part! {
    /// The results of a class; fractions of the accepted value.
    Class<'a>(g: &Grade, c: &'a ClassJudged):
    file: &'a str = &c.file,
    verdict: Verdict = c.verdict,
    /// Probability of a class that differs as much, if the method explains it.
    probability: f64 = c.p,
    /// Without outlying groups.
    mean: Compared = Compared::of(c.seen.core, g.expected.bias, Some(g.expected.mean_spread), c.p_mean),
    mean_of_all: f64 = c.seen.mean,
    median: f64 = c.seen.median,
    /// Standard deviation between the groups; what is observed is null for one group.
    scatter: Compared = Compared::of(c.seen.sd, g.expected.own_spread, None, c.p_scatter),
    /// Single mistakes that would explain the mean, if it is off.
    causes: Vec<Fits<'a>> = c.causes.iter().map(Fits::of).collect(),
    groups: Vec<Group<'a>> = c.groups.iter().map(Group::of).collect(),
    /// Names of groups without a value.
    without: &'a [String] = &c.without,
    assumed: &'a [String] = &c.notes,
}

part! {
    /// Something of a class beside competent classes.
    Compared(observed: f64, explained: f64, spread: Option<f64>, p: f64):
    observed: f64 = observed,
    explained: f64 = explained,
    /// Standard deviation of what is explained, from class to class.
    spread: Option<f64> = spread,
    /// Of competent classes that are as far off.
    probability: f64 = p,
}

part! {
    /// A group.
    Group<'a>(x: &'a JudgedGroup):
    group: &'a str = &x.name,
    value_J_per_mol: f64 = x.value,
    difference: f64 = x.difference,
    u: Option<f64> = x.u,
    inside: bool = x.inside,
    /// Probability that what it measured lies in the band, by its own uncertainty.
    conforms: Option<f64> = x.conforms,
    /// Farther from the centre than the farthest group of 95 % of competent classes.
    outlying: bool = x.outlying,
    causes: Vec<Fits<'a>> = x.causes.iter().map(Fits::of).collect(),
    points: Option<f64> = x.points,
    remark: Option<&'a str> = x.remark.as_deref(),
}

part! {
    /// A mistake that would fit.
    Fits<'a>(c: &'a Cause):
    mistake: &'a str = &c.mistake.key,
    made_in: Place = c.place,
    needed_size: Option<f64> = c.size,
    unit: &'static str = c.range.unit.symbol(),
}

/// Everything about bands and a class.
pub fn grade_json(g: &Grade, class: Option<&ClassJudged>) -> Value {
    let answer = Answer::of(g, class);
    document(
        GRADE_SCHEMA,
        Headed::of(&g.slips.scenario, g.slips.seed, answer),
    )
}
