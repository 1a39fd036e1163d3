//! Words and job files spoilt in every way, led by random bytes: what a fuzzer changes, changes them.

#![allow(dead_code, unreachable_pub, reason = "shared by tests that each use a part")]

pub mod covered;
pub mod structure;

/// The starters, and jobs that have every key and word that none of those has.
pub const TEMPLATES: [&str; 8] = [
    include_str!("../../templates/cooler-bank.json"),
    include_str!("../../templates/drain-standpipe.json"),
    include_str!("../../templates/plate-frame.json"),
    include_str!("../../templates/stacked-hopper.json"),
    include_str!("../../templates/node-frame.json"),
    include_str!("../../templates/used-bottle.json"),
    include_str!("jobs/vessels.json"),
    include_str!("jobs/frame.json"),
];

/// What people type, and what nobody would.
#[rustfmt::skip]
const WORDS: [&str; 64] = [
    "NPS", "DN", "EN", "10220", "fence", "drum", "girth", "sch", "sched.", "40", "80S", "XS", "x", "X", "×", "1-1/2",
    "1 7/8", "1⅞", "½", "48.3", ".5", "5.", "0", "-", "−", "–", "+", "/", "'", "''", "\"", "″", "′", "(", ")", "(1.900)",
    "mm", "cm", "m", "in", "ft", "ga", "bwg", "sheet", "55", "gal", "deg", "°", " ", "  ", "\u{a0}", "\t", "1e9", "e",
    "inf", "NaN", "0x10", ",", "99999999999999999999", "0.0000000001", "1/0", "\u{202e}", "管", "\0",
];

/// Values that a job file may hold somewhere, whole tokens of JSON.
#[rustfmt::skip]
const VALUES: [&str; 59] = [
    "0", "-0", "1", "-1", "2", "0.5", "1e-9", "-1e-9", "1e308", "-1e308", "1e999", "5e-324", "1e15", "100000", "-100000",
    "99999.999", "3", "24.15", "285.75", "20001", "18446744073709551616", "0.1", "1e5", "true", "false", "null", "[]", "{}",
    "[0,0,0]", "[0,0,1]", "[0,1,0]", "[1,0,0]", "[1e-300,0,0]", "[0,0]", "[0,0,0,0]", "\"\"", "\" \"", "\"mm\"", "\"in\"",
    "\"cylinder\"", "\"cone\"", "\"plane\"", "\"sphere\"", "\"square\"", "\"miter\"", "\"set-in\"", "\"set-on\"",
    "\"1/0in\"", "\"girth 5-31/32in x 0.065in\"", "\"90deg\"", "\"-180deg\"", "\"1e9mm\"", "\"\\u0000\"", "\"nul\\ud800\"",
    "\"head\"", "\"hemisphere\"", "{\"depth\":60,\"knuckle\":20}", "\"48.3mm x 24.15mm\"", "\"3mm x 0.1mm\"",
];

/// Decisions made by bytes; none left, and all are 0.
pub struct Choices<'a>(&'a [u8]);

impl<'a> Choices<'a> {
    pub fn new(bytes: &'a [u8]) -> Self {
        Self(bytes)
    }

    fn byte(&mut self) -> u8 {
        self.0.split_off_first().copied().unwrap_or(0)
    }

    /// Below `count`.
    pub fn below(&mut self, count: usize) -> usize {
        let number = usize::from(self.byte()) << 8 | usize::from(self.byte());
        number % count.max(1)
    }

    fn of<'b>(&mut self, list: &[&'b str]) -> &'b str {
        list[self.below(list.len())]
    }

    fn is_spent(&self) -> bool {
        self.0.is_empty()
    }
}

