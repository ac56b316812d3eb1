//! The blank field sheet: what to tape first, how, to what, so that a first visit brings back enough.

use crate::base::tolerance::ROUNDING;
use crate::drawing::typeset::document::{Align, Block, Document, Table};
use crate::drawing::typeset::format::Format;
use crate::drawing::typeset::lettering::MEDIUM;
use crate::drawing::typeset::pen::Pen;
use crate::drawing::{Context, Drawing, Text};
use crate::roof::EdgeKind;
use crate::wording::roof::edge_word;
use nalgebra::{Point2, Vector2};

/// A shape of roof that a field sheet is printed for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// Hipped over a rectangle.
    Hip,
    /// Gabled.
    Gable,
    /// One slope, free or against a wall.
    LeanTo,
    /// With wings: an L or a T.
    Wings,
    /// Anything, by points and photos.
    Points,
}

impl Shape {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Hip, Self::Gable, Self::LeanTo, Self::Wings, Self::Points];

    /// The word it is asked for by.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Hip => "hip",
            Self::Gable => "gable",
            Self::LeanTo => "lean-to",
            Self::Wings => "wings",
            Self::Points => "points",
        }
    }

    /// The shape of a word; `None` for others.
    #[must_use]
    pub fn of(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|shape| shape.word() == word)
    }

    fn title(self) -> &'static str {
        match self {
            Self::Hip => "Hipped roof",
            Self::Gable => "Gabled roof",
            Self::LeanTo => "Lean-to",
            Self::Wings => "Roof with wings",
            Self::Points => "Roof by points and photos",
        }
    }

    /// Names of the corners of the sketch, in order.
    fn corner_names(self) -> Vec<String> {
        match self {
            Self::Points => ["E1", "E2", "E3", "E4", "R1", "R2"].map(str::to_owned).to_vec(),
            _ => ('A'..='Z').map(String::from).collect(),
        }
    }

    /// Lines of the sketch on a field 100 wide and 60 high, and its named corners.
    fn sketch(self) -> (Vec<(Pen, [f64; 4])>, Vec<[f64; 2]>) {
        let (eave, verge) = (Pen::Edge(EdgeKind::Eave), Pen::Edge(EdgeKind::Verge));
        let (ridge, hip) = (Pen::Edge(EdgeKind::Ridge), Pen::Edge(EdgeKind::Hip));
        let (valley, wall) = (Pen::Edge(EdgeKind::Valley), Pen::Edge(EdgeKind::Abutment));
        let rectangle = vec![[0.0, 0.0], [100.0, 0.0], [100.0, 60.0], [0.0, 60.0]];
        match self {
            Self::Hip | Self::Points => (
                vec![
                    (eave, [0.0, 0.0, 100.0, 0.0]),
                    (eave, [100.0, 0.0, 100.0, 60.0]),
                    (eave, [100.0, 60.0, 0.0, 60.0]),
                    (eave, [0.0, 60.0, 0.0, 0.0]),
                    (hip, [0.0, 0.0, 30.0, 30.0]),
                    (hip, [0.0, 60.0, 30.0, 30.0]),
                    (hip, [100.0, 0.0, 70.0, 30.0]),
                    (hip, [100.0, 60.0, 70.0, 30.0]),
                    (ridge, [30.0, 30.0, 70.0, 30.0]),
                ],
                if self == Self::Points {
                    rectangle.into_iter().chain([[30.0, 30.0], [70.0, 30.0]]).collect()
                } else {
                    rectangle
                },
            ),
            Self::Gable => (
                vec![
                    (eave, [0.0, 0.0, 100.0, 0.0]),
                    (verge, [100.0, 0.0, 100.0, 60.0]),
                    (eave, [100.0, 60.0, 0.0, 60.0]),
                    (verge, [0.0, 60.0, 0.0, 0.0]),
                    (ridge, [0.0, 30.0, 100.0, 30.0]),
                ],
                rectangle,
            ),
            Self::LeanTo => (
                vec![
                    (eave, [0.0, 0.0, 100.0, 0.0]),
                    (verge, [100.0, 0.0, 100.0, 60.0]),
                    (wall, [100.0, 60.0, 0.0, 60.0]),
                    (verge, [0.0, 60.0, 0.0, 0.0]),
                ],
                rectangle,
            ),
            Self::Wings => (
                vec![
                    (eave, [0.0, 0.0, 36.0, 0.0]),
                    (eave, [36.0, 0.0, 36.0, 24.0]),
                    (eave, [36.0, 24.0, 100.0, 24.0]),
                    (verge, [100.0, 24.0, 100.0, 60.0]),
                    (eave, [100.0, 60.0, 0.0, 60.0]),
                    (eave, [0.0, 60.0, 0.0, 0.0]),
                    (hip, [0.0, 60.0, 18.0, 42.0]),
                    (valley, [36.0, 24.0, 18.0, 42.0]),
                    (ridge, [18.0, 42.0, 100.0, 42.0]),
                    (ridge, [18.0, 42.0, 18.0, 18.0]),
                    (hip, [0.0, 0.0, 18.0, 18.0]),
                    (hip, [36.0, 0.0, 18.0, 18.0]),
                ],
                vec![[0.0, 0.0], [36.0, 0.0], [36.0, 24.0], [100.0, 24.0], [100.0, 60.0], [0.0, 60.0]],
            ),
        }
    }

    /// In the order in which they are worth the time.
    fn ten_minutes(self) -> Vec<&'static str> {
        if self == Self::Points {
            return vec![
                "Walk round: photograph every corner slanting, the whole roof in each picture, from as far apart as you can.",
                "Every corner must show in two photos at least, better in three; keep the phone at one zoom.",
                "First tape: two or more lengths along the walls that show in the photos, foot to foot, the longest you can.",
                "Then one upright: from a wall's foot to the eave straight above it.",
                "Letter the corners on a sketch: E at eaves, R at ridges, a, b, c at the walls' feet.",
                "Read the pitch of every slope you can reach; note what is level and what stands plumb.",
            ];
        }
        let mut list = vec![
            "Photograph every side square on and every corner slanting, the whole roof in each picture.",
            "First tape: every side of the outline, always to the same edge; note which (drip edge, fascia, wall …).",
            "Then one diagonal at least, corner to corner, held level: it proves the corners.",
        ];
        list.extend(match self {
            Self::Hip | Self::Wings => {
                vec!["Read the pitch of one long and one short slope.", "Height of the eaves above the ground."]
            }
            Self::Gable => {
                vec!["Read the pitch at a gable with level and rule.", "Height of eaves and ridge at a gable."]
            }
            Self::LeanTo => {
                vec!["Height of the eave and of the head at the wall.", "Read the pitch along the verge board."]
            }
            Self::Points => Vec::new(),
        });
        list
    }

    fn thorough(self, format: Format) -> Vec<String> {
        let upstand =
            format!("Height free above the head for an upstand of {}; the wall's face and joints.", format.fine(0.150));
        let mut list = vec![
            "Both diagonals of every rectangle; every side twice, from the other end.",
            "Pitch of every slope, three readings each.",
            "Overhang at eave and verge by plumb line; what the gutter takes.",
            "Deck: boards or sheets, thickness, spacing of rafters, damp or soft places.",
            "Old covering: what it is, how many layers, when it was laid. Anything that may hold asbestos is not broken.",
            "Every chimney, window, pipe: where along the eave and up the slope, its size, its flashing.",
        ];
        list.extend(match self {
            Self::Hip | Self::Points => vec!["Ridge length; one hip taped along the slope."],
            Self::Gable => vec!["Rafter taped along the verge, eave to ridge, both sides."],
            Self::LeanTo => vec![upstand.as_str()],
            Self::Wings => vec!["Where each wing's ridge meets the main slope; one valley taped along the slope."],
        });
        list.into_iter().map(str::to_owned).collect()
    }
}

