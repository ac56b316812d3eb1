//! A comparison of pitches in words: its columns, its curves, and why a pitch does not suit.

use crate::base::estimate::Estimate;
use crate::job::Job;
use crate::job::order::Row;
use crate::takeoff::Finding;
use crate::wording::units::Format;
use crate::wording::units::money;

/// What the table says of snow and rain.
pub const EXPLAINED: &str = "Snow: shape only, EN 1991-1-3 table 5.2, never a structural design. Rain: largest area one eave drains, EN 12056-3.";

/// What the curves mean.
pub const CURVES_EXPLAINED: &str =
    "dashed: the covering does not suit this pitch or rafter. Snow is a shape coefficient, never a structural design.";

/// What is changed from row to row.
pub const WHAT_CHANGES: &str = "Every eave's first pitch is changed, breaks stay.";

/// What stands where curves would be, when no pitch has an answer.
pub const NO_ANSWER: &str = "no answer at these pitches";

/// The mark of the pitch that the roof has now.
pub const NOW: &str = "now";

/// The head of a comparison.
#[must_use]
pub fn title(job: &str) -> String {
    format!("{job}: the same roof at other pitches")
}

/// A column of the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Column {
    /// The pitch.
    Pitch,
    /// Roof area.
    Area,
    /// Highest point above datum.
    Ridge,
    /// Longest common rafter.
    Rafter,
    /// Packs of the covering.
    Packs,
    /// Of the covering ordered.
    Weight,
    /// Whether the covering suits.
    Suits,
    /// Shape coefficient of snow.
    Snow,
    /// Largest area one eave drains.
    Rain,
    /// Rolls of underlay, and whether it lies doubled.
    Underlay,
    /// Plan area with the headroom asked for.
    Room,
    /// Of all material that is priced.
    Cost,
    /// Labour, access and disposal.
    Work,
    /// All of it.
    Price,
}

