//! The gaps that were read at a trial fit.

use crate::job::raw::{self, Word};
use crate::job::{Reading, WhichEnd};
use crate::measure::{parse_angle, parse_length};
use crate::phrase::Phrase;
use crate::problem::{Problem, quoted};

use super::Reader;

/// So many readings tell anything at all, and more aren't read by anybody.
const FEWEST: usize = 4;
const MOST: usize = 32;

/// How well a gap is read with a feeler or a wedge (common practice).
const USUAL_READ_WITHIN_MM: f64 = 0.2;

/// A gap wider than the wire is hard to close on thin sheet: ESAB MIG Handbook 8.4 has root gaps to
/// 1/32 in, 0.8 mm, for short arc on plate to 3/16 in.
const USUAL_GAP_MM: f64 = 0.8;

/// Readings nearer to each other than this were taken at one place, in degrees.
const SAME_DEG: f64 = 0.05;

const CROWNS: [(&str, f64); 4] = [("front", 0.0), ("right", 90.0), ("back", 180.0), ("left", 270.0)];

/// What was read, and how well.
pub(super) struct Read {
    pub(super) readings: Vec<Reading>,
    pub(super) read_within_mm: f64,
    pub(super) gap_limit_mm: f64,
}

/// The readings of an end of a tube of that radius, in millimetres, where that is known.
pub(super) fn resolve(
    reader: &mut Reader,
    raw: &raw::Readings,
    radius_mm: Option<f64>,
    which: WhichEnd,
) -> Option<Read> {
    let readings = read_all(reader, &raw.gaps, which);
    let read_within_mm = small(
        reader,
        raw.read_within.as_ref(),
        USUAL_READ_WITHIN_MM,
        "accuracy",
        0.01..=5.0,
    );
    let gap_limit_mm = small(reader, raw.gap.as_ref(), USUAL_GAP_MM, "gap", 0.01..=20.0);
    let readings = readings?;
    require_readable(reader, &raw.gaps, &readings, (radius_mm?, which))?;
    Some(Read {
        readings,
        read_within_mm: read_within_mm?,
        gap_limit_mm: gap_limit_mm?,
    })
}

/// A length of a trial fit: a bare number is in the units of the results, in which the sheet tells it again.
fn length(reader: &mut Reader, word: &Word, text: &str) -> Option<f64> {
    let units = reader.result_units();
    reader.take(word, parse_length(text, Some(units)))
}

fn small(
    reader: &mut Reader,
    word: Option<&Word>,
    usual: f64,
    what: &str,
    range: std::ops::RangeInclusive<f64>,
) -> Option<f64> {
    let Some(word) = word else { return Some(usual) };
    let mm = length(reader, word, &word.text)?;
    if range.contains(&mm) {
        return Some(mm);
    }
    let problem = Problem::new(format!("this {what} can't be right")).figures(Phrase::default().length(mm));
    let range = reader.result_units().show_range(*range.start(), *range.end());
    reader.refuse(word, problem.help(format!("give {range}")));
    None
}

/// The readings from the front to the right, however they were given.
fn read_all(reader: &mut Reader, word: &Word, which: WhichEnd) -> Option<Vec<Reading>> {
    let items: Vec<&str> = word.text.split(',').map(str::trim).collect();
    let items: Vec<&str> = if items == [""] { Vec::new() } else { items };
    if !(FEWEST..=MOST).contains(&items.len()) {
        let few = items.len() < FEWEST;
        let what = if few {
            "too few gaps were read"
        } else {
            "these are more gaps than anybody reads"
        };
        let help = if few {
            format!(
                "read {FEWEST} or more, evenly spaced from the front to the right with the cut end up (0,1.2,0.4,1.2), or by name (front 0, 22.5deg 0.4, right 1.5, left 0.8)"
            )
        } else {
            format!("give {FEWEST} to {MOST}")
        };
        reader.refuse(
            word,
            Problem::new(what)
                .figures(format!("there are {}", items.len()))
                .help(help),
        );
        return None;
    }
    let places: Vec<Option<(f64, &str)>> = items.iter().map(|item| named(item, which)).collect();
    let names = places.iter().flatten().count();
    if names > 0 && names < items.len() {
        let bare = items
            .iter()
            .zip(&places)
            .find(|(_, place)| place.is_none())
            .map_or("", |(item, _)| *item);
        let problem = Problem::new("some readings say where they were taken, and some don't").figures(quoted(bare));
        reader.refuse(
            word,
            problem.help("say it of all (front, right, back, left or degrees as in 22.5deg), or of none: then they are evenly spaced from the front to the right"),
        );
        return None;
    }
    let share = 360.0 / items.len() as f64;
    let mut readings = Vec::new();
    for (index, (item, place)) in items.iter().zip(places).enumerate() {
        let (azimuth_deg, text) = place.unwrap_or((share * index as f64, item));
        readings.push(length(reader, word, text).map(|gap_mm| Reading { azimuth_deg, gap_mm }));
    }
    let mut readings = readings.into_iter().collect::<Option<Vec<Reading>>>()?;
    readings.sort_by(|a, b| a.azimuth_deg.total_cmp(&b.azimuth_deg));
    Some(readings)
}

