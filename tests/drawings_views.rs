//! Views of solved roofs: elevations, section, isometric, net, construction. Lettering never overlaps; measures read back.
#![allow(clippy::unwrap_used, clippy::expect_used)]

#[path = "drawings/support.rs"]
mod support;

use eavewright::base::polygon;
use eavewright::drawing::board::faults;
use eavewright::drawing::body::Body;
use eavewright::drawing::construction::Construction;
use eavewright::drawing::elevation::{Elevations, Isometric, Section};
use eavewright::drawing::hidden::{Look, edges};
use eavewright::drawing::net::Net;
use eavewright::drawing::{Drawing, Figure, Item, Pen, Tone, cut, figure, number_pages};
use eavewright::roof::EdgeKind;
use eavewright::write::svg::{Setting, svg};
use nalgebra::Vector2;
use support::{context, examples};

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
}

#[test]
fn construction_of_every_example_is_clean() {
    for (title, roof) in examples() {
        drawn(&Construction::new(&roof, &context(title)).unwrap(), title);
    }
}

#[test]
fn cutting_drawings_are_clean_and_alike_ones_are_drawn_once() {
    for (title, roof) in examples() {
        let framing = eavewright::framing::cutting_data(&roof);
        let groups = cut::groups(&framing.folds);
        assert!(groups.len() <= framing.folds.len());
        for group in &groups {
            drawn(group, title);
        }
        if title == "store" {
            // Two hips at the 35/35 corners are alike, two at the 35/45 ones.
            assert_eq!((framing.folds.len(), groups.len()), (4, 2));
        }
    }
}

#[test]
fn the_net_keeps_every_area_and_its_edges_pair_up() {
    for (title, roof) in examples() {
        let body = Body::of(&roof, 0.0);
        let net = Net::of(&roof, &body);
        assert_eq!(net.laid.len(), body.flats.len(), "{title}");
        // Every polygon keeps the area it has in space.
        for (laid, flat) in net.laid.iter().zip(&body.flats) {
            let signed = |ring: &Vec<nalgebra::Point2<f64>>| polygon::signed_area(ring);
            let area: f64 = laid.rings.iter().map(signed).sum();
            let expected: f64 = match flat.face {
                Some(id) => roof.area(&roof.faces[id.index()]).0,
                None => {
                    let rings = flat.rings.iter().map(|ring| polygon::vector_area(&body.ring(ring)).dot(&flat.normal));
                    rings.sum()
                }
            };
            assert!((area - expected).abs() < 1e-9 * expected, "{title}: {area} for {expected}");
        }
        // Edges that meet are of one length, and every edge of the closed body has its partner.
        assert_eq!(net.pairs.len(), body.folds.len(), "{title}");
        for pair in &net.pairs {
            let [a, b] = pair.edges.map(|edge| (edge[1] - edge[0]).norm());
            let [from, to] = body.folds[pair.fold].ends.map(|at| body.places[at]);
            assert!((a - b).abs() < 1e-9 && (a - (to - from).norm()).abs() < 1e-9, "{title}");
        }
        // A net of n polygons in p pieces has n - p polygons joined to an earlier one, each along one straight line.
        let pieces = net.laid.iter().map(|laid| laid.piece).max().unwrap() + 1;
        assert!(net.pairs.iter().filter(|pair| pair.folded).count() >= net.laid.len() - pieces, "{title}");
        // The pages: their shapes at their scale add up to the same areas.
        let page = &drawn(&net, title)[0];
        let factor = page.view.unwrap().factor;
        let drawn: f64 = page
            .items
            .iter()
            .filter_map(|item| match item {
                Item::Area { tone: Tone::Shape, rings } => {
                    Some(rings.iter().map(|ring| polygon::signed_area(ring)).sum::<f64>())
                }
                _ => None,
            })
            .sum();
        let whole: f64 = net.laid.iter().flat_map(|laid| &laid.rings).map(|ring| polygon::signed_area(ring)).sum();
        assert!((drawn / factor / factor - whole).abs() < 1e-9 * whole, "{title}");
    }
}
