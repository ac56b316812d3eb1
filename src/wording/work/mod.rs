//! Steps of work in words, and the cautions within them: one list for command line, sheet, page, window and JSON. Every
//! number told is one of the step's values. What stands here without a source is common practice of the trade.

mod capital;
mod caution;
mod covering;
mod felt;
mod metal;
mod repair;

use capital::capital;
pub use caution::{caution, name as caution_name};
pub use covering::length as to_tenth;
use metal::along;

use super::amount::{count, list, list as list_of};
use super::laying::caps_run;
use crate::roof::{EdgeKind, Roof};
use crate::takeoff::card::TabShape;
use crate::takeoff::felt::Layer;
use crate::takeoff::goods::DeckKind;
use crate::takeoff::item::Item;
use crate::takeoff::work::{Caution, Opened, Step, Task};
use crate::wording::units::Format;

/// How what is carried up is put down.
pub const SPREAD_OUT: &str =
    "spread packs and rolls over the roof, high on the slope and over bearers, never in one place";

/// Heading of a step.
#[must_use]
pub fn heading(step: &Step) -> &'static str {
    match &step.task {
        Task::Prepare { .. } => "Make safe and ready",
        Task::Strip { .. } => "Strip the old roof",
        Task::MendDeck { .. } => "Mend the deck",
        Task::Deck { kind: DeckKind::Battens, .. } => "Battens",
        Task::Deck { .. } => "Deck",
        Task::Timbers { .. } => "Timbers",
        Task::CounterBattens { .. } => "Counter-battens",
        Task::VergeUnits { .. } => "Verge units",
        Task::Boards { .. } => "Boards along the edges",
        Task::EaveMetal(_) => "Metal at the eaves",
        Task::Underlay { .. } => "Underlay",
        Task::VergeMetal(_) | Task::VergeCover(_) => "Metal at the verges",
        Task::ValleyLining { .. } => "Valley lining",
        Task::Breaks(_) => "Breaks of slope",
        Task::Starter { .. } => "Starter",
        Task::Courses(_) => "Courses",
        Task::Sheets { .. } => "Sheets",
        Task::Felt(layer) if layer.layer == Layer::Base => "Base layer",
        Task::Felt(_) => "Cap sheet",
        Task::FeltEdges(_) => "Metal at the edges",
        Task::Collar(_) => "Collar",
        Task::Trim(_) => "Courses at the valleys",
        Task::Opening(_) => "Opening",
        Task::Walls { .. } => "Walls",
        Task::TopEdges(_) => "Top edges",
        Task::Caps { kind: EdgeKind::Hip, .. } => "Hip caps",
        Task::Caps { .. } => "Ridge caps",
        Task::Gutters { .. } => "Gutters and pipes",
        Task::Vents { .. } => "Vents",
        Task::Repair(task) => repair::heading(task),
        Task::ClearUp => "Clear up",
        Task::Check => "Look it over",
    }
}

