//! The gaps of a trial fit as they are typed: eight fields round a drawing of the end, and a line for what was read elsewhere.
//! The address and the command line have all of them in that line.

use super::gap::{Gap, Kind};
use super::typed::Typed;
use crate::job::raw::Word;
use crate::job::resolve::named_reading;
use crate::job::{Reading, WhichEnd};
use crate::measure::Units;

/// One of the fields.
#[derive(Debug)]
pub(super) struct Field {
    pub(super) gap: Gap,
    /// As the line names the place.
    pub(super) place: &'static str,
    /// From the front to the right with the cut end up, in degrees.
    pub(super) azimuth_deg: f64,
    /// What is said of it besides to whoever doesn't see where it stands.
    pub(super) between: Option<&'static str>,
}

/// All of them, from the front to the right.
pub(super) static ROUND: [Field; 8] = [
    crown("--front", "Front", "front", 0.0),
    between("--front-right", "45°", ("45deg", 45.0), "between front and right"),
    crown("--right", "Right", "right", 90.0),
    between("--back-right", "135°", ("135deg", 135.0), "between right and back"),
    crown("--back", "Back", "back", 180.0),
    between("--back-left", "225°", ("225deg", 225.0), "between back and left"),
    crown("--left", "Left", "left", 270.0),
    between("--front-left", "315°", ("315deg", 315.0), "between left and front"),
];

/// The line.
pub(super) const LINE: Gap = Gap::new(
    "--gaps",
    "Read elsewhere",
    Kind::Text,
    "where it touches, or any other place: 200deg 0, 22.5deg 0.4",
);

const fn crown(flag: &'static str, label: &'static str, place: &'static str, azimuth_deg: f64) -> Field {
    Field {
        gap: Gap::new(flag, label, Kind::Length, ""),
        place,
        azimuth_deg,
        between: None,
    }
}

const fn between(
    flag: &'static str,
    label: &'static str,
    (place, azimuth_deg): (&'static str, f64),
    between: &'static str,
) -> Field {
    Field {
        between: Some(between),
        ..crown(flag, label, place, azimuth_deg)
    }
}

/// All gaps of the readings, the line last.
pub(super) fn gaps() -> impl Iterator<Item = &'static Gap> {
    ROUND.iter().map(|field| &field.gap).chain([&LINE])
}

/// The words of the fields, each with its azimuth in degrees.
pub(super) fn apart(typed: &Typed) -> Vec<(f64, Word)> {
    let word = |field: &Field| Some((field.azimuth_deg, typed.word(field.gap.flag)?));
    ROUND.iter().filter_map(word).collect()
}

/// What the readings at the fields' places were taken for, by flag.
pub(super) fn heard(readings: &[Reading], units: Units) -> Vec<(&'static str, String)> {
    let heard = readings
        .iter()
        .filter_map(|reading| Some((field_at(reading.azimuth_deg)?.gap.flag, units.show(reading.gap_mm))));
    heard.collect()
}

fn field_at(azimuth_deg: f64) -> Option<&'static Field> {
    ROUND
        .iter()
        .find(|field| (field.azimuth_deg - azimuth_deg).abs() < 1e-9)
}

/// The same with what the line says of the fields' places in those fields, as far as nothing else stands in them.
pub(super) fn spread(typed: Typed) -> Typed {
    let line = typed.text(LINE.flag).to_owned();
    let items: Vec<&str> = line.split(',').map(str::trim).collect();
    let named: Option<Vec<(f64, &str)>> = items.iter().map(|item| named_reading(item, WhichEnd::Near)).collect();
    let is_empty = ROUND.iter().all(|field| is_blank(&typed, field));
    let placed = match named {
        Some(named) => named,
        // Bare numbers are evenly spaced: four or eight of them stand at the fields' places.
        None if is_empty && [4, 8].contains(&items.len()) && items.iter().all(|item| is_bare(item)) => {
            let share = 360.0 / items.len() as f64;
            let even = items.iter().enumerate();
            even.map(|(index, item)| (share * index as f64, *item)).collect()
        }
        None => return typed,
    };
    let (mut spread, mut rest) = (typed, Vec::new());
    for ((azimuth_deg, text), item) in placed.into_iter().zip(items) {
        match field_at(azimuth_deg).filter(|field| is_blank(&spread, field)) {
            Some(field) => spread = spread.with(field.gap.flag, text),
            None => rest.push(item),
        }
    }
    spread.with(LINE.flag, &rest.join(", "))
}

