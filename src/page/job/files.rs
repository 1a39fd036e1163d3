//! Files of a job to take along: the bytes that the command writes for the same file.

use super::solved::whole;
use super::trial;
use crate::output::{Csv, ReportOf, made_body, made_dxf, made_kinds, made_pdf, made_svg, pack_of};
use crate::page::made::bytes_of;
use crate::page::typed::Typed;
use crate::plan::Plan;
use crate::problem::{Problem, Problems};
use crate::wording::said;

/// A media type, and what is sent as it.
type File = (&'static str, Vec<u8>);

/// The file of a kind: `pdf` (of one kind of piece or one body alone with `piece=2`, `body=drum`), `svg`, `dxf`, `report`,
/// `csv`, `strip` (to grind an end by, as [`trial::plan`] has it); `None` for any other.
pub(super) fn file(text: &str, kind: &str, typed: &Typed) -> Option<Result<File, Problems>> {
    let media = match kind {
        "pdf" | "strip" => "application/pdf",
        "svg" => "image/svg+xml",
        "dxf" => "image/vnd.dxf",
        "report" => "application/json",
        "csv" => "text/csv; charset=utf-8",
        _ => return None,
    };
    let plan = match kind {
        "strip" => trial::plan(text, typed),
        _ => whole(text),
    };
    let made = plan.and_then(|plan| Ok(made(&plan, kind, typed)?));
    Some(made.map(|bytes| (media, bytes)))
}

fn made(plan: &Plan, kind: &str, typed: &Typed) -> Result<Vec<u8>, Problem> {
    let (piece, body) = (typed.text("piece"), typed.text("body"));
    let none = || Problem::new("there are no sheets of this by itself").help("take the whole pack");
    match kind {
        "pdf" if !body.is_empty() => bytes_of(made_body(plan, body).ok_or_else(none)??.1),
        "pdf" if !piece.is_empty() => {
            let starts = format!("{piece}: ");
            let mut kinds =
                made_kinds(plan).filter(|made| made.as_ref().map_or(true, |(label, _)| label.starts_with(&starts)));
            bytes_of(kinds.next().ok_or_else(none)??.1)
        }
        "strip" => bytes_of(made_pdf(plan, &said(plan))?.0),
        "pdf" => {
            let pdf = made_pdf(plan, &said(plan))?.0;
            let name = typed.text("name");
            bytes_of(if name.is_empty() {
                pdf
            } else {
                pdf.about(&pack_of(name))
            })
        }
        "svg" => bytes_of(made_svg(plan, &said(plan))),
        "dxf" => bytes_of(made_dxf(plan, &said(plan))),
        "csv" => {
            let list = &plan.job().ok_or_else(none)?.cut_list;
            let units = plan.sheet.units;
            bytes_of(Csv { list, units })
        }
        _ => {
            let said = said(plan);
            let laid = made_pdf(plan, &said)?.1;
            bytes_of(ReportOf {
                plan,
                said: &said,
                laid: &laid,
            })
        }
    }
}
