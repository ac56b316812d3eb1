//! What to cut: rafters, hips, valleys, jacks, boards, metal; true shapes.

use super::alike::{Noise, Rows, Value};
use super::cutting_table::CuttingTable;
use super::what::sentence;
use super::{SheetInput, shapes, timber, views};
use crate::drawing::typeset::document::{Align, Document, Table};
use crate::drawing::typeset::figure;
use crate::drawing::typeset::figure::Figure;
use crate::drawing::typeset::format;
use crate::drawing::typeset::format::Format;
use crate::drawing::views::cut;
use crate::drawing::views::timber_plan::TimberPlan;
use crate::framing::{Fold, Framing, THICKNESS, THICKNESS_1_IN};
use crate::roof::{EdgeKind, Roof};
use crate::takeoff::item::Item;
use crate::wording::roof::edge_word;
use std::f64::consts::FRAC_PI_2;

/// How the numbers of hips and valleys, side by side, are meant.
macro_rules! sides_remark {
    ($thickness:literal) => {
        concat!(
            "To the eave: in plan. Side cut: from the piece's length, on its unbacked top. Drop: for each ",
            $thickness,
            " of the piece's thickness, instead of backing; where the sides differ the larger one clears both. Jack: from \
             its length, on its top. Boards: between the eave and the cut across boards laid along it; their edges over \
             the fold are bevelled by the backing."
        )
    };
}

const SIDES_IN_MILLIMETRES: &str = sides_remark!("100 mm");
const SIDES_IN_INCHES: &str = sides_remark!("1\"");

/// Cutting data of a roof as tables, those without rows left out: for the terminal, every piece by its name.
#[must_use]
pub fn tables(roof: &Roof, framing: &Framing, format: Format) -> Vec<CuttingTable> {
    if !framing.pieces.is_empty() {
        let mut tables = timber::tables(roof, framing, format);
        tables.push(timber::to_buy(framing, format));
        tables.retain(|table| !table.table.rows.is_empty());
        return tables;
    }
    let told = Told { roof, framing, format, noise: Noise::NONE, by_name: true };
    let mut tables = told.tables();
    tables.push(table("Metal and boards over folds".to_owned(), bends(framing), ""));
    tables.retain(|table| !table.table.rows.is_empty());
    tables
}

fn table(heading: String, table: Table, remark: &'static str) -> CuttingTable {
    CuttingTable { heading, table, remark }
}

/// How cutting data are told: what may differ within a row, and whether a row lists names where it stands for all of a kind.
struct Told<'a> {
    roof: &'a Roof,
    framing: &'a Framing,
    format: Format,
    noise: Noise,
    by_name: bool,
}

