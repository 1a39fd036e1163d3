//! From where to where a length may be given, in numbers that are round in a person's own units.

use super::units::{MM_PER_INCH, Units};

impl Units {
    /// From `low` to `high` millimetres; in inches each is rounded inward to what stands on a rule or is easily said.
    pub fn round_range(self, [low, high]: [f64; 2]) -> [f64; 2] {
        match self {
            Self::Millimetres => [low, high],
            Self::Inches(_) => [in_round_inches(low, f64::ceil), in_round_inches(high, f64::floor)],
        }
    }
}

fn in_round_inches(mm: f64, whole: impl Fn(f64) -> f64) -> f64 {
    let inches = mm / MM_PER_INCH;
    let parts = match inches {
        feet if feet >= 12.0 => 1.0,
        coarse if coarse >= 0.5 => 8.0,
        fine if fine >= 0.125 => 16.0,
        thin if thin >= 0.02 => 200.0,
        _ => 1000.0,
    };
    whole(inches * parts) / parts * MM_PER_INCH
}

#[cfg(test)]
mod tests {
    use super::super::{Fractions, parse_length};
    use super::*;

    #[test]
    fn limits_in_inches_are_round_within_those_in_millimetres_and_can_be_given() {
        let inches = Units::Inches(Fractions::default());
        for (range, told) in [
            ([0.0, 20.0], "0 to 3/4 in"),
            ([0.0, 2.0], "0 to 0.075 in"),
            ([0.5, 50.0], "0.02 to 1-7/8 in"),
            ([0.01, 5.0], "0.001 to 3/16 in"),
            ([50.0, 50_000.0], "2 to 1968 in"),
        ] {
            let [low, high] = inches.round_range(range);
            assert!(range[0] <= low && high <= range[1], "{range:?}: {low} to {high}");
            assert_eq!(inches.show_range(low, high), told);
            for word in told.trim_end_matches(" in").split(" to ") {
                let given = parse_length(&format!("{word} in"), None).expect("a length");
                assert!((low..=high).contains(&given), "{word} of {told}: {given}");
            }
            assert_eq!(Units::Millimetres.round_range(range), range);
        }
    }
}
