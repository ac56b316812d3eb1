//! Where in the roof file each place of the job stands.

use crate::base::place::Place;
use std::collections::BTreeMap;
use std::ops::Range;

/// Byte ranges by place.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SourceMap {
    spans: BTreeMap<Place, Range<usize>>,
}

impl SourceMap {
    /// Where a place stands; `None` for what the file does not state, such as the covering taken by default.
    #[must_use]
    pub fn span(&self, place: &Place) -> Option<Range<usize>> {
        self.spans.get(place).cloned()
    }

    /// Every place the file states, in order of place.
    pub fn places(&self) -> impl Iterator<Item = (&Place, Range<usize>)> {
        self.spans.iter().map(|(place, span)| (place, span.clone()))
    }

    pub(super) fn insert(&mut self, place: Place, span: Range<usize>) {
        self.spans.insert(place, span);
    }
}
