//! What the writers write, read back: by our own reading of the files, and by outside tools where they are installed
//! (`xmllint`, `qpdf`, `pdftotext`, `pdfinfo`, `ezdxf`). A tool that is missing is said to be, and what it checks is not; where CI
//! runs none may be missing.

use super::by_hand;
use by_hand::{context, hip, tee};
use eavewright::base::units::LengthUnit;
use eavewright::drawing::views::plan::plan;
use eavewright::drawing::{Drawing, number_pages};
use eavewright::job::Answer;
use eavewright::roof::Roof;
use eavewright::roof::model::solid;
use eavewright::write::svg::{Setting, svg};
use eavewright::write::{dxf, pdf};
use nalgebra::Point2;
use std::path::PathBuf;
use std::process::{Command, Output};

/// Runs a tool; `None`, and a line that says so, when it is not installed. CI must have it.
fn run(tool: &str, arguments: &[&str]) -> Option<Output> {
    let output = Command::new(tool).args(arguments).output();
    match output {
        Ok(output) => Some(output),
        Err(_) => {
            support::skipped(tool, "a file that was written is not read back", ".ci/packages.txt");
            None
        }
    }
}

fn file(name: &str, bytes: &[u8]) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("written");
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join(name);
    std::fs::write(&path, bytes).unwrap();
    path
}

fn pages(roof: &Roof, title: &str) -> Vec<Drawing> {
    let mut pages = plan(&Answer::of_roof(roof.clone()), &context(title));
    number_pages(&mut pages);
    pages
}

#[test]
fn same_drawings_same_bytes() {
    let write = || {
        let pages = pages(&tee(), "Tee <&> \"barn\"");
        (
            svg(&pages[0], Setting::Document),
            dxf::drawing(&pages[0], LengthUnit::Metre),
            pdf::pdf(&pages, "Tee").unwrap(),
        )
    };
    assert!(write() == write());
}

#[test]
fn svg_is_well_formed_and_to_scale() {
    let page = &pages(&hip(9.2, 5.6, 2.4, 35.0), "Boat store <&> \"shed\" ½")[0];
    let text = svg(page, Setting::Document);
    // The page is as large as its viewBox says, a user unit a millimetre.
    assert!(text.contains("width=\"297mm\" height=\"210mm\" viewBox=\"0 0 297 210\""), "{}", &text[..300]);
    // The eaves' path, read back: its longest level piece is 9.20 m at 1:50.
    let paths =
        text.split("class=\"eave\"").skip(1).map(|rest| rest.split(" d=\"").nth(1).unwrap().split('"').next().unwrap());
    let longest = paths
        .flat_map(|path| path.split('M'))
        .filter_map(|piece| {
            let numbers: Vec<f64> = piece.split(['L', ' ']).filter_map(|word| word.parse().ok()).collect();
            (numbers.len() == 4).then(|| (numbers[2] - numbers[0]).abs())
        })
        .fold(0.0, f64::max);
    assert!((longest * 50.0 / 1000.0 - 9.2).abs() < 1e-4, "{longest}");
    let path = file("hip.svg", text.as_bytes());
    if let Some(output) = run("xmllint", &["--noout", path.to_str().unwrap()]) {
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    }
}

/// Group codes and values of a DXF.
fn groups(text: &str) -> Vec<(i32, &str)> {
    let lines: Vec<&str> = text.lines().collect();
    lines.chunks(2).map(|pair| (pair[0].trim().parse().unwrap(), pair[1])).collect()
}

/// Closed outlines on the layer of faces.
fn face_rings(text: &str) -> Vec<Vec<Point2<f64>>> {
    let mut rings: Vec<Vec<Point2<f64>>> = Vec::new();
    let mut kind = "";
    let mut x = 0.0;
    let mut on_layer = false;
    for (code, value) in groups(text) {
        match code {
            0 => kind = value,
            8 => {
                on_layer = value == dxf::FACE_LAYER;
                if on_layer && kind == "POLYLINE" {
                    rings.push(Vec::new());
                }
            }
            10 if on_layer && kind == "VERTEX" => x = value.parse().unwrap(),
            20 if on_layer && kind == "VERTEX" => {
                rings.last_mut().unwrap().push(Point2::new(x, value.parse().unwrap()));
            }
            _ => {}
        }
    }
    rings
}

