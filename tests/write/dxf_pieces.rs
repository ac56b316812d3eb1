//! Timbers for a saw: closed outlines, a layer an operation, in the size they are cut to.

use eavewright::base::units::LengthUnit;
use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Answer, Options};
use eavewright::write::dxf_pieces::{CUT_LAYER, MARK_LAYER, pieces};

fn answer(framing: &str) -> Answer {
    let text = format!(
        "title = \"Store\"\nunits = \"m\"\n[[block]]\nname = \"store\"\nheight = 2.4\nmeasured_at = \"wall\"\n\
         above_plate = \"120 mm\"\noverhang = {{ eave = 0.3, verge = 0.2, fascia = \"level\" }}\nsides = [\n\
         {{ from = \"A\", at = [0, 0], pitch = 35 }},\n{{ from = \"B\", at = [8, 0], pitch = 35 }},\n\
         {{ from = \"C\", at = [8, 5], pitch = 35 }},\n{{ from = \"D\", at = [0, 5], verge = true }},\n]\n{framing}"
    );
    let (job, ..) = input::read("store", &text, &NoFiles).unwrap();
    job::solve(&job, &Options::default()).unwrap()
}

/// A closed polyline: its layer and its corners.
type Ring = (String, Vec<[f64; 2]>);

/// The closed polylines of a file, block by block, as its group codes stand there.
fn rings(text: &str) -> Vec<(String, Vec<Ring>)> {
    let lines: Vec<&str> = text.lines().map(str::trim).collect();
    let pairs: Vec<(i32, &str)> = lines.chunks_exact(2).map(|pair| (pair[0].parse().unwrap(), pair[1])).collect();
    let mut blocks: Vec<(String, Vec<Ring>)> = Vec::new();
    let (mut entity, mut layer, mut x) = ("", "", 0.0);
    for (code, value) in pairs {
        match (code, entity) {
            (0, _) => entity = value,
            (2, "BLOCK") => blocks.push((value.to_owned(), Vec::new())),
            (8, _) => layer = value,
            (70, "POLYLINE") => {
                assert_eq!(value, "1", "an outline is not closed");
                blocks.last_mut().unwrap().1.push((layer.to_owned(), Vec::new()));
            }
            (10, "VERTEX") => x = value.parse().unwrap(),
            (20, "VERTEX") => {
                let ring = blocks.last_mut().unwrap().1.last_mut().unwrap();
                ring.1.push([x, value.parse().unwrap()]);
            }
            _ => {}
        }
    }
    blocks
}

#[test]
fn every_piece_is_a_closed_outline_as_long_and_deep_as_it_is_cut() {
    let framing = "[framing]\nrafter = [\"50 mm\", \"150 mm\"]\nhip = [\"50 mm\", \"175 mm\"]\nridge = [\"38 mm\", \"200 mm\"]\n\
                   plate = [\"100 mm\", \"50 mm\"]\nfascia = [\"22 mm\", \"175 mm\"]\n";
    let answer = answer(framing);
    let text = pieces(&answer.framing, LengthUnit::Millimetre).unwrap();
    let found = rings(&text);
    assert_eq!(found.len(), answer.framing.pieces.len());
    for ((name, rings), piece) in found.iter().zip(&answer.framing.pieces) {
        assert_eq!(*name, piece.mark().replace(' ', "_"));
        let cut: Vec<_> = rings.iter().filter(|(layer, _)| layer == CUT_LAYER).collect();
        assert_eq!(cut.len(), 1, "{name}");
        let reach = |axis: usize| {
            let all = rings.iter().flat_map(|(_, ring)| ring).map(|at| at[axis]);
            all.clone().fold(f64::NEG_INFINITY, f64::max) - all.fold(f64::INFINITY, f64::min)
        };
        // Both sides together are as long as what is sawn, to the hip's planed corners; as deep as the timber.
        assert!((reach(1) - piece.section.depth * 1000.0).abs() < 1e-6, "{name}: {}", reach(1));
        assert!(reach(0) <= piece.length * 1000.0 + 1e-6, "{name}: {} of {}", reach(0), piece.length);
        assert!(reach(0) > piece.length * 1000.0 - 120.0, "{name}: {} of {}", reach(0), piece.length);
        // Where the saw is tilted the far side is marked.
        let tilted = piece.ends.iter().flatten().any(|cut| cut.tilt.abs() > 0.01);
        assert_eq!(rings.iter().any(|(layer, _)| layer == MARK_LAYER), tilted, "{name}");
    }
    assert!(pieces(&self::answer("").framing, LengthUnit::Millimetre).is_none());
}
