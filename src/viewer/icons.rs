//! Icons of the window's tools and signs, drawn as lines on a grid of 16 by 16.
//!
//! They are drawn by egui's painter in the colour of the words beside them, so that they follow theme and text size. No
//! icon stands for itself alone: each tool has a word too, beside it or for those who point at it or hear it.

use eframe::egui;
use eframe::egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, pos2, vec2};

/// What is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Icon {
    /// A blank sheet with a plus.
    New,
    /// A folder.
    Open,
    /// An arrow into a tray.
    Save,
    /// An arrow out of a tray.
    Write,
    /// An arrow that turns back.
    Undo,
    /// An arrow that turns on.
    Redo,
    /// A pane on the left.
    LeftPane,
    /// A pane on the right.
    RightPane,
    /// Sliders.
    Settings,
    /// A keyboard.
    Keys,
    /// A roof from its corner.
    Roof,
    /// A hip roof from above.
    Plan,
    /// Two pitches.
    Compare,
    /// A camera.
    Photos,
    /// A book.
    Lesson,
    /// An eye.
    View,
    /// Corners of a frame.
    Fit,
    /// A dimension line.
    Measure,
    /// A half-filled disc.
    Shade,
    /// A tag.
    Labels,
    /// A cut through a body.
    Section,
    /// What is wrong: an octagon with a cross.
    Error,
    /// What to look at: a triangle with a stroke.
    Caution,
    /// What to know: a ring with an i.
    Note,
    /// What is in order: a tick.
    Good,
    /// Two sheets, one over the other.
    Copy,
    /// A house with a plus.
    Add,
}

/// Strokes, open or closed, on the grid, its y downwards.
type Strokes = &'static [(&'static [[f32; 2]], bool)];

const SHEET: &[[f32; 2]] = &[[3.5, 1.5], [9.5, 1.5], [12.5, 4.5], [12.5, 14.5], [3.5, 14.5]];
const TRAY: &[[f32; 2]] = &[[2.0, 10.0], [2.0, 14.0], [14.0, 14.0], [14.0, 10.0]];
const WHOLE: &[[f32; 2]] = &[[1.5, 2.5], [14.5, 2.5], [14.5, 13.5], [1.5, 13.5]];

