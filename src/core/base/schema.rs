//! What a file may say, as data: every table with its keys, what a key's value is, what may be left out, what it names.
//! The reader, the window's forms, renaming and the reference page all follow it; `input::schema` holds the tables
//! themselves.

use super::file_tree;

/// A table of a file.
#[derive(Debug)]
pub struct Table {
    /// What it is asked for by: `block`.
    pub name: &'static str,
    /// As messages and pages call it: `[[block]]`, "side".
    pub header: &'static str,
    /// One of it, where there may be several: "tape".
    pub one: &'static str,
    /// Its heading: "Tapes".
    pub many: &'static str,
    /// What it is for, in a sentence or two.
    pub about: &'static str,
    /// Its keys, in the order a person would write them.
    pub keys: &'static [Key],
    /// Whether keys beside these are names of its writer's own, and whose.
    pub names: Option<OwnNames>,
    /// Lines of a file that show it.
    pub example: &'static str,
}

impl PartialEq for Table {
    /// Tables are told apart by which they are.
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(self, other)
    }
}

/// Keys of a table that its writer makes up.
#[derive(Clone, Copy, Debug)]
pub struct OwnNames {
    /// Whether such a key bears a name, or names what bears it elsewhere.
    pub are: Naming,
    /// What stands behind such a key.
    pub values: &'static Key,
}

/// A key of a table.
#[derive(Clone, Copy, Debug)]
pub struct Key {
    /// As written.
    pub key: &'static str,
    /// What its value is.
    pub kind: Kind,
    /// What holds without it.
    pub usual: Usual,
    /// Its word for people, in forms.
    pub label: &'static str,
    /// What it means, as an answer to "what is it?".
    pub about: &'static str,
    /// A value, as the file writes it.
    pub example: &'static str,
    /// Whether a row of a form shows it at once; else behind a switch.
    pub is_first: bool,
    /// The version of the program that first knew it.
    pub since: &'static str,
}

