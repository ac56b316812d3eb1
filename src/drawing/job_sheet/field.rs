//! The blank field sheet, one page: a grid to sketch on, what to tape first, how and to what, and tables to write it in, so
//! that a first visit brings back enough.

use crate::base::tolerance::ROUNDING;
use crate::drawing::typeset::document::{Align, Block, Document, Table};
use crate::drawing::typeset::format::Format;
use crate::drawing::typeset::lettering::MEDIUM;
use crate::drawing::typeset::pages;
use crate::drawing::typeset::paper::PaperSize;
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
                "Photos from all round, every corner slanting, the whole roof in each, at one zoom; every corner in two at least.",
                "Two lengths along walls that show in the photos, foot to foot, the longest you can.",
                "One upright: from a wall's foot to the eave straight above it.",
                "Pitch of every slope you can reach; what is level, what stands plumb.",
            ];
        }
        let mut list = vec![
            "Photos: every side square on, every corner slanting, the whole roof in each.",
            "Every side, always to the same edge; note which: wall, fascia, deck, drip edge, gutter.",
            "One diagonal, corner to corner, held level: it proves the corners.",
        ];
        list.push(match self {
            Self::Hip | Self::Wings => "Pitch of one long and one short slope; eaves above the ground.",
            Self::Gable => "Pitch at a gable with level and rule; eaves and ridge above the ground.",
            Self::LeanTo | Self::Points => "Eave and head at the wall above the ground; pitch along the verge board.",
        });
        list
    }

    /// What more time is well spent on.
    fn thorough(self, format: Format) -> String {
        let own = match self {
            Self::Hip => "ridge length, one hip along the slope".to_owned(),
            Self::Gable => "rafter along the verge, both sides".to_owned(),
            Self::LeanTo => format!("height free above the head for an upstand of {}", format.fine(0.150)),
            Self::Wings => "where each wing's ridge meets the main slope, one valley along the slope".to_owned(),
            Self::Points => "the ridge's length, corners lettered on the sketch".to_owned(),
        };
        format!(
            "Both diagonals of every rectangle; every side again from the other end; every pitch three times; overhangs by plumb \
             line; {own}; damp or soft places."
        )
    }
}

/// A blank field sheet: one page of the context's paper. Deterministic.
#[must_use]
pub fn field_sheet(shape: Shape, context: &Context) -> Document {
    let paper = context.sheet.unwrap_or(PaperSize::family(context.series)[0]);
    // Rows to write in, fewer where the paper is short; the grid takes what is left.
    let of = |squares: f64, (openings, how): (usize, bool)| {
        sheet_of(shape, context, LEAST_GRID + squares * cell(context), (openings, how))
    };
    let fits = |document: &Document| pages::left_on_first(document, paper) >= 0.0;
    let rows = [(3, true), (2, true), (1, true)].into_iter().find(|&rows| fits(&of(0.0, rows))).unwrap_or((1, false));
    let grown = (1..GROWN).map(|squares| of(f64::from(squares), rows)).take_while(fits);
    grown.last().unwrap_or_else(|| of(0.0, rows))
}

/// So many rows of squares the grid grows by at most.
const GROWN: u8 = 24;

/// Least height of the grid, millimetres: the sketch and as much below it.
const LEAST_GRID: f64 = 55.0;

/// Side of a square of the grid, millimetres: 5, or a quarter of an inch.
fn cell(context: &Context) -> f64 {
    if context.words.imperial { 6.35 } else { 5.0 }
}

fn sheet_of(shape: Shape, context: &Context, grid: f64, (openings, how): (usize, bool)) -> Document {
    let mut document =
        Document { title: shape.title().to_owned(), kind: "field sheet".to_owned(), date: None, blocks: Vec::new() };
    let line = "_".repeat(24);
    let units = if context.words.imperial { "feet and inches" } else { "metres" };
    document.text(format!("Job {line}  by {line}  date ______________  in {units}"));
    document.caution(
        "From the ground where you can. Ladder foot out by a quarter of its length, tied, somebody at the foot; never on a \
         wet, iced or brittle roof, never near power lines. Old sheets, shingles and felt may hold asbestos: break, drill and \
         brush nothing before it is tested; local law comes first.",
    );
    let mut drawn = Document::default();
    drawn.figure(Some(sketch(shape, cell(context), grid)), "Sketch: corners lettered as you walk, north, lengths.");
    let mut lists = Document::default();
    lists.heading(2, "In ten minutes");
    lists.blocks.push(Block::Checks(shape.ten_minutes().into_iter().map(str::to_owned).collect()));
    lists.heading(2, "Better");
    lists.text(shape.thorough(context.words));
    if how {
        lists.text(HOW);
    }
    document.columns([drawn, lists]);
    if shape == Shape::Points {
        points(&mut document);
    } else {
        sides(shape, &mut document);
    }
    finds(openings, &mut document);
    document
}

