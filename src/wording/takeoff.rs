//! Sentences of the take-off's findings: the rule, its source, the value found and what to do.

use crate::base::finding::Finding as _;
use crate::base::ids::FaceId;
use crate::roof::Roof;
use crate::takeoff::Finding;
use crate::takeoff::card::{CardValue, OwnValue};
use crate::takeoff::finding::{Goods, UnevenEave, ValleyPart};
use crate::takeoff::model::ValleyMethod;
use crate::takeoff::work::Kind;
use crate::wording::units::Format;

/// How many numbers of a list a sentence tells; the rest it leaves to the layout.
const LISTED: usize = 8;

/// A finding of the take-off as a sentence, lower case and without a full stop; the faces it is about are not in it unless
/// it tells them apart.
// One arm a finding.
#[allow(clippy::too_many_lines)]
#[must_use]
pub fn finding(finding: &Finding, roof: &Roof, format: Format) -> String {
    match finding {
        Finding::AreaNotDetermined { .. } => {
            "nothing is ordered and nothing laid out: the measurements do not determine the area of these faces; measure \
             what the survey asks for next, then take off again"
                .to_owned()
        }
        Finding::PitchBelowMinimum { pitch, rafter, least, source, .. } => format!(
            "pitch {} with a rafter of {}; this covering needs at least {} ({source}): choose a covering for flatter \
             roofs, or raise the ridge",
            format.pitch(*pitch),
            format.length(*rafter),
            format.pitch(*least)
        ),
        Finding::RunTooLong { run, most, source, .. } => format!(
            "rafter run {}; at most {} ({source}): divide the slope by a step, or choose another covering",
            format.length(*run),
            format.length(*most)
        ),
        Finding::SteepFixing { pitch, limit, kind, source, .. } => {
            let (what, how) = match kind {
                Kind::Strip | Kind::SingleTab => ("pieces", ", bed every tab"),
                Kind::Felt => ("strips", ", nail the upper edge of every strip under the lap so that it does not slide"),
                Kind::Slate | Kind::Tile | Kind::PlainTile | Kind::Sheet => ("pieces", ""),
            };
            format!(
                "pitch {}; above {} {what} need other fixing than the usual ({source}): follow the maker's instructions for \
                 steep slopes{how}",
                format.pitch(*pitch),
                format.pitch(*limit)
            )
        }
        Finding::UnderlayDoubled { pitch, limit, .. } => format!(
            "pitch {}, under {}: underlay in two layers, each row lapped over half its width, a narrow row at the eave first \
             (IRC R905.2: double underlay from 2:12 to 4:12)",
            format.pitch(*pitch),
            format.pitch(*limit)
        ),
        Finding::UnderlayLap { pitches, lap, source, .. } => {
            let told: Vec<String> = pitches.iter().take(LISTED).map(|pitch| format.pitch(*pitch)).collect();
            format!("underlay head lap {} at {}{} ({source})", format.fine(*lap), told.join(", "), more(pitches.len()))
        }
        Finding::DeckTooThin { thickness, spacing, least, spacing_to, source } => format!(
            "deck {} on bearers {} apart; at least {} up to {} apart ({source}): take thicker boards, or add bearers; \
             structure belongs to a licensed practitioner",
            format.fine(*thickness),
            format.fine(*spacing),
            format.fine(*least),
            format.fine(*spacing_to)
        ),
        Finding::BearersTooFar { spacing } => format!(
            "bearers {} apart, further than any rule of this card reaches: add bearers or have the deck designed",
            format.fine(*spacing)
        ),
        Finding::Ventilation { ceiling, full, shared, gap } => format!(
            "over a ceiling of {} leave net free vents of {} (1/150), or {} (1/300) where 50 to 80 % of it is high up and \
             the rest at the eaves (IRC R806.2, older text), with an air gap of {} or more; intake at least as large as \
             exhaust",
            format.area(*ceiling),
            format.small_area(*full),
            format.small_area(*shared),
            format.fine(*gap)
        ),
        Finding::VentilationNotAsked => {
            "an open roof needs no vents; over a ceiling or insulation say how large it is (level_ceiling = …) and the \
             vents are worked out (IRC R806.2)"
                .to_owned()
        }
        Finding::GaugeTooLarge { gauge, cutout, head_lap, used } => format!(
            "the card's gauge is {}; cutouts of {} and a head lap of {} allow {} (DTU 40.14 art. 4.1: half of height less \
             lap), which is used",
            format.fine(*gauge),
            format.fine(*cutout),
            format.fine(*head_lap),
            format.finer(*used)
        ),
        Finding::GaugeClosedUp { from, to, .. } => format!(
            "gauge closed up from {} to {} so that the last course ends parallel to the ridge at full height",
            format.fine(*from),
            format.finer(*to)
        ),
        Finding::CoursesDoNotMeet { pairs } => format!(
            "courses do not meet at the hip between {}: pitches or eave heights differ; the caps cover it",
            pairs_of(pairs, roof)
        ),
        Finding::NarrowEnds { count, least, faces } => format!(
            "{count} end{} {} narrower than {}{} whichever bond is used: shorten the piece beside {}",
            if *count == 1 { "" } else { "s" },
            if *count == 1 { "is" } else { "are" },
            format.fine(*least),
            if faces.len() > 1 { " on each" } else { "" },
            if *count == 1 { "it" } else { "them" }
        ),
        Finding::FoldOverRidge { over } => {
            let told: Vec<String> =
                over.iter().take(LISTED).map(|(face, by)| format!("{} {}", name(*face, roof), format.fine(*by))).collect();
            format!(
                "strips stand over the ridge ({}{}): fold them down on the other slope, under the caps; on that slope, and \
                 where they stand further over, trim at the ridge",
                told.join(", "),
                more(over.len())
            )
        }
        Finding::ValleyStaysOpen { material, .. } => format!(
            "{material} does not bend: its valleys are laid open, over the lining, whatever the file says (common practice, \
             no source)"
        ),
        Finding::StripsShortForValley { width, least, asked } => format!(
            "strips {} wide are too short for {} valleys: their joints could not keep off the valley and off each other; from {} \
             on they can. Laid open, over the lining",
            format.fine(*width),
            method(*asked),
            format.fine(*least)
        ),
        Finding::ValleyNotWoven { pairs } => format!(
            "a woven valley needs courses that meet; between {} they do not, for the pitches differ: laid closed-cut (common \
             practice, no source)",
            pairs_of(pairs, roof)
        ),
        Finding::ValleyNoRoom { asked, room, parts } => format!(
            "a {} valley needs {} on each side without another valley's strips or joints; where valleys come nearer to each \
             other they are made otherwise (common practice, no source): {}",
            method(*asked),
            format.fine(*room),
            valley_parts(parts, roof, format)
        ),
        Finding::NotOnCard { goods, .. } => format!("the card has no {}: none is counted or laid", goods_word(*goods)),
        Finding::AsbestosTestFirst => {
            "old sheets, shingles and felts may hold asbestos: have them tested before anything is stripped, cut or broken; \
             where they do, the work belongs to a licensed firm (40 CFR 61 subpart M, appendix A, for its classes; local law \
             comes first)"
                .to_owned()
        }
        Finding::LayersComeOff { layers } => format!(
            "{layers} layers lie there: nothing is laid over two layers, over tiles or slates, or on a soaked or sagging deck \
             (common practice, no source): strip to the deck"
        ),
        Finding::EavesLaidLevel { eaves } => eaves_laid_level(eaves, roof, format),
        Finding::DrainsAgainstWall { area, .. } => format!(
            "water from {} in plan runs down against a wall: turn the slope, or build a saddle or a lined gutter along the \
             wall; none is on this order",
            format.area(*area)
        ),
        Finding::StaysNotOnOrder { said } => format!(
            "said to stay, but no line of the order is called so: {}; nothing was taken off for it",
            said.join(", ")
        ),
        Finding::PitchNotSolved => "the roof has no answer at this pitch".to_owned(),
        Finding::RepairNotInCourses { .. } => {
            "a repair is worked out for what is laid in courses: sheets and felt are patched as their maker says".to_owned()
        }
        Finding::RepairNoFace { face } => format!("there is no roof face {face} to repair"),
        Finding::RepairOutside { courses, asked, .. } if *asked > 0.0 => {
            format!("the face has {}, and no course {asked:.0}", super::amount::count(*courses, "course", "courses"))
        }
        Finding::RepairOutside { courses, .. } => format!(
            "the place of the repair lies beside the face, which has {}: measure it along the lowest eave from the left end, \
             and up the slope",
            super::amount::count(*courses, "course", "courses")
        ),
        Finding::OverPlanningHeight { height, most } => format!(
            "the highest point stands {} above datum, planning allows {}",
            format.length(*height),
            format.length(*most)
        ),
        Finding::OwnValues { values } => {
            let told: Vec<String> = values.iter().map(|value| own_value(value, format)).collect();
            format!("your value in place of the card's: {}", told.join("; "))
        }
        Finding::PriceByPiece { pieces } => {
            let each = |(item, length): &(String, f64)| format!("{item}, pieces of {}", format.stock(*length));
            let each: Vec<String> = pieces.iter().map(each).collect();
            format!(
                "priced by the piece, while pieces come in several lengths: {}; see that the price is of that length, or give \
                 it by the metre",
                each.join("; ")
            )
        }
        Finding::PriceNotUsed { items } => format!(
            "no price of its own is used for {}: it comes out of the covering's packs and is paid for with them",
            items.join(", ")
        ),
    }
}

