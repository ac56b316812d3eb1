//! Where the plan's words stand: beside what they name, clear of lines, handles and each other.

use eframe::egui::{Pos2, Rect, Vec2, vec2};

/// A line that goes by less than this along an axis, in points of the screen, stands still along it.
const STANDS: f32 = 1e-6;

/// Lines, and what takes up room already.
#[derive(Clone, Debug, Default)]
pub struct Taken {
    lines: Vec<[Pos2; 2]>,
    frames: Vec<Rect>,
}

/// Words that lie on something are this much worse than words farther away, points of the screen.
const ON_LINE: f32 = 60.0;
const ON_FRAME: f32 = 400.0;

impl Taken {
    /// A line that words keep off.
    pub fn line(&mut self, ends: [Pos2; 2]) {
        self.lines.push(ends);
    }

    /// A rectangle that words keep off: a handle.
    pub fn frame(&mut self, frame: Rect) {
        self.frames.push(frame);
    }

    /// Where words of a size about an anchor stand best: of the places tried, the one that lies on least, then the first.
    /// O(places × lines).
    pub fn place(&mut self, middles: impl IntoIterator<Item = Pos2>, size: Vec2, within: Rect) -> Option<Rect> {
        let frames = middles.into_iter().map(|middle| Rect::from_center_size(middle, size));
        let inside = frames.filter(|frame| within.contains_rect(*frame));
        let best = inside.enumerate().map(|(tried, frame)| (self.cost(&frame) + tried as f32, frame));
        let best = best.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, frame)| frame)?;
        self.frames.push(best);
        Some(best)
    }

    /// The same, but nowhere rather than on a line or on other words.
    pub(crate) fn place_clear(
        &mut self,
        middles: impl IntoIterator<Item = Pos2>,
        size: Vec2,
        within: Rect,
    ) -> Option<Rect> {
        let clear: Vec<Pos2> =
            middles.into_iter().filter(|middle| self.cost(&Rect::from_center_size(*middle, size)) == 0.0).collect();
        self.place(clear, size, within)
    }

    fn cost(&self, frame: &Rect) -> f32 {
        let lines = self.lines.iter().filter(|[from, to]| meets(frame, *from, *to)).count() as f32;
        let frames = self.frames.iter().filter(|other| other.intersects(*frame)).count() as f32;
        lines * ON_LINE + frames * ON_FRAME
    }
}

/// Places beside the middle of a line, `outward` first, nearer ones first, then slid along it.
pub fn beside(ends: [Pos2; 2], outward: Vec2, size: Vec2) -> Vec<Pos2> {
    let (middle, along) = (ends[0] + (ends[1] - ends[0]) / 2.0, (ends[1] - ends[0]).normalized());
    let half = size / 2.0;
    let reach = outward.x.abs() * half.x + outward.y.abs() * half.y;
    let mut places = Vec::new();
    for slide in [0.0, 1.0, -1.0] {
        let at = middle + along * (slide * (along.x.abs() * half.x + along.y.abs() * half.y + 12.0));
        for clear in [7.0, 15.0, 24.0, 36.0] {
            places.extend([1.0, -1.0].map(|side| at + outward * (side * (reach + clear))));
        }
    }
    places
}

/// Places about a point: away from the middle of what it belongs to first, then all round, then farther.
pub fn about(at: Pos2, away: Vec2, size: Vec2) -> Vec<Pos2> {
    let first = away.angle();
    let turns = [0.0, 0.6, -0.6, 1.2, -1.2, 1.9, -1.9, 2.6, -2.6, std::f32::consts::PI];
    let mut places = Vec::new();
    for clear in [8.0, 16.0, 26.0] {
        for turn in turns {
            let way = Vec2::angled(first + turn);
            places.push(at + way * (clear + way.x.abs() * size.x / 2.0 + way.y.abs() * size.y / 2.0));
        }
    }
    places
}

/// Whether a line meets a rectangle.
fn meets(frame: &Rect, from: Pos2, to: Pos2) -> bool {
    // Cut to the rectangle, side by side; what is left over lies in it.
    let (mut first, mut last) = (0.0_f32, 1.0_f32);
    let way = to - from;
    for (start, step, low, high) in
        [(from.x, way.x, frame.left(), frame.right()), (from.y, way.y, frame.top(), frame.bottom())]
    {
        if step.abs() < STANDS {
            if start < low || start > high {
                return false;
            }
            continue;
        }
        let (a, b) = ((low - start) / step, (high - start) / step);
        first = first.max(a.min(b));
        last = last.min(a.max(b));
    }
    first <= last
}

/// Room a text takes with its paper.
#[must_use]
pub(crate) fn padded(size: Vec2) -> Vec2 {
    size + vec2(6.0, 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use eframe::egui::pos2;

    #[test]
    fn words_keep_off_lines_and_each_other() {
        let within = Rect::from_min_size(Pos2::ZERO, vec2(400.0, 300.0));
        let eave = [pos2(100.0, 200.0), pos2(300.0, 200.0)];
        let mut taken = Taken::default();
        taken.line(eave);
        // The drip line, 17 points outside: between the two there is no room for words 20 high.
        taken.line([pos2(90.0, 217.0), pos2(310.0, 217.0)]);
        let size = vec2(50.0, 20.0);
        let first = taken.place(beside(eave, vec2(0.0, 1.0), size), size, within).unwrap_or(within);
        assert!(first.top() > 217.0 || first.bottom() < 200.0, "{first:?}");
        let second = taken.place(beside(eave, vec2(0.0, 1.0), size), size, within).unwrap_or(within);
        assert!(!first.intersects(second), "{first:?} {second:?}");
        assert!(!meets(&second, eave[0], eave[1]), "{second:?}");
    }

    #[test]
    fn a_line_that_passes_a_corner_of_a_frame_meets_it() {
        let frame = Rect::from_min_size(pos2(10.0, 10.0), vec2(10.0, 10.0));
        assert!(meets(&frame, pos2(0.0, 12.0), pos2(12.0, 0.0)) == meets(&frame, pos2(12.0, 0.0), pos2(0.0, 12.0)));
        assert!(meets(&frame, pos2(5.0, 18.0), pos2(18.0, 5.0)));
        assert!(!meets(&frame, pos2(5.0, 12.0), pos2(12.0, 5.0)));
        assert!(meets(&frame, pos2(12.0, 12.0), pos2(13.0, 13.0)));
        assert!(!meets(&frame, pos2(0.0, 15.0), pos2(9.0, 15.0)));
    }
}
