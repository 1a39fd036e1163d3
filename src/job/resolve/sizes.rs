//! Sizes as they are typed, within what can be drawn.

use glam::DVec2;

use super::{Reader, is_head};
use crate::job::raw::Word;
use crate::measure::{
    LONGEST, Size, TubeSize, Units, doubted_length, doubted_unit, parse_length, parse_size, parse_tube_size,
};
use crate::phrase::Phrase;
use crate::problem::Problem;
use crate::section::Profile;

/// No tube that is taped round with paper is thinner or thicker than these, in millimetres.
const TUBE_OD_MM: (f64, f64) = (3.0, 2_000.0);
/// The same for what it lands on.
const HEADER_OD_MM: (f64, f64) = (3.0, 20_000.0);
impl Reader {
    /// The size of a tube that is cut.
    pub(super) fn tube(&mut self, word: &Word) -> Option<TubeSize> {
        self.doubt(word, false);
        let size = self.read(word, |text, units| {
            let size = parse_tube_size(text, units)?;
            let ways = [DVec2::Y, DVec2::X].map(|way| 2.0 * size.section.reach_towards(way));
            require_drawable(&ways, TUBE_OD_MM, "a tube", size.units).map(|()| size)
        })?;
        self.heard(size.units, &size.notes);
        Some(size)
    }

    /// The size of what it lands on.
    pub(super) fn header(&mut self, word: &Word) -> Option<Size> {
        if is_head(word) {
            let problem = Problem::new("a dished head can't be asked for here").help(
                "give what is round: a pipe or a drum; a branch lands on a head in a whole job, as a body of the shape \"head\"",
            );
            return self.refused(
                word,
                problem.by("girthline saddle --header \"head 600mm x 6mm DIN 28011\" --along LENGTH --length LENGTH"),
            );
        }
        let size = self.girth_and_wall(word)?;
        self.heard(size.units, &size.notes);
        Some(size)
    }

    /// The girth and wall of a header that is out of round: what its size says of being round is not for anybody.
    pub(super) fn girth_and_wall(&mut self, word: &Word) -> Option<Size> {
        self.doubt(word, true);
        let size = self.read(word, |text, units| {
            let size = parse_size(text, units)?;
            require_drawable(&[size.od_mm], HEADER_OD_MM, "a header", size.units).map(|()| size)
        })?;
        self.spoken_units.get_or_insert(size.units);
        let units = self.result_units();
        Some(Size { units, ..size })
    }

    /// A length that a word says.
    pub(super) fn length(&mut self, word: &Word) -> Option<f64> {
        let length = self.read(word, parse_length);
        if length.is_none() {
            self.doubt_length(word, [0.0, LONGEST]);
        }
        length
    }

    /// A length that a word says, from `low` to `high`, in inches from and to a round number within these; else the problem, which
    /// `help` says how to mend by that range in words.
    pub(super) fn within(
        &mut self,
        word: &Word,
        length: f64,
        range: [f64; 2],
        problem: Problem,
        help: impl Fn(&str) -> String,
    ) -> Option<f64> {
        let range @ [low, high] = self.result_units().round_range(range);
        if (low..=high).contains(&length) {
            return Some(length);
        }
        self.doubt_length(word, range);
        let help = help(&self.result_units().show_range(low, high));
        self.refused(word, problem.figures(Phrase::default().length(length)).help(help))
    }

    /// Asks, beside what is wrong with a length without a unit, whether it is meant in the other unit, where it would be from
    /// `low` to `high`.
    pub(super) fn doubt_length(&mut self, word: &Word, [low, high]: [f64; 2]) {
        let is_right = |mm: f64| (low..=high).contains(&mm);
        let doubted = doubted_length(&word.text, self.bare_units(word), is_right);
        self.doubts.extend(doubted.map(|doubted| doubted.problem().at(word)));
    }

    /// Asks, before all else that is told, whether a number without a unit is meant as it is read.
    fn doubt(&mut self, word: &Word, is_body: bool) {
        let Some(doubted) = doubted_unit(&word.text, self.bare_units(word), is_body) else {
            return;
        };
        let note = doubted.note();
        if !self.questions.contains(&note) {
            self.questions.push(note);
        }
        self.doubts.push(doubted.problem().at(word));
    }

    /// Keeps what a size told.
    fn heard(&mut self, units: Units, notes: &[Phrase]) {
        self.spoken_units.get_or_insert(units);
        for note in notes {
            self.warn(note.clone());
        }
    }
}

/// Whether all ways across are within what is drawn.
fn require_drawable(ways_mm: &[f64], (low, high): (f64, f64), what: &str, units: Units) -> Result<(), Problem> {
    let [low, high] = units.round_range([low, high]);
    match ways_mm.iter().find(|across| !(low..=high).contains(*across)) {
        None => Ok(()),
        Some(across) => Err(Problem::new(format!("{what} of this size can't be drawn"))
            .figures(Phrase::from("it is ").length(*across).words(" across"))
            .help(format!(
                "sizes from {} across are drawn; is the unit right?",
                units.show_range(low, high)
            ))),
    }
}
