//! The interval that `evaluate` states for a file of runs holds nature's value as often as it says.

use super::notebooks::{file, read};
use super::patched;
use joulecast::evaluate::{EvaluateOptions, OneSidedErrors, Propagated, propagate};
use joulecast::experiment::Experiment;
use joulecast::lab::{Evaluation, Method, Seen};
use joulecast::random::{BLOCK, Draws, Layout, Plan};
use joulecast::scenario::{RunEffects, SOURCES, Scenario, Source, shipped};

/// A shipped scenario in which nothing errs to one side only.
fn even_errors(name: &str, run_effects: RunEffects) -> Scenario {
    // Contents that are taken as alike and are not bias a result by a choice, which no distribution describes.
    let mut s = patched(
        shipped(name).expect("is shipped"),
        &[("lab.contents", "swapped")],
    );
    s.lab.run_effects = run_effects;
    make_perfect(&mut s, |_| true);
    s
}

/// Takes errors away that go one way.
fn make_perfect(s: &mut Scenario, which: impl Fn(&Source) -> bool) {
    for source in SOURCES {
        if (source.one_sided || s.is_one_sided(source.id)) && which(source) {
            s.legs_mut()
                .into_iter()
                .for_each(|leg| leg.make_perfect(source.id));
        }
    }
}

/// What `evaluate` makes of the file of a group's runs, written and read as those of students are.
fn evaluated(
    s: &Scenario,
    seen: &Seen,
    seed: u64,
    trials: u64,
    one_sided: OneSidedErrors,
) -> Propagated {
    let options = EvaluateOptions {
        seed,
        trials,
        one_sided,
        interrupt: None,
    };
    propagate(s, &read(s, &file(s, seen)), &options).expect("not interrupted")
}

/// Of the groups: shares whose interval lies wholly above and wholly below nature's value, and the mean length of the
/// intervals, J/mol.
struct Coverage {
    above: f64,
    below: f64,
    length: f64,
}

impl Coverage {
    /// With 512 trials for each group: of M trials the interval holds a further one with probability 0.95 M / (M + 1).
    fn of(s: &Scenario, blocks: u64, one_sided: OneSidedErrors) -> Self {
        let model = Experiment::without_claims(s.clone());
        let plan = Plan::new();
        let [mut above, mut below, mut length] = [0.0; 3];
        for block in 0..blocks {
            let draws = Draws::new(5, block, Layout::MARGINAL, &plan);
            let (pages, target) = model.groups(draws);
            for i in 0..BLOCK {
                let seed = block * BLOCK as u64 + i as u64;
                let found = evaluated(s, &pages.seen(i), seed, 512, one_sided).stated;
                above += f64::from(u8::from(found.low > target[i]));
                below += f64::from(u8::from(found.high < target[i]));
                length += found.high - found.low;
            }
        }
        let n = (blocks * BLOCK as u64) as f64;
        Self {
            above: above / n,
            below: below / n,
            length: length / n,
        }
    }

    /// Share of groups whose interval holds nature's value.
    fn share(&self) -> f64 {
        1.0 - self.above - self.below
    }
}

#[test]
fn stated_distributions_hold_nature_in_95_percent() {
    // 2048 groups know 95 % to 0.5 %.
    for name in [
        "ammonium-chloride-dewar",
        "urea-foam-cups",
        "magnesium-oxide-cycle",
    ] {
        let s = even_errors(name, RunEffects::Stated);
        let found = Coverage::of(&s, 8, OneSidedErrors::Ignored);
        let share = found.share();
        println!("{name}: {share}, {} J/mol", found.length);
        assert!((share - 0.95).abs() < 0.015, "{name}: {share}");
    }
}

#[test]
fn observed_scatter_holds_nature_in_93_percent_at_least() {
    for name in [
        "ammonium-chloride-dewar",
        "urea-foam-cups",
        "magnesium-oxide-cycle",
    ] {
        let s = even_errors(name, RunEffects::Scatter);
        let found = Coverage::of(&s, 8, OneSidedErrors::Ignored);
        let share = found.share();
        println!("{name}: {share}, {} J/mol", found.length);
        assert!(share > 0.93, "{name}: {share}");
    }
}

#[test]
fn three_runs_that_scatter_have_the_factor_of_the_table() {
    // Student's t of two degrees of freedom at 95 %: 4.303 (JCGM 100, Table G.2).
    let mut s = patched(
        super::SILENT,
        &[
            ("determination.runs", "3"),
            ("determination.charge.purity", "exactly 100 %"),
        ],
    );
    s.lab.run_effects = RunEffects::Scatter;
    for source in SOURCES {
        s.legs_mut()
            .into_iter()
            .for_each(|leg| leg.make_perfect(source.id));
    }
    let model = Experiment::without_claims(s.clone());
    let plan = Plan::new();
    let draws = Draws::new(1, 0, Layout::MARGINAL, &plan);
    let (pages, _) = model.groups(draws);
    let mut seen = pages.seen(0);
    for (run, factor) in seen.legs[0].runs.iter_mut().zip([0.99, 1.0, 1.01]) {
        run.change = run.change * factor;
    }
    let all = Evaluation::of(&seen, &Method::of(&s)).enthalpies[0].clone();
    let mean = all.iter().sum::<f64>() / 3.0;
    let sd = (all.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>() / 2.0).sqrt();
    let found = evaluated(&s, &seen, 7, 5_120, OneSidedErrors::Ignored);
    let factor = found.stated.half_width() / (sd / 3f64.sqrt());
    // 5120 trials know the quantile of so heavy a tail to 4 %.
    assert!((factor / 4.303 - 1.0).abs() < 0.2, "{factor}");
    let linear = found.claims.linear / (sd / 3f64.sqrt());
    assert!((linear - 4.303).abs() < 0.0005, "{linear}");
}

/// The built-in scenario with salt that is lost after weighing; of errors that go one way it has only those that its lab knows of.
fn salt_is_lost() -> Scenario {
    let loss = ("determination.charge.transfer_loss", "30 mg exponential");
    let mut s = patched(
        shipped("ammonium-chloride-dewar").expect("is shipped"),
        &[loss],
    );
    make_perfect(&mut s, |source| !source.budget);
    s
}

#[test]
fn errors_that_go_one_way_leave_on_each_side_what_the_choice_says() {
    use OneSidedErrors::{Asymmetric, Corrected, Ignored};
    let s = salt_is_lost();
    let [ignored, corrected, asymmetric] = [Ignored, Corrected, Asymmetric].map(|how| {
        let found = Coverage::of(&s, 8, how);
        println!("{how:?}: {} below, {} above", found.below, found.above);
        found
    });
    // Five standard errors of a share of 2048 groups.
    let near =
        |found: f64, due: f64| (found - due).abs() < 5.0 * (due * (1.0 - due) / 2048.0).sqrt();
    // Salt that is lost makes the magnitude too small.
    assert!(ignored.below > 0.1 && ignored.above < 0.005);
    assert!(near(corrected.below + corrected.above, 0.05));
    assert!(near(asymmetric.below, 0.025) && near(asymmetric.above, 0.025));
    assert!(!near(ignored.below, 0.025) && !near(ignored.above, 0.025));
}
