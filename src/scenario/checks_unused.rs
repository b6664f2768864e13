//! What a scenario says that nothing asks for.

use super::build::Builder;
use super::build_leg::LegKind;
use super::leg::LawOfDissolving;
use super::problem::Problem;

/// Keys that say something which nothing asks for.
pub(super) fn unused(b: &mut Builder, leg: &str, law: LawOfDissolving, kind: LegKind) {
    let mut idle: Vec<(&str, &str, &str, &str)> = Vec::new();
    let stated = |b: &Builder, name| b.find(leg, "dissolving", name).is_some();
    if law == LawOfDissolving::Instant {
        let hint = "state `law = \"cube root\"` or `law = \"first order\"`";
        for name in ["time", "rate"] {
            idle.push((
                "dissolving",
                name,
                "not used: the solid dissolves at once",
                hint,
            ));
        }
    } else if stated(b, "time") {
        idle.push((
            "dissolving",
            "rate",
            "not used: `time` is stated",
            "keep one of them",
        ));
    }
    let stated = |name| b.find(leg, "liquid", name).is_some();
    if stated("mass") && !stated("volume") {
        let hint = "leave it out, or state `volume` instead of `mass`";
        idle.push((
            "liquid",
            "device",
            "not used: the liquid is weighed in",
            hint,
        ));
    } else if stated("volume") {
        let hint = "leave it out, or state `mass` instead of `volume`";
        idle.push((
            "liquid",
            "balance",
            "not used: the liquid is not weighed",
            hint,
        ));
    }
    idle.extend(of_other_kinds(b, leg, kind));
    for (site, name, message, hint) in idle {
        if let Some(found) = b.find(leg, site, name) {
            let problem = Problem::warning(&found.path, message).hint(hint);
            b.problem(problem.at(found.entry.span));
        }
    }
}

/// Keys that belong to another kind of charge or calibration.
fn of_other_kinds(
    b: &mut Builder,
    leg: &str,
    kind: LegKind,
) -> Vec<(&'static str, &'static str, &'static str, &'static str)> {
    let mut idle = Vec::new();
    let leave = "leave it out";
    if kind != LegKind::Electrical {
        let hint = "state `kind = \"electrical\"` for a calibration by a heater";
        for name in ["voltage", "current", "time", "lead_loss"] {
            idle.push(("electrical", name, "not used: no heater calibrates", hint));
        }
    }
    if kind != LegKind::HotWater {
        let hint = "state `kind = \"hot and cold water\"` for a calibration by hot water";
        for name in [
            "hot",
            "cold",
            "volume",
            "device",
            "tolerance",
            "repeatability",
            "pouring_loss",
        ] {
            idle.push(("water", name, "not used: no hot water calibrates", hint));
        }
    }
    if kind != LegKind::Reaction {
        // What stands at the top of the file serves the other legs.
        let own = |b: &Builder, name| b.doc.entries.contains_key(&format!("{leg}.{name}"));
        if kind == LegKind::HotWater && own(b, "vessel.start_difference") {
            let message = "not used: `water.cold` is the temperature at the start";
            idle.push(("vessel", "start_difference", message, leave));
        }
        for (site, name, path) in [
            ("reaction", "use", "reaction.use"),
            ("charge", "mass", "charge.mass"),
            ("charge", "portion", "charge.portion"),
            ("dissolving", "law", "dissolving.law"),
        ] {
            if own(b, path) {
                idle.push((site, name, "not used: no reaction calibrates", leave));
            }
        }
        return idle;
    }
    let word = b.choice(leg, "charge", "kind");
    let solid = matches!(
        b.choice(leg, "dissolving", "law").as_deref(),
        Some("cube root" | "first order")
    );
    let portion =
        "charge.kind is \"dissolved beforehand\" or \"liquid portion\" where there is one";
    match word.as_deref() {
        Some("dissolved beforehand") => {}
        Some("liquid portion") => {
            let message = "not used: the reagent comes as a liquid";
            for name in [
                "mass",
                "window",
                "wait",
                "purity",
                "label_purity",
                "spill",
                "transfer_loss",
            ] {
                idle.push(("charge", name, message, leave));
            }
        }
        _ => {
            for name in [
                "portion",
                "portion_liquid",
                "portion_device",
                "portion_tolerance",
                "portion_repeatability",
                "wait",
                "start_difference",
                "concentration",
            ] {
                idle.push((
                    "charge",
                    name,
                    "not used: no portion enters the vessel",
                    portion,
                ));
            }
            if solid && let Some(m) = b.find(leg, "dissolving", "mixing_time") {
                b.problem(
                    Problem::error(
                        &m.path,
                        "a solid that dissolves has no mixing time of its own",
                    )
                    .hint("state it with law = \"instant\", for what is dissolved already")
                    .at(m.entry.span),
                );
            }
        }
    }
    idle
}
