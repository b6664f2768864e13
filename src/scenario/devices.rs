//! Devices of a leg beside the one that fills the vessel: what measures out a portion or hot water, and flasks of stocks.

use super::bind_sets::device_keys;
use super::chemistry::{Heat, Supply};
use super::document::Document;
use super::leg::{Binding, Leg};
use super::source::SourceId;

impl Leg {
    /// Keys under which a scenario states the error `id` of volumes that such devices measure out, with what is bound
    /// there; none for errors of other kinds, and none where there is no error.
    pub fn of_devices(&self, doc: &Document, id: SourceId) -> Vec<(String, &Binding)> {
        let which = match id {
            SourceId::Tolerance => 0,
            SourceId::Filling => 1,
            _ => return Vec::new(),
        };
        let key = |site: &str| {
            let own = format!("{}.{site}", self.name);
            // A stock that legs share is stated once.
            let table = if site == "stock" && !doc.has_table(&own) {
                site
            } else {
                &own
            };
            format!("{table}.{}", device_keys(site)[which])
        };
        let site = match self.heat {
            Heat::HotWater { .. } => "water",
            Heat::Reaction | Heat::Electrical(_) => "charge",
        };
        let portion = self
            .portion
            .iter()
            .map(|p| (key(site), &p.bindings[id as usize]));
        let stocks = self.reagents.iter().filter_map(|r| match &r.supply {
            Supply::InStock(s) => Some((key("stock"), &s.bindings[id as usize])),
            _ => None,
        });
        let all = portion.chain(stocks);
        all.filter(|(_, b)| !b.input.is_exact()).collect()
    }

    /// Whether a balance has anything to do here.
    pub(super) fn weighs(&self) -> bool {
        let solid = |s: &Supply| matches!(s, Supply::InStock(_) | Supply::Weighed(_));
        self.mass.0 > 0.0
            || self.liquid_balance.is_some()
            || self.reagents.iter().any(|r| solid(&r.supply))
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Document, Raw, Scenario, read, shipped};
    use super::*;

    fn read_in(name: &str) -> Scenario {
        read(shipped(name).unwrap()).unwrap()
    }

    fn keys(leg: &Leg, doc: &Document) -> Vec<String> {
        let found = leg.of_devices(doc, SourceId::Tolerance);
        found.into_iter().map(|(key, _)| key).collect()
    }

    #[test]
    fn every_further_device_has_keys_that_reach_it_and_nothing_else() {
        let s = read_in("permanganate-iron-dewar");
        let doc = s.document();
        let due = [
            "determination.charge.portion_tolerance",
            "determination.stock.tolerance",
        ];
        assert_eq!(keys(&s.determination, &doc), due);
        let hot = read_in("copper-sulfate-hydration");
        let due = ["calibration.water.tolerance"];
        assert_eq!(keys(&hot.calibration, &hot.document()), due);
        for key in keys(&s.determination, &doc) {
            let set = [(key.clone(), Raw::Text("0.5 mL rectangular".to_owned()))];
            let changed = s.changed(&set).unwrap();
            let of = |s: &Scenario| -> Vec<String> {
                let all = s.determination.all_bindings(SourceId::Tolerance);
                all.iter().map(|b| b.stated.clone()).collect()
            };
            let (before, after) = (of(&s), of(&changed));
            let moved = before.iter().zip(&after).filter(|(a, b)| a != b).count();
            assert_eq!(moved, 1, "{key}: {before:?} {after:?}");
        }
    }

    #[test]
    fn an_error_as_large_as_its_volume_is_refused() {
        let s = read_in("permanganate-iron-dewar");
        for (key, text) in [
            ("liquid.tolerance", "200 mL rectangular"),
            (
                "determination.charge.portion_tolerance",
                "20 mL rectangular",
            ),
            ("determination.stock.repeatability", "u = 90 mL"),
        ] {
            let said = s.changed(&[(key.to_owned(), Raw::Text(text.to_owned()))]);
            let words = format!("{:?}", said.err());
            assert!(words.contains("as large as the volume"), "{key}: {words}");
        }
    }

    #[test]
    fn a_balance_does_nothing_where_nothing_is_weighed() {
        let s = read_in("neutralisation-mug");
        assert!(!s.calibration.weighs() && !s.determination.weighs());
        assert!(!s.determination.errs(SourceId::Linearity));
        let p = read_in("permanganate-iron-dewar");
        assert!(p.determination.errs(SourceId::Linearity));
    }
}
