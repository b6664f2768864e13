//! Times of a clock: `10:42:07` and `10:42:07.250`, with a date before them where one is written, and the offset of a time
//! zone behind.

/// A time of a clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct ClockTime {
    /// Seconds since midnight, or since a start if there are more than 24 h.
    pub seconds: f64,
    /// Its day, if a date stands before it.
    pub day: Option<Day>,
    /// Offset of its time zone in s, east is positive, if one stands behind it.
    pub zone: Option<f64>,
}

/// A day of the calendar, counted from 1970-01-01.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Day {
    /// Certain.
    Sure(i64),
    /// Between strokes: with the day before the month, and with the month before the day.
    Either([i64; 2]),
}

impl Day {
    /// Days since another one; `None` where it depends on which number is the month.
    pub(super) fn since(self, first: Self) -> Option<i64> {
        let each = |day| match day {
            Self::Sure(day) => [day; 2],
            Self::Either(days) => days,
        };
        let ([a, b], [c, d]) = (each(self), each(first));
        (a - c == b - d).then_some(a - c)
    }
}

const DAY: f64 = 86_400.0;

/// Counts the times of a record in s from midnight of its first day.
#[derive(Debug, Default)]
pub(super) struct Count {
    first: Option<ClockTime>,
    /// Seconds to add to times without a date that have passed midnight.
    passed: f64,
}

impl Count {
    /// A time behind the last one that was counted; one without a date that is far before it is on the next day. Zones are
    /// converted to that of the first time.
    ///
    /// # Errors
    /// What is wrong with it, and what to do.
    pub(super) fn seconds(
        &mut self,
        time: ClockTime,
        last: Option<f64>,
    ) -> Result<f64, [&'static str; 2]> {
        let first = *self.first.get_or_insert(time);
        match (time.day, first.day) {
            (None, None) => {
                if last.is_some_and(|last| time.seconds + self.passed < last - DAY / 2.0) {
                    self.passed += DAY;
                }
                Ok(time.seconds + self.passed)
            }
            (Some(day), Some(of_first)) => {
                let days = day.since(of_first).ok_or([
                    "either number of the date may be the month",
                    "write dates as yyyy-mm-dd",
                ])?;
                let ahead = match (first.zone, time.zone) {
                    (Some(of_first), Some(own)) => of_first - own,
                    (None, None) => 0.0,
                    _ => {
                        return Err([
                            "a time zone stands at some of the times only",
                            "write it at all of them, or at none",
                        ]);
                    }
                };
                Ok(time.seconds + days as f64 * DAY + ahead)
            }
            _ => Err([
                "a date stands at some of the times only",
                "write the date at all of them, or at none",
            ]),
        }
    }

    /// What was assumed; `last` is the last time that was counted.
    pub(super) fn note(&self, last: f64) -> String {
        let dated = match self.first {
            Some(ClockTime { day: Some(_), .. }) => " of the first date",
            _ => "",
        };
        let passed = match last >= DAY {
            true => "; they pass midnight",
            false => "",
        };
        format!("times are those of a clock, taken as seconds from midnight{dated}{passed}")
    }
}

/// Reads a cell; its seconds may have decimals behind this mark, or behind a point.
pub(super) fn clock(cell: &str, mark: char) -> Option<ClockTime> {
    let (day, rest) = match cell.split_once([' ', 'T', 't']) {
        Some((date, rest)) if date.contains(['-', '.', '/']) => {
            (Some(day(date)?), rest.trim_start())
        }
        _ => (None, cell),
    };
    // A zone makes sense of a date only.
    let (time, zone) = match rest.find(['Z', 'z', '+', '-', '−']) {
        Some(at) if day.is_some() => (rest[..at].trim_end(), Some(zone(&rest[at..])?)),
        _ => (rest, None),
    };
    let mut parts = time.split(':');
    let mut whole = |digits: usize| number(parts.next()?, 1..=digits);
    // Hours may be those since a start.
    let (hours, minutes) = (whole(if day.is_some() { 2 } else { 4 })?, whole(2)?);
    let seconds = parts.next()?;
    let plain = |c: char| c.is_ascii_digit() || c == '.' || c == mark;
    if parts.next().is_some() || !seconds.chars().all(plain) {
        return None;
    }
    let seconds: f64 = seconds.replace(',', ".").parse().ok()?;
    let fits = minutes < 60 && seconds < 60.0 && (day.is_none() || hours < 24);
    fits.then(|| ClockTime {
        seconds: (hours * 60 + minutes) as f64 * 60.0 + seconds,
        day,
        zone,
    })
}

/// Digits only, as many as are allowed.
fn number(text: &str, digits: std::ops::RangeInclusive<usize>) -> Option<i64> {
    let fits = digits.contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
    fits.then(|| text.parse().ok()).flatten()
}

