//! One look for all pictures.
//!
//! The colours are few and chosen by lightness: in a grey print each still differs from its neighbours, and kinds of lines
//! and markers carry the meaning anyway.

use crate::report::figure::Tone;
use plotters::style::RGBColor;

/// Nominal width of a picture in pixels.
pub(super) const WIDTH: f64 = 900.0;
/// Free rim around everything.
pub(super) const RIM: f64 = 18.0;
/// Pixels of the PNG per nominal pixel.
pub(super) const PNG_SCALE: f32 = 2.0;
/// The font of the PNG first, then what a browser is likely to have with the same widths.
pub(super) const FONT: &str = "DejaVu Sans, Verdana, sans-serif";

/// Text and the main lines: a dark blue-grey.
pub(super) const INK: RGBColor = RGBColor(0x22, 0x31, 0x40);
/// The one thing to look at: a warm dark orange.
pub(super) const ACCENT: RGBColor = RGBColor(0xA8, 0x48, 0x08);
/// Secondary text and helper lines.
pub(super) const MID: RGBColor = RGBColor(0x66, 0x72, 0x7D);
/// What stays in the background.
pub(super) const SOFT: RGBColor = RGBColor(0x9A, 0xA6, 0xB1);
/// Outlines of filled bars.
pub(super) const EDGE: RGBColor = RGBColor(0xA7, 0xB3, 0xBE);
/// Filled bars.
pub(super) const FILL: RGBColor = RGBColor(0xCF, 0xD7, 0xDF);
/// Grid lines, only just visible.
pub(super) const GRID: RGBColor = RGBColor(0xE9, 0xEC, 0xEF);
/// The ground of a shaded region.
pub(super) const TINT: RGBColor = RGBColor(0xFA, 0xF5, 0xED);
/// The strokes that hatch a shaded region.
pub(super) const HATCH: RGBColor = RGBColor(0xD9, 0xC9, 0xB3);
/// The paper.
pub(super) const PAPER: RGBColor = RGBColor(0xFF, 0xFF, 0xFF);

/// The colour of a tone.
pub(super) fn color(tone: Tone) -> RGBColor {
    match tone {
        Tone::Ink => INK,
        Tone::Accent => ACCENT,
        Tone::Mid => MID,
        Tone::Soft => SOFT,
    }
}

/// Lightness of a colour in a grey print, from 0 to 255 (ITU-R BT.601).
pub(super) fn lightness(color: RGBColor) -> f64 {
    0.299 * f64::from(color.0) + 0.587 * f64::from(color.1) + 0.114 * f64::from(color.2)
}

/// The shade of a map for a share of its scale: one hue from light to dark.
pub(super) fn shade(share: f64) -> RGBColor {
    const LIGHT: [f64; 3] = [236.0, 241.0, 245.0];
    const DARK: [f64; 3] = [40.0, 58.0, 79.0];
    let mix = |i: usize| (LIGHT[i] + share.clamp(0.0, 1.0) * (DARK[i] - LIGHT[i])).round() as u8;
    RGBColor(mix(0), mix(1), mix(2))
}

/// Size, weight and colour of a piece of text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Type {
    /// Font size in nominal pixels.
    pub size: f64,
    /// Whether the text is set in bold.
    pub bold: bool,
    /// Its colour.
    pub color: RGBColor,
}

impl Type {
    /// Distance from one baseline to the next.
    pub fn leading(self) -> f64 {
        1.32 * self.size
    }
}

const fn face(size: f64, bold: bool, color: RGBColor) -> Type {
    Type { size, bold, color }
}

/// Headline.
pub(super) const TITLE: Type = face(18.0, true, INK);
/// The line under the headline.
pub(super) const SUBTITLE: Type = face(13.5, false, MID);
/// Name of an axis.
pub(super) const AXIS: Type = face(13.5, false, INK);
/// Numbers along an axis.
pub(super) const TICK: Type = face(13.0, false, INK);
/// Words beside the data.
pub(super) const LABEL: Type = face(13.0, false, INK);
/// Words beside the one thing to look at.
pub(super) const STRONG: Type = face(13.0, true, INK);
/// Small words: of rows, and remarks below the panels.
pub(super) const NOTE: Type = face(11.5, false, MID);
/// Origin of the picture.
pub(super) const FOOTER: Type = face(11.0, false, MID);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tones_and_shades_differ_in_grey() {
        let tones = [Tone::Ink, Tone::Accent, Tone::Mid, Tone::Soft].map(|t| lightness(color(t)));
        for (i, one) in tones.iter().enumerate() {
            for other in &tones[..i] {
                assert!((one - other).abs() > 10.0, "{tones:?}");
            }
        }
        let greys: Vec<f64> = (0..=20)
            .map(|i| lightness(shade(f64::from(i) / 20.0)))
            .collect();
        assert!(greys.windows(2).all(|g| g[0] > g[1] + 5.0), "{greys:?}");
    }
}
