//! A number as it is read off a tape: `48.3`, `7/8`, `1-7/8`, `1 7/8`.

/// Reads a number from the front of `text`: its value and what stands after it.
///
/// Decimal numbers with a point, fractions and mixed numbers; no sign, no exponent. `None` where no
/// such number stands there, where a denominator is 0, or where a mixed number's fraction is 1 or more.
pub(super) fn leading_number(text: &str) -> Option<(f64, &str)> {
    let (whole, rest) = digits(text)?;
    if let Some(after_slash) = rest.strip_prefix('/') {
        let (denominator, rest) = digits(after_slash)?;
        return Some((fraction(whole, denominator)?, rest));
    }
    if let Some(after_point) = rest.strip_prefix('.') {
        let end = after_point
            .find(|c: char| !c.is_ascii_digit())
            .unwrap_or(after_point.len());
        let decimal = &text[..whole.len() + 1 + end];
        return (decimal.len() > 1)
            .then(|| decimal.parse().ok())?
            .map(|value: f64| (value, &after_point[end..]));
    }
    let value: f64 = whole.parse().ok()?;
    match mixed_fraction(rest) {
        MixedFraction::None => Some((value, rest)),
        MixedFraction::Proper(part, rest) => Some((value + part, rest)),
        MixedFraction::Improper => None,
    }
}

enum MixedFraction<'a> {
    None,
    Proper(f64, &'a str),
    Improper,
}

/// The `-7/8` or ` 7/8` behind a whole number, where there is one.
fn mixed_fraction(rest: &str) -> MixedFraction<'_> {
    let joined = rest
        .strip_prefix('-')
        .or_else(|| rest.starts_with(' ').then(|| rest.trim_start()));
    let Some((numerator, after)) = joined.and_then(digits) else {
        return MixedFraction::None;
    };
    let Some((denominator, after)) = after.strip_prefix('/').and_then(digits) else {
        return MixedFraction::None;
    };
    match fraction(numerator, denominator) {
        Some(part) if part < 1.0 => MixedFraction::Proper(part, after),
        _ => MixedFraction::Improper,
    }
}

/// The digits at the front, possibly none before a decimal point.
fn digits(text: &str) -> Option<(&str, &str)> {
    let end = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let leading_point = end == 0 && text.starts_with('.') && text[1..].starts_with(|c: char| c.is_ascii_digit());
    (end > 0 || leading_point).then(|| text.split_at(end))
}

fn fraction(numerator: &str, denominator: &str) -> Option<f64> {
    let (numerator, denominator): (f64, f64) = (numerator.parse().ok()?, denominator.parse().ok()?);
    let value = numerator / denominator;
    (denominator > 0.0 && value.is_finite()).then_some(value)
}

#[cfg(test)]
mod tests {
    use super::leading_number;

    #[test]
    fn reads_what_a_tape_says() {
        let cases = [
            ("48.3mm", 48.3, "mm"),
            (".5in", 0.5, "in"),
            ("1-7/8in", 1.875, "in"),
            ("1 7/8 in", 1.875, " in"),
            ("7/8\"", 0.875, "\""),
            ("2 in", 2.0, " in"),
            ("2-", 2.0, "-"),
        ];
        for (text, value, rest) in cases {
            assert_eq!(leading_number(text), Some((value, rest)), "{text}");
        }
    }

    #[test]
    fn refuses_what_no_tape_says() {
        for text in ["", ".", "in", "1/0", "1-9/8", "/8", "nan", "-1"] {
            assert_eq!(leading_number(text), None, "{text}");
        }
    }
}
