//! The flags that every drawing command has, and what they all do in the end.

use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf};

use super::outcome::Outcome;
use crate::job::SheetOptions;
use crate::job::raw::{self, Word};
use crate::measure::Units;
use crate::output::{
    Output, Pdf, ReportOf, Subject, free_name, is_standard_output, keep_input, made_dxf, made_pdf, made_svg, pack_of,
    write_all,
};
use crate::plan::Plan;
use crate::problem::{Place, Problem, Problems};
use crate::wording::{Said, ordinate_lines, said, usual_name};

/// What can be said of the sheets.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Sheets")]
pub(super) struct SheetFlags {
    /// The PDF to write; by default a name that says what it is, in the current folder. - is standard output.
    #[arg(long, value_name = "FILE.pdf")]
    out: Option<PathBuf>,
    /// Units of the results, and of bare numbers in flags: in or mm. A job file's numbers keep the units that it names.
    #[arg(long, value_name = "UNITS")]
    units: Option<String>,
    /// The finest part of an inch that is told as a fraction: 16, 32 or 64; 32 by default. The decimal stands beside it.
    #[arg(long, value_name = "PARTS", allow_hyphen_values = true)]
    fractions: Option<String>,
    /// a4, a3, letter, legal, tabloid, or WIDTHxHEIGHT; by default letter where the results are in inches, else a4.
    #[arg(long, value_name = "PAPER")]
    paper: Option<String>,
    /// What the printed ruler measures, across and down the sheet, e.g. 149.3,150.2; corrects the printer.
    #[arg(long, value_name = "ACROSS,DOWN", allow_hyphen_values = true)]
    ruler_reads: Option<String>,
    /// A line of your own for the sheets, 60 characters or fewer.
    #[arg(long, value_name = "TEXT")]
    label: Option<String>,
    /// What to leave out: tables (for marking by hand), holes (patterns, for which their tables are printed), gores (paper strips for holes in balls and heads), cover; several with commas, or said again.
    #[arg(long, value_name = "PART")]
    without: Vec<String>,
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
    /// Tell the ordinates of every end and hole on the terminal too, for marking without a printer.
    #[arg(long)]
    ordinates: bool,
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
            fractions: word("--fractions", self.fractions.as_ref()),
            paper: word("--paper", self.paper.as_ref()),
            ruler_reads: word("--ruler-reads", self.ruler_reads.as_ref()),
            label: word("--label", self.label.as_ref()),
            without: self.without.iter().map(|part| Word::flag("--without", part)).collect(),
            ..raw::Sheet::default()
        }
    }

    /// A PDF on a terminal is of no use to anybody.
    ///
    /// # Errors
    /// Where it would go there.
    pub(super) fn require_no_terminal(&self) -> Result<(), Problem> {
        let is_shown = self.out.as_deref().is_some_and(is_standard_output) && io::stdout().is_terminal();
        if !is_shown {
            return Ok(());
        }
        Err(Problem::new("a PDF can't be shown on a terminal")
            .at(Place::Flag {
                flag: "--out",
                typed: "-".to_owned(),
            })
            .help("send it on: --out - > FILE.pdf, or to a printing command: --out - | lp"))
    }

    /// Where the PDF goes: over whatever is there where that was asked for, else under a name by which nothing is lost.
    /// The line says which file was kept.
    pub(super) fn output(
        &self,
        usual: &str,
        mut pdf: Pdf,
        subject: Option<&Subject>,
    ) -> (Output<'static>, Option<String>) {
        if let Some(path) = &self.out {
            return (Output::new(path, pdf), None);
        }
        let usual = PathBuf::from(format!("{usual}.pdf"));
        let path = free_name(&usual, &mut pdf, subject);
        let kept = (path != usual).then(|| {
            let [usual, path] = [&usual, &path].map(|path| path.display());
            format!("{usual} is another file and stays as it is; this one is {path}")
        });
        (Output::new(path, pdf), kept)
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

    /// The lines of all ordinates, where they are asked for.
    pub(super) fn ordinates(&self, plan: &Plan) -> Vec<String> {
        match self.wraps.ordinates {
            true => ordinate_lines(plan),
            false => Vec::new(),
        }
    }

    /// Lays out the plan, writes every file asked for, and gives the lines for the terminal.
    pub(super) fn write(&self, plan: &Plan) -> Result<Outcome, Problems> {
        self.write_with(&usual_name(plan), plan, &said(plan), Vec::new(), None)
    }

    /// The same with more files, none of which may go over `input`.
    pub(super) fn write_with(
        &self,
        usual: &str,
        plan: &Plan,
        said: &Said,
        more: Vec<Output<'_>>,
        input: Option<&Input<'_>>,
    ) -> Result<Outcome, Problems> {
        self.sheets.require_no_terminal()?;
        let options = &plan.sheet;
        let (pdf, laid) = made_pdf(plan, said)?;
        let subject = input.and_then(|input| input.subject(&said.title));
        let pdf = match &subject {
            Some(subject) => pdf.about(&subject.words),
            None => pdf,
        };
        let (output, kept) = self.sheets.output(usual, pdf, subject.as_ref());
        let mut outputs = vec![output];
        let wraps = &self.wraps;
        let report = ReportOf {
            plan,
            said,
            laid: &laid,
        };
        outputs.extend(wraps.svg.as_ref().map(|path| Output::new(path, made_svg(plan, said))));
        outputs.extend(wraps.dxf.as_ref().map(|path| Output::new(path, made_dxf(plan, said))));
        outputs.extend(wraps.report.as_ref().map(|path| Output::new(path, report)));
        outputs.extend(more);
        if let Some(input) = input {
            keep_input(input.path, &outputs)?;
        }
        write_all(&mut outputs)?;

        let mut lines = told(said);
        lines.extend(self.ordinates(plan));
        lines.extend(kept);
        lines.extend(written(&outputs, laid.frames.len(), options));
        Ok(Outcome::of(lines, &outputs))
    }
}