/// Units that a column of numbers is told in, with how many of each go to the SI unit. Feet with decimals: a table is read
/// downwards, and curves need numbers.
struct Units {
    length: (&'static str, f64),
    area: (&'static str, f64),
    weight: (&'static str, f64),
}

impl Units {
    fn of(format: Format) -> Self {
        if format.imperial {
            // The international foot and pound of 1959.
            let foot = 0.3048;
            Self { length: ("ft", 1.0 / foot), area: ("ft²", 1.0 / (foot * foot)), weight: ("lb", 1.0 / 0.453_592_37) }
        } else {
            Self { length: ("m", 1.0), area: ("m²", 1.0), weight: ("kg", 1.0) }
        }
    }
}

/// The columns of a comparison: costs where any row has one.
#[must_use]
pub fn columns(rows: &[Row]) -> Vec<Column> {
    use Column::{Area, Cost, Packs, Pitch, Price, Rafter, Rain, Ridge, Room, Snow, Suits, Underlay, Weight, Work};
    let mut columns = vec![Pitch, Area, Ridge, Rafter, Packs, Weight, Snow, Rain];
    let any = |has: fn(&Row) -> bool| rows.iter().any(has);
    columns.extend(any(|row| row.underlay_layers.is_some()).then_some(Underlay));
    columns.extend(any(|row| row.headroom_area.value().is_some()).then_some(Room));
    let has_work = any(|row| row.work.value().is_some());
    columns.extend(is_priced(rows).then_some(Cost));
    columns.extend(has_work.then_some(Work));
    columns.extend((is_priced(rows) || has_work).then_some(Price));
    columns.push(Suits);
    columns
}

/// Whether any row has a cost.
fn is_priced(rows: &[Row]) -> bool {
    rows.iter().any(|row| row.cost.value().is_some())
}

impl Column {
    /// Whether it holds words, not numbers.
    #[must_use]
    pub(crate) fn is_words(self) -> bool {
        self == Self::Suits
    }

    /// What it is called.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Pitch => "pitch",
            Self::Area => "area",
            Self::Ridge => "ridge at",
            Self::Rafter => "rafter",
            Self::Packs => "packs",
            Self::Weight => "weight",
            Self::Suits => "suits",
            Self::Snow => "snow µ1",
            Self::Rain => "rain",
            Self::Underlay => "underlay",
            Self::Room => "room",
            Self::Cost => "material",
            Self::Work => "work",
            Self::Price => "price",
        }
    }

    /// Its head where numbers below it stand without their unit: `area m²`.
    #[must_use]
    pub fn head(self, format: Format) -> String {
        let units = Units::of(format);
        match self {
            Self::Area | Self::Rain | Self::Room => format!("{} {}", self.name(), units.area.0),
            Self::Ridge | Self::Rafter => format!("{} {}", self.name(), units.length.0),
            Self::Weight => units.weight.0.to_owned(),
            Self::Pitch
            | Self::Packs
            | Self::Suits
            | Self::Snow
            | Self::Underlay
            | Self::Cost
            | Self::Work
            | Self::Price => self.name().to_owned(),
        }
    }

    /// What it has of a row, under that head.
    #[must_use]
    pub fn cell(self, row: &Row, format: Format) -> String {
        let units = Units::of(format);
        let number = |estimate: &Estimate, scale: f64, decimals: usize| {
            estimate.value().map_or_else(|| self.lacking(row), |value| format!("{:.decimals$}", value * scale))
        };
        match self {
            Self::Pitch if row.is_present => format!("{NOW} {}", format.pitch(row.pitch.radians())),
            Self::Pitch => format.pitch(row.pitch.radians()),
            Self::Area => number(&row.area, units.area.1, 2),
            Self::Ridge => number(&row.ridge_height, units.length.1, 2),
            Self::Rafter => number(&row.rafter, units.length.1, 2),
            Self::Weight => number(&row.weight, units.weight.1, 0),
            Self::Rain => number(&row.rain_area, units.area.1, 1),
            Self::Room => number(&row.headroom_area, units.area.1, 1),
            Self::Packs | Self::Suits | Self::Snow | Self::Underlay | Self::Cost | Self::Work | Self::Price => {
                self.with_unit(row, format)
            }
        }
    }

    /// What it has of a row, with its unit: lengths in feet and inches, where the job has them.
    #[must_use]
    pub(crate) fn with_unit(self, row: &Row, format: Format) -> String {
        let told = |estimate: &Estimate, tell: &dyn Fn(f64) -> String| {
            estimate.value().map_or_else(|| self.lacking(row), tell)
        };
        match self {
            Self::Pitch => format.pitch(row.pitch.radians()),
            Self::Area => told(&row.area, &|area| format.area(area)),
            Self::Ridge => told(&row.ridge_height, &|height| format.length(height)),
            Self::Rafter => told(&row.rafter, &|length| format.length(length)),
            Self::Packs => row.packs.map_or_else(|| self.lacking(row), |packs| packs.to_string()),
            Self::Weight => told(&row.weight, &|weight| format.weight(weight)),
            Self::Suits => match row.suitable {
                Some(true) => "yes",
                Some(false) => "no",
                None => "no answer",
            }
            .to_owned(),
            Self::Snow => format!("{:.2}", row.snow_mu1),
            Self::Rain => told(&row.rain_area, &|area| format.area(area)),
            Self::Underlay => match (row.underlay_packs, row.underlay_layers) {
                (Some(rolls), Some(2)) => format!("{rolls}, doubled"),
                (Some(rolls), _) => rolls.to_string(),
                (None, _) => self.lacking(row),
            },
            Self::Room => told(&row.headroom_area, &|area| format.area(area)),
            Self::Cost => told(&row.cost, &|cost| money(cost, None)),
            Self::Work => told(&row.work, &|work| money(work, None)),
            Self::Price => told(&row.price, &|price| money(price, None)),
        }
    }

    /// What stands where there is no number: why; nothing where the whole row has no answer, which its last column says.
    fn lacking(self, row: &Row) -> String {
        let why = match self {
            _ if row.suitable.is_none() => "",
            Self::Rafter => "none is common",
            Self::Weight => "not on card",
            Self::Packs => "by length",
            Self::Rain => "no eave",
            Self::Underlay => "none",
            Self::Cost | Self::Work => "no price",
            Self::Price => "not whole",
            Self::Pitch | Self::Area | Self::Ridge | Self::Suits | Self::Snow | Self::Room => "not known",
        };
        why.to_owned()
    }
}

/// A curve over the pitch.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// What it shows, with the unit its values are in.
    pub title: String,
    /// One for each row, in that unit.
    pub values: Vec<Option<f64>>,
}

