//! Putting things in the order of a number each of them has.
//!
//! The standard sort is compiled anew for everything it is asked to sort, some three thousand lines of machine code each
//! time; here what is sorted is always pairs of a number and a place.

/// Sorts what stands in a row by a number.
pub trait SortByNumber<T> {
    /// Smallest first; those of one number stay as they stood. Numbers compare by `f64::total_cmp`. Each is asked for once.
    /// O(n log n).
    fn sort_by_number(&mut self, number: impl FnMut(&T) -> f64);

    /// Largest first; those of one number stay as they stood. O(n log n).
    fn sort_by_largest(&mut self, number: impl FnMut(&T) -> f64);
}

impl<T> SortByNumber<T> for [T] {
    fn sort_by_number(&mut self, number: impl FnMut(&T) -> f64) {
        if self.len() > 1 {
            rearrange(self, sorted(self.iter().map(number).collect(), false));
        }
    }

    fn sort_by_largest(&mut self, number: impl FnMut(&T) -> f64) {
        if self.len() > 1 {
            rearrange(self, sorted(self.iter().map(number).collect(), true));
        }
    }
}

/// The places of numbers in their order.
fn sorted(numbers: Vec<f64>, is_largest_first: bool) -> Vec<usize> {
    let mut pairs: Vec<(f64, usize)> = numbers.into_iter().zip(0..).collect();
    pairs.sort_unstable_by(|(a, at_a), (b, at_b)| {
        let by_number = if is_largest_first { b.total_cmp(a) } else { a.total_cmp(b) };
        by_number.then(at_a.cmp(at_b))
    });
    pairs.into_iter().map(|(_, place)| place).collect()
}

/// Puts things where `from` says: at each place what stood at `from[place]`.
fn rearrange<T>(things: &mut [T], mut from: Vec<usize>) {
    for place in 0..from.len() {
        let mut at = from[place];
        // What stood there may have been moved on already.
        while at < place {
            at = from[at];
        }
        from[place] = at;
        things.swap(place, at);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn things_are_sorted_as_by_the_standard_library() {
        for count in 0..60_u32 {
            // Few numbers, so that many are alike, and both zeros among them.
            let things: Vec<(f64, u32)> = (0..count)
                .map(|place| ((place * 7919 + count * 104_729) % 11, place))
                .map(|(number, place)| (if number == 0 { -0.0 } else { f64::from(number) - 5.0 }, place))
                .collect();
            let (mut ours, mut theirs) = (things.clone(), things.clone());
            ours.sort_by_number(|thing| thing.0);
            theirs.sort_by(|a, b| a.0.total_cmp(&b.0));
            assert_eq!(ours, theirs);
            let (mut ours, mut theirs) = (things.clone(), things);
            ours.sort_by_largest(|thing| thing.0);
            theirs.sort_by(|a, b| b.0.total_cmp(&a.0));
            assert_eq!(ours, theirs);
        }
    }
}
