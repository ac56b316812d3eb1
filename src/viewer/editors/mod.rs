//! What is typed and dragged: forms of the file on the left, views of the roof in the middle.

pub mod begin;
pub mod forms;
pub mod placing;
pub mod rename;
pub mod rows;
pub mod units;
pub mod views;
