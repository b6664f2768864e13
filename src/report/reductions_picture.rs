//! All reductions on one record.

use super::chart::{ChartError, EqualAreas, Picture, ReductionChart};
use super::sample_run::{SampleRun, drawn};
use crate::forecast::Forecast;
use crate::scenario::Way;

/// The first determination of the first group, reduced in every way.
///
/// # Errors
/// If the record has no lines, or the picture cannot be drawn.
pub(super) fn reductions_picture(f: &Forecast, footer: &str) -> Result<Picture, ChartError> {
    let run = SampleRun::of(f);
    let Some([fore, after]) = run.lines else {
        return Err(ChartError::NoData);
    };
    ReductionChart {
        title: format!(
            "One record, six reductions: {}",
            f.scenario.determination.reaction.title
        ),
        subtitle: "first determination of the first group".to_owned(),
        fore: drawn(fore, "line before"),
        after: drawn(after, "line after"),
        ways: run.ways(),
        areas: run.moment(Way::EqualAreas).map(|at| EqualAreas {
            from: 0.0,
            at,
            to: after.from.0,
        }),
        true_rise: Some(run.true_rise),
        readings: run.readings,
        footer: footer.to_owned(),
    }
    .draw()
}
