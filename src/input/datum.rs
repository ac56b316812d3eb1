//! `measured_at` and what goes with it: how the drip edge follows from the outline that was taped.

use super::measures::Sign;
use super::node::{Item, Table};
use super::reader::Reader;
use super::schema;
use crate::base::diagnostic::Diagnostic;
use crate::outline::block::{Fascia, OutlineDatum, Overhang};

/// What the tape reached.
#[derive(Clone, Copy, PartialEq)]
enum EdgeOf {
    DripEdge,
    /// Within the drip edge.
    Inside,
    /// Beyond it.
    Outside,
}

impl<'d> Reader<'d> {
    /// `measured_at` and what goes with it.
    pub fn datum(&mut self, table: &Table<'d>) -> Option<OutlineDatum> {
        let at_wall = self
            .optional(table, "measured_at", |reader, item| reader.choice(item, &[("eaves", false), ("wall", true)]));
        let at_wall = at_wall.ok()?;
        let stray = |keys: [&str; 2]| keys.iter().find_map(|key| table.get(key));
        if at_wall != Some(true) {
            if let Some(item) = stray(["overhang", "above_plate"]) {
                let message = format!("`{}` goes with an outline measured at the wall", item.key);
                let error = Diagnostic::error("conflicting-keys", item.key_span.clone(), message);
                self.report(error.found(format!("`{}`", item.key)).expected("measured_at = \"wall\" beside it"));
                return None;
            }
            return self.eaves_datum(table);
        }
        if let Some(item) = stray(["edge_of", "projection"]) {
            let message = format!("`{}` goes with an outline measured at the eaves", item.key);
            let error = Diagnostic::error("conflicting-keys", item.key_span.clone(), message);
            self.report(error.found(format!("`{}`", item.key)).expected("measured_at = \"eaves\" beside it"));
            return None;
        }
        let above_plate = self.optional(table, "above_plate", |reader, item| reader.length(item, Sign::NotNegative));
        let overhang = self.optional(table, "overhang", Self::overhang);
        if matches!(overhang, Ok(None)) {
            self.report(
                Diagnostic::warning(
                    "overhang-assumed",
                    table.span.clone(),
                    "the outline was measured at the wall and no overhang is given: none is taken",
                )
                .expected("`overhang = { eave = 0.35, verge = 0.20 }`")
                .hint("write eave = 0 and verge = 0 where the roof ends flush with the wall"),
            );
        }
        let none = Overhang { eave: 0.0, verge: 0.0, fascia: Fascia::Level };
        Some(OutlineDatum::Wall {
            overhang: overhang.ok()?.unwrap_or(none),
            above_plate: above_plate.ok()?.unwrap_or(0.0),
        })
    }

    fn eaves_datum(&mut self, table: &Table<'d>) -> Option<OutlineDatum> {
        let edges = [
            ("drip edge", EdgeOf::DripEdge),
            ("deck", EdgeOf::Inside),
            ("fascia", EdgeOf::Inside),
            ("gutter front", EdgeOf::Outside),
        ];
        let edge = self.optional(table, "edge_of", |reader, item| reader.choice(item, &edges));
        let projection = self.optional(table, "projection", |reader, item| reader.length(item, Sign::NotNegative));
        let edge = edge.ok()?.unwrap_or(EdgeOf::DripEdge);
        if edge == EdgeOf::DripEdge {
            if let Some(item) = table.get("projection") {
                let error = Diagnostic::error(
                    "conflicting-keys",
                    item.key_span,
                    "`projection` goes with an outline taped to another edge than the drip edge",
                );
                self.report(error.found("`projection`").expected("edge_of = \"deck\", \"fascia\" or \"gutter front\""));
                return None;
            }
            return Some(OutlineDatum::Eaves { inside: 0.0 });
        }
        if !table.has("projection") {
            let how_far = "how far the drip edge lies beyond the deck or fascia, or the gutter's front beyond the drip \
                           edge: \"40 mm\"";
            self.required(table, "projection", how_far);
            return None;
        }
        let projection = projection.ok()??;
        Some(OutlineDatum::Eaves { inside: if edge == EdgeOf::Outside { -projection } else { projection } })
    }

    fn overhang(&mut self, item: &Item<'d>) -> Option<Overhang> {
        let table = self.table(item, &schema::OVERHANG)?;
        let eave = self.required_length(&table, "eave", Sign::NotNegative);
        let verge = self.optional(&table, "verge", |reader, item| reader.length(item, Sign::NotNegative));
        let fascias = [("level", Fascia::Level), ("equal", Fascia::Equal), ("raised", Fascia::Raised)];
        let fascia = self.optional(&table, "fascia", |reader, item| reader.choice(item, &fascias));
        Some(Overhang { eave: eave?, verge: verge.ok()?.unwrap_or(0.0), fascia: fascia.ok()?.unwrap_or(Fascia::Level) })
    }
}
