//! A source's distribution written back as a scenario would state it, with its error made larger or smaller.

use super::leg::Binding;
use super::source::{Source, SourceId, Statement};
use crate::quantity::{Dimension, decimal, usual_unit, write_in, write_quantity};
use crate::random::{Dist, Form};

/// Ends this close to symmetric, relative to the width, are symmetric.
const SYMMETRIC: f64 = 1e-9;

/// The statement of a source whose error is `factor` times what it is, such as `"u = 12 mK"`, to be set at the
/// source's key; `about` is the value a window lies about (the target mass). The error is scaled about the perfect
/// value, as [`crate::random::Treatment::Scaled`] does it: a disturbance with its value, a stated value about
/// that value.
///
/// `None` where the grammar has no words for it (a beta distribution, a value whose perfect value is not its
/// middle), or where no key states it (the chance draw of an inspection).
pub fn scaled_statement(
    id: SourceId,
    binding: &Binding,
    about: f64,
    factor: f64,
) -> Option<String> {
    let source = id.source();
    let dist = &binding.input.dist;
    match id {
        SourceId::MolarMass | SourceId::Noticing => None,
        SourceId::Release => {
            let share = dist.exactly()?;
            Some(write_quantity(share * factor, Dimension::Fraction))
        }
        SourceId::Window => {
            let [low, high] = ends(dist).map(|e| about + factor * e);
            Some(between(low, high, source.dimension))
        }
        _ => match source.statement {
            Statement::Error => error(dist, factor, source.dimension),
            Statement::Disturbance => disturbance(dist, factor, source.dimension),
            Statement::Value => value(&binding.input.dist, binding.input.ideal, factor, source),
        },
    }
}

/// The size by which people state a distribution: half-width of limits, standard deviation of a normal, mean of an
/// exponential, the value of a disturbance (its median).
pub fn statement_size(source: &Source, dist: &Dist) -> f64 {
    if source.statement == Statement::Disturbance {
        return dist.quantile(0.5);
    }
    match dist.form() {
        Form::Rectangular | Form::Triangular(_) | Form::Arcsine | Form::Trapezoid(_) => {
            let [low, high] = ends(dist);
            0.5 * (high - low)
        }
        Form::Exponential | Form::Exact => dist.mean(),
        Form::Folded(_) => one_sided(dist),
        _ => dist.standard_uncertainty(),
    }
}

fn ends(dist: &Dist) -> [f64; 2] {
    [0.0, 1.0].map(|p| dist.quantile(p))
}

/// Standard deviation of the normal distribution that was folded: its mean is sd sqrt(2 / pi).
fn one_sided(dist: &Dist) -> f64 {
    dist.mean() * (std::f64::consts::PI / 2.0).sqrt()
}

fn between(low: f64, high: f64, dimension: Dimension) -> String {
    let unit = usual_unit(low.abs().max(high.abs()), dimension);
    format!("{} to {}", write_in(low, unit), write_in(high, unit))
}

/// Half-width, if limits lie evenly about a point.
fn even(dist: &Dist, about: f64) -> Option<f64> {
    let [low, high] = ends(dist);
    let half = 0.5 * (high - low);
    ((0.5 * (low + high) - about).abs() <= SYMMETRIC * half).then_some(half)
}

/// An error about zero.
fn error(dist: &Dist, factor: f64, dimension: Dimension) -> Option<String> {
    let size = |x: f64| write_quantity(factor * x, dimension);
    Some(match dist.form() {
        Form::Exact if dist.mean() == 0.0 => "none".to_owned(),
        Form::Exact => format!("exactly {}", size(dist.mean())),
        Form::Exponential => format!("{} exponential", size(dist.mean())),
        Form::Folded(_) => format!("{} one-sided", size(one_sided(dist))),
        Form::LogNormal(_) => disturbance(dist, factor, dimension)?,
        Form::Rectangular | Form::Triangular(_) if even(dist, 0.0).is_none() => {
            let [low, high] = ends(dist).map(|e| factor * e);
            format!("{} {}", between(low, high, dimension), dist.shape())
        }
        _ => symmetric(dist, 0.0, factor, dimension)?,
    })
}

