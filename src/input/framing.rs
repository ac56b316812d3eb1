//! `[framing]`: what timbers are cut to.

use super::names::Names;
use super::node::Table;
use super::reader::Reader;
use super::schema::words::GRID_ENDS;
use crate::framing::spec::{FramingSpec, GridSpec, Section, Sections};

impl<'d> Reader<'d> {
    /// Reads `[framing]`; `Some(None)` where there is none, `None` where it is wrong.
    pub fn framing(&mut self, root: &Table<'d>, names: &Names) -> Option<Option<FramingSpec>> {
        let Some(table) = self.table_at(root, "framing").ok()? else { return Some(None) };
        let spacing = self.value(&table, "spacing");
        let rafter = self.section(&table, "rafter");
        let hip = self.section(&table, "hip");
        let valley = self.section(&table, "valley");
        let ridge = self.section(&table, "ridge");
        let plate = self.section(&table, "plate");
        let fascia = self.section(&table, "fascia");
        let heel = self.maybe(&table, "heel");
        let tail = self.maybe(&table, "tail");
        let projection = self.value(&table, "projection");
        let birdsmouth = self.switch(&table, "birdsmouth");
        let backed = self.switch(&table, "backed");
        let stock = self.maybe_lengths(&table, "stock");
        let grids = self.each(&table, "grid", |reader, grid| reader.grid(grid, names));
        let sections =
            Sections { rafter: rafter?, hip: hip?, valley: valley?, ridge: ridge?, plate: plate?, fascia: fascia? };
        let mut stock = stock?;
        stock.sort_by(f64::total_cmp);
        Some(Some(FramingSpec {
            spacing: spacing?,
            sections,
            heel: heel.ok()?,
            tail: tail.ok()?,
            projection: projection?,
            birdsmouth: birdsmouth?,
            backed: backed?,
            stock,
            grids: grids?,
        }))
    }

    /// A section, `None` where it is wrong; none where there is none.
    fn section(&mut self, table: &Table<'d>, key: &str) -> Option<Option<Section>> {
        let size = self.maybe_list(table, key).ok()?;
        Some(size.map(|[thickness, depth]| Section::new(thickness, depth)))
    }

    fn grid(&mut self, table: &Table<'d>, names: &Names) -> Option<GridSpec> {
        let face = self.required(table, "face").and_then(|item| self.roof_face(names, &item));
        let spacing = self.maybe(table, "spacing");
        let from = self.maybe_word(table, "from", &GRID_ENDS);
        let first = self.maybe(table, "first");
        Some(GridSpec { face: face?, spacing: spacing.ok()?, from: from.ok()?, first: first.ok()? })
    }
}
