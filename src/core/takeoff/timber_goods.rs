//! Timber as goods: what is needed, and what a line of the order is about.

/// Timber of one section, in lengths or by the metre.
#[derive(Clone, Debug, PartialEq)]
pub struct TimberNeed {
    /// Thickness and depth, metres.
    pub section: [f64; 2],
    /// The length it is bought in, metres; `None`: by the metre.
    pub length: Option<f64>,
    /// How many of that length; 0 by the metre.
    pub count: usize,
    /// Metres of pieces cut from it.
    pub cut: f64,
    /// How many pieces.
    pub pieces: usize,
}

/// Timber of a section and a length, as a line of the order is about it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct TimberItem {
    /// Stable name: `timber-50x150-4200`, in millimetres; without a length where it is bought by the metre.
    pub key: String,
    /// Thickness and depth, tenths of a millimetre.
    pub section: [u32; 2],
}

/// A length as whole tenths of a millimetre. Lengths of timber are positive and far below what would not fit.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
fn tenths(metres: f64) -> u32 {
    (metres * 1e4).round().max(0.0) as u32
}

/// Tenths of a millimetre as a person writes millimetres.
fn millimetres(tenths: u32) -> String {
    if tenths.is_multiple_of(10) { (tenths / 10).to_string() } else { format!("{}.{}", tenths / 10, tenths % 10) }
}

impl TimberItem {
    /// Of a section and a length, metres.
    #[must_use]
    pub fn of(section: [f64; 2], length: Option<f64>) -> Self {
        let [thickness, depth] = section.map(tenths);
        let mut key = format!("timber-{}x{}", millimetres(thickness), millimetres(depth));
        if let Some(length) = length {
            key = format!("{key}-{}", millimetres(tenths(length)));
        }
        Self { key, section: [thickness, depth] }
    }

    /// Thickness and depth, metres.
    #[must_use]
    pub fn section_metres(&self) -> [f64; 2] {
        self.section.map(|size| f64::from(size) * 1e-4)
    }
}
