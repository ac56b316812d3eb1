//! Another name for something of the file, and everywhere it is named: points, corners, faces, blocks and cameras.

use super::rows::{self, BlockRow};
use crate::base::written::{Edit, Entry, Kind, Step, WrittenTable, under};

/// What bears the name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// A point of the file.
    Point,
    /// A corner, with the side that starts there; by its block's number.
    Corner(usize),
    /// A face by points.
    Face,
    /// A block.
    Block,
    /// A camera.
    Camera,
}

/// Keys that name points, by the list they stand in.
const POINTS: [(&str, &[&str]); 8] = [
    ("face", &["points"]),
    ("tape", &["from", "to"]),
    ("level", &["points"]),
    ("plumb", &["points"]),
    ("square", &["at", "arms"]),
    ("upright", &["point", "over"]),
    ("axis", &["from", "to"]),
    ("photo", &["marks"]),
];

/// Keys that name faces or sides.
const FACES: [(&str, &[&str]); 5] = [
    ("opening", &["face"]),
    ("dormer", &["face"]),
    ("pitch_reading", &["face"]),
    ("equal_pitch", &["faces"]),
    ("block", &["at_side"]),
];

/// The changes that give something another name wherever the file names it; the name itself comes first. Bare corners
/// and sides that would name two then, are written with their block.
///
/// # Errors
/// Why not, in words: no name, or one that is taken.
pub fn edits(file: &WrittenTable, what: What, own: &[Step], old: &str, new: &str) -> Result<Vec<Edit>, String> {
    let new = new.trim();
    if new.is_empty() {
        return Err("a name is needed here".to_owned());
    }
    if new == old {
        return Ok(Vec::new());
    }
    if let Some(sign) = new.chars().find(|sign| [',', '[', ']', '"', '.', '/', ':'].contains(sign)) {
        return Err(format!("a name can't hold the sign {sign}"));
    }
    let blocks = rows::blocks(file);
    if is_taken(file, &blocks, what, new) {
        return Err(format!("{new} is taken: another one is called so"));
    }
    let mut edits = vec![match what {
        What::Point => Edit::Rename { at: own.to_vec(), to: new.to_owned() },
        _ => Edit::Set { at: own.to_vec(), value: Some(new.to_owned()), kind: Kind::Words },
    }];
    let names = Names { file, blocks: &blocks, what, old, new };
    let of_point = |name: &str| names.of_point(name);
    let of_face = |name: &str| names.of_face(name);
    if matches!(what, What::Point | What::Corner(_) | What::Block) {
        for (list, keys) in POINTS {
            each(file, &[], list, keys, &of_point, &mut edits);
        }
    }
    if matches!(what, What::Face | What::Corner(_) | What::Block) {
        for (list, keys) in FACES {
            each(file, &[], list, keys, &of_face, &mut edits);
        }
    }
    if what == What::Camera {
        let of_camera = |name: &str| (name == old).then(|| new.to_owned());
        each(file, &[], "photo", &["camera"], &of_camera, &mut edits);
    }
    for (number, block) in blocks.iter().enumerate() {
        // A rafter's side is one of its own block, with or without its name.
        let Some(side) = block.written.table("rafter").and_then(|rafter| rafter.value("side")) else { continue };
        let renamed = match what {
            What::Corner(of) if of == number && side.text == old => Some(new.to_owned()),
            _ => names.of_face(&side.text),
        };
        if let Some(renamed) = renamed {
            let at = under(&block.at, ["rafter".into(), "side".into()]);
            edits.push(Edit::Set { at, value: Some(renamed), kind: Kind::Words });
        }
    }
    Ok(edits)
}

fn corners(block: &BlockRow) -> impl Iterator<Item = &str> {
    block.rings.iter().flat_map(|ring| &ring.sides).map(|side| side.name.as_str())
}

fn is_taken(file: &WrittenTable, blocks: &[BlockRow], what: What, name: &str) -> bool {
    let point = || file.table("points").is_some_and(|points| points.entry(name).is_some());
    let named = |list: &str| file.list(list).iter().any(|entry| entry.field("name").text == name);
    match what {
        What::Point => point() || blocks.iter().any(|block| corners(block).any(|corner| corner == name)),
        What::Corner(block) => point() || blocks.get(block).is_some_and(|block| corners(block).any(|of| of == name)),
        What::Face => named("face"),
        What::Block => named("block") || named("dormer"),
        What::Camera => named("camera"),
    }
}

