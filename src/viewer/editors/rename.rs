//! Another name for something of the file, and everywhere it is named: points, corners, faces, blocks, dormers and cameras.
//! What names what, the schema says.

use super::rows::{self, BlockRow};
use crate::base::file_tree::{Edit, Entry, FileTable, Kind, Step, under};
use crate::base::schema::{self, Naming, Table};

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
    /// A dormer.
    Dormer,
    /// A camera.
    Camera,
}

/// The changes that give something another name wherever the file names it; the name itself comes first. Bare corners
/// and sides that would name two then, are written with their block.
///
/// # Errors
/// Why not, in words: no name, or one that is taken.
pub fn edits(
    schema: &'static Table,
    file: &FileTable,
    what: What,
    own: &[Step],
    old: &str,
    new: &str,
) -> Result<Vec<Edit>, String> {
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
    follow(Place { shape: schema, table: file, way: &[], block: None }, &names, &mut edits);
    Ok(edits)
}

/// A table of the file with what it may hold.
#[derive(Clone, Copy)]
struct Place<'a> {
    shape: &'static Table,
    table: &'a FileTable,
    way: &'a [Step],
    /// The block that it is or stands in.
    block: Option<usize>,
}

/// Every value and key of a table, and of tables within it, that names what gets another name.
fn follow(place: Place, names: &Names, edits: &mut Vec<Edit>) {
    for (name, entry) in &place.table.entries {
        let at = under(place.way, [name.as_str().into()]);
        let Some(key) = place.shape.key(name) else {
            if let Some(to) = place.shape.names.and_then(|own| names.renamed(own.are, name, place.block)) {
                edits.push(Edit::Rename { at, to });
            }
            continue;
        };
        match (&key.kind, entry) {
            (schema::Kind::Of(of), Entry::Value(value)) => {
                if let Some(to) = names.renamed(*of, &value.text, place.block) {
                    edits.push(Edit::Set { at, value: Some(to), kind: Kind::Words });
                }
            }
            (schema::Kind::AllOf(of, _), Entry::Value(value)) => {
                let all: Vec<&str> = value.text.split(',').map(str::trim).collect();
                let renamed = |name: &&str| names.renamed(*of, name, place.block);
                if all.iter().any(|name| renamed(name).is_some()) {
                    let all = all.iter().map(|name| renamed(name).unwrap_or_else(|| (*name).to_owned()));
                    let value = Some(all.collect::<Vec<_>>().join(", "));
                    edits.push(Edit::Set { at, value, kind: Kind::Names });
                }
            }
            (schema::Kind::Table(shape), Entry::Table(table)) => {
                follow(Place { shape, table, way: &at, block: place.block }, names, edits);
            }
            (schema::Kind::Tables(shape), Entry::List(list)) => {
                for (index, table) in list.iter().enumerate() {
                    let way = under(&at, [index.into()]);
                    let block = if name == "block" { Some(index) } else { place.block };
                    follow(Place { shape, table, way: &way, block }, names, edits);
                }
            }
            _ => {}
        }
    }
}

fn corners(block: &BlockRow) -> impl Iterator<Item = &str> {
    block.rings.iter().flat_map(|ring| &ring.sides).map(|side| side.name.as_str())
}

fn is_taken(file: &FileTable, blocks: &[BlockRow], what: What, name: &str) -> bool {
    let point = || file.table("points").is_some_and(|points| points.entry(name).is_some());
    let named = |list: &str| file.list(list).iter().any(|entry| entry.field("name").text == name);
    match what {
        What::Point => point() || blocks.iter().any(|block| corners(block).any(|corner| corner == name)),
        What::Corner(block) => point() || blocks.get(block).is_some_and(|block| corners(block).any(|of| of == name)),
        What::Face => named("face"),
        What::Block | What::Dormer => named("block") || named("dormer"),
        What::Camera => named("camera"),
    }
}

/// From what a name is now to what it is to be.
struct Names<'a> {
    file: &'a FileTable,
    blocks: &'a [BlockRow],
    what: What,
    old: &'a str,
    new: &'a str,
}

impl Names<'_> {
    /// What a name is to be, where it names what gets another one. `block` is the block that it stands in.
    fn renamed(&self, naming: Naming, name: &str, block: Option<usize>) -> Option<String> {
        let face = || if matches!(self.what, What::Point | What::Camera) { None } else { self.of_face(name) };
        match naming {
            Naming::PointOrCorner if matches!(self.what, What::Point | What::Corner(_) | What::Block) => {
                self.of_point(name)
            }
            Naming::Ends => name.match_indices('-').find_map(|(at, _)| {
                let ends = [&name[..at], &name[at + 1..]];
                let [a, b] = ends.map(|end| self.renamed(Naming::PointOrCorner, end, block));
                let is_changed = a.is_some() || b.is_some();
                let [first, second] =
                    [a.unwrap_or_else(|| ends[0].to_owned()), b.unwrap_or_else(|| ends[1].to_owned())];
                is_changed.then(|| format!("{first}-{second}"))
            }),
            Naming::Face => (self.what == What::Face && name == self.old).then(|| self.new.to_owned()),
            Naming::Side | Naming::AnyFace => face(),
            Naming::OwnSide => match self.what {
                What::Corner(of) if block == Some(of) && name == self.old => Some(self.new.to_owned()),
                _ => face(),
            },
            Naming::Camera => (self.what == What::Camera && name == self.old).then(|| self.new.to_owned()),
            _ => None,
        }
    }

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
            // A dormer's sides are named like a block's.
            (What::Block | What::Dormer, Some((block, corner))) => {
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
