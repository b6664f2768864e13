//! How several determinations make one result: a sum of legs, each with its coefficient.

use super::bind_sets::stated_value;
use super::build::Builder;
use super::document::Raw;
use super::leg::Binding;
use super::model::Cycle;
use super::problem::Problem;
use super::source::SourceId;
use super::wording::nearest;
use crate::quantity::Dimension;
use crate::random::{Input, Tag};

/// The word for the enthalpy that is known from elsewhere.
const KNOWN: &str = "known";

/// The cycle of a scenario with these further legs, in their order (`leg.` and a name).
pub(super) fn cycle(b: &mut Builder, further: &[String]) -> Cycle {
    let mut cycle = Cycle {
        text: String::new(),
        coefficients: vec![0.0; further.len() + 1],
        known: None,
    };
    let Some(found) = b.find("", "cycle", "result") else {
        cycle.coefficients[0] = 1.0;
        if !further.is_empty() {
            let table = further.first().and_then(|t| b.doc.tables.get(t).cloned());
            let hint = "for example `result = \"determination - oxide\"` under [cycle]";
            b.absent("cycle.result", hint, table);
        }
        return cycle;
    };
    let Raw::Text(text) = &found.entry.raw else {
        return cycle;
    };
    text.trim().clone_into(&mut cycle.text);
    let mut wrong = |message: String, hint: String| {
        let problem = Problem::error(&found.path, message).hint(hint);
        b.problem(problem.at(found.entry.span.clone()));
    };
    let mut names: Vec<&str> = vec!["determination"];
    names.extend(further.iter().map(|f| f.trim_start_matches("leg.")));
    let mut known = 0.0;
    let terms = match terms(text) {
        Ok(terms) => terms,
        Err(token) => {
            let hint = "legs with their numbers, joined by + and - between blanks, for example \
                        \"determination - 2 oxide + known\"";
            wrong(
                format!("`{token}` does not fit into a sum of legs"),
                hint.to_owned(),
            );
            return cycle;
        }
    };
    for (number, name) in terms {
        if name == KNOWN {
            known += number;
        } else if let Some(at) = names.iter().position(|n| *n == name) {
            cycle.coefficients[at] += number;
        } else {
            let hint = match nearest(&name, names.iter().copied()) {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("there are: {}, {KNOWN}", names.join(", ")),
            };
            wrong(format!("no determination is called `{name}`"), hint);
        }
    }
    for (name, number) in names.iter().zip(&cycle.coefficients) {
        if *number == 0.0 {
            let hint = "leave its table out, or give it a number";
            wrong(
                format!("`{name}` does not count in the result"),
                hint.to_owned(),
            );
        }
    }
    let stated = stated_value(b, "", "cycle", "known", Dimension::MolarEnthalpy);
    match (known != 0.0, stated) {
        (true, Some(d)) => {
            let binding = Binding {
                input: Input::about(d.dist, d.value),
                identity: Tag::of(""),
                estimate: Tag::of(""),
                stated: d.text,
            };
            cycle.known = Some((known, binding));
        }
        (true, None) => b.missing(SourceId::Known.source().key),
        (false, _) => {
            if let Some(found) = b.find("", "cycle", "known") {
                let message = "not used: `known` does not stand in the result";
                b.problem(Problem::warning(&found.path, message).at(found.entry.span));
            }
        }
    }
    cycle
}

/// The terms of a sum: numbers and names; or the piece of text that does not fit.
fn terms(text: &str) -> Result<Vec<(f64, String)>, String> {
    let mut terms = Vec::new();
    let (mut sign, mut number): (Option<f64>, Option<f64>) = (Some(1.0), None);
    for token in text.split_whitespace() {
        match (token, sign) {
            ("+" | "-", Some(_)) if !terms.is_empty() || number.is_some() => {
                return Err(token.to_owned());
            }
            ("+", _) => sign = Some(1.0),
            ("-", _) => sign = Some(-1.0),
            (_, None) => return Err(token.to_owned()),
            (name, Some(s)) if name.starts_with(|c: char| c.is_ascii_alphabetic()) => {
                terms.push((s * number.unwrap_or(1.0), name.to_owned()));
                (sign, number) = (None, None);
            }
            (digits, Some(_)) => match digits.parse::<f64>() {
                Ok(n) if number.is_none() && n.is_finite() && n > 0.0 => number = Some(n),
                _ => return Err(token.to_owned()),
            },
        }
    }
    if sign.is_some() {
        return Err(text.trim().to_owned());
    }
    Ok(terms)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sum_of_legs_is_read_with_its_signs_and_numbers() {
        let read = |text| terms(text).unwrap();
        let of = |list: &[(f64, &str)]| -> Vec<(f64, String)> {
            list.iter()
                .map(|(n, name)| (*n, (*name).to_owned()))
                .collect()
        };
        assert_eq!(read("determination"), of(&[(1.0, "determination")]));
        assert_eq!(
            read("- 2 a-b + 0.5 known"),
            of(&[(-2.0, "a-b"), (0.5, "known")])
        );
        for (text, piece) in [
            ("a b", "b"),
            ("a - - b", "-"),
            ("a -", "a -"),
            ("2 3 a", "3"),
            ("a * b", "*"),
            ("", ""),
        ] {
            assert_eq!(terms(text).unwrap_err(), piece, "{text}");
        }
    }
}
