//! Derivatives of one number by many parameters, of which most are none.

/// Derivatives by numbered parameters; one parameter may occur twice until they are merged.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Gradient(Vec<(usize, f64)>);

impl Gradient {
    /// Of a number that follows nothing.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Whether nothing is in it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Parameters with the derivative by each.
    #[must_use]
    pub fn entries(&self) -> &[(usize, f64)] {
        &self.0
    }

    /// The derivative by one parameter, of a merged gradient. O(log n).
    #[must_use]
    pub fn slope(&self, parameter: usize) -> f64 {
        self.0.binary_search_by_key(&parameter, |entry| entry.0).map_or(0.0, |at| self.0[at].1)
    }

    /// Adds so many times another.
    pub fn add(&mut self, other: &Self, times: f64) {
        if times != 0.0 {
            self.0.extend(other.0.iter().map(|&(parameter, slope)| (parameter, slope * times)));
        }
    }

    /// Every parameter once, in order; left out are those without effect, and those of which nothing but rounding is left.
    /// O(n log n).
    #[must_use]
    pub fn merged(mut self) -> Self {
        self.0.sort_unstable_by_key(|entry| entry.0);
        let mut merged: Vec<(usize, f64)> = Vec::with_capacity(self.0.len());
        let mut size = 0.0;
        let mut rest = self.0.into_iter().peekable();
        while let Some((parameter, slope)) = rest.next() {
            match merged.last_mut().filter(|last| last.0 == parameter) {
                Some(last) => last.1 += slope,
                None => {
                    merged.push((parameter, slope));
                    size = 0.0;
                }
            }
            size += slope.abs();
            let is_whole = rest.peek().is_none_or(|next| next.0 != parameter);
            if is_whole && merged.last().is_some_and(|last| last.1.abs() <= ROUNDED * size) {
                merged.pop();
            }
        }
        Self(merged)
    }
}

/// What is left of terms that cancel, as a part of their sizes, after some hundred roundings.
const ROUNDED: f64 = 128.0 * f64::EPSILON;

impl FromIterator<(usize, f64)> for Gradient {
    fn from_iter<T: IntoIterator<Item = (usize, f64)>>(entries: T) -> Self {
        Self(entries.into_iter().collect())
    }
}

impl Extend<(usize, f64)> for Gradient {
    fn extend<T: IntoIterator<Item = (usize, f64)>>(&mut self, entries: T) {
        self.0.extend(entries);
    }
}
