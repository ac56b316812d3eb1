//! Roof files: the jobs with closed forms, and random ones. All invented.

use crate::random::Random;
use crate::{blocks, random};
use eavewright_core::outline::{Footprint, Role};
use std::fmt::Write as _;

/// A block by the sides' corners and the rest of each side.
fn block(name: &str, height: f64, sides: &[(f64, f64, &str)], more: &str) -> String {
    let each: Vec<String> = sides
        .iter()
        .zip('A'..)
        .map(|((x, y, role), corner)| format!("  {{ from = \"{corner}\", at = [{x}, {y}], {role} }},\n"))
        .collect();
    format!(
        "[[block]]\nname = \"{name}\"\nheight = {height}\nmeasured_at = \"eaves\"\n{more}sides = [\n{}]\n",
        each.concat()
    )
}

fn rectangle(width: f64, depth: f64, roles: [&str; 4], more: &str) -> String {
    let corners = [(0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)];
    let sides: Vec<_> = corners.iter().zip(roles).map(|((x, y), role)| (*x, *y, role)).collect();
    format!("units = \"m\"\n{}{more}", block("shed", 2.4, &sides, ""))
}

/// A gable roof of eaves this long.
pub fn gable(width: f64, depth: f64, pitch: f64) -> String {
    let eave = format!("pitch = {pitch}");
    rectangle(width, depth, [&eave, VERGE, &eave, VERGE], "")
}

const VERGE: &str = "verge = true";

/// The ten jobs.
pub fn jobs() -> Vec<(u32, String)> {
    let (p30, p40) = ("pitch = 30", "pitch = 40");
    let half = "verge = true, hip_from = 2.0, pitch = 60";
    let broken = format!("pitch = 60, breaks = [{{ rise = {}, pitch = 30 }}]", 3.0_f64.sqrt());
    let unequal = [p30, "pitch = 45", p30, "pitch = 45"];
    let tee = [
        (0.0, 0.0, p40),
        (3.0, 0.0, p40),
        (3.0, -3.0, VERGE),
        (7.0, -3.0, p40),
        (7.0, 0.0, p40),
        (10.0, 0.0, VERGE),
        (10.0, 6.0, p40),
        (0.0, 6.0, VERGE),
    ];
    let ell =
        [(0.0, 0.0, p30), (8.0, 0.0, VERGE), (8.0, 4.0, p30), (4.0, 4.0, p30), (4.0, 7.0, VERGE), (0.0, 7.0, p30)];
    let chimney = "[[opening]]\nkind = \"chimney\"\nplan = [[5.0, 1.75], [5.9, 1.75], [5.9, 2.25], [5.0, 2.25]]\n";
    let dormer = "[[dormer]]\nname = \"d\"\nface = \"shed/A\"\nat = [3.1, 1.0]\nwidth = 1.8\nfront_height = 1.2\npitch = 40\n\
                  kind = \"gable\"\n";
    let texts = [
        rectangle(9.2, 5.6, ["pitch = 35"; 4], ""),
        format!("units = \"m\"\n{}", block("barn", 2.4, &tee, "")),
        format!("units = \"m\"\n{}{chimney}", block("l", 2.4, &ell, "")),
        rectangle(6.0, 3.0, ["pitch = 12", VERGE, "abutment = true", VERGE], ""),
        rectangle(8.0, 6.0, ["pitch = 45", half, "pitch = 45", half], ""),
        rectangle(7.0, 6.0, [&broken, VERGE, &broken, VERGE], ""),
        rectangle(4.0, 4.0, ["pitch = 50"; 4], ""),
        rectangle(10.0, 6.0, unequal, ""),
        rectangle(8.0, 7.0, [p40, VERGE, p40, VERGE], dormer),
        rectangle(2.4, 1.5, [p30, p30, "abutment = true", p30], ""),
    ];
    (1..).zip(texts).collect()
}

