//! Rows of numbers that are the same but for what the measurements leave open: said once, with the least and the most.

use crate::drawing::typeset::document::{Align, Table};
use crate::drawing::typeset::format;
use crate::drawing::typeset::format::Format;
use crate::job::answer::Answer;
use crate::wording::range::range;

/// Most that pieces cut from one row may differ by: a length in metres, an angle in radians.
const MOST: Noise = Noise { length: 0.02, angle: 0.004 };

/// By how much things may differ that the measurements do not tell apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Noise {
    /// Metres.
    pub(super) length: f64,
    /// Radians.
    pub(super) angle: f64,
}

impl Noise {
    /// Nothing is the same but what reads alike.
    pub(super) const NONE: Self = Self { length: 0.0, angle: 0.0 };

    /// What the measurements of a roof leave open of its lengths and pitches, and no more than a carpenter trims in place.
    /// None where nothing was measured.
    pub(super) fn of(answer: &Answer) -> Self {
        let lengths = answer.quantities.edges().iter().filter_map(|edge| edge.length.within_95());
        let angles = answer.quantities.faces().iter().filter_map(|face| face.pitch.within_95());
        Self { length: lengths.fold(0.0, f64::max).min(MOST.length), angle: angles.fold(0.0, f64::max).min(MOST.angle) }
    }
}

/// A number of a row, or several, by how it is told; as the least and the most of what the row stands for.
#[derive(Clone, Debug)]
pub(super) enum Value {
    /// A length, metres.
    Length([f64; 2]),
    /// A length to cut to, metres.
    Fine([f64; 2]),
    /// A slope or a cut, radians.
    Pitch([f64; 2]),
    /// An angle, radians.
    Degrees([f64; 2]),
    /// A drop, metres, told to a tenth of a millimetre.
    Drop([f64; 2]),
    /// Lengths to cut to, metres.
    List(Vec<[f64; 2]>),
}

impl Value {
    pub(super) fn length(metres: f64) -> Self {
        Self::Length([metres; 2])
    }

    pub(super) fn fine(metres: f64) -> Self {
        Self::Fine([metres; 2])
    }

    pub(super) fn pitch(radians: f64) -> Self {
        Self::Pitch([radians; 2])
    }

    pub(super) fn degrees(radians: f64) -> Self {
        Self::Degrees([radians; 2])
    }

    pub(super) fn drop(metres: f64) -> Self {
        Self::Drop([metres; 2])
    }

    pub(super) fn list(lengths: impl IntoIterator<Item = f64>) -> Self {
        Self::List(lengths.into_iter().map(|length| [length; 2]).collect())
    }

    fn told(&self, format: Format) -> String {
        match self {
            Self::Length(ends) => range(*ends, |length| format.length(length)),
            Self::Fine(ends) => range(*ends, |length| format.fine(length)),
            Self::Pitch(ends) => range(*ends, |angle| format.pitch(angle)),
            Self::Degrees(ends) => range(*ends, format::degrees),
            Self::Drop(ends) if format.imperial => range(*ends, |drop| format!("{:.2}\"", drop / 0.0254)),
            Self::Drop(ends) => range(*ends, |drop| format!("{:.1} mm", drop * 1000.0)),
            Self::List(lengths) => {
                let each: Vec<String> = lengths.iter().map(|ends| range(*ends, |length| format.fine(length))).collect();
                each.join(", ").replace(" mm,", ",")
            }
        }
    }

    /// Whether it tells two figures: the least and the most do not read alike.
    fn leaves_open(&self, format: Format) -> bool {
        let at = |end: usize| match self {
            Self::Length(ends) => Self::length(ends[end]),
            Self::Fine(ends) => Self::fine(ends[end]),
            Self::Pitch(ends) => Self::pitch(ends[end]),
            Self::Degrees(ends) => Self::degrees(ends[end]),
            Self::Drop(ends) => Self::drop(ends[end]),
            Self::List(lengths) => Self::list(lengths.iter().map(|ends| ends[end])),
        };
        at(0).told(format) != at(1).told(format)
    }

