//! Words for a ring of an outline.

/// "block store", or "hole 1 of block store".
pub(super) fn ring(block: &str, ring: usize) -> String {
    if ring == 0 { format!("block {block}") } else { format!("hole {ring} of block {block}") }
}
