//! Snow shape coefficients by pitch, to compare roofs by: never a structural design.

/// EN 1991-1-3 table 5.2, mono- and duopitch roofs: 0.8 to 30 degrees, 0.8 (60 - a) / 30 to 60, 0 beyond. With snow guards
/// or parapets never below 0.8. Radians.
#[must_use]
pub fn mu1(pitch: f64, has_guards: bool) -> f64 {
    let degrees = pitch.to_degrees();
    let free = (0.8 * (60.0 - degrees) / 30.0).clamp(0.0, 0.8);
    if has_guards { free.max(0.8) } else { free }
}

/// EN 1991-1-3 table 5.2, valleys of multi-span roofs: 0.8 + 0.8 a / 30 to 30 degrees, then 1.6 to 60; `None` beyond, which
/// the table leaves open.
#[must_use]
pub fn mu2(pitch: f64) -> Option<f64> {
    let degrees = pitch.to_degrees();
    (degrees <= 60.0).then(|| (0.8 + 0.8 * degrees / 30.0).min(1.6))
}

/// NBC Canada, slope factor Cs: (70 - a) / 40 from 30 degrees; on unobstructed slippery roofs (60 - a) / 45 from 15.
#[must_use]
pub fn nbc_cs(pitch: f64, is_slippery: bool) -> f64 {
    let degrees = pitch.to_degrees();
    let slope = if is_slippery { (60.0 - degrees) / 45.0 } else { (70.0 - degrees) / 40.0 };
    slope.clamp(0.0, 1.0)
}

/// ASCE 7-16 figure 7.4-1, slope factor Cs by thermal factor Ct: 1.0 and below warm, 1.1 cold and ventilated, 1.2 and above
/// cold. On unobstructed slippery roofs it falls from 5, 10 and 15 degrees, on others from 30, 37.5 and 45; nothing stays
/// beyond 70.
#[must_use]
pub fn asce_cs(pitch: f64, thermal: f64, is_slippery: bool) -> f64 {
    let from = match (thermal, is_slippery) {
        (ct, true) if ct <= 1.0 => 5.0,
        (ct, true) if ct < 1.2 => 10.0,
        (_, true) => 15.0,
        (ct, false) if ct <= 1.0 => 30.0,
        (ct, false) if ct < 1.2 => 37.5,
        (_, false) => 45.0,
    };
    ((70.0 - pitch.to_degrees()) / (70.0 - from)).clamp(0.0, 1.0)
}
