//! How a thing was measured, in words, and how sure that makes it ([`crate::survey::sigma`]). What a designer sets is
//! exact, unless it says how it was measured after all.

use super::names::Names;
use super::node::Table;
use super::reader::Reader;
use super::reported::Reported;
use super::schema::words::{LENGTHS, LengthMethod, PITCH_BY, PITCHES};
use crate::base::ids::SideId;
use crate::base::units::Pitch;
use crate::job::model::{PitchSureness, Slope, Stage, StatedPitch};
use crate::job::reading::{Fault, Problem};
use crate::outline::Role;
use crate::outline::block::BlockRole;
use crate::survey::sigma;

impl<'d> Reader<'d> {
    /// The sigma of a length, metres: as stated, else by the method, else a steel tape's.
    pub(crate) fn length_sigma(&mut self, table: &Table<'d>, length: f64) -> Result<f64, Reported> {
        let method = self.word(table, "method", &LENGTHS);
        let sigma = self.maybe(table, "sigma");
        let method = method.ok_or(Reported)?;
        if self.stage == Stage::Design && !table.has("method") {
            return Ok(sigma?.unwrap_or(0.0));
        }
        let method = match method {
            LengthMethod::Sigma(sigma) => sigma,
            LengthMethod::Courses => sigma::counted_courses(self.gauge),
        };
        Ok(sigma?.unwrap_or_else(|| method.of(length)))
    }

    /// The sigma of a turn, radians: as stated in degrees, else the usual one.
    pub fn turn_sigma(&mut self, table: &Table<'d>, usual: f64) -> Result<f64, Reported> {
        let usual = if self.stage == Stage::Design { 0.0 } else { usual };
        Ok(self.maybe(table, "turn_sigma")?.unwrap_or(usual))
    }

    /// The sigma of a pitch reading, radians: as stated in degrees, else by the method, else level and rule.
    pub fn pitch_sigma(&mut self, table: &Table<'d>) -> Result<f64, Reported> {
        let method = self.word(table, "method", &PITCHES);
        let sigma = self.maybe(table, "sigma");
        let method = method.ok_or(Reported)?;
        Ok(sigma?.unwrap_or(method))
    }

    /// How sure the pitch of a side or dormer is: as stated, else by how it was found.
    fn pitch_sureness(&mut self, table: &Table<'d>) -> Result<PitchSureness, Reported> {
        let found_by = self.maybe_word(table, "pitch_by", &PITCH_BY);
        let sigma = self.maybe(table, "pitch_sigma");
        let usual = match self.stage {
            Stage::Design => PitchSureness::Sigma(0.0),
            Stage::Measured => PitchSureness::Sigma(sigma::PITCH_LEVEL_AND_RULE),
        };
        Ok(sigma?.map(PitchSureness::Sigma).or(found_by?).unwrap_or(usual))
    }

    /// Notes the pitches of a side's role with how sure they are; tells of keys about a pitch that it does not have.
    pub(crate) fn pitches_of_side(&mut self, table: &Table<'d>, side: SideId, role: &BlockRole, names: &mut Names) {
        let pitches: Vec<Pitch> = match role {
            BlockRole::Known(Role::Eave { pitch, breaks }) => {
                std::iter::once(*pitch).chain(breaks.iter().map(|(_, pitch)| *pitch)).collect()
            }
            BlockRole::Known(Role::HalfHip { pitch, .. } | Role::Gablet { pitch, .. }) => vec![*pitch],
            BlockRole::Known(Role::Verge | Role::Abutment) | BlockRole::EaveOfUnknownPitch | BlockRole::RunsInto => {
                Vec::new()
            }
        };
        let sureness = self.pitch_sureness(table);
        if pitches.is_empty() {
            for item in ["pitch_by", "pitch_sigma"].iter().filter_map(|key| table.get(key)) {
                self.report(Problem::warning(item.key_span, Fault::NoPitchHere { key: item.key.to_owned() }));
            }
        }
        let Ok(sureness) = sureness else { return };
        for (part, pitch) in pitches.into_iter().enumerate() {
            note(&mut names.pitches, pitch, sureness, Slope::Side { side, part });
        }
    }

    /// Notes the pitch of a dormer with how sure it is.
    pub(crate) fn pitch_of_dormer(&mut self, table: &Table<'d>, dormer: usize, pitch: Pitch, names: &mut Names) {
        if let Ok(sureness) = self.pitch_sureness(table) {
            note(&mut names.pitches, pitch, sureness, Slope::Dormer(dormer));
        }
    }
}

/// Slopes of one pitch, found alike, share it: it was found once.
fn note(pitches: &mut Vec<StatedPitch>, pitch: Pitch, sureness: PitchSureness, slope: Slope) {
    match pitches.iter_mut().find(|known| known.pitch == pitch && known.sureness == sureness) {
        Some(known) => known.slopes.push(slope),
        None => pitches.push(StatedPitch { pitch, sureness, slopes: vec![slope] }),
    }
}
