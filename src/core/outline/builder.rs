//! Footprints written corner by corner.

use super::footprint::{Footprint, Ring, Role, Side, TakesOver, Unsound};
use crate::base::name::Name;
use nalgebra::Point2;

/// A footprint under way: see [`Footprint::builder`].
#[derive(Clone, Debug, PartialEq)]
#[must_use]
pub struct FootprintBuilder {
    name: Name,
    height: f64,
    rings: Vec<Ring>,
    take_over: TakesOver,
}

impl Footprint {
    /// Starts a footprint at the drip edge, without corners, at height 0.
    ///
    /// ```
    /// use eavewright_core::prelude::*;
    ///
    /// // A lean-to: one eave, a gable end left and right, a higher wall behind.
    /// let eave = Role::eave(Pitch::from_degrees(15.0)?);
    /// let lean_to = Footprint::builder("lean-to")
    ///     .at_height(2.1)
    ///     .corner(0.0, 0.0, eave)
    ///     .corner(6.0, 0.0, Role::Verge)
    ///     .corner(6.0, 3.0, Role::Abutment)
    ///     .corner(0.0, 3.0, Role::Verge)
    ///     .build()?;
    /// assert_eq!(lean_to.rings[0].sides[0].name, "A");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn builder(name: impl Into<Name>) -> FootprintBuilder {
        FootprintBuilder { name: name.into(), height: 0.0, rings: Vec::new(), take_over: TakesOver::default() }
    }
}

impl FootprintBuilder {
    /// Height above datum of the sides that follow, metres.
    pub fn at_height(mut self, height: f64) -> Self {
        self.height = height;
        self
    }

    /// A corner on the site plan, metres, and what the roof does above the side that starts there: anticlockwise round the
    /// outline, clockwise round a hole. Sides are named A, B … Z, A2, B2 …, on through all rings.
    pub fn corner(self, x: f64, y: f64, role: Role) -> Self {
        let count: usize = self.rings.iter().map(|ring| ring.sides.len()).sum();
        let letter = char::from(b'A' + u8::try_from(count % 26).unwrap_or(0));
        let name = if count < 26 { letter.to_string() } else { format!("{letter}{}", count / 26 + 1) };
        self.side(name, x, y, role)
    }

    /// The same with a name of one's own, unique within the footprint.
    pub fn side(mut self, name: impl Into<Name>, x: f64, y: f64, role: Role) -> Self {
        let side = Side { name: name.into(), start: Point2::new(x, y), height: self.height, role };
        match self.rings.last_mut() {
            Some(ring) => ring.sides.push(side),
            None => self.rings.push(Ring { sides: vec![side] }),
        }
        self
    }

    /// Corners that follow run round a hole, clockwise.
    pub fn hole(mut self) -> Self {
        self.rings.push(Ring::default());
        self
    }

    /// Which of two slopes of one direction goes on where they come into one line.
    pub fn take_over(mut self, take_over: TakesOver) -> Self {
        self.take_over = take_over;
        self
    }

    /// The footprint, its height the lowest of its sloping sides.
    ///
    /// # Errors
    /// The first promise of [`Footprint`] that it does not keep.
    pub fn build(self) -> Result<Footprint, Unsound> {
        let sloping = self.rings.iter().flat_map(|ring| &ring.sides).filter(|side| side.role.slopes());
        let height = sloping.map(|side| side.height).reduce(f64::min).unwrap_or(self.height);
        let Self { name, rings, take_over, .. } = self;
        let footprint = Footprint { name, height, rings, walls: None, take_over };
        footprint.check_invariants()?;
        Ok(footprint)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used)]
    use super::*;
    use crate::base::units::Pitch;

    #[test]
    fn names_heights_and_promises() {
        let eave = || Role::eave(Pitch::from_degrees(30.0).unwrap());
        let places: Vec<(f64, f64)> = (0..28).map(|at| (f64::from(at) / 28.0).sin_cos()).collect();
        let walked = |places: &mut dyn Iterator<Item = &(f64, f64)>| {
            places.fold(Footprint::builder("round"), |made, &(x, y)| made.corner(x, y, eave())).build()
        };
        let round = walked(&mut places.iter().rev()).unwrap();
        assert_eq!([25, 26].map(|side: usize| round.rings[0].sides[side].name.as_str()), ["Z", "A2"]);
        assert_eq!(walked(&mut places.iter()), Err(Unsound::WrongWayRound { ring: 0 }), "an arc walked clockwise");
        let court = Footprint::builder("court")
            .at_height(2.4)
            .corner(0.0, 0.0, Role::Verge)
            .at_height(2.7)
            .corner(9.0, 0.0, eave())
            .at_height(2.6)
            .corner(9.0, 9.0, eave())
            .corner(0.0, 9.0, eave())
            .hole()
            .corner(3.0, 3.0, eave())
            .corner(3.0, 6.0, eave())
            .corner(6.0, 6.0, eave())
            .build()
            .unwrap();
        assert_eq!(court.height, 2.6, "a gable end has no say");
        let names: Vec<&str> = court.rings[1].sides.iter().map(|side| side.name.as_str()).collect();
        assert_eq!(names, ["E", "F", "G"]);
        let nothing = Footprint::builder("nothing").corner(0.0, 0.0, eave()).build();
        assert_eq!(nothing, Err(Unsound::TooFewSides { ring: 0, sides: 1 }));
    }
}
