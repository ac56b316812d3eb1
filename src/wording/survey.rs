//! The adjustment in words: what an observation is called, which to doubt and why, what is not determined, what to measure
//! next.

use super::amount::{count, distance, gap, list, to_millimetre};
use super::estimate;
use crate::base::estimate::Estimate;
use crate::base::ids::{PlaneId, PointId, SideId};
use crate::job::{Job, rings};
use crate::survey::finding::Finding;
use crate::survey::model::{KnownThing, Observation, ObservationKind, RingInput, Survey};
use crate::survey::observation::{LensNumber, Listed, ObservationId, Proposal, Station, Unit};
use crate::survey::reliability::CRITICAL;
use crate::survey::report::{
    BestNext, Choice, ChosenBy, LARGEST_SD, RepeatedPhoto, Report, Suspect, Swapped, Undetermined, WhyOpen,
};
use crate::wording::units::Format;

/// What the names of sides, points and faces are taken from.
#[derive(Clone, Debug)]
pub struct Names<'a> {
    rings: Vec<RingInput<'a>>,
    survey: &'a Survey,
}

/// What stands for a name that is not there.
const NAMELESS: &str = "?";

impl<'a> Names<'a> {
    /// Of a job.
    #[must_use]
    pub fn of(job: &'a Job) -> Self {
        Self { rings: rings::inputs(job), survey: &job.survey }
    }

    /// Of outlines and a survey by themselves.
    #[must_use]
    pub fn new(rings: &[RingInput<'a>], survey: &'a Survey) -> Self {
        Self { rings: rings.to_vec(), survey }
    }

    /// A point's name.
    #[must_use]
    pub fn point(&self, id: PointId) -> &'a str {
        self.survey.points.get(id.index()).map_or(NAMELESS, |point| &point.name)
    }

