//! The text of a file in the exchange structure of ISO 10303-21: instances with numbers, reals, strings and lists.

use std::fmt::Write;

/// The letters of global identifiers, six bits each.
const LETTERS: &[u8; 64] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_$";

/// The number of an instance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Id(usize);

impl std::fmt::Display for Id {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "#{}", self.0)
    }
}

/// The data section in the making.
#[derive(Default)]
pub struct Step {
    text: String,
    count: usize,
    seen: u64,
}

impl Step {
    /// Adds an instance as it is written, `IFCPOLYLINE((#1,#2))`.
    pub fn add(&mut self, instance: impl std::fmt::Display) -> Id {
        self.count += 1;
        // Writing to a string can't fail.
        let _ = writeln!(self.text, "#{}={instance};", self.count);
        Id(self.count)
    }

    /// A global identifier as the schema writes it: 128 bits in 22 letters, the same for the same name at the same
    /// place of the file, no two in one file alike.
    pub fn global_id(&mut self, name: &str) -> String {
        self.seen += 1;
        // Fowler, Noll and Vo's hash of 128 bits, variant 1a.
        let mut hash: u128 = 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d;
        for byte in name.bytes().chain(self.seen.to_le_bytes()) {
            hash = (hash ^ u128::from(byte)).wrapping_mul(0x0000_0000_0100_0000_0000_0000_0000_013b);
        }
        let letter = |place: u32| char::from(LETTERS[((hash >> (6 * place)) & 63) as usize]);
        format!("'{}'", (0..22).rev().map(letter).collect::<String>())
    }

    /// The whole file: header and data. `date` is a day, `2026-05-01`.
    #[must_use]
    pub fn file(self, title: &str, date: Option<&str>, schema: &str) -> String {
        format!(
            "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION(('ViewDefinition [ReferenceView]'),'2;1');\n\
             FILE_NAME({},'{}T00:00:00',(''),(''),'eavewright','eavewright','');\nFILE_SCHEMA(('{schema}'));\nENDSEC;\n\
             DATA;\n{}ENDSEC;\nEND-ISO-10303-21;\n",
            string(title),
            date.unwrap_or("1970-01-01"),
            self.text
        )
    }
}

/// A real: always with a point.
#[must_use]
pub fn real(value: f64) -> String {
    let text = format!("{:?}", value + 0.0);
    match text.split_once('e') {
        Some((mantissa, exponent)) if mantissa.contains('.') => format!("{mantissa}E{exponent}"),
        Some((mantissa, exponent)) => format!("{mantissa}.E{exponent}"),
        None => text,
    }
}

/// A list in brackets.
pub fn list<T: std::fmt::Display>(items: impl IntoIterator<Item = T>) -> String {
    let items: Vec<String> = items.into_iter().map(|item| item.to_string()).collect();
    format!("({})", items.join(","))
}

/// A string: quotes and strokes doubled, letters beyond ASCII by their code in UTF-16, control letters as blanks.
#[must_use]
pub fn string(words: &str) -> String {
    let mut text = String::from("'");
    let mut wide = false;
    for letter in words.chars() {
        let plain = letter.is_ascii() || letter.is_control();
        if plain == wide {
            text.push_str(if wide { "\\X0\\" } else { "\\X2\\" });
            wide = !wide;
        }
        match letter {
            letter if letter.is_control() => text.push(' '),
            '\'' => text.push_str("''"),
            '\\' => text.push_str("\\\\"),
            letter if plain => text.push(letter),
            letter => {
                let mut units = [0_u16; 2];
                for unit in letter.encode_utf16(&mut units) {
                    let _ = write!(text, "{unit:04X}");
                }
            }
        }
    }
    if wide {
        text.push_str("\\X0\\");
    }
    text.push('\'');
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_written_as_the_exchange_structure_asks() {
        assert_eq!(real(62.0), "62.0");
        assert_eq!(real(-1e-7), "-1.E-7");
        assert_eq!(real(1.5e-9), "1.5E-9");
        assert_eq!(string("d'x\\\n\u{e4}\u{1f600}b"), "'d''x\\\\ \\X2\\00E4D83DDE00\\X0\\b'");
    }

    #[test]
    fn identifiers_have_22_letters_of_which_the_first_has_two_bits() {
        let mut step = Step::default();
        let (a, b) = (step.global_id("x"), step.global_id("x"));
        assert_ne!(a, b);
        assert_eq!(a.len(), 24);
        assert!(matches!(a.as_bytes()[1], b'0'..=b'3'));
    }
}
