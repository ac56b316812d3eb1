//! What the rules of the trade say about this roof and this covering: each note states the rule, its source, the value
//! found and what to do. Local codes and the material's own instructions come first.

use super::card::{Card, CoveringKind, LapByPitch, MinPitch};
use super::covering::Laid;
use super::model::{Covering, ValleyMethod};
use super::outline::CoveredFace;
use crate::base::diagnostic::Note;
use crate::base::tolerance;
use crate::roof::{EdgeKind, Roof};
use std::collections::BTreeMap;

/// Codes of notes that make a roof unsuitable for its covering.
pub const UNSUITABLE: [&str; 2] = ["pitch-below-minimum", "run-too-long"];

/// All advice. O(faces + edges).
#[must_use]
pub fn advise(roof: &Roof, faces: &[CoveredFace], covering: &Covering, laid: &Laid) -> Vec<Note> {
    let mut notes = Vec::new();
    let names = Names(roof);
    pitches(&names, faces, &covering.card, &mut notes);
    underlay(&names, faces, &covering.card, &mut notes);
    deck(&covering.card, &mut notes);
    ventilation(covering, &mut notes);
    courses(roof, faces, covering, laid, &mut notes);
    handling(&covering.card, &mut notes);
    safety(&mut notes);
    notes
}

/// Least pitch for a rafter of this length: of the entries that hold, the one for the shortest rafters.
#[must_use]
pub fn least_pitch(card: &Card, rafter: f64) -> Option<&MinPitch> {
    let up_to = |rule: &&MinPitch| rule.rafter_to.unwrap_or(f64::INFINITY);
    let holds = card.min_pitch.iter().filter(|rule| rafter <= up_to(rule) + tolerance::SMALLEST);
    holds.min_by(|a, b| up_to(a).total_cmp(&up_to(b)))
}

struct Names<'a>(&'a Roof);

impl Names<'_> {
    fn of(&self, face: &CoveredFace) -> String {
        self.0.faces[face.id.index()].name.clone()
    }
}

/// Length of a face up the slope, metres.
fn rafter(face: &CoveredFace) -> f64 {
    let low = face.edges.iter().map(|edge| edge.from.y).fold(f64::INFINITY, f64::min);
    face.top - low
}

/// Faces that break the same rule share one note.
#[derive(Default)]
struct Grouped(BTreeMap<(usize, String), Vec<String>>);

impl Grouped {
    fn add(&mut self, order: usize, message: String, face: String) {
        self.0.entry((order, message)).or_default().push(face);
    }

    fn notes(self, code: &'static str) -> impl Iterator<Item = Note> {
        self.0.into_iter().map(move |((_, message), faces)| Note { code, message, faces })
    }
}

fn pitches(names: &Names, faces: &[CoveredFace], card: &Card, notes: &mut Vec<Note>) {
    let (mut below, mut long, mut fixing) = (Grouped::default(), Grouped::default(), Grouped::default());
    for face in faces {
        let (pitch, rafter) = (face.pitch.to_degrees(), rafter(face));
        if let Some(rule) = least_pitch(card, rafter).filter(|rule| face.pitch < rule.pitch - tolerance::RELATIVE) {
            let message = format!(
                "pitch {pitch:.1}° with a rafter of {rafter:.2} m; this covering needs at least {:.1}° ({}): choose a covering for \
                 flatter roofs, or raise the ridge",
                rule.pitch.to_degrees(),
                rule.source
            );
            below.add(0, message, names.of(face));
        }
        let run = rafter * face.pitch.cos();
        if let Some(rule) = card.max_run.iter().find(|rule| run > rule.run) {
            let message = format!(
                "rafter run {run:.2} m; at most {:.1} m ({}): divide the slope by a step, or choose another covering",
                rule.run, rule.source
            );
            long.add(0, message, names.of(face));
        }
        if let Some(limit) = card.other_fixing.as_ref().filter(|limit| face.pitch > limit.pitch) {
            let message = format!(
                "pitch {pitch:.1}°; above {:.2}° pieces need other fixing than the usual nails ({}): follow the maker's \
                 instructions for steep slopes, bed every tab",
                limit.pitch.to_degrees(),
                limit.source
            );
            fixing.add(0, message, names.of(face));
        }
    }
    notes.extend(below.notes("pitch-below-minimum"));
    notes.extend(long.notes("run-too-long"));
    notes.extend(fixing.notes("steep-fixing"));
}