    /// The name of a face given by points.
    #[must_use]
    pub fn face(&self, id: PlaneId) -> &'a str {
        self.survey.faces.get(id.index()).map_or(NAMELESS, |face| &face.name)
    }

    /// The names of points, listed.
    #[must_use]
    pub fn points(&self, ids: &[PointId]) -> String {
        list(&ids.iter().map(|&id| self.point(id)).collect::<Vec<_>>())
    }

    /// The names of faces given by points, listed.
    #[must_use]
    pub fn faces(&self, ids: &[PlaneId]) -> String {
        list(&ids.iter().map(|&id| self.face(id)).collect::<Vec<_>>())
    }

    /// A side's block and its own name.
    fn side(&self, id: SideId) -> (&'a str, &'a str) {
        let outer = self.rings.iter().enumerate().filter(|(_, ring)| ring.ring == 0).map(|(index, _)| index);
        let first = outer.clone().nth(id.block.index()).unwrap_or(usize::MAX);
        let Some(ring) = self.rings.get(first.saturating_add(id.ring as usize)) else { return (NAMELESS, NAMELESS) };
        (ring.block, ring.sides.get(id.side as usize).copied().unwrap_or(NAMELESS))
    }

    /// A photo by its file, or by its number where it has none.
    #[must_use]
    pub fn photo(&self, photo: usize) -> String {
        self.survey.photos.get(photo).and_then(|p| p.file.clone()).unwrap_or_else(|| format!("photo {}", photo + 1))
    }

    /// Whether a photo is a plan.
    fn is_plan(&self, photo: usize) -> bool {
        self.survey.photos.get(photo).is_some_and(|photo| photo.sheet.is_some())
    }

    /// What an observation is called: "tape A-C", "length store/A", "mark E1 in front.jpg".
    #[must_use]
    pub fn observation(&self, id: ObservationId) -> String {
        let side = |id: SideId| {
            let (block, side) = self.side(id);
            format!("{block}/{side}")
        };
        match id {
            ObservationId::Length(id) => format!("length {}", side(id)),
            ObservationId::Turn(id) => format!("turn at the end of {}", side(id)),
            ObservationId::Listed { index, part, .. } => {
                self.survey.observations.get(index).map_or_else(|| NAMELESS.to_owned(), |one| self.listed(one, part))
            }
            ObservationId::OnFace { face, point } => {
                format!("point {} on face {}", self.point(point), self.face(face))
            }
            ObservationId::Mark { photo, point } => format!("mark {} in {}", self.point(point), self.photo(photo)),
            ObservationId::Line { photo, ends: [a, b], place } => {
                format!("place {} on line {}-{} in {}", place + 1, self.point(a), self.point(b), self.photo(photo))
            }
            ObservationId::PlumbEdge { photo, edge } => format!("plumb edge {} in {}", edge + 1, self.photo(photo)),
            ObservationId::Lens { camera, number } => {
                let name = self.survey.cameras.get(camera).map_or(NAMELESS, |camera| &camera.name);
                let number = match number {
                    LensNumber::Focal => "focal length",
                    LensNumber::CentreX => "centre x",
                    LensNumber::CentreY => "centre y",
                    LensNumber::K1 => "k1",
                    LensNumber::K2 => "k2",
                };
                format!("{number} of camera {name}")
            }
            ObservationId::Scale { photo } => format!("scale of {}", self.photo(photo)),
            ObservationId::Frame => "place and heading of an outline".to_owned(),
        }
    }

    fn listed(&self, observation: &Observation, part: usize) -> String {
        match &observation.kind {
            ObservationKind::Tape { from, to, .. } => format!("tape {}-{}", self.point(*from), self.point(*to)),
            ObservationKind::Known { from, to, what, count, .. } => {
                format!("known size {}-{} ({})", self.point(*from), self.point(*to), known_thing(*what, *count))
            }
            ObservationKind::Offset { points, line, .. } => {
                let of = match part.checked_sub(1).and_then(|part| points.get(part)) {
                    Some(point) => self.point(*point).to_owned(),
                    None => self.points(points),
                };
                format!("offset of {of} from {}-{}", self.point(line[0]), self.point(line[1]))
            }
            ObservationKind::PitchReading { face, .. } => format!("pitch reading {}", self.face(*face)),
            ObservationKind::Level { points } => {
                let names: Vec<&str> = points.iter().map(|p| self.point(*p)).collect();
                format!("level {}: {}", names.join(" "), names.get(part).unwrap_or(&NAMELESS))
            }
            ObservationKind::Plumb { a, b } => format!("plumb {}-{}", self.point(*a), self.point(*b)),
            ObservationKind::Square { at, arms } => {
                format!("square {}-{}-{}", self.point(arms[0]), self.point(*at), self.point(arms[1]))
            }
            ObservationKind::EqualPitch { faces } => {
                let name = |k: usize| faces.get(k).map_or(NAMELESS, |&id| self.face(id));
                format!("equal pitch {}-{}", name(0), name(part + 1))
            }
            ObservationKind::Upright { point, over } => {
                format!("upright {} over {}-{}", self.point(*point), self.point(over[0]), self.point(over[1]))
            }
        }
    }

    /// What a measurement still to be taken is called: "tape A-C", "pitch reading south".
    #[must_use]
    pub(crate) fn proposal(&self, proposal: Proposal) -> String {
        match proposal {
            Proposal::Tape(a, b) => format!("tape {}-{}", self.station(a), self.station(b)),
            Proposal::PitchReading(face) => format!("pitch reading {}", self.face(face)),
            Proposal::SidePitch(id) => {
                let (block, side) = self.side(id);
                format!("pitch of {block}/{side} with a digital level")
            }
        }
    }

    fn station(&self, station: Station) -> String {
        match station {
            Station::Point(point) => self.point(point).to_owned(),
            Station::Corner(id) => {
                let (block, side) = self.side(id);
                let one_block = self.rings.iter().all(|ring| ring.block == block);
                if one_block { side.to_owned() } else { format!("{block}.{side}") }
            }
        }
    }
}

/// A finding of the adjustment.
#[must_use]
pub fn finding(names: &Names<'_>, finding: &Finding, format: Format) -> String {
    match finding {
        Finding::Disagree { chi2, bounds: [low, high], surplus, widening } => format!(
            "the measurements disagree more than they should, so every ± is widened {widening:.2} times until that is \
             settled: chi-square {chi2:.1}, expected {low:.1} to {high:.1} for {}",
            count(*surplus, "surplus measurement", "surplus measurements")
        ),
        Finding::Doubtful { suspect, among } => doubtful(names, suspect, *among, format),
        Finding::Undetermined(open @ Undetermined::Photo { .. }) => undetermined(names, open, format),
        Finding::Undetermined(open) => format!("not determined: {}", undetermined(names, open, format)),
        Finding::Chosen(choice) => chosen(names, choice, format),
        Finding::Swapped(Swapped { photo, points: [a, b] }) => format!(
            "marks {} and {} in {} seem to bear each other's names: with these changed over the measurements agree",
            names.point(*a),
            names.point(*b),
            names.photo(*photo)
        ),
        Finding::RepeatedPhoto(RepeatedPhoto { first, second }) => format!(
            "photo {} ({}) is the same picture as photo {} ({}): it counts twice and makes all look surer than it is; take \
             one out",
            second + 1,
            names.photo(*second),
            first + 1,
            names.photo(*first)
        ),
        Finding::Unchecked { observations } => unchecked(names, observations),
    }
}

/// Most unchecked readings named.
const MOST_NAMED: usize = 6;

