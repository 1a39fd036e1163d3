//! The flags that every drawing command has, and what they all do in the end.

use std::path::{Path, PathBuf};

use crate::job::SheetOptions;
use crate::job::raw::{self, Word};
use crate::layout::panels;
use crate::layout::{Laid, Panel, cutter_drawing, lay_out_each};
use crate::output::{Output, Pdf, PdfWriter, dxf_bytes, keep_input, report_bytes, svg_bytes, write_all};
use crate::plan::Plan;
use crate::problem::{Problem, Problems};
use crate::wording::{Said, said};

/// What can be said of the sheets.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Sheets")]
pub(super) struct SheetFlags {
    /// The PDF to write; by default a name that says what it is, in the current folder.
    #[arg(long, value_name = "FILE.pdf")]
    out: Option<PathBuf>,
    /// Units of the results, and of bare numbers in flags: in or mm. A job file's numbers keep the units that it names.
    #[arg(long, value_name = "UNITS")]
    units: Option<String>,
    /// a4, a3, letter, legal, tabloid, or WIDTHxHEIGHT.
    #[arg(long, value_name = "PAPER")]
    paper: Option<String>,
    /// What the printed ruler measures, across and down the sheet, e.g. 149.3,150.2; corrects the printer.
    #[arg(long, value_name = "ACROSS,DOWN", allow_hyphen_values = true)]
    ruler_reads: Option<String>,
    /// A line of your own for the sheets, 60 characters or fewer.
    #[arg(long, value_name = "TEXT")]
    label: Option<String>,
}

/// What can be said of the wraps, and other files of them.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Wraps and other files")]
pub(super) struct WrapFlags {
    /// Thickness of the wrap's paper; it makes the girth longer.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    paper_thickness: Option<String>,
    /// Azimuth of the seam in degrees from the front, growing to the right.
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    seam: Option<String>,
    /// Stations round the girth for marking by hand, 16 by default.
    #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
    stations: Option<String>,
    /// The patterns as SVG, 1:1 in millimetres.
    #[arg(long, value_name = "FILE.svg")]
    svg: Option<PathBuf>,
    /// The patterns as DXF, 1:1 in millimetres.
    #[arg(long, value_name = "FILE.dxf")]
    dxf: Option<PathBuf>,
    /// What was computed, as JSON.
    #[arg(long, value_name = "FILE.json")]
    report: Option<PathBuf>,
}

/// A flag's word, where it was given.
pub(super) fn word(flag: &'static str, text: Option<&String>) -> Option<Word> {
    text.map(|text| Word::flag(flag, text))
}

impl SheetFlags {
    /// The words, without those of wraps.
    pub(super) fn raw(&self) -> raw::Sheet {
        raw::Sheet {
            units: word("--units", self.units.as_ref()),
            paper: word("--paper", self.paper.as_ref()),
            ruler_reads: word("--ruler-reads", self.ruler_reads.as_ref()),
            label: word("--label", self.label.as_ref()),
            ..raw::Sheet::default()
        }
    }

    /// Where the PDF goes.
    pub(super) fn out(&self, usual: &str) -> PathBuf {
        self.out
            .clone()
            .unwrap_or_else(|| PathBuf::from(format!("{usual}.pdf")))
    }
}

/// The flags of every command that draws joints.
#[derive(Debug, clap::Args)]
pub(super) struct DrawFlags {
    #[command(flatten)]
    sheets: SheetFlags,
    #[command(flatten)]
    wraps: WrapFlags,
}

impl DrawFlags {
    /// The words.
    pub(super) fn raw(&self) -> raw::Sheet {
        raw::Sheet {
            paper_thickness: word("--paper-thickness", self.wraps.paper_thickness.as_ref()),
            seam: word("--seam", self.wraps.seam.as_ref()),
            stations: word("--stations", self.wraps.stations.as_ref()),
            ..self.sheets.raw()
        }
    }

    /// Lays out the plan, writes every file asked for, and gives the lines for the terminal.
    pub(super) fn write(&self, usual: &str, plan: &Plan) -> Result<Vec<String>, Problems> {
        self.write_with(usual, plan, &said(plan), Vec::new(), None)
    }

    /// The same with more files, none of which may go over `input`.
    pub(super) fn write_with(
        &self,
        usual: &str,
        plan: &Plan,
        said: &Said,
        more: Vec<Output>,
        input: Option<&Path>,
    ) -> Result<Vec<String>, Problems> {
        let options = &plan.sheet;
        let name = sheet_name(&said.title, options);
        // One joint needs no bookmarks.
        let with_contents = plan.job().is_some();
        let (pdf, laid) = pdf_on_sheets(&said.title, &name, panels::panels(plan, said), options, with_contents)?;
        let mut outputs = vec![Output::new(self.sheets.out(usual), pdf)];
        let mut also = |path: Option<&PathBuf>, bytes: &dyn Fn() -> Result<Vec<u8>, Problem>| {
            let Some(path) = path else { return Ok(()) };
            outputs.push(Output::new(path, bytes()?));
            Ok::<(), Problem>(())
        };
        also(self.wraps.svg.as_ref(), &|| {
            Ok(svg_bytes(&said.title, &cutter_drawing(panels::panels(plan, said))))
        })?;
        also(self.wraps.dxf.as_ref(), &|| {
            dxf_bytes(&cutter_drawing(panels::panels(plan, said)))
        })?;
        also(self.wraps.report.as_ref(), &|| report_bytes(plan, said, &laid))?;
        outputs.extend(more);
        if let Some(input) = input {
            keep_input(input, &outputs)?;
        }
        write_all(&mut outputs)?;

        let mut lines = said.summary.clone();
        lines.extend(said.notes.iter().map(|warning| format!("note: {warning}")));
        lines.extend(written(&outputs, laid.frames.len(), &options.paper.name));
        Ok(lines)
    }
}

/// The panels as a PDF of their sheets, of which only few are there at a time. `name` is what every sheet bears.
pub(super) fn pdf_on_sheets(
    title: &str,
    name: &str,
    panels: impl IntoIterator<Item = Panel>,
    options: &SheetOptions,
    with_contents: bool,
) -> Result<(Pdf, Laid), Problem> {
    let mut writer = PdfWriter::new(&options.paper);
    let laid = lay_out_each(name, panels, options, |sheet| writer.add(sheet))?;
    let contents = if with_contents { laid.contents.as_slice() } else { &[] };
    Ok((writer.finish(title, contents, &laid)?, laid))
}

/// What every sheet bears: the label where there is one, and the job's title.
pub(super) fn sheet_name(title: &str, options: &SheetOptions) -> String {
    match &options.label {
        Some(label) => format!("{label}: {title}"),
        None => title.to_owned(),
    }
}

/// What was written, and what to do with it.
pub(super) fn written(outputs: &[Output], sheets: usize, paper: &str) -> Vec<String> {
    let others: Vec<String> = outputs
        .iter()
        .skip(1)
        .map(|output| output.path.display().to_string())
        .collect();
    let pdf = outputs.first().map_or(Path::new(""), |output| output.path.as_path());
    let count = if sheets == 1 {
        "1 sheet".to_owned()
    } else {
        format!("{sheets} sheets")
    };
    let mut lines = vec![format!("wrote {} ({count}, {paper})", pdf.display())];
    lines.extend((!others.is_empty()).then(|| format!("wrote {}", others.join(", "))));
    lines.push("Print at 100 % (actual size), then measure both rulers before you cut.".to_owned());
    lines
}
