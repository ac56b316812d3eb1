//! Repairs for a person: what is lifted, what is ordered, what is done.

use super::paragraphs::{cautioned, numbered, paragraph, wrapped};
use super::takeoff;
use crate::base::finding::Finding as _;
use crate::job::Job;
use crate::roof::Roof;
use crate::takeoff::Finding;
use crate::takeoff::repair::RepairAnswer;
use crate::wording::units::Format;
use crate::wording::{self, order};

/// Every repair, what stops one first.
#[must_use]
pub fn text(job: &Job, roof: &Roof, (repairs, findings): (&[RepairAnswer], &[Finding]), format: Format) -> String {
    let mut text = format!("{}: repair\n", job.title);
    for finding in findings {
        let told = wording::takeoff::with_faces(finding, roof, format);
        text.push_str(&wrapped(&format!("{}: {told}", finding.severity().word())));
    }
    for repair in repairs {
        text.push('\n');
        text.push_str(&paragraph(&wording::repair::what(repair, roof, format)));
        text.push('\n');
        text.push_str(&takeoff::lines(&repair.lines, format));
        text.push('\n');
        for line in &repair.lines {
            if let Some(detail) = order::detail(line, format) {
                text.push_str(&paragraph(&format!(
                    "{}: {detail}.",
                    super::paragraphs::capital(order::name(&line.item))
                )));
            }
        }
        text.push_str(&paragraph(wording::repair::COUNTED));
        text.push_str("\nWork\n");
        for (number, step) in wording::work::listed(&repair.work, roof, format).into_iter().enumerate() {
            // The face stands over all of them.
            text.push_str(&numbered(
                number + 1,
                &format!("{}: {}", wording::work::heading(&repair.work[number]), step.message),
            ));
            for caution in step.cautions {
                text.push_str(&cautioned(&caution));
            }
        }
    }
    text
}