/// A blank field sheet. Deterministic.
#[must_use]
pub fn field_sheet(shape: Shape, context: &Context) -> Document {
    let mut document =
        Document { title: shape.title().to_owned(), kind: "field sheet".to_owned(), date: None, blocks: Vec::new() };
    let line = "_".repeat(26);
    document.text(format!("Job {line}   by {line}"));
    document.text(format!(
        "Date ____________   units: {}   weather {line}",
        if context.words.imperial { "feet and inches" } else { "metres" }
    ));
    document.figure(
        Some(sketch(shape)),
        "Write lengths on the lines. Letter corners in the order you walk; which way is north?",
    );
    document.caution(
        "From the ground where you can. Ladder foot out by a quarter of its length, tied, somebody at the foot; never on a \
         wet, iced or fragile roof, never near power lines.",
    );
    let owned = |list: Vec<&str>| list.into_iter().map(str::to_owned).collect::<Vec<_>>();
    document.heading(2, "Ten minutes");
    document.blocks.push(Block::Checks(owned(shape.ten_minutes())));
    document.heading(2, "Thorough");
    document.blocks.push(Block::Checks(shape.thorough(context.words)));
    if shape == Shape::Points {
        points(&mut document);
        return document;
    }
    document.heading(2, "Outline");
    let mut table = form(&[
        "side",
        "length            ",
        "again             ",
        "turn at its end",
        "eave, verge or wall",
        "pitch     ",
        "overhang",
    ]);
    let (_, corners) = shape.sketch();
    let letters: Vec<String> = shape.corner_names().into_iter().take(corners.len()).collect();
    for (index, letter) in letters.iter().enumerate() {
        let next = &letters[(index + 1) % letters.len()];
        table.row([&format!("{letter} to {next}"), "", "", "L   R   ____°"]);
    }
    document.table(table);
    document.heading(2, "Checks");
    let mut table =
        form(&["from  ", "to    ", "measure                ", "again                  ", "how                    "]);
    for (from, to) in [("A", "C"), ("B", "D"), ("", ""), ("ground", "eaves"), ("ground", "ridge")] {
        table.row([from, to]);
    }
    document.table(table);
    document.text(HOW);
    finds(&mut document);
    document
}

