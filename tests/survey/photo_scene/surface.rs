//! What the invented outbuilding and its surroundings are made of, as colours by place: strip shingles, boarded walls on a
//! brick foot, a door, a window, grass, sky. Linear light, 0 to 1.

use nalgebra::{Point3, Vector3};

pub type Light = Vector3<f64>;

/// A number from a place on a grid, 0 to 1.
fn hash(x: i64, y: i64, salt: i64) -> f64 {
    #[allow(clippy::cast_sign_loss)]
    let mut z = (x.wrapping_mul(0x9E37_79B9) ^ y.wrapping_mul(0x85EB_CA6B) ^ salt.wrapping_mul(0xC2B2_AE35)) as u64;
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
}

#[allow(clippy::cast_possible_truncation)]
fn cell(v: f64) -> i64 {
    v.floor() as i64
}

/// Smooth noise on a grid of unit cells, 0 to 1.
pub fn noise(x: f64, y: f64, salt: i64) -> f64 {
    let (i, j) = (cell(x), cell(y));
    let ease = |t: f64| t * t * (3.0 - 2.0 * t);
    let (u, v) = (ease(x - x.floor()), ease(y - y.floor()));
    let at = |di: i64, dj: i64| hash(i + di, j + dj, salt);
    let mix = |a: f64, b: f64, t: f64| a + (b - a) * t;
    mix(mix(at(0, 0), at(1, 0), u), mix(at(0, 1), at(1, 1), u), v)
}

fn mix(a: Light, b: Light, share: f64) -> Light {
    a + (b - a) * share.clamp(0.0, 1.0)
}

fn within(value: f64, low: f64, high: f64) -> bool {
    (low..high).contains(&value)
}

/// Shingles: `along` the eave and `up` the slope in metres; `edge` the distance to the nearest hip or ridge. `pixel` is
/// the width of a pixel there: what is finer melts into its mean.
pub fn shingles(along: f64, up: f64, edge: f64, pixel: f64) -> Light {
    let (gauge, tab) = (0.143, 1.0 / 3.0);
    let slate = Light::new(0.115, 0.12, 0.13);
    if edge < 0.115 {
        // Caps lie over hips and ridge.
        return slate * (0.92 + 0.1 * hash(cell(along / 0.143), cell(up / 0.143), 5));
    }
    let course = cell(up / gauge);
    let shifted = along - 0.5 * tab * (course.rem_euclid(6) as f64);
    let piece = cell(shifted / tab);
    let tone = 0.88 + 0.24 * hash(piece, course, 1) + 0.08 * (noise(along * 1.3, up * 1.3, 2) - 0.5);
    let mut colour = slate * tone;
    let line = |distance: f64, half: f64| (half / half.max(pixel)) * (1.0 - distance / half.max(pixel)).clamp(0.0, 1.0);
    let within_course = up - course as f64 * gauge;
    let slot = (shifted - piece as f64 * tab).min((piece + 1) as f64 * tab - shifted);
    colour *= 1.0 - 0.55 * line(within_course, 0.012);
    colour *= 1.0 - 0.45 * line(slot, 0.006);
    colour
}

