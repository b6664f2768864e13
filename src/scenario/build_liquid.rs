//! How a liquid is measured out.

use super::build::Builder;
use super::entries::LegEntries;
use super::leg::LiquidBy;
use super::problem::Problem;
use super::wording::short;
use crate::library::{GlassKind, Glassware};
use crate::quantity::{Dimension, Gram, Millilitre, PerKelvin};

/// How the liquid of the vessel is measured out.
pub(super) fn liquid_by(b: &mut Builder, leg: &str, entries: &LegEntries) -> Option<LiquidBy> {
    let volume = b.positive(leg, "liquid", "volume", Dimension::Volume);
    let weighed = b.positive(leg, "liquid", "mass", Dimension::Mass);
    if let Some(mass) = weighed {
        if let (Some(_), Some(found)) = (volume, b.find(leg, "liquid", "volume")) {
            b.problem(
                Problem::error(&found.path, "the liquid is stated by volume and by mass")
                    .hint("keep one of `volume` (delivered) and `mass` (weighed in)")
                    .at(found.entry.span),
            );
        }
        return Some(LiquidBy::Weighed {
            nominal: Gram(mass),
        });
    }
    let Some(volume) = volume else {
        if b.find(leg, "liquid", "volume").is_none() && b.find(leg, "liquid", "mass").is_none() {
            b.missing(&format!("{leg}.liquid.volume"));
        }
        return None;
    };
    let expansion = b.size(leg, "liquid", "expansion", Dimension::Expansion);
    delivered(
        b,
        (leg, "liquid", "volume"),
        volume,
        (entries.device, expansion),
    )
}

/// A volume by a device, in as many fillings as it takes.
pub(super) fn delivered(
    b: &mut Builder,
    key: (&str, &str, &str),
    volume: f64,
    (device, expansion): (Option<&Glassware>, Option<f64>),
) -> Option<LiquidBy> {
    let fillings = fillings(b, key, volume, device)?;
    let of_glass = device.map(|d| d.expansion.value);
    Some(LiquidBy::Volume {
        nominal: Millilitre(volume),
        fillings,
        expansion: PerKelvin(expansion.or(of_glass).unwrap_or(0.0)),
    })
}

/// How often the device is filled: a one-mark device delivers whole fillings only.
fn fillings(
    b: &mut Builder,
    (leg, site, name): (&str, &str, &str),
    volume: f64,
    device: Option<&Glassware>,
) -> Option<u32> {
    let Some(device) = device else {
        return Some(1);
    };
    let times = volume / device.nominal;
    let whole = times.round();
    let (message, hint) = if times > MOST_FILLINGS {
        (
            format!(
                "{} fillings of a {} mL device",
                short(times.ceil()),
                device.nominal
            ),
            "choose a larger device, or less liquid",
        )
    } else if (times - whole).abs() < 1e-9 && whole >= 1.0 {
        return Some(whole as u32);
    } else if matches!(device.kind, GlassKind::OneMarkPipette | GlassKind::Flask) {
        (
            format!(
                "{} mL is not a whole number of fillings of a {} mL one-mark device",
                short(volume),
                device.nominal
            ),
            "choose a multiple, or a graduated device",
        )
    } else {
        return Some(times.ceil() as u32);
    };
    let found = b.find(leg, site, name)?;
    b.refuse(found, message, hint);
    None
}

/// Most fillings of a device: more would be a mistyped volume.
const MOST_FILLINGS: f64 = 1000.0;
