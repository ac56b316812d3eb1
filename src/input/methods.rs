//! How a thing was measured, in words, and how sure that makes it ([`crate::survey::sigma`]).

use super::measures::Told;
use super::node::Table;
use super::reader::Reader;
use super::schema::words::{LENGTHS, PITCHES, Way};
use crate::survey::sigma;

impl<'d> Reader<'d> {
    /// The sigma of a length, metres: as stated, else by the method, else a steel tape's.
    pub fn length_sigma(&mut self, table: &Table<'d>, length: f64) -> Result<f64, Told> {
        let method = self.word(table, "method", &LENGTHS);
        let sigma = self.maybe(table, "sigma");
        let method = match method.ok_or(Told)? {
            Way::Sigma(sigma) => sigma,
            Way::Courses => sigma::counted_courses(self.gauge),
        };
        Ok(sigma?.unwrap_or_else(|| method.of(length)))
    }

    /// The sigma of a pitch reading, radians: as stated in degrees, else by the method, else level and rule.
    pub fn pitch_sigma(&mut self, table: &Table<'d>) -> Result<f64, Told> {
        let method = self.word(table, "method", &PITCHES);
        let sigma = self.maybe(table, "sigma");
        let method = method.ok_or(Told)?;
        Ok(sigma?.unwrap_or(method))
    }
}
