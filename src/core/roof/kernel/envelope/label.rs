//! Which sheets are seen over each cell, and which one the building reaches up to.

use super::arrangement::{Arrangement, Half};
use super::sheets::{Blocks, within};
use std::collections::HashSet;

/// What lies over each cell.
#[derive(Debug, Default)]
pub struct Labels {
    /// Sheets seen from above or below an overhang, highest first.
    pub visible: Vec<Vec<usize>>,
    /// The sheet over the building itself; `None` outside all walls.
    pub solid: Vec<Option<usize>>,
}

/// Labels every cell. Going down from the highest sheet, each is seen until one that lies within its block's walls:
/// beneath that is the inside. Of equal surfaces only the earlier block's is kept.
#[must_use]
pub fn label(arrangement: &Arrangement, blocks: &Blocks) -> Labels {
    let cells = arrangement.inside.len();
    let mut labels = Labels { visible: vec![Vec::new(); cells], solid: vec![None; cells] };
    let walls: Vec<_> = (0..blocks.footprints.len()).map(|block| blocks.walls(block)).collect();
    for cell in 1..cells {
        let place = arrangement.inside[cell];
        let mut over: Vec<(usize, f64, bool)> = Vec::new();
        for (block, footprint) in blocks.footprints.iter().enumerate() {
            let Some(sheet) = blocks.sheet_over(block, &place) else { continue };
            let inside = footprint.walls.is_none() || within(&walls[block], &place);
            match over.iter_mut().find(|(other, _, _)| same_plane(blocks, *other, sheet)) {
                Some((_, _, solid)) => *solid |= inside,
                None => over.push((sheet, blocks.sheets[sheet].height(&place), inside)),
            }
        }
        over.sort_by(|a, b| b.1.total_cmp(&a.1));
        for (sheet, _, inside) in over {
            labels.visible[cell].push(sheet);
            if inside {
                labels.solid[cell] = Some(sheet);
                break;
            }
        }
    }
    hide_beyond_folds(arrangement, blocks, &mut labels);
    labels
}

fn same_plane(blocks: &Blocks, first: usize, second: usize) -> bool {
    blocks.sheets[first].same_plane == blocks.sheets[second].same_plane
}

/// Where two overhangs cross, what runs on beneath the other beyond their fold is cut away: the fold is a valley as far
/// as the drip edges' inner corner. An overhang that passes over a lower roof without touching it stays as it is.
fn hide_beyond_folds(arrangement: &Arrangement, blocks: &Blocks, labels: &mut Labels) {
    let slack = blocks.slack();
    let mut hidden: HashSet<(usize, usize)> = HashSet::new();
    let mut changed = true;
    while changed {
        changed = false;
        for half in 0..arrangement.next.len() {
            let cell = arrangement.cell[half];
            let beyond = arrangement.cell[half ^ 1];
            let ends = arrangement.places(half);
            for (position, &lower) in labels.visible[cell].iter().enumerate().skip(1) {
                if labels.solid[cell] == Some(lower) || hidden.contains(&(cell, lower)) {
                    continue;
                }
                let sheets = &blocks.sheets;
                let meets = |upper: &usize| {
                    ends.iter().all(|end| (sheets[*upper].height(end) - sheets[lower].height(end)).abs() <= slack)
                };
                let folds = labels.visible[cell][..position].iter().any(meets);
                let follows = hidden.iter().any(|&(c, s)| c == beyond && same_plane(blocks, s, lower));
                if folds || follows {
                    hidden.insert((cell, lower));
                    changed = true;
                }
            }
        }
    }
    for (cell, sheet) in hidden {
        labels.visible[cell].retain(|&seen| seen != sheet);
    }
}

/// Cuts arcs where two of the sheets beside them pass through one height, so that along an arc the order never changes.
pub(crate) fn cut_where_heights_cross(arrangement: &mut Arrangement, blocks: &Blocks, labels: &Labels) {
    let slack = blocks.slack();
    for arc in 0..arrangement.arcs.len() {
        let half: Half = 2 * arc;
        let cells = [arrangement.cell[half], arrangement.cell[half + 1]];
        let mut sheets: Vec<usize> = cells.iter().flat_map(|&cell| labels.visible[cell].clone()).collect();
        sheets.sort_unstable();
        sheets.dedup();
        let ends = arrangement.places(half);
        let mut shares: Vec<f64> = Vec::new();
        for (position, &first) in sheets.iter().enumerate() {
            for &second in &sheets[position + 1..] {
                let gap = ends.map(|end| blocks.sheets[first].height(&end) - blocks.sheets[second].height(&end));
                if gap[0].abs() > slack && gap[1].abs() > slack && (gap[0] > 0.0) != (gap[1] > 0.0) {
                    shares.push(gap[0] / (gap[0] - gap[1]));
                }
            }
        }
        arrangement.cut_arc_at(arc, shares, blocks.tolerance);
    }
}
