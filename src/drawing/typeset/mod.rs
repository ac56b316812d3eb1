//! Paper, pages, lettering that never overlaps, dimensions, tables: how drawings and documents are set.

pub mod board;
pub mod canvas;
pub mod context;
pub mod dimension;
pub mod document;
pub mod figure;
pub mod file_names;
mod fill;
pub mod format;
pub mod frame;
pub mod grid;
pub mod label;
pub mod lettering;
mod lettering_table;
pub mod model;
pub mod pages;
pub mod paper;
pub mod pen;
mod set_figures;
mod set_tables;
mod set_text;
mod setter;
mod table_set;
pub mod ticks;
pub mod tilted;
