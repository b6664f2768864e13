//! Tolerances as the scenario states them, made larger or smaller, and how far that can go.

use super::bounds::{Bound, planned};
use crate::quantity::{size_of, usual_unit};
use crate::scenario::{
    Binding, Leg, Raw, Scenario, Source, scaled_statement, schema, statement_size,
};

/// No tolerance is called loose beyond this many times what it is.
pub const LIMIT: f64 = 100.0;

/// Halvings of the search for a limit: it is known to 0.1 % then.
const HALVINGS: u32 = 12;

/// The keys of a source and its statements with the error `factor` times as large: one key at the top where all legs
/// would say the same and none speaks for itself, else one for each leg; and one for each further device.
pub fn statements(scenario: &Scenario, source: &Source, factor: f64) -> Vec<(String, String)> {
    stated(scenario, source, &|_| factor)
}

fn stated(
    scenario: &Scenario,
    source: &Source,
    factor: &dyn Fn(&Binding) -> f64,
) -> Vec<(String, String)> {
    let doc = scenario.document();
    let legs: Vec<&Leg> = scenario.legs().into_iter().filter(|l| l.runs > 0).collect();
    let said = |leg: &Leg, binding: &Binding| {
        scaled_statement(source.id, binding, leg.mass.0, factor(binding))
    };
    let own = legs.iter().filter(|leg| leg.errs(source.id));
    let own: Vec<(String, String)> = own
        .filter_map(|leg| {
            let binding = leg.binding(source.id);
            if binding.input.is_exact() {
                return None;
            }
            let key = format!("{}.{}", leg.name, source.key);
            Some((key, said(leg, binding)?))
        })
        .collect();
    let place = schema::place_of(source);
    let alike = own.windows(2).all(|pair| pair[0].1 == pair[1].1);
    let silent = !own.iter().any(|(key, _)| doc.entries.contains_key(key));
    let all = legs.iter().filter(|leg| leg.asks_for(source.id)).count() == own.len();
    let one = place == schema::Place::Top || place == schema::Place::Both && alike && silent && all;
    let mut found = match own.first() {
        Some((_, text)) if one => vec![(source.key.to_owned(), text.clone())],
        _ => own,
    };
    for leg in legs {
        for (key, binding) in leg.of_devices(&doc, source.id) {
            if !found.iter().any(|(k, _)| *k == key)
                && let Some(text) = said(leg, binding)
            {
                found.push((key, text));
            }
        }
    }
    found
}

/// The statements as they are, without the tails of decimals that a reckoned size has (a time of dissolving from its rate).
pub(super) fn present(scenario: &Scenario, source: &'static Source) -> Vec<(String, String)> {
    let short = stated(scenario, source, &|binding| {
        let size = statement_size(source, &binding.input.dist);
        let with = |text: String| text.parse::<f64>().unwrap_or(size);
        let six = with(format!("{size:.5e}"));
        // What has a tail beyond six figures was reckoned: four of them say what it is.
        let reckoned = (six / size - 1.0).abs() > 1e-9;
        let short = if reckoned {
            with(format!("{size:.3e}"))
        } else {
            six
        };
        if size > 0.0 { short / size } else { 1.0 }
    });
    // A size that is short in its own unit need not be so in the base unit.
    let plain = statements(scenario, source, 1.0);
    let both = plain.into_iter().zip(short);
    both.map(|(p, s)| if s.1.len() < p.1.len() { s } else { p })
        .collect()
}

/// How far tolerances can be loosened at all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Reach {
    /// The largest factor that is looked at.
    pub factor: f64,
    /// The bound that the plan crosses beyond it, if that is what ends it.
    pub bound: Option<Bound>,
}

/// The largest factor, up to [`LIMIT`], whose statements make a scenario (a window does not reach below no mass, a share is
/// no more than all) and whose plan stays within the bounds that it is within now.
pub(super) fn reach(scenario: &Scenario, sources: &[&'static Source], cap: f64) -> Reach {
    let now: Vec<Bound> = planned(scenario, cap).iter().map(|z| z.bound).collect();
    // What is wrong at a factor; `None` if nothing is.
    let wrong = |factor: f64| {
        let said = sources
            .iter()
            .flat_map(|s| statements(scenario, s, factor))
            .map(|(key, text)| (key, Raw::Text(text)));
        let set: Vec<(String, Raw)> = said.collect();
        match scenario.changed(&set) {
            Ok(changed) => {
                let zones = planned(&changed, cap);
                let crossed = zones.iter().map(|z| z.bound);
                crossed.filter(|b| !now.contains(b)).min()
            }
            Err(p) => Some(super::bounds::refused(&p).bound),
        }
    };
    let Some(mut first) = wrong(LIMIT) else {
        return Reach {
            factor: LIMIT,
            bound: None,
        };
    };
    let (mut low, mut high) = (1.0f64, LIMIT);
    for _ in 0..HALVINGS {
        let middle = (low * high).sqrt();
        match wrong(middle) {
            Some(bound) => (high, first) = (middle, bound),
            None => low = middle,
        }
    }
    Reach {
        factor: low,
        bound: (first != Bound::Impossible).then_some(first),
    }
}

/// The statements of sources with their errors `factor` times as large, sizes cut to three figures on the safe side.
pub(super) fn loosened(
    scenario: &Scenario,
    sources: &[&'static Source],
    factor: f64,
) -> Vec<(String, String)> {
    let of = |source: &&'static Source| {
        let dimension = source.dimension.difference();
        stated(scenario, source, &|binding| {
            let size = statement_size(source, &binding.input.dist);
            if size > 0.0 {
                // Figures are those of the unit that it will be written in.
                let unit = size_of(usual_unit(size * factor, dimension));
                cut(size * factor / unit) * unit / size
            } else {
                factor
            }
        })
    };
    sources.iter().flat_map(of).collect()
}

/// The largest number of three figures that is not above `x`.
pub(super) fn cut(x: f64) -> f64 {
    if x.is_nan() || x <= 0.0 || x.is_infinite() {
        return x;
    }
    // A number that has three figures already must not lose one to its binary fraction.
    let text = format!("{:.15e}", x * (1.0 + 1e-12));
    let (figures, exponent) = text.split_once('e').unwrap_or((&text, "0"));
    format!("{:.4}e{exponent}", figures).parse().unwrap_or(x)
}

#[cfg(test)]
mod tests {
    use super::cut;

    #[test]
    fn three_figures_never_say_more_than_there_is() {
        for (x, due) in [
            (0.012_349, 0.0123),
            (9.999, 9.99),
            (0.3, 0.3),
            (70.0, 70.0),
            (123_456.0, 123_000.0),
            (1e-5, 1e-5),
        ] {
            assert!((cut(x) / due - 1.0).abs() < 1e-12, "{x}: {}", cut(x));
        }
    }
}
