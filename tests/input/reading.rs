//! What is read from a roof file that is right: values, defaults and where they stand.
//!
//! Sources: the default sigmas are common practice of measuring on site, no source; a steel tape's 3 mm + 0.5 mm/m among
//! them. The equivalent focal length refers to the diagonal of a 36 x 24 mm frame (CIPA DCG-001, from memory). EXIF data
//! are written and read by a general-purpose library.

use eavewright::base::place::Place;
use eavewright::base::units::LengthUnit;
use eavewright::input::{self, Files, NoFiles, SourceMap};
use eavewright::job::Job;
use eavewright::outline::Role;
use eavewright::outline::block::{BlockRole, Fascia, OutlineDatum, Overhang, Placement};
use eavewright::roof::analysis::opening::OpeningShape;
use eavewright::survey::model::{Known, Measured, MeasuredRing, ObservationKind};
use eavewright::takeoff::card::CoveringKind;
use eavewright::takeoff::item::Unit;
use eavewright::takeoff::model::Waste;
use eavewright::takeoff::prices::{Hours, ItemPrice, Operation};
use exif::experimental::Writer;
use exif::{Field, In, Rational, Tag, Value};
use std::collections::BTreeMap;
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};
use std::fs;
use std::io::{self, Cursor};
use std::path::Path;

fn example(name: &str) -> (String, Job, SourceMap) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(name);
    let text = fs::read_to_string(path).unwrap();
    let (job, map, diagnostics) = input::read(name, &text, &NoFiles).unwrap();
    assert_eq!(diagnostics, []);
    (text, job, map)
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 4.0 * f64::EPSILON * a.abs().max(b.abs())
}