impl Told<'_> {
    /// Rafters, hips and valleys with their sides, jacks; those without rows left out.
    fn tables(&self) -> Vec<CuttingTable> {
        let remark = if self.format.imperial { SIDES_IN_INCHES } else { SIDES_IN_MILLIMETRES };
        let mut all = vec![
            table(
                "Common rafters".to_owned(),
                self.commons_table(),
                "Plumb and level cuts here and below: from square across the piece.",
            ),
            table("Hips and valleys".to_owned(), self.pieces_table(), ""),
            table("Hips and valleys, side by side".to_owned(), self.sides_table(), remark),
            self.jacks_table(),
        ];
        all.retain(|table| !table.table.rows.is_empty());
        all
    }

    /// What a row of folds stands for: all of a kind in one word, else their names. `of_each`: how often a fold is named.
    fn call(&self, of: &[OfFold], of_each: usize, every: impl Fn(usize, &str) -> String) -> String {
        for kind in [EdgeKind::Hip, EdgeKind::Valley] {
            let count = self.framing.folds.iter().filter(|fold| fold.kind == kind).count();
            let own = of.iter().all(|one| one.kind == kind);
            if !self.by_name && count > 1 && own && of.len() == count * of_each {
                return every(count, edge_word(kind));
            }
        }
        of.iter().map(|one| one.name.as_str()).collect::<Vec<_>>().join(", ")
    }

    fn commons(&self) -> Rows<String> {
        let mut rows = Rows::new();
        for rafter in &self.framing.commons {
            let pitch = rafter.pitch.radians();
            let values = vec![
                Value::fine(rafter.run.0),
                Value::fine(rafter.rise),
                Value::fine(rafter.length.0),
                Value::pitch(pitch),
                Value::degrees(FRAC_PI_2 - pitch),
            ];
            rows.add(self.roof.faces[rafter.face.index()].name(), values, self.noise, self.format);
        }
        rows
    }

    fn commons_table(&self) -> Table {
        let heads = [
            ("face", Align::Left),
            ("run", Align::Right),
            ("rise", Align::Right),
            ("length", Align::Right),
            ("plumb cut", Align::Right),
            ("level cut", Align::Right),
        ];
        let all = self.framing.commons.len();
        self.commons().table(&heads, self.format, |names: &[String]| {
            if !self.by_name && all > 1 && names.len() == all { "every face".to_owned() } else { names.join(", ") }
        })
    }

    /// Lengths and cuts of the pieces themselves, those cut alike in one row.
    fn pieces(&self) -> Rows<OfFold> {
        let mut rows = Rows::new();
        for fold in &self.framing.folds {
            let pitch = fold.corner.plumb_cut();
            let values = vec![
                Value::fine(fold.run.0),
                Value::fine(fold.rise),
                Value::fine(fold.length.0),
                Value::pitch(pitch),
                Value::degrees(FRAC_PI_2 - pitch),
                Value::degrees(fold.dihedral),
            ];
            rows.add(OfFold { kind: fold.kind, name: named(fold) }, values, self.noise, self.format);
        }
        rows
    }

    fn pieces_table(&self) -> Table {
        let heads = [
            ("what", Align::Left),
            ("run", Align::Right),
            ("rise", Align::Right),
            ("length", Align::Right),
            ("plumb cut", Align::Right),
            ("level cut", Align::Right),
            ("slopes meet at", Align::Right),
        ];
        self.pieces().table(&heads, self.format, |of| self.call(of, 1, |count, kind| format!("{count} {kind}s")))
    }

    /// Angles of each side of a fold: what differs where the pitches do.
    fn sides(&self) -> Rows<OfFold> {
        // A drop for so much of the piece's thickness, as the remark says.
        let thick = if self.format.imperial { THICKNESS_1_IN } else { THICKNESS };
        let mut rows = Rows::new();
        for fold in &self.framing.folds {
            for (index, side) in fold.corner.sides.iter().enumerate() {
                let values = vec![
                    Value::degrees(side.plan_angle),
                    Value::pitch(side.fold_side_cut),
                    Value::degrees(side.backing),
                    Value::drop(side.drop_of(thick)),
                    Value::pitch(side.jack_side_cut),
                    Value::degrees(side.sheathing),
                ];
                rows.add(OfFold { kind: fold.kind, name: side_name(fold, index) }, values, self.noise, self.format);
            }
        }
        rows
    }

    fn sides_table(&self) -> Table {
        let heads = [
            ("face, at", Align::Left),
            ("to the eave", Align::Right),
            ("side cut", Align::Right),
            ("backing", Align::Right),
            ("or drop", Align::Right),
            ("jack side cut", Align::Right),
            ("boards", Align::Right),
        ];
        let mut table =
            self.sides().table(&heads, self.format, |of| self.call(of, 2, |_, kind| format!("every {kind}")));
        if let ([row], [first, rest @ ..]) = (&mut table.rows[..], &self.framing.folds[..]) {
            let alike = rest.iter().all(|fold| fold.kind == first.kind);
            row[0] = if alike { format!("every {}", edge_word(first.kind)) } else { "every hip and valley".to_owned() };
        }
        table
    }

    /// Jacks at the spacing of the job's own units, of those worked out.
    fn jacks(&self) -> (f64, Rows<OfFold>) {
        let index = usize::from(self.format.imperial);
        let mut rows = Rows::new();
        let mut spacing = 0.0;
        for fold in &self.framing.folds {
            let Some(set) = fold.jacks.get(index).or(fold.jacks.first()) else { continue };
            spacing = set.spacing.0;
            for side in 0..2 {
                if set.jacks[side].is_empty() {
                    continue;
                }
                let mut lengths: Vec<f64> = set.jacks[side].iter().map(|jack| jack.length.0).collect();
                lengths.sort_by(f64::total_cmp);
                let values = vec![Value::fine(set.difference[side].0), Value::list(lengths)];
                rows.add(OfFold { kind: fold.kind, name: side_name(fold, side) }, values, self.noise, self.format);
            }
        }
        (spacing, rows)
    }

    fn jacks_table(&self) -> CuttingTable {
        let (spacing, rows) = self.jacks();
        let heads =
            [("face, at", Align::Left), ("difference", Align::Right), ("lengths, from the short end", Align::Left)];
        let of = rows.table(&heads, self.format, |of| self.call(of, 2, |_, kind| format!("every {kind}")));
        let heading = format!("Jacks at {}", self.format.fine(spacing));
        table(heading, of, "Set out along the eave from the hip's foot or the valley's.")
    }

    /// All of it in two short tables side by side, where one row tells of all rafters, one of all hips or valleys and one of
    /// their sides; `None` on any other roof.
    fn side_by_side(&self) -> Option<[Document; 2]> {
        let format = self.format;
        let (commons, pieces, sides) =
            (self.commons().only(format)?, self.pieces().only(format)?, self.sides().only(format)?);
        let [run, _, length, plumb, level] = <[String; 5]>::try_from(commons).ok()?;
        let rafter = vec![("run", run), ("length", length), ("plumb cut", plumb), ("level cut", level)];
        let [run, rise, length, plumb, level, _] = <[String; 6]>::try_from(pieces).ok()?;
        let [to_eave, side_cut, backing, drop, jack_cut, boards] = <[String; 6]>::try_from(sides).ok()?;
        let kind = self.framing.folds.first()?.kind;
        let of_folds = vec![
            ("run", run),
            ("rise", rise),
            ("length", length),
            ("plumb cut", plumb),
            ("level cut", level),
            ("to the eave", to_eave),
            ("side cut", side_cut),
            ("backing", backing),
            ("or drop", drop),
            ("boards", boards),
        ];
        let folds = match self.framing.folds.len() {
            1 => edge_word(kind).to_owned(),
            count => format!("{count} {}s", edge_word(kind)),
        };
        let mut right = two_columns("every rafter", rafter);
        let (spacing, jacks) = self.jacks();
        match jacks.only(format).as_deref() {
            Some([_, lengths]) => {
                let rows = vec![("lengths", lengths.clone()), ("side cut", jack_cut)];
                right.append(two_columns(&format!("jacks at {}", format.fine(spacing)), rows));
            }
            _ if self
                .framing
                .folds
                .iter()
                .any(|fold| fold.jacks.iter().any(|set| set.jacks.iter().any(|of| !of.is_empty()))) =>
            {
                return None;
            }
            _ => {}
        }
        Some([two_columns(&folds, of_folds), right])
    }

    /// Whether any place tells two figures.
    fn leaves_open(&self) -> bool {
        let format = self.format;
        let folds = [self.pieces(), self.sides(), self.jacks().1];
        self.commons().leaves_open(format) || folds.iter().any(|rows| rows.leaves_open(format))
    }

    /// What metal over folds is bent to, of those that are meant.
    fn bends(&self, is_meant: impl Fn(EdgeKind) -> bool) -> CuttingTable {
        let mut rows = Rows::new();
        for bend in self.framing.bends.iter().filter(|bend| is_meant(bend.kind)) {
            let values =
                vec![Value::degrees(bend.dihedral), Value::degrees(bend.from_flat()), Value::degrees(bend.bevel())];
            rows.add(bend.kind, values, self.noise, self.format);
        }
        let heads = [
            ("metal, boards over", Align::Left),
            ("between the slopes", Align::Right),
            ("bent from flat", Align::Right),
            ("boards bevelled", Align::Right),
        ];
        let call = |of: &[EdgeKind]| {
            let mut kinds: Vec<(EdgeKind, usize)> = Vec::new();
            for kind in of {
                match kinds.iter_mut().find(|(other, _)| other == kind) {
                    Some((_, count)) => *count += 1,
                    None => kinds.push((*kind, 1)),
                }
            }
            let told = |(kind, count): &(EdgeKind, usize)| match count {
                1 => edge_word(*kind).to_owned(),
                _ => format!("{count} {}s", edge_word(*kind)),
            };
            kinds.iter().map(told).collect::<Vec<_>>().join(", ")
        };
        table("Metal and boards over folds".to_owned(), rows.table(&heads, self.format, call), "")
    }
}

