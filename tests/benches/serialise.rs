//! A peer: what printpdf and lopdf alone take to put a job's pages into bytes, on one core.
//!
//! `serialise JOB.json OUT.pdf` prints the seconds from finished pages to a file, and the number of pages.

mod printpdf_ops;

use std::time::Instant;

use girthline::job::read::read_job;
use girthline::job::resolve;
use girthline::layout::{lay_out, panels};
use girthline::plan;
use girthline::wording::said;
use printpdf::PdfSaveOptions;
use printpdf_ops::pdf_document;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| word != "--bench").collect();
    // Run by `cargo bench` without a job there is nothing to do.
    let [job, out] = words.as_slice() else { return };
    let text = std::fs::read_to_string(job).expect("a job file");
    let raw = read_job(job, &text).expect("a job");
    let job = resolve::job_file(&raw, &raw.sheet).expect("a sound job");
    let plan = plan::batch(&job, &|_, _| ()).expect("a plan");
    let said = said(&plan);
    let sheets = lay_out(&said.title, panels::panels(&plan, &said), &job.sheet).expect("sheets");
    let document = pdf_document(&said.title, &sheets.sheets, &job.sheet.paper);
    let options = PdfSaveOptions {
        image_optimization: None,
        secure: false,
        ..PdfSaveOptions::default()
    };
    drop((plan, sheets.contents));
    let start = Instant::now();
    let mut file = printpdf::serialize::to_lopdf_doc(&document, &options, &mut Vec::new());
    file.compress();
    file.save(out).expect("a file");
    println!("{:.6} {}", start.elapsed().as_secs_f64(), sheets.sheets.len());
}
