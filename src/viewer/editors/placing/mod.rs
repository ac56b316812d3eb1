//! Parts put on the roof by hand: the ghost of a wing, a porch, a lean-to, a dormer, a chimney or a roof window follows the
//! pointer over plan and roof, is tried on the whole roof beside the window, and stays where it is clicked.
//!
//! ```text
//! part, spot ─► entry ─► trial ─► kept ─► (this) ─► draw
//! ```

mod draw;
mod entry;
pub mod kept;
pub mod menu;
pub mod part;
pub mod placed;
pub mod spot;
mod trial;

pub use draw::{OnScreen, dimensions, label_at, on_screen, show};

use crate::base::ids::FaceId;
use crate::viewer::app::state::AppState;
use crate::viewer::editors::views::plan::write::Bare;
use crate::viewer::render::shown::Shown;
use crate::wording::placing as words;
use crate::wording::units::Format;
use eframe::egui;
use eframe::egui::{Key, Modifiers};
use entry::File;
use kept::Active;
use nalgebra::{Point2, Point3, Vector2};
use part::Part;
use placed::Placed;
use spot::{Ground, Host, Snap, Spot, Surface};
use trial::{Question, Tried};

/// What a keyboard's arrow moves with Shift held, in steps.
const FAR: f64 = 10.0;

/// Where on a face a part begins, share of what it reaches up its slope.
const UP: f64 = 0.4;

/// Sides and faces that differ by a smaller share are equally large: the first of them is taken.
const ALIKE: f64 = 1e-6;

/// What lies under the pointer, metres on the site.
#[derive(Clone, Copy, Debug)]
pub struct Pointed {
    /// From above.
    pub plan: Option<Point2<f64>>,
    /// A face, and where on it.
    pub face: Option<(FaceId, Point3<f64>)>,
    /// What a few points of the screen are there.
    pub reach: f64,
}

/// Begins to place a part: its ghost stands at a sensible place until the pointer comes.
pub fn begin(app: &mut AppState, part: Part) {
    let spot = first(app, part);
    if let Err(why) = &spot {
        app.said = (why.clone(), true);
    }
    let placing = &mut app.views.placing;
    (placing.chosen, placing.typing) = (None, None);
    placing.active = spot.is_ok().then_some(Active { part, spot, tried: None, waits: false, wants_focus: true });
}

/// Lengths of a part by hand are multiples of this, metres: five centimetres, an inch and a half.
#[must_use]
pub fn step(app: &AppState) -> f64 {
    bare(app).step() / 2.0
}

/// How the file writes bare lengths.
#[must_use]
pub fn bare(app: &AppState) -> Bare {
    app.written.as_deref().map_or(Bare::Stated, Bare::of)
}

fn own_hosts(shown: &Shown) -> Vec<Host> {
    spot::hosts(&shown.answered.job, &shown.answered.answer.corners)
}

/// Where the ghost stands before the pointer has come: in the middle of the longest side, of the chosen face's if it has
/// one; in the chosen face, else in the largest.
fn first(app: &AppState, part: Part) -> Result<Spot, String> {
    let Some(shown) = &app.shown else { return Err(words::mend_first()) };
    let roof = &shown.answered.answer.roof;
    let chosen = app.look.chosen.and_then(|face| roof.faces.get(face.index()));
    let snap = Snap { step: step(app), reach: 0.0 };
    if part.is_on_side() {
        let hosts = own_hosts(shown);
        let is_chosen =
            |host: &&Host| chosen.is_some_and(|face| face.side().is_some_and(|side| *host.name == side.to_string()));
        let most = hosts.iter().map(Host::length).fold(0.0, f64::max);
        let longest = || hosts.iter().find(|host| host.length() >= most * (1.0 - ALIKE));
        let host = hosts.iter().find(is_chosen).or_else(longest).ok_or_else(|| words::no_side(part.word()))?;
        return on_side(app, part, host, host.length() / 2.0, snap);
    }
    let is_walked = part == Part::Dormer;
    let surfaces: Vec<Surface> = roof.roof_faces().filter_map(|(id, _)| Surface::of(roof, id, is_walked)).collect();
    let area = |surface: &Surface| roof.area(&roof.faces[surface.face.index()]).0;
    let most = surfaces.iter().map(area).fold(0.0, f64::max);
    let is_chosen = |surface: &&Surface| app.look.chosen == Some(surface.face);
    let largest = || surfaces.iter().find(|surface| area(surface) >= most * (1.0 - ALIKE));
    let best = surfaces.iter().find(is_chosen).or_else(largest).cloned();
    let surface = best.ok_or_else(|| words::no_face(part.word()))?;
    let [wide, high] = surface.extent();
    let middle = Point2::new(wide / 2.0, begins(part, &surface, high));
    Ok(on_face(part, surface, middle, snap))
}

