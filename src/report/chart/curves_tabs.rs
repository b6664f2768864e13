//! Tabs above forbidden zones: their labels, or letters that the key explains, none over another.

use super::geometry::Point;
use super::legend::LETTER;
use super::reductions_draw::spread;
use super::style::{LABEL, Type};
use super::text;

/// Room of a line of words in a tab, in font sizes.
pub(super) const LINE: f64 = 1.2;
/// Free room above and below the words of a tab.
const PAD: f64 = 3.0;
/// Length of the line that leads from a letter down to its zone.
pub(super) const LEAD: f64 = 6.0;
/// Free room between two letters.
const SPACE: f64 = 3.0;

/// What stands above a zone.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Words {
    /// Nothing, for want of a label.
    None,
    /// The label itself, in one line or two.
    Lines(Vec<String>, Type),
    /// A letter that the key explains.
    Letter,
}

/// A zone on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Zone {
    /// Its number among the zones of the chart.
    pub index: usize,
    /// Left and right edge.
    pub ends: Point,
    /// Whether the zone ends there; elsewhere it goes on beyond the axis.
    pub edges: [bool; 2],
    /// Left and right end of its tab.
    pub tab: Point,
    /// Row of the tab, counted upwards from the plot.
    pub row: usize,
    /// What stands in the tab.
    pub words: Words,
}

/// The label in a tab of the given width, or a letter where it does not fit.
fn fit(words: &str, room: f64) -> Words {
    let words = text::clean(words);
    if words.is_empty() {
        return Words::None;
    }
    let small = Type {
        size: 0.9 * LABEL.size,
        ..LABEL
    };
    for (face, lines) in [(LABEL, 1), (small, 1), (small, 2)] {
        let unbroken = words
            .split_whitespace()
            .all(|word| text::width(word, face) <= room);
        let set = text::wrap(&words, face, room);
        if unbroken && set.len() <= lines {
            return Words::Lines(set, face);
        }
    }
    Words::Letter
}

/// Moves letters of neighbouring narrow zones apart, in the order of the zones.
pub(super) fn spread_letters(zones: &mut [Zone], bounds: Point) {
    let lettered = |zone: &&mut Zone| zone.words == Words::Letter;
    let mut letters: Vec<&mut Zone> = zones.iter_mut().filter(lettered).collect();
    letters.sort_by(|a, b| a.tab.0.total_cmp(&b.tab.0));
    let half = LETTER / 2.0;
    let wanted: Vec<f64> = letters.iter().map(|zone| zone.tab.0 + half).collect();
    let places = spread(&wanted, LETTER + SPACE, (bounds.0 + half, bounds.1 - half));
    for (zone, x) in letters.into_iter().zip(places) {
        zone.tab = (x - half, x + half);
    }
}

/// Gives each tab the lowest row in which it covers no other; tells how many rows there are.
pub(super) fn arrange(zones: &mut [Zone]) -> usize {
    let mut order: Vec<usize> = (0..zones.len()).collect();
    order.retain(|index| zones[*index].words != Words::None);
    order.sort_by(|a, b| zones[*a].tab.0.total_cmp(&zones[*b].tab.0));
    let mut last: Vec<usize> = Vec::new();
    for index in order {
        let free = last.iter().position(|before| {
            let lack = zones[*before].tab.1 - zones[index].tab.0;
            // A letter that reaches into a wide tab takes a little of its width.
            lack <= 0.01 || zones[*before].yield_right(lack) || zones[index].yield_left(lack)
        });
        let row = free.unwrap_or(last.len());
        zones[index].row = row;
        if free.is_none() {
            last.push(index);
        } else {
            last[row] = index;
        }
    }
    last.len()
}

impl Zone {
    /// The zone with this number between two places of the sheet.
    pub fn new(index: usize, (ends, edges): (Point, [bool; 2]), label: &str) -> Self {
        let words = fit(label, ends.1 - ends.0 - 8.0);
        let middle = (ends.0 + ends.1) / 2.0;
        let tab = match words {
            Words::Letter => (middle - LETTER / 2.0, middle + LETTER / 2.0),
            _ => ends,
        };
        Self {
            index,
            ends,
            edges,
            tab,
            row: 0,
            words,
        }
    }

    /// The height that the tab needs.
    pub fn height(&self) -> f64 {
        match &self.words {
            Words::None => 0.0,
            Words::Lines(lines, face) => lines.len() as f64 * LINE * face.size + 2.0 * PAD,
            Words::Letter => LETTER + LEAD,
        }
    }

    /// Whether the tab can do without so much of its width.
    fn spares(&self, lack: f64) -> bool {
        let Words::Lines(lines, face) = &self.words else {
            return false;
        };
        let widths = lines.iter().map(|line| text::width(line, *face));
        lack <= LETTER && self.tab.1 - self.tab.0 - lack >= widths.fold(0.0, f64::max) + 6.0
    }

    fn yield_right(&mut self, lack: f64) -> bool {
        let spared = self.spares(lack);
        self.tab.1 -= if spared { lack } else { 0.0 };
        spared
    }

    fn yield_left(&mut self, lack: f64) -> bool {
        let spared = self.spares(lack);
        self.tab.0 += if spared { lack } else { 0.0 };
        spared
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_that_do_not_fit_become_letters() {
        let long = "too little for the balance to weigh with the accuracy that is asked for";
        assert!(matches!(fit("short", 100.0), Words::Lines(lines, _) if lines.len() == 1));
        assert!(matches!(fit(long, 320.0), Words::Lines(lines, _) if lines.len() == 2));
        assert_eq!(fit(long, 100.0), Words::Letter);
        assert_eq!(fit("unbreakable", 30.0), Words::Letter);
        assert_eq!(fit(" ", 30.0), Words::None);
    }

    #[test]
    fn tabs_never_touch_wherever_the_zones_are() {
        for shift in 0..40 {
            let shift = 10.0 * f64::from(shift);
            let mut zones: Vec<Zone> = [
                (100.0, 600.0, "wide"),
                (300.0, 305.0, "narrow ones stand"),
                (305.0, 310.0, "side by side"),
                (310.0, 315.0, "and move apart"),
                (400.0 + shift, 405.0 + shift, "a narrow one that wanders"),
                (405.0 + shift, 780.0, "not dissolved in time"),
            ]
            .into_iter()
            .enumerate()
            .map(|(index, (left, right, label))| {
                Zone::new(index, ((left, right), [true; 2]), label)
            })
            .collect();
            spread_letters(&mut zones, (100.0, 800.0));
            let rows = arrange(&mut zones);
            assert!(rows <= 3, "{zones:?}");
            for (index, one) in zones.iter().enumerate() {
                assert!(one.tab.0 >= 100.0 && one.tab.1 <= 800.0 && one.row < rows);
                for other in &zones[..index] {
                    let apart = one.tab.1 <= other.tab.0 + 0.01 || other.tab.1 <= one.tab.0 + 0.01;
                    assert!(one.row != other.row || apart, "{one:?} {other:?}");
                }
            }
        }
    }
}
