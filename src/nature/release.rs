//! Letting the charge into the vessel.
//!
//! With the chance p_r the release is not complete, and the share f_h of the charge (and of its portion) stays back.

use super::group::Group;
use super::share::shares;
use crate::random::Dist;
use crate::random::{Column, Draws, Input, Name, Tag};
use crate::scenario::{At, SourceId};

/// Stream of the draw that decides against the chance of an incomplete release: it belongs to that chance.
pub const RELEASE_DRAW: Tag = Tag::of("luck of release");

/// Share of the charge that is released.
pub(super) fn released(group: &Group, draws: &Draws, at: At) -> Column<f64> {
    let leg = group.leg;
    if leg.incomplete_release <= 0.0 {
        return Column::splat(1.0);
    }
    let chance: Column<f64> = leg.draw(draws, SourceId::Release, at);
    let identity = leg.binding(SourceId::Release).identity;
    let name = Name::run(RELEASE_DRAW, identity, at.run, at.attempt);
    let even = Input::error(Dist::rectangular(0.0, 1.0).expect("valid"));
    let chance_draw: Column<f64> = draws.column(name, 0, &even);
    let back = shares(group.leg.draw(draws, SourceId::HeldBack, at));
    Column::from_fn(|i| {
        if chance_draw[i] < chance[i] {
            1.0 - back[i]
        } else {
            1.0
        }
    })
}
