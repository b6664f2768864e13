//! Each instrument of a scenario one class better, one class worse, and perfect.

use super::bounds::{Bound, crossed, zones};
use super::goal::Goal;
use super::outcome::{DesignOptions, Outcome};
use super::statistic::Statistic;
use crate::engine::EngineError;
use crate::experiment::Experiment;
use crate::library::Library;
use crate::quantity::{Dimension, JoulePerKelvin, decimal, write_quantity};
use crate::random::{Plan, Treatment};
use crate::scenario::{Document, Raw, SOURCES, Scenario, schema};
use crate::stats::Estimate;

/// What an instrument is exchanged for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// The next better entry of the library.
    Better(String),
    /// The next worse one.
    Worse(String),
    /// No error at all of its kind.
    Perfect,
}

/// An exchange and what it brings.
#[derive(Debug, Clone)]
pub struct Upgrade {
    /// What is exchanged for what.
    pub step: Step,
    /// What is compared with the target, with the exchange.
    pub there: Estimate,
    /// The same less what it is now, trial by trial.
    pub change: Estimate,
    /// A bound that is crossed with it and not without.
    pub crossed: Option<Bound>,
    /// What the lab would assume of a vessel that nothing calibrates, where that moves along.
    pub assumed: Option<JoulePerKelvin>,
}

/// One instrument.
#[derive(Debug, Clone)]
pub struct Instrument {
    /// Key of the library.
    pub key: String,
    /// Keys of the scenario that name it.
    pub paths: Vec<String>,
    /// What may come in its place; empty entries of the library's ends are left out.
    pub upgrades: Vec<Upgrade>,
    /// Sources that the scenario states itself, which an exchange does not touch.
    pub own: Vec<String>,
}

impl Instrument {
    /// Whether it is a vessel, whose classes differ in more than one way.
    pub fn is_vessel(&self) -> bool {
        self.paths
            .iter()
            .any(|p| schema::in_leg(p).1 == "vessel.use")
    }
}

/// Keys that name an instrument, its kind in the library, and the sources that are its.
const PLACES: &[(&str, Kind, &[&str])] = &[
    ("balance.use", Kind::Balance, &["balance."]),
    ("thermometer.use", Kind::Thermometer, &["thermometer."]),
    (
        "vessel.use",
        Kind::Vessel,
        &["vessel.run_to_run", "vessel.leak", "vessel.stirring"],
    ),
    (
        "liquid.device",
        Kind::Glassware,
        &["liquid.tolerance", "liquid.repeatability"],
    ),
    ("charge.portion_device", Kind::Glassware, &[]),
    ("stock.flask", Kind::Glassware, &[]),
];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Balance,
    Thermometer,
    Vessel,
    Glassware,
}

/// Entries that may take each other's place, from the finest to the coarsest.
fn ladder(library: &Library, kind: Kind, key: &str) -> Vec<String> {
    let mut rungs: Vec<(f64, String)> = match kind {
        Kind::Balance => library
            .balances
            .values()
            .map(|b| {
                (
                    b.repeatability.dist.sd().hypot(b.readability.value),
                    b.key.clone(),
                )
            })
            .collect(),
        Kind::Thermometer => library
            .thermometers
            .values()
            .map(|t| (t.noise.dist.sd().max(t.resolution.value), t.key.clone()))
            .collect(),
        Kind::Vessel => library
            .vessels
            .values()
            .map(|v| (v.leak.value, v.key.clone()))
            .collect(),
        Kind::Glassware => {
            let Some(own) = library.glassware.get(key) else {
                return Vec::new();
            };
            // Another kind of device would be another procedure; a volume stays what it is.
            library
                .glassware
                .values()
                .filter(|g| g.nominal == own.nominal && g.kind == own.kind)
                .map(|g| {
                    (
                        g.tolerance.dist.sd().hypot(g.repeatability.dist.sd()),
                        g.key.clone(),
                    )
                })
                .collect()
        }
    };
    rungs.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.cmp(&b.1)));
    // Equals are no step: the instrument itself stands for its own class.
    let own = rungs.iter().find(|r| r.1 == key).map(|r| r.0);
    rungs.retain(|r| r.1 == key || Some(r.0) != own);
    rungs.into_iter().map(|r| r.1).collect()
}

/// The instruments of a scenario: place, key, and the paths that name it.
fn instruments(scenario: &Scenario) -> Vec<(usize, String, Vec<String>)> {
    let doc = scenario.document();
    let mut found: Vec<(usize, String, Vec<String>)> = Vec::new();
    for (at, (tail, _, _)) in PLACES.iter().enumerate() {
        let here = doc
            .entries
            .iter()
            .filter(|(path, _)| schema::in_leg(path).1 == *tail);
        for (path, entry) in here {
            let Raw::Text(key) = &entry.raw else { continue };
            match found.iter_mut().find(|(a, k, _)| *a == at && k == key) {
                Some((_, _, paths)) => paths.push(path.clone()),
                None => found.push((at, key.clone(), vec![path.clone()])),
            }
        }
    }
    found
}

