//! A whole job and the stages run over it in order. Pure: text comes from `input`, answers leave through `write`.

pub mod answer;
pub mod model;
pub mod vary;

pub use model::Job;
