//! A branch on a header.

use crate::job::raw::{self, Word};
use crate::job::{Header, Join, MOST_CLEARANCE_MM, Saddle, Touch, Tube};
use crate::measure::{SAME_MM, Size, TubeSize, Units, show_angle};
use crate::phrase::Phrase;
use crate::problem::Problem;

use super::{Reader, SHALLOWEST_DEG, given};

/// A branch below this angle has a crotch that is hard to weld (NAVEDTRA 14251).
const SHALLOW_DEG: f64 = 45.0;

pub(super) fn resolve(reader: &mut Reader, raw: &raw::Saddle) -> Option<Saddle> {
    let branch = reader.tube(&raw.branch);
    let header = reader.header(&raw.header);
    let turned_deg = reader.turned(raw.turned.as_ref(), branch.as_ref().map(|branch| &branch.section));
    let angle_deg = read_angle(reader, raw.angle.as_ref());
    let offset_mm = given(&raw.offset, 0.0, |word| reader.length(word));
    let touch = reader.touch(raw.touch.as_ref());
    let join = given(&raw.join, Join::SetOn, |word| {
        reader.choice(word, &[("set-on", Join::SetOn), ("set-in", Join::SetIn)])
    });
    let clearance_mm = read_clearance(reader, raw.clearance.as_ref(), join);
    let root_gap_mm = reader.root_gap_of(raw.root_gap.as_ref(), join);
    require_branch_wall(reader, &raw.branch, branch.as_ref(), touch);
    require_header_wall(reader, &raw.header, header.as_ref(), join);

    // What doesn't fit is told even where something else is wrong too.
    let saddle = Saddle {
        branch: Tube::from(branch?),
        header: Header::from(header?),
        turned_deg: turned_deg.unwrap_or(0.0),
        angle_deg: angle_deg.unwrap_or(90.0),
        offset_mm: offset_mm.unwrap_or(0.0),
        touch: touch.unwrap_or(Touch::Wall),
        join: join?,
        clearance_mm: clearance_mm.unwrap_or(0.0),
        root_gap_mm: root_gap_mm.flatten().unwrap_or(0.0),
    };
    require_landing(reader, raw, &saddle);
    if [turned_deg, angle_deg, offset_mm, clearance_mm].contains(&None) || touch.is_none() || root_gap_mm.is_none() {
        return None;
    }
    if saddle.angle_deg < SHALLOW_DEG {
        reader.warn(format!(
            "a branch at {} has a narrow crotch: check that the weld can be reached",
            show_angle(saddle.angle_deg)
        ));
    }
    if saddle.branch.wall_mm == 0.0 && saddle.join == Join::SetOn {
        let outside = if saddle.branch.has_sides() {
            "outside"
        } else {
            "outside diameter"
        };
        reader.warn(format!(
            "no wall was given for the branch: the hole is drawn to its {outside}, so cut well inside the line"
        ));
    }
    Some(saddle)
}

fn read_angle(reader: &mut Reader, word: Option<&Word>) -> Option<f64> {
    let Some(word) = word else { return Some(90.0) };
    let angle = reader.angle(word)?;
    if (SHALLOWEST_DEG..=90.0).contains(&angle) {
        return Some(angle);
    }
    let help = if angle > 90.0 && angle <= 170.0 {
        format!(
            "measure on the acute side: {} between the centre lines",
            show_angle(180.0 - angle)
        )
    } else {
        format!("give the angle between the centre lines, from {SHALLOWEST_DEG} to 90 degrees")
    };
    reader.refused(
        word,
        Problem::new(format!("a branch can't be cut at {angle} degrees")).help(help),
    )
}

fn read_clearance(reader: &mut Reader, word: Option<&Word>, join: Option<Join>) -> Option<f64> {
    let Some(word) = word else { return Some(0.0) };
    let clearance = reader.length(word)?;
    let [least, most] = reader.result_units().round_range([0.0, MOST_CLEARANCE_MM]);
    let problem = if join == Some(Join::SetOn) {
        Problem::new("a clearance belongs to a tube that passes through its hole")
            .help("set the branch into the header, or leave the clearance out")
            .by("--join set-in")
    } else if !(least..=most).contains(&clearance) {
        Problem::new("this clearance can't be right")
            .figures(Phrase::default().length(clearance).words(" on the radius"))
            .help(format!("give {}", reader.result_units().show_range(least, most)))
    } else {
        return Some(clearance);
    };
    reader.refused(word, problem)
}

