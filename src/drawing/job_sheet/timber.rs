//! The cutting list: every piece with its mark, lengths and cuts, what to buy, where rafters stand.

use super::cutting_table::CuttingTable;
use crate::drawing::typeset::document::{Align, Table};
use crate::drawing::typeset::format;
use crate::drawing::typeset::format::Format;
use crate::framing::spec::Section;
use crate::framing::timber::TimberKind;
use crate::framing::timber::stock::{SAW, Stick};
use crate::framing::{Framing, Piece};
use crate::roof::Roof;
use crate::wording::framing as words;

/// The tables of a roof whose timbers are worked out, those without rows left out.
#[must_use]
pub(super) fn tables(roof: &Roof, framing: &Framing, format: Format) -> Vec<CuttingTable> {
    let all = [
        (
            "Timbers",
            list(framing, format),
            "Marks: R rafter, J jack, H hip, V valley, RB ridge board, T trimmer, P plate, F fascia. L and R are mirror images: the \
             long point is on the left or the right, seen along the piece from its lower end. Length: what is sawn, from end to \
             end. Long point: along the top.",
        ),
        (
            "Cuts",
            cuts(framing, format),
            "Plumb and level cuts: on the side of the piece, from square across it. Tilted: the saw, from square, along the plumb \
             line. Across the top: on the top, from square across it.",
        ),
        (
            "Seats on the plate",
            seats(framing, format),
            "Foot to plate: along the top, from the middle of the cut at the foot to straight over the plate's outer edge. Heel: \
             plumb from the top to the plate. Seat: level, from the plate's outer edge in. Notch: plumb.",
        ),
        (
            "Where rafters stand",
            standing(roof, framing, format),
            "Centres, from the left end seen from outside, of the wall plate or where that is not known of the eave.",
        ),
    ];
    let table = |(heading, table, remark): (&str, Table, &'static str)| CuttingTable {
        heading: heading.to_owned(),
        table,
        remark,
    };
    all.into_iter().map(table).filter(|table| !table.table.rows.is_empty()).collect()
}

/// What to buy of them, and what is cut from each; without rows where nothing is.
#[must_use]
pub(super) fn to_buy(framing: &Framing, format: Format) -> CuttingTable {
    CuttingTable { heading: "Timber to buy".to_owned(), table: bought(framing, format), remark: "" }
}

fn section(of: Section, format: Format) -> String {
    let [thickness, depth] = [of.thickness, of.depth].map(|size| format.fine(size));
    format!("{thickness} x {depth}")
}

fn list(framing: &Framing, format: Format) -> Table {
    let mut table = Table::new(&[
        ("mark", Align::Left),
        ("how many", Align::Right),
        ("section", Align::Left),
        ("length", Align::Right),
        ("long point", Align::Right),
        ("along the middle", Align::Right),
    ]);
    for kind in TimberKind::ALL {
        let mut of_kind = framing.pieces.iter().filter(|piece| piece.kind == kind).peekable();
        if of_kind.peek().is_some() {
            table.section(words::heading(kind));
        }
        for piece in of_kind {
            // Both hands of a piece in one row.
            let pair = framing.pieces.iter().filter(|other| other.kind == kind && other.number == piece.number);
            let pair: Vec<&Piece> = pair.collect();
            if pair.first().is_some_and(|first| first.hand != piece.hand) {
                continue;
            }
            let counts: Vec<String> = pair.iter().map(|of| format!("{}{}", of.count(), of.hand.letter())).collect();
            table.row([
                piece.group(),
                counts.join(", "),
                section(piece.section, format),
                format.fine(piece.length),
                format.fine(piece.long_point),
                format.fine(piece.top),
            ]);
        }
    }
    table
}

/// Adds a row to those said alike, unless the other hand of the piece has said it.
fn merged(table: &mut Table, piece: &Piece, cells: Vec<String>) {
    let mark = piece.group();
    let is_there = |row: &Vec<String>| row[1..] == cells && row[0].split(", ").any(|other| other == mark);
    if !table.rows.iter().any(is_there) {
        table.merge(&mark, cells);
    }
}

/// Whether a piece slopes, so that its ends are cut plumb.
fn slopes(piece: &Piece) -> bool {
    piece.slope.abs() > 1e-6
}