/// What lies on the roof and under it.
fn finds(document: &mut Document) {
    document.heading(2, "Chimneys, windows, pipes, dormers");
    let mut table = form(&[
        "what               ",
        "over side",
        "along the eave",
        "up the slope",
        "width    ",
        "height   ",
        "flashing",
    ]);
    for _ in 0..3 {
        table.row([""]);
    }
    document.table(table);
    document.heading(2, "Covering and deck");
    let mut table = form(&["what                          ", "found                                   "]);
    for what in ["covering, layers, age", "deck, thickness", "rafters: size, spacing", "damp, soft or sagging places"] {
        table.row([what]);
    }
    document.table(table);
}

/// A table to write in: heads wide as they are, blanks and all.
fn form(heads: &[&str]) -> Table {
    let heads: Vec<(&str, Align)> = heads.iter().map(|head| (*head, Align::Left)).collect();
    Table { form: true, ..Table::new(&heads) }
}

/// What is written down of corners in photos and of the lengths that set their scale.
fn points(document: &mut Document) {
    document.heading(2, "Corners");
    let mut table = form(&[
        "point",
        "what it is             ",
        "in which photos          ",
        "straight above",
        "level with               ",
    ]);
    for name in ["E1", "E2", "E3", "E4", "R1", "R2", "", ""] {
        table.row([name]);
    }
    document.table(table);
    document.heading(2, "Tapes and pitches");
    let mut table =
        form(&["from  ", "to    ", "measure                ", "again                  ", "how                    "]);
    for _ in 0..5 {
        table.row([""]);
    }
    document.table(table);
    document.text(HOW);
    finds(document);
}

/// How things are measured, and to what.
const HOW: &str = "How: steel tape, slope tape by two, folding rule, level and rule, phone along the verge board, counted courses, \
                   paced. To what: wall, fascia, deck edge, drip edge, gutter front.";

fn sketch(shape: Shape) -> Drawing {
    let mut drawing = Drawing::new(format!("sketch-{}", shape.word()), "sketch", [150.0, 77.0]);
    let (lines, corners) = shape.sketch();
    let origin = Vector2::new(25.0, 8.5);
    let place = |x: f64, y: f64| Point2::new(x, y) + origin;
    for (pen, [a, b, c, d]) in lines {
        drawing.line(pen, place(a, b), place(c, d));
    }
    // Each kind of edge by its word, once, clear of the middle where its length is written.
    let mut named: Vec<Pen> = Vec::new();
    for (pen, [a, b, c, d]) in shape.sketch().0 {
        let Pen::Edge(kind) = pen else { continue };
        if named.contains(&pen) {
            continue;
        }
        named.push(pen);
        let (from, to) = (place(a, b), place(c, d));
        let along = (to - from).normalize();
        // Lettering never stands on its head.
        let along = if along.x < -ROUNDING || (along.x.abs() < ROUNDING && along.y < 0.0) { -along } else { along };
        let up = Vector2::new(-along.y, along.x);
        let mut text = Text::new(Point2::origin(), edge_word(kind));
        text.angle = along.y.atan2(along.x);
        let share = if (to - from).norm() > 50.0 { 0.25 } else { 0.5 };
        drawing.text(text.centred(from + (to - from) * share + up * 2.6));
    }
    let centre = place(50.0, 30.0);
    for ([x, y], name) in corners.into_iter().zip(shape.corner_names()) {
        let corner = place(x, y);
        let out = (corner - centre).normalize();
        let text = Text::new(Point2::origin(), name).height(MEDIUM).bold();
        drawing.text(text.centred(corner + out * 5.0));
    }
    drawing
}
