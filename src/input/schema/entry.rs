//! Entries of the schema by the kind of value they take.

use super::limits;
use crate::base::schema::{Bounds, Key, Kind, Naming, Table};

pub(super) const fn text(
    key: &'static str,
    most: usize,
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::Text(most), label, example, about)
}

pub(super) const fn name(
    key: &'static str,
    naming: Naming,
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::Name(naming), label, example, about)
}

pub(super) const fn of(
    key: &'static str,
    naming: Naming,
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::Of(naming), label, example, about)
}

pub(super) const fn length(
    key: &'static str,
    bounds: Bounds,
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::Length(bounds), label, example, about)
}

pub(super) const fn lengths(
    key: &'static str,
    count: usize,
    bounds: Bounds,
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::Lengths(count, bounds), label, example, about)
}

pub(super) const fn angle(
    key: &'static str,
    bounds: Bounds,
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::Angle(bounds), label, example, about)
}

pub(super) const fn number(
    key: &'static str,
    bounds: Bounds,
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::Number(bounds), label, example, about)
}

pub(super) const fn numbers(
    key: &'static str,
    count: usize,
    bounds: Bounds,
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::Numbers(count, bounds), label, example, about)
}

pub(super) const fn count(
    key: &'static str,
    bounds: Bounds,
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::Count(bounds), label, example, about)
}

pub(super) const fn share(
    key: &'static str,
    bounds: Bounds,
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::Share(bounds), label, example, about)
}

pub(super) const fn pitch(key: &'static str, label: &'static str, example: &'static str, about: &'static str) -> Key {
    Key::new(key, Kind::Pitch, label, example, about)
}

pub(super) const fn rule_pitch(
    key: &'static str,
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::RulePitch, label, example, about)
}

pub(super) const fn bearing(key: &'static str, label: &'static str, example: &'static str, about: &'static str) -> Key {
    Key::new(key, Kind::Bearing, label, example, about)
}

pub(super) const fn flag(key: &'static str, label: &'static str, example: &'static str, about: &'static str) -> Key {
    Key::new(key, Kind::Flag, label, example, about)
}

pub(super) const fn date(key: &'static str, label: &'static str, example: &'static str, about: &'static str) -> Key {
    Key::new(key, Kind::Date, label, example, about)
}

pub(super) const fn choice(
    key: &'static str,
    words: &'static [&'static str],
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::Choice(words), label, example, about)
}

pub(super) const fn table(key: &'static str, of: &'static Table, about: &'static str) -> Key {
    Key::new(key, Kind::Table(of), key, "", about)
}

pub(super) const fn tables(key: &'static str, of: &'static Table, about: &'static str) -> Key {
    Key::new(key, Kind::Tables(of), key, "", about)
}

/// Where a card's rule comes from.
pub(super) const fn source() -> Key {
    text("source", limits::LINE, "source", "\"common practice\"", "where the rule comes from, or \"common practice\"")
        .needed()
}