/// A length, angle or size: words and raw text mixed.
pub fn words(choices: &mut Choices<'_>) -> String {
    let mut text = String::new();
    for _ in 0..choices.below(10) {
        match choices.below(8) {
            0 => text.push(char::from(choices.byte())),
            1 => text.push_str(&choices.below(65_536).to_string()),
            2 => text.extend(char::from_u32((choices.below(65_536) << 4 | choices.below(16)) as u32)),
            _ => text.push_str(choices.of(&WORDS)),
        }
    }
    text
}

/// A starter with some of its words exchanged, lost, doubled or broken.
pub fn job(choices: &mut Choices<'_>) -> String {
    let template = choices.below(TEMPLATES.len());
    let mut tokens = tokens(TEMPLATES[template]);
    let is_kept_whole = choices.below(4) > 0;
    for _ in 0..=choices.below(4) {
        if is_kept_whole {
            exchange_a_value(&mut tokens, choices);
        } else {
            break_something(&mut tokens, choices);
        }
        if choices.is_spent() {
            break;
        }
    }
    tokens.concat()
}

/// Another value in a value's place: mostly still a job.
fn exchange_a_value(tokens: &mut [String], choices: &mut Choices<'_>) {
    let values: Vec<usize> = (1..tokens.len())
        .filter(|&index| !"{}[]:,".contains(tokens[index].as_str()))
        .filter(|&index| tokens.get(index + 1).is_none_or(|next| next != ":"))
        .collect();
    let index = values[choices.below(values.len())];
    let old = tokens[index].parse::<f64>();
    tokens[index] = match (choices.below(8), old) {
        (0 | 1, Ok(old)) => (old * 2_f64.powi(choices.below(40) as i32 - 20)).to_string(),
        // A measure that is a little off: most such jobs can be built.
        (6 | 7, Ok(old)) => (old * (0.9 + 0.01 * choices.below(21) as f64)).to_string(),
        (2, Ok(old)) => (old + choices.below(2001) as f64 - 1000.0).to_string(),
        (3, _) => {
            let words: String = words(choices).chars().filter(|c| *c != '\\').collect();
            format!("\"{}\"", words.replace('"', "\\\""))
        }
        (4, _) => tokens[values[choices.below(values.len())]].clone(),
        _ => choices.of(&VALUES).to_owned(),
    };
}

/// Mostly no job any more.
fn break_something(tokens: &mut Vec<String>, choices: &mut Choices<'_>) {
    let (index, other) = (choices.below(tokens.len()), choices.below(tokens.len()));
    match choices.below(7) {
        0 => drop(tokens.remove(index)),
        1 => tokens.insert(index, tokens[other].clone()),
        2 => tokens.swap(index, other),
        3 => tokens.truncate(index),
        4 => tokens[index] = words(choices),
        5 => {
            let end = tokens.len().min(index + 1 + choices.below(40));
            let copied = tokens[index..end].to_vec();
            let times = 1 + choices.below(3);
            for _ in 0..times {
                tokens.splice(index..index, copied.iter().cloned());
            }
        }
        _ => {
            let deep = choices.below(3000);
            tokens.insert(
                index,
                choices.of(&["[", "{\"a\":", "]", "/*", "//", "\"", "\n"]).repeat(deep),
            );
        }
    }
    if tokens.is_empty() {
        tokens.push(String::new());
    }
}

/// JSON in pieces: strings, numbers and words, and each sign by itself.
fn tokens(text: &str) -> Vec<String> {
    let mut tokens: Vec<String> = Vec::new();
    let (mut is_string, mut goes_on) = (false, false);
    for sign in text.chars() {
        let is_sign = !is_string && "{}[]:,".contains(sign);
        if !is_string && sign.is_whitespace() {
            goes_on = false;
            continue;
        }
        match tokens.last_mut().filter(|_| goes_on && !is_sign) {
            Some(token) => token.push(sign),
            None => tokens.push(sign.to_string()),
        }
        if sign == '"' {
            is_string = !is_string;
        }
        goes_on = !is_sign && (is_string || sign != '"');
    }
    tokens
}
