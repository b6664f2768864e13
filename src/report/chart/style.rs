//! One look for all pictures.
//!
//! The colours are few and chosen by lightness: in a greyscale print each still differs from
//! its neighbours, and line style and direct labels carry the meaning anyway.

use plotters::style::RGBColor;

/// Nominal width of a picture in pixels.
pub(super) const WIDTH: u32 = 900;
/// Nominal height of a picture in pixels.
pub(super) const HEIGHT: u32 = 560;
/// Pixels of the PNG per nominal pixel.
pub(super) const PNG_SCALE: f32 = 2.0;
/// The font of the PNG first, then what a browser is likely to have with the same widths.
pub(super) const FONT: &str = "DejaVu Sans, Verdana, sans-serif";

/// Text and the main lines: a dark blue-grey.
pub(super) const INK: RGBColor = RGBColor(0x22, 0x31, 0x40);
/// The one thing to look at: a warm dark orange.
pub(super) const ACCENT: RGBColor = RGBColor(0xB8, 0x52, 0x0A);
/// Secondary text and thin helper lines.
pub(super) const MID: RGBColor = RGBColor(0x5F, 0x6B, 0x76);
/// Curves that stay in the background.
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

/// Long strokes with short gaps.
pub(super) const DASHED: &[f64] = &[9.0, 5.0];
/// Dots, half as far apart as the strokes of [`DASHED`]: where both lines coincide, a dot
/// stands in every gap and the pair still looks like two.
pub(super) const DOTTED: &[f64] = &[2.2, 4.8];
/// Where the dots have to begin for that.
pub(super) const DOT_START: f64 = 3.4;
/// A long and a short stroke in turn.
pub(super) const DASH_DOT: &[f64] = &[11.0, 3.5, 2.2, 3.5];

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

const fn face(size: f64, bold: bool, color: RGBColor) -> Type {
    Type { size, bold, color }
}

/// Headline.
pub(super) const TITLE: Type = face(18.0, true, INK);
/// The line under the headline.
pub(super) const SUBTITLE: Type = face(13.5, false, MID);
/// Name of an axis.
pub(super) const AXIS: Type = face(14.0, false, INK);
/// Numbers along an axis.
pub(super) const TICK: Type = face(13.0, false, INK);
/// Words beside the data.
pub(super) const LABEL: Type = face(13.0, false, INK);
/// Words beside the one thing to look at.
pub(super) const STRONG: Type = face(13.0, true, INK);
/// Remarks about what is not drawn.
pub(super) const NOTE: Type = face(11.5, false, MID);
/// Origin of the picture.
pub(super) const FOOTER: Type = face(11.0, false, MID);
