//! Sheets, patterns and the report to bytes, and bytes to files. None of it computes geometry.

mod contents;
mod csv;
mod devices;
mod dxf;
mod facet_report;
mod files;
mod fonts;
mod free_name;
mod job_report;
mod json;
mod leftovers;
mod made;
mod page_content;
mod pdf;
mod picture_svg;
mod places;
mod report;
mod skin_svg;
mod streams;
mod svg;
mod svg_parts;
mod trial_report;
mod weld_report;

pub use self::csv::Csv;
pub use self::svg::svg_text;
pub use contents::{Contents, Output};
pub use devices::is_standard_output;
pub use files::write_all;
pub use free_name::{Subject, free_name};
pub use leftovers::NewFolder;
pub use made::{made_body, made_dxf, made_kinds, made_pdf, made_svg, pack_of, pdf_on_sheets, sheet_name};
pub use pdf::{Pdf, PdfWriter, pdf_of};
pub use picture_svg::{drawing_svg, picture_svg};
pub use places::keep_input;
pub use report::ReportOf;
pub use skin_svg::skin_svg;