/// What is done in a step: one or more sentences.
#[must_use]
#[allow(clippy::too_many_lines)] // One arm a task.
pub fn message(step: &Step, format: Format) -> String {
    match &step.task {
        Task::Prepare { load } => format!(
            "Scaffold or anchors, ladders, tools and material in their places before anybody works on the slope. {} come to \
             lie on the roof: {SPREAD_OUT}.",
            format.weight(*load)
        ),
        Task::Strip { what, stays, layers, area, weight, skip } => {
            let stays = if stays.is_empty() { String::new() } else { format!(" What stays: {}.", list(stays)) };
            format!(
                "{} of {what}: {}, {}, {} loose in a skip. Strip only what is dried in the same day, and renew old \
                 flashings.{stays}",
                count(*layers as usize, "layer", "layers"),
                format.area(*area),
                format.weight(*weight),
                format.volume(*skip)
            )
        }
        Task::MendDeck { renew } => format!(
            "Renew what is soaked, soft or sagging, {} by the estimate; drive or pull every nail that stands proud.",
            format.area(*renew)
        ),
        Task::Deck { kind, thickness, spacing, gap, gauge, first } => {
            deck(*kind, [*thickness, *spacing], *gap, (*gauge, *first), format)
        }
        Task::Timbers { pieces } => format!(
            "Cut {} by the cutting list, one of each mark first, and try it in its place. Set up plates, then the ridge on props, \
             hips and valleys, rafters in pairs from both sides so that the ridge stays straight, jacks in pairs likewise, \
             trimmers last; check level, plumb and diagonals before nailing off, and brace until the deck is on. Sections, \
             fixings and ties are the engineer's.",
            count(*pieces, "piece", "pieces")
        ),
        Task::CounterBattens { width, thickness, spacing } => format!(
            "{} × {} up the slope over the underlay, one on every rafter, {} apart, from the eave to the ridge: they hold it \
             down, and air and what water gets in run between them.",
            format.fine(*width),
            format.fine(*thickness),
            format.fine(*spacing)
        ),
        Task::VergeUnits { count: units } => format!(
            "{} with the courses, from the eave up: one on each course at each verge, over the last tile, fixed to its batten \
             with two screws; left and right hand as they are called seen from the eave.",
            capital(&count(*units as usize, "piece", "pieces"))
        ),
        Task::Boards { length, vents } => {
            let vents = if *vents > 0 {
                format!(" {} in the soffit, spread along the eaves.", capital(&count(*vents as usize, "vent", "vents")))
            } else {
                String::new()
            };
            format!(
                "Boards and soffit, straight and level, as they are on the order: {} of edges in all.{vents}",
                format.length(*length)
            )
        }
        Task::EaveMetal(metal) => {
            let where_to = if metal.underlay { "Before the underlay, which comes to lie over it" } else { "Below the covering" };
            format!("{where_to}: {}.", along(metal, "eaves", format))
        }
        Task::Underlay { .. } => underlay(&step.task, format),
        Task::VergeMetal(metal) if metal.underlay => format!("Over the underlay: {}.", along(metal, "verges", format)),
        Task::VergeMetal(metal) => format!("{}.", capital(&along(metal, "verges", format))),
        Task::VergeCover(metal) => format!(
            "Over the outer rib of the sheets and down the face of the edge: {}, fixed through the rib.",
            along(metal, "verges", format)
        ),
        Task::ValleyLining { width, along: metal } => format!(
            "Lining {} wide from the foot up, upper pieces over lower ones: {}. Fixed at its edges only, so that it can move.",
            format.fine(*width),
            along(metal, "valleys", format)
        ),
        Task::Breaks(metal) => format!(
            "When the covering below has reached the break: {}, over its head; what begins above lies on it.",
            along(metal, "breaks", format)
        ),
        Task::Starter { .. } | Task::Courses(_) | Task::Sheets { .. } | Task::Trim(_) => {
            covering::message(step, format)
        }
        Task::Felt(layer) => felt::layer(layer, format),
        Task::FeltEdges(edges) => felt::edges(edges, format),
        Task::Collar(collar) => felt::collar(collar, format),
        Task::Opening(opened) => opening(opened, format),
        Task::Walls { along: metal, upstand, cover, step, kick_outs } => {
            let turned = format!("{} up the wall and {} over the covering", format.fine(*upstand), format.fine(*cover));
            let mut told = match (metal, step) {
                (Some(metal), _) => format!(
                    "{}, {turned}, behind the cladding or let into the wall.",
                    capital(&along(metal, "walls", format)),
                ),
                (None, _) => format!("Every piece {turned}, behind the cladding or let into the wall."),
            };
            if let Some(step) = step {
                told.push_str(&format!(
                    " Up raking walls a step piece with every course, each at least {} long, the upper over the lower, \
                     and no metal along the wall beside them.",
                    format.fine(*step)
                ));
            }
            if *kick_outs > 0 {
                told.push_str(&format!(
                    " {} where a side wall ends at an eave, so that water leaves the wall.",
                    capital(&count(*kick_outs as usize, "kick-out", "kick-outs"))
                ));
            }
            told
        }
        Task::TopEdges(metal) => format!(
            "Over the upper edge of the covering and down the face of the edge: {}; bedded, fixed clear of what lies below.",
            along(metal, "top edges", format)
        ),
        Task::Caps { .. } => caps(&step.task, step.again, format),
        Task::Gutters { length, outlets, brackets } => format!(
            "{} of gutters on brackets every {} at most, {}falling to the outlets, {outlets} in all; the drip falls into the \
             gutter, not behind it.",
            format.length(*length),
            format.fine(*brackets),
            if step.uses.contains(&Item::GutterCorner) { "joined round the corners, " } else { "" }
        ),
        Task::Vents { count: vents } => format!(
            "{} as high as the roof allows, cut in before the ridge is closed.",
            capital(&count(*vents as usize, "vent", "vents"))
        ),
        Task::Repair(task) => repair::message(task, format),
        Task::ClearUp => {
            "Nails, cuttings and wrappings off the slope and out of gutters and valleys; a magnet over the ground \
                          round the building."
                .to_owned()
        }
        Task::Check => {
            "From the ridge down, before the scaffold goes: no nail or screw proud, no open joint, every cut edge at valleys \
                        and walls tight, every flashing over what lies below it, outlets free."
                .to_owned()
        }
    }
}