/// `right 1.5`, `22.5deg 0.4`: the place in degrees from 0 to 360, and the rest. Crown lines bear the names that they have on
/// the tube, so that at a far end RIGHT is to the left of the front.
fn named(item: &str, which: WhichEnd) -> Option<(f64, &str)> {
    let crown = CROWNS.iter().find_map(|(name, azimuth)| {
        let head = item.get(..name.len()).filter(|head| head.eq_ignore_ascii_case(name))?;
        let rest = &item[head.len()..];
        rest.starts_with(|c: char| c.is_whitespace())
            .then(|| (which.turned(*azimuth).rem_euclid(360.0), rest.trim()))
    });
    crown.or_else(|| {
        let ends = ["degrees", "degree", "deg", "°"];
        let (at, end) = ends
            .iter()
            .find_map(|end| Some((item.to_ascii_lowercase().find(end)?, end)))?;
        let azimuth = parse_angle(item.get(..at)?).ok()?;
        let azimuth = azimuth.rem_euclid(360.0);
        Some((
            if azimuth < 360.0 { azimuth } else { 0.0 },
            item.get(at + end.len()..)?.trim(),
        ))
    })
}

/// What can be read of a tube that is pushed in until it touches.
fn require_readable(
    reader: &mut Reader,
    word: &Word,
    readings: &[Reading],
    (radius_mm, which): (f64, WhichEnd),
) -> Option<()> {
    let units = reader.result_units();
    let place = |reading: &Reading| {
        let crown = CROWNS
            .iter()
            .find(|(_, azimuth)| (which.turned(*azimuth).rem_euclid(360.0) - reading.azimuth_deg).abs() < SAME_DEG);
        crown.map_or_else(
            || crate::measure::show_angle(reading.azimuth_deg),
            |(name, _)| (*name).to_owned(),
        )
    };
    let told = |reading: &Reading| format!("{} at {}", units.show(reading.gap_mm), place(reading));
    let last = readings.last().zip(readings.first());
    let round = last.filter(|(last, first)| first.azimuth_deg + 360.0 - last.azimuth_deg < SAME_DEG);
    let twice = readings.windows(2).map(|pair| (&pair[0], &pair[1]));
    let twice = twice
        .chain(round)
        .find(|(one, other)| (other.azimuth_deg - one.azimuth_deg).abs() < SAME_DEG || round == Some((*one, *other)));
    let least = readings.iter().min_by(|a, b| a.gap_mm.total_cmp(&b.gap_mm))?;
    let most = readings.iter().max_by(|a, b| a.gap_mm.total_cmp(&b.gap_mm))?;
    let problem = if let Some((one, other)) = twice {
        Problem::new("the gap at one place was given twice")
            .figures(format!("{} and {}", told(one), told(other)))
            .help("keep one of the two: the mean, if you are unsure")
    } else if least.gap_mm < 0.0 {
        Problem::new("a gap can't be less than nothing")
            .figures(told(least))
            .help("push the tube in until it first touches; the gap there is 0")
    } else if least.gap_mm > 0.0 {
        Problem::new("by these readings the tube touches nowhere")
            .figures(format!("the least is {}", told(least)))
            .help("push it in until it first touches, and give the place where it does, too: \"200deg 0\"")
    } else if most.gap_mm > radius_mm {
        Problem::new("a gap is wider than the tube's radius: this is another joint")
            .figures(format!("{}, of a radius of {}", told(most), units.show(radius_mm)))
            .help("is the unit right? Read along the tube, from its end to what it lands on")
    } else {
        return Some(());
    };
    reader.refuse(word, problem);
    None
}

#[cfg(test)]
mod tests {
    use super::{WhichEnd, named};

    fn named_at_start(item: &str) -> Option<(f64, &str)> {
        named(item, WhichEnd::Near)
    }

    #[test]
    fn a_reading_says_where_it_was_taken_in_words_or_degrees() {
        assert_eq!(named_at_start("front 0"), Some((0.0, "0")));
        assert_eq!(named_at_start("Left 1/32in"), Some((270.0, "1/32in")));
        assert_eq!(named_at_start("22.5deg 0.4"), Some((22.5, "0.4")));
        assert_eq!(named_at_start("22.5 ° 0.4 mm"), Some((22.5, "0.4 mm")));
        assert_eq!(named_at_start("-90 degrees 1"), Some((270.0, "1")));
        assert_eq!(named_at_start("360deg 1"), Some((0.0, "1")));
        assert_eq!(named_at_start("1.2"), None);
        assert_eq!(named_at_start("frontal 1"), None);
    }
    #[test]
    fn at_a_far_end_crown_lines_keep_their_names_and_degrees_run_to_the_right() {
        assert_eq!(named("right 1", WhichEnd::Far), Some((270.0, "1")));
        assert_eq!(named("left 1", WhichEnd::Far), Some((90.0, "1")));
        assert_eq!(named("front 1", WhichEnd::Far), Some((0.0, "1")));
        assert_eq!(named("90deg 1", WhichEnd::Far), Some((90.0, "1")));
    }
}