fn unchecked(names: &Names<'_>, observations: &[ObservationId]) -> String {
    let named: Vec<String> = observations.iter().take(MOST_NAMED).map(|&one| names.observation(one)).collect();
    let rest = if observations.len() > MOST_NAMED { " and more" } else { "" };
    format!(
        "no other measurement checks {} ({}{rest}): an error there would not be seen; measure twice",
        count(observations.len(), "reading", "readings"),
        named.join(", ")
    )
}

/// What was chosen between states that the measurements do not tell apart, and what settles it.
fn chosen(names: &Names<'_>, choice: &Choice, format: Format) -> String {
    let by = match choice.by {
        ChosenBy::Axes => "stated directions",
        ChosenBy::RoughPlaces => "rough places",
        ChosenBy::Feet => "feet below what stands on them",
        ChosenBy::Cameras => "cameras above the ground",
        ChosenBy::Ridges => "ridges higher than eaves",
        ChosenBy::OrderOfPoints => "the points of each face named anticlockwise as seen from above",
    };
    let (other, point) =
        (if choice.upside_down { "upside down" } else { "as its mirror image" }, names.point(choice.point));
    format!(
        "the measurements fit the roof {other} as well, with {point} {} from here; {by} were taken to be right: a rough \
         place of {point} settles it",
        distance(choice.apart, format)
    )
}

/// What is wrong with a measurement, as far as the others tell, and what to do.
fn doubtful(names: &Names<'_>, suspect: &Suspect, among: usize, format: Format) -> String {
    let error = suspect.error();
    let is_scale = matches!(suspect.observation, ObservationId::Scale { .. });
    let size = match suspect.unit {
        Unit::Metre => distance(error.abs(), format),
        Unit::Radian => format!("{:.1}°", error.abs().to_degrees()),
        Unit::Pixel => format!("{:.0} px", error.abs()),
        Unit::One if is_scale => format!("{:.1} %", 100.0 * error.abs()),
        Unit::One => format!("{:.3}", error.abs()),
    };
    let is_length = matches!(
        suspect.observation,
        ObservationId::Length(_) | ObservationId::Listed { what: Listed::Tape | Listed::Known, .. }
    );
    let is_offset = matches!(suspect.observation, ObservationId::Listed { what: Listed::Offset, .. });
    let way = match (is_length, suspect.unit, error > 0.0) {
        (true, _, true) => "too long",
        (true, _, false) => "too short",
        (false, Unit::Radian, true) => "too much",
        (false, Unit::Radian, false) => "too little",
        _ if is_scale && error > 0.0 => "too large",
        _ if is_scale => "too small",
        _ if is_offset && error > 0.0 => "too far out",
        _ if is_offset => "not far enough out",
        _ => "off",
    };
    let again = match suspect.observation {
        ObservationId::Listed { what: Listed::Known, .. } => "tape it",
        _ if is_offset && is_on_the_other_side(names, suspect) => {
            "as if it stood on the wall's other side: as you face the wall from outside, its left point is named first"
        }
        ObservationId::Length(_)
        | ObservationId::Turn(_)
        | ObservationId::Listed { what: Listed::Tape | Listed::PitchReading | Listed::Offset, .. } => {
            "measure it again"
        }
        ObservationId::Mark { .. } | ObservationId::Line { .. } | ObservationId::PlumbEdge { .. } => {
            "look at the mark again"
        }
        _ => "look at it on site again",
    };
    let among = if among > 1 { format!(", one of {among} that may be wrong") } else { String::new() };
    format!(
        "{} is in doubt{among}: by the others it is about {size} {way}; {again} (test value {:.1}, doubtful above \
         {CRITICAL:.1})",
        names.observation(suspect.observation),
        suspect.w.abs()
    )
}

/// Whether an offset would be right with its wall's points named the other way round: then it is off by twice itself.
fn is_on_the_other_side(names: &Names<'_>, suspect: &Suspect) -> bool {
    let ObservationId::Listed { index, .. } = suspect.observation else { return false };
    match names.survey.observations.get(index).map(|one| &one.kind) {
        Some(ObservationKind::Offset { distance, .. }) => {
            (suspect.error() - 2.0 * distance).abs() < ABOUT_TWICE * distance
        }
        _ => false,
    }
}

/// Twice an offset, within this part of it.
const ABOUT_TWICE: f64 = 0.5;

/// A thing of which the size is known, or several: "door", "brick courses".
fn known_thing(what: KnownThing, number: u32) -> &'static str {
    let [one, many] = match what {
        KnownThing::Door => ["door", "doors"],
        KnownThing::Window => ["window", "windows"],
        KnownThing::BoardPanel => ["board panel", "board panels"],
        KnownThing::BrickCourse => ["brick course", "brick courses"],
        KnownThing::BlockCourse => ["block course", "block courses"],
        KnownThing::CladdingBoard => ["cladding board", "cladding boards"],
        KnownThing::Other => ["thing", "things"],
    };
    if number == 1 { one } else { many }
}

