//! Jobs whose outputs are read: the examples and twenty roofs of tests, in metres and in feet.

use eavewright::base::units::LengthUnit;
use eavewright::input::{self, NoFiles};
use eavewright::job::Job;
use std::path::Path;

/// Twenty roofs that stand as files beside the tests.
const FILES: [&str; 16] = [
    "roofs/eaves_at_three_levels",
    "roofs/half_hip_and_gablet",
    "roofs/mansard_round_a_court",
    "roofs/many_ridges_at_one_point",
    "roofs/one_slope_overtakes_another",
    "roofs/spire_with_sprocket",
    "roofs/star_of_reflex_corners",
    "roofs/step_in_a_straight_eave",
    "roofs/unequal_hips_over_a_wall",
    "roofs/wings_of_equal_ridges",
    "drawings/courtyard",
    "drawings/dormered_barn",
    "drawings/feet_and_gablets",
    "drawings/half_hips",
    "drawings/unequal_overhang",
    "roofs/comb_of_equal_teeth",
];

const EXAMPLES: [&str; 5] = ["apple_store", "boat_store", "field_shed", "lean_to", "stable_l"];

/// A gable, a hip with a measured overhang, a lean-to and a roof with openings, walked with the tape.
pub const WRITTEN: [(&str, &str); 12] = [
    (
        "gable",
        "title = \"Gable\"\nunits = \"m\"\n[[block]]\nname = \"shed\"\nheight = 2.2\nsides = [\n\
         { from = \"A\", length = 5.013, turn = \"L\", pitch = 31 },\n{ from = \"B\", length = 4.027, turn = \"L\", verge = true },\n\
         { from = \"C\", length = 5.009, turn = \"L\", pitch = 31 },\n{ from = \"D\", length = 4.022, verge = true },\n]\n\
         [covering]\ncard = \"strip-shingle\"\n",
    ),
    (
        "walls",
        "title = \"Walls\"\nunits = \"m\"\n[[block]]\nname = \"house\"\nheight = 2.7\nmeasured_at = \"wall\"\n\
         overhang = { eave = 0.40, verge = 0.25 }\nsides = [\n\
         { from = \"A\", length = 8.413, turn = \"L\", pitch = 38 },\n{ from = \"B\", length = 6.218, turn = \"L\", pitch = 38 },\n\
         { from = \"C\", length = 8.409, turn = \"L\", pitch = 38 },\n{ from = \"D\", length = 6.221, verge = true },\n]\n\
         [covering]\ncard = \"slate\"\n",
    ),
    (
        "lean-to",
        "title = \"Store\"\nunits = \"m\"\n[[block]]\nname = \"store\"\nheight = 2.1\nsides = [\n\
         { from = \"A\", length = 6.113, turn = \"L\", pitch = 17 },\n{ from = \"B\", length = 2.907, turn = \"L\", verge = true },\n\
         { from = \"C\", length = 6.107, turn = \"L\", abutment = true },\n{ from = \"D\", length = 2.911, verge = true },\n]\n\
         [covering]\ncard = \"strip-shingle\"\n",
    ),
    (
        "openings",
        "title = \"Loft\"\nunits = \"m\"\n[[block]]\nname = \"loft\"\nheight = 3.1\nsides = [\n\
         { from = \"A\", length = 9.213, turn = \"L\", pitch = 42 },\n{ from = \"B\", length = 7.127, turn = \"L\", verge = true },\n\
         { from = \"C\", length = 9.209, turn = \"L\", pitch = 42 },\n{ from = \"D\", length = 7.122, verge = true },\n]\n\
         [[tape]]\nfrom = \"A\"\nto = \"C\"\nlength = 11.65\n\
         [[opening]]\nface = \"loft/A\"\nat = [2.013, 1.207]\nsize = [0.783, 1.181]\nkind = \"roof window\"\n\
         [covering]\ncard = \"strip-shingle\"\n[prices]\ncurrency = \"EUR\"\nstrip-shingle = 17.35\nunderlay = 41.2\n",
    ),
    (
        "tiled",
        "title = \"Barn\"\nunits = \"m\"\n[[block]]\nname = \"barn\"\nheight = 2.6\nsides = [\n\
         { from = \"A\", length = 7.413, turn = \"L\", pitch = 33 },\n{ from = \"B\", length = 5.218, turn = \"L\", verge = true },\n\
         { from = \"C\", length = 7.409, turn = \"L\", pitch = 33 },\n{ from = \"D\", length = 5.221, verge = true },\n]\n\
         [covering]\ncard = \"interlocking-tile\"\n[covering.card_values]\nunit.gauge = \"341 mm\"\nunit.pack = 37\n\
         underlay.length = \"33 m\"\nnails.spare = \"7 %\"\n[[covering.card_values.min_pitch]]\npitch = 23\nsource = \"ours\"\n\
         [[repair]]\nface = \"barn/A\"\nat = [1.37, 0.93]\nsize = [1.61, 0.87]\n",
    ),
    (
        "shingles by the square",
        "title = \"Shop\"\nunits = \"ft\"\n[[block]]\nname = \"shop\"\nheight = 9.1\nsides = [\n\
         { from = \"A\", length = 23.3, turn = \"L\", pitch = \"8:12\" },\n{ from = \"B\", length = 17.2, turn = \"L\", verge = true },\n\
         { from = \"C\", length = 23.3, turn = \"L\", pitch = \"3:12\" },\n{ from = \"D\", length = 17.2, verge = true },\n]\n\
         [covering]\ncard = \"strip-shingle-us\"\n[[repair]]\nface = \"shop/A\"\nfirst_course = 7\nlast_course = 9\n\
         along = [3.7, 8.9]\ndeck = true\n",
    ),
    (
        "two coverings",
        "title = \"Yard\"\nunits = \"m\"\n[[block]]\nname = \"shed\"\nheight = 2.2\nsides = [\n\
         { from = \"A\", at = [0, 0], pitch = 31 },\n{ from = \"B\", at = [5.013, 0], verge = true },\n\
         { from = \"C\", at = [5.013, 4.027], pitch = 31 },\n{ from = \"D\", at = [0, 4.027], verge = true },\n]\n\
         [[block]]\nname = \"stable\"\nheight = 2.7\ncovering = \"slate\"\nsides = [\n\
         { from = \"A\", at = [20, 0], pitch = 37 },\n{ from = \"B\", at = [27.31, 0], pitch = 37 },\n\
         { from = \"C\", at = [27.31, 5.17], pitch = 37 },\n{ from = \"D\", at = [20, 5.17], pitch = 37 },\n]\n",
    ),
    (
        "kept to limits",
        "title = \"Loft\"\nunits = \"m\"\n[[block]]\nname = \"loft\"\nheight = 2.93\nsides = [\n\
         { from = \"A\", length = 8.013, turn = \"L\", pitch = 41 },\n{ from = \"B\", length = 6.027, turn = \"L\", verge = true },\n\
         { from = \"C\", length = 8.009, turn = \"L\", pitch = 41 },\n{ from = \"D\", length = 6.022, verge = true },\n]\n\
         [prices]\ncurrency = \"EUR\"\nstrip-shingle = 17.35\nlabour-m2 = 13.7\n\
         [compare]\nplanning_height = 4.87\nheadroom = 1.93\nfloor = 2.37\nbuild_up = 0.23\n",
    ),
    (
        "felt",
        "title = \"Garage\"\nunits = \"m\"\n[[block]]\nname = \"garage\"\nheight = 2.3\nsides = [\n\
         { from = \"A\", length = 9.113, turn = \"L\", pitch = 4 },\n{ from = \"B\", length = 6.007, turn = \"L\", verge = true },\n\
         { from = \"C\", length = 9.109, turn = \"L\", abutment = true },\n{ from = \"D\", length = 6.011, verge = true },\n]\n\
         [[opening]]\nface = \"garage/A\"\nat = [2.013, 1.207]\nsize = [0.783, 0.981]\nkind = \"rooflight\"\n\
         [covering]\ncard = \"felt\"\n[prices]\ncurrency = \"EUR\"\nfelt = 61.3\nbase-layer = 37.1\nadhesive = 48\n",
    ),
    (
        "felted-hip",
        "title = \"Kiosk\"\nunits = \"m\"\n[[block]]\nname = \"kiosk\"\nheight = 2.5\nsides = [\n\
         { from = \"A\", length = 6.213, turn = \"L\", pitch = 17 },\n{ from = \"B\", length = 4.107, turn = \"L\", pitch = 17 },\n\
         { from = \"C\", length = 6.209, turn = \"L\", pitch = 17 },\n{ from = \"D\", length = 4.111, pitch = 17 },\n]\n\
         [covering]\ncard = \"felt\"\n",
    ),
    (
        "framed",
        "title = \"Store\"\nunits = \"m\"\n[[block]]\nname = \"store\"\nheight = 2.413\nmeasured_at = \"wall\"\n\
         above_plate = \"127 mm\"\noverhang = { eave = 0.337, verge = 0.211, fascia = \"level\" }\nsides = [\n\
         { from = \"A\", length = 8.413, turn = \"L\", pitch = 33 },\n{ from = \"B\", length = 4.817, turn = \"L\", pitch = 41 },\n\
         { from = \"C\", length = 8.409, turn = \"L\", pitch = 33 },\n{ from = \"D\", length = 4.811, verge = true },\n]\n\
         [[opening]]\nface = \"store/A\"\nat = [2.213, 1.007]\nsize = [0.783, 1.181]\nkind = \"roof window\"\n\
         [framing]\nspacing = 0.587\nrafter = [\"47 mm\", \"147 mm\"]\nhip = [\"47 mm\", \"172 mm\"]\n\
         ridge = [\"36 mm\", \"197 mm\"]\nplate = [\"97 mm\", \"48 mm\"]\nfascia = [\"21 mm\", \"171 mm\"]\nprojection = \"33 mm\"\n\
         stock = [3.0, 3.6, 4.2, 4.8, 5.4]\n",
    ),
    (
        "offered",
        "title = \"Shed\"\nunits = \"m\"\n[[block]]\nname = \"shed\"\nheight = 2.2\nsides = [\n\
         { from = \"A\", length = 5.013, turn = \"L\", pitch = 31 },\n{ from = \"B\", length = 4.027, turn = \"L\", verge = true },\n\
         { from = \"C\", length = 5.009, turn = \"L\", pitch = 31 },\n{ from = \"D\", length = 4.022, verge = true },\n]\n\
         [prices]\ncurrency = \"EUR\"\nstrip-shingle = 17.35\nunderlay = { each = 3.15, per = \"m²\" }\naccess-m = 7.3\n\
         disposal-t = 131\nmarkup = \"13 %\"\ntax = \"19 %\"\n[prices.hours]\neach = 47.5\ncover = 0.41\n\
         [offer]\nleft_out = [\"nail\", \"adhesive\", \"deck-board\", \"fascia-board\", \"verge-board\", \"soffit\",\n\
         \"edge-strip-eave\", \"edge-strip-verge\", \"gutter\", \"downpipe\"]\n\
         [old_roof]\nkind = \"bitumen shingles\"\nweight = 11\nloose_thickness = \"30 mm\"\n",
    ),
];

