//! Paper, ruler readings, seam, stations and label.

use crate::job::limits::LONGEST_LABEL;
use crate::job::raw::{self, Word};
use crate::job::{LeftOut, MARGIN_MM, Paper, SheetOptions};
use crate::letters::{composed, printable};
use crate::measure::{MM_PER_INCH, Units, paper_size, paper_words, parse_length};
use crate::phrase::Phrase;
use crate::problem::{Problem, quoted};

use super::{Reader, given};

/// Room for a 6 in ruler each way, its figures and the margins, in millimetres.
const SMALLEST_SIDE_MM: f64 = 185.0;
const LARGEST_SIDE_MM: f64 = 3_000.0;

/// Office paper.
const USUAL_THICKNESS_MM: f64 = 0.1;

/// A printer this far off is set up wrong, not out of true.
const WORST_SCALE: f64 = 0.1;

pub(super) fn resolve(reader: &mut Reader, raw: &raw::Sheet) -> Option<SheetOptions> {
    let paper = match &raw.paper {
        Some(word) => read_paper(reader, word),
        None => plain_paper(usual_paper(reader.result_units())).map(|paper| Paper {
            is_assumed: true,
            ..paper
        }),
    };
    let thickness = given(&raw.paper_thickness, USUAL_THICKNESS_MM, |word| {
        read_thickness(reader, word)
    });
    let scale = given(&raw.ruler_reads, (1.0, 1.0), |word| read_scale(reader, word));
    let seam = given(&raw.seam, None, |word| reader.angle(word).map(Some));
    let stations = given(&raw.stations, 16, |word| reader.count(word, "stations", 4..=360));
    let label = raw.label.as_ref().map(|word| read_label(reader, word));

    let without = raw.without.iter().map(|word| read_left_out(reader, word)).collect();

    let weld = reader.weld_size(raw);

    let (across, down) = scale?;
    let paper = Paper { across, down, ..paper? };
    require_large(reader, raw, &paper)?;
    Some(SheetOptions {
        units: reader.result_units(),
        paper,
        paper_thickness_mm: thickness?,
        seam_deg: seam?.map(|seam| seam.rem_euclid(360.0) % 360.0),
        stations: stations?,
        label: label.flatten(),
        weld: weld?,
        without: Option::<Vec<_>>::from_iter::<Vec<_>>(without)?.concat(),
    })
}

/// A ruler must fit both ways, as long as the printer makes it.
fn require_large(reader: &mut Reader, raw: &raw::Sheet, paper: &Paper) -> Option<()> {
    let usable = [(paper.width_mm, paper.across), (paper.height_mm, paper.down)].map(|(side, scale)| side / scale);
    let units = reader.result_units();
    let [smallest, _] = units.round_range([SMALLEST_SIDE_MM, LARGEST_SIDE_MM]);
    if usable.iter().all(|&side| side >= smallest) {
        return Some(());
    }
    let [wide, high] = usable.map(|side| units.show_limit(down_to_tenths(side)));
    let is_true = (paper.across, paper.down) == (1.0, 1.0);
    let problem = Problem::new("the paper is too small for a ruler both ways")
        .figures(format!(
            "{wide} x {high}{}, with a margin of {}",
            if is_true { "" } else { " as the ruler reads" },
            units.show_decimal(MARGIN_MM)
        ))
        .help(format!(
            "both sides must be {} or more: use a4, letter or larger",
            units.show_least(smallest)
        ));
    match [&raw.paper, &raw.ruler_reads].into_iter().flatten().next() {
        Some(word) => reader.refuse(word, problem),
        None => reader.problems.add(problem),
    }
    None
}

/// What is too short by a hair is not shown as long enough.
fn down_to_tenths(mm: f64) -> f64 {
    (mm * 10.0).floor() / 10.0
}

/// Who measures in inches mostly has letter.
fn usual_paper(units: Units) -> &'static str {
    match units {
        Units::Inches(_) => "letter",
        Units::Millimetres => "a4",
    }
}

fn plain_paper(name: &str) -> Option<Paper> {
    let (width_mm, height_mm) = paper_size(name)?;
    Some(Paper {
        name: name.to_ascii_lowercase(),
        width_mm,
        height_mm,
        is_assumed: false,
        across: 1.0,
        down: 1.0,
    })
}

fn read_paper(reader: &mut Reader, word: &Word) -> Option<Paper> {
    let name = word.text.trim();
    if let Some(paper) = plain_paper(name) {
        return Some(paper);
    }
    reader.read(word, measured_paper)
}

