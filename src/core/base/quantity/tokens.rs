//! Words and signs of a quantity.

/// A piece of a written quantity.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Token {
    /// Digits with at most one point.
    Number(String),
    /// Letters, lower case.
    Word(String),
    /// Anything else that is not a space.
    Sign(char),
}

/// Splits a text, with typographic signs read as what they stand for. `None` for a number with two points.
pub(super) fn tokens(text: &str) -> Option<Vec<Token>> {
    let text = plain(text);
    let mut tokens = Vec::new();
    let mut chars = text.chars().peekable();
    while let Some(&c) = chars.peek() {
        let decimal_point = c == '.' && chars.clone().nth(1).is_some_and(|d| d.is_ascii_digit() || d == '.');
        if c.is_ascii_digit() || decimal_point {
            let mut number = String::new();
            while let Some(&d) = chars.peek().filter(|d| d.is_ascii_digit() || **d == '.') {
                number.push(d);
                chars.next();
            }
            let well_formed = number.matches('.').count() <= 1;
            if !well_formed {
                return None;
            }
            tokens.push(Token::Number(number));
        } else if c.is_alphabetic() {
            let mut word = String::new();
            while let Some(&d) = chars.peek().filter(|d| d.is_alphabetic()) {
                word.extend(d.to_lowercase());
                chars.next();
            }
            tokens.push(Token::Word(word));
        } else {
            chars.next();
            if !c.is_whitespace() {
                tokens.push(Token::Sign(c));
            }
        }
    }
    Some(tokens)
}

/// Curly quotes and primes to straight ones, vulgar fractions spelled out, odd spaces and dashes made plain.
fn plain(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for c in text.trim().chars() {
        match c {
            '\u{2032}' | '\u{2018}' | '\u{2019}' | '\u{02b9}' | '\u{00b4}' | '`' => plain.push('\''),
            '\u{2033}' | '\u{201c}' | '\u{201d}' | '\u{201e}' | '\u{02ba}' => plain.push('"'),
            '\u{2044}' | '\u{2215}' => plain.push('/'),
            '\u{2212}' | '\u{2010}'..='\u{2014}' => plain.push('-'),
            '\u{00ba}' | '\u{02da}' => plain.push('°'),
            '\u{2236}' | '\u{ff1a}' => plain.push(':'),
            '½' => plain.push_str(" 1/2"),
            '¼' => plain.push_str(" 1/4"),
            '¾' => plain.push_str(" 3/4"),
            '⅓' => plain.push_str(" 1/3"),
            '⅔' => plain.push_str(" 2/3"),
            '⅛' => plain.push_str(" 1/8"),
            '⅜' => plain.push_str(" 3/8"),
            '⅝' => plain.push_str(" 5/8"),
            '⅞' => plain.push_str(" 7/8"),
            _ => plain.push(c),
        }
    }
    plain.replace("''", "\"")
}

/// Takes tokens one after another.
pub(super) struct Cursor {
    tokens: std::vec::IntoIter<Token>,
}

impl Cursor {
    pub(super) fn new(tokens: Vec<Token>) -> Self {
        Self { tokens: tokens.into_iter() }
    }

    pub(super) fn peek(&self, ahead: usize) -> Option<&Token> {
        self.tokens.as_slice().get(ahead)
    }

    pub(super) fn is_done(&self) -> bool {
        self.peek(0).is_none()
    }

    /// Takes a sign if it comes next.
    pub(super) fn sign(&mut self, sign: char) -> bool {
        let found = self.peek(0) == Some(&Token::Sign(sign));
        if found {
            self.tokens.next();
        }
        found
    }

    /// Takes one of some words if it comes next.
    pub(super) fn word(&mut self, words: &[&str]) -> bool {
        let found = matches!(self.peek(0), Some(Token::Word(word)) if words.contains(&word.as_str()));
        if found {
            self.tokens.next();
        }
        found
    }

    /// Takes any word.
    pub(super) fn any_word(&mut self) -> Option<String> {
        let Some(Token::Word(word)) = self.peek(0) else { return None };
        let word = word.clone();
        self.tokens.next();
        Some(word)
    }

    /// Takes a number if it comes next.
    pub(super) fn number(&mut self) -> Option<String> {
        let Some(Token::Number(number)) = self.peek(0) else { return None };
        let number = number.clone();
        self.tokens.next();
        Some(number)
    }

    /// Takes a minus or plus: -1 or 1.
    pub(super) fn plus_or_minus(&mut self) -> f64 {
        if self.sign('-') {
            -1.0
        } else {
            self.sign('+');
            1.0
        }
    }
}

/// The readings of a text with a comma between digits: as a decimal point, and left out when it may group thousands.
pub(super) fn comma_readings(text: &str) -> Option<Vec<String>> {
    let characters: Vec<char> = text.trim().chars().collect();
    let digit = |index: usize| characters.get(index).is_some_and(char::is_ascii_digit);
    let at = (1..characters.len()).find(|&i| characters[i] == ',' && digit(i - 1) && digit(i + 1))?;
    let with = |middle: &str| -> String {
        characters[..at].iter().collect::<String>() + middle + &characters[at + 1..].iter().collect::<String>()
    };
    let mut readings = vec![with(".")];
    if (at + 1..=at + 3).all(digit) && !digit(at + 4) {
        readings.push(with(""));
    }
    Some(readings)
}
