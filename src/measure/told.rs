//! Lengths, volumes, masses and falls in words, in the units of a job: the only place that makes such words.

use super::rounded::{decimals, nearest_whole, telling};
use super::tolerance::SAME_MM;
use super::units::{Fractions, MM_PER_INCH, Units};
use crate::phrase::Phrase;

/// No length is shown with more decimals than this.
const MOST_PLACES: u32 = 9;

/// US gallons in a litre: a gallon is 231 cubic inches (US Federal Register, 1959).
const GALLONS_IN_A_LITRE: f64 = 1e6 / (231.0 * MM_PER_INCH * MM_PER_INCH * MM_PER_INCH);

/// Kilograms in a pound, exactly (US Federal Register, 1959).
const KG_PER_POUND: f64 = 0.453_592_37;

/// Lengths.
impl Units {
    /// A phrase, with its lengths in these units.
    pub fn tell(self, phrase: &Phrase) -> String {
        phrase.told(|mm| self.show(mm), |mm| self.show_decimal(mm))
    }

    /// A length of `mm`: `48.26 mm`, or `1-29/32 in (1.900)`, inches to the job's fractions with the decimal beside them.
    /// What is not 0 and less than half of the last fraction is `under 1/64 in (0.004)`, or `minus under 1/64 in (-0.004)`. [`super::parse_length`] reads all
    /// of them.
    pub fn show(self, mm: f64) -> String {
        self.show_to(mm, 0)
    }

    /// A length that somebody gave: a whole number of 64ths of an inch is told as that, whichever fractions the job has.
    pub fn show_given(self, mm: f64) -> String {
        let parts = mm / MM_PER_INCH * 64.0;
        let is_whole = (parts - parts.round()).abs() < 1e-6;
        match self {
            Self::Inches(_) if is_whole => Self::Inches(Fractions::SixtyFourths).show(mm),
            _ => self.show(mm),
        }
    }

    /// A length with more decimals, in millimetres or beside the fractions.
    pub fn show_to(self, mm: f64, places: u32) -> String {
        let Self::Inches(to) = self else {
            return format!("{} mm", decimals(mm, places.max(2)));
        };
        let decimal = decimals(mm / MM_PER_INCH, places.max(3));
        let is_nothing = decimal.chars().all(|c| !c.is_ascii_digit() || c == '0');
        match fraction(mm, to) {
            _ if is_nothing => "0 in".to_owned(),
            None => {
                let sign = if mm < 0.0 { "minus " } else { "" };
                format!("{sign}under 1/{} in ({decimal})", half_of_last(to))
            }
            Some(parts) => format!("{parts} in ({decimal})"),
        }
    }

    /// Within how much a length is known, after the word "within": `1/64 in (0.004)` rather than `under 1/64 in (0.004)`.
    pub fn show_within(self, mm: f64) -> String {
        let within = if mm > 0.0 { mm.max(self.step()) } else { mm };
        self.show(within).trim_start_matches("under ").to_owned()
    }

    /// A small length with so many decimals that two of its digits are told.
    pub fn show_telling(self, mm: f64) -> String {
        match self {
            Self::Millimetres => format!("{} mm", telling(mm)),
            Self::Inches(_) if mm != 0.0 && mm.abs() < MM_PER_INCH / 100.0 => {
                format!("{} in", telling(mm / MM_PER_INCH))
            }
            Self::Inches(_) => self.show(mm),
        }
    }

    /// Lengths with as many decimals as tell them apart: no more than usual where that is enough.
    pub fn show_apart<const N: usize>(self, mm: [f64; N]) -> [String; N] {
        let are_told = |shown: &[String; N]| {
            let mut pairs = (0..N).flat_map(|a| (0..a).map(move |b| (a, b)));
            pairs.all(|(a, b)| (mm[a] - mm[b]).abs() <= SAME_MM / 100.0 || shown[a] != shown[b])
        };
        let usual = mm.map(|mm| self.show(mm));
        if are_told(&usual) {
            return usual;
        }
        let more = (3..=MOST_PLACES).map(|places| mm.map(|mm| self.show_to(mm, places)));
        more.into_iter().find(are_told).unwrap_or(usual)
    }

    /// A length that is enough where `mm` are needed: to the next 0.01 mm, or the next of the job's fractions of an inch.
    pub fn show_enough(self, mm: f64) -> String {
        let step = match self {
            Self::Millimetres => 0.01,
            Self::Inches(to) => MM_PER_INCH / f64::from(to.in_an_inch()),
        };
        self.show(((mm - SAME_MM) / step).ceil() * step)
    }