impl Icon {
    fn strokes(self) -> Strokes {
        match self {
            Self::New => &[(SHEET, true), (&[[8.0, 6.5], [8.0, 11.5]], false), (&[[5.5, 9.0], [10.5, 9.0]], false)],
            Self::Open => &[(&[[1.5, 3.5], [6.0, 3.5], [7.5, 5.5], [14.5, 5.5], [14.5, 13.0], [1.5, 13.0]], true)],
            Self::Save => {
                &[(TRAY, false), (&[[8.0, 1.5], [8.0, 10.0]], false), (&[[4.8, 7.0], [8.0, 10.2], [11.2, 7.0]], false)]
            }
            Self::Write => {
                &[(TRAY, false), (&[[8.0, 10.5], [8.0, 2.0]], false), (&[[4.8, 5.0], [8.0, 1.8], [11.2, 5.0]], false)]
            }
            Self::Undo => &[
                (&[[6.0, 2.5], [2.5, 6.0], [6.0, 9.5]], false),
                (&[[2.5, 6.0], [9.5, 6.0], [12.4, 7.2], [13.5, 9.8], [12.4, 12.4], [9.5, 13.5], [6.5, 13.5]], false),
            ],
            Self::Redo => &[
                (&[[10.0, 2.5], [13.5, 6.0], [10.0, 9.5]], false),
                (&[[13.5, 6.0], [6.5, 6.0], [3.6, 7.2], [2.5, 9.8], [3.6, 12.4], [6.5, 13.5], [9.5, 13.5]], false),
            ],
            Self::LeftPane => &[(WHOLE, true), (&[[6.0, 2.5], [6.0, 13.5]], false)],
            Self::RightPane => &[(WHOLE, true), (&[[10.0, 2.5], [10.0, 13.5]], false)],
            Self::Settings => &[
                (&[[1.5, 4.0], [14.5, 4.0]], false),
                (&[[1.5, 8.0], [14.5, 8.0]], false),
                (&[[1.5, 12.0], [14.5, 12.0]], false),
                (&[[5.0, 2.5], [5.0, 5.5]], false),
                (&[[11.0, 6.5], [11.0, 9.5]], false),
                (&[[7.0, 10.5], [7.0, 13.5]], false),
            ],
            Self::Keys => &[
                (&[[1.0, 4.0], [15.0, 4.0], [15.0, 12.5], [1.0, 12.5]], true),
                (&[[3.5, 6.8], [4.6, 6.8]], false),
                (&[[7.4, 6.8], [8.6, 6.8]], false),
                (&[[11.4, 6.8], [12.5, 6.8]], false),
                (&[[4.5, 9.8], [11.5, 9.8]], false),
            ],
            Self::View => &[(
                &[[1.0, 8.0], [4.0, 4.8], [8.0, 3.6], [12.0, 4.8], [15.0, 8.0], [12.0, 11.2], [8.0, 12.4], [4.0, 11.2]],
                true,
            )],
            Self::Fit => &[
                (&[[2.0, 5.5], [2.0, 2.0], [5.5, 2.0]], false),
                (&[[10.5, 2.0], [14.0, 2.0], [14.0, 5.5]], false),
                (&[[14.0, 10.5], [14.0, 14.0], [10.5, 14.0]], false),
                (&[[5.5, 14.0], [2.0, 14.0], [2.0, 10.5]], false),
            ],
            Self::Measure => &[
                (&[[1.5, 8.0], [14.5, 8.0]], false),
                (&[[1.5, 4.0], [1.5, 12.0]], false),
                (&[[14.5, 4.0], [14.5, 12.0]], false),
                (&[[4.0, 6.0], [1.8, 8.0], [4.0, 10.0]], false),
                (&[[12.0, 6.0], [14.2, 8.0], [12.0, 10.0]], false),
            ],
            Self::Labels => &[(&[[1.5, 3.5], [10.0, 3.5], [14.5, 8.0], [10.0, 12.5], [1.5, 12.5]], true)],
            Self::Section => &[
                (&[[1.5, 13.0], [1.5, 8.0], [8.0, 3.0], [14.5, 8.0], [14.5, 13.0]], true),
                (&[[8.0, 0.8], [8.0, 3.8]], false),
                (&[[8.0, 6.0], [8.0, 9.0]], false),
                (&[[8.0, 11.5], [8.0, 15.2]], false),
            ],
            Self::Copy => &[
                (&[[5.5, 5.0], [13.5, 5.0], [13.5, 14.5], [5.5, 14.5]], true),
                (&[[3.0, 11.0], [2.5, 11.0], [2.5, 1.5], [10.5, 1.5], [10.5, 2.5]], false),
            ],
            _ => self.of_views_and_signs(),
        }
    }

