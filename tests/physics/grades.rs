//! Fair bands and the verdict on a class.

use super::patched;
use joulecast::grade::{Expected, Grade, GradeOptions, Points, Verdict, grade, judge};
use joulecast::measured::{ClassSheet, read_class};
use joulecast::scenario::{Scenario, builtin, read, shipped};
use joulecast::slip::{Mistake, SlipOptions, all, slips};

fn options(band: Option<f64>, groups: usize) -> GradeOptions<'static> {
    GradeOptions {
        slips: SlipOptions::new(1),
        band,
        groups,
    }
}

fn some(keys: &[&str]) -> Vec<Mistake> {
    all()
        .filter(|m| keys.contains(&m.key.as_ref()))
        .cloned()
        .collect()
}

fn of(scenario: &Scenario, keys: &[&str], groups: usize) -> Grade {
    let asked: Vec<_> = some(keys).into_iter().map(|m| (m, None)).collect();
    let found = slips(scenario, &asked, &SlipOptions::new(1)).unwrap();
    grade(found, &options(None, groups)).unwrap()
}

/// A class whose groups differ by these fractions from the accepted value.
fn class(scenario: &Scenario, differences: &[f64]) -> ClassSheet {
    let accepted = scenario.tabulated().0 / 1e3;
    let rows: Vec<String> = differences
        .iter()
        .map(|d| format!("{:.6},{:.6}", accepted * (1.0 + d), (0.01 * accepted).abs()))
        .collect();
    let text = format!("value [kJ/mol],u [kJ/mol]\n{}\n", rows.join("\n"));
    read_class("class.csv", text.as_bytes(), None).unwrap()
}

#[test]
fn five_percent_of_competent_classes_are_called_something_else() {
    // 1,000 classes of 12 with other draws than those that they are compared with: 5 % with a standard error of 0.7 %.
    let scenario = builtin();
    let expected = Expected::of(&scenario, 12, 1, None).unwrap();
    let others = Expected::of(&scenario, 12, 77, None).unwrap();
    let told = |p: &dyn Fn(&[f64]) -> f64| {
        let some = others.classes().iter().take(1_000);
        some.filter(|c| p(c) < 0.05).count()
    };
    let either = told(&|c| expected.p_either(&expected.seen(c)));
    assert!((40..=60).contains(&either), "{either} of 1000");
    let outlying = told(&|c| f64::from(u8::from(expected.seen(c).farthest <= expected.outlying)));
    assert!((15..=85).contains(&outlying), "{outlying} of 1000");
    // Each of both tests alone.
    for p in [
        told(&|c| expected.p_mean(expected.seen(c).core)),
        told(&|c| expected.p_scatter(expected.seen(c).sd)),
    ] {
        assert!((15..=85).contains(&p), "{p} of 1000");
    }
    // It can fail: classes that are all off by their own scatter, and classes that scatter twice as much.
    let shifted: Vec<Vec<f64>> = others
        .classes()
        .iter()
        .take(200)
        .map(|c| c.iter().map(|d| d + 3.0 * expected.mean_spread).collect())
        .collect();
    let seen = shifted
        .iter()
        .filter(|c| expected.p_either(&expected.seen(c)) < 0.05);
    assert!(seen.count() > 100);
}

#[test]
fn a_class_shares_its_course() {
    // With errors of the course alone all groups are alike, and the mean is no better known than one of them.
    let scenario = builtin();
    let e = Expected::of(&scenario, 12, 3, None).unwrap();
    let alone = e.own_spread / 12f64.sqrt();
    assert!(e.mean_spread > 1.5 * alone, "{} and {alone}", e.mean_spread);
    // Everything together is what one group has, with the accepted value's own uncertainty.
    let one = Expected::of(&scenario, 1, 3, None).unwrap();
    let together =
        (e.own_spread * e.own_spread * 11.0 / 12.0 + e.mean_spread * e.mean_spread).sqrt();
    assert!(
        (together / one.mean_spread - 1.0).abs() < 0.03,
        "{together} and {}",
        one.mean_spread
    );
}

