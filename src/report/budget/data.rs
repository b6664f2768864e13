//! Any budget of uncertainty for programs: JSON.

use crate::lab::{BudgetLine, LinearBudget};
use crate::report::json::part;
use crate::scenario::Family;
use schemars::{Schema, SchemaGenerator, json_schema};
use serde_json::Value;
use std::collections::BTreeMap;

/// Numbers in the unit of the result, which their keys name.
type InUnit = BTreeMap<String, f64>;

part! {
    /// A budget with all lines.
    Budget<'a>(b: &'a LinearBudget):
    #[serde(flatten)]
    #[schemars(schema_with = "of_result")]
    result: InUnit = [in_unit(b, "result", b.value), in_unit(b, "u", b.u)].into(),
    /// Effective degrees of freedom; null if infinite.
    dof: f64 = b.dof,
    lines: Vec<Line<'a>> = b.lines.iter().map(|l| Line::of(b, l)).collect(),
}

part! {
    /// A line with its share.
    Line<'a>(b: &LinearBudget, line: &'a BudgetLine):
    #[serde(flatten)]
    line: &'a BudgetLine = line,
    /// Key of the error source.
    source: Option<&'static str> = line.source.map(|s| s.source().key),
    family: Option<Family> = line.source.map(|s| s.source().family),
    sensitivity_unit: String = per(&b.unit, &line.quantity.unit),
    #[serde(flatten)]
    #[schemars(schema_with = "of_line")]
    contribution: InUnit = [in_unit(b, "contribution", line.contribution)].into(),
    /// Part of the variance of the result.
    share: f64 = b.share(line),
}

fn in_unit(b: &LinearBudget, name: &str, x: f64) -> (String, f64) {
    (format!("{name}_{}", suffix(&b.unit)), x)
}

/// The keys of a molar enthalpy.
fn of_result(_: &mut SchemaGenerator) -> Schema {
    json_schema!({
        "properties": { "result_J_per_mol": { "type": "number" }, "u_J_per_mol": { "type": "number" } },
        "required": ["result_J_per_mol", "u_J_per_mol"],
    })
}

fn of_line(_: &mut SchemaGenerator) -> Schema {
    json_schema!({
        "properties": { "contribution_J_per_mol": { "type": "number" } },
        "required": ["contribution_J_per_mol"],
    })
}

/// A budget with all lines: numbers raw, null where there is none; keys name the unit of the result.
pub fn budget_json(b: &LinearBudget) -> Value {
    serde_json::to_value(Budget::of(b)).expect("all keys are texts")
}

/// Unit of a sensitivity coefficient.
pub(super) fn per(result: &str, quantity: &str) -> String {
    let whole = |unit: &str| {
        if unit.contains(['/', ' ']) {
            format!("({unit})")
        } else {
            unit.to_owned()
        }
    };
    match quantity {
        "1" => result.to_owned(),
        // Several in one line.
        "" => String::new(),
        "°C" => format!("{}/K", whole(result)),
        other => format!("{}/{}", whole(result), whole(other)),
    }
}

/// A unit as part of a key: `J/mol` is `J_per_mol`.
pub(super) fn suffix(unit: &str) -> String {
    let joined = unit.replace('/', "_per_");
    let letters = joined
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { '_' });
    letters.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_of_sensitivities_and_of_keys() {
        assert_eq!(per("J/mol", "J/(mol K)"), "(J/mol)/(J/(mol K))");
        assert_eq!(per("J/mol", "°C"), "(J/mol)/K");
        assert_eq!(per("nm", "1"), "nm");
        assert_eq!(suffix("J/mol"), "J_per_mol");
    }
}
