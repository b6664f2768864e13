//! The derivatives against differences of the evaluation itself.

use super::*;
use crate::lab::Reckoning;
use crate::quantity::{
    Ampere, Celsius, GramPerMillilitre, Joule, JoulePerGramKelvin, JoulePerMole,
    JoulePerMoleKelvin, Kelvin, Millilitre, Second, Volt,
};
use crate::scenario::{DilutionHeat, Heater};

const ENTRIES_ALL: [Entry; ENTRIES] = [
    Entry::Solid,
    Entry::Liquid,
    Entry::Portion,
    Entry::Reagent,
    Entry::Change,
    Entry::Mixing,
    Entry::Hot,
    Entry::Rinse,
    Entry::Extra,
    Entry::Heat,
];

const TABLES_ALL: [TableEntry; TABLE_ENTRIES] = [
    TableEntry::Enthalpy,
    TableEntry::Slope,
    TableEntry::MolarMass,
    TableEntry::Purity,
    TableEntry::LiquidHeat,
    TableEntry::PortionHeat,
    TableEntry::WaterHeat,
    TableEntry::SoluteHeat,
    TableEntry::PortionConcentration,
    TableEntry::LiquidConcentration,
    TableEntry::ReagentMolarMass,
    TableEntry::ReagentPurity,
    TableEntry::Flask,
    TableEntry::Voltage,
    TableEntry::Current,
    TableEntry::HeatingTime,
    TableEntry::SideHeat,
    TableEntry::Dilution,
];

/// A page and tables with nothing at zero.
fn leg(kind: HeatKind, charge: AmountBy, named: Option<AmountBy>) -> (LegTables, RunSeen) {
    let tables = LegTables {
        kind,
        enthalpy: JoulePerMole(15_300.0),
        at: Celsius(25.0),
        slope: JoulePerMoleKelvin(-180.0),
        molar_mass: GramPerMole(61.0),
        purity: 0.98,
        charge,
        named,
        nu: 2.0,
        liquid_heat: JoulePerGramKelvin(4.02),
        portion_heat: JoulePerGramKelvin(3.9),
        water_heat: JoulePerGramKelvin(4.18),
        solute_heat: JoulePerGramKelvin(1.3),
        side_heat: Joule(3.0),
        dilution: DilutionHeat::new(&[(0.05, -40.0, 4.0), (0.8, 210.0, 12.0)], 0.0, None),
        dilution_error: JoulePerMole(0.0),
        reckoning: Reckoning {
            solid_in_mass: true,
            water_heat: false,
            mean_temperature: false,
        },
    };
    let run = RunSeen {
        solid: Gram(1.9),
        liquid: Gram(98.0),
        portion: Gram(21.0),
        reagent: Gram(2.7),
        change: Kelvin(-1.7),
        mixing: Celsius(21.4),
        hot: Celsius(47.0),
        weighed_at: 0.0,
        rinse: Gram(0.3),
        extra: JoulePerKelvin(2.0),
        heat: Joule(1.5),
    };
    (tables, run)
}

/// Central difference, refined once.
fn difference(at: f64, f: &mut dyn FnMut(f64) -> f64) -> f64 {
    let step = 1e-3 * at.abs().max(1.0);
    let mut over = |h: f64| (f(at + h) - f(at - h)) / (2.0 * h);
    (4.0 * over(0.5 * step) - over(step)) / 3.0
}

