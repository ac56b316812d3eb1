//! Where unsaved texts wait: one place for each job, never one that holds a text still on offer.

use crate::viewer::backend::{Backend, Slot};
use std::path::Path;
use std::time::{SystemTime, UNIX_EPOCH};

/// What killed windows left behind of a file, or of roofs that have none, and that differs from the text as it is.
pub(super) fn left_behind(backend: &dyn Backend, path: Option<&Path>, text: &str) -> Vec<(Slot, String)> {
    backend.kept(path).into_iter().filter(|(_, kept)| kept != text).collect()
}

/// A place for the unsaved text of a job that is begun now: a file's usual one, unless something on offer stands there.
pub(super) fn slot_beside(path: Option<&Path>, offered: &[(Slot, String)]) -> Slot {
    let path = path.map(Path::to_path_buf);
    if path.is_some() && offered.is_empty() {
        return Slot { path, stamp: 0 };
    }
    let now = SystemTime::now().duration_since(UNIX_EPOCH).map_or(1, |since| since.as_millis());
    let mut stamp = u64::try_from(now).unwrap_or(u64::MAX);
    while offered.iter().any(|(slot, _)| slot.stamp == stamp) {
        stamp += 1;
    }
    Slot { path, stamp }
}
