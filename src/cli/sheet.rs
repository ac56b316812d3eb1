//! `sheet`: the job sheet and the blank field sheets, as PDF or HTML.

use crate::drawing::Context;
use crate::drawing::job_sheet::{
    Shape, SheetInput, field_sheet, handover_sheet, job_sheet_with_photos, offer_sheet, repair_sheet,
};
use crate::drawing::typeset::document::Document;
use crate::drawing::typeset::pages::pages;
use crate::drawing::typeset::paper::PaperSize;
use crate::drawing::views::photo_page::Taken;
use crate::takeoff::Finding;
use crate::takeoff::repair::RepairAnswer;
use crate::write::{html, page, pdf};
use std::path::Path;

/// What a sheet is written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileFormat {
    /// One PDF, fonts embedded.
    Pdf,
    /// One self-contained HTML page.
    Html,
}

impl FileFormat {
    /// By the ending of a file's name.
    ///
    /// # Errors
    /// What was found and what was expected.
    pub fn of(path: &Path) -> Result<Self, String> {
        let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
        match ending.as_deref() {
            Some("pdf") => Ok(Self::Pdf),
            Some("html" | "htm") => Ok(Self::Html),
            _ => Err(format!("{}: expected a name that ends in .pdf or .html", path.display())),
        }
    }
}

/// The job sheet of a roof that no photo shows.
///
/// # Errors
/// [`pdf::PdfError`] when a PDF cannot be put together.
pub fn sheet(input: &SheetInput<'_>, format: FileFormat) -> Result<Vec<u8>, pdf::PdfError> {
    sheet_with_photos(input, &[], format)
}

/// The job sheet, with the photos the roof was measured from; as HTML the page for a phone.
///
/// # Errors
/// [`pdf::PdfError`] when a PDF cannot be put together.
pub(crate) fn sheet_with_photos(
    input: &SheetInput<'_>,
    photos: &[Taken],
    format: FileFormat,
) -> Result<Vec<u8>, pdf::PdfError> {
    let document = job_sheet_with_photos(input, photos);
    match format {
        FileFormat::Pdf => write(&document, input.paper(), format),
        FileFormat::Html => Ok(page::page(&document, input).into_bytes()),
    }
}

/// The offer as a paper of its own.
///
/// # Errors
/// [`pdf::PdfError`] when a PDF cannot be put together.
pub fn offer(input: &SheetInput<'_>, format: FileFormat) -> Result<Vec<u8>, pdf::PdfError> {
    write(&offer_sheet(input), input.paper(), format)
}

/// What repairs take, as a sheet for whoever makes them.
///
/// # Errors
/// [`pdf::PdfError`] when a PDF cannot be put together.
pub fn repair(
    input: &SheetInput<'_>,
    repairs: (&[RepairAnswer], &[Finding]),
    format: FileFormat,
) -> Result<Vec<u8>, pdf::PdfError> {
    write(&repair_sheet(input, repairs), input.paper(), format)
}

/// What is handed over at the end.
///
/// # Errors
/// [`pdf::PdfError`] when a PDF cannot be put together.
pub fn handover(input: &SheetInput<'_>, format: FileFormat) -> Result<Vec<u8>, pdf::PdfError> {
    write(&handover_sheet(input), input.paper(), format)
}

/// A blank field sheet.
///
/// # Errors
/// [`pdf::PdfError`] when a PDF cannot be put together.
pub fn field(shape: Shape, context: &Context, format: FileFormat) -> Result<Vec<u8>, pdf::PdfError> {
    let paper = context.sheet.unwrap_or(PaperSize::family(context.series)[0]);
    write(&field_sheet(shape, context), paper, format)
}

fn write(document: &Document, paper: PaperSize, format: FileFormat) -> Result<Vec<u8>, pdf::PdfError> {
    match format {
        FileFormat::Pdf => pdf::pdf(&pages(document, paper), &document.title),
        FileFormat::Html => Ok(html::html(document, paper).into_bytes()),
    }
}
