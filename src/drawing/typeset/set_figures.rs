//! Drawings on pages, alone or as many abreast as there is room for.

use super::frame;
use super::lettering::SMALL;
use super::model::{Drawing, Role, Text};
use super::setter::{GAP, Setter};
use super::table_set::{leading, lines};
use nalgebra::Point2;

impl Setter<'_> {
    pub(super) fn figure(&mut self, drawing: &Drawing, caption: &str) {
        self.break_here();
        let [width, height] = drawing.size;
        self.need(height + 9.0);
        let left = self.left + (self.width - width) / 2.0;
        self.y -= height + 1.0;
        let at = Point2::new(left, self.y);
        self.picture(drawing, at);
        if !caption.is_empty() {
            self.y -= leading(SMALL) + 0.4;
            let room = self.width;
            let at = Point2::new(self.left, self.y);
            let caption = frame::shorten(caption, SMALL, true, room);
            let number = self.thing();
            self.format(Text::new(at, caption).bold(), Role::Paragraph, number);
        }
        self.y -= 3.0;
    }

    /// Sets a drawing, read out as its title.
    pub(super) fn picture(&mut self, drawing: &Drawing, at: Point2<f64>) {
        let number = self.thing();
        let page = self.page();
        let start = page.items.len();
        page.inset(drawing, at);
        page.mark(start, Role::Figure(drawing.title.clone()), number);
    }

    /// Drawings in rows, each row as full as the width allows and set in its middle.
    pub(super) fn figures(&mut self, figures: &[(Drawing, String)]) {
        let mut rest = figures;
        while let Some((first, _)) = rest.first() {
            let mut width = first.size[0];
            let mut count = 1;
            while let Some((next, _)) = rest.get(count).filter(|(next, _)| width + GAP + next.size[0] <= self.width) {
                width += GAP + next.size[0];
                count += 1;
            }
            let (row, after) = rest.split_at(count);
            self.figure_row(row, width);
            rest = after;
        }
    }

    pub(super) fn figure_row(&mut self, row: &[(Drawing, String)], width: f64) {
        self.break_here();
        // What the row leaves is shared among its captions.
        let spare = (self.width - width).max(0.0) / row.len() as f64;
        let caption = |(drawing, caption): &(Drawing, String)| {
            lines(caption, SMALL, true, drawing.size[0] + spare - if row.len() > 1 { 2.0 } else { 0.0 })
        };
        let captions: Vec<Vec<String>> = row.iter().map(caption).collect();
        let lines = captions.iter().map(Vec::len).max().unwrap_or(0) as f64;
        let height = row.iter().map(|(drawing, _)| drawing.size[1]).fold(0.0, f64::max);
        self.need(height + lines * leading(SMALL) + 5.0);
        let top = self.y - 1.0;
        let mut left = self.left;
        for ((drawing, _), caption) in row.iter().zip(captions) {
            let at = Point2::new(left + spare / 2.0, top - drawing.size[1]);
            self.picture(drawing, at);
            let number = self.thing();
            for (index, line) in caption.into_iter().enumerate() {
                let at = Point2::new(left, top - height - 0.4 - leading(SMALL) * (index as f64 + 1.0));
                self.format(Text::new(at, line).bold(), Role::Paragraph, number);
            }
            left += drawing.size[0] + spare + GAP;
        }
        self.y = top - height - 0.4 - lines * leading(SMALL) - 3.6;
    }
}