fn role(role: &Role) -> String {
    match role {
        Role::Eave { pitch, breaks } => {
            let each: Vec<String> = breaks
                .iter()
                .map(|(rise, pitch)| format!("{{ rise = {rise}, pitch = {} }}", pitch.degrees()))
                .collect();
            let breaks = if each.is_empty() { String::new() } else { format!(", breaks = [{}]", each.join(", ")) };
            format!("pitch = {}{breaks}", pitch.degrees())
        }
        Role::Verge => VERGE.into(),
        Role::Abutment => "abutment = true".into(),
        Role::HalfHip { hip_from, pitch } => {
            format!("verge = true, hip_from = {hip_from}, pitch = {}", pitch.degrees())
        }
        Role::Gablet { pitch, verge_from } => format!("pitch = {}, verge_from = {verge_from}", pitch.degrees()),
    }
}

/// Footprints as a roof file, made twice as large where `scale` is 2.
fn written(footprints: &[Footprint], scale: f64) -> String {
    let mut text = String::from("units = \"m\"\n");
    for footprint in footprints {
        let _ = write!(
            text,
            "[[block]]\nname = \"{}\"\nheight = {}\nmeasured_at = \"eaves\"\nsides = [\n",
            footprint.name,
            2.0 + footprint.height
        );
        for (index, side) in footprint.rings[0].sides.iter().enumerate() {
            let [x, y] = [side.start.x * scale, side.start.y * scale];
            let height = if (side.height - footprint.height).abs() > 1e-9 {
                format!(", height = {}", 2.0 + side.height)
            } else {
                String::new()
            };
            let _ = writeln!(text, "  {{ from = \"c{index}\", at = [{x}, {y}], {}{height} }},", role(&side.role));
        }
        text.push_str("]\n");
    }
    text
}

/// A random roof: outlines at right angles and in any direction, plans on a grid with every role, blocks that meet, slopes
/// with openings.
pub fn random(seed: u64) -> String {
    let mut pick = Random(seed ^ 0x5eed);
    let sides = 4 + 2 * pick.below(5);
    match seed % 6 {
        0 => written(&[random::rectilinear(seed, sides, false)], 1.0),
        1 => written(&[random::rectilinear(seed, sides, true)], 1.0),
        2 => written(&[random::general(seed, sides, pick.below(2) == 0)], 1.5),
        3 => written(&[random::coincident(seed, sides, false, pick.below(2) == 0)], 3.0),
        4 => written(&blocks::scene(seed / 6).1, 1.0),
        _ => pierced(&mut pick),
    }
}

/// A gable, hip or lean-to with one to three openings.
fn pierced(pick: &mut Random) -> String {
    let (width, depth) = (pick.between(4.0, 12.0), pick.between(4.0, 9.0));
    let pitch = format!("pitch = {:.1}", pick.between(25.0, 50.0));
    let roles =
        [[&pitch, VERGE, &pitch, VERGE], [&pitch, &pitch, &pitch, &pitch], [&pitch, VERGE, "abutment = true", VERGE]]
            [pick.below(3)];
    let mut openings = String::new();
    let count = 1 + pick.below(3);
    for index in 0..count {
        // Side by side, so that none lies over another.
        let room = width / count as f64;
        let size = [pick.between(0.2, 0.9_f64.min(room * 0.5)), pick.between(0.2, 0.9)];
        let at = [room * index as f64 + pick.between(0.1, room - size[0] - 0.05), pick.between(0.2, 1.0)];
        let near_middle = width * 0.3 < at[0] && at[0] + size[0] < width * 0.7;
        if roles[1] == VERGE || near_middle {
            let _ = write!(
                openings,
                "[[opening]]\nface = \"shed/A\"\nat = [{:.3}, {:.3}]\nsize = [{:.3}, {:.3}]\nkind = \"roof window\"\n",
                at[0], at[1], size[0], size[1]
            );
        }
    }
    rectangle(width, depth, roles, &openings)
}