fn cuts(framing: &Framing, format: Format) -> Table {
    let mut table = Table::new(&[
        ("mark", Align::Left),
        ("plumb cut", Align::Right),
        ("level cut", Align::Right),
        ("at the lower end", Align::Left),
        ("at the upper end", Align::Left),
        ("across the top", Align::Right),
        ("top", Align::Left),
    ]);
    for piece in framing.pieces.iter().filter(|piece| piece.kind != TimberKind::Plate) {
        let across = piece.ends[1].iter().map(|cut| cut.on_top.abs()).fold(0.0, f64::max);
        let top = if piece.backing != [0.0; 2] {
            let [left, right] = piece.backing.map(format::degrees);
            if left == right { format!("planed {left}") } else { format!("planed {left} left, {right} right") }
        } else if piece.lowered > 0.0 {
            format!("lowered {}", format.fine(piece.lowered))
        } else {
            String::new()
        };
        let cells = vec![
            if slopes(piece) { format.pitch(piece.slope) } else { String::new() },
            if slopes(piece) { format::degrees(piece.level_cut()) } else { String::new() },
            words::cuts(&piece.ends[0], piece.slope),
            words::cuts(&piece.ends[1], piece.slope),
            if across > 1e-6 { format.pitch(across) } else { String::new() },
            top,
        ];
        merged(&mut table, piece, cells);
    }
    table
}

fn seats(framing: &Framing, format: Format) -> Table {
    let mut table = Table::new(&[
        ("mark", Align::Left),
        ("foot to plate", Align::Right),
        ("heel", Align::Right),
        ("seat", Align::Right),
        ("notch", Align::Right),
        ("packing", Align::Right),
    ]);
    for piece in &framing.pieces {
        let Some(seat) = piece.seat else { continue };
        let or_none = |value: f64| if value > 0.0 { format.fine(value) } else { String::new() };
        let cells = vec![
            format.fine(seat.tail),
            format.fine(seat.heel),
            or_none(seat.seat),
            or_none(seat.notch),
            or_none(seat.packing),
        ];
        merged(&mut table, piece, cells);
    }
    table
}

fn standing(roof: &Roof, framing: &Framing, format: Format) -> Table {
    let mut table = Table::new(&[("face", Align::Left), ("from", Align::Left), ("centres", Align::Left)]);
    for out in &framing.setting_out {
        let centres: Vec<String> = out.centres.iter().map(|at| format.fine(*at)).collect();
        let from = if out.from_plate { "plate" } else { "eave" };
        let cells = vec![from.to_owned(), centres.join(", ").replace(" mm,", ",")];
        table.merge(&roof.faces[out.face.index()].name(), cells);
    }
    table
}

/// What to buy, and what is cut from each: sticks cut alike in one row.
fn bought(framing: &Framing, format: Format) -> Table {
    let mut table = Table::new(&[
        ("section", Align::Left),
        ("length", Align::Right),
        ("how many", Align::Right),
        ("cut from each", Align::Left),
        ("left of each", Align::Right),
    ]);
    let mut alike: Vec<(&Stick, usize)> = Vec::new();
    for stick in &framing.plan.sticks {
        let same = |(other, _): &&mut (&Stick, usize)| {
            other.section == stick.section && other.length == stick.length && other.pieces == stick.pieces
        };
        match alike.iter_mut().find(same) {
            Some((_, count)) => *count += 1,
            None => alike.push((stick, 1)),
        }
    }
    for (stick, count) in alike {
        let mut marks: Vec<(String, usize)> = Vec::new();
        for &piece in &stick.pieces {
            let mark = framing.pieces[piece].mark();
            match marks.iter_mut().find(|(other, _)| *other == mark) {
                Some((_, count)) => *count += 1,
                None => marks.push((mark, 1)),
            }
        }
        let one =
            |(mark, count): &(String, usize)| if *count > 1 { format!("{count} of {mark}") } else { mark.clone() };
        let marks: Vec<String> = marks.iter().map(one).collect();
        table.row([
            section(stick.section, format),
            format.stock(stick.length),
            count.to_string(),
            marks.join(", "),
            format.fine(stick.left),
        ]);
    }
    table
}

/// What is said below the list of what to buy.
#[must_use]
pub(super) fn saw(format: Format) -> String {
    format!("A saw cut is reckoned {} wide.", format.fine(SAW))
}
