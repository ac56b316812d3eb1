//! Where lengths of stock and starters lie along edges. Lengths are metres.

/// A length of stock along edges.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Along {
    /// Of the edges in all.
    pub length: f64,
    /// Of a piece.
    pub piece: f64,
    /// Of pieces over each other.
    pub lap: f64,
    /// Whether underlay lies with it.
    pub underlay: bool,
}

/// Where the starter along one low edge begins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StarterBegins {
    /// Of its lower edge, up the slope.
    pub up: f64,
    /// Of its outer end on the hand it is laid from, along the eave.
    pub at: f64,
    /// Length of its first piece.
    pub first: f64,
}
