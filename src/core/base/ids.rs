//! Typed indices. Topology holds ids only; coordinates stand beside it, in a vector the id indexes.

use std::fmt;

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(u32);

        impl $name {
            /// The id of the item at `index` of its vector.
            ///
            /// # Panics
            /// When `index` does not fit 32 bits: four thousand million items of one kind are a bug.
            #[must_use]
            pub fn new(index: usize) -> Self {
                assert!(u32::try_from(index).is_ok(), "id out of range: {index}");
                #[allow(clippy::cast_possible_truncation)]
                Self(index as u32)
            }

            /// The position in its vector.
            #[must_use]
            pub fn index(self) -> usize {
                self.0 as usize
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }
    };
}

id!(
    /// A corner of the solved roof: an index into [`crate::roof::Roof::corners`].
    CornerId
);
id!(
    /// An edge of the solved roof: an index into [`crate::roof::Roof::edges`].
    EdgeId
);
id!(
    /// A face of the solved roof: an index into [`crate::roof::Roof::faces`].
    FaceId
);
id!(
    /// A surveyed point: an index into [`crate::survey::Survey::points`].
    PointId
);
id!(
    /// A face given by its points: an index into [`crate::survey::Survey::faces`].
    PlaneId
);
id!(
    /// A block of the job, in file order.
    BlockId
);

/// A side of a block: which ring (0 is the outer one, holes follow) and which side of it, both in file order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SideId {
    /// The block, by its number in the job.
    pub block: BlockId,
    /// 0 for the outer ring, then the holes.
    pub ring: u32,
    /// The side's place in its ring, in file order.
    pub side: u32,
}