#[test]
fn dxf_gives_the_plan_areas_back() {
    for (roof, unit) in
        [(hip(9.2, 5.6, 2.4, 35.0), LengthUnit::Metre), (tee(), LengthUnit::Metre), (tee(), LengthUnit::Inch)]
    {
        let text = dxf::drawing(&pages(&roof, "Plan")[0], unit);
        let rings = face_rings(&text);
        assert_eq!(rings.len(), roof.roof_faces().count());
        for (ring, (_, face)) in rings.iter().zip(roof.roof_faces()) {
            let area = eavewright::base::polygon::signed_area(ring);
            let expected = roof.plan_area(face).0 / unit.metres().powi(2);
            assert!((area - expected).abs() < 1e-9 * expected, "{}: {area} for {expected}", face.name());
        }
    }
}

/// What an outside reader measures of every dimension, beside what it says; and what lies on the layer of the key.
const DIMENSIONS: &str = "
import sys, ezdxf
d = ezdxf.readfile(sys.argv[1])
assert not d.audit().errors, [str(e) for e in d.audit().errors]
m = d.modelspace()
for one in m.query('DIMENSION'):
    block = d.blocks.get(one.dxf.geometry)
    assert len(block.query('LINE')) >= 3 and len(block.query('TEXT')) == 1
    print('dimension', repr(one.get_measurement()), one.dxf.text)
print('legend', len(m.query('LINE[layer==\"legend\"]')), len(m.query('TEXT[layer==\"legend\"]')))
print('loose', len(m.query('LINE[layer==\"dimension\"]')))
";

#[test]
fn dimensions_are_entities_that_measure_what_they_say() {
    let Some(python) = python() else { return };
    for (name, roof) in [("hip", hip(9.2, 5.6, 2.4, 35.0)), ("tee", tee())] {
        let plan = &pages(&roof, "Dimensions")[0];
        let path = file(&format!("dimensions-{name}.dxf"), dxf::drawing(plan, LengthUnit::Metre).as_bytes());
        let output = run(&python, &["-c", DIMENSIONS, path.to_str().unwrap()]).unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        let said = String::from_utf8_lossy(&output.stdout).into_owned();
        let mut count = 0;
        for line in said.lines().filter_map(|line| line.strip_prefix("dimension ")) {
            let (measured, words) = line.split_once(' ').unwrap();
            let told = words.strip_suffix(" m").unwrap().rsplit(' ').next().unwrap();
            let (measured, told): (f64, f64) = (measured.parse().unwrap(), told.parse().unwrap());
            // Told to two decimals.
            assert!((measured - told).abs() < 0.005 + 1e-9, "{name}: {line}");
            count += 1;
        }
        assert!(count >= 4, "{said}");
        // The key has a line for each kind of edge of the plan, and no line of a dimension lies outside its block.
        let kinds: std::collections::BTreeSet<_> =
            roof.edges.iter().filter(|edge| !edge.kind.is_wall_only()).map(|edge| edge.kind).collect();
        assert!(said.contains(&format!("legend {} ", kinds.len())), "{said}");
        assert!(said.contains("loose 0"), "{said}");
    }
}

/// The size of the sheet in paper space, and how many millimetres of it a unit of the model is in its window; and whether all the
/// ink of the model lies within what the window shows.
const SHEET: &str = "
import sys, ezdxf
from ezdxf import bbox
d = ezdxf.readfile(sys.argv[1])
p = d.paperspace()
(frame,) = p.query('POLYLINE')
corners = [v.dxf.location for v in frame.vertices]
size = [max(c[axis] for c in corners) - min(c[axis] for c in corners) for axis in (0, 1)]
(window,) = [one for one in p.query('VIEWPORT') if one.dxf.id > 1]
assert window.dxf.status > 0
# The reader leaves this release's list of the view out, so it is read as it stands in the file.
with open(sys.argv[1]) as file:
    lines = [line.strip() for line in file]
