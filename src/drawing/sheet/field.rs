//! The blank field sheet: what to tape first, how, to what, so that a first visit brings back enough.

use crate::drawing::document::{Align, Block, Document, Table};
use crate::drawing::lettering::MEDIUM;
use crate::drawing::pen::Pen;
use crate::drawing::{Context, Drawing, Text};
use crate::roof::EdgeKind;
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

    /// Lines of the sketch on a field 100 wide and 60 high, and the letters of its corners.
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
                rectangle,
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

    fn ten_minutes(self) -> Vec<&'static str> {
        let mut list = vec![
            "Photograph every side square on and every corner slanting, the whole roof in each picture.",
            "Tape every side of the outline, always to the same edge; note which (drip edge, fascia, wall …).",
            "Tape one diagonal at least: it proves the corners.",
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
            Self::Points => {
                vec!["Tape two distances that show in the photos.", "Read the pitch of every slope you can reach."]
            }
        });
        list
    }

    fn thorough(self) -> Vec<&'static str> {
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
            Self::LeanTo => vec!["Height free above the head for an upstand of 150 mm; the wall's face and joints."],
            Self::Wings => vec!["Where each wing's ridge meets the main slope; one valley taped along the slope."],
        });
        list
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
    document.blocks.push(Block::Checks(owned(shape.thorough())));
    document.heading(2, "Outline");
    let mut table = Table::new(&[
        ("side", Align::Left),
        ("length", Align::Left),
        ("again", Align::Left),
        ("turn at its end", Align::Left),
        ("eave, verge or wall", Align::Left),
        ("pitch", Align::Left),
        ("overhang", Align::Left),
    ]);
    let (_, corners) = shape.sketch();
    let letters: Vec<String> = ('A'..='Z').take(corners.len()).map(String::from).collect();
    for (index, letter) in letters.iter().enumerate() {
        let next = &letters[(index + 1) % letters.len()];
        let blank = "____________";
        table.row([
            format!("{letter} to {next}"),
            blank.to_owned(),
            blank.to_owned(),
            "L   R   ____°".to_owned(),
            blank.to_owned(),
            "_______".to_owned(),
            "_______".to_owned(),
        ]);
    }
    document.table(table);
    document.heading(2, "Checks");
    let mut table =
        Table::new(&[("from", Align::Left), ("to", Align::Left), ("measure", Align::Left), ("how", Align::Left)]);
    let blank = "______________________";
    for (from, to) in
        [("A", "C"), ("B", "D"), ("____", "____"), ("____", "____"), ("ground", "eaves"), ("ground", "ridge")]
    {
        table.row([from, to, blank, blank]);
    }
    document.table(table);
    document.text("How: steel tape, slope tape by two, folding rule, level and rule, phone along the verge board, counted courses, paced. To what: wall, fascia, deck edge, drip edge, gutter front.");
    document
}

fn sketch(shape: Shape) -> Drawing {
    let mut drawing = Drawing::new(format!("sketch-{}", shape.word()), "sketch", [150.0, 86.0]);
    let (lines, corners) = shape.sketch();
    let origin = Vector2::new(25.0, 13.0);
    let place = |x: f64, y: f64| Point2::new(x, y) + origin;
    for (pen, [a, b, c, d]) in lines {
        drawing.line(pen, place(a, b), place(c, d));
    }
    let centre = place(50.0, 30.0);
    for ([x, y], letter) in corners.into_iter().zip('A'..='Z') {
        let corner = place(x, y);
        let out = (corner - centre).normalize();
        let text = Text::new(Point2::origin(), letter.to_string()).height(MEDIUM).bold();
        drawing.text(text.centred(corner + out * 5.0));
    }
    drawing
}
