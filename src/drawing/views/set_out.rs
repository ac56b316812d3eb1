//! Dimensions of what stands in a face: along the eave, up the slope, down from what ends the face above.

use crate::base::ids::FaceId;
use crate::base::order::SortByNumber as _;
use crate::base::tolerance::ONE_MARK;
use crate::drawing::typeset::canvas::Canvas;
use crate::roof::analysis::standing::SettingOut;
use nalgebra::{Point2, Vector2};

/// Dimensions every opening and dormer of a face outside its shape: from the left end of the eave beneath it, up the slope and
/// down from the ridge at the side it stands nearer to, or where there is no room at the other. What two of them share is said once.
pub(super) fn dimension(
    canvas: &mut Canvas<'_>,
    all: &[SettingOut],
    face: FaceId,
    (low, high): (Point2<f64>, Point2<f64>),
) {
    let mut said: Vec<(bool, [f64; 2])> = Vec::new();
    let mut is_new = |upright: bool, ends: [f64; 2]| {
        let same = |(other, of): &(bool, [f64; 2])| {
            *other == upright && of.iter().zip(ends).all(|(a, b)| (a - b).abs() < ONE_MARK)
        };
        let is_new = !said.iter().any(same);
        if is_new {
            said.push((upright, ends));
        }
        is_new
    };
    let format = canvas.context.words;
    let mut of_face: Vec<&SettingOut> = all.iter().filter(|of| of.face == face).collect();
    // The nearer ones first, so that their lines lie nearer to the face.
    of_face.sort_by_number(|a| a.from_left[0]);
    for of in of_face {
        let along = [0.0, of.from_left[0]];
        if !format.reads_as_nothing(along[1]) && is_new(false, along) {
            let ends = along.map(|u| Point2::new(u, low.y));
            canvas.dimension(ends, Vector2::new(0.0, -1.0), &format.length(along[1]));
        }
        let right = of.from_left[0] + of.from_left[1] > low.x + high.x;
        let sides = if right { [(high.x, 1.0), (low.x, -1.0)] } else { [(low.x, -1.0), (high.x, 1.0)] };
        let up = [0.0, of.up[0]];
        let down = of.down.map(|down| [of.up[1], of.up[1] + down.distance]);
        for ends in std::iter::once(up).chain(down) {
            if !format.reads_as_nothing(ends[1] - ends[0]) && is_new(true, ends) {
                let words = format.length(ends[1] - ends[0]);
                let at = |(x, outward): (f64, f64)| (ends.map(|v| Point2::new(x, v)), Vector2::new(outward, 0.0));
                let mut beside = sides.into_iter().map(at);
                beside.any(|(ends, outward)| canvas.dimension(ends, outward, &words));
            }
        }
    }
}