fn read(name: &str, text: &str, beside: &impl input::Files) -> Job {
    let (job, ..) = input::read(name, text, beside).unwrap_or_else(|errors| panic!("{name}: {errors:?}"));
    job
}

/// Every job by name, each in metres and in feet.
pub fn jobs() -> Vec<(String, Job)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut found = Vec::new();
    let examples = EXAMPLES.iter().map(|name| root.join("examples").join(format!("{name}.toml")));
    let files = FILES.iter().map(|name| root.join("tests").join(format!("{name}.toml")));
    for path in examples.chain(files) {
        let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        let name = path.file_stem().map_or_else(String::new, |stem| stem.to_string_lossy().into_owned());
        found.push((name.clone(), read(&name, &text, &input::Beside::of(&path))));
    }
    found.extend(WRITTEN.iter().map(|(name, text)| ((*name).to_owned(), read(name, text, &NoFiles))));
    let both = |(name, job): (String, Job)| {
        let feet = Job { units: LengthUnit::Foot, ..job.clone() };
        let metres = Job { units: LengthUnit::Metre, ..job };
        [(format!("{name} in metres"), metres), (format!("{name} in feet"), feet)]
    };
    // One job while it is being mended: TRACE_JOB=felt.
    let wanted = std::env::var("TRACE_JOB").unwrap_or_default();
    found.into_iter().filter(|(name, _)| name.starts_with(&wanted)).flat_map(both).collect()
}
