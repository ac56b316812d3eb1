//! Follows the tables of underlay and deck: rows lap as far as told, ends too, and all of the face is covered.

use super::shape::{inside, joined, without};
use super::sheet::Face;
use serde_json::Value;

const HAIR: f64 = 1e-6;

/// The covering reaches past the deck, and a small opening is laid across: places this near to an edge are not looked at.
const RIM: f64 = 0.080;

/// A piece of a row: from-to along the eave, lower and upper edge.
struct Piece {
    row: u64,
    u: [f64; 2],
    v: [f64; 2],
}

fn pieces(plan: &Value) -> Vec<Piece> {
    let number = |piece: &Value, key: &str| piece[key].as_f64().unwrap();
    let read = |piece: &Value| Piece {
        row: piece["row"].as_u64().unwrap(),
        u: [number(piece, "from"), number(piece, "to")],
        v: [number(piece, "edge"), number(piece, "head")],
    };
    plan["pieces"].as_array().unwrap().iter().map(read).collect()
}

/// Faults of the plans of `key` (`underlay` or `deck`); `sheds`: whether rows lap one another, else they stand edge to edge.
pub fn faults(answer: &Value, faces: &[Face], key: &str, sheds: bool) -> (usize, Vec<String>) {
    let (mut seen, mut faults) = (0, Vec::new());
    for plan in answer[key].as_array().unwrap() {
        let name = plan["face"].as_str().unwrap();
        let face = faces.iter().find(|face| face.name == name).unwrap();
        let [head_lap, end_lap] = ["head_lap", "end_lap"].map(|key| plan[key].as_f64().unwrap());
        let pieces = pieces(plan);
        seen += pieces.len();
        let edges: Vec<f64> = plan["edges"].as_array().unwrap().iter().map(|edge| edge.as_f64().unwrap()).collect();
        assert_eq!(plan["count"].as_u64().unwrap(), pieces.len() as u64);
        // As the table says it: the lower edge of each row, and the lap over the one below.
        for (index, pair) in edges.windows(2).enumerate() {
            let heads = pieces.iter().filter(|piece| piece.row == index as u64 + 1).map(|piece| piece.v[1]);
            let head = heads.fold(f64::INFINITY, f64::min);
            let lap = head - pair[1];
            if lap < head_lap - HAIR || (!sheds && lap > HAIR) {
                faults.push(format!("{name} {key} row {}: laps {lap} where {head_lap} is told", index + 2));
            }
        }
        for (before, after) in pieces.iter().zip(pieces.iter().skip(1)) {
            let lap = before.u[1] - after.u[0];
            if before.row == after.row && lap > -HAIR && lap < end_lap - HAIR {
                faults.push(format!("{name} {key} row {}: ends lap {lap} where {end_lap} is told", before.row));
            }
        }
        let layers = if plan["double"].as_bool().unwrap() { 2 } else { 1 };
        let top = face.outline.iter().flatten().map(|place| place[1]).fold(f64::NEG_INFINITY, f64::max);
        let steps = (0..).map(|step| 0.011 + 0.037 * f64::from(step));
        for v in steps.take_while(|v| *v < top - RIM) {
            let here: Vec<&Piece> = pieces.iter().filter(|piece| piece.v[0] <= v && v < piece.v[1]).collect();
            let bare = |needed: usize, run: [f64; 2]| -> Vec<[f64; 2]> {
                let mut rows: Vec<(u64, Vec<[f64; 2]>)> = Vec::new();
                for piece in &here {
                    match rows.iter_mut().find(|(row, _)| *row == piece.row) {
                        Some((_, runs)) => runs.push(piece.u),
                        None => rows.push((piece.row, vec![piece.u])),
                    }
                }
                let gaps = rows.iter().map(|(_, runs)| without(run, &joined(runs.clone(), HAIR)));
                // Where fewer rows than needed lie: no more than one may leave a place bare for each spare row.
                let gaps: Vec<Vec<[f64; 2]>> = gaps.collect();
                let mut thin = Vec::new();
                let mut ends: Vec<f64> = gaps.iter().flatten().flatten().copied().chain(run).collect();
                ends.sort_by(f64::total_cmp);
                for pair in ends.windows(2).filter(|pair| pair[1] - pair[0] > HAIR) {
                    let middle = f64::midpoint(pair[0], pair[1]);
                    let open = gaps.iter().filter(|gaps| gaps.iter().any(|[a, b]| *a < middle && middle < *b)).count();
                    if gaps.len() - open < needed {
                        thin.push([pair[0], pair[1]]);
                    }
                }
                thin
            };
            for [from, to] in inside(face, v) {
                if to - from > 2.0 * RIM {
                    for [a, b] in bare(layers, [from + RIM, to - RIM]) {
                        if b - a > 0.005 {
                            faults.push(format!(
                                "{name} {key}: bare from {a:.3} to {b:.3} at {v:.3} ({layers} asked for)"
                            ));
                        }
                    }
                }
            }
        }
    }
    (seen, faults)
}
