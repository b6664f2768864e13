//! How marks tell each other apart: tone, stroke, shape and fill, which all survive a grey print.

/// Lightness and weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Tone {
    /// The data.
    #[default]
    Ink,
    /// The one thing to look at.
    Accent,
    /// What stands back.
    Mid,
    /// Background.
    Soft,
}

/// Kind of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Stroke {
    /// One stroke.
    #[default]
    Solid,
    /// A broad stroke.
    Broad,
    /// Long strokes.
    Dashed,
    /// Dots.
    Dotted,
    /// Long and short strokes in turn.
    DashDot,
    /// A thin stroke, for helpers.
    Thin,
    /// No line.
    None,
}

/// Kind of a marker.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Shape {
    /// No marker.
    #[default]
    None,
    /// A small dot, for many.
    Dot,
    /// A filled circle.
    Disc,
    /// An empty circle.
    Ring,
    /// An empty square.
    Square,
    /// A filled triangle.
    Triangle,
    /// An empty diamond.
    Diamond,
    /// A circle around a dot, for a single reading.
    Target,
}

/// The look of a line or of points.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Look {
    /// Its tone.
    pub tone: Tone,
    /// Its line.
    pub stroke: Stroke,
    /// Its markers.
    pub shape: Shape,
}

impl Look {
    /// A line without markers.
    pub const fn line(tone: Tone, stroke: Stroke) -> Self {
        Self {
            tone,
            stroke,
            shape: Shape::None,
        }
    }

    /// Markers without a line.
    pub const fn marker(tone: Tone, shape: Shape) -> Self {
        Self {
            tone,
            stroke: Stroke::None,
            shape,
        }
    }

    /// The look of the curve of this number: neighbours differ in tone, stroke and marker.
    pub fn curve(number: usize) -> Self {
        const SHAPES: [Shape; 5] = [
            Shape::Disc,
            Shape::Square,
            Shape::Triangle,
            Shape::Diamond,
            Shape::Ring,
        ];
        const STROKES: [Stroke; 4] = [
            Stroke::Solid,
            Stroke::Dashed,
            Stroke::Dotted,
            Stroke::DashDot,
        ];
        Self {
            tone: [Tone::Ink, Tone::Accent, Tone::Mid][number % 3],
            stroke: STROKES[number % STROKES.len()],
            shape: SHAPES[number % SHAPES.len()],
        }
    }
}

/// How an area is filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Fill {
    /// Grey.
    #[default]
    Plain,
    /// A darker grey.
    Strong,
    /// Dark strokes.
    Hatched,
    /// Light strokes on a tint, for ground.
    Tinted,
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn many_curves_all_look_different_and_neighbours_in_every_respect() {
        let all: Vec<Look> = (0..30).map(Look::curve).collect();
        let kinds: HashSet<&Look> = all.iter().collect();
        assert_eq!(kinds.len(), all.len());
        for pair in all.windows(2) {
            assert!(pair[0].tone != pair[1].tone);
            assert!(pair[0].stroke != pair[1].stroke && pair[0].shape != pair[1].shape);
        }
    }
}
