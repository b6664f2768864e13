//! The file to fill in, for every shipped scenario.

use super::scenario;
use crate::measured::{Names, RunColumn as C, TemplateForm, read_runs, template};
use crate::scenario::{Charge, Heat, LiquidBy, Record, shipped_names};

#[test]
fn a_template_reads_back_with_the_targets_of_every_scenario() {
    for name in shipped_names() {
        let own = scenario(name);
        for (decimal_comma, all_columns) in [(false, false), (true, false), (false, true)] {
            let form = TemplateForm {
                decimal_comma,
                all_columns,
            };
            let text = template(&own, form);
            let has = |column: C| {
                text.lines()
                    .next()
                    .is_some_and(|l| l.contains(column.entry().key))
            };
            assert_eq!(has(C::Change) && has(C::Mixing), all_columns, "{name}");
            let sheet = read_runs("t.csv", text.as_bytes(), &own, &Names::of(&own))
                .unwrap_or_else(|p| panic!("{name}: {}\n{text}", p[0]));
            assert_eq!(sheet.ignored, Vec::<String>::new(), "{name}");
            let legs: Vec<_> = own.legs().into_iter().filter(|leg| leg.runs > 0).collect();
            assert_eq!(sheet.rows.len(), legs.len(), "{name}");
            for (row, leg) in sheet.rows.iter().zip(legs) {
                assert_eq!(row.leg, leg.place as usize, "{name}");
                let near = |c: C, x: f64| {
                    let read = row.value(c).unwrap_or_else(|| panic!("{name}: {c:?}"));
                    assert!((read - x).abs() < 0.006, "{name}: {c:?} {read} {x}");
                };
                if leg.heat == Heat::Reaction && !matches!(leg.charge, Charge::Liquid { .. }) {
                    near(C::Solid, leg.mass_of(0).0);
                }
                match leg.liquid_by {
                    LiquidBy::Volume { nominal, .. } => near(C::LiquidVolume, nominal.0),
                    LiquidBy::Weighed { nominal } => near(C::Liquid, nominal.0),
                }
                if leg.portion.is_some() {
                    near(C::PortionVolume, leg.portion_volume().0);
                }
                match leg.record {
                    Record::TwoReadings { .. } => {
                        let [a, b] = [C::Initial, C::Final].map(|c| row.value(c).unwrap());
                        assert!(
                            (b - a - leg.nominal_change(&own.room).0).abs() < 0.011,
                            "{name}"
                        );
                    }
                    Record::Trace { .. } => assert!(row.record.is_some(), "{name}"),
                }
                assert_eq!(row.remark.as_deref(), Some("example, replace"));
            }
        }
    }
}

#[test]
fn the_template_of_one_scenario_stands_as_it_is() {
    let text = template(
        &scenario("ammonium-chloride-dewar"),
        TemplateForm {
            decimal_comma: true,
            all_columns: false,
        },
    );
    let expected = "\
run;kind;solid_gross [g];solid_tare [g];liquid_volume [mL];room [°C];record;mixed_at [s];counts;remark
1;calibration;3,2500;2,5000;150,00;21,50;run-1.csv;180;yes;example, replace
2;determination;4,1000;2,5000;150,00;21,50;run-2.csv;180;yes;example, replace
";
    assert_eq!(text, expected);
}