/// A value of the roof file beside the card's.
fn own_value(value: &OwnValue, format: Format) -> String {
    let tell = |value: &CardValue| match value {
        CardValue::Length(metres) if *metres >= 1.0 => format.stock(*metres),
        CardValue::Length(metres) => super::work::to_tenth(*metres, format),
        CardValue::Angle(radians) => format.pitch(*radians),
        CardValue::Share(share) => super::schema::number(*share, super::schema::Counted::Share),
        CardValue::Number(number) => format!("{number}"),
        CardValue::Words(words) => words.clone(),
        CardValue::Entries(count) => super::amount::count(*count, "entry", "entries"),
    };
    let card = value.card.as_ref().map_or_else(|| "says nothing".to_owned(), tell);
    format!("{}, {} {} (the card: {card})", value.of, value.label, tell(&value.own))
}

/// The sentence with the names of the faces it is about behind it.
#[must_use]
pub(crate) fn with_faces(about: &Finding, roof: &Roof, format: Format) -> String {
    let said = finding(about, roof, format);
    let tells_them = matches!(
        about,
        Finding::CoursesDoNotMeet { .. }
            | Finding::ValleyNotWoven { .. }
            | Finding::ValleyNoRoom { .. }
            | Finding::FoldOverRidge { .. }
            | Finding::EavesLaidLevel { .. }
    );
    let faces: Vec<String> = about.faces().into_iter().map(|face| name(face, roof)).collect();
    if tells_them || faces.is_empty() { said } else { format!("{said} ({})", faces.join(", ")) }
}