#[test]
fn a_walk_as_noted_in_the_field() {
    let (text, job, map) = example("boat_store.toml");
    assert_eq!(
        (job.title.as_str(), job.units, job.date.as_deref()),
        ("Boat store", LengthUnit::Metre, Some("2026-05-01"))
    );
    assert!(near(job.site.north, 20_f64.to_radians()) && near(job.site.wind_from.unwrap(), 225_f64.to_radians()));
    assert_eq!(job.site.join_gap, 0.02);
    let block = &job.blocks[0];
    assert_eq!((block.name.as_str(), block.height, block.datum), ("store", 2.4, OutlineDatum::Eaves { inside: 0.0 }));
    let MeasuredRing::Walk(legs) = &block.rings[0].measured else { panic!() };
    let lengths: Vec<f64> = legs.iter().map(|leg| leg.length.value).collect();
    assert_eq!(lengths, [9.20, 5.60, 9.21, 5.59]);
    assert!(near(legs[0].length.sigma, 0.003 + 0.0005 * 9.2));
    assert_eq!(legs[1].turn, Some(Measured { value: FRAC_PI_2, sigma: 0.5_f64.to_radians() }));
    let names: Vec<&str> = block.rings[0].sides.iter().map(|side| side.name.as_str()).collect();
    assert_eq!(names, ["A", "B", "C", "D"]);
    for side in &block.rings[0].sides {
        let BlockRole::Known(Role::Eave { pitch, breaks }) = &side.role else { panic!() };
        assert!(near(pitch.degrees(), 35.0) && breaks.is_empty());
    }
    // Corners become named points when an observation asks for them.
    let points: Vec<&str> = job.survey.points.iter().map(|point| point.name.as_str()).collect();
    assert_eq!(points, ["store.A", "store.C"]);
    let tape = &job.survey.observations[0];
    assert!(matches!(tape.kind, ObservationKind::Tape { length: 10.77, plan: true, .. }));
    assert!(near(tape.sigma, 0.003 + 0.0005 * 10.77));
    let side = map.span(&Place::Side { block: "store".into(), side: "C".into() }).unwrap();
    assert_eq!(&text[side], r#"{ from = "C", length = 9.21, turn = "L", pitch = 35 }"#);
    assert_eq!(&text[map.span(&Place::Observation(0)).unwrap()], "[[tape]]");
    assert_eq!(&text[map.span(&Place::Covering).unwrap()], "[covering]");
    assert!(matches!(job.covering.card.covering, CoveringKind::Strip(_)) && job.covering.waste == Waste::Layout);
}

#[test]
fn walls_gables_and_methods() {
    let (_, job, _) = example("stable_l.toml");
    let block = &job.blocks[0];
    let overhang = Overhang { eave: 0.40, verge: 0.25, fascia: Fascia::Level };
    assert_eq!(block.datum, OutlineDatum::Wall { overhang, above_plate: 0.0 });
    assert_eq!(block.rings[0].sides[1].role, BlockRole::Known(Role::Verge));
    assert_eq!(job.survey.observations[0].sigma, 0.010);
    let OpeningShape::InFace { face, at, size } = &job.openings[0].shape else { panic!() };
    assert_eq!((face.as_str(), *at, *size), ("stable/A", [3.2, 1.1], [0.6, 0.6]));
}

#[test]
fn feet_and_inches() {
    let (_, job, _) = example("lean_to.toml");
    let block = &job.blocks[0];
    // 19 ft 8 1/2 in = 236.5 in = 6007.1 mm; 7 ft 2 in = 2184.4 mm; 1 1/2 in = 38.1 mm.
    let MeasuredRing::Walk(legs) = &block.rings[0].measured else { panic!() };
    assert_eq!((legs[0].length.value, block.height), (6.0071, 2.1844));
    assert_eq!(block.datum, OutlineDatum::Eaves { inside: 0.0381 });
    let BlockRole::Known(Role::Eave { pitch, .. }) = &block.rings[0].sides[0].role else { panic!() };
    assert_eq!(pitch.tangent(), 4.0 / 12.0);
    assert_eq!(block.rings[0].sides[2].role, BlockRole::Known(Role::Abutment));
}

#[test]
fn faces_by_points() {
    let (text, job, map) = example("field_shed.toml");
    assert_eq!((job.blocks.len(), job.survey.points.len(), job.survey.faces.len()), (0, 6, 4));
    assert!(matches!(job.survey.points[1].known, Known::At(place) if place.y == -0.003));
    assert!(job.survey.faces.iter().all(|face| face.sigma == 0.010));
    assert_eq!(&text[map.span(&Place::Point("E2".into())).unwrap()], "E2 = [6.404, -0.003, 2.296]");
}

#[test]
fn everything_a_file_may_say() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/diagnostics/fine.toml");
    let text = fs::read_to_string(&folder).unwrap();
    let (job, _, _) = input::read("fine.toml", &text, &input::Beside::of(&folder)).unwrap();
    assert_eq!(job.tolerance, Some(1e-6));
    let main = &job.blocks[0];
    assert!(matches!(main.placement, Placement::At { start, heading } if start.x == -1.0 && start.y == 2.0
        && near(heading, 12.5_f64.to_radians())));
    let OutlineDatum::Wall { overhang, above_plate } = main.datum else { panic!() };
    assert_eq!((overhang.eave, overhang.verge, overhang.fascia, above_plate), (0.35, 0.2, Fascia::Raised, 0.05));
    let MeasuredRing::Walk(legs) = &main.rings[0].measured else { panic!() };
    assert_eq!((legs[0].length.value, legs[0].length.sigma), (10.0, 0.0));
    assert!(near(legs[1].turn.unwrap().sigma, 0.5_f64.to_radians()));
    assert_eq!((legs[2].length.sigma, legs[3].turn), (0.003, None));
    let sides = &main.rings[0].sides;
    assert!(matches!(&sides[0].role, BlockRole::Known(Role::Eave { breaks, .. }) if breaks[0].0 == 1.2));
    assert!(
        matches!(sides[1].role, BlockRole::Known(Role::HalfHip { hip_from: 1.5, pitch }) if pitch.degrees() == 45.0)
    );
    assert!(matches!(sides[2].role, BlockRole::Known(Role::Gablet { verge_from: 1.5, .. })));
    assert_eq!((sides[2].height, sides[3].height), (2.4, 2.1));
    let hole = &main.rings[1];
    assert_eq!((hole.start.x, hole.start.y, hole.heading), (3.0, 2.0, FRAC_PI_2));
    let second = &job.blocks[1];
    assert!(
        matches!(second.placement, Placement::OnSide { side, offset: 1.2 } if side.side == 2 && side.block.index() == 0)
    );
    assert_eq!((second.datum, second.square_up), (OutlineDatum::Eaves { inside: -0.04 }, true));
    assert!(matches!(second.rafter, Some((side, 3.42)) if side.block.index() == 1 && side.side == 0));
    assert_eq!(second.rings[0].sides[0].role, BlockRole::EaveOfUnknownPitch);
    let MeasuredRing::Walk(legs) = &second.rings[0].measured else { panic!() };
    let sigmas: Vec<f64> = legs.iter().map(|leg| leg.turn.unwrap().sigma.to_degrees()).collect();
    assert!(sigmas.iter().zip([0.5, 1.0, 1.0, 0.5]).all(|(a, b)| near(*a, b)), "{sigmas:?}");
    assert!(legs.iter().all(|leg| leg.turn.unwrap().value == -FRAC_PI_2));

    let survey = &job.survey;
    assert!(near(survey.observations[0].sigma, 0.03 * 11.48));
    let degrees: Vec<f64> = survey.observations[1..3].iter().map(|o| o.sigma.to_degrees()).collect();
    assert!(near(degrees[0], 0.7) && near(degrees[1], 0.3));
    let camera = &survey.cameras[0];
    assert_eq!((survey.cameras.len(), survey.photos.len()), (1, 2));
    assert_eq!(
        (camera.focal, camera.centre, camera.k1),
        (Measured { value: 3000.0, sigma: 0.03 }, [2000.0, 1500.0], Measured { value: -0.01, sigma: 0.02 },)
    );
    let sigmas: Vec<f64> = survey.photos[1].marks.iter().map(|mark| mark.sigma).collect();
    assert_eq!(sigmas, [2.0, 4.0]);

    assert_eq!((job.covering.card.name.as_str(), job.covering.waste), ("plain-tile", Waste::Fraction(0.15)));
    let prices = &job.covering.prices;
    assert_eq!(
        prices.items,
        [
            ItemPrice::new("plain-tile", 31.5),
            ItemPrice::new("nail", 12.0),
            ItemPrice { item: "underlay".into(), each: 1.1, per: Some(Unit::SquareMetre) }
        ]
    );
    assert_eq!(prices.dated.as_deref(), Some("2026-04-30"));
    assert_eq!(prices.hours, Some(Hours { each: 48.0, rates: vec![(Operation::Valley, 0.7)] }));
    assert_eq!(prices.left_out, ["gutter", "disposal"]);
    assert_eq!(job.offer.valid_until.as_deref(), Some("2026-06-01"));
    assert_eq!(job.as_laid[0].batch, "B 2207");
    assert_eq!((prices.margin, prices.tax, prices.pitch_bands.len()), (Some(0.1), Some(0.2), 1));
    assert!(!job.covering.old_roof.unwrap().asbestos_possible);
}

