//! What the page of a sheet says beside the sheet: the roof in 3D, steps that stay ticked, drawings that can be enlarged.

/// Names the roof in 3D, for those who do not see it.
pub const ROOF: &str = "The roof in 3D";
/// How it is moved.
pub const HINT: &str = "Drag to turn the roof, pinch to come nearer, tap a face for its measures, courses and cuts.";
/// What keys do, for whoever hears the view read.
pub const KEYS: &str = "The roof in 3D: arrow keys turn it, plus and minus come nearer and go farther, Home goes back";
/// Above the names of faces.
pub const FACES: &str = "Faces";
/// Leaves a face's card.
pub const LEAVE: &str = "Close";
/// Opens the drawing of a face.
pub const TRUE_SHAPE: &str = "Its true shape, drawn";
/// Sees more closely.
pub const NEARER: &str = "Nearer";
/// Sees more.
pub const FARTHER: &str = "Farther";
/// Looks down on it.
pub const ABOVE: &str = "From above";
/// Back to the first view.
pub const START: &str = "As at first";
/// Gives the roof the whole screen, and takes it back.
pub const WHOLE: &str = "Whole screen";
/// Where north is.
pub const NORTH: &str = "N";
/// Opens a drawing over the whole screen.
pub const ENLARGE: &str = "Enlarge";
/// Leaves it.
pub const CLOSE: &str = "Close";
/// The parts of the page.
pub const PARTS: &str = "Parts of this sheet";
/// Behind how many steps are done, of how many.
pub const DONE: &str = "steps done";
/// Takes all ticks off.
pub const CLEAR: &str = "Clear all ticks";
/// Puts them back.
pub const RESTORE: &str = "Put them back";
/// Steps were ticked on a sheet that said something else.
pub const CHANGED: &str = "The job has changed since its steps were last ticked on this device: all ticks start anew.";
/// There is nowhere to keep ticks.
pub const NOT_KEPT: &str = "This browser keeps nothing for this page: ticks last until it is closed.";
/// Heads of the parts of a face's card.
pub const EDGES: &str = "Edges";
/// Courses.
pub const COURSES: &str = "Courses";
/// Cuts.
pub const CUTS: &str = "Cuts";
/// What its pieces are: so many as they come, so many cut, so many from what was left.
#[must_use]
pub fn pieces(whole: usize, cut: usize, from_offcuts: usize) -> String {
    format!("{whole} whole, {cut} cut, {from_offcuts} from offcuts")
}

/// A face's name where its drawing is opened.
#[must_use]
pub fn of_face(name: &str) -> String {
    format!("Face {name}")
}
