//! `[[block]]`: one roofed body.

use super::names::Names;
use super::node::Table;
use super::reader::Reader;
use super::reported::Reported;
use super::ring::{RingOwner, RingRead};
use super::schema::words::TAKE_OVERS;
use super::source_map::SourceMap;
use crate::base::ids::{BlockId, SideId};
use crate::base::place::Place;
use crate::job::reading::{Bearers, Conflict, Expected, Fault, Problem};
use crate::outline::block::{Block, BlockRing, BlockRole, Placement};
use nalgebra::Point2;

/// A block whose references to other sides are still to be looked up.
pub(super) struct BlockRead<'d> {
    pub block: Block,
    pub table: Table<'d>,
}

impl<'d> Reader<'d> {
    /// Reads every block; those with mistakes are left out, the mistakes told.
    pub fn blocks(&mut self, root: &Table<'d>, names: &mut Names, map: &mut SourceMap) -> Vec<Block> {
        let tables = self.tables(root, "block");
        let mut read: Vec<BlockRead<'d>> = Vec::new();
        let mut taken: Vec<String> = Vec::new();
        for (index, table) in tables.iter().enumerate() {
            let item = self.required(table, "name");
            let name = item.as_ref().and_then(|item| self.name(item));
            if let (Some(item), Some(name)) = (&item, &name) {
                if taken.contains(name) {
                    self.taken(item, Bearers::Blocks, map.span(&Place::Block(name.clone())));
                    names.incomplete = true;
                    continue;
                }
                taken.push(name.clone());
                map.insert(Place::Block(name.clone()), table.span.clone());
            } else {
                names.incomplete = true;
            }
            let placeholder = format!("block {}", index + 1);
            let known = name.as_deref().unwrap_or(&placeholder);
            if let Some(block) = self.block(table, known, BlockId::new(index), names, map) {
                read.push(BlockRead { block, table: table.clone() });
            }
        }
        // Sides of blocks that come later may be named, so references are looked up when all are known.
        let complete = read.len() == tables.len();
        let at_sides: Vec<_> = read.iter().map(|read| read.table.get("at_side").map(|item| item.span)).collect();
        let resolved: Vec<Option<Block>> =
            read.into_iter().map(|read| self.references(root, read, names, complete)).collect();
        let blocks: Vec<Block> = resolved.into_iter().flatten().collect();
        if blocks.len() == tables.len() {
            self.check_circles(&blocks, &at_sides);
        }
        for block in &blocks {
            self.check_outline(block, map);
        }
        blocks
    }

    fn block(
        &mut self,
        table: &Table<'d>,
        name: &str,
        id: BlockId,
        names: &mut Names,
        map: &mut SourceMap,
    ) -> Option<Block> {
        let height = self.maybe(table, "height");
        if matches!(height, Ok(None)) {
            self.report(Problem::warning(table.span.clone(), Fault::HeightAssumed { block: name.to_owned() }));
        }
        let own_height = height.as_ref().ok().copied().flatten().unwrap_or(0.0);
        let sides = self.required(table, "sides");
        let mut owner = RingOwner { block: name, first: SideId { block: id, ring: 0, side: 0 }, height: own_height };
        let outer = sides.as_ref().and_then(|item| {
            if self.is_regular(table, item) {
                self.regular(table, item, &owner, names, map)
            } else {
                self.ring(item, &owner, names, map)
            }
        });
        let mut rings: Vec<Option<BlockRing>> = vec![outer.map(outer_ring)];
        for (index, hole) in self.tables(table, "holes").iter().enumerate() {
            owner.first.ring = u32::try_from(index + 1).unwrap_or(u32::MAX);
            rings.push(self.hole(hole, &owner, names, map));
        }
        let placement = self.placement(table);
        let datum = self.datum(table);
        let ridge_height = self.maybe(table, "ridge_height");
        let square_up = self.switch(table, "square_up");
        let take_over = self.word(table, "take_over", &TAKE_OVERS);
        self.check_eaves(table, name, id, names);
        Some(Block {
            name: name.to_owned(),
            height: height.ok()?.unwrap_or(0.0),
            placement: placement?,
            rings: rings.into_iter().collect::<Option<Vec<_>>>()?,
            datum: datum?,
            ridge_height: ridge_height.ok()?,
            rafter: None,
            square_up: square_up?,
            take_over: take_over?,
        })
    }

    fn hole(
        &mut self,
        table: &Table<'d>,
        owner: &RingOwner<'_>,
        names: &mut Names,
        map: &mut SourceMap,
    ) -> Option<BlockRing> {
        let start = self.maybe_list::<2>(table, "start");
        let heading = self.value(table, "heading");
        let sides = self.required(table, "sides")?;
        let ring = self.ring(&sides, owner, names, map);
        let walked = ring.as_ref().is_some_and(|ring| ring.is_walked);
        if walked && matches!(start, Ok(None)) {
            self.required(table, "start");
            return None;
        }
        let (ring, start) = (ring?, start.ok()?.unwrap_or_default());
        Some(BlockRing {
            measured: ring.measured,
            sides: ring.sides,
            start: Point2::new(start[0], start[1]),
            heading: heading?,
        })
    }

