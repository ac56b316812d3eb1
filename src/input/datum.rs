//! `measured_at` and what goes with it: how the drip edge follows from the outline that was taped.

use super::node::Table;
use super::reader::Reader;
use super::reported::Reported;
use super::schema::words::{DATUMS, EDGES, EdgeOf, FASCIAS};
use crate::job::reading::{Expected, Fault, Problem};
use crate::outline::block::{Fascia, OutlineDatum, Overhang};

impl<'d> Reader<'d> {
    /// `measured_at` and what goes with it.
    pub fn datum(&mut self, table: &Table<'d>) -> Option<OutlineDatum> {
        let at_wall = self.word(table, "measured_at", &DATUMS)?;
        let stray = |keys: [&str; 2]| keys.iter().find_map(|key| table.get(key));
        if !at_wall {
            if let Some(item) = stray(["overhang", "above_plate"]) {
                self.report(Problem::error(item.key_span, Fault::GoesWithWall { key: item.key.to_owned() }));
                return None;
            }
            return self.eaves_datum(table);
        }
        if let Some(item) = stray(["edge_of", "projection"]) {
            self.report(Problem::error(item.key_span, Fault::GoesWithEaves { key: item.key.to_owned() }));
            return None;
        }
        let above_plate = self.value(table, "above_plate");
        let overhang = self.overhang(table);
        if matches!(overhang, Ok(None)) {
            self.report(Problem::warning(table.span.clone(), Fault::OverhangAssumed));
        }
        let none = Overhang { eave: 0.0, verge: 0.0, fascia: Fascia::Level };
        Some(OutlineDatum::Wall { overhang: overhang.ok()?.unwrap_or(none), above_plate: above_plate? })
    }

    fn eaves_datum(&mut self, table: &Table<'d>) -> Option<OutlineDatum> {
        let edge = self.word(table, "edge_of", &EDGES);
        let projection = self.maybe(table, "projection");
        let edge = edge?;
        if edge == EdgeOf::DripEdge {
            if let Some(item) = table.get("projection") {
                self.report(Problem::error(item.key_span, Fault::ProjectionAtDripEdge));
                return None;
            }
            return Some(OutlineDatum::Eaves { inside: 0.0 });
        }
        if !table.has("projection") {
            self.required_as(table, "projection", Expected::Projection);
            return None;
        }
        let projection = projection.ok()??;
        Some(OutlineDatum::Eaves { inside: if edge == EdgeOf::Outside { -projection } else { projection } })
    }

    fn overhang(&mut self, block: &Table<'d>) -> Result<Option<Overhang>, Reported> {
        let Some(table) = self.table_at(block, "overhang")? else { return Ok(None) };
        let eave = self.value(&table, "eave");
        let verge = self.value(&table, "verge");
        let fascia = self.word(&table, "fascia", &FASCIAS);
        let read = || Some(Overhang { eave: eave?, verge: verge?, fascia: fascia? });
        read().map(Some).ok_or(Reported)
    }
}