/// Names of the faces a step is about, where it is not about all of them.
#[must_use]
pub fn faces(step: &Step, roof: &Roof) -> String {
    let all = roof.roof_faces().count();
    if step.faces.len() >= all {
        return String::new();
    }
    let names: Vec<String> = step.faces.iter().map(|face| roof.faces[face.index()].name()).collect();
    names.join(", ")
}

/// A step's heading with its faces.
#[must_use]
pub fn title(step: &Step, roof: &Roof) -> String {
    let faces = faces(step, roof);
    let of = if faces.is_empty() { String::new() } else { format!(" ({faces})") };
    format!("{}{of}", heading(step))
}

/// A step as a list shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Listed {
    /// Its heading with its faces.
    pub title: String,
    /// What is done.
    pub message: String,
    /// What to mind.
    pub cautions: Vec<String>,
}

/// All steps in order, each with its cautions: told in full where they first arise, by name in every step after it; a step
/// that goes on with the one just before it, on other faces and with the same cautions, leaves them to it.
#[must_use]
pub fn listed(steps: &[Step], roof: &Roof, format: Format) -> Vec<Listed> {
    let mut known: Vec<Caution> = Vec::new();
    let mut list = Vec::new();
    let mut previous: Option<&Step> = None;
    for step in steps {
        let (again, new): (Vec<Caution>, Vec<Caution>) =
            step.cautions.iter().partition(|caution| known.iter().any(|other| other == *caution));
        let mut cautions: Vec<String> = new.iter().map(|&about| caution(about, format)).collect();
        let goes_on =
            previous.is_some_and(|before: &Step| heading(before) == heading(step) && before.cautions == step.cautions);
        if !again.is_empty() && !goes_on {
            let names: Vec<&str> = again.iter().map(|&about| caution_name(about)).collect();
            cautions.push(format!("Mind again {}.", list_of(&names)));
        }
        known.extend(new);
        previous = Some(step);
        list.push(Listed { title: title(step, roof), message: message(step, format), cautions });
    }
    list
}

fn deck(
    kind: DeckKind,
    [thickness, spacing]: [f64; 2],
    gap: Option<f64>,
    (gauge, first): (Option<f64>, Option<f64>),
    format: Format,
) -> String {
    let (thick, apart) = (format.fine(thickness), format.fine(spacing));
    match (kind, gauge) {
        (DeckKind::Battens, gauge) => format!(
            "{thick} thick on bearers {apart} apart, ends on bearers and staggered{}; straight, for the covering shows it.{}",
            gauge.map_or_else(String::new, |gauge| format!(
                ", {} from one to the next",
                covering::length(gauge, format)
            )),
            first.map_or_else(String::new, |first| format!(
                " The lowest batten that tiles hang on has its upper edge {} up from the deck's edge; below it, at the edge, one \
                 more, higher by a tile's thickness, carries the feet of the lowest tiles.",
                covering::length(first, format)
            ))
        ),
        (DeckKind::Boards | DeckKind::Sheets, _) => format!(
            "{thick} thick on bearers {apart} apart, joints on bearers and staggered{}. Swept clean, dry and flat, every nail \
             home, before anything goes on it.",
            gap.map_or_else(String::new, |gap| format!(", a gap of {} at sheet edges", format.fine(gap)))
        ),
    }
}