    /// `start` and `heading`; `at_side` is looked up later.
    fn placement(&mut self, table: &Table<'d>) -> Option<Placement> {
        let start = self.maybe_list::<2>(table, "start");
        let heading = self.value(table, "heading");
        if let Some(at_side) = table.get("at_side") {
            if let Some(other) = table.get("start").or_else(|| table.get("heading")) {
                self.conflict(&at_side, &other, Conflict::OnSideAndAt);
                return None;
            }
        } else if let Some(offset) = table.get("offset") {
            self.report(Problem::error(offset.key_span, Fault::OffsetAlone));
        }
        let (start, heading) = (start.ok()?.unwrap_or_default(), heading?);
        Some(Placement::At { start: Point2::new(start[0], start[1]), heading })
    }

    fn check_eaves(&mut self, table: &Table<'d>, name: &str, id: BlockId, names: &Names) {
        let mut own = names.sides.iter().filter(|side| side.id.block == id).peekable();
        if own.peek().is_none() || own.any(|side| side.is_eave) {
            return;
        }
        let place = table.get("sides").map_or(table.span.clone(), |item| item.key_span);
        self.report(Problem::error(place, Fault::NoEave { block: name.to_owned() }));
    }

    /// Looks up the sides of other blocks and of its own that a block names.
    fn references(&mut self, root: &Table<'d>, read: BlockRead<'d>, names: &Names, all_known: bool) -> Option<Block> {
        let BlockRead { mut block, table } = read;
        let place = self.placement_on_side(&table, names, &block.name);
        let rafter = self.rafter(&table, names, &block.name);
        if let Some(placement) = place.ok()? {
            block.placement = placement;
        }
        block.rafter = rafter.ok()?;
        let is_read = block.rings.iter().flat_map(|ring| &ring.sides).any(|side| {
            side.role == BlockRole::EaveOfUnknownPitch && Self::is_read_on(root, names, &block.name, &side.name)
        });
        self.check_unknown_pitch(&table, &block, is_read, all_known);
        Some(block)
    }

    fn placement_on_side(
        &mut self,
        table: &Table<'d>,
        names: &Names,
        own: &str,
    ) -> Result<Option<Placement>, Reported> {
        let Some(item) = table.get("at_side") else { return Ok(None) };
        let side = self.side(names, &item);
        let offset = self.value(table, "offset").ok_or(Reported)?;
        let side = side.ok_or(Reported)?;
        if side.block == own {
            self.wrong(&item, Fault::OnOwnSide);
            return Err(Reported);
        }
        Ok(Some(Placement::OnSide { side: side.id, offset }))
    }

    fn rafter(&mut self, block: &Table<'d>, names: &Names, own: &str) -> Result<Option<(SideId, f64)>, Reported> {
        let Some(table) = self.table_at(block, "rafter")? else { return Ok(None) };
        self.rafter_of(&table, names, own).map(Some).ok_or(Reported)
    }

    fn rafter_of(&mut self, table: &Table<'d>, names: &Names, own: &str) -> Option<(SideId, f64)> {
        let length = self.value(table, "length");
        let item = self.required(table, "side")?;
        let name = self.words(&item, Expected::TapedSide)?;
        let local = names.sides_named(name).find(|side| side.block == own).cloned();
        let side = match local {
            Some(side) => side,
            None => self.side(names, &item)?,
        };
        if side.block != own || !side.is_eave {
            self.wrong(&item, Fault::NoRafter);
            return None;
        }
        Some((side.id, length?))
    }

    fn check_unknown_pitch(&mut self, table: &Table<'d>, block: &Block, is_read: bool, all_known: bool) {
        let unknown =
            block.rings.iter().flat_map(|ring| &ring.sides).find(|side| side.role == BlockRole::EaveOfUnknownPitch);
        let fixed = block.ridge_height.is_some() || block.rafter.is_some() || is_read;
        match (unknown, fixed) {
            (Some(side), false) if !table.has("ridge_height") && !table.has("rafter") => {
                self.report(Problem::error(table.span.clone(), Fault::PitchNotFixed { side: side.name.clone() }));
            }
            (None, true) if all_known => {
                for item in ["ridge_height", "rafter"].iter().filter_map(|key| table.get(key)) {
                    self.report(Problem::warning(item.key_span, Fault::PitchGiven { key: item.key.to_owned() }));
                }
            }
            _ => {}
        }
        if unknown.is_some()
            && block.ridge_height.is_some_and(|ridge| ridge <= block.height)
            && let Some(item) = table.get("ridge_height")
        {
            self.wrong(&item, Fault::RidgeTooLow { height: block.height });
        }
    }
}

fn outer_ring(ring: RingRead) -> BlockRing {
    BlockRing { measured: ring.measured, sides: ring.sides, start: Point2::origin(), heading: 0.0 }
}
