//! Steps of brightness along a short line across an edge.

use super::grey::Grey;

/// Samples a pixel of the profile.
const PER_PIXEL: f64 = 2.0;
/// Width of the derivative of a Gaussian that steps are found with, pixels: about that of a sharp photo's own blur, for
/// which the place of the largest slope is found best (J. Canny, 1986).
const SMOOTH: f64 = 1.0;
/// Light changes most within this of where what is stored does, samples.
const NEAR: usize = 3;
/// How far its kernel reaches, samples.
const KERNEL: usize = 6;

/// A step of brightness across an edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Step {
    /// From the middle of the profile, pixels.
    pub off: f64,
    /// Slope, brightness a pixel, signed.
    pub slope: f64,
    /// The bright side is as bright as the file can tell: more light may have fallen there.
    pub is_blown: bool,
}

/// Stored brightness from which on light may have been cut off.
const BLOWN: f64 = 252.0;
/// Where the sides of a step are looked at, samples from its middle.
const SIDE: usize = 5;

/// The slopes of brightness across a line at one place of it.
pub(super) struct Profile {
    /// Of brightness as stored.
    slopes: Vec<f64>,
    /// Of light.
    light: Vec<f64>,
    /// Brightness as stored, with [`KERNEL`] samples more at each end.
    stored: Vec<f64>,
    /// Half its length, samples.
    half: usize,
}

impl Profile {
    /// About a place, along a unit vector `across`, to `reach` pixels on either side, each sample the mean over `along`
    /// pixels on either side along the edge; `None` where it leaves the picture.
    pub fn new(grey: &Grey, at: [f64; 2], across: [f64; 2], reach: f64, along: usize) -> Option<Self> {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let half = (reach * PER_PIXEL).ceil() as usize;
        let count = 2 * (half + KERNEL) + 1;
        let (mut stored, mut light) = (Vec::with_capacity(count), Vec::with_capacity(count));
        for sample in 0..count {
            let off = (sample as f64 - (half + KERNEL) as f64) / PER_PIXEL;
            let mut sums = [0.0; 2];
            for beside in 0..=2 * along {
                let side = beside as f64 - along as f64;
                let here =
                    grey.at([at[0] + across[0] * off - across[1] * side, at[1] + across[1] * off + across[0] * side])?;
                sums = [sums[0] + here.stored, sums[1] + here.light];
            }
            let width = (2 * along + 1) as f64;
            stored.push(sums[0] / width);
            light.push(sums[1] / width);
        }
        let kernel = kernel();
        let slopes = |values: &[f64]| -> Vec<f64> {
            let slope = |middle: usize| {
                (1..=KERNEL).map(|k| kernel[k - 1] * (values[middle + k] - values[middle - k])).sum::<f64>()
            };
            (KERNEL..count - KERNEL).map(slope).collect()
        };
        Some(Self { slopes: slopes(&stored), light: slopes(&light), stored, half })
    }

    /// The sizes of all slopes.
    pub fn sizes(&self) -> impl Iterator<Item = f64> + '_ {
        self.slopes.iter().map(|slope| slope.abs())
    }

    /// Where brightness changes most, within `reach` of the middle, by slopes steeper than `least`: found in brightness as
    /// stored, located where light changes most beside.
    pub fn steps(&self, reach: f64, least: f64) -> Vec<Step> {
        let mut steps = Vec::new();
        for at in 1..self.slopes.len().saturating_sub(1) {
            let [before, here, after] = [at - 1, at, at + 1].map(|k| self.slopes[k].abs());
            if here < least || here < before || here <= after {
                continue;
            }
            let place = self.in_light(at).unwrap_or_else(|| top(&self.slopes, at));
            let off = (place - self.half as f64) / PER_PIXEL;
            if off.abs() <= reach {
                let side = |at: usize| self.stored[at] > BLOWN;
                let is_blown = side(at + KERNEL - SIDE) || side(at + KERNEL + SIDE);
                steps.push(Step { off, slope: self.slopes[at], is_blown });
            }
        }
        steps
    }

    /// Where light changes most near a step that was found, in samples.
    fn in_light(&self, at: usize) -> Option<f64> {
        let sign = self.slopes[at].signum();
        let near = at.saturating_sub(NEAR).max(1)..=(at + NEAR).min(self.light.len() - 2);
        let best = near.clone().max_by(|&a, &b| (sign * self.light[a]).total_cmp(&(sign * self.light[b])))?;
        let is_top = self.light[best].abs() >= self.light[best - 1].abs().max(self.light[best + 1].abs());
        is_top.then(|| top(&self.light, best))
    }
}

/// The top of a parabola through three samples, the middle one the highest.
fn top(slopes: &[f64], at: usize) -> f64 {
    let [before, here, after] = [at - 1, at, at + 1].map(|k| slopes[k].abs());
    let bend = before - 2.0 * here + after;
    at as f64 + if bend < 0.0 { 0.5 * (before - after) / bend } else { 0.0 }
}

/// Weights of the differences of samples at like distances from the middle: a slope of 1 a pixel gives 1.
fn kernel() -> [f64; KERNEL] {
    let weight = |k: usize| {
        let off = (k + 1) as f64 / PER_PIXEL;
        off * (-off * off / (2.0 * SMOOTH * SMOOTH)).exp()
    };
    let weights: [f64; KERNEL] = std::array::from_fn(weight);
    let gain: f64 = weights.iter().enumerate().map(|(k, weight)| weight * 2.0 * (k + 1) as f64 / PER_PIXEL).sum();
    weights.map(|weight| weight / gain)
}
