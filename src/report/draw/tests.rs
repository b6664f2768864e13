//! What a reader relies on, for figures of odd data: words stay on the sheet and apart from each other, numbers are numbers,
//! looks differ in grey, and the same figure gives the same picture.

use super::geometry::Rect;
use super::layout::sheet;
use super::samples::{all, curves, framed, rows};
use super::*;
use crate::report::figure::{Mark, Panel};

#[test]
fn words_stay_on_the_sheet_and_apart() {
    for figure in all() {
        let drawn = sheet(&figure).expect("it can be drawn");
        let svg = &drawn.picture.svg;
        let tall = svg
            .split("height=\"")
            .nth(1)
            .and_then(|s| s.split('"').next());
        let tall: f64 = tall.and_then(|s| s.parse().ok()).expect("a height");
        let page = Rect::new(0.0, 0.0, style::WIDTH, tall);
        for (i, (area, words)) in drawn.words.iter().enumerate() {
            let kept = page.holds((area.left, area.top)) && page.holds((area.right, area.bottom));
            assert!(kept, "{}: `{words}` at {area:?}", figure.name);
            // Letters, without the room above and below them.
            let letters =
                |a: &Rect| Rect::new(a.left + 0.5, a.top + 2.5, a.right - 0.5, a.bottom - 3.0);
            for (other, others) in &drawn.words[..i] {
                let clash = letters(area).meets(&letters(other));
                assert!(
                    !clash,
                    "{}: `{words}` on `{others}`: {area:?} {other:?}",
                    figure.name
                );
            }
        }
    }
}

#[test]
fn pictures_are_well_formed_and_the_same_each_time() {
    for figure in all() {
        let picture = draw(&figure).expect("it can be drawn");
        assert_eq!(picture, draw(&figure).expect("it can be drawn again"));
        for word in ["NaN", "inf"] {
            assert!(
                !picture.svg.contains(&format!("\"{word}")),
                "{} in {}",
                word,
                figure.name
            );
        }
        let head = r#"role="img""#;
        assert!(picture.svg[..300].contains(head) && picture.svg.contains("<desc>A picture of"));
    }
    // One through the whole way: the document is sound XML, and has pixels.
    let png = draw(&all()[1]).and_then(|picture| picture.png());
    assert!(png.expect("it can be rasterised").starts_with(b"\x89PNG"));
}

#[test]
fn what_has_no_value_is_no_picture() {
    let rows = rows(&[f64::NAN, f64::INFINITY]);
    for panels in [Vec::new(), vec![Panel::default()], vec![rows]] {
        assert!(matches!(
            draw(&framed("empty", panels)),
            Err(ChartError::NoData)
        ));
    }
    let without = pictures(&[
        framed("empty", Vec::new()),
        framed("some", vec![curves(&[1.0, 2.0])]),
    ]);
    assert_eq!(without.expect("one picture").len(), 1);
}

#[test]
fn a_point_beyond_the_scale_leaves_an_arrow() {
    let mut panel = curves(&[1.0, 1.2, 1.0, 1.1]);
    panel.marks.retain(|mark| matches!(mark, Mark::Series(_)));
    panel.marks.truncate(1);
    let heads = |panel: &Panel| {
        let picture = draw(&framed("far", vec![panel.clone()])).expect("it can be drawn");
        picture.svg.matches("<polygon").count()
    };
    let calm = heads(&panel);
    if let Mark::Series(series) = &mut panel.marks[0] {
        series.points[2].y = 1e6;
    }
    assert_eq!(heads(&panel), calm + 1);
}

#[test]
#[ignore = "writes pictures of odd data to the folder named by JOULECAST_LOOK"]
fn look() {
    let folder = std::env::var_os("JOULECAST_LOOK").expect("a folder");
    for (i, figure) in all().iter().enumerate() {
        let png = draw(figure).and_then(|picture| picture.png());
        let name = format!("{i:02}-{}.png", figure.name);
        std::fs::write(
            std::path::Path::new(&folder).join(name),
            png.expect("a picture"),
        )
        .expect("a file");
    }
}
