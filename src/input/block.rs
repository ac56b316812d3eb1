//! `[[block]]`: one roofed body.

use super::measures::Told;
use super::names::Names;
use super::node::Table;
use super::reader::Reader;
use super::ring::{RingOwner, RingRead};
use super::schema::words::TAKE_OVERS;
use super::source_map::SourceMap;
use crate::base::diagnostic::Diagnostic;
use crate::base::ids::{BlockId, SideId};
use crate::base::place::Place;
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
                    self.taken(item, "blocks", map.span(&Place::Block(name.clone())));
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
            let message = format!("block {name:?} does not say how high it stands: 0 above datum is taken");
            self.report(
                Diagnostic::warning("height-assumed", table.span.clone(), message)
                    .expected("`height`: of the measured outline above datum")
                    .hint("areas are right without it; heights, volume and joins of blocks are not"),
            );
        }
        let own_height = height.as_ref().ok().copied().flatten().unwrap_or(0.0);
        let sides = self.required(table, "sides");
        let mut owner = RingOwner { block: name, first: SideId { block: id, ring: 0, side: 0 }, height: own_height };
        let outer = sides.as_ref().and_then(|item| self.ring(item, &owner, names, map));
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
                let message = format!("this block's place is given twice: `at_side` and `{}`", other.key);
                self.conflict(&at_side, &other, message, "either `at_side` with `offset`, or `start` and `heading`");
                return None;
            }
        } else if let Some(offset) = table.get("offset") {
            let error = Diagnostic::error("conflicting-keys", offset.key_span, "`offset` without `at_side`");
            self.report(error.found("`offset`").expected("`at_side = \"store/C\"` beside it"));
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
        let message = format!("no side of block {name:?} is an eave");
        self.report(
            Diagnostic::error("no-eave", place, message)
                .found("verges and abutments only")
                .expected("a side the roof rises from: pitch = 35"),
        );
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

    fn placement_on_side(&mut self, table: &Table<'d>, names: &Names, own: &str) -> Result<Option<Placement>, Told> {
        let Some(item) = table.get("at_side") else { return Ok(None) };
        let side = self.side(names, &item);
        let offset = self.value(table, "offset").ok_or(Told)?;
        let side = side.ok_or(Told)?;
        if side.block == own {
            let found = self.written(&item.span);
            let error = Diagnostic::error("unknown-side", item.span, "a block cannot stand on a side of its own");
            self.report(error.found(found).expected("a side of another block"));
            return Err(Told);
        }
        Ok(Some(Placement::OnSide { side: side.id, offset }))
    }

    fn rafter(&mut self, block: &Table<'d>, names: &Names, own: &str) -> Result<Option<(SideId, f64)>, Told> {
        let Some(table) = self.table_at(block, "rafter")? else { return Ok(None) };
        self.rafter_of(&table, names, own).map(Some).ok_or(Told)
    }

    fn rafter_of(&mut self, table: &Table<'d>, names: &Names, own: &str) -> Option<(SideId, f64)> {
        let length = self.value(table, "length");
        let item = self.required(table, "side")?;
        let name = self.words(&item, "the side whose rafter was taped")?;
        let local = names.sides.iter().find(|side| side.block == own && side.side == name).cloned();
        let side = match local {
            Some(side) => side,
            None => self.side(names, &item)?,
        };
        if side.block != own || !side.is_eave {
            let found = self.written(&item.span);
            let error = Diagnostic::error("unknown-side", item.span, "no rafter rises from that side of this block");
            self.report(error.found(found).expected("an eave of this block"));
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
                let message = format!("the pitch of side {:?} is not measured and nothing fixes it", side.name);
                self.report(
                    Diagnostic::error("pitch-not-fixed", table.span.clone(), message).found("pitch = \"?\"").expected(
                        "`ridge_height = 4.10` or `rafter = { side = \"A\", length = 3.42 }` in this block, or a \
                             [[pitch_reading]] on one of its faces",
                    ),
                );
            }
            (None, true) if all_known => {
                for item in ["ridge_height", "rafter"].iter().filter_map(|key| table.get(key)) {
                    let message = format!("`{}` is not used: every pitch of this block is given", item.key);
                    self.report(
                        Diagnostic::warning("unused-key", item.key_span, message)
                            .hint("write pitch = \"?\" on the sides whose pitch it should find"),
                    );
                }
            }
            _ => {}
        }
        if unknown.is_some()
            && block.ridge_height.is_some_and(|ridge| ridge <= block.height)
            && let Some(item) = table.get("ridge_height")
        {
            let found = self.written(&item.span);
            let error = Diagnostic::error("out-of-range", item.span, "the ridge lies no higher than the outline");
            self.report(error.found(found).expected(format!("more than the block's height, {} m", block.height)));
        }
    }
}

fn outer_ring(ring: RingRead) -> BlockRing {
    BlockRing { measured: ring.measured, sides: ring.sides, start: Point2::origin(), heading: 0.0 }
}
