//! Spoiled copies of an answer: whatever is swapped or changed in one form must be reported.

use super::answers::{Answer, RANKED, UREA, forecast_of, loosen_of, scenario, sweep_of};
use super::checks::disagreements;
use super::forms::{Forms, Grid, numbers};
use serde_json::Value;

/// Tables of one form.
type OfForm = fn(&mut Forms) -> &mut Vec<Grid>;

const FORMS: [(&str, OfForm); 4] = [
    ("screen", |f| &mut f.text),
    ("Markdown", |f| &mut f.markdown),
    ("page", |f| &mut f.html),
    ("file", |f| &mut f.csv),
];

fn answers() -> [Answer; 4] {
    let [urea, peroxide] = [UREA, "peroxide-cups"].map(scenario);
    [
        forecast_of(&urea),
        RANKED.clone(),
        sweep_of(&urea),
        loosen_of(&peroxide, 0.05),
    ]
}

/// Two columns of numbers next to each other that are not the same.
fn pair(grid: &Grid) -> Option<usize> {
    let least = grid.rows.iter().map(Vec::len).min()?;
    let unlike = |c: &usize| {
        let mut rows = grid.rows.iter();
        let numbers = rows
            .clone()
            .all(|r| [&r[*c], &r[c + 1]].iter().all(|x| !numbers(x).is_empty()));
        numbers && rows.any(|r| r[*c] != r[c + 1])
    };
    (0..least.saturating_sub(1)).find(unlike)
}

/// The same with another first digit that counts.
fn changed(number: &str) -> String {
    let at = number.find(|c: char| ('1'..='9').contains(&c));
    let at = at.expect("a number that is not zero");
    let other = if &number[at..=at] == "5" { "6" } else { "5" };
    format!("{}{other}{}", &number[..at], &number[at + 1..])
}

#[test]
fn swapped_columns_and_spoiled_numbers_are_reported() {
    for (document, json) in answers() {
        let sound = Forms::of(&document);
        let seen = |forms: &Forms| !disagreements(&document, forms, &json).is_empty();
        assert!(!seen(&sound));
        let mut spoiled = [0; 3];
        for (form, of) in FORMS {
            for i in 0..of(&mut sound.clone()).len() {
                let mut forms = sound.clone();
                let grid = &mut of(&mut forms)[i];
                let name = grid.name.clone();
                if let Some(c) = pair(grid) {
                    grid.rows.iter_mut().for_each(|row| row.swap(c, c + 1));
                    assert!(seen(&forms), "{form}, {name}: columns {c} and the next");
                    spoiled[0] += 1;
                }
                let mut forms = sound.clone();
                let cells = of(&mut forms)[i].rows.iter_mut().flatten();
                let numbers = |cell: &&mut String| cell.parse().is_ok_and(|x: f64| x != 0.0);
                if let Some(cell) = cells.into_iter().find(numbers) {
                    let before = std::mem::take(cell);
                    *cell = changed(&before);
                    assert!(seen(&forms), "{form}, {name}: {before} changed");
                    spoiled[1] += 1;
                }
                let mut forms = sound.clone();
                of(&mut forms)[i].rows.pop();
                assert!(seen(&forms), "{form}, {name}: the last row is gone");
                spoiled[2] += 1;
            }
        }
        assert!(spoiled.iter().all(|n| *n > 6), "{spoiled:?}");
    }
}

#[test]
fn a_sentence_and_a_json_with_another_number_are_reported() {
    let (document, json) = forecast_of(&scenario(UREA));
    let sound = Forms::of(&document);
    let mut forms = sound.clone();
    forms.narrow = forms
        .narrow
        .replacen("will report about 15.", "will report about 16.", 1);
    assert_ne!(forms.narrow, sound.narrow);
    assert!(!disagreements(&document, &forms, &json).is_empty());
    for pointer in [
        "/bias_J_per_mol/value",
        "/spread_J_per_mol/se",
        "/result_J_per_mol/interval/low/value",
        "/claims/linear/coverage/value",
        "/causes/0/bias_J_per_mol/value",
    ] {
        let mut other = json.clone();
        let number = other.pointer_mut(pointer).expect("a number");
        *number = Value::from(1.000_1 * number.as_f64().expect("a number"));
        assert!(
            !disagreements(&document, &sound, &other).is_empty(),
            "{pointer}"
        );
    }
}
