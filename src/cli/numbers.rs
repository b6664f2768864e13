//! Numbers of the command line.

/// A whole number within limits, also as people write large ones: `1e6`, `1_000_000`.
pub(super) fn whole<T: TryFrom<u64>>(
    low: u64,
    high: u64,
) -> impl Fn(&str) -> Result<T, String> + Clone + Send + Sync {
    move |text| {
        let plain = text.replace('_', "");
        let exact = |x: f64| (x.fract() == 0.0 && (0.0..1e12).contains(&x)).then_some(x as u64);
        let number = plain.parse().ok().or(plain.parse().ok().and_then(exact));
        let number = number.filter(|n| (low..=high).contains(n));
        number.and_then(|n| T::try_from(n).ok()).ok_or_else(|| {
            let example = if high > 1_000_000 {
                ", for example 100000 or 1e5"
            } else {
                ""
            };
            format!("a whole number from {low} to {high} is due{example}")
        })
    }
}

/// A number of seconds.
pub(super) fn seconds(text: &str) -> Result<f64, String> {
    let number = text.trim().parse().ok().filter(|x: &f64| x.is_finite());
    number.ok_or_else(|| "a number of seconds is due, for example 120".to_owned())
}
