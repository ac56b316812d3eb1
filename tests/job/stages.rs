//! Whole roof files through every stage, against closed forms.

use eavewright::base::finding::Finding as _;
use eavewright::base::ids::EdgeId;
use eavewright::input::{self, NoFiles};
use eavewright::job::Finding;
use eavewright::job::{self, Answer, Options};
use eavewright::roof::EdgeKind;
use eavewright::wording::{self, About};

fn solved(text: &str) -> Answer {
    let (job, _, _) = input::read("test", text, &NoFiles).unwrap_or_else(|errors| panic!("{errors:?}"));
    job::solve(&job, &Options { steps: false, spread: false }).unwrap_or_else(|failure| panic!("{failure}"))
}

fn area(answer: &Answer) -> f64 {
    answer.roof.roof_faces().map(|(_, face)| answer.roof.area(face).0).sum()
}

/// Unequal hip on a wall of 10 x 6 m, sides at 30°, ends at 45°, plate 2.40 m up. The volume within the walls is the box
/// below the plate and the wedge over it, `w h (2 l + ridge) / 6` (the volume of a wedge, any handbook of mensuration),
/// whatever the overhang.
#[test]
fn the_volume_ends_at_the_walls() {
    let rise = 3.0 * 30_f64.to_radians().tan();
    let wedge = 6.0 * rise * (20.0 + (10.0 - 2.0 * rise)) / 6.0;
    for fascia in ["level", "equal"] {
        let answer = solved(&format!(
            "title = \"t\"\nunits = \"m\"\n[[block]]\nname = \"a\"\nheight = 2.4\nmeasured_at = \"wall\"\n\
             overhang = {{ eave = 0.4, verge = 0, fascia = \"{fascia}\" }}\nsides = [\n\
             {{ from = \"A\", at = [0, 0], pitch = 30 }},\n{{ from = \"B\", at = [10, 0], pitch = 45 }},\n\
             {{ from = \"C\", at = [10, 6], pitch = 30 }},\n{{ from = \"D\", at = [0, 6], pitch = 45 }} ]\n"
        ));
        let volume = answer.roof.volume.unwrap();
        assert!((volume - (60.0 * 2.4 + wedge)).abs() < 1e-6, "{fascia}: {volume}");
    }
}

const GABLE: &str = "title = \"t\"\nunits = \"m\"\n[[block]]\nname = \"house\"\nheight = 2.5\nsides = [\n\
    { from = \"A\", at = [0, 0], pitch = 40 },\n{ from = \"B\", at = [8, 0], verge = true },\n\
    { from = \"C\", at = [8, 7], pitch = 40 },\n{ from = \"D\", at = [0, 7], verge = true } ]\n";

/// A dormer of the host's own pitch covers as much as it takes: 8.0 x 7.0 m at 40° is 56 / cos 40 with and without it.
/// Its ridge runs (1.2 + 0.9 tan 40) / tan 40 back, its eaves 1.2 / tan 40.
#[test]
fn a_dormer_stands_in_its_face() {
    let tangent = 40_f64.to_radians().tan();
    let dormer = "[[dormer]]\nname = \"d\"\nface = \"house/A\"\nat = [3, 1]\nwidth = 1.8\nfront_height = 1.2\npitch = 40\n\
                  kind = \"gable\"\n";
    let answer = solved(&format!("{GABLE}{dormer}"));
    assert!((area(&answer) - 56.0 / 40_f64.to_radians().cos()).abs() < 1e-6, "{}", area(&answer));
    let of_dormer = answer.roof.roof_faces().filter(|(_, face)| face.block().is_some_and(|block| block == "d"));
    let covered: f64 = of_dormer.map(|(_, face)| answer.roof.area(face).0).sum();
    let (eave, ridge) = (1.2 / tangent, (1.2 + 0.9 * tangent) / tangent);
    let closed = 1.8 * f64::midpoint(eave, ridge) / 40_f64.to_radians().cos();
    assert!((covered - closed).abs() < 1e-6, "{covered} against {closed}");
    let valleys = answer.roof.edges.iter().filter(|edge| edge.kind.word() == "valley").count();
    assert_eq!(valleys, 2);
}

