//! For the tests: what is really on a picture, as the rasteriser sees it.

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Group, Node, Rect as Box};

use super::Picture;
use super::geometry::Rect;

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
        0.299 * f64::from(pixel.red())
            + 0.587 * f64::from(pixel.green())
            + 0.114 * f64::from(pixel.blue())
    }

    /// Lightness of the darkest pixel in an area.
    pub fn darkest(&self, area: Rect) -> f64 {
        let mut darkest = 255.0_f64;
        for y in area.top as u32..=area.bottom as u32 {
            for x in area.left as u32..=area.right as u32 {
                darkest = darkest.min(self.light(f64::from(x), f64::from(y)));
            }
        }
        darkest
    }
}

fn text_boxes(group: &Group, found: &mut Vec<Box>) {
    for node in group.children() {
        match node {
            Node::Group(inner) => text_boxes(inner, found),
            Node::Text(text) => found.push(text.abs_bounding_box()),
            _ => {}
        }
    }
}

/// The places of all words.
pub(super) fn words(picture: &Picture) -> Vec<Rect> {
    let tree = picture.tree().expect("the SVG can be parsed");
    let mut boxes = Vec::new();
    text_boxes(tree.root(), &mut boxes);
    let own = |b: &Box| [b.left(), b.top(), b.right(), b.bottom()].map(f64::from);
    boxes
        .iter()
        .map(own)
        .map(|[left, top, right, bottom]| Rect::new(left, top, right, bottom))
        .collect()
}

/// Words on the sheet, none over another, and none over anything darker than `ground`.
pub(super) fn check_words(picture: &Picture, ground: f64, name: &str) {
    assert!(!picture.svg.contains("NaN") && !picture.svg.contains("inf"));
    let png = picture.png().expect("can be rasterised");
    assert!(png.starts_with(b"\x89PNG\r\n\x1a\n"), "{name}");
    let size = picture.tree().expect("can be parsed").size();
    let sheet = Rect::new(0.0, 0.0, f64::from(size.width()), f64::from(size.height()));
    assert!(sheet.right == 900.0 && sheet.bottom >= 500.0, "{name}");
    let boxes = words(picture);
    assert!(boxes.len() > 5, "{name}: text has got lost");
    let pixels = Pixels::bare(picture);
    for (index, own) in boxes.iter().enumerate() {
        let inside = sheet.holds((own.left, own.top)) && sheet.holds((own.right, own.bottom));
        assert!(inside, "{name}: cut off at {own:?}");
        for other in &boxes[..index] {
            let apart = own.right <= other.left
                || other.right <= own.left
                || own.bottom <= other.top
                || other.bottom <= own.top;
            assert!(apart, "{name}: {own:?} covers {other:?}");
        }
        let below = pixels.darkest(own.grown(-1.5));
        assert!(below >= ground, "{name}: {own:?} stands on {below}");
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
        for place in places {
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
