//! Group codes and values of a DXF file as they are written, and the one entity that all of its writers use.

use std::fmt::Write;

/// Group codes and values, two lines each.
#[derive(Default)]
pub(super) struct Out {
    pub(super) text: String,
    /// Whether entities lie on the sheet, not in the model.
    is_on_sheet: bool,
}

impl Out {
    pub(super) fn put(&mut self, code: u16, value: impl std::fmt::Display) {
        // Writing to a string cannot fail.
        let _ = write!(self.text, "{code:3}\n{value}\n");
    }

    pub(super) fn real(&mut self, code: u16, value: f64) {
        // The shortest decimal that reads back as the same number, always with a point.
        self.put(code, format_args!("{value:?}"));
    }

    pub(super) fn point(&mut self, code: u16, place: [f64; 3]) {
        for (step, value) in (0_u16..).zip(place) {
            self.real(code + step * 10, value);
        }
    }

    pub(super) fn section(&mut self, name: &str) {
        self.put(0, "SECTION");
        self.put(2, name);
    }

    pub(super) fn end_section(&mut self) {
        self.put(0, "ENDSEC");
    }

    pub(super) fn entity(&mut self, kind: &str, layer: &str) {
        self.put(0, kind);
        self.put(8, layer);
        if self.is_on_sheet {
            self.put(67, 1);
        }
    }

    /// What it writes, as lying on the sheet.
    pub(super) fn in_paper_space(&mut self, write: impl FnOnce(&mut Self)) {
        self.is_on_sheet = true;
        write(self);
        self.is_on_sheet = false;
    }
}

pub(super) fn polyline(
    out: &mut Out,
    layer: &str,
    points: impl Iterator<Item = [f64; 3]>,
    closed: bool,
    in_space: bool,
) {
    out.entity("POLYLINE", layer);
    out.put(66, 1);
    out.point(10, [0.0; 3]);
    out.put(70, u8::from(closed) + if in_space { 8 } else { 0 });
    for point in points {
        out.entity("VERTEX", layer);
        out.point(10, point);
        out.put(70, if in_space { 32 } else { 0 });
    }
    out.entity("SEQEND", layer);
}