/// `Z`, `+01:00`, `+0100` or `+01`, in s.
fn zone(text: &str) -> Option<f64> {
    if text.eq_ignore_ascii_case("z") {
        return Some(0.0);
    }
    let sign = if text.starts_with('+') { 1.0 } else { -1.0 };
    let digits = text.trim_start_matches(['+', '-', '−']).replace(':', "");
    let (hours, minutes) = digits.split_at_checked(2)?;
    let hours = number(hours, 2..=2).filter(|h| *h <= 14)?;
    let minutes = match minutes {
        "" => 0,
        m => number(m, 2..=2).filter(|m| *m < 60)?,
    };
    Some(sign * (hours * 60 + minutes) as f64 * 60.0)
}

/// `2026-03-05` or `2026/03/05`, `05.03.2026` or `5.3.26`, and `3/5/2026`, where either number may be the month.
fn day(date: &str) -> Option<Day> {
    let stroke = date.chars().find(|c| !c.is_ascii_digit())?;
    let parts: Vec<&str> = date.split(stroke).collect();
    let [a, b, c] = parts[..] else { return None };
    if a.len() == 4 {
        return day_of([number(a, 4..=4)?, number(b, 1..=2)?, number(c, 1..=2)?]).map(Day::Sure);
    }
    let short = |c: &str| number(c, 2..=2).map(|year| 2000 + year);
    let year = number(c, 4..=4).or_else(|| short(c))?;
    let (a, b) = (number(a, 1..=2)?, number(b, 1..=2)?);
    let both = [day_of([year, b, a]), day_of([year, a, b])];
    match (stroke, both) {
        ('.', [day, _]) => day.map(Day::Sure),
        ('/', [Some(a), Some(b)]) => Some(Day::Either([a, b])),
        ('/', [a, b]) => a.or(b).map(Day::Sure),
        _ => None,
    }
}

/// Days from 1970-01-01 to a year, month and day of the Gregorian calendar, if there is such a day.
///
/// A year that begins in March has its leap day at its end; 153 days make five of its months from March on.
fn day_of([year, month, day]: [i64; 3]) -> Option<i64> {
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let length = match month {
        2 => 28 + i64::from(leap),
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => return None,
    };
    if !(1..=length).contains(&day) {
        return None;
    }
    let year = year - i64::from(month <= 2);
    let days = (153 * ((month + 9) % 12) + 2) / 5 + day - 1;
    Some(
        365 * year + year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400) + days
            - 719_468,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_are_counted_in_days_of_the_calendar() {
        let sure = |text: &str, due: i64| assert_eq!(day(text), Some(Day::Sure(due)), "{text}");
        sure("1970-01-01", 0);
        sure("2000-03-01", 11_017);
        sure("29.02.2024", 19_782);
        sure("1.3.24", 19_783);
        sure("2026/12/31", 20_818);
        sure("31/12/2026", 20_818);
        sure("12/31/2026", 20_818);
        for none in [
            "29.02.2025",
            "2025-13-01",
            "31.4.2026",
            "1-2-2026",
            "2026-03",
            "32/13/2026",
        ] {
            assert_eq!(day(none), None, "{none}");
        }
        let [a, b] = ["3/5/2026", "4/5/2026"].map(|d| day(d).expect("a day"));
        assert_eq!((b.since(b), b.since(a)), (Some(0), None));
    }

    #[test]
    fn a_time_may_have_a_date_and_a_zone() {
        let read = |text: &str| clock(text, ',').map(|t| (t.seconds, t.day.is_some(), t.zone));
        let at = 14.0 * 3600.0 + 3.0 * 60.0 + 12.0;
        assert_eq!(read("14:03:12"), Some((at, false, None)));
        assert_eq!(read("05.03.2026 14:03:12,5"), Some((at + 0.5, true, None)));
        assert_eq!(read("2026-03-05T14:03:12Z"), Some((at, true, Some(0.0))));
        assert_eq!(
            read("2026-03-05 14:03:12.5+01:30"),
            Some((at + 0.5, true, Some(5400.0)))
        );
        assert_eq!(
            read("2026-03-05T14:03:12-0200"),
            Some((at, true, Some(-7200.0)))
        );
        assert_eq!(
            read("2026-03-05T14:03:12+01"),
            Some((at, true, Some(3600.0)))
        );
        for none in [
            "2026-03-05 24:03:12",
            "2026-02-30 14:03:12",
            "2026-03-05",
            "2026-03-05T14:03",
            "14:03:12Z",
            "2026-03-05T14:03:12+1",
            "2026-03-05T14:03:12+25:00",
        ] {
            assert_eq!(clock(none, ','), None, "{none}");
        }
    }
}
