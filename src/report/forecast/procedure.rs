//! The procedure in numbers, and the words of a forecast.

use crate::design::Cost;
use crate::forecast::Forecast;
use crate::report::document::{
    Block, Cell, Column, KELVIN, KJ_PER_MOL, MILLILITRE, NONE, Place, Section, Table,
    by_uncertainty, figures,
};
use crate::report::words::{kj, percent};
use crate::scenario::{Charge, Contents, Heat, Leg};
use crate::stats::Summary;

/// A leg with its change of temperature and, in a cycle, its coefficient and value.
type Row<'a> = (&'a Leg, &'a Summary, Option<(f64, &'a Summary)>);

/// Legs with what is taken and how the temperature changes; constant, scatter and what a group uses up.
pub(super) fn procedure(f: &Forecast) -> Section {
    let s = &f.scenario;
    let mut all: Vec<Row<'_>> = vec![(&s.calibration, &f.changes[0], None)];
    let cycle = s.is_cycle();
    if cycle {
        let legs = s.determinations().zip(&f.beside.legs);
        all.extend(legs.map(|(leg, l)| (leg, &l.change, Some((l.coefficient, &l.value)))));
    } else {
        all.push((&s.determination, &f.changes[1], None));
    }
    all.retain(|(leg, ..)| leg.runs > 0);
    let liquid = |leg: &Leg| leg.nominal_volume(&s.room).0;
    let mut t = Table::of("procedure", &all)
        .column(&all, Column::words("run"), |r| Cell::text(r.0.title()))
        .column(&all, Column::number("runs", NONE), |r| {
            Cell::given(f64::from(r.0.runs))
        })
        .column(&all, Column::words("charge"), |r| Cell::text(charged(r.0)))
        .column(&all, Column::number("liquid", MILLILITRE), |r| {
            Cell::figures(liquid(r.0), 3)
        })
        .column(
            &all,
            Column::number("ΔT", KELVIN).key("change_of_temperature"),
            |r| Cell::by(r.1.mean.value, r.1.sd.value),
        )
        .column(&all, Column::number("sd", KELVIN), |r| {
            Cell::figures(r.1.sd.value, 2)
        });
    if cycle {
        let of = |r: &Row<'_>, cell: fn(f64, &Summary) -> Cell| {
            r.2.map_or(Cell::Missing("a calibration"), |(c, value)| cell(c, value))
        };
        t = t
            .column(
                &all,
                Column::number("coefficient", NONE).at(Place::Page),
                |r| of(r, |c, _| Cell::given(c)),
            )
            .column(&all, Column::number("value", KJ_PER_MOL), |r| {
                of(r, |_, v| Cell::by(v.mean.value, v.sd.value))
            })
            .column(
                &all,
                Column::number("sd", KJ_PER_MOL).key("value_sd"),
                |r| of(r, |_, v| Cell::figures(v.sd.value, 2)),
            );
    }
    Section::new("the procedure")
        .detail(Block::Table(t))
        .detail(Block::List(facts(f)))
}

/// How much of what a leg's procedure asks for.
fn charged(leg: &Leg) -> String {
    match (leg.heat, leg.charge) {
        (Heat::Electrical(h), _) => format!("{} s of heating", h.time.0),
        (Heat::Reaction, Charge::Dropped | Charge::Beforehand { .. } | Charge::Metal) => {
            format!("{} g", leg.mass.0)
        }
        (_, Charge::Liquid { .. }) | (Heat::HotWater { .. }, _) => {
            format!("{} mL", leg.portion_volume().0)
        }
    }
}

fn facts(f: &Forecast) -> Vec<String> {
    let s = &f.scenario;
    let mut all = Vec::new();
    if s.is_cycle() {
        let known = s.cycle.known.as_ref();
        let known = known.map_or(String::new(), |(c, k)| {
            format!("; known, times {c}: {}", k.stated)
        });
        all.push(format!(
            "Result: {}{known}. All legs share the error of one calibration constant, so that their sd do not add in \
             quadrature.",
            s.cycle.text
        ));
    }
    let what = match s.lab.contents {
        Contents::Same => "vessel with contents",
        Contents::Swapped => "vessel alone",
    };
    all.push(match s.lab.assumed_vessel {
        Some(vessel) => format!("The vessel is not calibrated: {} J/K is assumed.", vessel.0),
        None => {
            let [mean, sd] = [f.constant.mean.value, f.constant.sd.value];
            format!(
                "Calibration constant ({what}): {} J/K, sd {}.",
                by_uncertainty(mean, sd, 2),
                figures(sd, 2)
            )
        }
    });
    if let Some(scatter) = f.run_scatter {
        // Of a cycle it is that of its first leg, whose value is not the result.
        let (of, part) = match s.is_cycle() {
            true => (
                format!("the runs of {}", s.determination.title()),
                String::new(),
            ),
            false => (
                "the determinations of a group".to_owned(),
                format!(" ({})", percent(scatter / f.target.abs())),
            ),
        };
        all.push(format!(
            "Scatter of {of}: {} kJ/mol{part}, median.",
            kj(scatter)
        ));
    }
    if let Some(e) = &f.beside.excess {
        let [mean, sd] = [e.margin.mean.value, e.margin.sd.value].map(|x| 100.0 * x);
        all.push(format!(
            "The result is per mole of {}; everything else should be in excess: {} % as planned, {} % (sd {}) over all \
             groups.",
            e.named,
            figures(100.0 * e.planned, 3),
            by_uncertainty(mean, sd, 2),
            figures(sd, 2)
        ));
    }
    all.push(takes(f));
    all
}

/// What a group uses up.
fn takes(f: &Forecast) -> String {
    let runs: u32 = f.scenario.determinations().map(|leg| leg.runs).sum();
    let repeats = f.repeats.map_or([0.0; 2], |r| {
        [
            r.calibration.value * f64::from(f.scenario.calibration.runs),
            r.determination.value * f64::from(runs),
        ]
    });
    let c = Cost::of(&f.scenario, repeats);
    let three = |x: [f64; 2]| figures(x[0] + x[1], 3);
    let mut said = format!(
        "A group takes {} g of solids and {} mL of liquids",
        three(c.solid),
        three(c.liquid)
    );
    if let Some(time) = c.time {
        said += &format!(", {} h at the bench", figures(time / 3600.0, 2));
    }
    if let Some(money) = c.money {
        said += &format!(", {} {}", figures(money, 3), f.scenario.times.money());
    }
    said + "."
}

/// What words mean here.
pub(super) fn terms() -> Section {
    Section::new("terms").detail(Block::text(
        "Group: those who share one set of instruments and one calibration; competent: it follows the procedure without a \
         blunder. Course: groups that share reagents and tables. u: standard uncertainty; sd: standard deviation.",
    ))
}
