//! The rows of sides the window edits, read from a roof file's text, and changes written back into it.

use crate::input::edit::{self, WrittenTable};
use crate::viewer::backend::{BlockRow, Edit, Field, RoleWord, SideRow, Step};

/// The blocks of a roof file as written.
#[must_use]
pub fn rows(text: &str) -> Option<Vec<BlockRow>> {
    let document = edit::outline(text)?;
    let blocks = document.list("block").iter().enumerate();
    Some(blocks.map(|(index, block)| block_row(vec![Step::Key("block".into()), Step::At(index)], block)).collect())
}

fn block_row(at: Vec<Step>, block: &WrittenTable) -> BlockRow {
    let under = |more: &[Step]| at.iter().cloned().chain(more.iter().cloned()).collect::<Vec<Step>>();
    let sides_key = Step::Key("sides".into());
    let outer = ring(under(std::slice::from_ref(&sides_key)), block.list("sides"));
    let holes = block.list("holes").iter().enumerate().map(|(index, hole)| {
        ring(under(&[Step::Key("holes".into()), Step::At(index), sides_key.clone()]), hole.list("sides"))
    });
    BlockRow {
        name: block.value("name").map_or_else(|| "block".to_owned(), |name| name.text.clone()),
        height: field(block, "height"),
        rings: std::iter::once(outer).chain(holes).collect(),
        at,
    }
}

fn ring(list: Vec<Step>, sides: &[WrittenTable]) -> (Vec<Step>, Vec<SideRow>) {
    let row = |(index, side): (usize, &WrittenTable)| {
        let at = list.iter().cloned().chain([Step::At(index)]).collect();
        side_row(at, index, side)
    };
    let rows = sides.iter().enumerate().map(row).collect();
    (list, rows)
}

fn side_row(at: Vec<Step>, index: usize, side: &WrittenTable) -> SideRow {
    let is = |key: &str| side.value(key).is_some_and(|value| value.text == "true");
    let has = |key: &str| side.value(key).is_some();
    let role = match () {
        () if is("abutment") => RoleWord::Abutment,
        () if is("verge") && has("hip_from") => RoleWord::HalfHip,
        () if is("verge") => RoleWord::Verge,
        () if has("verge_from") => RoleWord::Gablet,
        () => RoleWord::Eave,
    };
    SideRow {
        at,
        span: side.span.clone(),
        name: side.value("from").map_or_else(|| format!("{}", index + 1), |name| name.text.clone()),
        length: field(side, "length"),
        turn: field(side, "turn"),
        pitch: field(side, "pitch"),
        place: side.value("at").map(|place| place.text.clone()),
        rise: field(side, if role == RoleWord::HalfHip { "hip_from" } else { "verge_from" }),
        role,
    }
}

fn field(table: &WrittenTable, key: &str) -> Field {
    let written = table.value(key);
    written.map_or_else(Field::default, |value| Field { text: value.text.clone(), span: value.span.clone() })
}

/// The text with a change made.
///
/// # Errors
/// Why not, in words.
pub fn apply(text: &str, change: &Edit) -> Result<String, String> {
    let steps = |steps: &[Step]| -> Vec<edit::Step> {
        let step = |step: &Step| match step {
            Step::Key(key) => edit::Step::Key(key.clone()),
            Step::At(index) => edit::Step::At(*index),
        };
        steps.iter().map(step).collect()
    };
    let changed = match change {
        Edit::Set { at, value } => edit::set(text, &steps(at), value.as_deref()),
        Edit::Repeat { list, index } => edit::repeat(text, &steps(list), *index),
        Edit::Remove { list, index } => edit::remove(text, &steps(list), *index),
    };
    changed.map_err(|error| error.to_string())
}
