//! Lays roll felt as the sheet says: both layers cover the roof, laps are as wide as told and stand apart, and what is cut
//! from rolls comes out of the rolls that are ordered.

use super::shape::{inside_rings, joined, without};
use serde_json::Value;
use std::collections::BTreeMap;

const HAIR: f64 = 1e-6;

/// Places nearer than this to an edge of what is covered are not looked at.
const RIM: f64 = 0.001;

#[derive(Default, Debug)]
pub struct Followed {
    pub faults: Vec<String>,
    pub pieces: usize,
    pub end_laps: usize,
    pub lines: usize,
    pub rolls: usize,
}

struct Piece {
    row: u64,
    /// Along the strip and across it.
    along: [f64; 2],
    across: [f64; 2],
    roll: u64,
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no number {key} in {value}"))
}

fn pieces(plan: &Value, is_up: bool) -> Vec<Piece> {
    let read = |piece: &Value| {
        let u = [number(piece, "from"), number(piece, "to")];
        let v = [number(piece, "edge"), number(piece, "head")];
        let (along, across) = if is_up { (v, u) } else { (u, v) };
        Piece { row: piece["row"].as_u64().unwrap(), along, across, roll: piece["roll"].as_u64().unwrap() }
    };
    plan["pieces"].as_array().unwrap().iter().map(read).collect()
}

fn rings(plan: &Value) -> Vec<Vec<[f64; 2]>> {
    let place = |place: &Value| [place[0].as_f64().unwrap(), place[1].as_f64().unwrap()];
    let ring = |ring: &Value| ring.as_array().unwrap().iter().map(place).collect();
    plan["outline"].as_array().unwrap().iter().map(ring).collect()
}

/// Follows the layers of `takeoff --json --rows`.
#[allow(clippy::too_many_lines)]
pub fn follow(answer: &Value) -> Followed {
    let mut found = Followed::default();
    let mut side_laps: BTreeMap<String, Vec<Vec<[f64; 2]>>> = BTreeMap::new();
    for (layer, item) in [("base_layer", "base-layer"), ("cap_sheet", "felt")] {
        let laid = &answer[layer];
        let step = answer["work"].as_array().unwrap().iter().find(|step| step["step"] == layer.replace('_', "-"));
        let step = &step.unwrap_or_else(|| panic!("no step of {layer}"))["values"];
        // Which rolls are used, and how much of each.
        let mut used: BTreeMap<u64, f64> = BTreeMap::new();
        let roll_length = number(&laid["faces"][0], "length");
        let width = number(step, "width");
        for plan in laid["faces"].as_array().unwrap() {
            let face = plan["face"].as_str().unwrap();
            let is_up = plan["direction"] == "up";
            let pieces = pieces(plan, is_up);
            found.pieces += pieces.len();
            for piece in &pieces {
                let share = (piece.across[1] - piece.across[0]) / width;
                *used.entry(piece.roll).or_default() += (piece.along[1] - piece.along[0]) * share;
            }
            let mut fault = |words: String| found.faults.push(format!("{face} {layer}: {words}"));
            // Strips as the step says: from the eave (or the left) on, a width each, lapped.
            let rows = plan["rows"].as_u64().unwrap();
            let mut edges: Vec<[f64; 2]> = Vec::new();
            for row in 1..=rows {
                let of_row: Vec<&Piece> = pieces.iter().filter(|piece| piece.row == row).collect();
                let Some(across) = of_row.first().map(|piece| piece.across) else {
                    fault(format!("strip {row} is missing"));
                    continue;
                };
                if of_row.iter().any(|piece| (piece.across[0] - across[0]).abs() > HAIR) {
                    fault(format!("pieces of strip {row} do not lie in line"));
                }
                let told = if row == 1 { step["first_width"].as_f64().unwrap_or(width) } else { width };
                let own = across[1] - across[0];
                if own > told + HAIR || (row < rows && (own - told).abs() > HAIR) {
                    fault(format!("strip {row} is {own} wide where {told} is told"));
                }
                if let Some(below) = edges.last() {
                    let lap = below[1] - across[0];
                    if (lap - number(step, "side_lap")).abs() > HAIR {
                        fault(format!("strip {row} laps {lap}"));
                    }
                }
                edges.push(across);
            }
            // Ends lap, and stand apart from those of the strip before.
            let laps = |row: u64| -> Vec<f64> {
                let of_row: Vec<&Piece> = pieces.iter().filter(|piece| piece.row == row).collect();
                let pairs = of_row.windows(2).filter(|pair| pair[0].along[1] > pair[1].along[0] - HAIR);
                pairs.map(|pair| f64::midpoint(pair[0].along[1], pair[1].along[0])).collect()
            };
            for pair in pieces.windows(2).filter(|pair| pair[0].row == pair[1].row) {
                let lap = pair[0].along[1] - pair[1].along[0];
                if lap > -HAIR && (lap - number(step, "end_lap")).abs() > HAIR {
                    fault(format!("strip {}: ends lap {lap}", pair[0].row));
                }
            }
            for row in 1..rows {
                let (here, next) = (laps(row), laps(row + 1));
                for lap in &next {
                    found.end_laps += 1;
                    let near = here.iter().map(|other| (other - lap).abs()).fold(f64::INFINITY, f64::min);
                    if near < number(step, "stagger") - HAIR {
                        fault(format!("strip {}: an end lap {near} from one of the strip before", row + 1));
                    }
                }
            }
            // Every place within the face's edges is covered.
            let rings = rings(plan);
            let heights = rings.iter().flatten().map(|place| place[1]);
            let [low, high] = heights.fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], v| [a.min(v), b.max(v)]);
            let steps = (0..).map(|step| low + RIM + 0.013 + 0.0731 * f64::from(step));
            for v in steps.take_while(|v| *v < high - RIM) {
                found.lines += 1;
                for run in joined(inside_rings(&rings, &[], v), HAIR) {
                    if run[1] - run[0] < 4.0 * RIM {
                        continue;
                    }
                    let run = [run[0] + RIM, run[1] - RIM];
                    let over: Vec<[f64; 2]> = pieces
                        .iter()
                        .filter_map(|piece| {
                            let (u, height) =
                                if is_up { (piece.across, piece.along) } else { (piece.along, piece.across) };
                            (height[0] <= v && v <= height[1]).then_some(u)
                        })
                        .collect();
                    for [from, to] in without(run, &over) {
                        if to - from > HAIR {
                            fault(format!("bare from {from:.3} to {to:.3} at {v:.3}"));
                        }
                    }
                }
            }
            side_laps.entry(face.to_owned()).or_default().push(edges);
        }
        for strip in laid["strips"].as_array().unwrap() {
            let rolls = strip["rolls"].as_array().unwrap();
            let share = number(strip, "width") / width;
            // Pieces lap each other; how long each is does not matter to the sum.
            let length = number(strip, "length") + (rolls.len() as f64 - 1.0) * number(step, "end_lap");
            for roll in rolls {
                *used.entry(roll.as_u64().unwrap()).or_default() += length * share / rolls.len() as f64;
            }
        }
        let line = answer["lines"].as_array().unwrap().iter().find(|line| line["item"] == item).unwrap();
        let (ordered, rolls) = (line["packs"].as_u64().unwrap(), laid["rolls"].as_u64().unwrap());
        found.rolls += usize::try_from(rolls).unwrap();
        let in_turn: Vec<u64> = used.keys().copied().collect();
        if ordered != rolls || in_turn != (1..=rolls).collect::<Vec<u64>>() {
            found.faults.push(format!("{layer}: {ordered} rolls ordered, {rolls} told, {in_turn:?} used"));
        }
        for (roll, length) in &used {
            if *length > roll_length + HAIR
                && !laid["strips"].as_array().unwrap().iter().any(|strip| strip["rolls"].as_array().unwrap().len() > 1)
            {
                found.faults.push(format!("{layer}: {length} m come out of roll {roll} of {roll_length} m"));
            }
        }
    }
    // Side laps of the two layers stand apart.
    for (face, layers) in &side_laps {
        let [base, cap] = layers.as_slice() else { panic!("{face}: {} layers", layers.len()) };
        for lower in base.iter().skip(1) {
            for upper in cap.iter().skip(1) {
                if (lower[0] - upper[0]).abs() < 0.090 {
                    found.faults.push(format!("{face}: side laps of both layers at {} and {}", lower[0], upper[0]));
                }
            }
        }
    }
    found
}