    /// Both as one, where they read alike or lie within the noise.
    fn with(&self, other: &Self, noise: Noise, format: Format) -> Option<Self> {
        let both = |a: &[f64; 2], b: &[f64; 2]| [a[0].min(b[0]), a[1].max(b[1])];
        let within = |ends: [f64; 2], most: f64| ends[1] - ends[0] <= most;
        let joined = match (self, other) {
            (Self::Length(a), Self::Length(b)) => (within(both(a, b), noise.length), Self::Length(both(a, b))),
            (Self::Fine(a), Self::Fine(b)) => (within(both(a, b), noise.length), Self::Fine(both(a, b))),
            (Self::Drop(a), Self::Drop(b)) => (within(both(a, b), noise.length), Self::Drop(both(a, b))),
            (Self::Pitch(a), Self::Pitch(b)) => (within(both(a, b), noise.angle), Self::Pitch(both(a, b))),
            (Self::Degrees(a), Self::Degrees(b)) => (within(both(a, b), noise.angle), Self::Degrees(both(a, b))),
            (Self::List(a), Self::List(b)) if a.len() == b.len() => {
                let pairs: Vec<[f64; 2]> = a.iter().zip(b).map(|(a, b)| both(a, b)).collect();
                (pairs.iter().all(|ends| within(*ends, noise.length)), Self::List(pairs))
            }
            _ => return None,
        };
        let reads_alike = self.told(format) == other.told(format);
        // What reads alike stays as it was first told.
        if reads_alike { Some(self.clone()) } else { joined.0.then_some(joined.1) }
    }
}

/// Rows, each with the things it stands for.
#[derive(Clone, Debug)]
pub(super) struct Rows<T> {
    rows: Vec<(Vec<T>, Vec<Value>)>,
}

impl<T> Rows<T> {
    pub(super) fn new() -> Self {
        Self { rows: Vec::new() }
    }

    /// Adds a row, or what it is of to a row that says the same. O(rows × values).
    pub(super) fn add(&mut self, of: T, values: Vec<Value>, noise: Noise, format: Format) {
        for (all, others) in &mut self.rows {
            let both: Option<Vec<Value>> = others.iter().zip(&values).map(|(a, b)| a.with(b, noise, format)).collect();
            if let Some(both) = both {
                all.push(of);
                *others = both;
                return;
            }
        }
        self.rows.push((vec![of], values));
    }

    /// Whether any place tells two figures.
    pub(super) fn leaves_open(&self, format: Format) -> bool {
        self.rows.iter().any(|(_, values)| values.iter().any(|value| value.leaves_open(format)))
    }

    /// What the one row tells, value by value, each as it is told; `None` where there are several or none.
    pub(super) fn only(&self, format: Format) -> Option<Vec<String>> {
        let [(_, values)] = &self.rows[..] else { return None };
        Some(values.iter().map(|value| value.told(format)).collect())
    }

    /// The rows as a table; `call` says what a row stands for.
    pub(super) fn table(&self, heads: &[(&str, Align)], format: Format, call: impl Fn(&[T]) -> String) -> Table {
        let mut table = Table::new(heads);
        for (all, values) in &self.rows {
            table.row(std::iter::once(call(all)).chain(values.iter().map(|value| value.told(format))));
        }
        table
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Hips of 4410, 4416 and 4418 mm differ by what a tape leaves open; one of 4.60 m is another piece.
    #[test]
    fn what_differs_by_noise_is_said_once() {
        let format = Format::default();
        let noise = Noise { length: 0.015, angle: 0.002 };
        let mut rows = Rows::new();
        for (name, length, cut) in [("a", 4.416, 0.459), ("b", 4.410, 0.460), ("c", 4.418, 0.459), ("d", 4.600, 0.459)]
        {
            rows.add(name.to_owned(), vec![Value::fine(length), Value::pitch(cut)], noise, format);
        }
        let heads = [("what", Align::Left), ("length", Align::Right), ("cut", Align::Right)];
        let table = rows.table(&heads, format, |names| names.join(", "));
        assert_eq!(table.rows, [["a, b, c", "4410 to 4418 mm", "26.3 to 26.4°"], ["d", "4600 mm", "26.3°"]]);
        let mut exact = Rows::new();
        exact.add("a".to_owned(), vec![Value::fine(4.416)], Noise::NONE, format);
        exact.add("b".to_owned(), vec![Value::fine(4.4163)], Noise::NONE, format);
        exact.add("c".to_owned(), vec![Value::fine(4.418)], Noise::NONE, format);
        let table = exact.table(&heads[..2], format, |names| names.join(", "));
        assert_eq!(table.rows, [["a, b", "4416 mm"], ["c", "4418 mm"]]);
    }
}
