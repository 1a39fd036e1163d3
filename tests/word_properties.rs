//! What must be true of every word that is read or printed.

mod trying;

use girthline::measure::{MM_PER_INCH, Size, Units, parse_angle, parse_length, parse_size};
use proptest::prelude::*;
use trying::tried;

/// Failing words.
const KEPT: &str = "tests/word_properties.regressions";

/// Lengths of every size that is printed, many of them short.
fn lengths() -> impl Strategy<Value = f64> {
    prop_oneof![-90_000.0..90_000.0, -100.0..100.0, -0.5..0.5]
}

/// What people type, mixed up.
fn shop_words() -> impl Strategy<Value = String> {
    #[rustfmt::skip]
    const PARTS: [&str; 48] = [
        "NPS", "DN", "EN", "10220", "fence", "drum", "girth", "sch", "sched.", "40", "80S", "XS",
        "x", "X", "×", "1-1/2", "1 7/8", "1⅞", "½", "48.3", ".5", "5.", "0", "-", "−", "–", "+",
        "/", "'", "''", "\"", "″", "′", "(", ")", "(1.900)", "mm", "cm", "m", "in", "ft", "ga",
        "bwg", "sheet", "55", "gal", "deg", "°",
    ];
    let part = prop_oneof![
        6 => prop::sample::select(&PARTS[..]).prop_map(str::to_owned),
        1 => any::<char>().prop_map(String::from),
        1 => "[0-9]{1,8}",
    ];
    let gap = prop_oneof![2 => Just(""), 1 => Just(" "), 1 => Just("\u{a0}")];
    prop::collection::vec((part, gap), 0..9).prop_map(|parts| parts.into_iter().map(|(part, gap)| part + gap).collect())
}

/// A diameter and a wall of any length, the wall often too thick.
fn measured_sizes() -> impl Strategy<Value = String> {
    let units = || prop::sample::select(vec!["", "mm", "cm", "in", "\""]);
    (0.0..100.0, units(), 0.0..100.0, units())
        .prop_map(|(across, unit, wall, of_wall)| format!("{across:.2}{unit} x {wall:.3}{of_wall}"))
}

fn any_words() -> impl Strategy<Value = String> {
    prop_oneof![1 => any::<String>(), 4 => shop_words(), 1 => measured_sizes()]
}

fn any_units() -> impl Strategy<Value = Option<Units>> {
    prop::sample::select(vec![None, Some(Units::INCHES), Some(Units::Millimetres)])
}

/// The whole of what is said of a size must make a tube that can be.
fn is_sound(size: &Size) -> bool {
    let wall = size.wall_mm.unwrap_or(size.od_mm / 4.0);
    size.od_mm.is_finite() && size.od_mm > 0.0 && wall > 0.0 && wall < size.od_mm / 2.0
}

proptest! {
    #![proptest_config(tried(4000, KEPT))]

    #[test]
    fn a_length_printed_in_millimetres_is_a_length_read(mm in lengths()) {
        let text = Units::Millimetres.show(mm);
        let read = parse_length(&text, None);
        // Two decimals, rounded on a grid of a 200,000th of the last one.
        let within = 0.005 + 0.01 / 200_000.0;
        prop_assert!(read.as_ref().is_ok_and(|read| (read - mm).abs() <= within), "{text}: {read:?}");
    }

    #[test]
    fn a_length_printed_in_inches_is_a_length_read(mm in lengths()) {
        // A short length to the other side has a test of its own.
        let mm = if mm > -MM_PER_INCH / 128.0 { mm.abs() } else { mm };
        let text = Units::INCHES.show(mm);
        let read = parse_length(&text, None);
        // Three decimals beside the sixty-fourths, rounded on a grid of a 200,000th of the last one.
        let within = (0.0005 + 0.001 / 200_000.0) * MM_PER_INCH;
        prop_assert!(read.as_ref().is_ok_and(|read| (read - mm).abs() <= within), "{text}: {read:?}");
    }

    #[test]
    fn a_length_is_the_same_in_whatever_units_it_is_typed(mm in lengths()) {
        let inches = mm / MM_PER_INCH;
        let typed = [
            (format!("{mm:.9}"), Some(Units::Millimetres)),
            (format!("{mm:.9}mm"), Some(Units::INCHES)),
            (format!("{:.10}cm", mm / 10.0), None),
            (format!("{inches:.11}"), Some(Units::INCHES)),
            (format!("{inches:.11} in"), Some(Units::Millimetres)),
        ];
        for (words, units) in typed {
            let read = parse_length(&words, units);
            prop_assert!(read.as_ref().is_ok_and(|read| (read - mm).abs() < 2e-9), "{words} {units:?}: {read:?}");
        }
        // And what comes out is in the units asked for.
        prop_assert!(Units::Millimetres.show(mm).ends_with(" mm"));
        let inches = Units::INCHES.show(mm);
        prop_assert!(inches.contains(" in (") || inches == "0 in", "{inches}");
    }

    #[test]
    fn no_words_make_the_reading_of_lengths_panic(words in any_words(), units in any_units()) {
        if let Ok(mm) = parse_length(&words, units) {
            prop_assert!(mm.abs() <= 100_000.0, "{words:?} is read as {mm}");
        }
    }

    #[test]
    fn no_words_make_the_reading_of_angles_panic(words in any_words()) {
        if let Ok(degrees) = parse_angle(&words) {
            prop_assert!(degrees.is_finite(), "{words:?} is read as {degrees}");
        }
    }

    #[test]
    fn no_words_make_the_reading_of_sizes_panic(words in any_words(), units in any_units()) {
        if let Ok(size) = parse_size(&words, units) {
            prop_assert!(is_sound(&size), "{words:?} is read as {size:?}");
        }
    }
}

#[test]
fn a_short_length_to_the_other_side_is_read_as_it_is_printed() {
    let text = Units::INCHES.show(-0.1);
    let read = parse_length(&text, None).unwrap_or_else(|problem| panic!("{problem}"));
    assert!((read + 0.1).abs() <= 0.0005 * MM_PER_INCH + 1e-9, "{text}: {read}");
}

#[test]
fn a_fraction_of_two_endless_numbers_is_refused() {
    let endless = "9".repeat(310);
    let length = parse_length(&format!("{endless}/{endless}mm"), None);
    assert!(length.is_err(), "{length:?}");
    let size = parse_size(&format!("48.3mm x {endless}/{endless}mm"), None);
    assert!(size.is_err(), "{size:?}");
}
