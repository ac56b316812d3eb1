//! What the rules of the trade say about this roof and this covering: each note states the rule, its source, the value
//! found and what to do. Local codes and the material's own instructions come first.

use super::card::{Card, CoveringKind, LapByPitch, MinPitch};
use super::covering::Laid;
use super::model::Covering;
use super::outline::CoveredFace;
use crate::base::diagnostic::Note;
use crate::base::tolerance;
use crate::base::words::Words;
use crate::roof::{EdgeKind, Roof};
use std::collections::BTreeMap;

/// Codes of notes that make a roof unsuitable for its covering.
pub const UNSUITABLE: [&str; 2] = ["pitch-below-minimum", "run-too-long"];

/// All advice. O(faces + edges).
#[must_use]
pub fn advise(roof: &Roof, faces: &[CoveredFace], covering: &Covering, laid: &Laid, say: Words) -> Vec<Note> {
    let mut notes = Vec::new();
    let names = Names(roof);
    pitches(&names, faces, &covering.card, say, &mut notes);
    underlay(&names, faces, &covering.card, say, &mut notes);
    deck(&covering.card, say, &mut notes);
    ventilation(covering, say, &mut notes);
    courses(roof, faces, covering, laid, say, &mut notes);
    handling(&covering.card, say, &mut notes);
    safety(say, &mut notes);
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

fn pitches(names: &Names, faces: &[CoveredFace], card: &Card, say: Words, notes: &mut Vec<Note>) {
    let (mut below, mut long, mut fixing) = (Grouped::default(), Grouped::default(), Grouped::default());
    for face in faces {
        let (pitch, rafter) = (face.pitch.to_degrees(), rafter(face));
        if let Some(rule) = least_pitch(card, rafter).filter(|rule| face.pitch < rule.pitch - tolerance::RELATIVE) {
            let message = format!(
                "pitch {pitch:.1}° with a rafter of {}; this covering needs at least {:.1}° ({}): choose a covering for \
                 flatter roofs, or raise the ridge",
                say.length(rafter),
                rule.pitch.to_degrees(),
                rule.source
            );
            below.add(0, message, names.of(face));
        }
        let run = rafter * face.pitch.cos();
        if let Some(rule) = card.max_run.iter().find(|rule| run > rule.run) {
            let message = format!(
                "rafter run {}; at most {} ({}): divide the slope by a step, or choose another covering",
                say.length(run),
                say.length(rule.run),
                rule.source
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

fn underlay(names: &Names, faces: &[CoveredFace], card: &Card, say: Words, notes: &mut Vec<Note>) {
    let Some(underlay) = &card.underlay else { return };
    let mut doubled = Grouped::default();
    // Faces of one lap share a note that tells their pitches.
    let mut single: BTreeMap<(String, &str), (Vec<String>, Vec<String>)> = BTreeMap::new();
    for face in faces {
        let pitch = face.pitch.to_degrees();
        if let Some(limit) = underlay.double_below.filter(|_| underlay.is_double(face.pitch)) {
            let message = format!(
                "pitch {pitch:.1}°, under {:.1}°: underlay in two layers, each row lapped over half its width, a narrow row at \
                 the eave first (IRC R905.2: double underlay from 2:12 to 4:12)",
                limit.to_degrees()
            );
            doubled.add(0, message, names.of(face));
        } else if let Some(lap) = LapByPitch::at(&underlay.laps, face.pitch) {
            let (pitches, faces) = single.entry((say.fine(lap.lap), &lap.source)).or_default();
            let pitch = format!("{pitch:.1}°");
            if !pitches.contains(&pitch) {
                pitches.push(pitch);
            }
            faces.push(names.of(face));
        }
    }
    notes.extend(doubled.notes("underlay-lap"));
    notes.extend(single.into_iter().map(|((lap, source), (pitches, faces))| Note {
        code: "underlay-lap",
        message: format!("underlay head lap {lap} at {} ({source})", pitches.join(", ")),
        faces,
    }));
}

fn deck(card: &Card, say: Words, notes: &mut Vec<Note>) {
    let Some(deck) = &card.deck else { return };
    let holds = card.deck_min.iter().filter(|rule| deck.spacing <= rule.spacing_to + tolerance::SMALLEST);
    let rule = holds.min_by(|a, b| a.spacing_to.total_cmp(&b.spacing_to));
    match rule {
        Some(rule) if deck.thickness < rule.thickness - tolerance::SMALLEST => notes.push(Note {
            code: "deck-too-thin",
            message: format!(
                "deck {} on bearers {} apart; at least {} up to {} apart ({}): take thicker boards, or add \
                 bearers; structure belongs to a licensed practitioner",
                say.fine(deck.thickness),
                say.fine(deck.spacing),
                say.fine(rule.thickness),
                say.fine(rule.spacing_to),
                rule.source
            ),
            faces: Vec::new(),
        }),
        None if !card.deck_min.is_empty() => notes.push(Note {
            code: "deck-bearers-too-far",
            message: format!(
                "bearers {} apart, further than any rule of this card reaches: add bearers or have the deck designed",
                say.fine(deck.spacing)
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

fn ventilation(covering: &Covering, say: Words, notes: &mut Vec<Note>) {
    let message = match covering.laying.ceiling {
        Some(ceiling) => {
            let [full, shared] = vent_area(ceiling);
            format!(
                "over a ceiling of {} leave net free vents of {} (1/150), or {} (1/300) where 50 to \
                 80 % of it is high up and the rest at the eaves (IRC R806.2, older text), with an air gap of {} or more; \
                 intake at least as large as exhaust",
                say.area(ceiling),
                say.small_area(full),
                say.small_area(shared),
                say.fine(0.025)
            )
        }
        None => "an open roof needs no vents; over a ceiling or insulation say how large it is (level_ceiling = …) and the vents are \
                 worked out (IRC R806.2)"
            .to_owned(),
    };
    notes.push(Note { code: "ventilation", message, faces: Vec::new() });
}

fn courses(roof: &Roof, faces: &[CoveredFace], covering: &Covering, laid: &Laid, say: Words, notes: &mut Vec<Note>) {
    if let CoveringKind::Strip(strip) = &covering.card.covering
        && strip.gauge > strip.largest_gauge() + tolerance::SMALLEST
    {
        notes.push(Note {
            code: "gauge-too-large",
            message: format!(
                "the card's gauge is {}; cutouts of {} and a head lap of {} allow {} (DTU 40.14 \
                     art. 4.1: half of height less lap), which is used",
                say.fine(strip.gauge),
                say.fine(strip.cutout),
                say.fine(strip.head_lap),
                say.finer(strip.largest_gauge())
            ),
            faces: Vec::new(),
        });
    }
    let index_of = |id| faces.iter().position(|face| face.id == id);
    let mut apart = Vec::new();
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
    }
    if !apart.is_empty() {
        let message = format!(
            "courses do not meet at the hip between {}: pitches or eave heights differ; the caps cover it",
            apart.join("; ")
        );
        notes.push(Note { code: "courses-do-not-meet", message, faces: Vec::new() });
    }
}

fn handling(card: &Card, say: Words, notes: &mut Vec<Note>) {
    let mut note = |code: &'static str, message: String| notes.push(Note { code, message, faces: Vec::new() });
    if let CoveringKind::Strip(strip) = &card.covering {
        if let Some(celsius) = strip.bend_above {
            note(
                "bend-warm",
                format!("below {} warm caps and folded tabs before bending them", say.temperature(celsius)),
            );
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
        note(
            "adhesive-thin",
            format!("adhesive in dabs of {}: too much of it blisters the strip above", say.fine(0.025)),
        );
    }
}

fn safety(say: Words, notes: &mut Vec<Note>) {
    let [height, landing] = if say.imperial { ["6 ft", "3 ft"] } else { ["1.8 m (6 ft)", "0.9 m (3 ft)"] };
    let cautions = [
        (
            "safety-height",
            format!(
                "work at height: secure yourself as local law says, from {height} at the latest (29 CFR 1926.501(b)(13)); not \
                 alone, not on wet, icy or windy days; keep clear of power lines"
            ),
        ),
        (
            "safety-ladder",
            format!(
                "ladder: foot out a quarter of its working length, top {landing} above the landing, tied (29 CFR 1926.1053, from \
                 memory)"
            ),
        ),
        ("safety-fragile", "brittle sheets and rooflights do not carry a person: boards and guards first".to_owned()),
        (
            "safety-structure",
            "whether rafters and deck carry the covering, snow and people is for a licensed practitioner; this take-off counts \
             material"
                .to_owned(),
        ),
    ];
    notes.extend(cautions.map(|(code, message)| Note { code, message, faces: Vec::new() }));
}
