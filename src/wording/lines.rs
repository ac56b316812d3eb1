//! Where a line of running words may end: never between a number and its unit, within a length in feet and inches, or behind
//! a ±.

/// Units that stand behind a number with a blank.
const UNITS: [&str; 15] =
    ["mm", "cm", "m", "ft", "m²", "cm²", "ft²", "in²", "m³", "ft³", "yd³", "kg", "lb", "°C", "°F"];

/// The words of a text as lines may part them: `18`, `mm` and `head` are `18 mm` and `head`. O(letters).
#[must_use]
pub fn words(text: &str) -> Vec<String> {
    let mut parts: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match parts.last_mut() {
            Some(last) if holds(last, word) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => parts.push(word.to_owned()),
        }
    }
    parts
}

/// Whether what was gathered so far holds on to the next word.
fn holds(before: &str, next: &str) -> bool {
    let last = before.rsplit(' ').next().unwrap_or(before);
    let digits = |text: &str| !text.is_empty() && text.chars().all(|letter| letter.is_ascii_digit());
    let ends_in_digit = last.ends_with(|letter: char| letter.is_ascii_digit());
    let bare = next.trim_end_matches([',', '.', ';', ':', ')']);
    let is_inches = bare.ends_with('"');
    let is_fraction =
        is_inches && bare.trim_end_matches('"').split_once('/').is_some_and(|(a, b)| digits(a) && digits(b));
    let is_feet = last.strip_suffix('\'').is_some_and(|feet| feet.ends_with(|letter: char| letter.is_ascii_digit()));
    last == "±"
        || ends_in_digit && (UNITS.contains(&bare) || bare.starts_with("kg/") || bare.starts_with("lb/"))
        || is_feet && (is_inches || digits(bare))
        || digits(last) && is_fraction
}

#[test]
fn a_number_keeps_its_unit() {
    let parts = |text: &str| words(text).join("|");
    assert_eq!(parts("head lap 100 mm, end laps 140 mm."), "head|lap|100 mm,|end|laps|140 mm.");
    assert_eq!(parts("54.88 ± 0.11 m² to cover"), "54.88|± 0.11 m²|to|cover");
    assert_eq!(parts("1' 3 3/8\", 2' 8 3/4\" and 19' or 3/4\" on"), "1' 3 3/8\",|2' 8 3/4\"|and|19'|or|3/4\"|on");
    assert_eq!(parts("(2' 1/2\") 14 kg/m² 2 in all"), "(2' 1/2\")|14 kg/m²|2|in|all");
}
