//! Holds a roof against the simulator's answer.

use super::simulate::Answer;
use eavewright_core::outline::footprint::Footprint;
use eavewright_core::roof::Roof;

/// Every difference, in words. `share` is of the outline's plan area (and of its root for the height).
pub fn differences(footprint: &Footprint, answer: &Answer, roof: &Roof, share: f64) -> Vec<String> {
    let mut plan = vec![0.0; answer.plan.len()];
    let mut area = vec![0.0; answer.plan.len()];
    let mut found = Vec::new();
    // Planes that became one are compared together.
    let mut together: Vec<usize> = (0..plan.len()).collect();
    for &(a, b) in &answer.meets.one_plane {
        let (Some(&to), Some(&from)) = (together.get(a), together.get(b)) else { continue };
        together.iter_mut().filter(|plane| **plane == from).for_each(|plane| *plane = to);
    }
    let gather = |areas: &[f64]| {
        let mut sums = vec![0.0; areas.len()];
        areas.iter().zip(&together).for_each(|(area, &plane)| sums[plane] += area);
        sums
    };
    let (wanted_plan, wanted_area) = (gather(&answer.plan), gather(&answer.area));
    for (_, face) in roof.roof_faces() {
        let Some(&plane) = face.side().and_then(|side| answer.of_side.get(side.side.as_str())) else {
            found.push(format!("face {} names no side", face.name()));
            continue;
        };
        plan[together[plane]] += roof.plan_area(face).0;
        area[together[plane]] += roof.area(face).0;
    }
    let total = answer.total_plan();
    for plane in 0..plan.len() {
        let sides: Vec<&str> =
            answer.of_side.iter().filter(|(_, p)| together[**p] == plane).map(|(s, _)| s.as_str()).collect();
        if (plan[plane] - wanted_plan[plane]).abs() > share * total {
            found.push(format!("{sides:?}: plan area {}, expected {}", plan[plane], wanted_plan[plane]));
        } else if (area[plane] - wanted_area[plane]).abs() > share * total * 20.0 {
            found.push(format!("{sides:?}: area {}, expected {}", area[plane], wanted_area[plane]));
        }
    }
    let top = roof.ridge_height().unwrap_or(f64::NAN);
    let near = (top - answer.top).abs() <= share * total.sqrt() * 20.0;
    if !near {
        found.push(format!("top {top}, expected {}", answer.top));
    }
    let sloping = footprint.rings.iter().flat_map(|ring| &ring.sides).filter(|side| side.role.slopes());
    let base = sloping.map(|side| side.height).fold(f64::INFINITY, f64::min);
    let volume = answer.volume + total * base;
    match roof.volume {
        Some(got) if (got - volume).abs() <= share * volume * 20.0 => {}
        got => found.push(format!("volume {got:?}, expected {volume}")),
    }
    found
}
