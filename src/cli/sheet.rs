//! `sheet`: the job sheet and the blank field sheets, as PDF or HTML.

use crate::drawing::Context;
use crate::drawing::pages::pages;
use crate::drawing::paper::Sheet;
use crate::drawing::sheet::{Shape, SheetInput, field_sheet, job_sheet};
use crate::write::{html, pdf};

/// The job sheet as one PDF.
///
/// # Errors
/// [`pdf::PdfError`] when the PDF cannot be put together.
pub fn sheet_pdf(input: &SheetInput<'_>) -> Result<Vec<u8>, pdf::PdfError> {
    let document = job_sheet(input);
    pdf::pdf(&pages(&document, input.paper()), &document.title)
}

/// The job sheet as one self-contained HTML page.
#[must_use]
pub fn sheet_html(input: &SheetInput<'_>) -> String {
    html::html(&job_sheet(input), input.paper())
}

fn paper(context: &Context) -> Sheet {
    context.sheet.unwrap_or(Sheet::family(context.series)[0])
}

/// A blank field sheet as one PDF.
///
/// # Errors
/// [`pdf::PdfError`] when the PDF cannot be put together.
pub fn field_pdf(shape: Shape, context: &Context) -> Result<Vec<u8>, pdf::PdfError> {
    let document = field_sheet(shape, context);
    pdf::pdf(&pages(&document, paper(context)), &document.title)
}

/// A blank field sheet as one self-contained HTML page.
#[must_use]
pub fn field_html(shape: Shape, context: &Context) -> String {
    html::html(&field_sheet(shape, context), paper(context))
}
