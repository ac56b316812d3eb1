//! Round numbers along an axis.

/// Round numbers (1, 2, 5 times a power of ten) from below `low` to above `high`, some four to seven of them.
#[must_use]
pub fn ticks(low: f64, high: f64) -> Vec<f64> {
    let span = if high > low { high - low } else { low.abs().max(1.0) * 0.1 };
    let power = 10_f64.powf((span / 4.0).log10().floor());
    let steps = [1.0, 2.0, 5.0, 10.0].map(|factor| factor * power);
    let step = steps.into_iter().find(|step| span / step <= 5.0).unwrap_or(steps[3]);
    let first = (low / step).floor();
    let mut ticks = Vec::new();
    for index in 0..=8 {
        let tick = (first + f64::from(index)) * step;
        ticks.push(tick);
        if tick >= high && ticks.len() > 1 {
            break;
        }
    }
    ticks
}

/// A tick's value with the decimals its step needs.
#[must_use]
pub fn decimals(value: f64, step: f64) -> String {
    if step >= 1.0 {
        format!("{value:.0}")
    } else if step >= 0.1 {
        format!("{value:.1}")
    } else {
        format!("{value:.2}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_hold_the_range() {
        assert_eq!(ticks(20.0, 50.0), [20.0, 30.0, 40.0, 50.0]);
        let found = ticks(58.2, 71.9);
        assert!(found[0] <= 58.2 && found[found.len() - 1] >= 71.9 && found.len() <= 8, "{found:?}");
        assert!(ticks(3.0, 3.0).len() > 1);
    }
}