/// A tower through the middle of a barn 16 x 7 m leaves each slope in two pieces, 7.0 m along the eave. A dormer of the
/// barn's own pitch takes as much as it covers, and stands where its piece says: A:2 begins at 9.0, C:2 at 7.0, both to
/// the left as seen from outside.
#[test]
fn a_dormer_stands_in_the_piece_it_names() {
    let barn = "title = \"t\"\nunits = \"m\"\n[[block]]\nname = \"long\"\nheight = 2.5\nsides = [\n\
        { from = \"A\", at = [0, 0], pitch = 40 },\n{ from = \"B\", at = [16, 0], verge = true },\n\
        { from = \"C\", at = [16, 7], pitch = 40 },\n{ from = \"D\", at = [0, 7], verge = true } ]\n\
        [[block]]\nname = \"tower\"\nheight = 7\nsides = [\n\
        { from = \"A\", at = [7, 0], pitch = 45 },\n{ from = \"B\", at = [9, 0], verge = true },\n\
        { from = \"C\", at = [9, 7], pitch = 45 },\n{ from = \"D\", at = [7, 7], verge = true } ]\n";
    let (k, tangent) = (1.0 / 40_f64.to_radians().cos(), 40_f64.to_radians().tan());
    let whole = 2.0 * 7.0 * 7.0 * k + 2.0 * 7.0 / 45_f64.to_radians().cos();
    assert!((area(&solved(barn)) - whole).abs() < 1e-6);
    let (eave, ridge) = (1.2 / tangent, (1.2 + 0.9 * tangent) / tangent);
    let pieces = [("long/A", 0.0, 1.0), ("long/A:2", 9.0, 1.0), ("long/C", 16.0, -1.0), ("long/C:2", 7.0, -1.0)];
    for (face, left, way) in pieces {
        let dormer = format!(
            "[[dormer]]\nname = \"d\"\nface = \"{face}\"\nat = [2, 0.5]\nwidth = 1.8\nfront_height = 1.2\npitch = 40\n\
             kind = \"gable\"\n"
        );
        let answer = solved(&format!("{barn}{dormer}"));
        assert!((area(&answer) - whole).abs() < 1e-6, "{face}: {}", area(&answer));
        let of_dormer = || answer.roof.roof_faces().filter(|(_, face)| face.block().is_some_and(|block| block == "d"));
        let covered: f64 = of_dormer().map(|(_, face)| answer.roof.area(face).0).sum();
        assert!((covered - 1.8 * f64::midpoint(eave, ridge) * k).abs() < 1e-6, "{face}: {covered}");
        let along = of_dormer().flat_map(|(_, face)| answer.roof.ring(face)).map(|place| (place.x - left) * way);
        let (low, high) = along.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| (low.min(x), high.max(x)));
        assert!((low - 2.0).abs() < 1e-6 && (high - 3.8).abs() < 1e-6, "{face}: {low} to {high}");
    }
}

/// At the eave itself, and flush with the gable: cheek and front go on up from the walls below.
#[test]
fn a_dormer_may_stand_at_the_edge_of_its_face() {
    for turned in [0.0, 17.0, 30.0, 200.0] {
        let house = GABLE.replace("height = 2.5", &format!("height = 2.5\nstart = [400, -90]\nheading = {turned:?}"));
        for at in ["[3, 0]", "[0, 0.3]", "[6.2, 0.3]", "[6.2, 0]", "[0, 0]"] {
            let dormer = format!(
                "[[dormer]]\nname = \"d\"\nface = \"A\"\nat = {at}\nwidth = 1.8\nfront_height = 1.2\npitch = 40\nkind = \"gable\"\n"
            );
            let answer = solved(&format!("{house}{dormer}"));
            let wanted = 56.0 / 40_f64.to_radians().cos();
            assert!((area(&answer) - wanted).abs() < 1e-6, "{at} turned by {turned}: {}", area(&answer));
        }
    }
}

/// A dormer that does not fit is refused at its place, not left out.
#[test]
fn a_dormer_that_does_not_fit_is_refused() {
    let dormer = "[[dormer]]\nname = \"d\"\nface = \"house/A\"\nat = [7, 1]\nwidth = 1.8\nfront_height = 1.2\npitch = 40\n\
                  kind = \"gable\"\n";
    let text = format!("{GABLE}{dormer}");
    let (job, _, _) = input::read("test", &text, &NoFiles).unwrap();
    let failure = job::solve(&job, &Options::default()).unwrap_err();
    assert_eq!(failure.faults[0].code(), "dormer-misplaced");
    assert!(!failure.faults[0].places.is_empty());
}

