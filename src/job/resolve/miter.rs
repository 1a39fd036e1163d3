//! A mitered turn.

use crate::job::raw::{self, Word};
use crate::job::{Miter, Tube};
use crate::problem::Problem;
use crate::section::Section;

use super::{Reader, given};

/// Radius of the centre line where none is given, in outside diameters (common practice for bends).
const USUAL_RADIUS_ODS: f64 = 1.5;

/// The steepest cut that is drawn, in degrees off square: past it a saw can't, and the wrap is endless.
const STEEPEST_DEG: f64 = 80.0;

pub(super) fn resolve(reader: &mut Reader, raw: &raw::Miter) -> Option<Miter> {
    let tube = reader.tube(&raw.tube);
    let turn_deg = read_turn(reader, &raw.turn);
    let turned_deg = reader.turned(raw.turned.as_ref(), tube.as_ref().map(|tube| &tube.section));
    let pieces = given(&raw.pieces, 2, |word| reader.count(word, "pieces", 2..=24));
    let radius_mm = raw.radius.as_ref().map(|word| reader.length(word));
    if let (Some(word), Some(Some(radius)), Some(tube), Some(turned)) = (&raw.radius, radius_mm, &tube, turned_deg) {
        require_radius(reader, word, radius, &tube.section, turned);
    }
    let mut miter = Miter {
        tube: Tube::from(tube?),
        turn_deg: turn_deg?,
        turned_deg: turned_deg?,
        pieces: pieces?,
        radius_mm: radius_mm.flatten(),
    };
    if !mirrors_itself(&miter) {
        let word = raw.turned.as_ref().unwrap_or(&raw.turn);
        let same = if is_square(&miter) { 45 } else { 90 };
        return reader.refused(
            word,
            Problem::new(format!("turned by {} degrees, the two end pieces are not alike", miter.turned_deg))
                .figures("the one is the mirror image of the other")
                .help(format!(
                    "turn it by a multiple of {same} degrees; or give the turn as a corner in a job file, which draws each piece"
                )),
        );
    }
    let steep = miter.cut_off_square_deg();
    if steep > STEEPEST_DEG {
        let problem =
            Problem::new("the cut is too steep to be drawn").figures(format!("{steep:.2} degrees off square"));
        let most = 2.0 * STEEPEST_DEG;
        let help = format!("turn by {most} degrees or less, or use more pieces");
        return reader.refused(&raw.turn, problem.help(help));
    }
    if radius_mm.is_none() && miter.pieces > 2 {
        let depth = 2.0 * miter.half_depth();
        miter.radius_mm = Some(USUAL_RADIUS_ODS * depth);
        let units = reader.result_units();
        reader.warn(format!(
            "no radius was given: the centre line's radius is taken as 1.5 x {}, {}",
            if miter.tube.has_sides() {
                "the tube's depth"
            } else {
                "OD"
            },
            units.show(USUAL_RADIUS_ODS * depth)
        ));
    }
    advise_pieces(reader, &miter);
    Some(miter)
}

/// Whether the tube in its turned place is the same in a mirror through the plane of the turn, so that equal pieces meet.
fn mirrors_itself(miter: &Miter) -> bool {
    let same = if is_square(miter) { 45.0 } else { 90.0 };
    let off = miter.turned_deg.rem_euclid(same);
    off.min(same - off) < 1e-9
}

fn is_square(miter: &Miter) -> bool {
    let sides = miter.tube.section.sides();
    sides.is_some_and(|sides| sides.width == sides.height)
}

fn read_turn(reader: &mut Reader, word: &Word) -> Option<f64> {
    let turn = reader.angle(word)?;
    if (0.5..180.0).contains(&turn) {
        return Some(turn);
    }
    reader.refused(
        word,
        Problem::new(format!("the centre line can't turn by {turn} degrees"))
            .help("the turn is 180 less the angle enclosed by the tubes: from 0.5 to below 180"),
    )
}

fn require_radius(reader: &mut Reader, word: &Word, radius: f64, section: &Section, turned_deg: f64) {
    let (units, tube_radius) = (reader.result_units(), section.reach_at(-turned_deg.to_radians()));
    let half = if section.sides().is_some() {
        "half depth"
    } else {
        "radius"
    };
    if radius <= tube_radius {
        reader.refuse(
            word,
            Problem::new("the centre line's radius leaves the inside of the turn no length")
                .figures(format!(
                    "{} against the tube's {half} of {}",
                    units.show(radius),
                    units.show(tube_radius)
                ))
                .help(format!("give more than {}", units.show(tube_radius))),
        );
    } else if radius > 50_000.0 {
        reader.refuse(
            word,
            Problem::new("this radius can't be right")
                .figures(units.show(radius))
                .help(units.either(
                    "give up to 50 m; is the unit right?",
                    "give up to 164 ft; is the unit right?",
                )),
        );
    }
}

/// How many pieces a turn deserves where liquid flows (AWWA C208): to 22.5 degrees two, to 45 three, to 67.5 four, to 90 five.
fn advise_pieces(reader: &mut Reader, miter: &Miter) {
    let advised = 1 + (miter.turn_deg.min(90.0) / 22.5).ceil() as usize;
    if miter.pieces < advised && !miter.tube.has_sides() {
        reader.warn(format!(
            "for water pipe, AWWA C208 makes a turn of {} degrees in {advised} pieces; fewer pieces make a sharper, weaker corner",
            miter.turn_deg
        ));
    }
}
