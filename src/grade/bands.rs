//! Pass rates of competent groups and of groups with a mistake, against the band.

use super::expected::Expected;
use crate::engine::EngineError;
use crate::slip::{Effect, Place, SlipOptions, Slips, Studied, slips};
use crate::stats::{Estimate, Sorted, share_within};

/// Shares of competent groups that a band is recommended for.
pub const SHARES: [f64; 3] = [0.80, 0.90, 0.95];

/// Classes that the power of a class's test is counted in.
const CLASSES: usize = 1_000;

/// Groups of a class unless a file says how many there are.
pub const GROUPS: usize = crate::design::GROUPS as usize;

/// Trials for the ends of a band, where half of the competent groups must not decide by chance.
const TRIALS: u64 = 20_480;

/// What is asked.
pub struct GradeOptions<'a> {
    /// How to simulate.
    pub slips: SlipOptions<'a>,
    /// Half-width of the band, as a fraction; that of the scenario if not stated.
    pub band: Option<f64>,
    /// Groups in a class.
    pub groups: usize,
}

/// A band.
#[derive(Debug, Clone, Copy)]
pub struct At {
    /// Share of competent groups that it is recommended for; `None` for the band that is stated.
    pub share: Option<f64>,
    /// Half-width about the accepted value, as a fraction.
    pub band: Estimate,
    /// Share of competent groups inside it.
    pub inside: Estimate,
    /// Mistakes of which more than half of the groups lie outside.
    pub noticed: usize,
}

/// How well a band, and a class, tell a mistake.
#[derive(Debug, Clone)]
pub struct Noticed {
    /// The mistake, as it was studied.
    pub studied: Studied,
    /// In which runs.
    pub place: Place,
    /// Share of erring groups inside each of the bands, in their order.
    pub inside: Vec<Estimate>,
    /// Share of classes, half of whose groups err, that are told from competent ones at 5 %.
    pub class: f64,
}

/// Fair bands, and what they let through.
#[derive(Debug, Clone)]
pub struct Grade {
    /// The competent groups and all mistakes.
    pub slips: Slips,
    /// The stated band first, if there is one, then those for [`SHARES`].
    pub bands: Vec<At>,
    /// The mistakes.
    pub mistakes: Vec<Noticed>,
    /// Competent classes.
    pub expected: Expected,
}

impl Grade {
    /// Half-width of the band that counts: as stated, else that for 95 %.
    pub fn band(&self) -> f64 {
        let counts = self.bands.iter().find(|b| b.share.is_none());
        let counts = counts.or(self.bands.last());
        counts.map_or(f64::NAN, |b| b.band.value)
    }
}

/// Finds fair bands, with mistakes of a scenario as they were studied.
///
/// # Errors
/// If interrupted.
pub fn grade(found: Slips, options: &GradeOptions) -> Result<Grade, EngineError> {
    let scenario = &found.scenario;
    // The ends of a band need more competent groups than the shifts of mistakes do.
    let many = SlipOptions {
        trials: Some(options.slips.trials.unwrap_or(TRIALS)),
        ..options.slips
    };
    let competent = slips(scenario, &[], &many)?;
    let expected = Expected::of(
        scenario,
        options.groups,
        options.slips.seed,
        options.slips.interrupt,
    )?;
    let sizes = Sorted::from_vec(competent.errors.iter().map(|e| e.abs()).collect());
    let stated = options.band.or(scenario.target.band);
    let stated = stated.map(|band| (None, Estimate::new(band, 0.0)));
    let recommended = SHARES.map(|share| (Some(share), sizes.quantile(share)));
    let mut bands: Vec<At> = stated
        .into_iter()
        .chain(recommended)
        .map(|(share, band)| At {
            share,
            band,
            inside: share_within(&competent.errors, -band.value, band.value),
            noticed: 0,
        })
        .collect();
    let mistakes: Vec<Noticed> = found
        .mistakes
        .iter()
        .filter_map(|own| {
            let effect = of_determinations(own)?;
            let inside = bands.iter().map(|b| inside(effect, b.band.value));
            Some(Noticed {
                place: effect.place,
                inside: inside.collect(),
                class: expected.power(effect.shift.value, CLASSES),
                studied: own.clone(),
            })
        })
        .collect();
    for (at, band) in bands.iter_mut().enumerate() {
        let missed = |m: &&Noticed| m.inside[at].value < 0.5;
        band.noticed = mistakes.iter().filter(missed).count();
    }
    Ok(Grade {
        slips: Slips {
            bias: competent.bias,
            spread: competent.spread,
            errors: competent.errors,
            trials: competent.trials,
            ..found
        },
        bands,
        mistakes,
        expected,
    })
}

/// What a mistake does in the determinations, or where else it is made.
fn of_determinations(own: &Studied) -> Option<&Effect> {
    own.at(Place::Determinations).or(own.effects.first())
}

fn inside(effect: &Effect, band: f64) -> Estimate {
    share_within(&effect.errors, -band, band)
}