/// The pitch found from a ridge height: 2.4 + 2.8 tan 35 over a hip 9.20 x 5.60 m.
#[test]
fn a_pitch_is_found_from_the_ridge_height() {
    let ridge = 2.4 + 2.8 * 35_f64.to_radians().tan();
    let answer = solved(&format!(
        "title = \"t\"\nunits = \"m\"\n[[block]]\nname = \"a\"\nheight = 2.4\nridge_height = {ridge}\nsides = [\n\
         {{ from = \"A\", at = [0, 0], pitch = \"?\" }},\n{{ from = \"B\", at = [9.2, 0], pitch = \"?\" }},\n\
         {{ from = \"C\", at = [9.2, 5.6], pitch = \"?\" }},\n{{ from = \"D\", at = [0, 5.6], pitch = \"?\" }} ]\n"
    ));
    assert!((area(&answer) - 9.2 * 5.6 / 35_f64.to_radians().cos()).abs() < 1e-6, "{}", area(&answer));
}

/// An opening is taken from its face: 0.60 x 0.80 m.
#[test]
fn an_opening_is_cut_from_its_face() {
    let answer = solved(&format!(
        "{GABLE}[[opening]]\nface = \"house/A\"\nat = [2.0, 1.2]\nsize = [0.6, 0.8]\nkind = \"roof window\"\n"
    ));
    assert_eq!(answer.openings.len(), 1);
    assert!((answer.openings[0].area - 0.48).abs() < 1e-9);
}

/// The two slabs of a published open building model (IFC): 82.5610885 m² each, 13 m long over a run of 5.5 m at 30°.
#[test]
fn a_gable_has_the_published_slab_areas() {
    let answer = solved(
        "title = \"t\"\nunits = \"m\"\n[[block]]\nname = \"a\"\nheight = 3\nsides = [\n\
         { from = \"A\", at = [0, 0], pitch = 30 },\n{ from = \"B\", at = [13, 0], verge = true },\n\
         { from = \"C\", at = [13, 11], pitch = 30 },\n{ from = \"D\", at = [0, 11], verge = true } ]\n",
    );
    for (_, face) in answer.roof.roof_faces() {
        let area = answer.roof.area(face).0;
        assert!((area - 82.561_088_5).abs() < 5e-8, "{area}");
    }
    assert_eq!(answer.roof.roof_faces().count(), 2);
}

/// A hip roof that is square but for 10 mm has a ridge of 10 mm: nothing a tape of 4 mm can tell, so it is not answered,
/// and a note says why. The hips beside it are.
#[test]
fn a_ridge_that_nobody_measured_is_not_answered() {
    let (job, _, _) = input::read(
        "test",
        "title = \"t\"\nunits = \"m\"\n[[block]]\nname = \"a\"\nheight = 2.4\nsides = [\n\
         { from = \"A\", length = 4.01, turn = \"L\", pitch = 40 },\n{ from = \"B\", length = 4, turn = \"L\", pitch = 40 },\n\
         { from = \"C\", length = 4.01, turn = \"L\", pitch = 40 },\n{ from = \"D\", length = 4, pitch = 40 } ]\n",
        &NoFiles,
    )
    .unwrap();
    let answer = job::solve(&job, &Options { steps: false, spread: true }).unwrap();
    let answered = |kind: EdgeKind| -> Vec<bool> {
        let edges = answer.roof.edges.iter().enumerate().filter(|(_, edge)| edge.kind == kind);
        edges.map(|(at, _)| answer.length(EdgeId::new(at)).value().is_some()).collect()
    };
    assert_eq!(answered(EdgeKind::Ridge), [false]);
    assert_eq!(answered(EdgeKind::Hip), [true; 4]);
    let open: Vec<&Finding> = answer.findings.iter().filter(|one| one.code() == "not-determined").collect();
    let [Finding::LengthsNotDetermined { lengths }] = open.as_slice() else { panic!("{:?}", answer.findings) };
    assert_eq!(lengths.len(), 1);
    assert!((lengths[0].length - 0.010).abs() < 1e-6 && lengths[0].sd > 0.002, "{lengths:?}");
    let about = About::of(&job, &answer.roof);
    assert_eq!(about.names_of(open[0]), ["a/A", "a/C"]);
    let told = wording::finding::sentence(&about, open[0]);
    assert!(told.contains("the length of the ridge of a/A and a/C (10 ± "), "{told}");
}
