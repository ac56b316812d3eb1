//! Things that belong together, joined pair by pair (union-find).

/// Groups of the numbers below a count; each group is known by its lowest member.
#[derive(Clone, Debug, Default)]
pub struct UnionFind {
    parents: Vec<u32>,
}

impl UnionFind {
    /// Every number by itself. O(count).
    #[must_use]
    pub fn new(count: usize) -> Self {
        #[allow(clippy::cast_possible_truncation)]
        Self { parents: (0..count as u32).collect() }
    }

    /// None yet, with room for some.
    #[must_use]
    pub fn with_capacity(count: usize) -> Self {
        Self { parents: Vec::with_capacity(count) }
    }

    /// Takes in one more number, by itself, and gives it.
    pub fn add(&mut self) -> u32 {
        #[allow(clippy::cast_possible_truncation)]
        let new = self.parents.len() as u32;
        self.parents.push(new);
        new
    }

    /// The lowest member of a number's group. Paths are halved on the way: amortised O(log n).
    pub fn root(&mut self, of: u32) -> u32 {
        let mut at = of;
        while self.parents[at as usize] != at {
            self.parents[at as usize] = self.parents[self.parents[at as usize] as usize];
            at = self.parents[at as usize];
        }
        at
    }

    /// Makes one group of two.
    pub fn join(&mut self, a: u32, b: u32) {
        let (a, b) = (self.root(a), self.root(b));
        self.parents[a.max(b) as usize] = a.min(b);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_group_is_known_by_its_lowest_member_however_it_came_about() {
        let mut groups = UnionFind::new(6);
        groups.join(5, 3);
        groups.join(4, 5);
        groups.join(2, 4);
        assert_eq!([0, 1, 2, 3, 4, 5].map(|at| groups.root(at)), [0, 1, 2, 2, 2, 2]);
        let new = groups.add();
        groups.join(new, 1);
        assert_eq!((new, groups.root(6)), (6, 1));
    }
}
