//! Times of a clock: `10:42:07` and `10:42:07.250`.

/// Seconds since midnight, if a cell is such a time; its seconds may have decimals behind this mark, or behind a point.
pub(super) fn clock(cell: &str, mark: char) -> Option<f64> {
    let mut parts = cell.split(':');
    let mut whole = |digits: usize| {
        let part = parts.next()?;
        let fits = (1..=digits).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
        fits.then(|| part.parse::<f64>().ok()).flatten()
    };
    // Hours may be those since a start.
    let (hours, minutes) = (whole(4)?, whole(2)?);
    let seconds = parts.next()?;
    let plain = |c: char| c.is_ascii_digit() || c == '.' || c == mark;
    if parts.next().is_some() || !seconds.chars().all(plain) {
        return None;
    }
    let seconds: f64 = match seconds.contains(',') {
        true => seconds.replace(',', ".").parse().ok()?,
        false => seconds.parse().ok()?,
    };
    (minutes < 60.0 && seconds < 60.0).then_some((hours * 60.0 + minutes) * 60.0 + seconds)
}