fn underlay(task: &Task, format: Format) -> String {
    let Task::Underlay { head_lap, end_lap, over, upstand, double, over_metal, in_valleys, barrier } = task else {
        return String::new();
    };
    let mut told = String::new();
    if let Some(inside) = barrier {
        told.push_str(&format!(
            "First the self-adhesive barrier, from the eave to {} inside the warm wall, measured level. ",
            format.fine(*inside)
        ));
    }
    if *in_valleys {
        told.push_str("A full width down each valley. ");
    }
    told.push_str(&format!(
        "From the eave up, {}{}head lap {}, end laps {} and staggered; {} over ridges and hips, {} up walls. \
         Smooth, without folds.",
        if *over_metal { "over the eave metal, " } else { "" },
        if *double { "in two layers, a narrow row first, " } else { "" },
        format.fine(*head_lap),
        format.fine(*end_lap),
        format.fine(*over),
        format.fine(*upstand)
    ));
    told
}

fn opening(opened: &Opened, format: Format) -> String {
    let Opened {
        what,
        clear,
        apron_course,
        past_side,
        steps: [first, last],
        step_count,
        step_length,
        back_course,
        saddle,
    } = opened;
    let what = if what.is_empty() { "opening".to_owned() } else { what.clone() };
    if *step_count == 0 {
        let back = match (back_course, saddle) {
            (Some(_), true) => "Behind it a saddle that sheds water to both sides, under the sheets above.",
            (Some(_), false) => "The back piece lies under the sheets above.",
            (None, _) => "It reaches the ridge: the caps close on it, and no back piece is laid.",
        };
        return format!(
            "{}: the apron over the sheets below, {} past each side; metal up both sides, over the next rib. Sheets stop {} clear \
             of it. {back}",
            capital(&what),
            format.fine(*past_side),
            format.fine(*clear)
        );
    }
    let back = match (back_course, saddle) {
        (Some(course), true) => format!(
            "Behind it a saddle that sheds water to both sides, and the back piece, {} past each side; course {course} and those \
             above lie over it and take up the grid again.",
            format.fine(*past_side)
        ),
        (Some(course), false) => format!(
            "The back piece, {} past each side; course {course} and those above lie over it and take up the grid again.",
            format.fine(*past_side)
        ),
        (None, _) => "It reaches the ridge: the caps close on it, and no back piece is laid.".to_owned(),
    };
    format!(
        "{}: lay up to course {apron_course}, then the apron over it, {} past each side. From course {first} to course {last} a \
         step piece with every course at each side, {step_count} a side, each at least {} long, the upper over the lower. Courses \
         stop {} clear of it. {back}",
        capital(&what),
        format.fine(*past_side),
        format.fine(*step_length),
        format.fine(*clear)
    )
}

fn caps(task: &Task, again: bool, format: Format) -> String {
    let Task::Caps { kind, why, count: number, exposure, nails, from_strips, warm_below } = task else {
        return String::new();
    };
    let mut told = String::new();
    match from_strips.filter(|_| !again) {
        Some(TabShape::Rectangular) => told.push_str("Caps cut from strips, tab by tab, their sides tapered a little under the lap. "),
        Some(TabShape::Rounded | TabShape::Triangular) => told.push_str(
            "Caps cut from strips as rectangles: the shape of the tabs is cut off, for only a straight edge lies close on the \
             line. ",
        ),
        None => {}
    }
    if again {
        told.push_str("As before: ");
    }
    if let Some(celsius) = warm_below.filter(|_| !again) {
        told.push_str(&format!(
            "Below {} warm each cap on its back before it is bent, so that it does not crack. ",
            format.temperature(celsius)
        ));
    }
    told.push_str(&format!(
        "{}, each showing {}, {}.",
        capital(&count(*number as usize, "cap", "caps")),
        format.fine(*exposure),
        caps_run(*why)
    ));
    if let Some([from_butt, from_side]) = nails.filter(|_| !again) {
        told.push_str(&format!(
            " Nails {} from the butt and {} from the sides, longer than those of the courses; the last cap nailed through its \
             face and sealed.",
            format.fine(from_butt),
            format.fine(from_side)
        ));
    }
    if *kind == EdgeKind::Ridge {
        told.push_str(" Laps face away from the wind; where instructions differ, the maker's hold.");
    }
    told
}
