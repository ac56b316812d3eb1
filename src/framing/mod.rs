//! Cutting data: rafter lengths, hip and jack cuts, backing, sheathing angles.
