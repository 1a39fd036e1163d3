//! The gaps that were read at a trial fit.

use crate::job::raw::{self, Word};
use crate::job::{Reading, WhichEnd};
use crate::measure::{parse_angle, parse_length};
use crate::problem::{Problem, quoted};

use super::{Reader, give, given};

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

/// A gap as it was typed: the word that it stands in, and its own text with its azimuth in degrees, where it says one.
struct Item<'a> {
    word: &'a Word,
    azimuth_deg: Option<f64>,
    text: &'a str,
}

/// The readings of an end of a tube of that radius, in millimetres, where that is known.
pub(super) fn resolve(
    reader: &mut Reader,
    raw: &raw::Readings,
    radius_mm: Option<f64>,
    which: WhichEnd,
) -> Option<Read> {
    let readings = read_all(reader, raw, which);
    let read_within_mm = given(&raw.read_within, USUAL_READ_WITHIN_MM, |word| {
        small(reader, word, "accuracy", [0.01, 5.0])
    });
    let gap_limit_mm = given(&raw.gap, USUAL_GAP_MM, |word| small(reader, word, "gap", [0.01, 20.0]));
    let readings = readings?;
    require_readable(reader, &raw.gaps, &readings, (radius_mm?, which))?;
    Some(Read {
        readings: readings.into_iter().map(|(reading, _)| reading).collect(),
        read_within_mm: read_within_mm?,
        gap_limit_mm: gap_limit_mm?,
    })
}

/// A length of a trial fit: a bare number is in the units of the results, in which the sheet tells it again.
fn length(reader: &mut Reader, word: &Word, text: &str) -> Option<f64> {
    let units = reader.result_units();
    reader.take(word, parse_length(text, Some(units)))
}

fn small(reader: &mut Reader, word: &Word, what: &str, range: [f64; 2]) -> Option<f64> {
    let mm = length(reader, word, &word.text)?;
    let problem = Problem::new(format!("this {what} can't be right"));
    reader.within(word, mm, range, problem, give)
}

/// All that was typed, in its order.
fn items(raw: &raw::Readings, which: WhichEnd) -> Vec<Item<'_>> {
    let apart = raw.apart.iter().map(|(azimuth_deg, word)| Item {
        word,
        azimuth_deg: Some(*azimuth_deg),
        text: word.text.trim(),
    });
    let line = Some(raw.gaps.text.as_str()).filter(|line| !line.trim().is_empty());
    let in_line = line.into_iter().flat_map(|line| line.split(',')).map(|item| {
        let place = named_reading(item.trim(), which);
        Item {
            word: &raw.gaps,
            azimuth_deg: place.map(|(azimuth_deg, _)| azimuth_deg),
            text: place.map_or(item.trim(), |(_, text)| text),
        }
    });
    apart.chain(in_line).collect()
}

/// The readings from the front to the right, however they were given, each with its word.
fn read_all<'a>(reader: &mut Reader, raw: &'a raw::Readings, which: WhichEnd) -> Option<Vec<(Reading, &'a Word)>> {
    let items = items(raw, which);
    if let Some(problem) = number_of(items.len()).or_else(|| half_named(&items)) {
        return reader.refused(&raw.gaps, problem);
    }
    let share = 360.0 / items.len() as f64;
    let mut readings = Vec::new();
    for (index, item) in items.iter().enumerate() {
        let azimuth_deg = item.azimuth_deg.unwrap_or(share * index as f64);
        let reading = length(reader, item.word, item.text).map(|gap_mm| Reading { azimuth_deg, gap_mm });
        readings.push(reading.map(|reading| (reading, item.word)));
    }
    let mut readings = readings.into_iter().collect::<Option<Vec<_>>>()?;
    readings.sort_by(|a, b| a.0.azimuth_deg.total_cmp(&b.0.azimuth_deg));
    Some(readings)
}

/// What is wrong with so many gaps.
fn number_of(count: usize) -> Option<Problem> {
    let (what, help) = if count < FEWEST {
        (
            "too few gaps were read",
            format!(
                "read {FEWEST} or more, evenly spaced from the front to the right with the cut end up (0,1.2,0.4,1.2), or by name (front 0, 22.5deg 0.4, right 1.5, left 0.8)"
            ),
        )
    } else if count > MOST {
        (
            "these are more gaps than anybody reads",
            format!("give {FEWEST} to {MOST}"),
        )
    } else {
        return None;
    };
    Some(Problem::new(what).figures(format!("there are {count}")).help(help))
}