/// A table of what and how much, read where it is cut.
fn two_columns(head: &str, rows: Vec<(&str, String)>) -> Document {
    let mut table = Table::new(&[(head, Align::Left), ("", Align::Right)]);
    for (what, told) in rows {
        table.row([what.to_owned(), told]);
    }
    let (mut part, mut large) = (Document::default(), Document::default());
    part.table(table);
    large.on_site(part);
    large
}

/// A fold, or a side of one, by its name.
struct OfFold {
    kind: EdgeKind,
    name: String,
}

fn named(fold: &Fold) -> String {
    format!("{} {} / {}", edge_word(fold.kind), fold.faces[0], fold.faces[1])
}

/// "store/A at the hip to store/B".
fn side_name(fold: &Fold, index: usize) -> String {
    format!("{} at the {} to {}", fold.faces[index], edge_word(fold.kind), fold.faces[1 - index])
}

fn bends(framing: &Framing) -> Table {
    let mut table = Table::new(&[
        ("edge", Align::Left),
        ("angle between the slopes", Align::Left),
        ("boards mitred there: edges bevelled", Align::Right),
        ("how many", Align::Right),
    ]);
    for (bend, count) in framing.bends_alike() {
        let angle = format!("{}, {} from flat", format::degrees(bend.dihedral), format::degrees(bend.from_flat()));
        table.row([edge_word(bend.kind).to_owned(), angle, format::degrees(bend.bevel()), count.to_string()]);
    }
    table
}

