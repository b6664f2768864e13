//! Labels on upright lines, set in rows so that none covers another or another's line.
//!
//! Each label hangs on its line like a flag, to the right or to the left. When the lines lie
//! close together or coincide, rows and sides are tried out: with a handful of labels the best
//! arrangement is found by looking at all of them.

/// A label that wants to hang on an upright line.
#[derive(Debug, Clone, Copy)]
pub(super) struct Flag {
    /// Where the line stands.
    pub x: f64,
    /// How wide the label is.
    pub width: f64,
}

/// Where a label has been put.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Seat {
    /// Row, counted upwards from the plot.
    pub row: usize,
    /// Left end of the label.
    pub left: f64,
    /// Right end of the label.
    pub right: f64,
}

/// Free room between a line and its label.
const GAP: f64 = 5.0;
/// Nearer than this a foreign line seems to touch the label.
const NEAR: f64 = 4.0;
/// Free room between two labels in one row.
const SPACE: f64 = 9.0;

fn seat(flag: Flag, row: usize, to_left: bool, (low, high): (f64, f64)) -> Seat {
    let wish = if to_left {
        flag.x - GAP - flag.width
    } else {
        flag.x + GAP
    };
    let left = wish.min(high - flag.width).max(low);
    Seat {
        row,
        left,
        right: left + flag.width,
    }
}

/// How bad an arrangement is; a covered label outweighs everything else.
fn cost(flags: &[Flag], seats: &[Seat]) -> f64 {
    let mut sum = 0.0;
    for (index, (flag, own)) in flags.iter().zip(seats).enumerate() {
        sum += own.row as f64;
        // Hanging to the right is the habit; hanging on the wrong spot is nearly as bad as
        // being covered.
        if own.right < flag.x {
            sum += 0.4;
        }
        if own.left < flag.x && own.right > flag.x {
            sum += 200.0;
        }
        for (other_index, (line, other)) in flags.iter().zip(seats).enumerate() {
            if other_index == index {
                continue;
            }
            if other.row == own.row
                && own.left < other.right + SPACE
                && other.left < own.right + SPACE
            {
                sum += 10_000.0;
            }
            // A line reaches up to its own row, through all rows below it; touching a label is
            // bad, crossing it is worse.
            if other.row >= own.row {
                if own.left < line.x && line.x < own.right {
                    sum += 400.0;
                } else if own.left - NEAR < line.x && line.x < own.right + NEAR {
                    sum += 100.0;
                }
            }
        }
    }
    sum
}

/// The best seats for up to four labels between the two bounds, in the order given.
pub(super) fn arrange(flags: &[Flag], bounds: (f64, f64)) -> Vec<Seat> {
    let count = flags.len();
    let choices = 2 * count;
    let mut best: (f64, Vec<Seat>) = (f64::INFINITY, Vec::new());
    // Each flag has a digit in a number of base `choices`: its row and its side.
    for number in 0..choices.pow(u32::try_from(count).unwrap_or(0)) {
        let mut rest = number;
        let seats: Vec<Seat> = flags
            .iter()
            .map(|flag| {
                let digit = rest % choices;
                rest /= choices;
                seat(*flag, digit / 2, digit % 2 == 1, bounds)
            })
            .collect();
        let sum = cost(flags, &seats);
        if sum < best.0 {
            best = (sum, seats);
        }
    }
    best.1
}

#[cfg(test)]
mod tests {
    use super::*;

    const BOUNDS: (f64, f64) = (20.0, 880.0);

    fn check(xs: [f64; 3], widths: [f64; 3]) -> Vec<Seat> {
        let flags: Vec<Flag> = xs
            .into_iter()
            .zip(widths)
            .map(|(x, width)| Flag { x, width })
            .collect();
        let seats = arrange(&flags, BOUNDS);
        for (one, first) in seats.iter().enumerate() {
            assert!(first.left >= BOUNDS.0 - 1e-9 && first.right <= BOUNDS.1 + 1e-9);
            for (other, second) in seats.iter().enumerate() {
                if one == other {
                    continue;
                }
                let apart = first.right < second.left || second.right < first.left;
                assert!(first.row != second.row || apart, "{xs:?}: {seats:?}");
                let crossed =
                    second.row >= first.row && (first.left..first.right).contains(&flags[other].x);
                assert!(!crossed, "{xs:?}: {seats:?}");
            }
        }
        seats
    }

    #[test]
    fn coinciding_lines_get_rows_of_their_own() {
        let seats = check([400.0; 3], [180.0, 90.0, 95.0]);
        // Two sides of one line give two places per row.
        assert!(seats.iter().all(|seat| seat.row <= 1));
    }

    #[test]
    fn no_label_is_covered_wherever_the_lines_stand() {
        for first in (60..=860).step_by(40) {
            for shift in [0.0, 1.0, 7.0, 30.0, 120.0, -3.0, -50.0] {
                for second in [0.0, 2.0, -2.0, 60.0] {
                    let x = f64::from(first);
                    let close = |value: f64| value.clamp(60.0, 870.0);
                    check(
                        [x, close(x + shift), close(x + second)],
                        [190.0, 110.0, 100.0],
                    );
                }
            }
        }
    }

    #[test]
    fn lines_far_apart_share_the_lowest_row() {
        let seats = check([100.0, 400.0, 700.0], [100.0; 3]);
        assert!(seats.iter().all(|seat| seat.row == 0));
        assert!(arrange(&[], BOUNDS).is_empty());
    }
}