/// What the measurements do not fix, with the reason and what would.
#[must_use]
pub fn undetermined(names: &Names<'_>, open: &Undetermined, format: Format) -> String {
    match open {
        Undetermined::Size => {
            "size: no tape and no two given points tell how large it is; tape one length between two points".to_owned()
        }
        Undetermined::Point { point, open, marked } => {
            let named = ["x", "y", "height"].into_iter().zip(open).filter(|(_, open)| **open).map(|(name, _)| name);
            let hint = match marked {
                Some(0) => "; it is marked in no photo: mark it in two, or tape to it",
                Some(1) => "; it is marked in 1 photo: mark it in another, or tape to it",
                _ => "",
            };
            let named: Vec<&str> = named.collect();
            format!("point {}: no measurement fixes its {}{hint}", names.point(*point), named.join(", "))
        }
        Undetermined::Area { face, why, fixes } => {
            let why = match why {
                WhyOpen::NoSize => "no measurement tells the size".to_owned(),
                WhyOpen::NotFixed => "the measurements do not fix it".to_owned(),
                WhyOpen::TooUncertain { area, sd } => format!(
                    "its standard deviation is more than {:.0} % of it ({})",
                    100.0 * LARGEST_SD,
                    estimate::area(&Estimate::measured(*area, *sd), format)
                ),
                WhyOpen::LooseCorner { point, sd } => {
                    format!("its corner {} may lie {} off", names.point(*point), distance(*sd, format))
                }
            };
            let fixes: Vec<String> = fixes
                .iter()
                .map(|&fix| match fix {
                    Proposal::PitchReading(face) => format!("read the pitch of {}", names.face(face)),
                    _ => names.proposal(fix),
                })
                .collect();
            let settle = if fixes.is_empty() { String::new() } else { format!("; {}", fixes.join(", or ")) };
            format!("area of face {}: {why}{settle}", names.face(*face))
        }
        Undetermined::Pitch { face } => format!("pitch of face {}: the measurements do not fix it", names.face(*face)),
        Undetermined::Photo { photo, marks, wanted } if names.is_plan(*photo) => format!(
            "{} is not used: its {} not tell how the plan lies; mark at least {wanted} points",
            names.photo(*photo),
            if *marks == 1 { "1 mark does".to_owned() } else { format!("{marks} marks do") }
        ),
        Undetermined::Photo { photo, marks, wanted } => format!(
            "{} is not used: its {} how the camera stood; state the direction of its edges ([[axis]]) or mark at least {wanted} \
             points that are known otherwise",
            names.photo(*photo),
            if *marks == 1 { "1 mark does not tell".to_owned() } else { format!("{marks} marks do not tell") }
        ),
    }
}

/// Whether the measurements agree, where there are more than needed and they do; where they do not that is a finding.
#[must_use]
pub fn agreement(report: &Report) -> Option<String> {
    let (chi2, [low, high]) = (report.chi2?, report.chi2_bounds?);
    let verdict = if chi2 > high {
        return None;
    } else if chi2 < low {
        "the measurements agree better than their standard deviations say, which may be set too wide"
    } else {
        "the measurements agree as they should"
    };
    Some(format!(
        "{verdict}: chi-square {chi2:.1}, expected {low:.1} to {high:.1} for {}",
        count(report.dof, "surplus measurement", "surplus measurements")
    ))
}

/// By how much a walk misses its start.
#[must_use]
pub fn misclosure(block: &str, metres: f64, format: Format) -> String {
    format!(
        "the walk round {block} misses its start by {}; that is shared out over its sides by their uncertainty",
        gap(metres, format)
    )
}

/// What to measure next, and what it would bring.
#[must_use]
pub fn best_next(names: &Names<'_>, report: &Report, best: &BestNext, format: Format) -> String {
    let proposed = names.proposal(best.observation);
    if let Some(parts) = best.parts {
        let [first, second] = parts.expected.map(|value| match best.observation.unit() {
            Unit::Radian => format!("{:.1}°", value.to_degrees()),
            _ => to_millimetre(value, format),
        });
        let [one, other] = parts.between.map(|one| names.observation(one));
        let again = if parts.again { " again" } else { "" };
        return format!(
            "measure {proposed}{again} next: about {first} would mean that {one} is wrong, about {second} that {other} is"
        );
    }
    let Some(after) = report.area_95_after(best) else {
        return format!("measure {proposed} next: it settles most of what is open, though not yet all");
    };
    let now = report.area_95().map_or_else(String::new, |now| format!(" instead of ± {}", format.area(now)));
    format!("measure {proposed} next: the roof area would then be known to ± {}{now}", format.area(after))
}
