//! A vessel as one says it: how it stands or lies, how long it is, where its foot is. In the file that is two places in space.

use super::form::{Form, Gap, Part, below, put};
use super::lengths::{figure, units};
use crate::job::edit::{Edit, Key, Tree, Way};
use crate::measure::{Units, parse_length};
use crate::problem::{Problem, quoted};

/// Which way a drum's axis runs, as an index of x, y, z.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Axis(usize);

/// What is measured of a drum besides its size.
const MEASURES: [(&str, [&str; 3]); 4] = [
    ("long", ["Long", "Long", "Tall"]),
    ("right", ["To the right", "To the right", "To the right"]),
    ("back", ["To the back", "To the back", "To the back"]),
    (
        "up",
        [
            "Middle over the ground",
            "Middle over the ground",
            "Foot over the ground",
        ],
    ),
];

/// Keys that say nothing of this shape, or that its sentence says.
pub(super) fn not_of(shape: &str) -> &'static [&'static str] {
    match shape {
        "plane" => &[
            "size", "at", "shape", "size_to", "section", "stack", "part", "from", "to", "floor",
        ],
        "sphere" => &[
            "size", "at", "shape", "size_to", "section", "stack", "part", "from", "to", "wide", "high", "floor",
            "keep_off", "holes",
        ],
        "cone" => &[
            "size", "size_to", "shape", "section", "stack", "part", "at", "out", "wide", "high",
        ],
        _ => &["size", "shape", "size_to", "at", "out", "wide", "high"],
    }
}

/// The sentence of a vessel's card.
pub(super) fn sentence(form: &mut Form<'_>, at: &[Key]) {
    let shape = form.tree.typed(&below(at, "shape")).unwrap_or_default();
    let size =
        |form: &mut Form<'_>, label: &str| form.gap(&below(at, "size"), label, "such as drum 55 gal", Vec::new());
    match shape.as_str() {
        "plane" => {
            form.words("A plate");
            size(form, "Thickness");
            form.words("with a point of it");
            places(form, &below(at, "at"));
        }
        "sphere" => {
            form.words("A ball");
            size(form, "Size");
            form.words("with its middle");
            places(form, &below(at, "at"));
        }
        "cone" => {
            form.words("A cone of");
            size(form, "Size at its end");
            form.gap(&below(at, "size_to"), "Size at its far end", "", Vec::new());
        }
        _ => {
            let axis = axis(form.tree, at);
            form.words(match axis {
                Some(Axis(2)) => "A standing drum,",
                Some(_) => "A lying drum,",
                None => "A drum,",
            });
            size(form, "Size");
            if let Some(axis) = axis {
                measures(form, at, axis);
            }
        }
    }
}

fn places(form: &mut Form<'_>, at: &[Key]) {
    for (index, label) in ["To the right", "To the back", "Over the ground"]
        .into_iter()
        .enumerate()
    {
        form.gap(&below(at, index), label, "", Vec::new());
    }
}

fn measures(form: &mut Form<'_>, at: &[Key], axis: Axis) {
    let units = units(form.tree);
    let [from, to] = ["from", "to"].map(|end| below(at, end));
    for (measure, labels) in MEASURES {
        let typed = match place(measure) {
            None => length(form.tree, at, axis).map(|mm| bare(mm, units)),
            Some(index) => form.tree.typed(&below(&from, index)),
        };
        form.parts.push(Part::Gap(Gap {
            at: below(
                if measure == "long" { &to } else { &from },
                place(measure).unwrap_or(axis.0),
            ),
            label: labels[axis.0].to_owned(),
            typed: typed.unwrap_or_default(),
            measure: Some(measure),
            ..Gap::default()
        }));
    }
    let zeros = match axis {
        Axis(2) => [
            ("front", [0, -1, 0]),
            ("back", [0, 1, 0]),
            ("right", [1, 0, 0]),
            ("left", [-1, 0, 0]),
        ],
        Axis(1) => [
            ("up", [0, 0, 1]),
            ("down", [0, 0, -1]),
            ("right", [1, 0, 0]),
            ("left", [-1, 0, 0]),
        ],
        Axis(_) => [
            ("up", [0, 0, 1]),
            ("down", [0, 0, -1]),
            ("front", [0, -1, 0]),
            ("back", [0, 1, 0]),
        ],
    };
    for (words, zero) in zeros {
        let way = below(at, "zero");
        let is_so = (0..3).all(|index| {
            let typed = form.tree.typed(&below(&way, index));
            typed.and_then(|typed| typed.parse::<f64>().ok()) == Some(f64::from(zero[index]))
        });
        if is_so {
            form.words(&format!("Its zero line is {words}."));
        } else {
            let [x, y, z] = zero;
            form.act(format!("Zero line {words}"), [put(&way, &format!("[{x}, {y}, {z}]"))]);
        }
    }
}

