//! The label index: where lettering stands already, so that no two lines of it ever overlap and none leaves the page.

use super::grid::Grid;
use super::model::Text;
pub use super::tilted::{Around, Tilted};
use nalgebra::Point2;

/// The drawing area with what stands in it: lettering that may not be touched, lines that had better not be crossed.
#[derive(Clone, Debug)]
pub struct Board {
    area: Around,
    taken: Vec<(Around, Tilted)>,
    lines: Vec<(Around, Point2<f64>, Point2<f64>)>,
    /// Lines that no leader crosses: dimensions.
    bars: Vec<(Point2<f64>, Point2<f64>)>,
    /// Where `taken` and `lines` lie, by their numbers.
    taken_at: Grid,
    lines_at: Grid,
}

impl Board {
    /// An empty area between two corners.
    #[must_use]
    pub fn new(low: Point2<f64>, high: Point2<f64>) -> Self {
        let grid = Grid::new(low, high);
        Self {
            area: Around::of([&low, &high]),
            taken: Vec::new(),
            lines: Vec::new(),
            bars: Vec::new(),
            taken_at: grid.clone(),
            lines_at: grid,
        }
    }

    /// The area's corners.
    #[must_use]
    pub fn corners(&self) -> (Point2<f64>, Point2<f64>) {
        self.area.corners()
    }

    /// Whether a box lies inside the area, clear of all lettering. O(boxes near it).
    #[must_use]
    pub(crate) fn is_free(&self, place: &Tilted) -> bool {
        let around = place.around();
        self.area.encloses(&around) && !self.taken_near(&around).any(|taken| taken.overlaps(place))
    }

    /// Lettering whose boxes touch a box, some perhaps more than once.
    fn taken_near<'a>(&'a self, around: &'a Around) -> impl Iterator<Item = &'a Tilted> {
        let near = self.taken_at.near(around).map(|number| &self.taken[number]);
        near.filter(|(box_of, _)| box_of.touches(around)).map(|(_, taken)| taken)
    }

    /// Whether a box lies inside the area.
    #[must_use]
    pub fn is_inside(&self, place: &Tilted) -> bool {
        self.area.encloses(&place.around())
    }

    /// Numbers of the lines that run through a box, some perhaps more than once.
    fn lines_through<'a>(&'a self, place: &'a Tilted, around: &'a Around) -> impl Iterator<Item = usize> + 'a {
        self.lines_at.near(around).filter(move |&number| {
            let (box_of, from, to) = &self.lines[number];
            box_of.touches(around) && place.meets(from, to)
        })
    }

    /// Whether any line runs through a box. O(lines near it).
    #[must_use]
    pub(crate) fn is_crossed(&self, place: &Tilted) -> bool {
        self.lines_through(place, &place.around()).next().is_some()
    }

    /// How many lines run through a box. O(lines near it).
    #[must_use]
    pub fn crossings(&self, place: &Tilted) -> usize {
        let around = place.around();
        let mut through: Vec<usize> = self.lines_through(place, &around).collect();
        through.sort_unstable();
        through.dedup();
        through.len()
    }

    /// Whether a line runs through lettering. O(boxes near it).
    #[must_use]
    pub(crate) fn strikes(&self, from: &Point2<f64>, to: &Point2<f64>) -> bool {
        let around = Around::of([from, to]);
        self.taken_near(&around).any(|taken| taken.meets(from, to))
    }

    /// How many lines another line crosses. O(lines near it).
    #[must_use]
    pub(crate) fn crossed_by(&self, from: &Point2<f64>, to: &Point2<f64>) -> usize {
        let thin = |from: &Point2<f64>, to: &Point2<f64>| {
            let along = to - from;
            Tilted {
                centre: nalgebra::center(from, to),
                half: [along.norm() / 2.0, 0.05],
                angle: along.y.atan2(along.x),
            }
        };
        self.crossings(&thin(from, to))
    }

    /// Notes a line that no leader may cross.
    pub fn bar(&mut self, from: Point2<f64>, to: Point2<f64>) {
        self.bars.push((from, to));
    }

    /// Whether a leader would cross a line that none may cross; one that only touches it does not. O(such lines).
    #[must_use]
    pub fn is_barred(&self, from: &Point2<f64>, to: &Point2<f64>) -> bool {
        self.bars.iter().any(|(a, b)| cross(from, to, a, b))
    }

    /// Takes a box for lettering or another thing not to be written over.
    pub fn take(&mut self, place: Tilted) {
        let around = place.around();
        self.taken_at.add_box(number(self.taken.len()), &around);
        self.taken.push((around, place));
    }

    /// Notes a line that lettering had better not cross.
    pub(crate) fn note_line(&mut self, from: Point2<f64>, to: Point2<f64>) {
        self.lines_at.add_line(number(self.lines.len()), &from, &to);
        self.lines.push((Around::of([&from, &to]), from, to));
    }
}

/// Whether two straight lines cross, neither of them within a tenth of a millimetre of its end.
fn cross(from: &Point2<f64>, to: &Point2<f64>, a: &Point2<f64>, b: &Point2<f64>) -> bool {
    const TOUCH: f64 = 0.1;
    let (one, other, between) = (to - from, b - a, a - from);
    let turn = one.perp(&other);
    if turn == 0.0 {
        return false;
    }
    let (t, s) = (between.perp(&other) / turn, between.perp(&one) / turn);
    let within = |share: f64, length: f64| share * length > TOUCH && (1.0 - share) * length > TOUCH;
    within(t, one.norm()) && within(s, other.norm())
}

/// A page holds far fewer things than this can count.
fn number(index: usize) -> u32 {
    u32::try_from(index).unwrap_or(u32::MAX)
}

/// Pairs of lines of lettering that overlap, and lines that leave the page: for tests and debug assertions. O(n²).
#[must_use]
pub fn faults(drawing: &crate::drawing::Drawing) -> Vec<String> {
    let boxes: Vec<(&Text, Tilted)> = drawing.texts().map(|text| (text, text.bounds())).collect();
    let page = Board::new(Point2::origin(), Point2::new(drawing.size[0], drawing.size[1]));
    let mut faults = Vec::new();
    for (index, (text, place)) in boxes.iter().enumerate() {
        if !page.is_inside(place) {
            faults.push(format!("\"{}\" leaves the page", text.words));
        }
        if text.height < super::lettering::SMALL {
            faults.push(format!("\"{}\" is only {} mm high", text.words, text.height));
        }
        for (other, other_place) in &boxes[index + 1..] {
            if place.overlaps(other_place) {
                faults.push(format!("\"{}\" overlaps \"{}\"", text.words, other.words));
            }
        }
    }
    faults
}