fn on_side(app: &AppState, part: Part, host: &Host, middle: f64, snap: Snap) -> Result<Spot, String> {
    if host.length() < part.least() {
        let format = Format::of(app.units());
        return Err(words::too_short(part.word(), &host.name, host.length(), part.least(), format));
    }
    let size = part.sizes()[0];
    // A short side leaves a wing no more than three quarters of it, so that it is seen to be one.
    let width = size[0].min((host.length() * 0.75 / snap.step).floor() * snap.step).max(part.least());
    Ok(Spot::on_side(host.clone(), [width, size[1]], middle, snap))
}

/// How far up a face the middle of a part stands that nobody has placed yet: two fifths, but half a metre of slope below it at
/// least.
fn begins(part: Part, surface: &Surface, high: f64) -> f64 {
    let reach = entry::takes(part, part.sizes()[0], surface)[1];
    (high * UP).max(reach / 2.0 + CLEAR)
}

/// What is left of a face below a part that nobody has placed yet, metres.
const CLEAR: f64 = 0.5;

fn on_face(part: Part, surface: Surface, middle: Point2<f64>, snap: Snap) -> Spot {
    let size = entry::takes(part, part.sizes()[0], &surface);
    Spot::on_face(surface, size, middle, snap)
}

/// The ghost follows the pointer.
pub fn follow(app: &mut AppState, pointed: &Pointed) {
    let (Some(active), Some(shown)) = (&app.views.placing.active, app.shown.clone()) else { return };
    let part = active.part;
    let snap = Snap { step: step(app), reach: pointed.reach };
    let spot = if part.is_on_side() {
        let hosts = own_hosts(&shown);
        match pointed.plan.as_ref().and_then(|place| spot::nearest(&hosts, place)) {
            Some((host, at)) => on_side(app, part, host, at, snap),
            None => Err(words::no_side(part.word())),
        }
    } else {
        let surface = |(face, place)| {
            let surface = Surface::of(&shown.answered.answer.roof, face, part == Part::Dormer)?;
            let middle = surface.frame.to_face(&place);
            Some(on_face(part, surface, middle, snap))
        };
        pointed.face.and_then(surface).ok_or_else(|| words::beside_the_roof(part.word()))
    };
    set(app, spot);
}

fn set(app: &mut AppState, spot: Result<Spot, String>) {
    if let Some(active) = &mut app.views.placing.active
        && active.spot != spot
    {
        (active.spot, active.tried, active.waits) = (spot, None, false);
    }
}

/// Asks whether the ghost can stand where it is, and puts it down if that was waited for. Once a pass.
pub fn pass(app: &mut AppState) {
    app.views.placing.trials.settle();
    let Some(Active { part, spot: Ok(spot), tried: None, .. }) = &app.views.placing.active else { return };
    let Some(shown) = app.shown.clone().filter(|_| app.is_solved()) else { return };
    let tried = if app.errors().next().is_some() {
        Some(Tried::Not(words::mend_first()))
    } else {
        let written = app.written.clone().unwrap_or_default();
        let file = File { job: &shown.answered.job, written: &written, bare: bare(app) };
        let snap = Snap { step: step(app), reach: 0.0 };
        let candidates = entry::candidates(*part, spot, &file, snap);
        let question = Question { text: app.text.clone(), path: app.path.clone(), candidates };
        app.views.placing.trials.ask(&app.backend, &app.wake, &question)
    };
    if let (Some(active), Some(tried)) = (&mut app.views.placing.active, tried) {
        active.tried = Some(tried);
        if active.waits {
            put(app);
        }
    }
}

