//! Bonds: how far the joints of each course are shifted, and which shifts are worth trying.
//!
//! Course k is shifted by ((k - 1) mod 2n) half tabs, so that its joints stand over no joint of the courses near it. On
//! a width that would end one course of the six in a sliver, a shorter run of shifts leaves that one out on the whole
//! face; it keeps the alternation of slots because its length is even (common practice, no source).

use super::details::Hand;

/// A bond: shifts that repeat course after course, in steps (half tabs for strips).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bond {
    /// From which end it counts.
    pub hand: Hand,
    /// The least shift of the run.
    pub base: u32,
    /// How many shifts the run has before it repeats.
    pub length: u32,
    /// Which of them the first course takes.
    pub start: u32,
}

impl Bond {
    /// Shift of a course, counted from 0, in steps of which `steps` make a whole piece.
    #[must_use]
    pub fn shift(&self, course: usize, steps: u32) -> u32 {
        let within = (course + self.start as usize) % self.length as usize;
        #[allow(clippy::cast_possible_truncation)]
        let within = within as u32;
        (self.base + within) % steps
    }
}

/// All bonds whose run has every shift: both hands, every first course.
#[must_use]
pub fn full(steps: u32) -> Vec<Bond> {
    each_hand(|hand| (0..steps).map(move |start| Bond { hand, base: 0, length: steps, start }).collect())
}

/// Bonds that leave out two neighbouring shifts; none where fewer than four would be left, since a joint would then
/// stand over a joint of the course after next.
#[must_use]
pub fn shortened(steps: u32) -> Vec<Bond> {
    if steps < 6 {
        return Vec::new();
    }
    let length = steps - 2;
    each_hand(|hand| {
        (0..steps).flat_map(|base| (0..length).map(move |start| Bond { hand, base, length, start })).collect()
    })
}

fn each_hand(bonds: impl Fn(Hand) -> Vec<Bond>) -> Vec<Bond> {
    [Hand::Left, Hand::Right].into_iter().flat_map(bonds).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_full_bond_counts_half_tabs_and_starts_again() {
        let bond = Bond { hand: Hand::Left, base: 0, length: 6, start: 0 };
        let shifts: Vec<u32> = (0..8).map(|course| bond.shift(course, 6)).collect();
        assert_eq!(shifts, [0, 1, 2, 3, 4, 5, 0, 1]);
    }

    #[test]
    fn joints_of_any_bond_repeat_at_the_fourth_course_at_the_earliest_and_slots_alternate() {
        for bond in full(6).into_iter().chain(shortened(6)) {
            for course in 0..12 {
                let here = bond.shift(course, 6);
                for later in 1..=2 {
                    assert_ne!(here, bond.shift(course + later, 6), "{bond:?}");
                }
                assert_ne!(here % 2, bond.shift(course + 1, 6) % 2, "{bond:?}");
            }
        }
    }
}