/// A wall: `along` it from its left end and `up` from the ground, metres; `wide` its width.
pub fn wall(along: f64, up: f64, wide: f64, face: usize, high: f64, pixel: f64) -> Light {
    if up > high - 0.15 {
        // The fascia.
        return Light::new(0.62, 0.60, 0.55);
    }
    if up < 0.42 {
        let course = cell(up / 0.075);
        let brick = cell((along + 0.11 * (course.rem_euclid(2) as f64)) / 0.225);
        let red = Light::new(0.30, 0.13, 0.085) * (0.8 + 0.4 * hash(brick, course, 7));
        let joint = (up / 0.075).fract().min(((along + 0.11 * (course.rem_euclid(2) as f64)) / 0.225).fract() * 3.0);
        return if joint < 0.14 && pixel < 0.02 { Light::new(0.36, 0.34, 0.31) } else { red };
    }
    let middle = wide / 2.0;
    let door = face == 0 && within(along, middle - 1.9, middle - 0.9) && up < 2.05;
    // Left, right, sill, head.
    let window = match face {
        0 => Some([middle + 0.8, middle + 2.0, 0.95, 1.8]),
        1 => Some([middle - 0.4, middle + 0.4, 1.05, 1.75]),
        2 => Some([middle - 0.6, middle + 0.6, 0.95, 1.8]),
        _ => None,
    };
    let window = window.filter(|[left, right, sill, head]| within(along, *left, *right) && within(up, *sill, *head));
    if door {
        let plank = ((along - middle + 1.9) / 0.125).fract();
        let green = Light::new(0.05, 0.13, 0.10);
        return if plank < 0.08 || up > 2.0 { green * 0.5 } else { green };
    }
    if let Some([left, right, sill, head]) = window {
        let panes = ((right - left) / 0.3).round();
        let nearest = |share: f64| (share - share.round()).abs();
        let bars = nearest((along - left) / (right - left) * panes) < 0.07;
        let rails = nearest((up - sill) / (head - sill) * 2.0) < 0.05;
        return if bars || rails {
            Light::new(0.7, 0.7, 0.68)
        } else {
            Light::new(0.035, 0.045, 0.055) + Light::new(0.10, 0.13, 0.16) * ((up - 0.9) * 0.8).max(0.0)
        };
    }
    let board = cell(along / 0.16);
    let seam = ((along / 0.16).fract() - 0.5).abs() * 2.0;
    let grain =
        0.9 + 0.16 * hash(board, 3, i64::try_from(face).unwrap()) + 0.06 * (noise(along * 40.0, up * 1.5, 9) - 0.5);
    let larch = Light::new(0.36, 0.235, 0.135) * grain;
    larch * (1.0 - 0.5 * ((seam - 0.93) / 0.07).clamp(0.0, 1.0))
}

/// Grass, with a trodden path round the building.
pub fn ground(x: f64, y: f64, from_wall: f64, pixel: f64) -> Light {
    let fine = if pixel < 0.04 { noise(x * 22.0, y * 22.0, 11) } else { 0.5 };
    let tuft = 0.75 + 0.25 * noise(x * 2.1, y * 2.1, 12) + 0.22 * (fine - 0.5) + 0.2 * noise(x * 0.35, y * 0.35, 13);
    let grass = Light::new(0.105, 0.165, 0.045) * tuft;
    let gravel = Light::new(0.30, 0.27, 0.23) * (0.85 + 0.25 * fine);
    let edge = 0.75 + 0.5 * (noise(x * 1.1, y * 1.1, 14) - 0.5);
    mix(gravel, grass, (from_wall - edge) / 0.25)
}

/// What lies behind it all: a hedge along the horizon, sky with thin clouds.
pub fn sky(direction: &Vector3<f64>) -> Light {
    let bearing = direction.y.atan2(direction.x);
    let rise = direction.z.atan2(direction.xy().norm());
    let hedge = 0.035 + 0.05 * noise(bearing * 6.0, 0.0, 21) + 0.018 * noise(bearing * 30.0, 0.0, 22);
    if rise < hedge {
        let leaf = 0.7 + 0.5 * noise(bearing * 90.0, rise * 90.0, 23) * noise(bearing * 22.0, rise * 40.0, 24);
        return Light::new(0.055, 0.085, 0.04) * leaf;
    }
    let height = (rise / 0.9).clamp(0.0, 1.0);
    let blue = mix(Light::new(0.66, 0.74, 0.80), Light::new(0.24, 0.40, 0.66), height.sqrt());
    let cloud = noise(bearing * 3.0 + rise, rise * 9.0, 25) * 0.6 + noise(bearing * 8.0, rise * 24.0, 26) * 0.4;
    mix(blue, Light::new(0.82, 0.83, 0.84), (cloud - 0.5) * 2.2)
}

/// Distance of a place from a segment in space.
pub fn off(place: &Point3<f64>, ends: &[Point3<f64>; 2]) -> f64 {
    let along = ends[1] - ends[0];
    let share = ((place - ends[0]).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
    (place - (ends[0] + along * share)).norm()
}
