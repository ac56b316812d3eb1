//! Views of solved roofs: elevations, section, isometric, net, construction. Lettering never overlaps; measures read back.

use super::by_hand;
use by_hand::{context, examples};
use eavewright::base::polygon;
use eavewright::drawing::typeset::board::faults;
use eavewright::drawing::typeset::figure;
use eavewright::drawing::typeset::paper::PaperSize;
use eavewright::drawing::views::body::Body;
use eavewright::drawing::views::construction::Construction;
use eavewright::drawing::views::cut;
use eavewright::drawing::views::elevation::{Elevations, Isometric};
use eavewright::drawing::views::hidden::{Look, edges};
use eavewright::drawing::views::net::Net;
use eavewright::drawing::views::net_sheets::NetSheets;
use eavewright::drawing::views::section::Section;
use eavewright::drawing::{Context, Drawing, Figure, Item, Pen, Tone, number_pages};
use eavewright::job::Answer;
use eavewright::roof::EdgeKind;
use eavewright::write::svg::{Setting, svg};
use nalgebra::Vector2;

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
        let answer = Answer::of_roof(roof.clone());
        drawn(&Elevations::new(&answer, &body, &context), title);
        drawn(&Section::new(&answer, &body, &context).unwrap(), title);
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
    let roof = by_hand::solved(
        "s",
        2.4,
        &[
            ([0.0, 0.0], by_hand::eave(35.0)),
            ([9.2, 0.0], by_hand::eave(35.0)),
            ([9.2, 5.6], by_hand::eave(35.0)),
            ([0.0, 5.6], by_hand::eave(35.0)),
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
            let page = &drawn(group, title)[0];
            // What it is cut to is always told.
            for what in ["run ", "rise ", " mm)"] {
                assert!(page.texts().any(|text| text.words.contains(what)), "{title} {}: {what}", page.name);
            }
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
    }
}

/// Area of the shapes on a page, square millimetres.
fn shapes(page: &Drawing) -> f64 {
    let area = |item: &Item| match item {
        Item::Area { tone: Tone::Shape, rings } => rings.iter().map(|ring| polygon::signed_area(ring)).sum(),
        _ => 0.0,
    };
    page.items.iter().map(area).sum()
}

/// Area of the whole surface of a body, from its triangles in space.
fn surface(body: &Body) -> f64 {
    let area = |corners: &[usize; 3]| {
        let [a, b, c] = corners.map(|at| body.places[at]);
        (b - a).cross(&(c - a)).norm() / 2.0
    };
    body.triangles.iter().map(|(corners, _)| area(corners)).sum()
}

#[test]
fn the_net_is_spread_over_sheets_at_one_scale_and_its_edges_pair_up_across_them() {
    let mut spread = 0;
    for (title, roof) in examples() {
        let body = Body::of(&roof, 0.0);
        for paper in [PaperSize::A4, PaperSize::LETTER, PaperSize::A3] {
            let context = Context { sheet: Some(paper), ..context(title) };
            let sheets = NetSheets::of(&roof, &body, &context).unwrap();
            let net = &sheets.net;
            spread += usize::from(net.sheets() > 1);
            // A model of a useful size: as long as a table takes, or as the largest polygon lets the paper.
            let [low, high] = [f64::min, f64::max]
                .map(|pick| [0, 1].map(|axis| body.places.iter().map(|place| place[axis]).reduce(pick).unwrap()));
            let longest = (high[0] - low[0]).max(high[1] - low[1]) * 1000.0 / sheets.scale;
            assert!((120.0..=250.0).contains(&longest), "{title} {}: {longest} mm long", paper.name);
            let mut area = 0.0;
            let mut numbers: std::collections::BTreeMap<String, Vec<(usize, f64)>> = std::collections::BTreeMap::new();
            let figures = sheets.figures();
            assert_eq!(figures.len(), net.sheets());
            for (number, figure) in figures.iter().enumerate() {
                let pages = figure::pages(figure, &context);
                assert_eq!(pages.len(), 1, "{title} {}: an edge found no place for its number", paper.name);
                let page = &pages[0];
                assert_eq!(faults(page), Vec::<String>::new(), "{title} {}", page.name);
                std::fs::create_dir_all(std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("nets")).unwrap();
                let name = format!("{title}-{}-{}.svg", paper.name, page.name);
                let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("nets").join(name);
                std::fs::write(path, svg(page, Setting::Document)).unwrap();
                // The scale that is lettered is the one it is drawn at.
                let factor = page.view.unwrap().factor;
                assert!((1000.0 / factor - sheets.scale).abs() < 1e-9);
                let said = format!("scale 1:{} on", sheets.scale);
                assert!(page.texts().any(|text| text.words.contains(&said)), "{said}");
                area += shapes(page) / factor / factor;
                // Everything lies on its paper.
                let snips = page.strokes(|pen| matches!(pen, Pen::Snip | Pen::Tab));
                for (_, from, to) in &snips {
                    for place in [from, to] {
                        assert!(
                            place.x > 8.0
                                && place.x < page.size[0] - 8.0
                                && place.y > 8.0
                                && place.y < page.size[1] - 8.0
                        );
                    }
                }
                // Numbers as lettered, beside the cut edge nearest to each.
                // The title block with its scale bar lies lower.
                for text in page.texts().filter(|text| text.at.y > 26.0) {
                    let digits = text.words.trim_end_matches(|letter: char| letter.is_ascii_uppercase());
                    if digits.is_empty()
                        || !digits.bytes().all(|byte| byte.is_ascii_digit())
                        || text.words.len() > digits.len() + 1
                    {
                        continue;
                    }
                    numbers.entry(digits.to_owned()).or_default().push((number, f64::NAN));
                    let letter = text.words[digits.len()..].bytes().next();
                    let named = letter.map_or(number, |letter| usize::from(letter - b'A'));
                    numbers.get_mut(digits).unwrap().last_mut().unwrap().1 = named as f64;
                }
            }
            let whole = surface(&body);
            assert!((area - whole).abs() < 1e-9 * whole, "{title} {}: {area} for {whole}", paper.name);
            // Each number twice, each naming the sheet of the other.
            let glued = net.pairs.iter().filter(|pair| !pair.folded).count();
            assert_eq!(numbers.len(), glued, "{title} {}: {numbers:?}", paper.name);
            for (number, places) in &numbers {
                let [(here, there), (there_too, here_too)] = places[..] else { panic!("{title} {number}: {places:?}") };
                assert!(there == there_too as f64 && here_too == here as f64, "{title} {number}: {places:?}");
            }
            for pair in &net.pairs {
                let [a, b] = pair.edges.map(|edge| (edge[1] - edge[0]).norm());
                assert!((a - b).abs() < 1e-9, "{title}");
            }
        }
    }
    assert!(spread >= 6, "only {spread} nets take more than a sheet");
}
