//! Roof files and material cards, read with every mistake reported in one go.
