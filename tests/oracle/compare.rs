//! Holds a roof against the simulator's answer.

use super::simulate::Answer;
use eavewright::outline::footprint::Footprint;
use eavewright::roof::Roof;

/// Every difference, in words. `share` is of the outline's plan area (and of its root for the height).
pub fn differences(footprint: &Footprint, answer: &Answer, roof: &Roof, share: f64) -> Vec<String> {
    let mut plan = vec![0.0; answer.plan.len()];
    let mut area = vec![0.0; answer.plan.len()];
    let mut found = Vec::new();
    for (_, face) in roof.roof_faces() {
        let side = face.side.clone().unwrap_or_default();
        let Some(&plane) = answer.of_side.get(&side) else {
            found.push(format!("face {} names no side", face.name));
            continue;
        };
        plan[plane] += roof.plan_area(face).0;
        area[plane] += roof.area(face).0;
    }
    let total = answer.total_plan();
    for plane in 0..plan.len() {
        let sides: Vec<&str> = answer.of_side.iter().filter(|(_, p)| **p == plane).map(|(s, _)| s.as_str()).collect();
        if (plan[plane] - answer.plan[plane]).abs() > share * total {
            found.push(format!("{sides:?}: plan area {}, expected {}", plan[plane], answer.plan[plane]));
        } else if (area[plane] - answer.area[plane]).abs() > share * total * 20.0 {
            found.push(format!("{sides:?}: area {}, expected {}", area[plane], answer.area[plane]));
        }
    }
    let top = roof.ridge_height().unwrap_or(f64::NAN);
    let near = (top - answer.top).abs() <= share * total.sqrt() * 20.0;
    if !near {
        found.push(format!("top {top}, expected {}", answer.top));
    }
    let base = footprint.rings.iter().flat_map(|r| &r.sides).map(|s| s.height).fold(f64::INFINITY, f64::min);
    let volume = answer.volume + total * base;
    match roof.volume {
        Some(got) if (got - volume).abs() <= share * volume * 20.0 => {}
        got => found.push(format!("volume {got:?}, expected {volume}")),
    }
    found
}
