//! An opening as the courses reach it.

/// An opening and the courses that meet it. Courses are counted from the eave, the lowest 1.
#[derive(Clone, Debug, PartialEq)]
pub struct Opened {
    /// What it is, in the user's words.
    pub what: String,
    /// Round it, kept clear by the courses.
    pub clear: f64,
    /// The course that the apron lies over.
    pub apron_course: usize,
    /// Past each side, of the apron and of the back piece.
    pub past_side: f64,
    /// First and last course with a step piece at each side.
    pub steps: [usize; 2],
    /// Step pieces at each side.
    pub step_count: u32,
    /// Least length of a step piece.
    pub step_length: f64,
    /// The course that lies over the back piece; `None` where the opening reaches the ridge.
    pub back_course: Option<usize>,
    /// Whether a saddle stands behind it.
    pub saddle: bool,
}

impl Opened {
    pub(super) fn values(&self) -> Vec<(&'static str, f64)> {
        let mut values = vec![("clear", self.clear), ("past_side", self.past_side)];
        if self.step_count == 0 {
            return values;
        }
        values.extend([
            ("apron_course", self.apron_course as f64),
            ("first_step_course", self.steps[0] as f64),
            ("last_step_course", self.steps[1] as f64),
            ("step_pieces", f64::from(self.step_count)),
            ("step_length", self.step_length),
        ]);
        values.extend(self.back_course.map(|course| ("back_course", course as f64)));
        values
    }
}
