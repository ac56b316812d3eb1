//! Where the names of marks stand: beside their marks, clear of each other and of other marks.

use eframe::egui::{Pos2, Rect, Vec2, vec2};

/// What a mark's cross takes up, points of the screen from its middle.
const CROSS: f32 = 9.0;

/// A name that stands farther from its mark than this gets a line to it.
pub const NEAR: f32 = 14.0;

/// Distances tried, from a mark to the near edge of its name.
const REACHES: [f32; 4] = [9.0, 24.0, 42.0, 64.0];

/// Directions tried at each distance: to the right first, as one reads.
const WAYS: [[f32; 2]; 8] =
    [[1.0, -0.7], [-1.0, -0.7], [1.0, 0.7], [-1.0, 0.7], [1.0, 0.0], [-1.0, 0.0], [0.0, -1.0], [0.0, 1.0]];

/// Places for the names of marks, of the sizes given, the first ones first. A name for which there is no free place stands
/// where it would alone. O(n²) tries.
#[must_use]
pub fn place(names: &[(Pos2, Vec2)], others: &[Pos2], within: Rect) -> Vec<Rect> {
    let mut taken: Vec<Rect> = Vec::with_capacity(names.len());
    let crosses: Vec<Rect> = others.iter().map(|at| Rect::from_center_size(*at, Vec2::splat(2.0 * CROSS))).collect();
    for (at, size) in names {
        let own = Rect::from_center_size(*at, Vec2::splat(2.0 * CROSS));
        let candidate = |reach: f32, [x, y]: [f32; 2]| {
            let middle = *at + vec2(x * (reach + size.x / 2.0), y * (reach + size.y / 2.0));
            Rect::from_center_size(middle, *size)
        };
        let candidates = REACHES.iter().flat_map(|reach| WAYS.iter().map(move |way| candidate(*reach, *way)));
        let fits = |frame: &Rect| {
            within.contains_rect(*frame)
                && !taken.iter().any(|other| other.intersects(*frame))
                && !crosses.iter().any(|cross| *cross != own && cross.intersects(*frame))
        };
        let alone = candidate(REACHES[0], WAYS[0]);
        taken.push(candidates.into_iter().find(fits).unwrap_or(alone));
    }
    taken
}

#[cfg(test)]
mod tests {
    use super::*;
    use eframe::egui::pos2;

    #[test]
    fn names_of_close_marks_do_not_overlap() {
        let within = Rect::from_min_size(Pos2::ZERO, vec2(600.0, 400.0));
        let marks: Vec<Pos2> = [[300.0, 200.0], [304.0, 202.0], [299.0, 207.0], [310.0, 195.0], [590.0, 10.0]]
            .map(|[x, y]| pos2(x, y))
            .to_vec();
        let names: Vec<(Pos2, Vec2)> = marks.iter().map(|at| (*at, vec2(44.0, 16.0))).collect();
        let frames = place(&names, &marks, within);
        for (index, frame) in frames.iter().enumerate() {
            assert!(within.contains_rect(*frame), "{frame:?}");
            for other in &frames[index + 1..] {
                assert!(!frame.intersects(*other), "{frame:?} and {other:?}");
            }
        }
        // Alone, a name stands at its usual place.
        let alone = place(&names[..1], &marks[..1], within)[0];
        assert!(alone.left() > 300.0 && alone.bottom() < 200.0 && alone.left() < 300.0 + NEAR, "{alone:?}");
    }
}
