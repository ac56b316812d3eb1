//! The tag tree of a PDF: title, headings, paragraphs, tables with their heads, figures with their words, in reading order.

use crate::drawing::typeset::model::{Role, TextSpan};
use krilla::tagging::{Identifier, TableHeaderScope, Tag, TagGroup, TagKind, TagTree};
use std::num::NonZeroU16;

/// A thing of the document with the stretches of pages that show it.
pub(super) struct Told {
    role: Role,
    /// Pages that are one figure each have no number of their own: the page tells them apart.
    number: (usize, usize),
    shown: Vec<Identifier>,
}

/// Notes a stretch of a page: of the thing before it, or of a new one.
pub(super) fn tell(told: &mut Vec<Told>, stretch: &TextSpan, page: usize, id: Identifier) {
    let number = (stretch.number, if stretch.number == 0 { page } else { 0 });
    match told.last_mut() {
        Some(last) if last.number == number => last.shown.push(id),
        _ => told.push(Told { role: stretch.role.clone(), number, shown: vec![id] }),
    }
}

fn group(tag: impl Into<TagKind>, shown: Vec<Identifier>) -> TagGroup {
    let mut group = TagGroup::new(tag);
    for id in shown {
        group.push(id);
    }
    group
}

/// The tree of what was told. O(things).
pub(super) fn tree(told: Vec<Told>) -> TagTree {
    let mut tree = TagTree::new().with_lang(Some("en".to_owned()));
    // Rows of the table under way, with its number.
    let mut table: Option<(usize, Vec<(usize, TagGroup)>)> = None;
    for Told { role, shown, .. } in told {
        if let Role::Cell { table: number, row, head } = role {
            if table.as_ref().is_some_and(|(open, _)| *open != number) {
                close(&mut tree, table.take());
            }
            let cell = if head { group(Tag::TH(TableHeaderScope::Column), shown) } else { group(Tag::TD, shown) };
            let (_, rows) = table.get_or_insert_with(|| (number, Vec::new()));
            match rows.last_mut() {
                Some((open, last)) if *open == row => last.push(cell),
                _ => rows.push((row, TagGroup::with_children(Tag::TR, vec![cell.into()]))),
            }
            continue;
        }
        close(&mut tree, table.take());
        tree.push(match role {
            Role::Heading(level) => {
                group(Tag::Hn(NonZeroU16::from(std::num::NonZeroU8::MIN.saturating_add(level - 1)), None), shown)
            }
            Role::Figure(words) => group(Tag::Figure(Some(words)), shown),
            Role::Paragraph | Role::Cell { .. } => group(Tag::P, shown),
        });
    }
    close(&mut tree, table);
    tree
}

fn close(tree: &mut TagTree, table: Option<(usize, Vec<(usize, TagGroup)>)>) {
    if let Some((_, rows)) = table {
        let mut group = TagGroup::new(Tag::Table);
        for (_, row) in rows {
            group.push(row);
        }
        tree.push(group);
    }
}
