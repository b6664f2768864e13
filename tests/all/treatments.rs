//! What a study may do to one source, and how classes share draws: neither disturbs anything else.

use crate::judge::close;
use joulecast::random::{BLOCK, Column, Dist, Draws, Input, Layout, Name, Plan, Tag, Treatment};

const SEED: u64 = 9;

fn loss() -> Input {
    Input::error(Dist::exponential(0.0, 0.3).expect("valid"))
}

fn noise() -> Input {
    Input::error(Dist::normal(0.0, 2.0).expect("valid"))
}

fn named(source: &str, run: u32) -> Name {
    Name::run(Tag::of(source), Tag::of("sample"), run, 0)
}

fn draw(plan: &Plan, block: u64, name: Name, input: &Input) -> Column<f64> {
    Draws::new(SEED, block, Layout::MARGINAL, plan).column(name, 0, input)
}

#[test]
fn no_treatment_of_one_source_touches_another() {
    let usual = Plan::new();
    for treatment in [
        Treatment::Held(77),
        Treatment::Perfect,
        Treatment::Scaled(0.5),
        Treatment::Other(1),
    ] {
        let treated = Plan::new().with(Tag::of("loss"), treatment);
        for block in [0, 1, 500] {
            for run in 0..3 {
                let (other, own) = (named("noise", run), named("loss", run));
                assert_eq!(
                    draw(&treated, block, other, &noise()),
                    draw(&usual, block, other, &noise())
                );
                assert_ne!(
                    draw(&treated, block, own, &loss()),
                    draw(&usual, block, own, &loss()),
                    "{treatment:?}"
                );
            }
        }
    }
}

#[test]
fn a_treatment_does_what_it_says() {
    let (name, source) = (named("loss", 1), Tag::of("loss"));
    let usual = |block| draw(&Plan::new(), block, name, &loss());
    let with = |t| draw(&Plan::new().with(source, t), 4, name, &loss());
    // Perfect is without error, not at the mean of a one-sided error.
    assert_eq!(with(Treatment::Perfect), Column::splat(0.0));
    // Held is the draw of that trial, which may lie in any block.
    let held = with(Treatment::Held(7 * BLOCK as u64 + 13));
    assert_eq!(held, Column::splat(usual(7)[13]));
    let half = with(Treatment::Scaled(0.5));
    assert!((0..BLOCK).all(|t| close(half[t], 0.5 * usual(4)[t], 1e-15)));
    assert_eq!(with(Treatment::Scaled(0.0)), Column::splat(0.0));
    assert_eq!(with(Treatment::Scaled(1.0)), usual(4));
    // Other numbers of the same distribution.
    let (one, two) = (with(Treatment::Other(1)), with(Treatment::Other(2)));
    assert!((0..BLOCK).all(|t| one[t] != two[t] && one[t] != usual(4)[t] && one[t] > 0.0));
}

#[test]
fn scaling_goes_towards_the_perfect_value_wherever_that_is() {
    let input = Input::about(Dist::normal(52.0, 1.0).expect("valid"), 50.0);
    let name = named("vessel", 0);
    let plan = Plan::new().with(Tag::of("vessel"), Treatment::Scaled(0.25));
    let (usual, scaled) = (
        draw(&Plan::new(), 0, name, &input),
        draw(&plan, 0, name, &input),
    );
    assert!((0..BLOCK).all(|t| close(scaled[t] - 50.0, 0.25 * (usual[t] - 50.0), 1e-13)));
}

#[test]
fn the_last_treatment_of_a_source_counts() {
    let source = Tag::of("loss");
    let plan = Plan::new()
        .with(source, Treatment::Perfect)
        .with(source, Treatment::Scaled(1.0));
    let name = named("loss", 0);
    assert_eq!(
        draw(&plan, 0, name, &loss()),
        draw(&Plan::new(), 0, name, &loss())
    );
}

#[test]
fn an_exact_input_needs_no_draws() {
    let plan = Plan::new().with(Tag::of("mass"), Treatment::Held(3));
    let exact = Input::exact(53.489);
    assert!(exact.is_exact() && !loss().is_exact());
    let column = draw(&plan, 0, named("mass", 0), &exact);
    assert_eq!(column, Column::splat(53.489));
    // A constant error is not exact: perfection removes it.
    let bias = Input::error(Dist::constant(0.2));
    let perfect = Plan::new().with(Tag::of("mass"), Treatment::Perfect);
    assert!(!bias.is_exact());
    assert_eq!(draw(&plan, 0, named("mass", 0), &bias)[0], 0.2);
    assert_eq!(draw(&perfect, 0, named("mass", 0), &bias)[0], 0.0);
}

#[test]
fn another_replicate_leaves_the_earlier_ones_alone() {
    let mean_of = |runs: u32| -> Vec<Column<f64>> {
        (0..runs)
            .map(|r| draw(&Plan::new(), 2, named("noise", r), &noise()))
            .collect()
    };
    assert_eq!(mean_of(3)[..], mean_of(5)[..3]);
    assert_ne!(mean_of(2)[0], mean_of(2)[1]);
}

/// The course draws of the first `n` trials with so many groups a class.
fn course(groups: u64, n: usize) -> Vec<f64> {
    let plan = Plan::new();
    (0..n.div_ceil(BLOCK) as u64)
        .flat_map(|b| {
            let draws = Draws::new(SEED, b, Layout { groups }, &plan);
            draws.course::<f64>(named("thermometer", 0), &noise()).0
        })
        .take(n)
        .collect()
}

#[test]
fn a_class_keeps_its_draw_for_any_number_of_groups() {
    const CLASSES: usize = 700;
    let alone = course(1, CLASSES);
    for groups in [2, 3, 8, 100, 1000] {
        let shared = course(groups, CLASSES * groups as usize);
        for (class, trials) in shared.chunks(groups as usize).enumerate() {
            assert!(trials.iter().all(|x| *x == alone[class]));
        }
    }
}

#[test]
fn one_group_a_class_is_the_marginal_layout() {
    let plan = Plan::new();
    let draws = Draws::new(SEED, 0, Layout::MARGINAL, &plan);
    let name = named("thermometer", 0);
    let column: Column<f64> = draws.column(name, 0, &noise());
    let course_column: Column<f64> = draws.course(name, &noise());
    assert_eq!(column, course_column);
    assert_eq!(course(1, BLOCK)[..], column.0[..]);
}

#[test]
fn groups_of_a_class_differ_in_all_but_the_course() {
    let plan = Plan::new();
    let draws = Draws::new(SEED, 0, Layout { groups: 8 }, &plan);
    let marginal = Draws::new(SEED, 0, Layout::MARGINAL, &plan);
    let own: Column<f64> = draws.column(named("noise", 0), 0, &noise());
    assert_eq!(own, marginal.column(named("noise", 0), 0, &noise()));
    assert!((1..BLOCK).all(|t| own[t] != own[t - 1]));
}

#[test]
fn a_changed_parameter_moves_every_draw_the_same_way() {
    // Common random numbers: the same uniform number through a monotone inverse.
    let wide = Input::error(Dist::normal(0.0, 3.0).expect("valid"));
    let (a, b) = (
        draw(&Plan::new(), 0, named("noise", 0), &noise()),
        draw(&Plan::new(), 0, named("noise", 0), &wide),
    );
    assert!((0..BLOCK).all(|t| close(b[t], 1.5 * a[t], 1e-14)));
    assert!(noise().dist.sd() < wide.dist.sd());
}