/// A value whose absence is the perfect case.
fn disturbance(dist: &Dist, factor: f64, dimension: Dimension) -> Option<String> {
    let middle = write_quantity(factor * dist.quantile(0.5), dimension);
    Some(match dist.form() {
        Form::Exact => middle,
        Form::LogNormal(sigma) => format!("{middle}, {} % log-normal", decimal(100.0 * sigma)),
        Form::Exponential | Form::Folded(_) => error(dist, factor, dimension)?,
        _ => format!(
            "{middle}, {}",
            symmetric(dist, dist.mean(), factor, dimension)?
        ),
    })
}

/// A value with an error about it.
fn value(dist: &Dist, ideal: f64, factor: f64, source: &Source) -> Option<String> {
    let middle = write_quantity(ideal, source.dimension);
    match dist.form() {
        Form::Exact => {
            let moved = ideal + factor * (dist.mean() - ideal);
            Some(write_quantity(moved, source.dimension))
        }
        Form::LogNormal(_) => None,
        // Limits are a range of values: their middle is what the lab takes.
        Form::Rectangular => {
            let [low, high] = ends(dist).map(|e| ideal + factor * (e - ideal));
            even(dist, ideal).map(|_| between(low, high, source.dimension))
        }
        _ => {
            let off = (dist.mean() - ideal).abs() > SYMMETRIC * dist.standard_uncertainty();
            let error = symmetric(dist, dist.mean(), factor, source.dimension.difference())?;
            (!off).then(|| format!("{middle}, {error}"))
        }
    }
}

/// An error that lies evenly about the point that it belongs to.
fn symmetric(dist: &Dist, about: f64, factor: f64, dimension: Dimension) -> Option<String> {
    let size = |x: f64| write_quantity(factor * x, dimension);
    let u = dist.standard_uncertainty();
    match dist.form() {
        Form::Normal => Some(format!("u = {}", size(u))),
        Form::StudentT(dof) => Some(format!("u = {}, dof = {dof}", size(u))),
        Form::Rectangular | Form::Triangular(_) | Form::Arcsine => {
            even(dist, about).map(|half| format!("{} {}", size(half), dist.shape()))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Scenario, read, shipped, shipped_names};
    use super::*;
    use crate::scenario::{Raw, SOURCES};

    fn scenarios() -> impl Iterator<Item = Scenario> {
        shipped_names().map(|n| read(shipped(n).unwrap()).unwrap())
    }

    /// Each source that errs in a leg of a shipped scenario, set in that leg with its own statement times `factor`,
    /// must have the quantiles of the scaled distribution.
    fn written(factor: f64) -> usize {
        let mut seen = 0;
        for s in scenarios() {
            for leg in s.legs() {
                for source in SOURCES.iter().filter(|x| leg.errs(x.id)) {
                    let own = leg.binding(source.id);
                    if own.input.is_exact() {
                        continue;
                    }
                    let about = leg.mass.0;
                    let Some(text) = scaled_statement(source.id, own, about, factor) else {
                        continue;
                    };
                    let key = match source.id {
                        SourceId::Release => "charge.incomplete_release",
                        _ => source.key,
                    };
                    let path = match super::super::schema::place_of(source) {
                        super::super::schema::Place::Top => key.to_owned(),
                        _ => format!("{}.{key}", leg.name),
                    };
                    let Ok(changed) = s.changed(&[(path.clone(), Raw::Text(text.clone()))]) else {
                        continue;
                    };
                    let legs = changed.legs();
                    let new = legs[leg.place as usize].binding(source.id);
                    for p in [0.05, 0.5, 0.95] {
                        let ideal = own.input.ideal;
                        let due = ideal + factor * (own.input.dist.quantile(p) - ideal);
                        let got = new.input.dist.quantile(p);
                        let scale = factor * own.input.dist.sd() + due.abs();
                        assert!(
                            (got - due).abs() <= 1e-8 * scale,
                            "{}: {path} = {text}: {got} for {due}",
                            s.title
                        );
                    }
                    seen += 1;
                }
            }
        }
        seen
    }

    #[test]
    fn every_source_of_every_shipped_scenario_is_written_as_it_can_be_read() {
        assert!(written(1.0) > 300);
        assert!(written(0.5) > 300);
    }
}