/// Puts the part down where its ghost is, in one step; where that is not known yet, as soon as it is. Where it can't stand
/// nothing happens but that it says why.
pub fn put(app: &mut AppState) {
    let Some(active) = &mut app.views.placing.active else { return };
    let part = active.part;
    let why = match (&active.spot, &active.tried) {
        (Err(why), _) | (_, Some(Tried::Not(why))) => why.clone(),
        (Ok(_), None) => {
            active.waits = true;
            return;
        }
        (Ok(_), Some(Tried::Fits(fits))) => {
            let on = fits.spot.on().to_owned();
            let text = fits.text.clone();
            app.change(text, &format!("put down a {}", part.word()));
            app.views.placing.leave();
            app.views.placing.chosen = last(app, part);
            let mut name = part.word().to_owned();
            name[..1].make_ascii_uppercase();
            app.said = (words::put_down(&name, &on), false);
            return;
        }
    };
    app.said = (why, true);
}

/// The entry that was written last of a part's list.
fn last(app: &AppState, part: Part) -> Option<Placed> {
    let file = app.written.as_ref()?;
    let last = |list: &str| file.list(list).len().checked_sub(1);
    match part {
        Part::Dormer => last("dormer").map(Placed::Dormer),
        Part::Chimney => last("opening").map(Placed::Prism),
        Part::RoofWindow => last("opening").map(Placed::Opening),
        _ => last("block").map(Placed::Block),
    }
}

/// Keys of the ghost: arrows move it, `[` and `]` take it to the next side or face, Enter puts it down, Esc leaves.
pub fn keys(context: &egui::Context, app: &mut AppState) {
    if !app.views.placing.is_on() {
        return;
    }
    let view = app.views.placing.view;
    let is_elsewhere = context.memory(egui::Memory::focused).is_some_and(|held| Some(held) != view);
    let typing = context.text_edit_focused();
    let pressed = |key: Key, modifiers: Modifiers| context.input_mut(|input| input.consume_key(modifiers, key));
    if pressed(Key::Escape, Modifiers::NONE) {
        app.views.placing.leave();
        return;
    }
    if typing || is_elsewhere {
        return;
    }
    if pressed(Key::Enter, Modifiers::NONE) {
        return put(app);
    }
    for (key, forward) in [(Key::CloseBracket, true), (Key::OpenBracket, false)] {
        if pressed(key, Modifiers::NONE) {
            next(app, forward);
        }
    }
    let by = arrows(context);
    if by != Vector2::zeros() {
        nudge(app, by * step(app));
    }
}

/// What the arrow keys have asked for since the last pass, in steps; they are taken.
#[must_use]
pub fn arrows(context: &egui::Context) -> Vector2<f64> {
    let ways = [
        (Key::ArrowLeft, -Vector2::x()),
        (Key::ArrowRight, Vector2::x()),
        (Key::ArrowUp, Vector2::y()),
        (Key::ArrowDown, -Vector2::y()),
    ];
    context.input_mut(|input| {
        let mut count = |key, modifiers: Modifiers| f64::from(u8::from(input.consume_key(modifiers, key)));
        ways.into_iter().fold(Vector2::zeros(), |sum: Vector2<f64>, (key, way)| {
            sum + way * (FAR * count(key, Modifiers::SHIFT) + count(key, Modifiers::NONE))
        })
    })
}

/// Moves the ghost by key: along its side, to whichever end the arrow points; along the eave and up the slope of a face.
fn nudge(app: &mut AppState, by: Vector2<f64>) {
    let Some(Active { spot: Ok(spot), .. }) = &app.views.placing.active else { return };
    if let Some(moved) = nudged(spot, by) {
        set(app, Ok(moved));
    }
}