/// What is said of a plan, line by line: first what is asked of it, then the facts, then the other notes.
pub(super) fn told(said: &Said) -> Vec<String> {
    let asked = said.questions.iter().map(|note| format!("question: {note}"));
    let facts = said.summary.iter().chain(&said.ends).cloned();
    let notes = said.clashes.iter().chain(&said.notes);
    let notes = notes.map(|note| format!("note: {note}"));
    asked.chain(facts).chain(notes).collect()
}

/// The file that was read, which no output may go over.
pub(super) struct Input<'a> {
    /// Where it is.
    pub(super) path: &'a Path,
    /// Its name; none of standard input.
    pub(super) name: Option<String>,
}

impl Input<'_> {
    /// What its pack is of: an older pack of the same job gives its place to a newer one.
    fn subject(&self, title: &str) -> Option<Subject> {
        self.name.as_ref().map(|name| Subject {
            words: pack_of(name),
            title: title.to_owned(),
        })
    }
}

/// What was written, and what to do with it.
pub(super) fn written(outputs: &[Output], sheets: usize, sheet: &SheetOptions) -> Vec<String> {
    let others: Vec<String> = outputs.iter().skip(1).map(place_of).collect();
    let pdf = outputs.first().map(place_of).unwrap_or_default();
    let count = if sheets == 1 {
        "1 sheet".to_owned()
    } else {
        format!("{sheets} sheets")
    };
    let assumed = match sheet.units {
        Units::Inches(_) if sheet.paper.is_assumed => ", as the job is in inches",
        _ => "",
    };
    let mut lines = vec![format!("wrote {pdf} ({count}, {}{assumed})", sheet.paper.name)];
    lines.extend((!others.is_empty()).then(|| format!("wrote {}", others.join(", "))));
    lines.push("Print at 100 % (actual size), then measure both rulers before you cut.".to_owned());
    lines
}

fn place_of(output: &Output) -> String {
    if is_standard_output(&output.path) {
        "standard output".to_owned()
    } else {
        output.path.display().to_string()
    }
}
