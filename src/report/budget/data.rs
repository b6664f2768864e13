//! Any budget of uncertainty for programs: JSON.

use crate::lab::LinearBudget;
use crate::report::json::finite;
use serde_json::{Map, Value, json};

/// A budget with all lines: numbers raw, null where there is none; keys name the unit of the result.
pub fn budget_json(b: &LinearBudget) -> Value {
    let unit = suffix(&b.unit);
    let lines: Vec<Value> = b
        .lines
        .iter()
        .map(|l| {
            let q = &l.quantity;
            let source = l.source.map(|s| s.source());
            let mut line = json!({
                "quantity": q.name,
                "symbol": q.symbol,
                "source": source.map(|s| s.key),
                "family": source.map(|s| s.family.name()),
                "scope": q.scope.map(|s| s.name()),
                "type": q.evaluated.letter(),
                "distribution": q.distribution,
                "of": l.of,
                "value": finite(q.value),
                "u": finite(q.u),
                "unit": q.unit,
                "dof": finite(q.dof),
                "sensitivity": finite(l.sensitivity),
                "sensitivity_unit": per(&b.unit, &q.unit),
                "sensitivity_through_constant": l.through,
                "share": finite(b.share(l)),
            });
            line[format!("contribution_{unit}")] = json!(l.contribution);
            line
        })
        .collect();
    let mut all = Map::new();
    all.insert(format!("result_{unit}"), json!(finite(b.value)));
    all.insert(format!("u_{unit}"), json!(finite(b.u)));
    all.insert("dof".to_owned(), json!(finite(b.dof)));
    all.insert("lines".to_owned(), Value::Array(lines));
    Value::Object(all)
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