fn is_blank(typed: &Typed, field: &Field) -> bool {
    typed.text(field.gap.flag).trim().is_empty()
}

fn is_bare(item: &str) -> bool {
    !item.is_empty() && named_reading(item, WhichEnd::Near).is_none()
}

/// The same with all that stands in the fields in the line. What holds a comma would be two gaps there, and stays.
pub(super) fn gathered(typed: &Typed) -> Typed {
    let (mut gathered, mut items) = (typed.clone(), Vec::new());
    for field in &ROUND {
        let text = typed.text(field.gap.flag).trim();
        if !text.is_empty() && !text.contains(',') {
            items.push(format!("{} {text}", field.place));
            gathered = gathered.with(field.gap.flag, "");
        }
    }
    let line = typed.text(LINE.flag).trim();
    items.extend((!line.is_empty()).then(|| line.to_owned()));
    gathered.with(LINE.flag, &items.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fields(query: &str) -> Vec<(String, String)> {
        let typed = spread(Typed::of(Some(query)));
        let all = gaps().map(|gap| (gap.name().to_owned(), typed.text(gap.flag).to_owned()));
        all.filter(|(_, text)| !text.is_empty()).collect()
    }

    fn pairs(of: &[(&str, &str)]) -> Vec<(String, String)> {
        of.iter()
            .map(|(name, text)| ((*name).to_owned(), (*text).to_owned()))
            .collect()
    }

    #[test]
    fn a_line_fills_the_fields_of_its_places_and_keeps_the_rest() {
        let even = pairs(&[("front", "0"), ("right", "1.2"), ("back", "1/32in"), ("left", "1")]);
        assert_eq!(fields("gaps=0,1.2,1/32in,1"), even);
        let named = pairs(&[("front", "0"), ("back-right", "2"), ("gaps", "22.5deg 0.4")]);
        assert_eq!(fields("gaps=front+0,22.5deg+0.4,-225deg+2"), named);
        // Twice at one place stays twice.
        assert_eq!(
            fields("gaps=front+0,front+1"),
            pairs(&[("front", "0"), ("gaps", "front 1")])
        );
        assert_eq!(
            fields("gaps=right+1&right=2"),
            pairs(&[("right", "2"), ("gaps", "right 1")])
        );
        for stays in ["0,1,2,1,0,1", "0,1,,2", "0,1,right 2,1", "front 0,right", "0"] {
            assert_eq!(
                fields(&format!("gaps={}", stays.replace(' ', "+"))),
                pairs(&[("gaps", stays)])
            );
        }
    }

    #[test]
    fn what_is_gathered_is_spread_again_as_it_was() {
        for query in [
            "front=0&front-right=1+mm&left=1/32in&gaps=200deg+0",
            "back=0,4&right=1",
            "gaps=0,1,2,1,0,1",
            "",
        ] {
            let typed = spread(Typed::of(Some(query)));
            let again = spread(gathered(&typed));
            for gap in gaps() {
                assert_eq!(again.text(gap.flag), typed.text(gap.flag), "{query}: {}", gap.flag);
            }
        }
        let typed = Typed::of(Some("front=0&back-left=2&gaps=200deg+0"));
        assert_eq!(gathered(&typed).text("--gaps"), "front 0, 225deg 2, 200deg 0");
    }
}
