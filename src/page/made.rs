//! Files to take along: the bytes that the command writes for the same words.

use super::kept::Kept;
use super::question::Question;
use super::typed::Typed;
use crate::job::resolve;
use crate::layout::ruler_sheets;
use crate::output::{Contents, ReportOf, made_dxf, made_pdf, made_svg, pdf_of};
use crate::problem::{Problem, Problems};
use crate::wording::{said, usual_name};

/// A file for the browser.
pub(super) struct File {
    /// With its ending.
    pub(super) name: String,
    /// Its media type.
    pub(super) kind: &'static str,
    /// Whether the browser shows it or keeps it.
    pub(super) how: &'static str,
    pub(super) bytes: Vec<u8>,
}

/// The file of a joint: `pdf`, `svg`, `dxf` or `report`; `None` for any other.
pub(super) fn file(question: &Question, typed: &Typed, kept: &Kept, kind: &str) -> Option<Result<File, Problems>> {
    let (ending, media, how) = match kind {
        "pdf" => ("pdf", "application/pdf", "inline"),
        "svg" => ("svg", "image/svg+xml", "attachment"),
        "dxf" => ("dxf", "image/vnd.dxf", "attachment"),
        "report" => ("json", "application/json", "attachment"),
        _ => return None,
    };
    let made = kept.plan(question, typed).and_then(|plan| {
        let said = said(&plan);
        let bytes = match kind {
            "pdf" => bytes_of(made_pdf(&plan, &said)?.0),
            "svg" => bytes_of(made_svg(&plan, &said)),
            "dxf" => bytes_of(made_dxf(&plan, &said)),
            _ => bytes_of(ReportOf {
                plan: &plan,
                said: &said,
                laid: &made_pdf(&plan, &said)?.1,
            }),
        }?;
        Ok(File {
            name: format!("{}.{ending}", usual_name(&plan)),
            kind: media,
            how,
            bytes,
        })
    });
    Some(made)
}

/// The full-page ruler.
pub(super) fn ruler_pdf(typed: &Typed) -> Result<File, Problems> {
    let job = resolve::sheet(&typed.sheet())?;
    let pdf = pdf_of("Ruler sheet", &ruler_sheets(&job.sheet), &[], &job.sheet.paper)?;
    Ok(File {
        name: "ruler.pdf".to_owned(),
        kind: "application/pdf",
        how: "inline",
        bytes: bytes_of(pdf)?,
    })
}

/// All of a file.
///
/// # Errors
/// Where it can't be made.
pub(super) fn bytes_of(mut file: impl Contents) -> Result<Vec<u8>, Problem> {
    file.bytes().map_err(|error| {
        Problem::output("the file can't be written")
            .figures(error.to_string())
            .help("take one of the other files")
    })
}
