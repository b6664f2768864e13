//! The linear budget and the simulated shares of one model: what is correlated is one source in both.

use super::{model, right_and_sharp, share_out_well, singly};
use crate::judge::close;
use crate::published::budgets::{Readings, reactance, resistance};
use joulecast::engine::ListInput;
use joulecast::lab::{FirstOrder, Function, InputQuantity, LinearBudget};
use joulecast::random::{Dist, MultivariateNormal};
use joulecast::rank::{GroupShare, Shares};

/// Error of the voltmeter's scale, which no repetition shows.
fn scale() -> Dist {
    Dist::within(0.0, 0.001).expect("valid")
}

/// JCGM 100:2008, H.2: the readings as one source, alone or beside the scale of the voltmeter.
fn readings() -> ListInput {
    let r = Readings::published();
    let set = MultivariateNormal::new(r.mean.to_vec(), &r.covariance).expect("a covariance");
    ListInput::Correlated("readings".to_owned(), set)
}

fn simulated(inputs: Vec<ListInput>, f: impl Fn(&[f64]) -> f64 + Sync, names: &[&str]) -> Shares {
    share_out_well(&model(inputs, f), &singly(names), names, 7)
}

/// The same to first order: with the covariances inside the line of the readings.
fn linear(f: Function) -> LinearBudget {
    let r = Readings::published();
    let mut quantities = r.quantities();
    quantities.push(InputQuantity::drawn("scale", "s", "1", &scale()));
    let mut covariance = r.covariance.clone();
    for row in &mut covariance {
        row.push(0.0);
    }
    let u = quantities[3].u;
    covariance.push(vec![0.0, 0.0, 0.0, u * u]);
    FirstOrder::new(quantities)
        .and_then(|m| m.with_covariance(&covariance))
        .and_then(|m| m.as_one("readings", &[0, 1, 2]))
        .expect("sound quantities")
        .budget("ohm", f)
}

#[test]
fn correlated_readings_are_the_whole_of_h_2() {
    for f in [resistance, reactance] {
        let s = simulated(vec![readings()], f, &["readings"]);
        let [all] = s.groups.as_slice() else {
            panic!("one source")
        };
        right_and_sharp("alone", &all.first, 1.0, 0.02);
        right_and_sharp("total", &all.total, 1.0, 0.02);
        let u = Readings::published().model().budget("ohm", &f).u;
        let variance = s.variance;
        assert!(close(variance.value, u * u, 5.0 * variance.se));
        assert!(!close(variance.value, 1.1 * u * u, 5.0 * variance.se));
    }
}

#[test]
fn shares_of_a_budget_with_correlation_are_those_of_the_simulation() {
    let with_scale = |f: fn(&[f64]) -> f64| move |x: &[f64]| f(&[x[0] * (1.0 + x[3]), x[1], x[2]]);
    for f in [resistance, reactance] {
        let f = with_scale(f);
        let b = linear(&f);
        let inputs = vec![readings(), ListInput::new("scale", scale())];
        let s = simulated(inputs, f, &["readings", "scale"]);
        assert_eq!(b.lines.len(), 2);
        for (line, GroupShare { name, first, total }) in b.lines.iter().zip(&s.groups) {
            assert_eq!(&line.quantity.name, name);
            let share = b.share(line);
            assert!((0.05..0.95).contains(&share), "{name}: {share}");
            right_and_sharp(name, first, share, 0.03);
            right_and_sharp(name, total, share, 0.03);
        }
        // Without the covariances the budget is another one, and the simulation tells.
        let mut apart = Readings::published().quantities();
        apart.push(InputQuantity::drawn("scale", "s", "1", &scale()));
        let apart = FirstOrder::new(apart).expect("sound quantities");
        let apart = apart.budget("ohm", &f);
        let wrong = apart.share(&apart.lines[3]);
        assert!(!super::right(&s.groups[1].total, wrong), "{wrong}");
        assert!(close(apart.u, b.u_if_independent, 1e-12));
    }
}

#[test]
fn a_source_of_a_list_and_a_quantity_of_a_budget_state_the_same() {
    // Normal inputs of a sum, by the same distributions: 0.36 and 0.64 of the variance.
    let dists: [Dist; 2] = [3.0, 4.0].map(|sd| Dist::normal(1.0, sd).expect("valid"));
    let quantities = dists
        .each_ref()
        .map(|d| InputQuantity::drawn("x", "x", "1", d));
    let sum = |x: &[f64]| x.iter().sum::<f64>();
    let b = FirstOrder::new(quantities.to_vec()).expect("sound quantities");
    let b = b.budget("1", &sum);
    assert!(close(b.u, 5.0, 1e-9) && close(b.value, 2.0, 1e-12));
    let [a, c] = dists;
    let inputs = vec![ListInput::new("a", a), ListInput::new("c", c)];
    let s = simulated(inputs, sum, &["a", "c"]);
    for (line, group) in b.lines.iter().zip(&s.groups) {
        right_and_sharp(&group.name, &group.total, b.share(line), 0.03);
    }
}
