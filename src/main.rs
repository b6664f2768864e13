//! Binary.
use joulecast::{engine::Study, experiment::Experiment, scenario, stats::Summary};
fn main() {
    let path = std::env::args().nth(1);
    let text = path
        .map(|p| std::fs::read_to_string(p).unwrap())
        .unwrap_or(scenario::builtin_text().to_owned());
    let s = match scenario::read(&text) {
        Ok(s) => s,
        Err(p) => {
            for p in p.0 {
                println!("{:?} {}", p.position(&text), p);
            }
            return;
        }
    };
    for w in &s.warnings {
        println!("{w}");
    }
    let e = Experiment::new(s);
    let t0 = std::time::Instant::now();
    let t = Study::new(1).run(&e, 20480).unwrap();
    println!("{:?}", t0.elapsed());
    for (n, c) in t.names.iter().zip(&t.columns) {
        let s = Summary::of(c, 0.95);
        println!(
            "{n:40} mean {:12.5} sd {:12.5} med {:12.5}  {:12.5} {:12.5} bad {}",
            s.mean.value,
            s.sd.value,
            s.median.value,
            s.symmetric.low.value,
            s.symmetric.high.value,
            s.nonfinite
        );
    }
    let cov = |h: usize| {
        t.columns[0]
            .iter()
            .zip(&t.columns[h])
            .filter(|(e, h)| e.abs() <= **h)
            .count() as f64
            / 20480.0
    };
    println!("coverage a {} b {}", cov(6), cov(7));
    let plan = joulecast::random::Plan::new();
    let d = joulecast::random::Draws::new(1, 0, joulecast::random::Layout::MARGINAL, &plan);
    let (_, v, c) = e.one_trial(d, 0);
    println!("{v:?}");
    for l in c.unwrap().budget.lines {
        println!(
            "{:?} {} u {:.3e} c {:.3e} contribution {:.3}",
            l.source,
            l.of,
            l.u,
            l.sensitivity,
            l.variance.sqrt()
        );
    }
}