pairs = list(zip(lines[::2], lines[1::2]))
start = pairs.index(('69', '2'))
told = [(code, value) for code, value in pairs[start + 1:] if int(code) > 999][:36]
assert [value for _, value in told[:4]] == ['ACAD', 'MVIEW', '{', '16'] and [value for _, value in told[-3:]] == ['{', '}', '}']
numbers = [float(value) for code, value in told if code == '1040']
tall, middle = numbers[1], numbers[2:4]
factor = window.dxf.height / tall
half = (window.dxf.width / factor / 2, window.dxf.height / factor / 2)
box = bbox.extents(d.modelspace())
inside = all(abs(corner[axis] - middle[axis]) <= half[axis] + 1e-9 for corner in (box.extmin, box.extmax) for axis in (0, 1))
print(size[0], size[1], repr(factor), inside)
";

#[test]
fn a_sheet_in_paper_space_shows_the_drawing_at_its_scale() {
    let Some(python) = python() else { return };
    let plan = &pages(&hip(9.2, 5.6, 2.4, 35.0), "Sheet")[0];
    for unit in [LengthUnit::Metre, LengthUnit::Inch] {
        let path = file(&format!("sheet-{}.dxf", unit.symbol()), dxf::drawing(plan, unit).as_bytes());
        let output = run(&python, &["-c", SHEET, path.to_str().unwrap()]).unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        let said = String::from_utf8_lossy(&output.stdout).into_owned();
        let words: Vec<&str> = said.split_whitespace().collect();
        // A4 on its side; the hip's plan is drawn 1:50.
        assert_eq!(words[..2], ["297.0", "210.0"], "{said}");
        let scale = 1000.0 * unit.metres() / words[2].parse::<f64>().unwrap();
        assert!((scale - 50.0).abs() < 1e-9, "1:{scale}");
        assert_eq!(words[3], "True", "{said}");
    }
}

/// A Python with `ezdxf`; `None`, and a line that says so, where there is none. CI must have it.
fn python() -> Option<String> {
    let python = std::env::var("EAVEWRIGHT_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    if run(&python, &["-c", "import ezdxf"])?.status.success() {
        return Some(python);
    }
    support::skipped("ezdxf", "a DXF is not audited", ".ci/validators");
    None
}

/// Audits a file from outside, converts the plan areas of its faces to square metres by the unit its own header names (the
/// library's conversion, not ours) and prints: unit, whether metric, areas, layers.
const AUDIT: &str = "
import sys, ezdxf
from ezdxf import units
d = ezdxf.readfile(sys.argv[1])
a = d.audit()
assert not a.errors and not a.fixes, (a.errors, a.fixes)
to_metres = units.conversion_factor(d.units, units.M)
def area(e):
    p = [v.dxf.location for v in e.vertices]
    return abs(sum(a.x * b.y - b.x * a.y for a, b in zip(p, p[1:] + p[:1]))) / 2 * to_metres ** 2
faces = [e for e in d.modelspace().query('POLYLINE') if e.dxf.layer == 'face']
print(d.units, d.header['$MEASUREMENT'], ' '.join('%.9f' % area(e) for e in faces))
print(sorted(l.dxf.name for l in d.layers))
";

