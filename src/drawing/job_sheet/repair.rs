//! A repair as a sheet: what is lifted, what is ordered, what is done.

use super::SheetInput;
use super::order::lines;
use super::what::sentence;
use crate::drawing::typeset::document::{self, Block, Document};
use crate::drawing::typeset::figure::{Figure, Key, inset};
use crate::drawing::views::renewed::Renewed;
use crate::takeoff::Finding;
use crate::takeoff::repair::RepairAnswer;
use crate::takeoff::work::Task;
use crate::wording;

/// The sheet of a job's repairs. Deterministic.
#[must_use]
pub(crate) fn repair_sheet(input: &SheetInput<'_>, (repairs, findings): (&[RepairAnswer], &[Finding])) -> Document {
    let (roof, format) = (&input.answer.roof, input.context.words);
    let mut document = Document {
        title: input.job.title.clone(),
        kind: "repair".to_owned(),
        date: input.job.date.clone(),
        blocks: Vec::new(),
    };
    if !findings.is_empty() {
        document.heading(1, "Look here first");
        document
            .list(findings.iter().map(|found| sentence(&wording::takeoff::with_faces(found, roof, format))).collect());
    }
    let currency = input.job.covering.prices.currency.as_deref();
    for repair in repairs {
        document.heading(1, format!("Repair on {}", roof.faces[repair.face.index()].name()));
        document.text(wording::repair::what(repair, roof, format));
        if let Some(layout) = input.take_off.layouts.iter().find(|layout| layout.face == repair.face)
            && let Some(figure) = Renewed::new(input.answer, layout, repair, format)
        {
            let caption = sentence(&figure.title());
            document.figure(inset(&figure, input.context, input.room(0.45), Key::With), caption);
        }
        document.heading(2, "What to order");
        document.text(wording::repair::COUNTED);
        document.table(lines(&repair.lines, currency, format));
        document.heading(2, "What to do");
        let mut steps: Vec<document::Step> = Vec::new();
        for (step, listed) in repair.work.iter().zip(wording::work::listed(&repair.work, roof, format)) {
            let mut text = vec![listed.message];
            if matches!(step.task, Task::Prepare { .. }) {
                // Before anybody leaves the ground.
                document.caution(listed.cautions.join(" "));
            } else {
                text.extend(listed.cautions);
            }
            steps.push(document::Step { title: wording::work::heading(step).to_owned(), text: text.join(" ") });
        }
        document.blocks.push(Block::Steps(steps));
    }
    document.text("Local codes and the material's own instructions come before this sheet.");
    document
}
