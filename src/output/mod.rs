//! Sheets, patterns and the report to bytes, and bytes to files. None of it computes geometry.

mod dxf;
mod facet_report;
mod files;
mod job_report;
mod pages;
mod pdf;
mod report;
mod svg;

pub use self::dxf::dxf_bytes;
pub use self::svg::svg_bytes;
pub use files::{Output, write_all};
pub use pdf::{pdf_bytes, pdf_document, save_options};
pub use report::report_bytes;
