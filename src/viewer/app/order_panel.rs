//! The card at the head of the right side, the order by parts of the work, and both to be copied.

use super::panes::{Panes, Stop};
use crate::base::units::LengthUnit;
use crate::takeoff::answer::TakeOff;
use crate::takeoff::order_line::OrderLine;
use crate::viewer::icons::Icon;
use crate::viewer::render::shown::Shown;
use crate::viewer::render::theme::{Palette, colour};
use crate::viewer::signs;
use crate::viewer::widgets::{Tool, heading};
use crate::wording::amount::sentence;
use crate::wording::units::{Format, money};
use crate::wording::{About, estimate, offer, order as words, summary, work};
use eframe::egui;
use eframe::egui::{Align, Layout, RichText};

/// A heading with a rule under it.
pub fn head(ui: &mut egui::Ui, told: &str) {
    ui.add_space(12.0);
    heading(ui, told);
    ui.separator();
}

/// Rows of text, not of buttons.
fn close_up(ui: &mut egui::Ui) {
    ui.spacing_mut().interact_size.y = 18.0;
    ui.spacing_mut().item_spacing.y = 2.0;
}

/// How big, whether it may be ordered, what to order in a few lines, what it costs.
pub fn card(ui: &mut egui::Ui, panes: &mut Panes, shown: &Shown, palette: &Palette, units: LengthUnit) {
    let (answered, format) = (&shown.answered, Format::of(units));
    let about = About::of(&answered.job, &answered.answer.roof).in_units_of(units);
    let frame = egui::Frame::NONE.fill(colour(palette.field)).inner_margin(10).corner_radius(4);
    frame.stroke(egui::Stroke::new(1.0, colour(palette.rule))).show(ui, |ui| {
        ui.set_min_width(ui.available_width());
        close_up(ui);
        if !answered.job.title.is_empty() {
            ui.label(RichText::new(&answered.job.title).color(colour(palette.faint)));
        }
        let area = estimate::or_why(&answered.answer.totals().area, |area| estimate::area(area, format));
        ui.heading(area).on_hover_text("roof area");
        match summary::verdict(&about, &answered.answer, &answered.take_off) {
            (Some(severity), told) => signs::found(ui, palette, severity, &sentence(&told)),
            (None, told) => signs::after(ui, (Icon::Good, colour(palette.accent)), &sentence(&told)),
        }
        ui.add_space(4.0);
        for line in answered.take_off.foremost(summary::LINES) {
            pair(ui, words::name(&line.item), RichText::new(summary::bought(line, format)).strong());
        }
        ui.add_space(4.0);
        let price = summary::price(&answered.take_off).unwrap_or_else(|| "no prices given: page Covering".to_owned());
        ui.add(egui::Label::new(RichText::new(sentence(&price)).strong()).wrap());
        copy(ui, panes, &about, shown);
    });
}

/// Buttons that put the order on the clipboard.
fn copy(ui: &mut egui::Ui, panes: &mut Panes, about: &About<'_>, shown: &Shown) {
    let answered = &shown.answered;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 3.0;
        let text = Tool::new(Icon::Copy, "Copy as text", "area, verdict, order and price").show(ui);
        panes.stop(Stop::Right, &text);
        if text.clicked() {
            let title = if answered.job.title.is_empty() { "roof" } else { answered.job.title.as_str() };
            ui.ctx().copy_text(summary::text(about, title, &answered.answer, &answered.take_off));
        }
        if Tool::word("as table", "the order, for a spreadsheet").show(ui).clicked() {
            ui.ctx().copy_text(summary::table(&answered.take_off, about.units));
        }
    });
}

/// A name on the left, and to the right, or on the next line where there is no room, how much.
fn pair(ui: &mut egui::Ui, name: &str, much: RichText) {
    let room = ui.available_width();
    let width = |ui: &egui::Ui, text: RichText| {
        let text: egui::WidgetText = text.into();
        text.into_galley(ui, Some(egui::TextWrapMode::Extend), f32::INFINITY, egui::TextStyle::Body).size().x
    };
    let fits = width(ui, RichText::new(name)) + width(ui, much.clone()) + 12.0 <= room;
    if fits {
        ui.horizontal(|ui| {
            ui.label(name);
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| ui.label(much));
        });
    } else {
        ui.label(name);
        ui.with_layout(Layout::top_down(Align::Max), |ui| ui.add(egui::Label::new(much).wrap()));
    }
}

/// The order by parts of the work: each line with what is laid, what is bought and what it costs, each part with its sum; at
/// the end the whole, and what has no price.
pub fn order(ui: &mut egui::Ui, shown: &Shown, palette: &Palette, units: LengthUnit) {
    let (format, answered) = (Format::of(units), &shown.answered);
    let faint = colour(palette.faint);
    head(ui, "What to order");
    ui.label(RichText::new(&answered.job.covering.card.title).color(faint));
    if answered.take_off.lines.is_empty() {
        ui.label(RichText::new("not worked out").color(faint));
        return;
    }
    close_up(ui);
    let is_priced = answered.take_off.cost().value().is_some();
    for stage in answered.take_off.by_stage() {
        let told = words::heading(stage.stage);
        let cost = stage.cost.value().map(|cost| money(cost, currency(&answered.take_off)));
        let title = cost.map_or_else(|| told.to_owned(), |cost| format!("{told} · {cost}"));
        egui::CollapsingHeader::new(title).id_salt(told).default_open(true).show_unindented(ui, |ui| {
            for one in stage.lines {
                line(ui, one, is_priced, format, faint);
            }
        });
    }
    ui.add_space(4.0);
    ui.label(format!("{}.", words::weights(&answered.take_off, format)));
    if let Some(price) = summary::price(&answered.take_off) {
        ui.strong(sentence(&price));
    }
    if let Some(open) = answered.take_off.offer.as_ref().and_then(offer::not_whole) {
        signs::after(ui, (Icon::Caution, colour(palette.caution)), &sentence(&open));
    }
    ui.collapsing("How to lay it", |ui| {
        let steps = work::listed(&answered.take_off.work, &answered.answer.roof, format);
        for (number, step) in steps.iter().enumerate() {
            ui.strong(format!("{}. {}", number + 1, step.title));
            ui.label(&step.message);
            for caution in &step.cautions {
                signs::after(ui, (Icon::Caution, colour(palette.caution)), caution);
            }
            ui.add_space(3.0);
        }
    });
}

fn currency(answer: &TakeOff) -> Option<&str> {
    answer.offer.as_ref().and_then(|offer| offer.currency.as_deref())
}

fn line(ui: &mut egui::Ui, line: &OrderLine, is_priced: bool, format: Format, faint: egui::Color32) {
    let cost = line.cost.value().map(|cost| money(cost, None));
    let needs_none = !is_priced || line.comes_from_another() || line.is_there;
    let cost = cost.unwrap_or_else(|| if needs_none { String::new() } else { "no price".to_owned() });
    pair(ui, words::name(&line.item), RichText::new(cost).color(faint));
    let laid = words::laid(line, format);
    let bought = summary::bought(line, format);
    let bought = if bought == laid { String::new() } else { bought };
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new(laid).color(faint));
        ui.strong(bought);
    });
    ui.add_space(4.0);
}