/// How a valley is made.
#[must_use]
pub fn method(method: ValleyMethod) -> &'static str {
    match method {
        ValleyMethod::Open => "open",
        ValleyMethod::Closed => "closed-cut",
        ValleyMethod::Woven => "woven",
    }
}

fn eaves_laid_level(eaves: &[UnevenEave], roof: &Roof, format: Format) -> String {
    let told = |eave: &UnevenEave| {
        let [by, least, most] = [eave.by, eave.least, eave.most].map(|length| format.fine(length));
        format!("{least} to {most} ({}, {by} out)", name(eave.face, roof))
    };
    let each: Vec<String> = eaves.iter().take(LISTED / 2).map(told).collect();
    format!(
        "eaves out of level: strike each as one level line, so that the covering stands over the deck by {}{}",
        each.join(", "),
        if eaves.len() > LISTED / 2 { format!(" and {} more", eaves.len() - LISTED / 2) } else { String::new() }
    )
}

fn name(face: FaceId, roof: &Roof) -> String {
    roof.faces[face.index()].name()
}

fn more(count: usize) -> String {
    if count > LISTED { format!(" and {} more", count - LISTED) } else { String::new() }
}

fn pairs_of(pairs: &[[FaceId; 2]], roof: &Roof) -> String {
    let told: Vec<String> = pairs.iter().map(|[a, b]| format!("{} and {}", name(*a, roof), name(*b, roof))).collect();
    told.join("; ")
}

/// Those made alike together.
fn valley_parts(parts: &[ValleyPart], roof: &Roof, format: Format) -> String {
    let mut told: Vec<(String, Vec<String>)> = Vec::new();
    // Four stretches have names among the values; a longer list goes on without its lengths.
    let mut stretches = 0;
    for part in parts {
        let stretch = match part.stretch {
            None => "all along".to_owned(),
            Some([from, to]) if stretches < LISTED / 2 => {
                stretches += 1;
                format!("from {} to {} up the valley", format.length(from), format.length(to))
            }
            Some(_) => "in part".to_owned(),
        };
        let names: Vec<String> = part.faces.iter().map(|face| name(*face, roof)).collect();
        let place = match part.made {
            ValleyMethod::Closed => names.join(" runs through over "),
            ValleyMethod::Open | ValleyMethod::Woven => names.join(" / "),
        };
        let how = format!("{} {stretch}", method(part.made));
        match told.iter_mut().find(|(other, _)| *other == how) {
            Some((_, places)) => places.push(place),
            None => told.push((how, vec![place])),
        }
    }
    let each: Vec<String> = told.into_iter().map(|(how, places)| format!("{how}: {}", places.join(", "))).collect();
    each.join("; ")
}

fn goods_word(goods: Goods) -> &'static str {
    match goods {
        Goods::ValleyLining => "lining for the valleys of this roof",
        Goods::Caps => "caps for the ridges and hips of this roof",
        Goods::Flashing => "metal for the walls and openings of this roof",
        Goods::EaveMetal => "metal for eaves",
        Goods::VergeMetal => "metal for verges",
        Goods::Fixings => "nails, screws or hooks",
        Goods::Underlay => "underlay",
    }
}
