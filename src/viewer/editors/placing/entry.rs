//! What a part makes of the file: an entry with defaults, and others to fall back on where that one can't stand.

use super::part::Part;
use super::spot::{Ground, Host, Snap, Spot, Surface, drop_at_eave};
use crate::base::file_tree::{Edit, FileTable};
use crate::job::Job;
use crate::outline::block::{Fascia, OutlineDatum};
use crate::viewer::editors::rows;
use crate::viewer::editors::views::plan::write::Bare;
use nalgebra::Point2;

/// The pitch of what stands where no slope rises, degrees.
const PITCH: f64 = 35.0;

/// Pitches of a lean-to, degrees: the usual one, and a flatter one below a low eave.
const LEAN: [f64; 2] = [15.0, 8.0];

/// How far a porch's eaves lie below those it stands at, and the head of a lean-to below the eave over it, metres.
const BELOW: f64 = 0.3;
const CLEAR: f64 = 0.05;

/// A part as it would be written.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// Where it stands.
    pub spot: Spot,
    /// The change of the file.
    pub edit: Edit,
    /// The block it becomes, by name; `None` for an opening.
    pub block: Option<String>,
}

/// What the file says and how it writes lengths.
#[derive(Clone, Copy, Debug)]
pub struct File<'a> {
    /// The job.
    pub job: &'a Job,
    /// As it is written.
    pub written: &'a FileTable,
    /// Of its bare lengths.
    pub bare: Bare,
}

impl File<'_> {
    /// A length as a value of the file.
    fn length(&self, metres: f64) -> String {
        let typed = self.bare.typed(metres);
        if typed.parse::<f64>().is_ok() { typed } else { format!("\"{}\"", typed.replace('"', "\\\"")) }
    }

    fn lengths(&self, metres: [f64; 2]) -> String {
        format!("[{}, {}]", self.length(metres[0]), self.length(metres[1]))
    }

    /// A name that none of some list bears: `wing`, `wing2`.
    fn free(&self, list: &str, word: &str) -> String {
        let taken = |name: &str| {
            let of = |list: &str| self.written.list(list).iter().any(|entry| entry.field("name").text == name);
            of(list) || of("block") || of("dormer")
        };
        let numbered = (2..).map(|number| format!("{word}{number}"));
        std::iter::once(word.to_owned()).chain(numbered).find(|name| !taken(name)).unwrap_or_default()
    }

    /// The lines of a block's datum that a part on it shares.
    fn datum(&self, block: usize) -> String {
        let Some(of) = self.job.blocks.get(block) else { return String::new() };
        match &of.datum {
            OutlineDatum::Wall { overhang, above_plate } => {
                let fascia = match overhang.fascia {
                    Fascia::Level => "level",
                    Fascia::Equal => "equal",
                    Fascia::Raised => "raised",
                };
                format!(
                    "measured_at = \"wall\"\noverhang = {{ eave = {}, verge = {}, fascia = \"{fascia}\" }}\nabove_plate = {}\n",
                    self.length(overhang.eave),
                    self.length(overhang.verge),
                    self.length(*above_plate)
                )
            }
            OutlineDatum::Eaves { .. } => {
                let of_file = self.written.list("block").get(block);
                let line = |key: &str| {
                    let value = of_file?.value(key)?;
                    let text = &value.text;
                    let is_bare = text.parse::<f64>().is_ok();
                    Some(if is_bare {
                        format!("{key} = {text}\n")
                    } else {
                        format!("{key} = \"{}\"\n", text.replace('"', "\\\""))
                    })
                };
                ["edge_of", "projection"].iter().filter_map(|key| line(key)).collect()
            }
        }
    }
}

/// How a part may be written about a spot, best first.
#[must_use]
pub fn candidates(part: Part, spot: &Spot, file: &File, snap: Snap) -> Vec<Candidate> {
    match &spot.ground {
        Ground::Side(host) => on_side(part, spot, host, file),
        Ground::Face(surface) => {
            let middle = Point2::new(spot.at[0] + spot.size[0] / 2.0, spot.at[1] + spot.size[1] / 2.0);
            let sized = part.sizes().iter().enumerate().map(|(number, size)| {
                let takes = takes(part, *size, surface);
                // The first is what is shown.
                let own = if number == 0 { spot.clone() } else { Spot::on_face(surface.clone(), takes, middle, snap) };
                in_face(part, own, *size, surface, file)
            });
            sized.collect()
        }
    }
}

