//! Which faces of a body to fill first, so that nearer ones cover those behind.

use super::body::Body;
use super::clip;
use super::hidden::Look;
use crate::base::tolerance::ONE_PLACE;
use crate::drawing::typeset::pen::Tone;
use nalgebra::{Point2, Vector3};

/// A polygon turned to the eye.
struct Facing {
    tone: Tone,
    rings: Vec<Vec<Point2<f64>>>,
    normal: Vector3<f64>,
    through: nalgebra::Point3<f64>,
}

impl Facing {
    /// Depth of its plane at a place of the picture.
    fn depth(&self, look: &Look, place: &Point2<f64>) -> f64 {
        let on_screen = look.right * (place.x / look.stretch) + look.up * (place.y / look.stretch);
        (self.normal.dot(&self.through.coords) - self.normal.dot(&on_screen)) / self.normal.dot(&look.towards)
    }
}

/// Fills of the polygons turned to the eye, the farthest first; none at all when they cover one another in a ring.
/// O(polygons² × corners).
#[must_use]
pub fn fills(body: &Body, look: &Look) -> Vec<(Tone, Vec<Vec<Point2<f64>>>)> {
    // Light falls over the viewer's left shoulder.
    let light = (look.towards - look.right * 0.9 + Vector3::z() * 0.4).normalize();
    let facing: Vec<Facing> = body
        .flats
        .iter()
        .filter(|flat| flat.normal.dot(&look.towards) > ONE_PLACE)
        .filter_map(|flat| {
            let lit = flat.normal.dot(&light) > 0.62;
            let tone = match (flat.face.is_some(), lit) {
                (true, true) => Tone::Face,
                (true, false) => Tone::FaceShade,
                (false, true) => Tone::Wall,
                (false, false) => Tone::WallShade,
            };
            let rings: Vec<Vec<Point2<f64>>> =
                flat.rings.iter().map(|ring| ring.iter().map(|&at| look.place(&body.places[at])).collect()).collect();
            let through = body.places[*flat.rings.first()?.first()?];
            Some(Facing { tone, rings, normal: flat.normal, through })
        })
        .collect();
    let epsilon = body.size() * ONE_PLACE;
    // behind[i] holds those that must be filled before i.
    let count = facing.len();
    let mut behind: Vec<Vec<usize>> = vec![Vec::new(); count];
    for i in 0..count {
        for j in i + 1..count {
            let Some(gap) = nearer_by(&facing[i], &facing[j], look, epsilon) else { continue };
            if gap > 0.0 {
                behind[i].push(j);
            } else {
                behind[j].push(i);
            }
        }
    }
    let mut order = Vec::new();
    let mut placed = vec![false; count];
    while order.len() < count {
        let next = (0..count).find(|&i| !placed[i] && behind[i].iter().all(|&j| placed[j]));
        let Some(next) = next else { return Vec::new() };
        placed[next] = true;
        order.push(next);
    }
    order.into_iter().map(|index| (facing[index].tone, facing[index].rings.clone())).collect()
}

/// By how much the first lies before the second where both cover the picture; `None` where they do not overlap.
fn nearer_by(first: &Facing, second: &Facing, look: &Look, epsilon: f64) -> Option<f64> {
    let mut widest: Option<f64> = None;
    let mut look_at = |place: Point2<f64>| {
        if clip::holds(&first.rings, &place) && clip::holds(&second.rings, &place) {
            let gap = first.depth(look, &place) - second.depth(look, &place);
            if gap.abs() > epsilon && widest.is_none_or(|known| gap.abs() > known.abs()) {
                widest = Some(gap);
            }
        }
    };
    for (rings, other) in [(&first.rings, &second.rings), (&second.rings, &first.rings)] {
        for ring in rings {
            for (index, from) in ring.iter().enumerate() {
                let to = ring[(index + 1) % ring.len()];
                for [a, b] in clip::inside(other, from, &to) {
                    // A hair to either side of the middle of what overlaps: inside both, if they do overlap.
                    let across = nalgebra::Vector2::new(a.y - b.y, b.x - a.x).try_normalize(f64::MIN_POSITIVE);
                    if let Some(across) = across {
                        look_at(nalgebra::center(&a, &b) + across * epsilon);
                        look_at(nalgebra::center(&a, &b) - across * epsilon);
                    }
                }
            }
        }
    }
    widest
}
