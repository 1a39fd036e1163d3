//! Sheets, patterns and the report to bytes, and bytes to files. None of it computes geometry.

mod csv;
mod dxf;
mod facet_report;
mod files;
mod fonts;
mod job_report;
mod page_ops;
mod pdf;
mod report;
mod streams;
mod svg;

pub use self::csv::csv_bytes;
pub use self::dxf::dxf_bytes;
pub use self::svg::svg_bytes;
pub use files::{Contents, Output, keep_input, write_all};
pub use pdf::{Pdf, PdfWriter, pdf_document, pdf_of, save_options};
pub use report::report_bytes;
