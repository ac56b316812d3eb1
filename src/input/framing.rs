//! `[framing]`: what timbers are cut to.

use super::names::Names;
use super::node::Table;
use super::reader::Reader;
use super::reported::Reported;
use super::schema::words::GRID_ENDS;
use crate::framing::spec::{FramingSpec, GridSpec, Section, Sections};

impl<'d> Reader<'d> {
    /// Reads `[framing]`, if it is there.
    pub fn framing(&mut self, root: &Table<'d>, names: &Names) -> Result<Option<FramingSpec>, Reported> {
        let Some(table) = self.table_at(root, "framing")? else { return Ok(None) };
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
        let soffit = self.maybe(&table, "soffit");
        let wall = self.maybe(&table, "wall");
        let purlins = self.maybe_lengths(&table, "purlins");
        let collar = self.maybe(&table, "collar");
        let stock = self.maybe_lengths(&table, "stock");
        let grids = self.each(&table, "grid", |reader, grid| reader.grid(grid, names));
        let sections =
            Sections { rafter: rafter?, hip: hip?, valley: valley?, ridge: ridge?, plate: plate?, fascia: fascia? };
        let mut stock = stock.ok_or(Reported)?;
        stock.sort_by(f64::total_cmp);
        Ok(Some(FramingSpec {
            spacing: spacing.ok_or(Reported)?,
            sections,
            heel: heel?,
            tail: tail?,
            projection: projection.ok_or(Reported)?,
            birdsmouth: birdsmouth.ok_or(Reported)?,
            backed: backed.ok_or(Reported)?,
            soffit: soffit?,
            wall: wall?,
            purlins: purlins.ok_or(Reported)?,
            collar: collar?,
            stock,
            grids: grids.ok_or(Reported)?,
        }))
    }

    /// A section, if it is there.
    fn section(&mut self, table: &Table<'d>, key: &str) -> Result<Option<Section>, Reported> {
        let size = self.maybe_list(table, key)?;
        Ok(size.map(|[thickness, depth]| Section::new(thickness, depth)))
    }

    fn grid(&mut self, table: &Table<'d>, names: &Names) -> Option<GridSpec> {
        let face = self.required(table, "face").and_then(|item| self.roof_face(names, &item));
        let spacing = self.maybe(table, "spacing");
        let from = self.maybe_word(table, "from", &GRID_ENDS);
        let first = self.maybe(table, "first");
        Some(GridSpec { face: face?, spacing: spacing.ok()?, from: from.ok()?, first: first.ok()? })
    }
}
