//! Drawing figures: one layout, one set of axes, one key, one placement of words for all of them.
//!
//! Text is measured with the very font that goes into the PNG, since words that are placed by guesswork end up on top of each
//! other. Every kind of mark is one implementation of [`mark::Draw`] under `marks`; nothing else knows what a picture is about.

mod axis;
mod canvas;
mod flags;
mod geometry;
mod key;
mod layout;
mod mark;
mod marks;
mod pens;
mod picture;
mod places;
mod reach;
mod style;
mod text;
mod ticks;
mod view;
mod words;

#[cfg(test)]
mod samples;
#[cfg(test)]
mod tests;

pub use picture::{ChartError, Picture};

use super::figure::Figure;

/// Names and pictures of those figures that have something to show.
///
/// # Errors
/// If one cannot be drawn.
pub fn pictures(figures: &[Figure]) -> Result<Vec<(String, Picture)>, ChartError> {
    let mut all = Vec::new();
    for figure in figures {
        match draw(figure) {
            Err(ChartError::NoData) => {}
            picture => all.push((figure.name.clone(), picture?)),
        }
    }
    Ok(all)
}

/// Draws a figure.
///
/// # Errors
/// [`ChartError::NoData`] if the figure has no panel or none of its marks has a finite value.
pub fn draw(figure: &Figure) -> Result<Picture, ChartError> {
    Ok(layout::sheet(figure)?.picture)
}
