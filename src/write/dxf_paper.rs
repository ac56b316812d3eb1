//! A drawing's sheet in a DXF file's paper space: millimetres, its frame, and a window through which the model is seen at the
//! drawing's scale, so that it prints as its PDF does.
//!
//! In release 12 the view of a VIEWPORT entity stands in extended data, the list `MVIEW` of the application `ACAD`.

use super::dxf_out::{Out, polyline};
use crate::drawing::View;
use nalgebra::Point2;

/// The layer of the sheet's own entities.
pub(super) const SHEET_LAYER: &str = "sheet";

/// Writes the sheet: its frame, the view of the paper itself, and the view of the model. `view` is how the model, in the file's
/// unit, lies on paper of a size in millimetres.
pub(super) fn sheet(out: &mut Out, [width, height]: [f64; 2], view: &View) {
    let middle = [width / 2.0, height / 2.0];
    let seen = view.to_model(&Point2::from(middle));
    let corners = [[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]].map(|[x, y]| [x, y, 0.0]);
    out.in_paper_space(|out| polyline(out, SHEET_LAYER, corners.into_iter(), true, false));
    // The first is the paper, seen a little from further off than it is large.
    window(out, 1, (middle, [width, height]), (middle, height * 1.1));
    window(out, 2, (middle, [width, height]), ([seen.x, seen.y], height / view.factor));
}

/// A VIEWPORT: where it lies on the paper and how large it is, the middle of what it shows and how much of it, upwards.
fn window(out: &mut Out, number: u8, (middle, size): ([f64; 2], [f64; 2]), (seen, tall): ([f64; 2], f64)) {
    out.in_paper_space(|out| out.entity("VIEWPORT", SHEET_LAYER));
    out.point(10, [middle[0], middle[1], 0.0]);
    out.real(40, size[0]);
    out.real(41, size[1]);
    out.put(68, number);
    out.put(69, number);
    out.put(1001, "ACAD");
    out.put(1000, "MVIEW");
    out.put(1002, "{");
    out.put(1070, 16);
    // Looked at from straight above, untwisted.
    for place in [[0.0; 3], [0.0, 0.0, 1.0]] {
        out.point(1010, place);
    }
    let numbers = |out: &mut Out, all: &[f64]| all.iter().for_each(|value| out.real(1040, *value));
    let flags = |out: &mut Out, all: &[u8]| all.iter().for_each(|value| out.put(1070, value));
    // Twist, height and middle of the view, lens, clips; modes; snap and grid; whether hidden lines go when plotted.
    numbers(out, &[0.0, tall, seen[0], seen[1], 50.0, 0.0, 0.0]);
    flags(out, &[0, 100, 1, 0, 0, 0, 0, 0]);
    numbers(out, &[0.0, 0.0, 0.0, 10.0, 10.0, 10.0, 10.0]);
    flags(out, &[0]);
    // No layers are frozen.
    for brace in ["{", "}", "}"] {
        out.put(1002, brace);
    }
}