/// What is wrong where some say their place and others don't.
fn half_named(items: &[Item<'_>]) -> Option<Problem> {
    let bare = items.iter().find(|item| item.azimuth_deg.is_none())?;
    let is_any_named = items.iter().any(|item| item.azimuth_deg.is_some());
    is_any_named.then(|| {
        Problem::new("some readings say where they were taken, and some don't")
            .figures(quoted(bare.text))
            .help("say it of all (front, right, back, left or degrees as in 22.5deg), or of none: then they are evenly spaced from the front to the right")
    })
}

/// `right 1.5`, `22.5deg 0.4`: the place in degrees from 0 to 360, and the rest. Crown lines bear the names that they have on
/// the tube, so that at a far end RIGHT is to the left of the front.
pub(crate) fn named_reading(item: &str, which: WhichEnd) -> Option<(f64, &str)> {
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

/// What can be read of a tube that is pushed in until it touches; `line` is where all of them could be told.
fn require_readable(
    reader: &mut Reader,
    line: &Word,
    readings: &[(Reading, &Word)],
    (radius_mm, which): (f64, WhichEnd),
) -> Option<()> {
    let units = reader.result_units();
    let told = |reading: &Reading| {
        let at = place_words(reading.azimuth_deg, which);
        format!("{} at {at}", units.show(reading.gap_mm))
    };
    let by_gap = |a: &&(Reading, &Word), b: &&(Reading, &Word)| a.0.gap_mm.total_cmp(&b.0.gap_mm);
    let (least, at_least) = readings.iter().min_by(by_gap)?;
    let (most, at_most) = readings.iter().max_by(by_gap)?;
    let (word, problem) = if let Some([one, other]) = taken_twice(readings) {
        let problem = Problem::new("the gap at one place was given twice")
            .figures(format!("{} and {}", told(&one.0), told(&other.0)))
            .help("keep one of the two: the mean, if you are unsure");
        let is_one_word = one.1.place == other.1.place;
        (one.1, if is_one_word { problem } else { problem.against(other.1) })
    } else if least.gap_mm < 0.0 {
        let problem = Problem::new("a gap can't be less than nothing").figures(told(least));
        (
            *at_least,
            problem.help("push the tube in until it first touches; the gap there is 0"),
        )
    } else if least.gap_mm > 0.0 {
        let problem = Problem::new("by these readings the tube touches nowhere")
            .figures(format!("the least is {}", told(least)))
            .help("push it in until it first touches, and give the place where it does, too: \"200deg 0\"");
        (line, problem)
    } else if most.gap_mm > radius_mm {
        let problem = Problem::new("a gap is wider than the tube's radius: this is another joint")
            .figures(format!("{}, of a radius of {}", told(most), units.show(radius_mm)))
            .help("is the unit right? Read along the tube, from its end to what it lands on");
        (*at_most, problem)
    } else {
        return Some(());
    };
    reader.refused(word, problem)
}

/// `front`, or degrees.
fn place_words(azimuth_deg: f64, which: WhichEnd) -> String {
    let crown = CROWNS
        .iter()
        .find(|(_, azimuth)| (which.turned(*azimuth).rem_euclid(360.0) - azimuth_deg).abs() < SAME_DEG);
    crown.map_or_else(
        || crate::measure::show_angle(azimuth_deg),
        |(name, _)| (*name).to_owned(),
    )
}

/// Two readings that were taken at one place, of those from the front to the right.
fn taken_twice<'a, 'w>(readings: &'a [(Reading, &'w Word)]) -> Option<[&'a (Reading, &'w Word); 2]> {
    let pairs = readings.windows(2).map(|pair| ([&pair[0], &pair[1]], 0.0));
    let round = readings.last().zip(readings.first());
    let round = round.map(|(last, first)| ([last, first], 360.0));
    pairs
        .chain(round)
        .find(|([one, other], turn)| other.0.azimuth_deg + turn - one.0.azimuth_deg < SAME_DEG)
        .map(|(pair, _)| pair)
}

#[cfg(test)]
mod tests {
    use super::{WhichEnd, named_reading};

    fn named_at_start(item: &str) -> Option<(f64, &str)> {
        named_reading(item, WhichEnd::Near)
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
        assert_eq!(named_reading("right 1", WhichEnd::Far), Some((270.0, "1")));
        assert_eq!(named_reading("left 1", WhichEnd::Far), Some((90.0, "1")));
        assert_eq!(named_reading("front 1", WhichEnd::Far), Some((0.0, "1")));
        assert_eq!(named_reading("90deg 1", WhichEnd::Far), Some((90.0, "1")));
    }
}
