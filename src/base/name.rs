//! Names of blocks and sides: short texts, copied often, so held in place up to 23 bytes and shared beyond.

/// A name.
pub type Name = smol_str::SmolStr;
