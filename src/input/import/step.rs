//! Files in the exchange structure of ISO 10303-21, as far as building models have it: instances by number.

use std::collections::HashMap;

/// A parameter.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// `$` and `*`.
    Nothing,
    /// A real or an integer.
    Number(f64),
    /// `'words'`, as they stand between their quotes.
    Words(String),
    /// `.ROOF.`.
    Word(String),
    /// `#12`.
    Instance(u64),
    /// `( … )`.
    List(Vec<Value>),
    /// `IFCLABEL('x')`.
    Typed(String, Vec<Value>),
}

impl Value {
    /// Its number.
    pub fn number(&self) -> Option<f64> {
        match self {
            Self::Number(value) => Some(*value),
            Self::Typed(_, values) => values.first()?.number(),
            _ => None,
        }
    }

    /// Its items; none where it is no list.
    pub fn items(&self) -> &[Value] {
        match self {
            Self::List(items) => items,
            _ => &[],
        }
    }
}

/// An instance: its kind, in capitals, and its parameters.
pub type Instance = (String, Vec<Value>);

struct Cursor<'a> {
    text: &'a [u8],
    at: usize,
}

impl Cursor<'_> {
    fn peek(&self) -> u8 {
        self.text.get(self.at).copied().unwrap_or(0)
    }

    fn blanks(&mut self) {
        loop {
            match self.peek() {
                b' ' | b'\n' | b'\r' | b'\t' => self.at += 1,
                b'/' if self.text.get(self.at + 1) == Some(&b'*') => {
                    while self.at < self.text.len() && !self.text[self.at..].starts_with(b"*/") {
                        self.at += 1;
                    }
                    self.at = (self.at + 2).min(self.text.len());
                }
                _ => return,
            }
        }
    }

    fn take(&mut self, byte: u8) -> bool {
        self.blanks();
        let is_there = self.peek() == byte;
        self.at += usize::from(is_there);
        is_there
    }

    /// Takes the mark that ends a word; `false` where the text ends before it.
    fn ends_with(&mut self, mark: u8) -> bool {
        let is_there = self.text.get(self.at) == Some(&mark);
        self.at += usize::from(is_there);
        is_there
    }

    fn while_is(&mut self, is: impl Fn(u8) -> bool) -> String {
        let from = self.at;
        while self.at < self.text.len() && is(self.peek()) {
            self.at += 1;
        }
        String::from_utf8_lossy(&self.text[from..self.at]).into_owned()
    }

    fn words(&mut self) -> String {
        let mut words = Vec::new();
        while self.at < self.text.len() {
            let byte = self.peek();
            self.at += 1;
            if byte == b'\'' {
                if self.peek() != b'\'' {
                    break;
                }
                self.at += 1;
            }
            words.push(byte);
        }
        String::from_utf8_lossy(&words).into_owned()
    }

    fn list(&mut self, depth: usize) -> Option<Vec<Value>> {
        let mut items = Vec::new();
        if self.take(b')') {
            return Some(items);
        }
        loop {
            items.push(self.value(depth)?);
            if self.take(b')') {
                return Some(items);
            }
            if !self.take(b',') {
                return None;
            }
        }
    }

    fn value(&mut self, depth: usize) -> Option<Value> {
        if depth == 0 {
            return None;
        }
        self.blanks();
        let first = self.peek();
        match first {
            b'$' | b'*' => {
                self.at += 1;
                Some(Value::Nothing)
            }
            b'#' => {
                self.at += 1;
                self.while_is(|byte| byte.is_ascii_digit()).parse().ok().map(Value::Instance)
            }
            b'\'' => {
                self.at += 1;
                Some(Value::Words(self.words()))
            }
            b'"' => {
                self.at += 1;
                let words = self.while_is(|byte| byte != b'"');
                self.ends_with(b'"').then_some(Value::Words(words))
            }
            b'.' => {
                self.at += 1;
                let word = self.while_is(|byte| byte != b'.');
                self.ends_with(b'.').then_some(Value::Word(word))
            }
            b'(' => {
                self.at += 1;
                self.list(depth - 1).map(Value::List)
            }
            b'0'..=b'9' | b'-' | b'+' => {
                let digits =
                    self.while_is(|byte| byte.is_ascii_digit() || matches!(byte, b'-' | b'+' | b'.' | b'E' | b'e'));
                digits.parse().ok().filter(|number: &f64| number.is_finite()).map(Value::Number)
            }
            _ => {
                let name = self.while_is(|byte| byte.is_ascii_alphanumeric() || byte == b'_');
                if name.is_empty() || !self.take(b'(') {
                    return None;
                }
                self.list(depth - 1).map(|values| Value::Typed(name.to_uppercase(), values))
            }
        }
    }
}

/// Deepest nesting of lists.
const DEEPEST: usize = 32;

/// Reads the data section; what is no simple instance is passed over. `None` for a file in another form. O(bytes).
#[must_use]
pub fn read(text: &str) -> Option<HashMap<u64, Instance>> {
    let start = text.find("DATA;")?;
    text.trim_start().strip_prefix("ISO-10303-21;")?;
    let mut cursor = Cursor { text: text.as_bytes(), at: start + 5 };
    let mut found = HashMap::new();
    loop {
        if !cursor.take(b'#') {
            return Some(found);
        }
        let number = cursor.while_is(|byte| byte.is_ascii_digit()).parse().ok()?;
        if !cursor.take(b'=') {
            return None;
        }
        match cursor.value(DEEPEST) {
            Some(Value::Typed(kind, values)) => {
                found.insert(number, (kind, values));
            }
            // A complex instance is a list of parts without commas: nothing of it is read.
            _ => {
                cursor.while_is(|byte| byte != b';');
            }
        }
        if !cursor.take(b';') {
            return None;
        }
    }
}