/// The sheet's part on cutting.
pub(super) fn cut_list(input: &SheetInput<'_>, document: &mut Document) {
    let (framing, roof, format) = (&input.answer.framing, &input.answer.roof, input.context.words);
    document.heading(1, "For the carpenter: what to cut");
    if !framing.pieces.is_empty() {
        timbers(input, document);
        return;
    }
    document.caution(
        "Lengths are of theoretical lines: half the hip's thickness comes off jacks, half the ridge board off rafters; add seat, \
         heel and tail. Sizes of timber, and any change to what carries the roof, are for a structural engineer.",
    );
    let told = Told { roof, framing, format, noise: Noise::of(input.answer), by_name: false };
    views::plan(input, PLAN, document);
    let mut remarks: Vec<String> = Vec::new();
    match told.side_by_side() {
        Some(columns) => {
            document.columns(columns);
            let each = if format.imperial { "1\"" } else { "100 mm" };
            remarks.push(format!(
                "Plumb and level cuts: from square across the piece. To the eave: in plan. Side cuts: from the piece's length, on \
                 its unbacked top. Drop: for each {each} of the piece's thickness, instead of backing. Boards: between the eave and the \
                 cut across boards laid along it."
            ));
        }
        None => told.tables().into_iter().for_each(|table| add(table, document)),
    }
    if told.leaves_open() {
        remarks.push(WITHIN.to_owned());
    }
    if !remarks.is_empty() {
        document.text(remarks.join(" "));
    }
    bent(input, &told, document);
    if input.full {
        folds(input, document);
    }
}

