//! What the roof does above a side: exactly one role.

use super::node::{Item, Table};
use super::reader::Reader;
use super::reported::Reported;
use super::schema::block::BREAK;
use crate::base::units::Pitch;
use crate::job::reading::{Beside, Expected, Fault, Problem, Roles};
use crate::outline::Role;
use crate::outline::block::BlockRole;
use toml::de::DeValue;

/// A pitch that may not have been measured.
#[derive(Clone, Copy)]
enum PitchOrUnknown {
    Known(Pitch),
    Unknown,
}

impl<'d> Reader<'d> {
    /// The role of a side; `None` when it has none or more than one, or a part of it is wrong.
    pub fn role(&mut self, side: &Table<'d>) -> Option<BlockRole> {
        let verge = self.optional(side, "verge", Self::flag);
        let abutment = self.optional(side, "abutment", Self::flag);
        let runs_into = self.optional(side, "runs_into", Self::flag);
        let pitch = self.optional(side, "pitch", Self::pitch_or_unknown);
        let hip_from = self.maybe(side, "hip_from");
        let verge_from = self.maybe(side, "verge_from");
        let breaks = self.optional(side, "breaks", Self::breaks);
        let is = |key: &str, flag: &Result<Option<bool>, Reported>| match flag {
            Ok(flag) => *flag == Some(true),
            Err(Reported) => side.has(key),
        };
        let (is_verge, is_abutment) = (is("verge", &verge), is("abutment", &abutment));
        let has = |key: &str| side.has(key);

        if is("runs_into", &runs_into) {
            let others = ["pitch", "breaks", "verge", "hip_from", "verge_from", "abutment"];
            let off = |key: &str| (key == "verge" && !is_verge) || (key == "abutment" && !is_abutment);
            if let Some(other) = others.iter().find(|key| has(key) && !off(key)) {
                return self.two_roles(side, "runs_into", other, Roles::RunsInto);
            }
            runs_into.ok()?;
            return Some(BlockRole::RunsInto);
        }

        if is_abutment {
            let others = ["pitch", "breaks", "verge", "hip_from", "verge_from"];
            let other = others.iter().find(|key| has(key) && (**key != "verge" || is_verge));
            if let Some(other) = other {
                return self.two_roles(side, "abutment", other, Roles::Abutment);
            }
            abutment.ok()?;
            return Some(BlockRole::Known(Role::Abutment));
        }
        if is_verge {
            if let Some(other) = ["breaks", "verge_from"].iter().find(|key| has(key)) {
                return self.two_roles(side, "verge", other, Roles::VergeAndEave);
            }
            return match (has("hip_from"), has("pitch")) {
                (false, false) => verge.ok().map(|_| BlockRole::Known(Role::Verge)),
                (true, true) => {
                    let (verge, hip_from, pitch) = (verge.ok()?, hip_from.ok()??, pitch.ok()??);
                    debug_assert!(verge == Some(true));
                    let pitch = self.known(side, pitch)?;
                    Some(BlockRole::Known(Role::HalfHip { hip_from, pitch }))
                }
                (true, false) => {
                    self.required_as(side, "pitch", Expected::HalfHipPitch);
                    None
                }
                (false, true) => self.two_roles(side, "verge", "pitch", Roles::HalfHip),
            };
        }
        if has("hip_from") {
            let item = side.get("hip_from")?;
            self.report(Problem::error(item.key_span, Fault::HipWithoutVerge));
            return None;
        }
        if !has("pitch") {
            if self.seems_to_have(side, &["pitch", "verge", "abutment"]) && !has("verge") && !has("abutment") {
                return None;
            }
            self.report(Problem::error(side.span.clone(), Fault::NoRole { there: Self::keys_of(side) }));
            return None;
        }
        let (pitch, breaks, verge_from) = (pitch.ok()??, breaks, verge_from);
        if has("verge_from") {
            if has("breaks") {
                return self.two_roles(side, "verge_from", "breaks", Roles::Gablet);
            }
            let pitch = self.known(side, pitch)?;
            return Some(BlockRole::Known(Role::Gablet { pitch, verge_from: verge_from.ok()?? }));
        }
        match (pitch, has("breaks")) {
            (PitchOrUnknown::Unknown, false) => Some(BlockRole::EaveOfUnknownPitch),
            (pitch, _) => {
                let pitch = self.known(side, pitch)?;
                Some(BlockRole::Known(Role::Eave { pitch, breaks: breaks.ok()?.unwrap_or_default() }))
            }
        }
    }

    fn two_roles(&mut self, side: &Table<'d>, first: &str, second: &str, roles: Roles) -> Option<BlockRole> {
        let (first, second) = (side.get(first)?, side.get(second)?);
        let keys = [first.key.to_owned(), second.key.to_owned()];
        let error = Problem::error(second.key_span, Fault::TwoRoles { keys, roles });
        self.report(error.beside(first.key_span, Beside::OtherRole));
        None
    }

    fn pitch_or_unknown(&mut self, item: &Item<'d>) -> Option<PitchOrUnknown> {
        match item.value {
            DeValue::String(text) if text.trim() == "?" => Some(PitchOrUnknown::Unknown),
            _ => self.pitch(item).map(PitchOrUnknown::Known),
        }
    }

    /// The pitch, where it has to be known: a half-hip's, a gablet's, one with breaks above.
    fn known(&mut self, side: &Table<'d>, pitch: PitchOrUnknown) -> Option<Pitch> {
        match pitch {
            PitchOrUnknown::Known(pitch) => Some(pitch),
            PitchOrUnknown::Unknown => {
                let item = side.get("pitch")?;
                self.report(Problem::error(item.span, Fault::UnknownOfSeveral));
                None
            }
        }
    }

    fn breaks(&mut self, item: &Item<'d>) -> Option<Vec<(f64, Pitch)>> {
        let items = self.list(item, Expected::Breaks)?;
        let mut breaks: Vec<(f64, Pitch)> = Vec::new();
        let mut fine = true;
        for item in &items {
            let Some(table) = self.table(item, &BREAK) else {
                fine = false;
                continue;
            };
            let rise = self.value(&table, "rise");
            let pitch = self.required(&table, "pitch").and_then(|item| self.pitch(&item));
            let (Some(rise), Some(pitch)) = (rise, pitch) else {
                fine = false;
                continue;
            };
            if let Some((before, _)) = breaks.last().filter(|(before, _)| *before >= rise) {
                let place = table.get("rise").map_or(table.span.clone(), |item| item.span);
                let written = self.written(&place);
                self.report(Problem::error(place, Fault::BreakNotAbove { before: *before }).written(written));
                fine = false;
            }
            breaks.push((rise, pitch));
        }
        fine.then_some(breaks)
    }
}