/// How a thing was measured sets how much it is trusted.
#[test]
fn sigma_by_method() {
    let of = |method: &str, length: f64| {
        let text = format!(
            "[points]\nA = {{}}\nB = {{}}\nC = {{}}\n[[face]]\nname = \"f\"\npoints = [\"A\", \"B\", \"C\"]\n[[tape]]\nfrom = \"A\"\n\
             to = \"B\"\nlength = \"{length} m\"\nmethod = \"{method}\"\n"
        );
        input::read("m.toml", &text, &NoFiles).unwrap().0.survey.observations[0].sigma
    };
    for (method, at_ten_metres) in [
        ("steel tape", 0.008),
        ("steel tape along a wall", 0.010),
        ("plumb line", 0.020),
        ("slope tape", 0.015),
        ("folding rule", 0.012),
        ("counted bricks", 0.5),
        ("counted boards", 0.5),
        ("paced", 0.3),
    ] {
        assert!(near(of(method, 10.0), at_ten_metres), "{method}");
    }
}

/// The same roof in other units and walked the other way is the same to the last bit, or to rounding.
#[test]
fn units_agree() {
    let roof = |units: &str, lengths: [&str; 2]| {
        let [a, b] = lengths;
        let text = format!(
            "units = \"{units}\"\n[[block]]\nname = \"b\"\nheight = 0\nsides = [\n{{ from = \"A\", length = {a}, turn = \"L\", pitch = 45 \
             }},\n{{ from = \"B\", length = {b}, turn = \"L\", pitch = \"12:12\" }},\n{{ from = \"C\", length = {a}, turn = \"L 90\", \
             pitch = \"100 %\" }},\n{{ from = \"D\", length = {b}, pitch = \"45°\" }},\n]\n"
        );
        input::read("u.toml", &text, &NoFiles).unwrap().0.blocks
    };
    let metres = roof("m", ["9.21", "5.6"]);
    assert_eq!(metres, roof("cm", ["921", "560.0"]));
    assert_eq!(metres, roof("mm", ["9210", "5600"]));
    assert_eq!(metres, roof("ft", ["\"921 cm\"", "\"5.6 m\""]));
    let BlockRole::Known(Role::Eave { pitch, .. }) = &metres[0].rings[0].sides[3].role else { panic!() };
    assert_eq!(pitch.radians(), FRAC_PI_4);
}

