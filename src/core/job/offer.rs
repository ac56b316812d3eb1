//! What an offer and a handover say beside the answer: who to whom, on what terms, and what was laid in the end.

/// `[offer]`: the words of an offer, as the user writes them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OfferDetails {
    /// The firm, a line each: name, address, how to reach it.
    pub firm: Vec<String>,
    /// The client, likewise.
    pub client: Vec<String>,
    /// Where the building stands.
    pub site: Option<String>,
    /// The offer's number.
    pub number: Option<String>,
    /// The day it is made: `2026-05-01`.
    pub date: Option<String>,
    /// The day it ends.
    pub valid_until: Option<String>,
    /// Work beside what the order tells.
    pub also: Vec<String>,
    /// What is not part of it.
    pub excluded: Vec<String>,
    /// Terms, a sentence each.
    pub terms: Vec<String>,
}

/// `[[as_laid]]`: what was laid, as the packs say.
#[derive(Clone, Debug, PartialEq)]
pub struct AsLaid {
    /// What: a line of the order, or words of the user's own.
    pub what: String,
    /// The batch on its packs.
    pub batch: String,
    /// The day it was laid.
    pub date: Option<String>,
    /// Where, or what else to keep.
    pub note: Option<String>,
}