/// What a part of a size takes of a face, along its eave and up its slope.
#[must_use]
pub fn takes(part: Part, size: [f64; 2], surface: &Surface) -> [f64; 2] {
    let level = surface.level().max(0.1);
    match part {
        Part::Dormer => {
            // Until its ridge has run into the face.
            let rise = size[1] + size[0] / 2.0 * PITCH.to_radians().tan();
            [size[0], rise / surface.frame.up.z.max(0.05)]
        }
        Part::Chimney => [size[0], size[1] / level],
        _ => size,
    }
}

fn in_face(part: Part, spot: Spot, size: [f64; 2], surface: &Surface, file: &File) -> Candidate {
    let face = &surface.name;
    let (list, entry, block) = match part {
        Part::Dormer => {
            let name = file.free("dormer", "dormer");
            let at = file.lengths([spot.at[0], spot.at[1] * surface.level()]);
            let entry = format!(
                "name = \"{name}\"\nface = \"{face}\"\nkind = \"gable\"\nat = {at}\nwidth = {}\nfront_height = {}\npitch = {PITCH}\n",
                file.length(size[0]),
                file.length(size[1])
            );
            ("dormer", entry, Some(name))
        }
        Part::Chimney => {
            let plan = spot.corners().map(|corner| file.lengths([corner.x, corner.y]));
            ("opening", format!("kind = \"chimney\"\nplan = [{}]\n", plan.join(", ")), None)
        }
        _ => {
            let (at, size) = (file.lengths(spot.at), file.lengths(size));
            let entry = format!("kind = \"{}\"\nface = \"{face}\"\nat = {at}\nsize = {size}\n", part.word());
            ("opening", entry, None)
        }
    };
    Candidate { spot, edit: Edit::Add { list: vec![list.into()], entry }, block }
}

/// How a block on a side is roofed: how high its outline lies, its pitch in degrees, and whether it runs in or stops at the
/// wall.
struct Roofed {
    height: f64,
    pitch: f64,
    runs_in: bool,
}

fn on_side(part: Part, spot: &Spot, host: &Host, file: &File) -> Vec<Candidate> {
    let pitch = host.pitch.map_or(PITCH, f64::to_degrees);
    let datum = file.job.blocks.get(host.block).map(|block| &block.datum);
    let drop = datum.map_or(0.0, |datum| drop_at_eave(datum, host.pitch));
    let roofed = |height: f64, pitch: f64, runs_in: bool| Roofed { height, pitch, runs_in };
    let ways = match part {
        Part::Porch => vec![
            roofed(host.height - BELOW, pitch, true),
            roofed(host.height - BELOW, pitch, false),
            roofed(host.height, pitch, true),
        ],
        Part::LeanTo => LEAN
            .map(|lean| {
                let head = host.height - drop - CLEAR;
                let height = head - spot.size[1] * lean.to_radians().tan();
                roofed((height / CLEAR).floor() * CLEAR, lean, false)
            })
            .into(),
        _ => {
            vec![roofed(host.height, pitch, true), roofed(host.height, PITCH, true), roofed(host.height, pitch, false)]
        }
    };
    let corners = rows::blocks(file.written);
    let corners: Vec<String> = rows::free_corners(&corners, file.written).take(4).collect();
    let word = if part == Part::LeanTo { "leanto" } else { part.word() };
    let name = file.free("block", word);
    let turn = if host.is_clockwise { "L" } else { "R" };
    let write = |way: Roofed| {
        let inner = if way.runs_in { "runs_into = true" } else { "abutment = true" };
        let slope = format!("pitch = {}", plain(way.pitch));
        let verge = "verge = true".to_owned();
        let roles = match part {
            Part::LeanTo => [inner.to_owned(), verge.clone(), slope, verge],
            _ => [inner.to_owned(), slope.clone(), verge, slope],
        };
        let sides: String = corners
            .iter()
            .zip(roles)
            .enumerate()
            .map(|(number, (from, role))| {
                let length = file.length(spot.size[number % 2]);
                format!("  {{ from = \"{from}\", length = {length}, turn = \"{turn}\", {role} }},\n")
            })
            .collect();
        let entry = format!(
            "name = \"{name}\"\nheight = {}\nat_side = \"{}\"\noffset = {}\n{}sides = [\n{sides}]\n",
            file.length(way.height),
            host.name,
            file.length(spot.at[0]),
            file.datum(host.block)
        );
        let edit = Edit::Add { list: vec!["block".into()], entry };
        let ground = Ground::Side(Host { height: way.height, ..host.clone() });
        Candidate { spot: Spot { ground, ..spot.clone() }, edit, block: Some(name.clone()) }
    };
    ways.into_iter().filter(|way| way.height > 0.0).map(write).collect()
}

/// To a hundredth, without zeros at its end.
fn plain(number: f64) -> String {
    let text = format!("{number:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
