//! Views of solved roofs: elevations, section, isometric, net, construction. Lettering never overlaps; measures read back.
#![allow(clippy::unwrap_used, clippy::expect_used)]

#[path = "drawings/support.rs"]
mod support;

use eavewright::drawing::board::faults;
use eavewright::drawing::body::Body;
use eavewright::drawing::elevation::{Elevations, Isometric, Section};
use eavewright::drawing::hidden::{Look, edges};
use eavewright::drawing::{Drawing, Figure, Pen, figure, number_pages};
use eavewright::roof::EdgeKind;
use eavewright::write::svg::{Setting, svg};
use nalgebra::Vector2;
use support::{context, examples, hip};

fn drawn(figure: &dyn Figure, title: &str) -> Vec<Drawing> {
    let mut pages = figure::pages(figure, &context(title));
    number_pages(&mut pages);
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("drawings");
    std::fs::create_dir_all(&folder).unwrap();
    for page in &pages {
        std::fs::write(folder.join(format!("{title}-{}.svg", page.name)), svg(page, Setting::Document)).unwrap();
        assert_eq!(faults(page), Vec::<String>::new(), "{title} {}", page.name);
    }
    assert!(!pages.is_empty(), "{title}");
    pages
}

#[test]
fn views_of_every_example_are_clean() {
    for (title, roof) in examples() {
        let context = context(title);
        let body = Body::of(&roof, 0.0);
        drawn(&Elevations::new(&roof, &body, &context, 0.0), title);
        drawn(&Section::new(&roof, &body, &context).unwrap(), title);
        drawn(&Isometric::new(&roof, &body, &context), title);
    }
}

#[test]
fn a_closed_body_has_every_edge_twice_and_obeys_euler() {
    for (title, roof) in examples() {
        let body = Body::of(&roof, 0.0);
        assert!(body.folds.iter().all(|fold| fold.flats[1].is_some()), "{title}");
        let used: std::collections::BTreeSet<usize> = body.folds.iter().flat_map(|fold| fold.ends).collect();
        let count = |n: usize| i64::try_from(n).unwrap();
        assert_eq!(count(used.len()) - count(body.folds.len()) + count(body.flats.len()), 2, "{title}");
    }
}

#[test]
fn the_front_hides_the_back() {
    // A hip seen from the front: eave, ridge, two hips and the front wall are seen; the back eave and hips are not.
    let roof = support::solved(
        "s",
        2.4,
        &[
            ([0.0, 0.0], support::eave(35.0)),
            ([9.2, 0.0], support::eave(35.0)),
            ([9.2, 5.6], support::eave(35.0)),
            ([0.0, 5.6], support::eave(35.0)),
        ],
    );
    let body = Body::of(&roof, 0.0);
    let seen = edges(&body, &Look::level(Vector2::new(0.0, -1.0)), None);
    let length = |kind: EdgeKind| -> f64 {
        let pieces = seen.iter().filter(|piece| piece.visible && piece.pen == Pen::Edge(kind));
        pieces.map(|piece| (piece.ends[1] - piece.ends[0]).norm()).sum()
    };
    assert!((length(EdgeKind::Ridge) - 3.6).abs() < 1e-4);
    assert!((length(EdgeKind::Eave) - 9.2).abs() < 1e-4, "{}", length(EdgeKind::Eave));
    let rise = 2.8 * 35f64.to_radians().tan();
    assert!((length(EdgeKind::Hip) - 2.0 * 2.8f64.hypot(rise)).abs() < 1e-4);
    let _ = hip;
}