struct Photos(BTreeMap<&'static str, Vec<u8>>);

impl Files for Photos {
    fn read(&self, name: &str) -> io::Result<Vec<u8>> {
        self.0.get(name).cloned().ok_or_else(|| io::ErrorKind::NotFound.into())
    }
}

fn exif(fields: &[(Tag, Value)]) -> Vec<u8> {
    let fields: Vec<Field> =
        fields.iter().map(|(tag, value)| Field { tag: *tag, ifd_num: In::PRIMARY, value: value.clone() }).collect();
    let mut writer = Writer::new();
    for field in &fields {
        writer.push_field(field);
    }
    let mut out = Cursor::new(Vec::new());
    writer.write(&mut out, false).unwrap();
    out.into_inner()
}

/// A JPEG of 40 x 30 pixels with EXIF data in its APP1 segment.
fn jpeg(fields: &[(Tag, Value)]) -> Vec<u8> {
    let mut plain = Cursor::new(Vec::new());
    image::GrayImage::new(40, 30).write_to(&mut plain, image::ImageFormat::Jpeg).unwrap();
    let plain = plain.into_inner();
    let exif = [b"Exif\0\0".to_vec(), exif(fields)].concat();
    let length = u16::try_from(exif.len() + 2).unwrap().to_be_bytes();
    [&plain[..2], &[0xff, 0xe1], &length, &exif, &plain[2..]].concat()
}

/// A HEIF file that holds nothing but EXIF data (ISO/IEC 23008-12: an item of type `Exif`, found by `iinf` and `iloc`).
fn heif(fields: &[(Tag, Value)]) -> Vec<u8> {
    fn boxed(kind: [u8; 4], body: &[u8]) -> Vec<u8> {
        [&u32::try_from(body.len() + 8).unwrap().to_be_bytes(), &kind[..], body].concat()
    }
    let payload = [vec![0; 4], exif(fields)].concat();
    let length = u32::try_from(payload.len()).unwrap().to_be_bytes();
    let build = |offset: u32| {
        let entry = boxed(*b"infe", &[&[2, 0, 0, 0, 0, 1, 0, 0][..], b"Exif\0"].concat());
        let info = boxed(*b"iinf", &[&[0, 0, 0, 0, 0, 1][..], &entry].concat());
        let place = [&[0, 0, 0, 0, 0x44, 0, 0, 1, 0, 1, 0, 0, 0, 1][..], &offset.to_be_bytes(), &length].concat();
        let meta = boxed(*b"meta", &[&[0; 4][..], &info, &boxed(*b"iloc", &place)].concat());
        [boxed(*b"ftyp", b"heic\0\0\0\0mif1heic"), meta].concat()
    };
    let head = build(0).len();
    [build(u32::try_from(head + 8).unwrap()), boxed(*b"mdat", &payload)].concat()
}

fn read_photo(photo: Vec<u8>) -> (Job, Vec<&'static str>) {
    let text = "[points]\nA = {}\nB = {}\nC = {}\n[[face]]\nname = \"f\"\npoints = [\"A\", \"B\", \"C\"]\n\
                [[photo]]\nfile = \"p\"\nmarks = { A = [1, 2] }\n";
    let (job, _, diagnostics) = input::read("p.toml", text, &Photos(BTreeMap::from([("p", photo)]))).unwrap();
    (job, diagnostics.iter().map(|diagnostic| diagnostic.code).collect())
}

fn ratio(num: u32, denom: u32) -> Value {
    Value::Rational(vec![Rational { num, denom }])
}

#[test]
fn photos_tell_their_size_and_focal_length() {
    // 26 mm equivalent; the phone was held upright: 40 x 30 stored, 30 x 40 shown, diagonal 50.
    let upright = [(Tag::FocalLengthIn35mmFilm, Value::Short(vec![26])), (Tag::Orientation, Value::Short(vec![6]))];
    let (job, codes) = read_photo(jpeg(&upright));
    assert_eq!((job.survey.photos[0].size, codes), ([30.0, 40.0], vec![]));
    let camera = &job.survey.cameras[0];
    let full_frame = 36.0_f64.hypot(24.0);
    assert!(near(camera.focal.value, 26.0 * 50.0 / full_frame), "{camera:?}");
    assert_eq!((camera.focal.sigma, camera.centre, camera.centre_sigma), (0.05, [15.0, 20.0], 20.0));
    // Phones bend straight lines by up to a tenth at the corners (common practice, no source).
    assert_eq!(camera.k1, Measured { value: 0.0, sigma: 0.1 });
    // 2 px at 4000 px width.
    assert!(near(job.survey.photos[0].marks[0].sigma, 2.0 * 40.0 / 4000.0));

    let zoomed = [(Tag::FocalLengthIn35mmFilm, Value::Short(vec![26])), (Tag::DigitalZoomRatio, ratio(2, 1))];
    assert_eq!(read_photo(jpeg(&zoomed)).0.survey.cameras[0].focal.sigma, 0.15);
    let cropped = [
        (Tag::FocalLengthIn35mmFilm, Value::Short(vec![26])),
        (Tag::PixelXDimension, Value::Long(vec![4000])),
        (Tag::PixelYDimension, Value::Long(vec![2250])),
    ];
    assert_eq!(read_photo(jpeg(&cropped)).0.survey.cameras[0].focal.sigma, 0.15);
    let resized = [
        (Tag::FocalLengthIn35mmFilm, Value::Short(vec![26])),
        (Tag::PixelXDimension, Value::Long(vec![4000])),
        (Tag::PixelYDimension, Value::Long(vec![3000])),
    ];
    assert_eq!(read_photo(jpeg(&resized)).0.survey.cameras[0].focal.sigma, 0.05);

    // 4.2 mm behind a sensor of 200 pixels a millimetre, the picture a hundredth of its size when taken.
    let by_sensor = [
        (Tag::FocalLength, ratio(42, 10)),
        (Tag::FocalPlaneXResolution, ratio(2000, 1)),
        (Tag::FocalPlaneResolutionUnit, Value::Short(vec![3])),
        (Tag::PixelXDimension, Value::Long(vec![4000])),
        (Tag::PixelYDimension, Value::Long(vec![3000])),
    ];
    assert!(near(read_photo(jpeg(&by_sensor)).0.survey.cameras[0].focal.value, 8.4));

    let (job, codes) = read_photo(jpeg(&[(Tag::Orientation, Value::Short(vec![1]))]));
    assert_eq!(codes, ["focal-assumed"]);
    assert_eq!(job.survey.cameras[0].focal.sigma, 0.3);
}

#[test]
fn heif_photos_are_read_and_asked_for_as_jpeg() {
    let (job, codes) = read_photo(heif(&[
        (Tag::FocalLengthIn35mmFilm, Value::Short(vec![26])),
        (Tag::PixelXDimension, Value::Long(vec![4000])),
        (Tag::PixelYDimension, Value::Long(vec![3000])),
        (Tag::Orientation, Value::Short(vec![1])),
    ]));
    assert_eq!((job.survey.photos[0].size, codes), ([4000.0, 3000.0], vec!["photo-heif"]));
    assert!(near(job.survey.cameras[0].focal.value, 26.0 * 5000.0 / 36.0_f64.hypot(24.0)));
}
