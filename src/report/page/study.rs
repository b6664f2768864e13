//! A study of two numbers to be looked up on the page: a slider for each, all values worked out before.

use crate::design::{Outcome, Sweep, SweepPoint, Vary};
use crate::report::document::{Cell, Kind, NONE, PERCENT};
use crate::report::render::escaped;
use crate::report::sweep::words::axis;
use crate::stats::Estimate;
use serde_json::json;
use std::fmt::Write;

/// A study of two numbers.
#[derive(Debug, Clone)]
pub struct Study(pub Sweep);

type Of = fn(&Outcome) -> Estimate;

/// What is shown of a point, in % of the result.
const NAMES: [(&str, Of); 5] = [
    ("spread", |o| o.relative(o.errors.spread)),
    ("bias", Outcome::relative_bias),
    ("RMS error", |o| o.relative(o.errors.rms)),
    ("95 % of results within", |o| o.relative(o.errors.within)),
    ("results in the band", |o| {
        o.in_band.unwrap_or(Estimate::undefined())
    }),
];

impl Study {
    /// The two numbers that vary.
    fn vary(&self) -> Option<[&Vary; 2]> {
        let [x, y] = self.0.vary.as_slice() else {
            return None;
        };
        Some([x, y])
    }

    /// Two sliders, what they find, and the values behind them.
    pub fn html(&self) -> String {
        let Some(vary) = self.vary() else {
            return String::new();
        };
        let mut out =
            String::from("<div class=\"try\" id=\"try\" hidden>\n<h3>Look up runs and mass</h3>\n");
        let mut axes = Vec::new();
        for (i, v) in vary.into_iter().enumerate() {
            let (at, name) = (v.axis().0, escaped(&axis(v)));
            let now = v.on_axis(v.parameter.now);
            let nearest = |a: &(usize, &f64), b: &(usize, &f64)| {
                (a.1 - now).abs().total_cmp(&(b.1 - now).abs())
            };
            let start = at.iter().enumerate().min_by(nearest).map_or(0, |(i, _)| i);
            let _ = writeln!(
                out,
                "<label for=\"axis-{i}\">{name}: <output id=\"at-{i}\"></output></label>\
                 <input id=\"axis-{i}\" type=\"range\" min=\"0\" max=\"{}\" step=\"1\" value=\"{start}\">",
                at.len() - 1
            );
            let shown: Vec<String> = at
                .iter()
                .map(|x| Cell::figures(*x, 4).shown(Kind::Number, &NONE))
                .collect();
            axes.push(json!({ "shown": shown, "at": at }));
        }
        out.push_str("<p id=\"bounds\"></p>\n<table><thead><tr><th scope=\"col\">of the result</th><th scope=\"col\" class=\"n\">%</th></tr></thead><tbody>\n");
        for (i, (name, _)) in NAMES.iter().enumerate() {
            let _ = writeln!(
                out,
                "<tr><td>{name}</td><td class=\"n\" id=\"of-{i}\"></td></tr>"
            );
        }
        out.push_str("</tbody></table></div>\n");
        let data = json!({
            "axes": axes,
            "names": NAMES.map(|n| n.0),
            "cells": self.0.points.iter().map(cell).collect::<Vec<_>>(),
        });
        // A closing tag inside of a text would end the script.
        let data = data.to_string().replace("</", "<\\/");
        let _ = writeln!(
            out,
            "<script type=\"application/json\" id=\"study\">{data}</script>"
        );
        out
    }
}

fn cell(p: &SweepPoint) -> serde_json::Value {
    let of = |f: &Of| match &p.outcome {
        Some(o) => Cell::estimate(f(o)).shown(Kind::Estimate, &PERCENT),
        None => "-".to_owned(),
    };
    let bounds: Vec<&str> = p.zones.iter().map(|z| z.words.as_str()).collect();
    json!({
        "shown": NAMES.each_ref().map(|n| of(&n.1)),
        "bounds": if bounds.is_empty() { String::new() } else { format!("Out of bounds: {}", bounds.join("; ")) },
    })
}
