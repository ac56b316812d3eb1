//! A table of cutting data.

use crate::drawing::typeset::document::Table;

/// A table of cutting data with its heading and a remark (empty where there is none).
#[derive(Clone, Debug, PartialEq)]
pub struct CuttingTable {
    /// What it is of.
    pub heading: String,
    /// The numbers.
    pub table: Table,
    /// How they are meant.
    pub remark: &'static str,
}