#[test]
fn bands_hold_the_share_that_they_are_recommended_for() {
    let scenario = builtin();
    let g = of(
        &scenario,
        &["undissolved", "filling-forgotten", "spilt-before"],
        12,
    );
    assert_eq!(g.bands.len(), 4);
    for b in &g.bands {
        if let Some(share) = b.share {
            assert!((b.inside.value - share).abs() < 1e-3);
        }
    }
    assert!((g.band() - 0.03).abs() < 1e-12);
    let find = |key: &str| {
        g.mistakes
            .iter()
            .find(|m| m.studied.mistake.key == key)
            .unwrap()
    };
    // Spilt before weighing is no mistake: inside as often as a competent group.
    let [none, all] = ["spilt-before", "filling-forgotten"].map(find);
    for (at, b) in g.bands.iter().enumerate() {
        assert!((none.inside[at].value - b.inside.value).abs() < 0.05);
        assert!(all.inside[at].value < 0.01);
    }
    // A class of competent groups is told at 5 %, one in which a filling is forgotten always.
    assert!(
        none.class < 0.09 && all.class > 0.999,
        "{} {}",
        none.class,
        all.class
    );
    // The power of a class is that of classes in which half of the groups err.
    let half = find("undissolved");
    let shift = half.studied.effects[0].shift.value;
    let e = &g.expected;
    let told = e.classes()[1_000..3_000].iter().filter(|c| {
        let own: Vec<f64> = c
            .iter()
            .enumerate()
            .map(|(i, d)| if i % 2 == 0 { d + shift } else { *d })
            .collect();
        e.p_either(&e.seen(&own)) < 0.05
    });
    let told = told.count() as f64 / 2_000.0;
    assert!(
        (told - half.class).abs() < 5.0 * (0.25f64 / 1_000.0 + 0.25 / 2_000.0).sqrt(),
        "{told} {}",
        half.class
    );
    // Without a stated band the one for 95 % counts.
    let text = shipped("urea-foam-cups").unwrap();
    let mut urea = read(text).unwrap();
    urea.target.band = None;
    let g = of(&urea, &["undissolved"], 12);
    assert_eq!(g.bands.len(), 3);
    assert_eq!(g.band(), g.bands[2].band.value);
}

#[test]
fn a_class_is_judged_by_what_it_shows() {
    let scenario = builtin();
    let g = of(
        &scenario,
        &["undissolved", "spilt-after", "misread", "reference-at-25"],
        7,
    );
    let competent = [0.008, -0.012, 0.002, -0.006, 0.011, -0.003, 0.001];
    let judged = |differences: &[f64]| {
        let points = Points(vec![(0.03, 10.0), (0.05, 7.0)]);
        judge(
            &g,
            class(&scenario, differences),
            Some(&points),
            &SlipOptions::new(1),
        )
        .unwrap()
    };
    let c = judged(&competent);
    assert_eq!(c.verdict, Verdict::Method);
    assert!(c.p > 0.05 && c.causes.is_empty() && c.groups.iter().all(|x| x.inside && !x.outlying));
    // A class that is off as one.
    let off: Vec<f64> = competent.iter().map(|d| d - 0.05).collect();
    let c = judged(&off);
    assert_eq!(c.verdict, Verdict::Mean);
    assert!(
        c.causes.iter().any(|cause| cause.shift < -0.02),
        "{:?}",
        c.causes
    );
    assert_eq!(c.groups[1].points, Some(0.0));
    assert_eq!(c.groups[0].points, Some(7.0));
    // Groups that differ, and one that lies far off.
    let wide: Vec<f64> = competent.iter().map(|d| 4.0 * d).collect();
    assert_eq!(judged(&wide).verdict, Verdict::Scatter);
    let mut one = competent;
    one[3] = -0.09;
    let c = judged(&one);
    assert_eq!(c.verdict, Verdict::Scatter);
    assert!(c.groups[3].outlying && c.groups.iter().filter(|x| x.outlying).count() == 1);
    assert!(!c.groups[3].causes.is_empty());
    // Its own uncertainty says how likely what it measured lies in the band (JCGM 106, 7.4).
    let p = c.groups[3].conforms.unwrap();
    assert!(p < 1e-8 && c.groups[2].conforms.unwrap() > 0.99, "{p}");
    // Half of the groups far off leave the others where they are, although the median lies in the gap.
    let c = judge(
        &g,
        class(&scenario, &[0.001, -0.004, 0.006, 0.19, 0.2, 0.185, 0.003]),
        None,
        &SlipOptions::new(1),
    )
    .unwrap();
    let far: Vec<bool> = c.groups.iter().map(|x| x.outlying).collect();
    assert_eq!(far, [false, false, false, true, true, true, false]);
    assert!(c.seen.core.abs() < 0.01 && c.groups.iter().all(|x| x.outlying || x.causes.is_empty()));
    // Many write magnitudes.
    let text = "value\n-14.7\n-14.9\n-14.6\n-14.8\n-14.75\n-14.7\n-14.65\n";
    let other = read_class("c", text.as_bytes(), None).unwrap();
    let c = judge(&g, other, None, &SlipOptions::new(1)).unwrap();
    assert!(
        c.groups[0].difference.abs() < 0.02 && c.notes.iter().any(|n| n.contains("magnitudes"))
    );
}

#[test]
fn one_group_has_no_scatter_to_judge() {
    let scenario = patched(shipped("ammonium-chloride-dewar").unwrap(), &[]);
    let g = of(&scenario, &["undissolved"], 1);
    let c = judge(&g, class(&scenario, &[-0.06]), None, &SlipOptions::new(1)).unwrap();
    assert_eq!(c.verdict, Verdict::Mean);
    assert!(c.p_scatter == 1.0 && !c.groups[0].outlying);
}