#[test]
fn dxf_passes_an_outside_audit_and_gives_areas_back_by_the_unit_it_names() {
    let Some(python) = python() else { return };
    let roof = tee();
    let plan = &pages(&roof, "Tee \u{bd} 100%% Ж")[0];
    // The numbers of $INSUNITS in the published DXF reference.
    let units = [
        (LengthUnit::Metre, 6, 1),
        (LengthUnit::Centimetre, 5, 1),
        (LengthUnit::Millimetre, 4, 1),
        (LengthUnit::Foot, 2, 0),
        (LengthUnit::Inch, 1, 0),
    ];
    for (unit, number, metric) in units {
        for (name, text) in
            [("plan", dxf::drawing(plan, unit)), ("roof", dxf::roof(&roof, &solid::build(&roof, 0.0), &[], unit))]
        {
            let path = file(&format!("{name}-{}.dxf", unit.symbol()), text.as_bytes());
            let output = run(&python, &["-c", AUDIT, path.to_str().unwrap()]).unwrap();
            assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
            let said = String::from_utf8_lossy(&output.stdout).into_owned();
            assert!(said.contains("valley") && said.contains("ridge") && said.contains("verge"), "{said}");
            let numbers: Vec<f64> =
                said.lines().next().unwrap().split_whitespace().map(|word| word.parse().unwrap()).collect();
            assert_eq!(numbers[..2], [f64::from(number), f64::from(metric)], "{name} {unit:?}");
            let expected: Vec<f64> = roof.roof_faces().map(|(_, face)| roof.plan_area(face).0).collect();
            assert_eq!(numbers.len() - 2, expected.len());
            for (found, expected) in numbers[2..].iter().zip(expected) {
                assert!((found - expected).abs() < 1e-6, "{name} {unit:?}: {found} for {expected}");
            }
        }
    }
}

#[test]
fn pdf_is_sound_to_scale_and_its_text_can_be_selected() {
    let pages = pages(&hip(9.2, 5.6, 2.4, 35.0), "Boat store");
    let path = file("hip.pdf", &pdf::pdf(&pages, "Boat store").unwrap());
    let path = path.to_str().unwrap();
    if let Some(output) = run("qpdf", &["--check", path]) {
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    }
    if let Some(output) = run("pdfinfo", &[path]) {
        let said = String::from_utf8_lossy(&output.stdout).into_owned();
        // 297 x 210 mm in points of 1/72 inch.
        assert!(said.contains("841.89 x 595.276 pts (A4)"), "{said}");
    }
    if let Some(output) = run("pdffonts", &[path]) {
        let said = String::from_utf8_lossy(&output.stdout).into_owned();
        assert_eq!(said.lines().skip(2).filter(|line| line.contains(" yes yes yes ")).count(), 2, "{said}");
    }
    if let Some(output) = run("pdftotext", &["-raw", path, "-"]) {
        let said = String::from_utf8_lossy(&output.stdout).into_owned();
        for words in ["ridge 3.60 m", "eave 9.20 m", "21.88 m²", "pitch 35.0°", "page 1 of 1"] {
            assert!(said.contains(words), "{words} not in {said}");
        }
    }
    // The scale, measured back from the page description: the longest level line of 0.5 mm weight is 9.20 m at 1:50.
    if let Some(output) = run("qpdf", &["--qdf", "--object-streams=disable", path, "-"]) {
        let said = String::from_utf8_lossy(&output.stdout).into_owned();
        let mut longest: f64 = 0.0;
        let mut last: Option<[f64; 2]> = None;
        let mut scale = None;
        let mut operands: Vec<f64> = Vec::new();
        for word in said.split_whitespace() {
            match (word, operands.as_slice()) {
                ("cm", &[a, _, _, d, ..]) if scale.is_none() => {
                    assert_eq!(a, -d);
                    scale = Some(a);
                }
                ("m", &[.., x, y]) => last = Some([x, y]),
                ("l", &[.., x, y]) => {
                    // The frame and the rule of the title block are as wide as the page.
                    if let Some([from, level]) = last
                        && level == y
                        && (x - from).abs() < 200.0
                    {
                        longest = longest.max((x - from).abs());
                    }
                    last = Some([x, y]);
                }
                _ => {}
            }
            match word.parse() {
                Ok(number) => operands.push(number),
                Err(_) => operands.clear(),
            }
        }
        let scale = scale.expect("the page sets its unit");
        assert!((scale - 72.0 / 25.4).abs() < 1e-5, "{scale}");
        assert!((longest - 184.0).abs() < 1e-3, "{longest}");
    }
}
