//! For the tests: what is really on a picture, as the rasteriser sees it.

use plotters::style::RGBColor;
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Group, Node, Paint, Text};

use super::Picture;
use super::geometry::Rect;
use super::ramp::lightness;

/// A picture in pixels, without its words unless they are asked for.
pub(super) struct Pixels {
    map: Pixmap,
}

/// The SVG document without its words.
fn bare(svg: &str) -> String {
    let mut rest = svg;
    let mut kept = String::new();
    while let Some(start) = rest.find("<text") {
        kept.push_str(&rest[..start]);
        let end = rest[start..].find("</text>").expect("words end");
        rest = &rest[start + end + "</text>".len()..];
    }
    kept + rest
}

impl Pixels {
    /// The picture without its words.
    pub fn bare(picture: &Picture) -> Self {
        let picture = Picture {
            svg: bare(&picture.svg),
        };
        Self::all(&picture)
    }

    /// The picture with its words.
    pub fn all(picture: &Picture) -> Self {
        let tree = picture.tree().expect("the SVG can be parsed");
        let size = tree.size().to_int_size();
        let mut map = Pixmap::new(size.width(), size.height()).expect("has an area");
        resvg::render(&tree, Transform::identity(), &mut map.as_mut());
        Self { map }
    }

    /// Lightness of a pixel, from 0 to 255.
    pub fn light(&self, x: f64, y: f64) -> f64 {
        let pixel = self.map.pixel(x as u32, y as u32).expect("on the sheet");
        lightness(RGBColor(pixel.red(), pixel.green(), pixel.blue()))
    }

    /// Lightness of the darkest and of the lightest pixel in an area.
    pub fn range(&self, area: Rect) -> (f64, f64) {
        let mut range = (255.0_f64, 0.0_f64);
        for y in area.top as u32..=area.bottom as u32 {
            for x in area.left as u32..=area.right as u32 {
                let light = self.light(f64::from(x), f64::from(y));
                range = (range.0.min(light), range.1.max(light));
            }
        }
        range
    }

    /// By how much the warmest pixel in an area has more red than blue.
    pub fn warmest(&self, area: Rect) -> f64 {
        let mut warmest = f64::NEG_INFINITY;
        for y in area.top as u32..=area.bottom as u32 {
            for x in area.left as u32..=area.right as u32 {
                let pixel = self.map.pixel(x, y).expect("on the sheet");
                warmest = warmest.max(f64::from(pixel.red()) - f64::from(pixel.blue()));
            }
        }
        warmest
    }

    /// Lightness of the darkest pixel in an area.
    pub fn darkest(&self, area: Rect) -> f64 {
        self.range(area).0
    }
}

/// The place of words, and how light they are.
fn place(text: &Text) -> (Rect, f64) {
    let b = text.abs_bounding_box();
    let [left, top, right, bottom] = [b.left(), b.top(), b.right(), b.bottom()].map(f64::from);
    let fill = text.chunks()[0].spans()[0].fill().map(|fill| fill.paint());
    let light = match fill {
        Some(Paint::Color(color)) => lightness(RGBColor(color.red, color.green, color.blue)),
        _ => panic!("words have a colour"),
    };
    (Rect::new(left, top, right, bottom), light)
}

fn collect(group: &Group, found: &mut Vec<(Rect, f64)>) {
    for node in group.children() {
        match node {
            Node::Group(inner) => collect(inner, found),
            Node::Text(text) => found.push(place(text)),
            _ => {}
        }
    }
}

/// The places of all words, and how light they are.
pub(super) fn words(picture: &Picture) -> Vec<(Rect, f64)> {
    let mut found = Vec::new();
    let tree = picture.tree().expect("the SVG can be parsed");
    collect(tree.root(), &mut found);
    found
}

/// A PNG of twice the nominal width.
pub(super) fn check_png(picture: &Picture) {
    let png = picture.png().expect("can be rasterised");
    assert!(png.starts_with(b"\x89PNG\r\n\x1a\n"));
    assert_eq!(png[16..20], 1800_u32.to_be_bytes());
}

/// Light words need a ground at least as dark as this.
const DARK: f64 = 145.0;

/// Words on the sheet, none over another, none of them dark over anything darker than `ground`,
/// and none of them light over anything light.
pub(super) fn check_words(picture: &Picture, ground: f64, name: &str) {
    assert!(!picture.svg.contains("NaN") && !picture.svg.contains("inf"));
    let size = picture.tree().expect("can be parsed").size();
    let sheet = Rect::new(0.0, 0.0, f64::from(size.width()), f64::from(size.height()));
    assert!(sheet.right == 900.0 && sheet.bottom >= 500.0, "{name}");
    let boxes = words(picture);
    assert!(boxes.len() > 5, "{name}: text has got lost");
    let pixels = Pixels::bare(picture);
    for (index, (own, light)) in boxes.iter().enumerate() {
        let inside = sheet.holds((own.left, own.top)) && sheet.holds((own.right, own.bottom));
        assert!(inside, "{name}: cut off at {own:?}");
        for (other, _) in &boxes[..index] {
            let apart = own.right <= other.left
                || other.right <= own.left
                || own.bottom <= other.top
                || other.bottom <= own.top;
            assert!(apart, "{name}: {own:?} covers {other:?}");
        }
        let below = pixels.range(own.grown(-1.5));
        let legible = if *light > 160.0 {
            below.1 <= DARK
        } else {
            below.0 >= ground
        };
        assert!(legible, "{name}: {own:?} stands on {below:?}");
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A sheet with a dark square and several words, the last of them at the given place.
    fn sheet(x: u32) -> Picture {
        let word = |x: u32, y: u32| {
            format!(
                r#"<text x="{x}" y="{y}" font-family="DejaVu Sans" font-size="200">words</text>"#
            )
        };
        let words: String = (1..6).map(|row| word(1000, 500 * row)).collect();
        Picture {
            svg: format!(
                r#"<svg width="900" height="560" viewBox="0 0 9000 5600"
                    xmlns="http://www.w3.org/2000/svg">
                    <rect width="9000" height="5600" fill="white"/>
                    <rect x="4000" y="900" width="200" height="200" fill="black"/>{words}{}
                    </svg>"#,
                word(x, 1000)
            ),
        }
    }

    #[test]
    fn words_are_cut_out_and_found() {
        let picture = sheet(3000);
        let places = words(&picture);
        assert_eq!(places.len(), 6);
        for (place, light) in places {
            assert!(light < 1.0);
            assert!(Pixels::all(&picture).darkest(place) < 100.0);
            assert!(Pixels::bare(&picture).darkest(place) > 250.0);
        }
        assert!(Pixels::bare(&picture).light(410.0, 100.0) < 5.0);
        check_words(&picture, 165.0, "free");
    }

    #[test]
    #[should_panic(expected = "covers")]
    fn words_over_words_are_seen() {
        check_words(&sheet(1100), 165.0, "doubled");
    }

    #[test]
    #[should_panic(expected = "stands on")]
    fn words_over_ink_are_seen() {
        check_words(&sheet(3900), 165.0, "on the square");
    }

    #[test]
    #[should_panic(expected = "cut off")]
    fn words_beyond_the_sheet_are_seen() {
        check_words(&sheet(8800), 165.0, "beyond");
    }
}
