//! What is made of a plan, the same bytes for whoever asks.

use super::contents::Contents;
use super::dxf::Dxf;
use super::svg::Svg;
use super::{Pdf, PdfWriter};
use crate::job::SheetOptions;
use crate::layout::{Laid, Panel, cutter_drawings, lay_out_each, panels};
use crate::plan::Plan;
use crate::problem::{Place, Problem};
use crate::wording::Said;

/// All sheets of a plan as a PDF, and how they were laid out.
///
/// # Errors
/// Where a pattern finds no room on any number of sheets, or there are more than can be printed.
pub fn made_pdf(plan: &Plan, said: &Said) -> Result<(Pdf, Laid), Problem> {
    let options = &plan.sheet;
    // One joint needs no bookmarks.
    let with_contents = plan.job().is_some();
    pdf_on_sheets(
        &said.title,
        &sheet_name(&said.title, options),
        panels::panels(plan, said),
        options,
        with_contents,
    )
}

/// Its patterns alone as SVG, 1:1.
pub fn made_svg<'a>(plan: &'a Plan, said: &'a Said) -> impl Contents + 'a {
    Svg {
        title: &said.title,
        parts: || cutter_drawings(panels::without_heading(plan, said)),
    }
}

/// Its patterns alone as DXF, 1:1.
pub fn made_dxf<'a>(plan: &'a Plan, said: &'a Said) -> impl Contents + 'a {
    Dxf(|| cutter_drawings(panels::without_heading(plan, said)))
}

/// The panels as a PDF of their sheets, of which only few are there at a time. `name` is what every sheet bears.
///
/// # Errors
/// As [`made_pdf`].
pub fn pdf_on_sheets(
    title: &str,
    name: &str,
    panels: impl IntoIterator<Item = Panel>,
    options: &SheetOptions,
    with_contents: bool,
) -> Result<(Pdf, Laid), Problem> {
    let mut writer = PdfWriter::new(&options.paper);
    let laid = lay_out_each(name, panels, options, |sheet| writer.add(sheet))?;
    if laid.frames.is_empty() {
        return Err(Problem::new("no sheet is left")
            .at(Place::found(format!("pack \"{title}\""), None))
            .figures("all that this would print was to be left out")
            .help("leave out less")
            .by("--without"));
    }
    let contents = if with_contents { laid.contents.as_slice() } else { &[] };
    Ok((writer.finish(title, contents, &laid)?, laid))
}

/// The sheets of one kind of piece of a job, of those that have patterns, each with what it is called.
///
/// # Errors
/// As [`made_pdf`].
pub fn made_kinds(plan: &Plan) -> impl Iterator<Item = Result<(String, Pdf), Problem>> {
    let with_patterns = panels::kinds(plan).filter(|(_, panels)| !panels.is_empty());
    with_patterns.map(|(label, panels)| made_panels(plan, label, panels))
}

/// The sheets of one body of a job: its mark-out and the patterns of its holes. `None` where it has none.
///
/// # Errors
/// As [`made_pdf`].
pub fn made_body(plan: &Plan, body: &str) -> Option<Result<(String, Pdf), Problem>> {
    let panels = panels::of_body(plan, body);
    (!panels.is_empty()).then(|| made_panels(plan, body.to_owned(), panels))
}

fn made_panels(plan: &Plan, label: String, panels: Vec<Panel>) -> Result<(String, Pdf), Problem> {
    let (pdf, _) = pdf_on_sheets(&label, &sheet_name(&label, &plan.sheet), panels, &plan.sheet, false)?;
    Ok((label, pdf))
}

/// What a job's PDF is about, by the name of its file: an older pack of the same job gives its place to a newer one.
pub fn pack_of(name: &str) -> String {
    format!("pack of {name}")
}

/// What every sheet bears: the label where there is one, and the job's title.
pub fn sheet_name(title: &str, options: &SheetOptions) -> String {
    match &options.label {
        Some(label) => format!("{label}: {title}"),
        None => title.to_owned(),
    }
}
