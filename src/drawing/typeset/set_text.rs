//! Paragraphs, points and what stands in a frame of its own: cautions, and what forbids the work.

use super::lettering;
use super::model::{Role, Text};
use super::pen::{Pen, Tone};
use super::setter::Setter;
use super::table_set::{leading, lines, lines_after};
use nalgebra::Point2;

/// Between the side of a caution and its text, millimetres.
const INSET: f64 = 4.0;

/// A paragraph of so many lines is not parted.
const WHOLE: usize = 4;

impl Setter<'_> {
    pub(super) fn paragraph(&mut self, words: &str, indent: f64, mark: &str) {
        self.titled("", words, indent, mark);
    }

    /// The height of what stands together of a paragraph.
    pub(super) fn paragraph_start(&self, words: Option<&String>, indent: f64) -> f64 {
        let count = words.map_or(1, |words| lines(words, self.size, false, self.width - indent).len());
        count.min(WHOLE) as f64 * self.line() + 2.0
    }

    /// A paragraph whose first words, its title, stand out.
    pub(super) fn titled(&mut self, title: &str, words: &str, indent: f64, mark: &str) {
        self.break_here();
        let number = self.thing();
        let room = self.width - indent;
        let lead = if title.is_empty() { 0.0 } else { lettering::width(&format!("{title}: "), self.size, true) };
        let lines = lines_after(words, self.size, false, [room - lead, room]);
        // A short paragraph is not parted.
        if lines.len() <= WHOLE {
            self.need(lines.len() as f64 * self.line() + 1.0);
        }
        for (index, line) in lines.into_iter().enumerate() {
            self.need(self.line() + 1.0);
            self.y -= self.line();
            let (left, y, size) = (self.left, self.y, self.size);
            if index == 0 && !mark.is_empty() {
                self.format(Text::new(Point2::new(left, y), mark).height(size), Role::Paragraph, number);
            }
            let lead = if index == 0 { lead } else { 0.0 };
            if lead > 0.0 {
                let title = Text::new(Point2::new(left + indent, y), format!("{title}: ")).height(size).bold();
                self.format(title, Role::Paragraph, number);
            }
            self.format(Text::new(Point2::new(left + indent + lead, y), line).height(size), Role::Paragraph, number);
        }
        self.y -= 1.4;
    }

    /// What can hurt someone, in a frame.
    pub(super) fn caution(&mut self, words: &str) {
        self.framed("Caution", &[words.to_owned()], Tone::Caution);
    }

    /// What forbids the work, in a frame with a heavy line round it.
    pub(super) fn stop(&mut self, points: &[String]) {
        self.framed("Stop", points, Tone::Paper);
    }

    fn framed(&mut self, title: &str, points: &[String], tone: Tone) {
        self.break_here();
        let points = self.framed_lines(points);
        let height = self.framed_height(&points);
        self.need(height + 2.0);
        self.y -= 2.0;
        let (left, right) = (self.left, self.left + self.width);
        let (top, bottom) = (self.y, self.y - height);
        let ring = |l: f64, r: f64| {
            vec![Point2::new(l, bottom), Point2::new(r, bottom), Point2::new(r, top), Point2::new(l, top)]
        };
        self.page().area(tone, vec![ring(left, right)]);
        if tone == Tone::Paper {
            self.page().ring(Pen::Frame, ring(left, right));
        }
        self.page().area(Tone::Ink, vec![ring(left, left + 1.2)]);
        let size = self.size;
        let mut y = top - 1.2 - self.line();
        let number = self.thing();
        self.format(Text::new(Point2::new(left + INSET, y), title).height(size).bold(), Role::Paragraph, number);
        for lines in points {
            let number = self.thing();
            for line in lines {
                y -= leading(size);
                self.format(Text::new(Point2::new(left + INSET, y), line).height(size), Role::Paragraph, number);
            }
        }
        self.y = bottom - 2.4;
    }

    /// The height of a caution.
    pub(super) fn caution_height(&self, words: &str) -> f64 {
        self.framed_height(&self.framed_lines(&[words.to_owned()]))
    }

    /// The height of what forbids the work.
    pub(super) fn stop_height(&self, points: &[String]) -> f64 {
        self.framed_height(&self.framed_lines(points))
    }

    fn framed_lines(&self, points: &[String]) -> Vec<Vec<String>> {
        points.iter().map(|words| lines(words, self.size, false, self.width - 2.0 * INSET)).collect()
    }

    /// The height of a frame round so many lines, its own word above them included.
    fn framed_height(&self, points: &[Vec<String>]) -> f64 {
        (points.iter().map(Vec::len).sum::<usize>() + 1) as f64 * self.line() + 4.0
    }
}
