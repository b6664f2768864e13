//! Answers with few trials, each as a document and as JSON.

use joulecast::design::{
    CompareOptions, Contender, DesignOptions, Goal, Outcome, Side, Vary, cap, compare, exchange,
    limit_of, looseness, set, split, sweep,
};
use joulecast::forecast::{Extras, Options, Trials, class, forecast, ways};
use joulecast::grade::{Grade, GradeOptions, Points, grade, judge};
use joulecast::measured::read_class;
use joulecast::rank::{Effort, RankOptions, rank};
use joulecast::report::document::Document;
use joulecast::report::{SlipQuestion, grade_document, grade_json, slip_document, slip_json};
use joulecast::report::{
    compare_document, compare_json, forecast_document, forecast_json, loosen_document, loosen_json,
    rank_document, rank_json, sweep_document, sweep_json,
};
use joulecast::scenario::{Scenario, read, shipped};
use joulecast::slip::{Observed, SlipOptions, Slips, all, explain, slips};
use joulecast::stats::IntervalKind;
use serde_json::Value;
use std::sync::LazyLock;

/// Trials of all answers.
const TRIALS: u64 = 1_024;

/// An answer for people and for programs.
pub type Answer = (Document, Value);

/// The built-in scenario.
pub const BUILT_IN: &str = "ammonium-chloride-dewar";

/// The scenario that several tests look at.
pub const UREA: &str = "urea-foam-cups";

/// A shipped scenario.
pub fn scenario(name: &str) -> Scenario {
    read(shipped(name).expect("it is shipped")).expect("it is valid")
}

fn options() -> DesignOptions<'static> {
    DesignOptions {
        trials: TRIALS,
        ..DesignOptions::new(1)
    }
}

/// The built-in scenario with all reductions, urea with a class.
pub fn forecast_of(s: &Scenario) -> Answer {
    let options = Options {
        seed: 1,
        trials: Trials::Fixed(TRIALS),
        interval: IntervalKind::Symmetric,
        interrupt: None,
        progress: None,
    };
    let f = forecast(s.clone(), &options).expect("not interrupted");
    let is = |name| s.digest == scenario(name).digest;
    let side_by_side = is(BUILT_IN).then(|| ways(s, 1, None).expect("not interrupted"));
    let extras = Extras {
        ways: side_by_side.unwrap_or_default(),
        class: is(UREA).then(|| class(s, 1, 4, None).expect("not interrupted")),
    };
    (
        forecast_document(&f, &extras, 2),
        forecast_json(&f, &extras),
    )
}

pub fn rank_of(s: &Scenario) -> Answer {
    let options = RankOptions {
        seed: 1,
        trials: TRIALS,
        interrupt: None,
        progress: None,
    };
    let r = rank(s, &options).expect("not interrupted");
    let effort = Effort::Trials { trials: TRIALS };
    (rank_document(&r, &effort), rank_json(&r, &effort))
}

/// The ranking of urea, which several tests look at.
pub static RANKED: LazyLock<Answer> = LazyLock::new(|| rank_of(&scenario(UREA)));

/// Numbers of runs, together and each, the mass of the sample, and the best split.
pub fn sweep_of(s: &Scenario) -> Answer {
    let count = |path: &str, most| Vary::counts(s, path, 1, most).expect("a number of runs");
    let mut all = vec![vec![count("runs", 4)]];
    if s.calibration.runs > 0 {
        all.push(vec![
            count("calibration.runs", 3),
            count("determination.runs", 3),
        ]);
    }
    let mass = s.determination.mass.0;
    if mass > 0.0 {
        let text = format!(
            "determination.charge.mass = {} g to {} g in 4",
            0.5 * mass,
            2.0 * mass
        );
        all.push(vec![Vary::parse(&text, s).expect("masses")]);
    }
    let goal = Some(Goal::Within(0.05));
    let options = options();
    let study = |vary| sweep(s, vary, goal, cap(s), &options).expect("not interrupted");
    let sweeps: Vec<_> = all.into_iter().map(study).collect();
    let own = Outcome::of(s, &options).expect("not interrupted");
    let split = split(s, limit_of(s, None, &own), &own, goal, &options).expect("not interrupted");
    (
        sweep_document(s, (1, TRIALS), None, &sweeps, Some(&split)),
        sweep_json(s, 1, TRIALS, &sweeps, Some(&split)),
    )
}

