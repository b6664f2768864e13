//! Procedures side by side: what they take, and the bounds that keep one from being suggested.

use super::comparing::{compared, contender, of};
use joulecast::design::{Bound, DesignOptions, Vary, set, sweep};

#[test]
fn a_changed_key_gives_what_a_sweep_gives_there_its_time_too() {
    let own = of("permanganate-iron-dewar", &[]);
    let key = "determination.charge.wait";
    let changed = set(&own, &format!("{key} = 30 min")).unwrap();
    let c = compared(vec![contender("as it is", &own), changed], 512);
    let options = DesignOptions {
        trials: 512,
        ..DesignOptions::new(1)
    };
    let vary = Vary::parse(&format!("{key} = 30 min"), &own).unwrap();
    let s = sweep(&own, vec![vary], None, c.cap, &options).unwrap();
    let there = s.points[0].outcome.as_ref().unwrap();
    let all: Vec<_> = c.delivered().map(|(_, d)| d).collect();
    assert_eq!(all[1].outcome.cost, there.cost);
    assert_eq!(all[1].outcome.errors.spread, there.errors.spread);
    // Twice as long a wait in each of the determinations, none of which is repeated much.
    let more = there.cost.time.unwrap() - all[0].outcome.cost.time.unwrap();
    let runs = f64::from(own.determination.runs);
    assert!((more / (runs * 900.0) - 1.0).abs() < 0.05, "{more}");
    // Then the session does not suffice, and nobody suggests it.
    assert_eq!(c.barred(all[1]), [Bound::Session]);
    assert!(c.barred(all[0]).is_empty());
}

#[test]
fn a_bound_that_all_are_beyond_is_no_reason_but_the_cap_is() {
    let slow = of("permanganate-iron-dewar", &[("times.session", "1 h")]);
    let c = compared(vec![contender("a", &slow), contender("b", &slow)], 256);
    for (_, d) in c.delivered() {
        assert!(d.zones.iter().any(|z| z.bound == Bound::Session));
        assert!(c.barred(d).is_empty());
    }
}

#[test]
fn a_powder_that_is_not_dissolved_in_time_keeps_a_contender_from_being_suggested() {
    // Of a powder of ten minutes 0.8 % is left after eight, 12.5 % after five.
    let own = of("permanganate-iron-dewar", &[]);
    let wait = |text: &str| set(&own, &format!("determination.charge.wait = {text}")).unwrap();
    let all = vec![contender("as it is", &own), wait("8 min"), wait("5 min")];
    let c = compared(all, 256);
    let barred: Vec<_> = c.delivered().map(|(_, d)| c.barred(d)).collect();
    assert_eq!(barred, [vec![], vec![Bound::Slow], vec![Bound::Slow]]);
}