fn underlay(names: &Names, faces: &[CoveredFace], card: &Card, notes: &mut Vec<Note>) {
    let Some(underlay) = &card.underlay else { return };
    let mut laps = Grouped::default();
    for face in faces {
        let pitch = face.pitch.to_degrees();
        let message = if let Some(limit) = underlay.double_below.filter(|_| underlay.is_double(face.pitch)) {
            format!(
                "pitch {pitch:.1}°, under {:.1}°: underlay in two layers, each row lapped over half its width, a narrow row at \
                 the eave first (IRC R905.2: double underlay from 2:12 to 4:12)",
                limit.to_degrees()
            )
        } else if let Some(lap) = LapByPitch::at(&underlay.laps, face.pitch) {
            format!("underlay head lap {:.0} mm at {pitch:.1}° ({})", lap.lap * 1000.0, lap.source)
        } else {
            continue;
        };
        laps.add(0, message, names.of(face));
    }
    notes.extend(laps.notes("underlay-lap"));
}

fn deck(card: &Card, notes: &mut Vec<Note>) {
    let Some(deck) = &card.deck else { return };
    let holds = card.deck_min.iter().filter(|rule| deck.spacing <= rule.spacing_to + tolerance::SMALLEST);
    let rule = holds.min_by(|a, b| a.spacing_to.total_cmp(&b.spacing_to));
    match rule {
        Some(rule) if deck.thickness < rule.thickness - tolerance::SMALLEST => notes.push(Note {
            code: "deck-too-thin",
            message: format!(
                "deck {:.0} mm on bearers {:.0} mm apart; at least {:.0} mm up to {:.0} mm apart ({}): take thicker boards, or add \
                 bearers; structure belongs to a licensed practitioner",
                deck.thickness * 1000.0,
                deck.spacing * 1000.0,
                rule.thickness * 1000.0,
                rule.spacing_to * 1000.0,
                rule.source
            ),
            faces: Vec::new(),
        }),
        None if !card.deck_min.is_empty() => notes.push(Note {
            code: "deck-bearers-too-far",
            message: format!(
                "bearers {:.0} mm apart, further than any rule of this card reaches: add bearers or have the deck designed",
                deck.spacing * 1000.0
            ),
            faces: Vec::new(),
        }),
        _ => {}
    }
}

/// Free area of vents for a ceiling, square metres: [1/150, 1/300 with half to four fifths of it high up].
#[must_use]
pub fn vent_area(ceiling: f64) -> [f64; 2] {
    [ceiling / 150.0, ceiling / 300.0]
}

fn ventilation(covering: &Covering, notes: &mut Vec<Note>) {
    let message = match covering.laying.ceiling {
        Some(ceiling) => {
            let [full, shared] = vent_area(ceiling);
            format!(
                "over a ceiling of {ceiling:.1} m² leave net free vents of {:.0} cm² (1/150), or {:.0} cm² (1/300) where 50 to \
                 80 % of it is high up and the rest at the eaves (IRC R806.2, older text), with an air gap of 25 mm or more; \
                 intake at least as large as exhaust",
                full * 1e4,
                shared * 1e4
            )
        }
        None => "an open roof needs no vents; over a ceiling or insulation say how large it is (level_ceiling = …) and the vents are \
                 worked out (IRC R806.2)"
            .to_owned(),
    };
    notes.push(Note { code: "ventilation", message, faces: Vec::new() });
}