    fn of_views_and_signs(self) -> Strokes {
        match self {
            Self::Roof => &[
                (&[[1.0, 9.5], [4.5, 3.0], [11.0, 3.0], [15.0, 9.5]], true),
                (&[[4.5, 3.0], [7.5, 9.5]], false),
                (&[[2.5, 9.5], [2.5, 14.0], [13.5, 14.0], [13.5, 9.5]], false),
            ],
            Self::Plan => &[
                (WHOLE, true),
                (&[[1.5, 2.5], [6.5, 8.0], [1.5, 13.5]], false),
                (&[[14.5, 2.5], [9.5, 8.0], [14.5, 13.5]], false),
                (&[[6.5, 8.0], [9.5, 8.0]], false),
            ],
            Self::Compare => {
                &[(&[[1.0, 13.0], [8.0, 2.5], [15.0, 13.0]], true), (&[[1.0, 13.0], [8.0, 8.0], [15.0, 13.0]], false)]
            }
            Self::Photos => &[(
                &[[1.5, 5.0], [5.0, 5.0], [6.3, 3.0], [9.7, 3.0], [11.0, 5.0], [14.5, 5.0], [14.5, 13.0], [1.5, 13.0]],
                true,
            )],
            Self::Lesson => &[
                (&[[8.0, 4.0], [5.5, 2.8], [1.5, 2.8], [1.5, 12.2], [5.5, 12.2], [8.0, 13.5]], false),
                (&[[8.0, 4.0], [10.5, 2.8], [14.5, 2.8], [14.5, 12.2], [10.5, 12.2], [8.0, 13.5]], false),
                (&[[8.0, 4.0], [8.0, 13.5]], false),
            ],
            Self::Error => &[
                (
                    &[
                        [5.2, 1.2],
                        [10.8, 1.2],
                        [14.8, 5.2],
                        [14.8, 10.8],
                        [10.8, 14.8],
                        [5.2, 14.8],
                        [1.2, 10.8],
                        [1.2, 5.2],
                    ],
                    true,
                ),
                (&[[5.5, 5.5], [10.5, 10.5]], false),
                (&[[10.5, 5.5], [5.5, 10.5]], false),
            ],
            Self::Caution => &[
                (&[[8.0, 1.5], [15.0, 14.0], [1.0, 14.0]], true),
                (&[[8.0, 6.0], [8.0, 9.8]], false),
                (&[[8.0, 11.4], [8.0, 12.2]], false),
            ],
            Self::Note => &[(&[[8.0, 7.2], [8.0, 11.8]], false), (&[[8.0, 4.2], [8.0, 5.2]], false)],
            Self::Good => &[(&[[2.5, 8.5], [6.5, 12.5], [13.5, 3.5]], false)],
            Self::Add => &[
                (&[[1.5, 14.0], [1.5, 8.5], [5.5, 5.0], [9.5, 8.5], [9.5, 14.0]], true),
                (&[[12.5, 2.0], [12.5, 8.0]], false),
                (&[[9.5, 5.0], [15.5, 5.0]], false),
            ],
            _ => &[],
        }
    }

    /// Round parts: middle and radius on the grid, filled or not.
    fn rings(self) -> &'static [([f32; 2], f32, bool)] {
        match self {
            Self::Photos => &[([8.0, 8.8], 2.6, false)],
            Self::View => &[([8.0, 8.0], 2.2, true)],
            Self::Labels => &[([10.0, 8.0], 1.2, true)],
            Self::Shade => &[([8.0, 8.0], 6.2, false)],
            Self::Note => &[([8.0, 8.0], 6.6, false)],
            _ => &[],
        }
    }

    /// Draws it within a square.
    pub fn draw(self, painter: &Painter, square: Rect, ink: Color32) {
        let scale = square.width() / 16.0;
        let at = |[x, y]: [f32; 2]| -> Pos2 { square.min + vec2(x, y) * scale };
        let stroke = Stroke::new(1.4 * scale.max(0.8), ink);
        for (line, is_closed) in self.strokes() {
            let places: Vec<Pos2> = line.iter().map(|place| at(*place)).collect();
            painter.add(if *is_closed { Shape::closed_line(places, stroke) } else { Shape::line(places, stroke) });
        }
        for (middle, radius, is_filled) in self.rings() {
            if *is_filled {
                painter.circle_filled(at(*middle), radius * scale, ink);
            } else {
                painter.circle_stroke(at(*middle), radius * scale, stroke);
            }
        }
        if self == Self::Shade {
            let arc = (0..=16).map(|step| (step as f32 / 16.0 - 0.5) * std::f32::consts::PI);
            let half: Vec<Pos2> = arc.map(|turn| at([8.0 + 6.2 * turn.cos(), 8.0 + 6.2 * turn.sin()])).collect();
            painter.add(Shape::convex_polygon(half, ink, Stroke::NONE));
        }
    }
}

/// A sign in a line of text, as high as its letters.
pub fn sign(ui: &mut egui::Ui, icon: Icon, ink: Color32) {
    let (rect, _) = ui.allocate_exact_size(vec2(15.0, 18.0), egui::Sense::hover());
    let square = Rect::from_center_size(pos2(rect.center().x, rect.center().y), vec2(14.0, 14.0));
    icon.draw(ui.painter(), square, ink);
}