/// Each thing that is looked at, broken once, is found out.
#[test]
fn a_broken_sheet_of_felt_is_found_out() {
    let text = format!("{}\n[covering]\ncard = \"felt\"\n", super::roofs::gable(11.0, 5.0, 5.0));
    let whole = super::taken_off(&text).unwrap();
    assert!(follow(&whole).faults.is_empty(), "{:?}", follow(&whole).faults);
    let breaks: [(&str, &str, fn(&mut Value)); 7] = [
        ("a strip moved up", "laps", |answer| {
            let pieces = answer["cap_sheet"]["faces"][0]["pieces"].as_array_mut().unwrap();
            for piece in pieces.iter_mut().filter(|piece| piece["row"] == 2) {
                piece["edge"] = (piece["edge"].as_f64().unwrap() + 0.2).into();
                piece["head"] = (piece["head"].as_f64().unwrap() + 0.2).into();
            }
        }),
        ("a strip left out", "is missing", |answer| {
            answer["base_layer"]["faces"][1]["pieces"].as_array_mut().unwrap().remove(1);
        }),
        ("a short end lap", "ends lap", |answer| {
            let piece = &mut answer["cap_sheet"]["faces"][0]["pieces"][0];
            piece["to"] = (piece["to"].as_f64().unwrap() - 0.1).into();
        }),
        ("a roll too few", "ordered", |answer| {
            let lines = answer["lines"].as_array_mut().unwrap();
            let line = lines.iter_mut().find(|line| line["item"] == "felt").unwrap();
            line["packs"] = (line["packs"].as_u64().unwrap() - 1).into();
        }),
        ("all from one roll", "come out of roll 1", |answer| {
            for piece in answer["cap_sheet"]["faces"][0]["pieces"].as_array_mut().unwrap() {
                piece["roll"] = 1.into();
            }
        }),
        ("another side lap told", "laps", |answer| {
            let work = answer["work"].as_array_mut().unwrap();
            let step = work.iter_mut().find(|step| step["step"] == "cap-sheet").unwrap();
            step["values"]["side_lap"] = 0.12.into();
        }),
        ("another stagger told", "from one of the strip before", |answer| {
            for step in answer["work"].as_array_mut().unwrap().iter_mut() {
                if step["step"] == "base-layer" || step["step"] == "cap-sheet" {
                    step["values"]["stagger"] = 20.0.into();
                }
            }
        }),
    ];
    for (what, says, break_it) in breaks {
        let mut broken = whole.clone();
        break_it(&mut broken);
        let faults = follow(&broken).faults;
        assert!(faults.iter().any(|fault| fault.contains(says)), "{what}: {faults:?}");
    }
}