fn courses(roof: &Roof, faces: &[CoveredFace], covering: &Covering, laid: &Laid, notes: &mut Vec<Note>) {
    if let CoveringKind::Strip(strip) = &covering.card.covering
        && strip.gauge > strip.largest_gauge() + tolerance::SMALLEST
    {
        notes.push(Note {
                code: "gauge-too-large",
                message: format!(
                    "the card's gauge is {:.0} mm; cutouts of {:.0} mm and a head lap of {:.0} mm allow {:.1} mm (DTU 40.14 \
                     art. 4.1: half of height less lap), which is used",
                    strip.gauge * 1000.0,
                    strip.cutout * 1000.0,
                    strip.head_lap * 1000.0,
                    strip.largest_gauge() * 1000.0
                ),
                faces: Vec::new(),
            });
    }
    let index_of = |id| faces.iter().position(|face| face.id == id);
    let mut apart = Vec::new();
    let mut unlike_weave = Vec::new();
    for edge in &roof.edges {
        let [Some(a), Some(b)] = [0, 1].map(|side| edge.faces.get(side).and_then(|&id| index_of(id))) else { continue };
        let pair = || format!("{} and {}", roof.faces[faces[a].id.index()].name, roof.faces[faces[b].id.index()].name);
        let gauge = |index: usize| laid.layouts.get(index).map_or(0.0, |layout| layout.gauge);
        let rise = |index: usize| gauge(index) * faces[index].pitch.sin();
        let level = (faces[a].frame.origin.z - faces[b].frame.origin.z).abs() < tolerance::SMALLEST;
        let unlike = (rise(a) - rise(b)).abs() > tolerance::SMALLEST;
        if edge.kind == EdgeKind::Hip && (unlike || !level) {
            apart.push(pair());
        }
        if edge.kind == EdgeKind::Valley && covering.laying.valley == ValleyMethod::Woven && unlike {
            unlike_weave.push(pair());
        }
    }
    if !apart.is_empty() {
        let message = format!(
            "courses do not meet at the hip between {}: pitches or eave heights differ; the caps cover it",
            apart.join("; ")
        );
        notes.push(Note { code: "courses-do-not-meet", message, faces: Vec::new() });
    }
    if !unlike_weave.is_empty() {
        let message = format!(
            "a woven valley needs courses that meet; between {} they do not: make it open or closed (common practice, no source)",
            unlike_weave.join("; ")
        );
        notes.push(Note { code: "valley-not-woven", message, faces: Vec::new() });
    }
}

fn handling(card: &Card, notes: &mut Vec<Note>) {
    let mut note = |code: &'static str, message: String| notes.push(Note { code, message, faces: Vec::new() });
    if let CoveringKind::Strip(strip) = &card.covering {
        if let Some(celsius) = strip.bend_above {
            note("bend-warm", format!("below {celsius:.0} °C warm caps and folded tabs before bending them"));
        }
        let film = if strip.peel {
            "peel the film off the back of each strip as it is laid"
        } else {
            "the film on the back of a strip stays on: it only keeps strips apart in the pack"
        };
        note("film", film.to_owned());
        note("one-batch", "order one batch for all of it, caps too: shades differ between batches".to_owned());
    }
    if card.adhesive.is_some() {
        note("adhesive-thin", "adhesive in dabs of 25 mm: too much of it blisters the strip above".to_owned());
    }
}

fn safety(notes: &mut Vec<Note>) {
    let cautions = [
        (
            "safety-height",
            "work at height: secure yourself as local law says, from 6 ft (1.8 m) at the latest (29 CFR 1926.501(b)(13)); not alone, \
             not on wet, icy or windy days; keep clear of power lines",
        ),
        (
            "safety-ladder",
            "ladder: foot out a quarter of its working length, top 3 ft (0.9 m) above the landing, tied (29 CFR 1926.1053, from memory)",
        ),
        ("safety-fragile", "brittle sheets and rooflights do not carry a person: boards and guards first"),
        (
            "safety-structure",
            "whether rafters and deck carry the covering, snow and people is for a licensed practitioner; this take-off counts material",
        ),
    ];
    notes.extend(cautions.map(|(code, message)| Note { code, message: message.to_owned(), faces: Vec::new() }));
}