/// What the value of a key is.
#[derive(Clone, Copy, Debug)]
pub enum Kind {
    /// Text for people, of at most so many letters.
    Text(usize),
    /// A list of such texts.
    Texts(usize),
    /// The name of a file, beside the roof file.
    File,
    /// A name that is borne here.
    Name(Naming),
    /// The name of something that stands elsewhere.
    Of(Naming),
    /// A list of such names, of so many or more.
    AllOf(Naming, usize),
    /// A length.
    Length(Bounds),
    /// So many lengths in a list.
    Lengths(usize, Bounds),
    /// Lengths in a list, as many as there are.
    AnyLengths(Bounds),
    /// Places in plan, three or more: [[x, y], …].
    Outline(Bounds),
    /// Places in a photo, one or more: [[x, y], …], pixels.
    Pixels(Bounds),
    /// A pitch between level and plumb.
    Pitch,
    /// A pitch, or "?" for one that was not measured.
    PitchOrUnknown,
    /// A pitch from which on a rule holds; 0 is one too.
    RulePitch,
    /// A turn.
    Turn,
    /// An angle in degrees.
    Angle(Bounds),
    /// A bearing.
    Bearing,
    /// A share: `15 %` or 0.15.
    Share(Bounds),
    /// A share of the focal length, or pixels.
    ShareOrPixels(Bounds),
    /// The waste: a word or a share.
    Waste(Bounds),
    /// A number.
    Number(Bounds),
    /// So many numbers in a list.
    Numbers(usize, Bounds),
    /// A whole number.
    Count(Bounds),
    /// True or false.
    Flag,
    /// One of a few words.
    Choice(&'static [&'static str]),
    /// A day.
    Date,
    /// A material card: one of these, or the path of a card file.
    Card(&'static [&'static str]),
    /// Values of a material card that hold in place of the card's own: tables of that card, within one table.
    CardValues(&'static Table),
    /// What a line of the order costs: a number, or a table with the unit it is for.
    Price(&'static Table, Bounds),
    /// A place in space, known, roughly known or not at all: the table of the latter.
    Point(&'static Table, Bounds),
    /// A table within.
    Table(&'static Table),
    /// A list of tables.
    Tables(&'static Table),
}

/// What has a name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Naming {
    /// A point of the file.
    Point,
    /// A corner of a block, with the side that starts there.
    Corner,
    /// A face by points.
    Face,
    /// A block.
    Block,
    /// A dormer.
    Dormer,
    /// A camera.
    Camera,
    /// Only met where something is named: a point, or the corner of a block, `store.A`.
    PointOrCorner,
    /// Only met where something is named: an edge by the two points or corners at its ends, `A-B`.
    Ends,
    /// Only met where something is named: a side of a block with the face over it, `store/A`.
    Side,
    /// Only met where something is named: a side of the block that names it.
    OwnSide,
    /// Only met where something is named: a face by points, or over a side of a block or dormer.
    AnyFace,
    /// Only met where something is named: a material card.
    Card,
}

/// What holds where a key is left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Usual {
    /// It can't be left out.
    Needed,
    /// A number: metres, degrees, a share, a count.
    Number(f64),
    /// A word.
    Word(&'static str),
    /// True or false.
    Flag(bool),
    /// As said in words: "not measured"; nothing where it is the other one of two ways to say a thing.
    Absent(&'static str),
}

/// Which numbers can be meant: what a building can have. In metres, degrees, shares or as such.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// The least.
    pub least: f64,
    /// Whether the least itself is out of bounds.
    pub is_above: bool,
    /// The most.
    pub most: f64,
    /// Whether 0 is in bounds whatever the least is: for a standard deviation, "exact".
    pub or_zero: bool,
    /// What is measured, for a sentence after "larger than any": "side of a building".
    pub of: &'static str,
}

impl Bounds {
    /// From one number to another, both within.
    #[must_use]
    pub const fn from_to(least: f64, most: f64, of: &'static str) -> Self {
        Self { least, is_above: false, most, or_zero: false, of }
    }

    /// Above 0, up to a number.
    #[must_use]
    pub const fn up_to(most: f64, of: &'static str) -> Self {
        Self { least: 0.0, is_above: true, most, or_zero: false, of }
    }

    /// 0, or from one number to another.
    #[must_use]
    pub const fn zero_or(least: f64, most: f64, of: &'static str) -> Self {
        Self { least, is_above: false, most, or_zero: true, of }
    }

    /// Whether a number lies in them.
    #[must_use]
    pub fn allow(&self, value: f64) -> bool {
        let low = if self.is_above { value > self.least } else { value >= self.least };
        (low && value <= self.most) || (self.or_zero && value == 0.0)
    }
}

impl Table {
    /// A key by its name.
    #[must_use]
    pub fn key(&self, name: &str) -> Option<&'static Key> {
        self.keys.iter().find(|key| key.key == name)
    }

    /// Whether a key may stand here.
    #[must_use]
    pub fn knows(&self, name: &str) -> bool {
        self.key(name).is_some()
    }

    /// This table and those within, each once, the way a reader of the file meets them.
    #[must_use]
    pub fn with_inner(&'static self) -> Vec<&'static Self> {
        let mut all = vec![self];
        let mut next = 0;
        while let Some(table) = all.get(next).copied() {
            let inner = table.keys.iter().chain(table.names.map(|own| own.values)).filter_map(Key::table);
            // What stands within a table comes right after it.
            let mut at = next + 1;
            for inner in inner {
                if !all.iter().any(|known| std::ptr::eq(*known, inner)) {
                    all.insert(at, inner);
                    at += 1;
                }
            }
            next += 1;
        }
        all
    }
}

impl Key {
    /// The table that its value is, or is a list of.
    #[must_use]
    pub fn table(&self) -> Option<&'static Table> {
        match self.kind {
            Kind::Table(table) | Kind::Tables(table) | Kind::Point(table, _) | Kind::Price(table, _) => Some(table),
            _ => None,
        }
    }

    /// What is typed for it in a form.
    #[must_use]
    pub fn typed_as(&self) -> file_tree::Kind {
        match self.kind {
            Kind::Text(_) | Kind::File | Kind::Name(_) | Kind::Of(_) | Kind::Choice(_) | Kind::Card(_) => {
                file_tree::Kind::Words
            }
            Kind::Texts(_) | Kind::AllOf(..) => file_tree::Kind::Names,
            Kind::Lengths(..)
            | Kind::AnyLengths(_)
            | Kind::Numbers(..)
            | Kind::Outline(_)
            | Kind::Pixels(_)
            | Kind::Point(..) => file_tree::Kind::Measures,
            Kind::Table(_) | Kind::Tables(_) | Kind::CardValues(_) => file_tree::Kind::Raw,
            _ => file_tree::Kind::Measure,
        }
    }
}

/// How an entry of a schema is written: `length("width", …).needed()`.
impl Key {
    /// A key that may be left out, nothing said about what then holds.
    #[must_use]
    pub const fn new(
        key: &'static str,
        kind: Kind,
        label: &'static str,
        example: &'static str,
        about: &'static str,
    ) -> Self {
        Self { key, kind, usual: Usual::Absent(""), label, about, example, is_first: false, since: "0.1" }
    }

    /// It can't be left out.
    #[must_use]
    pub const fn needed(self) -> Self {
        Self { usual: Usual::Needed, ..self }
    }

    /// This number holds without it.
    #[must_use]
    pub const fn or(self, number: f64) -> Self {
        Self { usual: Usual::Number(number), ..self }
    }

    /// This word holds without it.
    #[must_use]
    pub const fn or_word(self, word: &'static str) -> Self {
        Self { usual: Usual::Word(word), ..self }
    }

    /// This holds without it.
    #[must_use]
    pub const fn or_flag(self, flag: bool) -> Self {
        Self { usual: Usual::Flag(flag), ..self }
    }

    /// What holds without it, in words.
    #[must_use]
    pub const fn or_else(self, words: &'static str) -> Self {
        Self { usual: Usual::Absent(words), ..self }
    }

    /// A row of a form shows it at once.
    #[must_use]
    pub const fn first(self) -> Self {
        Self { is_first: true, ..self }
    }

    /// First known by another version than the first.
    #[must_use]
    pub const fn since(self, version: &'static str) -> Self {
        Self { since: version, ..self }
    }
}

/// The first words of pairs: what may be written, of what it is read as.
#[must_use]
pub const fn words_of<T, const N: usize>(pairs: &[(&'static str, T); N]) -> [&'static str; N] {
    let mut words = [""; N];
    let mut at = 0;
    while at < N {
        words[at] = pairs[at].0;
        at += 1;
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bounds_allow_what_they_say() {
        let side = Bounds::up_to(1000.0, "side");
        assert!(side.allow(1e-9) && side.allow(1000.0) && !side.allow(0.0) && !side.allow(1000.1));
        let sigma = Bounds::zero_or(1e-6, 10.0, "standard deviation");
        assert!(sigma.allow(0.0) && sigma.allow(1e-6) && !sigma.allow(1e-160) && !sigma.allow(-1.0));
    }

    #[test]
    fn words_are_taken_from_pairs() {
        assert_eq!(words_of(&[("a", 1), ("b", 2)]), ["a", "b"]);
    }
}
