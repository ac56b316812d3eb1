//! What to order.

use super::SheetInput;
use super::what::sentence;
use crate::base::estimate::Estimate;
use crate::drawing::typeset::document::{Align, Document, Table};
use crate::takeoff::answer::Stage;
use crate::takeoff::order_line::OrderLine;
use crate::takeoff::work::Kind;
use crate::wording::offer as words_of_offer;
use crate::wording::order as words_of;
use crate::wording::short_list;
use crate::wording::summary;
use crate::wording::units::Format;
use crate::wording::units::money;
use crate::wording::work::SPREAD_OUT;

/// What is said where nothing is ordered.
const NOTHING: &str = "Nothing is ordered before what stands first on this sheet is settled.";

/// The order list by stage of the work.
pub(super) fn order(input: &SheetInput<'_>, document: &mut Document) {
    let (take_off, format) = (input.take_off, input.context.words);
    document.heading(1, "What to order");
    if take_off.lines.is_empty() {
        document.text(NOTHING);
        return;
    }
    if let Some(open) = take_off.offer.as_ref().and_then(words_of_offer::not_whole) {
        document.text(sentence(&open));
    }
    if take_off.lines.iter().any(|line| line.packs_high().is_some()) {
        document.text(words_of::UPPER_FIGURE);
    }
    document.text(words_of::one_batch(take_off));
    let currency = input.job.covering.prices.currency.as_deref();
    for part in &take_off.parts {
        document.heading(2, sentence(&words_of::part(part, format)));
        document.table(lines(&part.lines, currency, format));
    }
    if !take_off.parts.is_empty() {
        document.heading(2, sentence(words_of::IN_ALL));
    }
    // The full sheet has every nail in a row of its own.
    let told: Vec<&OrderLine> =
        if input.full { take_off.lines.iter().collect() } else { take_off.main_lines().collect() };
    let has_costs = has_costs(&take_off.lines);
    let detail = |line: &OrderLine| short_list::detail(line, take_off, format);
    let mut table = table_of(&told, words_of::kind_of(take_off), (has_costs, currency), detail, format);
    if !input.full {
        small_goods(input, has_costs, &mut table);
    }
    document.table(table);
    if take_off.weight().value() > Some(0.0) {
        document.text(format!(
            "{}. {}",
            sentence(&words_of::weights(take_off, format)).trim_end_matches('.'),
            sentence(SPREAD_OUT)
        ));
    }
    if let Some(material) = words_of_offer::material(take_off) {
        document.text(sentence(&material));
    }
    if let Some(thumbs) = short_list::thumbs(take_off, format) {
        document.text(sentence(&thumbs));
    }
    if !take_off.tools.is_empty() {
        document.heading(2, "Tools and consumables");
        document.text(sentence(&words_of::tools(&take_off.tools, format)));
    }
}

/// The lines that tell most of the order, and what all of it comes to.
pub(super) fn in_short(input: &SheetInput<'_>, document: &mut Document) {
    let (take_off, format) = (input.take_off, input.context.words);
    if take_off.lines.is_empty() {
        document.text(NOTHING);
        return;
    }
    let told = take_off.foremost(summary::LINES);
    let with_costs = has_costs(&take_off.lines);
    let mut heads = vec![("what", Align::Left), ("order", Align::Left), ("weight", Align::Right)];
    if with_costs {
        heads.push(("cost", Align::Right));
    }
    let mut table = Table::new(&heads);
    let currency = input.job.covering.prices.currency.as_deref();
    for line in told {
        let known = |of: &Estimate| of.value().filter(|value| *value > 0.0);
        let weight = known(&line.weight).map_or_else(String::new, |weight| format.weight(weight));
        let cost = known(&line.cost).map_or_else(String::new, |cost| money(cost, currency));
        table.row(
            [words_of::name_among(&line.item, &take_off.lines), summary::bought(line, format), weight, cost]
                .into_iter()
                .take(heads.len()),
        );
    }
    document.table(table);
    let weight = (take_off.weight().value() > Some(0.0)).then(|| words_of::weights(take_off, format));
    let told: Vec<String> = [weight, summary::price(take_off)].into_iter().flatten().collect();
    if !told.is_empty() {
        document.text(sentence(&format!("all of the order, small parts included: {}", told.join("; "))));
    }
}

/// Whether any line has a cost.
fn has_costs(all: &[OrderLine]) -> bool {
    all.iter().any(|line| line.cost.value().is_some())
}

/// All lines of an order by stage of the work.
pub(super) fn lines(all: &[OrderLine], currency: Option<&str>, format: Format) -> Table {
    let kind = words_of::kind(all.iter().map(|line| &line.item));
    let told: Vec<&OrderLine> = all.iter().collect();
    table_of(&told, kind, (has_costs(all), currency), |line| words_of::detail(line, format), format)
}

/// Some lines of an order by stage of the work, with a column of costs where any has one, and the currency they are in.
fn table_of(
    told: &[&OrderLine],
    kind: Kind,
    (has_costs, currency): (bool, Option<&str>),
    detail: impl Fn(&OrderLine) -> Option<String>,
    format: Format,
) -> Table {
    let mut heads =
        vec![("what", Align::Left), ("laid", Align::Right), ("order", Align::Right), ("bought as", Align::Left)];
    if has_costs {
        heads.push(("cost", Align::Right));
    }
    let mut table = Table::new(&heads);
    for stage in Stage::ALL {
        let lines: Vec<&OrderLine> = told.iter().copied().filter(|line| line.stage() == stage).collect();
        if lines.is_empty() {
            continue;
        }
        table.section(words_of::heading(stage));
        for line in lines {
            let what = match detail(line) {
                Some(detail) => format!("{} ({detail})", words_of::what(&line.item, kind)),
                None => words_of::what(&line.item, kind),
            };
            let mut row =
                vec![what, words_of::laid(line, format), words_of::ordered(line), words_of::pack(line, format)];
            if has_costs {
                row.push(line.cost.value().map_or_else(String::new, |cost| money(cost, currency)));
            }
            table.row(row);
        }
    }
    table
}

/// Nails, single pieces of metal and parts of gutters: a row a group.
fn small_goods(input: &SheetInput<'_>, has_costs: bool, table: &mut Table) {
    let (take_off, format) = (input.take_off, input.context.words);
    let groups = take_off.small_goods();
    if groups.is_empty() {
        return;
    }
    table.section(short_list::SMALL_GOODS);
    let currency = input.job.covering.prices.currency.as_deref();
    for group in &groups {
        let mut row = vec![short_list::group(group, take_off, true, format)];
        row.extend([const { String::new() }; 3]);
        if has_costs {
            row.push(group.cost.map_or_else(String::new, |cost| money(cost, currency)));
        }
        table.row(row);
    }
}
