//! Photos and marks as the file writes them: what is drawn and changed, whatever the last answer was.

use crate::base::file_tree::{Edit, Entry, FileTable, Kind, Step};
use std::path::Path;

/// A photo of the file.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PhotoInFile {
    /// Its file, empty where none is named.
    pub file: String,
    /// Marks: the point's name and its pixel.
    pub marks: Vec<(String, [f64; 2])>,
}

/// The photos of a file, in its order.
#[must_use]
pub fn photos(written: &FileTable) -> Vec<PhotoInFile> {
    let mark = |(name, entry): &(String, Entry)| {
        let Entry::Value(value) = entry else { return None };
        // A third number is the mark's own standard deviation.
        let mut numbers = value.text.split(',').map(|number| number.trim().parse().ok());
        Some((name.clone(), [numbers.next()??, numbers.next()??]))
    };
    let photo = |table: &FileTable| PhotoInFile {
        file: table.field("file").text,
        marks: table.table("marks").map(|marks| marks.entries.iter().filter_map(mark).collect()).unwrap_or_default(),
    };
    written.list("photo").iter().map(photo).collect()
}

/// Names that can be marked: points of the file, then corners of blocks, without those marked already.
#[must_use]
pub(crate) fn free_names(written: &FileTable, photo: &PhotoInFile) -> Vec<String> {
    let points = written.table("points").map(|points| points.entries.iter().map(|(name, _)| name.clone()).collect());
    let mut names: Vec<String> = points.unwrap_or_default();
    for block in written.list("block") {
        let of = block.field("name").text;
        let outer = block.list("sides").iter();
        let holes = block.list("holes").iter().flat_map(|hole| hole.list("sides"));
        names
            .extend(outer.chain(holes).filter_map(|side| side.value("from")).map(|from| format!("{of}.{}", from.text)));
    }
    names.retain(|name| !photo.marks.iter().any(|(marked, _)| marked == name));
    names
}

/// A name for a point that the file does not know yet: `P1`, `P2` …
#[must_use]
pub(crate) fn new_name(written: &FileTable) -> String {
    let names = free_names(written, &PhotoInFile::default());
    let mut new = (1..=names.len() + 1).map(|number| format!("P{number}"));
    new.find(|name| !names.contains(name)).unwrap_or_default()
}

/// Sets, moves or (with nothing) removes a mark. Pixels are written to a tenth.
#[must_use]
pub fn mark(photo: usize, name: &str, at: Option<[f64; 2]>) -> Edit {
    let way: Vec<Step> = vec!["photo".into(), photo.into(), "marks".into(), name.into()];
    Edit::Set { at: way, value: at.map(|[x, y]| format!("{x:.1}, {y:.1}")), kind: Kind::Measures }
}

/// A new, unknown point of the file.
#[must_use]
pub fn point(name: &str) -> Edit {
    Edit::Set { at: vec!["points".into(), name.into()], value: Some("{}".to_owned()), kind: Kind::Raw }
}

/// Another photo, its file named as seen from the roof file where it lies beside or below it.
#[must_use]
pub fn photo(roof_file: Option<&Path>, file: &Path) -> Edit {
    let beside = roof_file.and_then(Path::parent).and_then(|folder| file.strip_prefix(folder).ok()).unwrap_or(file);
    let name = beside.to_string_lossy().replace('\\', "/").replace('"', "\\\"");
    Edit::Add { list: vec!["photo".into()], entry: format!("file = \"{name}\"\nmarks = {{}}\n") }
}
