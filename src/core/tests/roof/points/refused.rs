//! What makes no roof is refused by name, and whatever is measured is sound or refused.

use super::model::{Model, check_sound, hip_roof, model};
use eavewright_core::base::finding::Finding as _;
use eavewright_core::base::ids::PointId;
use eavewright_core::base::multi_error::MultiError;
use eavewright_core::roof::kernel::points::PointsError;
use nalgebra::Point3;

#[test]
fn what_cannot_be_a_face_is_refused_by_name() {
    let points = [
        ("a", [0.0, 0.0, 0.0]),
        ("b", [4.0, 0.0, 0.0]),
        ("c", [4.0, 4.0, 1.0]),
        ("d", [0.0, 4.0, 1.0]),
        ("m", [2.0, 0.0, 0.0]),
    ];
    let bad = model(
        &points,
        &[
            ("two", &["a", "b"]),
            ("line", &["a", "m", "b"]),
            ("crossed", &["a", "c", "b", "d"]),
            ("twice", &["a", "b", "c", "b"]),
        ],
    );
    let error = bad.solve().unwrap_err();
    let found = error.each();
    assert_eq!(found.len(), 4, "{error}");
    assert!(matches!(found[0], PointsError::TooFewPoints { face, found: 2 } if face == "two"));
    assert!(matches!(found[1], PointsError::OnOneLine { face, .. } if face == "line"));
    assert!(matches!(found[2], PointsError::NotInOrder { face, .. } if face == "crossed"));
    assert!(matches!(found[3], PointsError::SamePlace { face, .. } if face == "twice"));

    let many = model(
        &[
            ("a", [0.0, 0.0, 0.0]),
            ("b", [4.0, 0.0, 0.0]),
            ("c", [2.0, 3.0, 1.0]),
            ("d", [2.0, -3.0, 1.0]),
            ("e", [2.0, -3.0, -1.0]),
        ],
        &[("one", &["a", "b", "c"]), ("two", &["a", "b", "d"]), ("three", &["a", "b", "e"])],
    );
    assert!(matches!(many.solve().unwrap_err(), PointsError::SharedByMany { faces, .. } if faces.len() == 3));

    // Two level sheets a metre apart that claim a common corner: it would have to move past its neighbours.
    let apart = model(
        &[
            ("a", [0.0, 0.0, 0.0]),
            ("b", [2.0, 0.0, 0.0]),
            ("c", [4.0, 0.0, 0.0]),
            ("d", [4.0, 3.7, 0.0]),
            ("P", [4.0, 4.0, 0.5]),
            ("e", [2.0, 4.0, 0.0]),
            ("f", [0.0, 4.0, 0.0]),
            ("g", [4.3, 4.0, 1.0]),
            ("h", [8.0, 4.0, 1.0]),
            ("i", [8.0, 8.0, 1.0]),
            ("j", [4.0, 8.0, 1.0]),
        ],
        &[("one", &["a", "b", "c", "d", "P", "e", "f"]), ("two", &["P", "g", "h", "i", "j"])],
    );
    let error = apart.solve().unwrap_err();
    let each = error.each();
    assert!(
        each.iter()
            .any(|e| matches!(e, PointsError::CannotMeet { faces, point, .. } if point == "P" && faces.len() == 2)),
        "{error}"
    );
}

#[test]
fn a_face_with_an_unlocated_point_is_left_out_and_said() {
    let mut rough = hip_roof(9.2, 5.6, 35.0);
    rough.places[2] = None;
    let solved = rough.solve().unwrap();
    let names: Vec<_> = solved.roof.faces.iter().map(eavewright_core::roof::Face::name).collect();
    assert_eq!(names, ["south", "west"]);
    assert_eq!(solved.misfits.iter().filter(|misfit| misfit.is_none()).count(), 2);
    assert_eq!(solved.roof.findings.iter().filter(|finding| finding.code() == "face-not-located").count(), 2);
    rough.places.fill(None);
    assert!(matches!(rough.solve().unwrap_err(), PointsError::NoFaces { .. }));
}

/// A patchwork of 3 × 3 quadrangles over a grid with 16 heights: every inner corner has four faces.
fn patchwork(heights: &[f64], sides: [f64; 2]) -> Model {
    let mut model = Model::new();
    let ids: Vec<PointId> = (0..16)
        .map(|index| {
            let (column, row) = (f64::from(index % 4), f64::from(index / 4));
            let at = Point3::new(column * sides[0], row * sides[1], heights[usize::try_from(index).unwrap()]);
            model.named(&format!("g{index}"), Some(at))
        })
        .collect();
    for row in 0..3 {
        for column in 0..3 {
            let at = row * 4 + column;
            model.face(&format!("f{row}{column}"), vec![ids[at], ids[at + 1], ids[at + 5], ids[at + 4]]);
        }
    }
    model
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(60))]

    /// Whatever is measured: either every corner lies on all its faces, or a refusal names the faces.
    #[test]
    fn a_patchwork_is_sound_or_refused(
        slope in -1.0..1.0_f64,
        bend in 0.0..0.6_f64,
        noise in proptest::collection::vec(-1.0..1.0_f64, 16),
        size in 0.0..0.05_f64,
    ) {
        let heights: Vec<f64> = (0..16)
            .map(|index| {
                let (x, y) = (f64::from(index % 4), f64::from(index / 4));
                slope * x - bend * (y - 1.5).powi(2) + size * noise[usize::try_from(index).unwrap()]
            })
            .collect();
        match patchwork(&heights, [2.0, 1.5]).solve() {
            Ok(solved) => {
                check_sound(&solved.roof);
                for moved in &solved.moves {
                    assert!(moved.by.norm() < 0.8, "{} moved {}", moved.name, moved.by.norm());
                }
            }
            Err(error) => {
                assert!(!error.places().is_empty());
                assert!(size > 0.01, "refused with little noise: {error}");
            }
        }
    }
}