/// For a relative spread.
pub fn loosen_of(s: &Scenario, spread: f64) -> Answer {
    let l = looseness(s, Goal::Spread(spread), cap(s), &options()).expect("not interrupted");
    (loosen_document(&l), loosen_json(&l))
}

/// With another reference reaction and another thermometer.
pub fn compare_of(s: &Scenario, reference: &str) -> Answer {
    let own = Contender {
        name: "as it is".to_owned(),
        what: s.title.clone(),
        derived: false,
        scenario: Ok(s.clone()),
    };
    let other = exchange(s, Side::Reference, reference).expect("another reference");
    let finer = set(s, "thermometer.use = thermistor-1mK").expect("another thermometer");
    let options = CompareOptions {
        seed: 1,
        trials: TRIALS,
        groups: 12,
        interrupt: None,
        progress: None,
    };
    let c = compare(vec![own, other, finer], &options).expect("not interrupted");
    let c = c.expect("a comparison");
    (compare_document(&c), compare_json(&c))
}

fn slip_options() -> SlipOptions<'static> {
    SlipOptions {
        trials: Some(TRIALS),
        ..SlipOptions::new(1)
    }
}

/// All mistakes of their usual size.
fn mistakes_of(s: &Scenario) -> Slips {
    let asked: Vec<_> = all().map(|m| (m.clone(), None)).collect();
    slips(s, &asked, &slip_options()).expect("not interrupted")
}

/// Bands for classes of so many groups.
fn bands_of(s: &Scenario, groups: usize) -> Grade {
    let options = GradeOptions {
        slips: slip_options(),
        band: None,
        groups,
    };
    grade(mistakes_of(s), &options).expect("not interrupted")
}

/// All mistakes, and the causes of this difference.
pub fn slip_of(s: &Scenario, difference: f64) -> Answer {
    let found = mistakes_of(s);
    let u = found.spread.value;
    let observed = Observed { difference, u };
    let explained = explain(&found, observed, &slip_options()).expect("not interrupted");
    let question = SlipQuestion {
        slips: &found,
        explained: Some(&explained),
        word: false,
    };
    (
        slip_document(&question),
        slip_json(&found, Some(&explained)),
    )
}

/// Bands, and a class of six about the accepted value, one of them far off.
pub fn grade_of(s: &Scenario) -> Answer {
    let g = bands_of(s, 6);
    let kilo = s.tabulated().0 / 1e3;
    let rows = [1.01, 0.97, 1.0, 0.99, 1.02, 0.5]
        .map(|x| format!("{:.4},{:.4}\n", kilo * x, 0.01 * kilo.abs()));
    let named = ["A,", "B,", "C,", "D,", "E,", "F,"].into_iter().zip(rows);
    let rows: String = named.map(|(name, row)| format!("{name}{row}")).collect();
    let text = format!("group,value [kJ/mol],u [kJ/mol]\n{rows}");
    let class = read_class("class.csv", text.as_bytes(), None).expect("a class");
    let points = Points(vec![(0.03, 10.0), (0.05, 7.0)]);
    let judged = judge(&g, class, Some(&points), &slip_options()).expect("not interrupted");
    (
        grade_document(&g, Some(&judged)),
        grade_json(&g, Some(&judged)),
    )
}

/// What the page of a report says of mistakes and of bands.
pub fn chapters_of(s: &Scenario) -> [Document; 2] {
    let found = mistakes_of(s);
    let question = SlipQuestion {
        slips: &found,
        explained: None,
        word: false,
    };
    let bands = grade_document(&bands_of(s, 12), None);
    [slip_document(&question), bands]
}