    /// What may be given: `0 to 25 mm`, `0 to 7/8 in`, `0 to 0.984 in`; both ends may be given as they are told.
    pub fn show_range(self, low_mm: f64, high_mm: f64) -> String {
        let [low, high] = [(low_mm, f64::ceil as fn(f64) -> f64), (high_mm, f64::floor)]
            .map(|(mm, whole)| self.on_a_rule(mm).unwrap_or_else(|| self.plain(mm, whole)));
        format!("{low} to {high} {}", self.name())
    }

    /// A length in inches that a rule has a line for: `7/8`.
    fn on_a_rule(self, mm: f64) -> Option<String> {
        let lines = mm / MM_PER_INCH * f64::from(Fractions::Sixteenths.in_an_inch());
        let is_on_it = self != Self::Millimetres && (lines - lines.round()).abs() < 1e-9;
        is_on_it.then(|| fraction(mm, Fractions::Sixteenths)).flatten()
    }

    /// The most that may be given: `25 mm`, `0.984 in`.
    pub fn show_limit(self, mm: f64) -> String {
        format!("{} {}", self.plain(mm, f64::floor), self.name())
    }

    /// The least that may be given.
    pub fn show_least(self, mm: f64) -> String {
        format!("{} {}", self.plain(mm, f64::ceil), self.name())
    }

    /// The number of a bound without needless noughts, rounded so that it holds.
    fn plain(self, mm: f64, whole: impl Fn(f64) -> f64) -> String {
        let step = self.step();
        let slack = if whole(0.5) > 0.0 { -SAME_MM } else { SAME_MM };
        without_noughts(&self.decimal(whole((mm + slack) / step) * step))
    }

    /// By which lengths that are shown differ, in millimetres.
    fn step(self) -> f64 {
        match self {
            Self::Millimetres => 0.01,
            Self::Inches(_) => MM_PER_INCH / 1000.0,
        }
    }

    /// A length for a column whose head names the unit: `24.13`, or `15/16 (0.950)`.
    pub fn show_bare(self, mm: f64) -> String {
        self.show(mm).replace(" mm", "").replace(" in", "")
    }

    /// The number alone, for sizes and narrow columns: `48.26`, or `1.900`.
    pub fn decimal(self, mm: f64) -> String {
        match self {
            Self::Millimetres => decimals(mm, 2),
            Self::Inches(_) => decimals(mm / MM_PER_INCH, 3),
        }
    }

    /// A sheet's thickness, or a size as a table gives it: `1.65 mm`, `0.065 in`.
    pub fn show_decimal(self, mm: f64) -> String {
        match self {
            Self::Millimetres => format!("{} mm", decimals(mm, 2)),
            Self::Inches(_) => format!("{} in", with_no_nought(&decimals(mm / MM_PER_INCH, 4), 3)),
        }
    }

    /// A length of stock in the units in which it is bought: `6.23 m`, `20.4 ft`.
    pub fn show_stock(self, mm: f64) -> String {
        match self {
            Self::Millimetres => format!("{} m", decimals(mm / 1000.0, 2)),
            Self::Inches(_) => format!("{} ft", decimals(mm / MM_PER_INCH / 12.0, 1)),
        }
    }

    /// A place in space, for what is near no body and no piece: `x 286, y 0, z 596 mm`.
    pub fn show_place(self, mm: [f64; 3]) -> String {
        let [x, y, z] = mm.map(|mm| match self {
            Self::Millimetres => decimals(mm, 0),
            Self::Inches(_) => decimals(mm / MM_PER_INCH, 1),
        });
        format!("x {x}, y {y}, z {z} {}", self.name())
    }
}

/// Other measures.
impl Units {
    /// Weld metal: `1240 mm³`, `0.076 cu in`.
    pub fn show_volume(self, mm3: f64) -> String {
        format!("{} {}", self.volume(mm3), self.volume_name())
    }

    /// The same, for a column whose head names the unit.
    pub fn volume(self, mm3: f64) -> String {
        match self {
            Self::Millimetres => decimals(mm3, 0),
            Self::Inches(_) => decimals(mm3 / (MM_PER_INCH * MM_PER_INCH * MM_PER_INCH), 3),
        }
    }