/// What metal is bent to, where any is laid over folds: lining of valleys, metal at breaks, caps of sheets.
fn bent(input: &SheetInput<'_>, told: &Told<'_>, document: &mut Document) {
    let lines = &input.take_off.lines;
    let ordered = |is_meant: fn(&Item) -> bool| lines.iter().any(|line| is_meant(&line.item));
    let is_bent = |kind: EdgeKind| {
        input.full
            || ordered(|item| matches!(item, Item::Sheets(_)))
            || kind == EdgeKind::Valley && ordered(|item| *item == Item::ValleyLining)
            || kind == EdgeKind::PitchBreak && ordered(|item| *item == Item::BreakStrip)
    };
    add(told.bends(is_bent), document);
}

/// A table of cutting data, read where it is cut.
fn add(CuttingTable { heading, table, remark }: CuttingTable, document: &mut Document) {
    if table.rows.is_empty() {
        return;
    }
    document.heading(2, heading);
    // Rows of many names would be columns of single words.
    let lists = table.rows.iter().any(|row| row[0].chars().count() > MANY_NAMES);
    let mut large = Document::default();
    large.table(table);
    if lists {
        document.append(large);
    } else {
        document.on_site(large);
    }
    if !remark.is_empty() {
        document.text(remark);
    }
}

/// Hips and valleys, drawn.
fn folds(input: &SheetInput<'_>, document: &mut Document) {
    let cuts = cut::groups(&input.answer.framing.folds);
    let figures: Vec<&dyn Figure> = cuts.iter().map(|cut| cut as &dyn Figure).collect();
    let captions: Vec<String> = cuts.iter().map(|cut| sentence(&cut.title())).collect();
    // Half a page for every two of them.
    let most = figures.len().div_ceil(2) as f64 * 0.5;
    shapes::side_by_side(input, document, "Hips and valleys, drawn", &figures, &captions, most);
    if !cuts.is_empty() {
        document.text(cut::REMARK);
    }
}

/// The cutting list, where the job says what timbers are cut to.
fn timbers(input: &SheetInput<'_>, document: &mut Document) {
    let (framing, roof, format) = (&input.answer.framing, &input.answer.roof, input.context.words);
    document.caution(
        "Sections, spacing, fixings, how hips, valleys and ridge are carried, and any change to what carries the roof are for a \
         structural engineer. Cut one piece of each mark, try it in its place, then cut the others.",
    );
    let plan = TimberPlan::of(input.answer);
    let drawn = plan.and_then(|plan| figure::inset(&plan, input.context, input.room(0.62), figure::Key::With));
    document.figure(drawn, "Timbers in plan, by their marks.");
    for table in timber::tables(roof, framing, format) {
        add(table, document);
    }
    bent(input, &Told { roof, framing, format, noise: Noise::of(input.answer), by_name: false }, document);
    let boards = boards(framing);
    if input.full && !boards.rows.is_empty() {
        document.heading(2, "Deck boards and fascias at hips and valleys");
        document.table(boards);
        document.text(BOARDS_REMARK);
    }
}

/// How the cuts of boards at hips and valleys are meant.
const BOARDS_REMARK: &str = "Across boards laid along the eave: between the eave and the cut. Their edges over the fold: from square. A \
                             fascia set square to the rafters, not plumb: its mitre on its face, from square across, and the tilt of \
                             the saw; both boards meet only where the pitches are the same.";

/// Cuts of deck boards, and of fascias set square to the rafters, at each side of the hips and valleys.
fn boards(framing: &Framing) -> Table {
    let mut table = Table::new(&[
        ("face, at", Align::Left),
        ("across boards", Align::Right),
        ("edges", Align::Right),
        ("square fascia: mitre", Align::Right),
        ("saw tilted", Align::Right),
    ]);
    for fold in &framing.folds {
        for (index, side) in fold.corner.sides.iter().enumerate() {
            let cells = [side.sheathing, side.backing, side.square_mitre, side.square_bevel].map(format::degrees);
            table.merge(&side_name(fold, index), cells.to_vec());
        }
    }
    table
}

/// Names of so many letters are set small.
const MANY_NAMES: usize = 48;

/// What two figures in one cell mean.
const WITHIN: &str =
    "Where two figures stand the measurements leave open which holds: cut to the larger, trim in place.";

/// Share of a page that the plan takes.
pub(super) const PLAN: f64 = 0.42;