/// The curves of a comparison: costs instead of packs where any row has one.
#[must_use]
pub fn curves(rows: &[Row], format: Format) -> Vec<Curve> {
    let units = Units::of(format);
    let of = |title: &str, (unit, scale): (&str, f64), value: fn(&Row) -> Option<f64>| Curve {
        title: if unit.is_empty() { title.to_owned() } else { format!("{title}, {unit}") },
        values: rows.iter().map(|row| value(row).map(|value| value * scale)).collect(),
    };
    let plain = ("", 1.0);
    vec![
        of("roof area", units.area, |row| row.area.value()),
        of("ridge above datum", units.length, |row| row.ridge_height.value()),
        of("longest rafter", units.length, |row| row.rafter.value()),
        if is_priced(rows) {
            of("price, or material", plain, |row| row.price.value().or(row.cost.value()))
        } else {
            of("packs of covering", plain, |row| row.packs.map(f64::from))
        },
        of("snow shape µ1 (EN 1991-1-3)", plain, |row| Some(row.snow_mu1)),
        of("rain on one eave (EN 12056-3)", units.area, |row| row.rain_area.value()),
    ]
}

/// Why a roof does not suit a pitch it was compared at, or has no answer there. Faces of different lengths break one rule
/// once.
#[must_use]
pub(crate) fn why_not(row: &Row, job: &Job, format: Format) -> Vec<String> {
    let mut told: Vec<String> = Vec::new();
    let mut has_pitch = false;
    for found in &row.findings {
        match found {
            Finding::PitchNotSolved => {
                let why = row.why_none.as_ref().map(|failure| super::fault::describe(failure, job, format));
                told.push(why.unwrap_or_else(|| super::takeoff::finding(found, &row.roof, format)));
            }
            Finding::PitchBelowMinimum { .. } if has_pitch => {}
            _ => {
                has_pitch |= matches!(found, Finding::PitchBelowMinimum { .. });
                told.push(super::takeoff::finding(found, &row.roof, format));
            }
        }
    }
    told
}

/// Why some of the pitches do not suit or have no answer, each reason once, in the order of the rows.
#[must_use]
pub(crate) fn reasons(rows: &[Row], job: &Job, format: Format) -> Vec<String> {
    let mut told: Vec<String> = Vec::new();
    for reason in rows.iter().flat_map(|row| why_not(row, job, format)) {
        if !told.contains(&reason) {
            told.push(reason);
        }
    }
    told
}

/// `a`, `b` … `z`, `aa`: what reasons under a table are called by.
fn letter(at: usize) -> String {
    let one = |at: usize| char::from(b'a' + u8::try_from(at % 26).unwrap_or_default());
    if at < 26 { one(at).to_string() } else { format!("{}{}", one(at / 26 - 1), one(at)) }
}

/// The letters of a row's reasons: ` (a, c)`; nothing where it has none.
#[must_use]
pub fn marks(row: &Row, job: &Job, reasons: &[String], format: Format) -> String {
    let own = why_not(row, job, format);
    let letters = own.iter().filter_map(|reason| reasons.iter().position(|known| known == reason)).map(letter);
    let letters: Vec<String> = letters.collect();
    if letters.is_empty() { String::new() } else { format!(" ({})", letters.join(", ")) }
}

/// Reasons with their letters.
#[must_use]
pub fn lettered(reasons: &[String]) -> Vec<String> {
    reasons.iter().enumerate().map(|(at, reason)| format!("({}) {reason}", letter(at))).collect()
}

/// The pitches that the roof has now, radians.
#[must_use]
pub fn present(rows: &[Row]) -> &[f64] {
    rows.first().map(|row| row.present.as_slice()).unwrap_or_default()
}

/// What stands under the table, a sentence or two each.
#[must_use]
pub fn explained(job: &Job, rows: &[Row], format: Format) -> Vec<String> {
    let mut told = Vec::new();
    let pitches: Vec<String> = present(rows).iter().map(|pitch| format.pitch(*pitch)).collect();
    if !pitches.is_empty() {
        told.push(format!("The roof as it is: {}.", super::amount::list(&pitches)));
    }
    if let Some(most) = job.limits.planning_height {
        told.push(format!("Planning allows a highest point {} above datum.", format.length(most)));
    }
    if let Some(room) = job.limits.headroom {
        told.push(format!(
            "Room: plan area with {} from the floor to the underside of the roof, overhangs that lie as high with it.",
            format.length(room.height)
        ));
    }
    let is_priced = is_priced(rows) || rows.iter().any(|row| row.work.value().is_some());
    if let Some(currency) = job.covering.prices.currency.as_ref().filter(|_| is_priced) {
        told.push(format!("Sums in {currency}; the price with what goes on top and tax."));
    }
    if is_priced && rows.iter().any(|row| row.price.value().is_none() && row.suitable.is_some()) {
        told.push(
            "Price: not whole while anything ordered, or the labour, has no price; `eavewright offer` lists what is open."
                .to_owned(),
        );
    }
    told.push(EXPLAINED.to_owned());
    told
}