    /// The unit of volumes.
    pub fn volume_name(self) -> &'static str {
        match self {
            Self::Millimetres => "mm3",
            Self::Inches(_) => "cu in",
        }
    }

    /// What stands in a vessel, in whole litres or US gallons; below 10 of them to a hundredth.
    pub fn show_liquid(self, litres: f64) -> String {
        let (amount, name) = match self {
            Self::Millimetres => (litres, "litre"),
            Self::Inches(_) => (litres * GALLONS_IN_A_LITRE, "gallon"),
        };
        let told = match amount {
            amount if amount < 0.01 => return format!("under 0.01 {name}"),
            amount if amount < 10.0 => decimals(amount, 2),
            amount => decimals(amount, 0),
        };
        let told = without_noughts(&told);
        let plural = if told == "1" { "" } else { "s" };
        format!("{told} {name}{plural}")
    }

    /// `12.3 kg`, `27.1 lb`.
    pub fn show_mass(self, kg: f64) -> String {
        match self {
            Self::Millimetres => format!("{} kg", decimals(kg, 1)),
            Self::Inches(_) => format!("{} lb", decimals(kg / KG_PER_POUND, 1)),
        }
    }

    /// A small mass: `85.3 g`, `1.23 kg`, `0.188 lb`.
    pub fn show_small_mass(self, kg: f64) -> String {
        match self {
            Self::Millimetres if kg < 0.99995 => format!("{} g", decimals(1000.0 * kg, 1)),
            Self::Millimetres => format!("{} kg", decimals(kg, 2)),
            Self::Inches(_) => format!("{} lb", decimals(kg / KG_PER_POUND, 3)),
        }
    }

    /// How heavy a metal is: `7850 kg/m3`, `0.2836 lb/cu in`.
    pub fn show_density(self, kg_m3: f64) -> String {
        match self {
            Self::Millimetres => format!("{} kg/m3", decimals(kg_m3, 0)),
            Self::Inches(_) => {
                let in_a_cubic_inch = kg_m3 / 1e9 * MM_PER_INCH * MM_PER_INCH * MM_PER_INCH;
                format!("{} lb/cu in", decimals(in_a_cubic_inch / KG_PER_POUND, 4))
            }
        }
    }

    /// How much a pipe falls, by its slope (fall over length): `20 mm per metre`, `1/4 in (0.240) per foot`.
    pub fn show_fall(self, slope: f64) -> String {
        match self {
            Self::Millimetres => format!("{} mm per metre", without_noughts(&decimals(1000.0 * slope, 1))),
            Self::Inches(_) => format!("{} per foot", self.show(12.0 * MM_PER_INCH * slope)),
        }
    }
}

/// A length in inches to the nearest such part, as a tape says it: `1-7/8`, `15/16`, `0`; `None` where it rounds to 0 and isn't.
fn fraction(mm: f64, to: Fractions) -> Option<String> {
    let all = i64::from(to.in_an_inch());
    let parts = nearest_whole(mm.abs() / MM_PER_INCH * all as f64);
    if parts == 0 && mm != 0.0 {
        return None;
    }
    let sign = if mm < 0.0 { "-" } else { "" };
    let (whole, part) = (parts / all, parts % all);
    let halvings = part.trailing_zeros().min(6);
    let (numerator, denominator) = (part >> halvings, all >> halvings);
    Some(match (whole, part) {
        (_, 0) => format!("{sign}{whole}"),
        (0, _) => format!("{sign}{numerator}/{denominator}"),
        _ => format!("{sign}{whole}-{numerator}/{denominator}"),
    })
}

/// What rounds to 0 is less than this part of an inch; no tape is finer than 1/64.
fn half_of_last(to: Fractions) -> u32 {
    (2 * to.in_an_inch()).min(64)
}

/// `25` for `25.00`, `0.5` for `0.500`.
pub fn without_noughts(number: &str) -> String {
    with_no_nought(number, 0)
}

