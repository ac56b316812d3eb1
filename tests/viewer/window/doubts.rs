//! What stops the work and what casts doubt stands on top of what the roof means.

use super::state::{Plain, keep, window};
use egui_kittest::kittest::Queryable;
use std::sync::Arc;

#[test]
fn what_casts_doubt_stands_on_top() {
    for (file, part) in [
        ("measurement-doubtful", "Length store/C is in doubt: by the others it is about 302 mm too long"),
        ("no-way-off", "has no way off the roof: it needs an outlet there."),
    ] {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/findings/{file}.toml"));
        let mut harness = window(Arc::new(Plain::default()), &std::fs::read_to_string(path).unwrap(), [1280.0, 900.0]);
        keep(&mut harness, file);
        let told = harness.get_all_by_label_contains(part).next().unwrap().rect();
        let head = harness.get_by_label("How big").rect();
        assert!(told.max.y < head.min.y, "{file}: {told:?} {head:?}");
    }
    let plain = std::fs::read_to_string("tests/findings/framing-geometry-only.toml").unwrap();
    let harness = window(Arc::new(Plain::default()), &plain, [1280.0, 900.0]);
    assert!(harness.query_by_label("Look here first").is_none());
}