fn require_branch_wall(reader: &mut Reader, word: &Word, branch: Option<&TubeSize>, touch: Option<Touch>) {
    let is_missing = branch.is_some_and(|branch| branch.wall_mm.is_none());
    if is_missing && touch.is_some_and(|touch| touch != Touch::Outside) {
        let problem = Problem::new("the branch's wall is not given, and the fit depends on it");
        let help = format!(
            "add it: \"{typed} x {}\", or a schedule; or let the outside touch, for an end bevelled to a knife edge",
            reader.result_units().either("2mm", "16ga"),
            typed = word.text.trim()
        );
        reader.refuse(word, problem.help(help).by("--touch outside"));
    }
}

fn require_header_wall(reader: &mut Reader, word: &Word, header: Option<&Size>, join: Option<Join>) {
    if header.is_some_and(|header| header.wall_mm.is_none()) && join == Some(Join::SetIn) {
        reader.refuse(
            word,
            Problem::new("a set-in branch ends at the header's inner skin, and the header's wall is not given").help(
                format!(
                    "add it: \"{} x {}\"",
                    word.text.trim(),
                    reader.result_units().either("3mm", "1/8in")
                ),
            ),
        );
    }
}

/// The whole of the tube must meet the skin that it ends at, and the hole too.
fn require_landing(reader: &mut Reader, raw: &raw::Saddle, saddle: &Saddle) {
    let units = reader.result_units();
    let (radius, skin) = (saddle.half_across(), saddle.landing_radius());
    let what = match saddle.join {
        Join::SetOn => "header",
        Join::SetIn => "header's bore",
    };
    let half = if saddle.branch.has_sides() {
        "half the branch's width across the header"
    } else {
        "branch radius"
    };
    if radius > skin + SAME_MM {
        let problem = too_wide([radius, skin], what, units).against(&raw.header);
        reader.refuse(&raw.branch, problem);
        return;
    }
    let past = saddle.offset_mm.abs() + radius - skin;
    if past > SAME_MM {
        let limit = (skin - radius).max(0.0);
        let [offset, most] = units.show_apart([saddle.offset_mm.abs(), limit]);
        reader.refuse(
            raw.offset.as_ref().unwrap_or(&raw.branch),
            Problem::new(format!("the offset moves the branch past the {what}'s side"))
                .figures(format!(
                    "by {}: offset {offset}, at most {most}, of {half} {} in a radius of {}",
                    units.show_telling(past),
                    units.show(radius),
                    units.show(skin)
                ))
                .help(format!("keep the offset to {} or less", units.show_limit(limit))),
        );
    } else if past + saddle.clearance_mm > SAME_MM && saddle.join == Join::SetIn {
        let limit = (-past).max(0.0);
        let [clearance, most] = units.show_apart([saddle.clearance_mm, limit]);
        reader.refuse(
            raw.clearance.as_ref().unwrap_or(&raw.branch),
            Problem::new("with this clearance the hole runs past the header's side")
                .figures(format!(
                    "by {} on the inner skin: clearance {clearance}, at most {most}",
                    units.show_telling(past + saddle.clearance_mm)
                ))
                .help(format!("keep the clearance to {} or less", units.show_limit(limit))),
        );
    }
}

/// Of a branch of such a radius on a skin of such a radius, of the header or of its bore as `what` says.
fn too_wide([radius, skin]: [f64; 2], what: &str, units: Units) -> Problem {
    let [wide, across] = units.show_apart([2.0 * radius, 2.0 * skin]);
    let whose = if what == "header" { "outside diameter" } else { "bore" };
    Problem::new(format!("the branch is wider than the {what} it lands on"))
        .figures(format!("{wide} on {across}"))
        .help(format!(
            "swap branch and header, or use a header whose {whose} is {} or more",
            units.show_least(2.0 * radius)
        ))
}
