//! What was measured between points and on faces: tapes, readings, things checked on site, photos.

use super::columns::{Bears, Form, MEASURE, MEASURES, NAMES, WORDS, column};
use super::field::Of;
use super::list::{self, List};
use crate::base::written::WrittenTable;
use crate::viewer::desk::Desk;
use eframe::egui;

const LISTS: &[List] = &[
    List {
        key: "tape",
        one: "tape",
        many: "Tapes",
        about: "Straight from point to point. Corners of the outline are points too; a diagonal proves the walk.",
        columns: &[
            column("from", "from", 70.0, WORDS, "A"),
            column("to", "to", 70.0, WORDS, "C"),
            column("length", "length", 104.0, MEASURE, "10.77"),
        ],
        more: &[
            column("method", "taken with", 190.0, Form::LengthMethod, ""),
            column("sigma", "sigma", 100.0, MEASURE, "usual"),
            column("plan", "", 100.0, Form::Flag, "held level"),
        ],
    },
    List {
        key: "pitch_reading",
        one: "pitch reading",
        many: "Pitch readings",
        about: "Read on a face with a level and rule, or an inclinometer.",
        columns: &[column("face", "face", 140.0, WORDS, "south"), column("pitch", "pitch", 90.0, MEASURE, "34.5")],
        more: &[
            column("method", "read with", 190.0, Form::PitchMethod, ""),
            column("sigma", "sigma, degrees", 100.0, MEASURE, "usual"),
        ],
    },
    List {
        key: "level",
        one: "level",
        many: "Levels",
        about: "Points at one height: along an eave, along a ridge.",
        columns: &[column("points", "points", 250.0, NAMES, "E1, E2")],
        more: &[column("sigma", "sigma", 100.0, MEASURE, "usual")],
    },
    List {
        key: "plumb",
        one: "plumb line",
        many: "Plumb lines",
        about: "One point straight above another.",
        columns: &[column("points", "points", 250.0, NAMES, "a, E1")],
        more: &[column("sigma", "sigma", 100.0, MEASURE, "usual")],
    },
    List {
        key: "square",
        one: "right angle",
        many: "Right angles",
        about: "A right angle that was checked on site, never one that was assumed.",
        columns: &[column("at", "at", 84.0, WORDS, "E1"), column("arms", "towards", 160.0, NAMES, "E2, E4")],
        more: &[column("sigma", "sigma, degrees", 100.0, MEASURE, "usual")],
    },
    List {
        key: "equal_pitch",
        one: "equal pitch",
        many: "Equal pitches",
        about: "Faces that were found to slope alike.",
        columns: &[column("faces", "faces", 250.0, NAMES, "south, north")],
        more: &[column("sigma", "sigma, degrees", 100.0, MEASURE, "usual")],
    },
    List {
        key: "upright",
        one: "upright",
        many: "Uprights",
        about: "A point plumb over a line: a gable's apex over its wall.",
        columns: &[column("point", "point", 84.0, WORDS, "R1"), column("over", "over the line", 160.0, NAMES, "A, D")],
        more: &[column("sigma", "sigma", 100.0, MEASURE, "usual")],
    },
    List {
        key: "axis",
        one: "axis",
        many: "Axes for photos",
        about: "Which way an edge runs: along x or y of the plan, or plumb. Only tells a photo apart from its mirror.",
        columns: &[
            column("from", "from", 70.0, WORDS, "E1"),
            column("to", "to", 70.0, WORDS, "E2"),
            column("along", "along", 80.0, Form::Choice(&["", "+x", "-x", "+y", "-y", "+z", "-z"]), ""),
        ],
        more: &[],
    },
    List {
        key: "camera",
        one: "camera",
        many: "Cameras",
        about: "Photos of one camera share what is found out about its lens.",
        columns: &[
            column("name", "name", 110.0, Form::Name(Bears::Camera), "phone"),
            column("focal", "focal, pixels", 110.0, MEASURE, "from the photo"),
        ],
        more: &[
            column("focal_sigma", "sigma of focal", 100.0, MEASURE, "3 %"),
            column("centre", "centre", 140.0, MEASURES, "the middle"),
            column("centre_sigma", "sigma of centre", 100.0, MEASURE, "pixels"),
            column("k1", "k1", 100.0, MEASURE, "0"),
            column("k1_sigma", "sigma of k1", 100.0, MEASURE, "0.02"),
        ],
    },
    List {
        key: "photo",
        one: "photo",
        many: "Photos",
        about: "A picture beside the roof file, with points marked in it.",
        columns: &[column("file", "file", 140.0, WORDS, "front.jpg"), column("camera", "camera", 90.0, WORDS, "phone")],
        more: &[
            column("size", "size, pixels", 120.0, MEASURES, "from the picture"),
            column("mark_sigma", "sigma of marks", 100.0, MEASURE, "2.0 pixels"),
        ],
    },
];

/// The whole page.
pub fn show(ui: &mut egui::Ui, desk: &mut Desk, file: &WrittenTable) {
    for list in LISTS {
        list::show(ui, desk, Of { way: &[], table: file }, list);
    }
}