/// Without noughts behind the point that follow so many decimals.
fn with_no_nought(number: &str, places: usize) -> String {
    let Some((whole, part)) = number.split_once('.') else {
        return number.to_owned();
    };
    let kept = part.trim_end_matches('0').len().max(places.min(part.len()));
    match &part[..kept] {
        "" => whole.to_owned(),
        part => format!("{whole}.{part}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const INCHES: Units = Units::INCHES;
    const MM: Units = Units::Millimetres;

    #[test]
    fn inches_are_told_to_the_fraction_that_was_asked_for_in_lowest_terms() {
        let told = |to: Fractions, inches: f64| Units::Inches(to).show(inches * MM_PER_INCH);
        assert_eq!(told(Fractions::ThirtySeconds, 1.875), "1-7/8 in (1.875)");
        assert_eq!(told(Fractions::ThirtySeconds, 1.9), "1-29/32 in (1.900)");
        assert_eq!(told(Fractions::ThirtySeconds, 61.0 / 64.0 + 0.001), "31/32 in (0.954)");
        assert_eq!(told(Fractions::SixtyFourths, 61.0 / 64.0), "61/64 in (0.953)");
        assert_eq!(told(Fractions::Sixteenths, 1.9), "1-7/8 in (1.900)");
        assert_eq!(told(Fractions::Sixteenths, -0.25), "-1/4 in (-0.250)");
        assert_eq!(told(Fractions::Sixteenths, 0.99), "1 in (0.990)");
        let given = |inches: f64| INCHES.show_given(inches * MM_PER_INCH);
        assert_eq!(given(1.0 / 64.0), "1/64 in (0.016)");
        assert_eq!([given(0.016), given(0.5)], ["1/32 in (0.016)", "1/2 in (0.500)"]);
    }

    #[test]
    fn what_rounds_to_nothing_is_told_as_less_than_a_part() {
        let told = |to: Fractions, inches: f64| Units::Inches(to).show(inches * MM_PER_INCH);
        assert_eq!(told(Fractions::ThirtySeconds, 0.004), "under 1/64 in (0.004)");
        assert_eq!(told(Fractions::SixtyFourths, 0.004), "under 1/64 in (0.004)");
        assert_eq!(told(Fractions::Sixteenths, -0.03), "minus under 1/32 in (-0.030)");
        assert_eq!(INCHES.show_bare(-0.007 * MM_PER_INCH), "minus under 1/64 (-0.007)");
        assert_eq!(INCHES.show_within(0.004 * MM_PER_INCH), "1/64 in (0.004)");
        assert_eq!(INCHES.show_within(0.25 * MM_PER_INCH), "1/4 in (0.250)");
        assert_eq!([MM.show_within(1.3), MM.show_within(0.002)], ["1.30 mm", "0.01 mm"]);
        assert_eq!(told(Fractions::ThirtySeconds, 0.0), "0 in");
        assert_eq!(told(Fractions::ThirtySeconds, 0.0004), "0 in");
        assert_eq!(MM.show(-0.001), "0.00 mm");
    }

    #[test]
    fn lengths_that_differ_are_shown_apart_and_limits_can_be_kept() {
        assert_eq!(MM.show_apart([48.3, 48.29]), ["48.30 mm", "48.29 mm"]);
        assert_eq!(MM.show_apart([48.3, 48.29999]), ["48.30000 mm", "48.29999 mm"]);
        assert_eq!(MM.show_apart([48.3, 48.3 - 1e-12]), ["48.30 mm", "48.30 mm"]);
        assert_eq!(INCHES.show_apart([25.4, 25.4003]), ["1 in (1.00000)", "1 in (1.00001)"]);
    }

    #[test]
    fn ends_of_a_range_can_be_given_as_they_are_told() {
        assert_eq!(MM.show_range(0.1, 500.0), "0.1 to 500 mm");
        assert_eq!(INCHES.show_range(0.1, 500.0), "0.004 to 19.685 in");
        assert_eq!(INCHES.show_range(0.0, 25.0), "0 to 0.984 in");
        assert_eq!(INCHES.show_range(0.508, 47.625), "0.02 to 1-7/8 in");
        assert_eq!(INCHES.show_limit(20_000.0), "787.401 in");
    }

    #[test]
    fn volumes_masses_and_falls_are_in_the_same_units() {
        // A 55 gallon drum holds 208.2 litres; 1/4 in per foot is a fall of 1 in 48; 1 kg is 2.2046 lb.
        assert_eq!(INCHES.show_liquid(208.198), "55 gallons");
        assert_eq!(MM.show_liquid(208.198), "208 litres");
        assert_eq!(MM.show_liquid(1.001), "1 litre");
        assert_eq!(MM.show_liquid(0.42), "0.42 litres");
        assert_eq!(MM.show_liquid(0.001), "under 0.01 litre");
        assert_eq!(INCHES.show_fall(1.0 / 48.0), "1/4 in (0.250) per foot");
        assert_eq!(MM.show_fall(1.0 / 50.0), "20 mm per metre");
        assert_eq!(INCHES.show_mass(10.0), "22.0 lb");
        assert_eq!(INCHES.show_small_mass(0.1), "0.220 lb");
        assert_eq!(
            [MM.show_small_mass(0.0853), MM.show_small_mass(0.99996)],
            ["85.3 g", "1.00 kg"]
        );
        assert_eq!(
            [MM.show_density(7850.0), INCHES.show_density(7850.0)],
            ["7850 kg/m3", "0.2836 lb/cu in"]
        );
        assert_eq!(INCHES.show_volume(16_387.064), "1.000 cu in");
        assert_eq!(INCHES.show_stock(6096.0), "20.0 ft");
        assert_eq!(INCHES.show_decimal(0.0598 * MM_PER_INCH), "0.0598 in");
        assert_eq!(INCHES.show_decimal(0.065 * MM_PER_INCH), "0.065 in");
    }
}
