//! Any text as a city model, a building model, a drawing or a table of points: taken over, or refused with a reason. What is taken
//! over is finite.

use eavewright::input::import::{city, dxf, ifc, survey};

pub fn check(bytes: &[u8]) {
    // The first byte chooses the reader, so that what grows in one kind stays in it.
    let Some((kind, rest)) = bytes.split_first() else { return };
    let Ok(text) = std::str::from_utf8(rest) else { return };
    let read = match kind % 4 {
        0 => city::read(text),
        1 => ifc::read(text),
        2 => dxf::read(text, (Some(35.0), 2.4), None),
        _ => survey::read(text),
    };
    match read {
        Err(reason) => assert!(!reason.is_empty(), "refused without a reason"),
        Ok(taken) => {
            for (name, ring) in &taken.faces {
                assert!(ring.iter().all(|place| place.iter().all(|value| value.is_finite())), "{name}");
            }
            for (name, place) in &taken.points {
                assert!(place.iter().all(|value| value.is_finite()), "{name}");
            }
        }
    }
}