/// Largest relative difference of a step's slopes from those that differences find.
fn worst(
    (t, run): &(LegTables, RunSeen),
    step: &dyn Fn(&LegTables, &RunSeen) -> f64,
    slopes: &Slopes,
) -> f64 {
    let by_entry = ENTRIES_ALL.iter().map(|entry| {
        let mut changed = *run;
        let at = *changed.entry_mut(*entry);
        let due = difference(at, &mut |x| {
            *changed.entry_mut(*entry) = x;
            step(t, &changed)
        });
        (slopes.run[*entry as usize], due)
    });
    let by_table = TABLES_ALL.iter().map(|entry| {
        let mut changed = t.clone();
        let Some(at) = entry.place(&mut changed).map(|v| *v) else {
            return (slopes.tables[*entry as usize], 0.0);
        };
        assert_eq!(entry.value(t), at);
        let due = difference(at, &mut |x| {
            if let Some(v) = entry.place(&mut changed) {
                *v = x;
            }
            step(&changed, run)
        });
        (slopes.tables[*entry as usize], due)
    });
    let off = by_entry.chain(by_table).map(|(got, due)| {
        let size = due.abs().max(1e-3);
        (got - due).abs() / size
    });
    off.fold(0.0, f64::max)
}

fn methods() -> impl Iterator<Item = Method> {
    [false, true].into_iter().flat_map(|slopes| {
        [Contents::Same, Contents::Swapped].map(|contents| Method {
            contents,
            reference_slope: slopes,
            result_slope: slopes,
            quote_at: Celsius(25.0),
            assumed_vessel: None,
            coefficients: vec![1.0],
            known: (0.0, JoulePerMole(0.0)),
        })
    })
}

fn legs() -> Vec<(LegTables, RunSeen)> {
    let density = GramPerMillilitre(1.03);
    let concentration = MolePerLitre(0.9);
    let (molar_mass, purity) = (GramPerMole(392.0), 0.99);
    let heater = Heater {
        voltage: Volt(12.0),
        current: Ampere(2.0),
        time: Second(60.0),
    };
    let portion = AmountBy::Portion {
        concentration,
        density,
    };
    let others = [
        None,
        Some(AmountBy::Liquid {
            concentration,
            density,
        }),
        Some(AmountBy::Weighed { molar_mass, purity }),
        Some(AmountBy::Stock {
            molar_mass,
            purity,
            flask: Millilitre(250.0),
            density,
        }),
    ];
    let mut all: Vec<_> = others
        .iter()
        .flat_map(|named| [AmountBy::Solid, portion].map(|by| leg(HeatKind::Reaction, by, *named)))
        .collect();
    all.push(leg(HeatKind::Electrical(heater), AmountBy::Solid, None));
    all.push(leg(HeatKind::HotWater, AmountBy::Solid, None));
    for at in 0..all.len() {
        for (water_heat, solid_in_mass, mean_temperature) in [
            (true, true, true),
            (false, false, false),
            (true, false, true),
        ] {
            let (mut tables, run) = all[at].clone();
            tables.reckoning = Reckoning {
                solid_in_mass,
                water_heat,
                mean_temperature,
            };
            all.push((tables, run));
        }
    }
    all
}

#[test]
fn slopes_of_both_steps_are_those_that_differences_find() {
    let constant = JoulePerKelvin(540.0);
    for method in methods() {
        for own in legs() {
            let (t, run) = &own;
            let of_constant = |t: &LegTables, r: &RunSeen| method.constant(t, r).0;
            let off = worst(&own, &of_constant, &method.constant_slopes(t, run));
            assert!(off < 1e-6, "constant, {method:?}, {own:?}: {off:e}");
            let of_enthalpy = |t: &LegTables, r: &RunSeen| method.enthalpy(t, constant, r).0;
            let off = worst(
                &own,
                &of_enthalpy,
                &method.enthalpy_slopes(t, constant, run),
            );
            assert!(off < 1e-6, "enthalpy, {method:?}, {own:?}: {off:e}");
        }
    }
}

#[test]
fn slopes_of_another_method_are_told_apart() {
    let own = leg(HeatKind::Reaction, AmountBy::Solid, None);
    let (t, run) = &own;
    let methods: Vec<Method> = methods().collect();
    let of_constant = |t: &LegTables, r: &RunSeen| methods[0].constant(t, r).0;
    let off = worst(&own, &of_constant, &methods[1].constant_slopes(t, run));
    assert!(off > 1e-3, "{off:e}");
}