/// Which of a place's figures a measure is; none of the length.
fn place(measure: &str) -> Option<usize> {
    ["right", "back", "up"].iter().position(|known| *known == measure)
}

/// The edits that make a measure of a drum what was typed.
///
/// # Errors
/// Where it is no length, or the drum leans.
pub(super) fn measured(tree: &Tree<'_>, at: &[Key], measure: &str, words: &str) -> Result<Vec<Edit>, Problem> {
    let units = units(tree);
    let mm = parse_length(words, Some(units))?;
    let known = axis(tree, at).and_then(|axis| Some((axis, length(tree, at, axis)?)));
    let (axis, length) = known.ok_or_else(|| {
        let problem = Problem::new(format!("{} can't be measured on this vessel", quoted(measure)));
        problem.help("it leans: give where its axis begins and ends")
    })?;
    let [from, to] = ["from", "to"].map(|end| below(at, end));
    let set = |at: Way, words: String| Edit::Type { at, words };
    Ok(match place(measure) {
        None => {
            let start = mm_at(tree, &below(&from, axis.0)).unwrap_or(0.0);
            vec![set(below(&to, axis.0), bare(start + mm, units))]
        }
        Some(index) if index == axis.0 => vec![
            set(below(&from, index), words.to_owned()),
            set(below(&to, index), bare(mm + length, units)),
        ],
        Some(index) => [from, to].map(|end| set(below(&end, index), words.to_owned())).into(),
    })
}

fn mm_at(tree: &Tree<'_>, at: &[Key]) -> Option<f64> {
    parse_length(&tree.typed(at)?, Some(units(tree))).ok()
}

/// None where it leans, or isn't given by two places.
fn axis(tree: &Tree<'_>, at: &[Key]) -> Option<Axis> {
    let between = between(tree, at)?;
    let mut along = (0..3).filter(|index| between[*index] != 0.0);
    along
        .next()
        .filter(|_| along.next().is_none())
        .filter(|index| between[*index] > 0.0)
        .map(Axis)
}

fn length(tree: &Tree<'_>, at: &[Key], axis: Axis) -> Option<f64> {
    between(tree, at).map(|between| between[axis.0])
}

fn between(tree: &Tree<'_>, at: &[Key]) -> Option<[f64; 3]> {
    let mm = |end: &str, index: usize| mm_at(tree, &below(&below(at, end), index));
    let mut between = [0.0; 3];
    for (index, between) in between.iter_mut().enumerate() {
        *between = mm("to", index)? - mm("from", index)?;
    }
    Some(between)
}

/// In the file's units, as a bare number.
fn bare(mm: f64, units: Units) -> String {
    figure(mm / units.mm())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::edit::edited;

    const TEXT: &str = r#"{ "units": "in", "bodies": { "d": { "shape": "cylinder", "size": "drum 55 gal",
        "from": [0, "1/2", 10], "to": [0, "1/2", 43.5], "zero": [1, 0, 0] } } }"#;

    #[test]
    fn a_drum_is_moved_with_its_foot_and_keeps_its_length() {
        let at: Way = vec!["bodies".into(), "d".into()];
        let set = |measure: &str, words: &str| {
            let tree = Tree::new(TEXT).expect("JSON");
            let edits = measured(&tree, &at, measure, words).expect("a measure");
            edited(TEXT, &edits).expect("edited")
        };
        assert_eq!(
            set("up", "12-1/4"),
            TEXT.replace("\"1/2\", 10]", "\"1/2\", \"12-1/4\"]")
                .replace("43.5", "45.75")
        );
        assert_eq!(set("long", "33"), TEXT.replace("43.5", "43"));
        assert_eq!(
            set("right", "254mm"),
            TEXT.replace("[0, \"1/2\"", "[\"254mm\", \"1/2\"")
        );
        let tree = Tree::new(TEXT).expect("JSON");
        assert!(measured(&tree, &at, "long", "tall").is_err());
    }
}
