//! `[framing]`: what timbers are cut to.

use super::words::GRID_END_WORDS;
use super::{choice, flag, length, lengths, limits, of, tables};
use crate::base::schema::{Key, Kind, Naming, Table};

/// `[framing]`.
pub static FRAMING: Table = Table {
    name: "framing",
    header: "[framing]",
    one: "framing",
    many: "Framing",
    about: "Timbers are worked out, marked, counted, listed by the length they are cut from, and ordered. A section is \
            [thickness, depth]. It is geometry: sections and spacing are for a structural engineer to set.",
    keys: &[
        length("spacing", limits::TIMBER_SPACING, "spacing", "0.60", "of rafters, centre to centre along the eave")
            .or(0.6),
        section("rafter", "rafters", "[\"50 mm\", \"150 mm\"]", "rafters, jacks and trimmers round openings")
            .or_else("50 x 150 mm, for lengths and cuts alone"),
        section("hip", "hips", "[\"50 mm\", \"175 mm\"]", "hip rafters").or_else("as rafters"),
        section("valley", "valleys", "[\"50 mm\", \"175 mm\"]", "valley rafters").or_else("as rafters"),
        section("ridge", "ridge board", "[\"38 mm\", \"200 mm\"]", "the board between rafters at the ridge")
            .or_else("none: rafters meet"),
        section("plate", "plates", "[\"100 mm\", \"75 mm\"]", "wall plates").or_else("none is listed"),
        section("fascia", "fascias", "[\"22 mm\", \"175 mm\"]", "boards over rafters' feet and along verges")
            .or_else("none: rafters reach the drip edge"),
        length(
            "heel",
            limits::HEEL,
            "heel",
            "\"110 mm\"",
            "plumb, from the plate's outer upper edge to the top of the rafter",
        )
        .or_else("the block's above_plate; where that is 0 a notch of a third of the steepest rafter"),
        length(
            "tail",
            limits::OVERHANG,
            "tail",
            "0.30",
            "level, from the plate's outer edge to the cut at the rafter's foot",
        )
        .or_else("up to the fascia"),
        length(
            "projection",
            limits::PROJECTION,
            "projection",
            "\"40 mm\"",
            "level, from the fascia's front out to the drip edge",
        )
        .or(0.0),
        flag("birdsmouth", "birdsmouth", "true", "whether rafters are notched over the plate").or_flag(true),
        flag(
            "backed",
            "hips planed",
            "true",
            "true: hips are planed to both slopes; false: they are lowered until both clear them",
        )
        .or_flag(false),
        length("soffit", limits::THICKNESS, "soffit", "\"12 mm\"", "thickness of a level board from the fascia's lower edge back to the wall")
            .or_else("none is drawn"),
        length("wall", limits::TIMBER, "walls", "\"140 mm\"", "thickness of the walls under the plates, for details")
            .or_else("their outer faces alone are drawn"),
        Key::new(
            "purlins",
            Kind::AnyLengths(limits::IN_FACE),
            "purlins",
            "[1.4]",
            "where purlins lie under the rafters, up the slope from the eave: drawn as lines, their sizes are left to an engineer",
        )
        .or_else("none are drawn"),
        length(
            "collar",
            limits::STOREY,
            "collars",
            "1.2",
            "where collars tie rafters that meet at a ridge, plumb above the higher of both eaves: drawn as lines, sizes are left to an \
             engineer",
        )
        .or_else("none are drawn"),
        Key::new(
            "stock",
            Kind::AnyLengths(limits::STOCK),
            "stock lengths",
            "[3.0, 3.6, 4.2, 4.8, 5.4]",
            "what lengths the yard has",
        )
        .or_else("any"),
        tables("grid", &GRID, "a face whose rafters are set out otherwise"),
    ],
    names: None,
    example: "[framing]\nspacing = 0.60\nrafter = [\"50 mm\", \"150 mm\"]\nhip = [\"50 mm\", \"175 mm\"]\nridge = [\"38 mm\", \
              \"200 mm\"]\nfascia = [\"22 mm\", \"175 mm\"]\nheel = \"110 mm\"\nstock = [3.0, 3.6, 4.2, 4.8, 5.4]",
};

/// `[[framing.grid]]`.
pub static GRID: Table = Table {
    name: "grid",
    header: "[[framing.grid]]",
    one: "grid",
    many: "Setting out of rafters",
    about: "Without one the rafters of a face are counted from the end of its ridge or its apex, so that those of both slopes \
            stand opposite each other and jacks of even pitches meet in pairs.",
    keys: &[
        of("face", Naming::AnyFace, "face", "\"store/A\"", "the face").needed(),
        length("spacing", limits::TIMBER_SPACING, "spacing", "0.40", "centre to centre along the eave")
            .or_else("as for all"),
        choice(
            "from",
            &GRID_END_WORDS,
            "from",
            "\"left\"",
            "which end of its eave, seen from outside, counting starts from",
        )
        .or_else("left where a first centre is given, else as for all"),
        length("first", limits::IN_FACE, "first centre", "0.30", "from that end to the first rafter's centre")
            .or_else("half a rafter, flush, where an end is given, else as for all"),
    ],
    names: None,
    example: "[[framing.grid]]\nface = \"store/A\"\nspacing = 0.40\nfrom = \"right\"\nfirst = 0.30",
};

/// A section: thickness and depth.
const fn section(key: &'static str, label: &'static str, example: &'static str, about: &'static str) -> Key {
    lengths(key, 2, limits::TIMBER, label, example, about)
}
