//! Keeps cases that go wrong, for whoever mends them: where `ROOF_FAILURES` names a folder, a JSON file a case.

use super::simulate::Answer;
use eavewright_core::outline::footprint::{Footprint, Role};

/// Notes a failed case: its rings and roles, what was expected and what came.
pub fn keep(name: &str, footprint: &Footprint, answer: Option<&Answer>, came: &[String]) {
    let Ok(folder) = std::env::var("ROOF_FAILURES") else { return };
    let role = |role: &Role| match role {
        Role::Eave { pitch, breaks } => {
            let breaks: Vec<_> = breaks.iter().map(|(rise, pitch)| (*rise, pitch.tangent())).collect();
            serde_json::json!({ "eave": pitch.tangent(), "breaks": breaks })
        }
        Role::Verge => "verge".into(),
        Role::Abutment => "abutment".into(),
        Role::HalfHip { hip_from, pitch } => serde_json::json!({ "hip_from": hip_from, "tangent": pitch.tangent() }),
        Role::Gablet { pitch, verge_from } => {
            serde_json::json!({ "tangent": pitch.tangent(), "verge_from": verge_from })
        }
    };
    let rings: Vec<_> = footprint
        .rings
        .iter()
        .map(|ring| {
            let side = |side: &eavewright_core::outline::footprint::Side| {
                let expected = answer.map(|answer| answer.plan[answer.of_side[side.name.as_str()]]);
                serde_json::json!({
                    "name": side.name.as_str(), "start": [side.start.x, side.start.y], "height": side.height,
                    "role": role(&side.role), "plan_area_of_its_plane": expected,
                })
            };
            ring.sides.iter().map(side).collect::<Vec<_>>()
        })
        .collect();
    let top = answer.map(|answer| answer.top);
    let record = serde_json::json!({ "name": name, "rings": rings, "expected_top": top, "came": came });
    std::fs::write(format!("{folder}/{name}.json"), serde_json::to_string_pretty(&record).unwrap()).unwrap();
}
