//! What stands in a roof: dormers and openings.

use super::block::{pitch_by, pitch_sigma};
use super::words::DORMER_WORDS;
use super::{choice, length, lengths, limits, name, of, pitch, text};
use crate::base::schema::{Key, Kind, Naming, Table};

/// `[[dormer]]`.
pub static DORMER: Table = Table {
    name: "dormer",
    header: "[[dormer]]",
    one: "dormer",
    many: "Dormers",
    about: "Set into a face: by the left corner of its front, along the eave and level distance in from it. Its cheeks and \
            front stand plumb.",
    keys: &[
        name("name", Naming::Dormer, "name", "\"d1\"", "the dormer's name").needed().first(),
        of("face", Naming::Side, "face", "\"store/A\"", "the side whose face it stands in; \"store/A:2\" is the second piece from below").needed().first(),
        choice("kind", &DORMER_WORDS, "roof", "\"gable\"", "the shape of its roof").needed(),
        lengths("at", 2, limits::IN_FACE, "corner: along, in", "[2.5, 0.8]", "its front's left corner seen from outside: [along the eave from the face's left end, level distance in from the eave]").needed(),
        length("width", limits::DORMER, "width", "1.6", "of its front").needed(),
        length("front_height", limits::DORMER, "height of its front", "1.1", "plumb, from the face at the front up to its own eaves").needed(),
        pitch("pitch", "pitch", "35", "of its roof").needed(),
        pitch_by(),
        pitch_sigma(),
    ],
    names: None,
    example: "[[dormer]]\nname = \"d1\"\nface = \"store/A\"\nat = [2.5, 0.8]\nwidth = 1.6\nfront_height = 0.6\npitch = 35\nkind = \"gable\"",
};

/// `[[opening]]`.
pub static OPENING: Table = Table {
    name: "opening",
    header: "[[opening]]",
    one: "opening",
    many: "Openings",
    about: "Chimneys, roof windows, vents: by their lower left corner in a face, seen from outside, along the eave and up \
            the slope; or by a plan that cuts every face it meets.",
    keys: &[
        text("kind", limits::NAME, "what", "\"roof window\"", "what it is: \"chimney\", \"roof window\", \"vent\"")
            .or_else("opening")
            .first(),
        of("face", Naming::AnyFace, "face", "\"south\"", "the face it lies in")
            .or_else("needed unless `plan` is given")
            .first(),
        lengths(
            "at",
            2,
            limits::IN_FACE,
            "corner: along, up",
            "[2.0, 1.2]",
            "its lower left corner: [along the face's lowest eave from its left end, up the slope]",
        )
        .or_else("needed unless `plan` is given"),
        lengths("size", 2, limits::OPENING, "size: along, up", "[0.78, 1.18]", "[along the eave, up the slope]")
            .or_else("needed unless `plan` is given"),
        length(
            "height",
            limits::RISE,
            "height over the roof",
            "0.9",
            "plumb, from the roof at its highest corner up to the top of what stands there: a chimney is then drawn as it stands",
        )
        .or_else("drawn as an outline on the roof"),
        Key::new(
            "plan",
            Kind::Outline(limits::PLACE),
            "or plan",
            "[[2, 1], [3, 1], [3, 2]]",
            "instead of `face`, `at` and `size`: places [[x, y], …] of a plumb prism that is cut through every face it meets",
        ),
    ],
    names: None,
    example: "[[opening]]\nface = \"store/C\"\nat = [2.0, 1.2]\nsize = [0.78, 1.18]\nkind = \"roof window\"",
};