/// A part moved by key; `None` where the arrow points across its side.
#[must_use]
pub fn nudged(spot: &Spot, by: Vector2<f64>) -> Option<Spot> {
    match &spot.ground {
        Ground::Side(host) => {
            let share = host.along().dot(&by);
            (share.abs() >= 0.3 * by.norm()).then(|| spot.moved([share.signum() * by.norm(), 0.0]))
        }
        Ground::Face(_) => Some(spot.moved([by.x, by.y])),
    }
}

/// Takes the ghost to the next side or face.
fn next(app: &mut AppState, forward: bool) {
    let (Some(active), Some(shown)) = (&app.views.placing.active, app.shown.clone()) else { return };
    let (part, snap) = (active.part, Snap { step: step(app), reach: 0.0 });
    let after = |at: Option<usize>, count: usize| match (at, forward) {
        (None, _) => 0,
        (Some(at), true) => (at + 1) % count,
        (Some(at), false) => (at + count - 1) % count,
    };
    let on = active.spot.as_ref().ok().map(|spot| spot.on().to_owned());
    let spot = if part.is_on_side() {
        let hosts = own_hosts(&shown);
        let at = hosts.iter().position(|host| Some(&host.name) == on.as_ref());
        let Some(host) = hosts.get(after(at, hosts.len().max(1))) else { return };
        on_side(app, part, host, host.length() / 2.0, snap)
    } else {
        let roof = &shown.answered.answer.roof;
        let surfaces = roof.roof_faces().filter_map(|(id, _)| Surface::of(roof, id, part == Part::Dormer));
        let surfaces: Vec<Surface> = surfaces.collect();
        let at = surfaces.iter().position(|surface| Some(&surface.name) == on.as_ref());
        let Some(surface) = surfaces.get(after(at, surfaces.len().max(1))).cloned() else { return };
        let [wide, high] = surface.extent();
        let middle = Point2::new(wide / 2.0, begins(part, &surface, high));
        Ok(on_face(part, surface, middle, snap))
    };
    set(app, spot);
}

/// Notes the view that shows the ghost; gives it the focus where a part was just chosen, so that keys move the ghost.
pub fn shown_in(ui: &egui::Ui, app: &mut AppState, response: &egui::Response) {
    app.views.placing.view = Some(response.id);
    let Some(active) = &mut app.views.placing.active else { return };
    if std::mem::take(&mut active.wants_focus) {
        response.request_focus();
    }
    let all = egui::EventFilter {
        horizontal_arrows: true,
        vertical_arrows: true,
        escape: true,
        ..egui::EventFilter::default()
    };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, all));
}

/// Where the ghost stands, as far as it is known to; `None` where nothing is placed or the pointer is beside all.
#[must_use]
pub fn spot(app: &AppState) -> Option<&Spot> {
    let active = app.views.placing.active.as_ref()?;
    match &active.tried {
        Some(Tried::Fits(fits)) => Some(&fits.spot),
        _ => active.spot.as_ref().ok(),
    }
}

/// Where the ghost is and whether it can stay, in words; `None` where nothing is placed.
#[must_use]
pub fn told(app: &AppState) -> Option<String> {
    let active = app.views.placing.active.as_ref()?;
    let word = active.part.word();
    let spot = match &active.spot {
        Err(why) => return Some(why.clone()),
        Ok(spot) => spot,
    };
    let (spot, state) = match &active.tried {
        None => (spot, words::trying(word)),
        Some(Tried::Not(why)) => (spot, why.clone()),
        Some(Tried::Fits(fits)) => (&fits.spot, words::FITS.to_owned()),
    };
    let of = |measure| spot.dimensions().into_iter().find(|of| of.of == measure).map_or(0.0, |of| of.metres);
    let [before, after] = [spot::Measure::Before, spot::Measure::After].map(of);
    Some(words::told(word, spot.on(), before, after, Format::of(app.units()), &state))
}