/// Number of steps that [`DesignOptions::progress`] counts to in [`upgrades`].
pub fn exchanges(scenario: &Scenario) -> u64 {
    instruments(scenario).len() as u64
}

/// What each instrument one class better, one class worse, and perfect would bring; `now` is what the scenario delivers
/// as it is; bounds go by a cap of the change of temperature of `cap` K.
///
/// # Errors
/// If interrupted.
pub fn upgrades(
    scenario: &Scenario,
    goal: Goal,
    now: &Outcome,
    cap: f64,
    options: &DesignOptions,
) -> Result<Vec<Instrument>, EngineError> {
    let judged = |o: &Outcome| {
        let judge = |v: &[f64]| goal.measure_of(v, o.target, scenario.target.band);
        Statistic::of(&o.errors.values, judge)
    };
    let own = judged(now);
    let doc = scenario.document();
    let beyond = zones(scenario, now, cap);
    let mut out = Vec::new();
    for (i, (at, key, paths)) in instruments(scenario).into_iter().enumerate() {
        let (_, kind, sites) = PLACES[at];
        let ladder = ladder(&scenario.library, kind, &key);
        let mut steps = Vec::new();
        if let Some(rung) = ladder.iter().position(|k| *k == key) {
            let better = rung.checked_sub(1).map(|r| Step::Better(ladder[r].clone()));
            let worse = ladder.get(rung + 1).map(|k| Step::Worse(k.clone()));
            steps.extend(better.into_iter().chain(worse));
        }
        if !sites.is_empty() {
            steps.push(Step::Perfect);
        }
        let mut upgrades = Vec::new();
        for step in steps {
            let (mut barred, mut assumed) = (None, None);
            let outcome = match &step {
                Step::Better(new) | Step::Worse(new) => {
                    let mut set: Vec<(String, Raw)> = paths
                        .iter()
                        .map(|p| (p.clone(), Raw::Text(new.clone())))
                        .collect();
                    if kind == Kind::Vessel {
                        assumed = assumed_with(scenario, &doc, [&key, new]);
                    }
                    set.extend(assumed.map(|v| {
                        let text = write_quantity(v.0, Dimension::HeatCapacity);
                        ("calibration.assumed_vessel".to_owned(), Raw::Text(text))
                    }));
                    match scenario.changed(&set) {
                        Ok(changed) => {
                            let outcome = Outcome::of(&changed, options)?;
                            barred = crossed(&zones(&changed, &outcome, cap), &beyond);
                            Some(outcome)
                        }
                        Err(_) => None,
                    }
                }
                Step::Perfect => Some(perfect(scenario, sites, options)?),
            };
            if let Some(o) = outcome {
                upgrades.push(Upgrade {
                    step,
                    there: judged(&o).estimate(),
                    change: judged(&o).less(&own).0,
                    crossed: barred,
                    assumed,
                });
            }
        }
        out.push(Instrument {
            own: stated(&doc, sites),
            key,
            paths,
            upgrades,
        });
        options.tick(i as u64 + 1);
    }
    Ok(out)
}

/// What a lab that calibrates nothing would assume of another vessel: off in the same proportion as of its own. `None` where it
/// assumes nothing, or where the scenario says itself what the vessel takes.
fn assumed_with(scenario: &Scenario, doc: &Document, keys: [&String; 2]) -> Option<JoulePerKelvin> {
    let assumed = scenario.lab.assumed_vessel.filter(|v| v.0 > 0.0)?;
    if doc.entries.contains_key("vessel.heat_capacity") {
        return None;
    }
    let takes = |key: &String| Some(scenario.library.vessels.get(key)?.heat_capacity.value);
    let [old, new] = keys.map(takes);
    Some(JoulePerKelvin(decimal(assumed.0 * new? / old?)))
}

/// Without any error of these sources.
fn perfect(
    scenario: &Scenario,
    sites: &[&str],
    options: &DesignOptions,
) -> Result<Outcome, EngineError> {
    let plan = SOURCES
        .iter()
        .filter(|s| sites.iter().any(|site| s.key.starts_with(site)))
        .fold(Plan::new(), |plan, s| {
            plan.with(s.tag(), Treatment::Perfect)
        });
    // Noise and last digit drawn in one stay so without their errors: read them one by one.
    let model = Experiment::without_claims(scenario.clone()).reading_by_reading();
    let table = options.run(&model, plan)?;
    Ok(Outcome::read(scenario, &table))
}

/// Sources of these sites that the scenario states itself.
fn stated(doc: &Document, sites: &[&str]) -> Vec<String> {
    let own = |path: &&String| {
        let tail = schema::in_leg(path).1;
        SOURCES.iter().any(|s| s.key == tail) && sites.iter().any(|site| tail.starts_with(site))
    };
    doc.entries.keys().filter(own).cloned().collect()
}