/// Every value of some keys of a list that is to be another.
fn each(
    file: &WrittenTable,
    way: &[Step],
    list: &str,
    keys: &[&str],
    renamed: &dyn Fn(&str) -> Option<String>,
    edits: &mut Vec<Edit>,
) {
    for (index, entry) in file.list(list).iter().enumerate() {
        let of_entry = under(way, [list.into(), index.into()]);
        for key in keys {
            let at = under(&of_entry, [(*key).into()]);
            match entry.entry(key) {
                // Keys of a table: marks by the points' names.
                Some(Entry::Table(table)) => {
                    let renamed = table.entries.iter().filter_map(|(name, _)| Some((name, renamed(name)?)));
                    edits.extend(renamed.map(|(name, to)| Edit::Rename { at: under(&at, [name.as_str().into()]), to }));
                }
                Some(Entry::Value(value)) => {
                    let names: Vec<&str> = value.text.split(',').map(str::trim).collect();
                    if names.iter().all(|name| renamed(name).is_none()) {
                        continue;
                    }
                    let is_list = matches!(*key, "points" | "arms" | "over" | "faces");
                    let names = names.iter().map(|name| renamed(name).unwrap_or_else(|| (*name).to_owned()));
                    let value = Some(names.collect::<Vec<_>>().join(", "));
                    edits.push(Edit::Set { at, value, kind: if is_list { Kind::Names } else { Kind::Words } });
                }
                _ => {}
            }
        }
    }
}

/// From what a name is now to what it is to be.
struct Names<'a> {
    file: &'a WrittenTable,
    blocks: &'a [BlockRow],
    what: What,
    old: &'a str,
    new: &'a str,
}

impl Names<'_> {
    fn of_point(&self, name: &str) -> Option<String> {
        let is_point = self.file.table("points").is_some_and(|points| points.entry(name).is_some());
        match self.what {
            What::Point => (name == self.old).then(|| self.new.to_owned()),
            _ if is_point => None,
            _ => self.of_corner(name, '.'),
        }
    }

    fn of_face(&self, name: &str) -> Option<String> {
        let by_points = self.file.list("face").iter().any(|face| face.field("name").text == name);
        match self.what {
            What::Face => (name == self.old).then(|| self.new.to_owned()),
            _ if by_points => None,
            _ => {
                // Pieces of a side are numbered: `store/A:2`.
                let (side, piece) = name.split_at(name.find(':').unwrap_or(name.len()));
                Some(self.of_corner(side, '/')? + piece)
            }
        }
    }

    /// A corner or side, written with its block or alone where one block alone has it.
    fn of_corner(&self, name: &str, between: char) -> Option<String> {
        let has = |block: &BlockRow, corner: &str| corners(block).any(|of| of == corner);
        match (self.what, name.split_once(between)) {
            (What::Block, Some((block, corner))) => {
                (block == self.old).then(|| format!("{}{between}{corner}", self.new))
            }
            (What::Corner(of), Some((block, corner))) => {
                let is_it = corner == self.old && self.blocks.get(of).is_some_and(|own| own.name == block);
                is_it.then(|| format!("{block}{between}{}", self.new))
            }
            (What::Corner(of), None) => {
                let mut others = self.blocks.iter().enumerate().filter(|(number, _)| *number != of);
                let own = self.blocks.get(of)?;
                if name == self.old && has(own, name) && !others.clone().any(|(_, block)| has(block, name)) {
                    // Alone it would name two.
                    let shared = others.any(|(_, block)| has(block, self.new));
                    let new = self.new;
                    return Some(if shared { format!("{}{between}{new}", own.name) } else { new.to_owned() });
                }
                // Another block's corner of the new name, that was alone with it until now.
                let (_, other) = others.find(|(_, block)| has(block, name)).filter(|_| name == self.new)?;
                Some(format!("{}{between}{name}", other.name))
            }
            _ => None,
        }
    }
}