/// Paper as `WIDTHxHEIGHT`.
fn measured_paper(text: &str, units: Option<Units>) -> Result<Paper, Problem> {
    let name = text.trim();
    let (width, height) = name.split_once(['x', 'X', '×']).ok_or_else(|| {
        Problem::new(format!("{} is not a paper that is known here", quoted(name))).help(format!(
            "use {}, or WIDTHxHEIGHT such as {}",
            paper_words().join(", "),
            units.map_or("300mmx600mm", |units| units.either("300mmx600mm", "12inx24in"))
        ))
    })?;
    let (width_mm, height_mm) = (parse_length(width, units)?, parse_length(height, units)?);
    let told_in = units.unwrap_or(Units::Millimetres);
    let [_, largest] = told_in.round_range([1.0, LARGEST_SIDE_MM]);
    if [width_mm, height_mm].iter().any(|side| !(1.0..=largest).contains(side)) {
        return Err(Problem::new("this paper can't be right")
            .figures(Phrase::default().length(width_mm).words(" x ").length(height_mm))
            .help(format!("give sides up to {}", told_in.show_limit(largest))));
    }
    Ok(Paper {
        name: format!("{width_mm:.0}x{height_mm:.0}"),
        width_mm,
        height_mm,
        is_assumed: false,
        across: 1.0,
        down: 1.0,
    })
}

fn read_thickness(reader: &mut Reader, word: &Word) -> Option<f64> {
    let thickness = reader.length(word)?;
    let usual = reader.result_units().show_decimal(USUAL_THICKNESS_MM);
    let problem = Problem::new("paper is not that thick");
    reader.within(word, thickness, [0.0, 2.0], problem, |range| {
        format!("office paper is {usual} thick; give {range}")
    })
}

/// What 150 mm or 6 in of the printed ruler measure, across and down, as the factors that make them true.
fn read_scale(reader: &mut Reader, word: &Word) -> Option<(f64, f64)> {
    let readings: Vec<&str> = word.text.split(',').map(str::trim).collect();
    let [across, down] = readings.as_slice() else {
        return reader.refused(
            word,
            Problem::new("the ruler is read twice: across the sheet and down it").help(format!(
                "give two readings with a comma between them, such as {}",
                reader.result_units().either("149.3,150.2", "5.97,6.01")
            )),
        );
    };
    let units = reader.result_units();
    let across = reader.take(word, correction(across, units));
    let down = reader.take(word, correction(down, units));
    across.zip(down)
}

/// A bare reading is told by its size: near 150 it is millimetres, near 6 it is inches.
fn correction(reading: &str, units: Units) -> Result<f64, Problem> {
    let measured = match reading.parse::<f64>() {
        Ok(bare) if bare > 20.0 => bare,
        Ok(bare) => bare * MM_PER_INCH,
        Err(_) => parse_length(reading, None).map_err(|_| {
            Problem::new(format!("{} is not a length", quoted(reading)))
                .help(units.either("a reading looks like 149.3", "a reading looks like 5.97"))
        })?,
    };
    let rulers = [150.0, 6.0 * MM_PER_INCH];
    let is_inches = reading
        .parse::<f64>()
        .map_or(reading.contains(['"', '″']) || reading.contains("in"), |bare| {
            bare <= 20.0
        });
    let factor = rulers[usize::from(is_inches)] / measured;
    if factor.is_finite() && (factor - 1.0).abs() <= WORST_SCALE {
        return Ok(factor);
    }
    Err(
        Problem::new(format!("a ruler that reads {reading} is not a printer out of true"))
            .figures(units.either("the ruler is 150 mm long", "the ruler is 6 in long"))
            .help("print at 100 %, \"actual size\", with no fitting to the page, and measure again"),
    )
}

/// Words with commas between them.
fn read_left_out(reader: &mut Reader, word: &Word) -> Option<Vec<LeftOut>> {
    let known = LeftOut::ALL.map(|part| (part.word(), part));
    let parts = word.text.split(',').map(|text| {
        let text = text.to_owned();
        reader.choice(&Word { text, ..word.clone() }, &known)
    });
    parts.collect()
}

fn read_label(reader: &mut Reader, word: &Word) -> Option<String> {
    let label = composed(word.text.trim());
    let label = label.as_ref();
    if label.chars().count() > LONGEST_LABEL {
        return reader.refused(
            word,
            Problem::new("the label is too long for a sheet")
                .figures(format!("{} characters", label.chars().count()))
                .help(format!("keep it to {LONGEST_LABEL}")),
        );
    }
    reader.take(word, printable(label))?;
    (!label.is_empty()).then(|| label.to_owned())
}