/// The outline side by side, and what proves it.
fn sides(shape: Shape, document: &mut Document) {
    let mut table = form(&[
        "side, from to",
        "measure          ",
        "again            ",
        "turn at its end",
        "eave, verge, wall",
        "pitch    ",
        "overhang",
        "photo       ",
    ]);
    let (_, corners) = shape.sketch();
    let letters: Vec<String> = shape.corner_names().into_iter().take(corners.len()).collect();
    for (index, letter) in letters.iter().enumerate() {
        let next = &letters[(index + 1) % letters.len()];
        table.row([&format!("{letter} to {next}"), "", "", "L / R ____°"]);
    }
    let proofs: &[&str] = if letters.len() > 4 {
        &["diagonal", "ground, eave", "ground, top"]
    } else {
        &["A to C", "B to D", "ground, eave", "ground, top"]
    };
    for what in proofs {
        table.row([*what]);
    }
    document.table(table);
}

/// What is written down of corners in photos and of the lengths that set their scale.
fn points(document: &mut Document) {
    let mut table = form(&[
        "point",
        "what it is           ",
        "in which photos           ",
        "straight above",
        "level with            ",
    ]);
    for name in ["E1", "E2", "E3", "E4", "R1", "R2"] {
        table.row([name]);
    }
    document.table(table);
    let mut table =
        form(&["tape, pitch: from", "to       ", "measure            ", "again              ", "how                 "]);
    for _ in 0..3 {
        table.row([""]);
    }
    document.table(table);
}

/// What lies on the roof and under it.
fn finds(openings: usize, document: &mut Document) {
    let mut table = form(&[
        "chimney, window, pipe",
        "over side",
        "along the eave",
        "up the slope",
        "width     ",
        "height    ",
        "photo       ",
    ]);
    for _ in 0..openings {
        table.row([""]);
    }
    document.table(table);
    let line = "_".repeat(16);
    document.text(format!("Covering {line}  layers ____  laid in ________  deck {line}  thick ________"));
    document.text(format!("Rafters {line}  apart ________  plate, heel {line}  soft or damp {line}"));
}

/// A table to write in: heads wide as they are, blanks and all.
fn form(heads: &[&str]) -> Table {
    let heads: Vec<(&str, Align)> = heads.iter().map(|head| (*head, Align::Left)).collect();
    Table { form: true, ..Table::new(&heads) }
}

/// How things are measured.
const HOW: &str =
    "How: steel tape, slope tape by two, rule, level and rule, phone along the verge board, counted courses, paced.";

/// Width of the grid, millimetres.
const WIDTH: f64 = 100.0;
/// Width and height of the shape's sketch in the grid's corner, millimetres at most: whole squares.
const CORNER: [f64; 2] = [60.0, 40.0];

/// A grid to draw on, the shape of the roof with its letters in its upper left corner.
fn sketch(shape: Shape, cell: f64, height: f64) -> Drawing {
    let columns = (WIDTH / cell).floor();
    let rows = (height / cell).floor();
    let size = [columns * cell, rows * cell];
    let mut drawing = Drawing::new(format!("sketch-{}", shape.word()), "sketch", size);
    let [wide, high] = CORNER.map(|size| (size / cell).floor() * cell);
    let corner = [wide, size[1] - high];
    let mut step = 0.0;
    while step <= columns {
        let x = step * cell;
        let top = if x < corner[0] - ROUNDING { corner[1] } else { size[1] };
        drawing.line(Pen::Rule, Point2::new(x, 0.0), Point2::new(x, top));
        step += 1.0;
    }
    let mut step = 0.0;
    while step <= rows {
        let y = step * cell;
        let left = if y > corner[1] + ROUNDING { corner[0] } else { 0.0 };
        drawing.line(Pen::Rule, Point2::new(left, y), Point2::new(size[0], y));
        step += 1.0;
    }
    draw_shape(shape, &mut drawing, Point2::new(0.0, corner[1]), [corner[0], size[1] - corner[1]]);
    drawing
}

/// The shape's lines in a box, each kind of edge by its word, corners by their letters.
fn draw_shape(shape: Shape, drawing: &mut Drawing, low: Point2<f64>, [width, height]: [f64; 2]) {
    // Room for a letter on every side.
    const LETTER: f64 = 6.5;
    let (lines, corners) = shape.sketch();
    let scale = ((width - 2.0 * LETTER) / 100.0).min((height - 2.0 * LETTER) / 60.0);
    let origin = low.coords + Vector2::new(width - 100.0 * scale, height - 60.0 * scale) / 2.0;
    let place = |x: f64, y: f64| Point2::new(x, y) * scale + origin;
    for &(pen, [a, b, c, d]) in &lines {
        drawing.line(pen, place(a, b), place(c, d));
    }
    // Each kind of edge by its word, once.
    let mut named: Vec<Pen> = Vec::new();
    for (pen, [a, b, c, d]) in lines {
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
        drawing.text(text.centred(nalgebra::center(&from, &to) + up * 2.2));
    }
    let centre = place(50.0, 30.0);
    for ([x, y], name) in corners.into_iter().zip(shape.corner_names()) {
        let corner = place(x, y);
        let out = (corner - centre).normalize();
        let text = Text::new(Point2::origin(), name).height(MEDIUM).bold();
        drawing.text(text.centred(corner + out * 3.8));
    }
}
