//! The order of one outline, by the whole chain that a roof file takes: what `takeoff` says of the same outline.

use crate::input::{self, NoFiles};
use crate::job::features::FeatureFault;
use crate::job::order::take_off;
use crate::job::outlines::PlacedOutline;
use crate::job::{self, Options};
use crate::takeoff::compare::is_covering;
use crate::takeoff::prices::Prices;
use crate::write::roof_file;

/// Packs of the covering and the cost of the whole order; `None` where the card or the prices say nothing.
///
/// # Errors
/// Why the roof could not be laid out.
pub fn laid(
    placed: &PlacedOutline,
    card: &str,
    prices: Option<&Prices>,
) -> Result<(Option<u32>, Option<f64>), FeatureFault> {
    let mut text = roof_file::head("outline");
    text.push_str(&roof_file::blocks(&placed.outline, |at| {
        if at == 0 { "outline".to_owned() } else { format!("outline {}", at + 1) }
    }));
    text.push_str(&format!("\n[covering]\ncard = {}\n", roof_file::quoted(card)));
    let not_laid = |said: String| FeatureFault::NotLaid(said);
    let (mut job, ..) = input::read("outline", &text, &NoFiles)
        .map_err(|said| not_laid(said.iter().map(|one| one.message.as_str()).collect::<Vec<_>>().join("; ")))?;
    if let Some(prices) = prices {
        job.covering.prices = prices.clone();
    }
    let answer =
        job::solve(&job, &Options { steps: false, spread: false }).map_err(|failure| not_laid(failure.to_string()))?;
    let order = take_off(&job, &answer);
    let covering = order.lines.iter().filter(|line| is_covering(&line.item));
    Ok((covering.filter_map(|line| line.packs).reduce(|a, b| a + b), order.cost().value()))
}
