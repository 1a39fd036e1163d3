//! The pack of a whole job: every piece and every hole once, with its quantity.

use std::collections::BTreeMap;
use std::f64::consts::{PI, TAU};

use glam::DVec3;
use kurbo::{Affine, BezPath};

use super::cover::cover;
use super::cut_list::{CutList, CutRow};
use super::mark_out::{PlacedHole, mark_out_panels, with_ligaments};
use super::{Pack, PackedEnd, PackedHole, PackedPiece, girth_note, if_round, printed_girth, stack};
use crate::job::resolve::Resolved;
use crate::job::{Assembly, End, Piece, SheetOptions};
use crate::layout::Panel;
use crate::layout::hole::{HolePattern, SetBy};
use crate::layout::table::ordinates_panels;
use crate::layout::wrap::{CutEdge, Wrap};
use crate::measure::Units;
use crate::problem::Problems;
use crate::solver::{Drain, EndCurve, SolvedPiece, clashes, hole_outline, solve_drains, solve_piece};

/// The seam unless another is asked for: at the back of the first end.
const SEAM_DEG: f64 = 180.0;
/// A wrap of a whole piece is no longer than this, in millimetres; a longer piece has one for each end.
const LONGEST_WHOLE: f64 = 180.0;

/// A kind of piece: the first of its like, and how many there are.
struct Kind {
    piece: Piece,
    solved: SolvedPiece,
    quantity: usize,
}

/// Solves every piece and hole, and draws all that is needed. `progress` hears how many tubes are done, of how many.
///
/// # Errors
/// Every tube end that misses what it lands on, every piece that is too short: each with its tube.
pub fn batch(job: &Resolved<Assembly>, progress: &dyn Fn(usize, usize)) -> Result<Pack, Problems> {
    let sheet = &job.sheet;
    let (assembly, drains) = solve_drains(&job.joint)?;
    let assembly = &assembly;
    let Solved { kinds, holes, numbers } = solve(assembly, sheet, progress)?;
    let rows = kinds
        .iter()
        .enumerate()
        .map(|(index, kind)| row(index + 1, kind))
        .collect();
    let cut_list = CutList::new(assembly, rows, all_clashes(assembly, &holes), sheet.units)?;

    let mut warnings = job.warnings.clone();
    warnings.extend(if_round::notes(assembly, &holes, sheet.units));
    warnings.extend(drains.iter().flat_map(|drain| drain_words(drain, sheet.units)));
    warnings.extend(cut_list.clashes.iter().map(|clash| {
        let asked = if clash.asked_mm > 0.0 {
            format!(", {} asked for", sheet.units.show(clash.asked_mm))
        } else {
            String::new()
        };
        let at = clash.at;
        format!(
            "clash: {}, {} apart{asked}, near [{:.0}, {:.0}, {:.0}]",
            clash.what,
            sheet.units.show(clash.apart_mm),
            at.x,
            at.y,
            at.z
        )
    }));
    let mut pack = Pack {
        title: assembly.title.clone(),
        panels: cover(assembly, sheet, &cut_list, &warnings, &numbers),
        kinds: Vec::new(),
        ends: Vec::new(),
        holes: Vec::new(),
        pieces: kinds.iter().map(packed_piece).collect(),
        facets: None,
        stacks: assembly.stacks.clone(),
        summary: summary(assembly, &cut_list, sheet.units),
        cut_list: Some(cut_list),
        warnings,
    };
    pack.panels.extend(
        assembly
            .stacks
            .iter()
            .flat_map(|stack| stack::panels(stack, sheet.units)),
    );
    pack.panels.extend(mark_out_panels(assembly, &holes, sheet.units));
    for (index, kind) in kinds.iter().enumerate() {
        let first = pack.panels.len();
        piece_patterns(&mut pack, index + 1, kind, sheet);
        let label = format!("{} {}", index + 1, kind.piece.name);
        pack.kinds.push((label, first..pack.panels.len()));
    }
    hole_patterns(&mut pack, assembly, &holes, sheet);
    pack.holes = holes.iter().map(|hole| packed_hole(assembly, hole)).collect();
    Ok(pack)
}

/// What the solver made of an assembly.
struct Solved {
    kinds: Vec<Kind>,
    holes: Vec<PlacedHole>,
    /// The middle of every piece, and its number in the cut list.
    numbers: Vec<(DVec3, usize)>,
}

fn solve(assembly: &Assembly, sheet: &SheetOptions, progress: &dyn Fn(usize, usize)) -> Result<Solved, Problems> {
    let mut problems = Problems::none();
    let (mut kinds, mut by_shape): (Vec<Kind>, BTreeMap<String, usize>) = (Vec::new(), BTreeMap::new());
    let (mut holes, mut numbers) = (Vec::new(), Vec::new());
    let seam = sheet.seam_deg.unwrap_or(SEAM_DEG).to_radians();
    for (done, tube) in assembly.tubes.iter().enumerate() {
        progress(done, assembly.tubes.len());
        for piece in assembly.pieces(tube) {
            let girth_radius = printed_girth(&piece.near.tube, sheet.paper_thickness_mm) / TAU;
            let solved = solve_piece(&piece, girth_radius, seam)
                .map_err(|problem| problem.at(format!("tube \"{}\"", piece.name)));
            let Some(solved) = problems.take(solved) else { continue };
            let middle = piece.near.frame.origin + 0.5 * piece.length_mm * piece.near.frame.axis;
            let kind = *by_shape.entry(shape_of(&piece, &solved)).or_insert(kinds.len());
            numbers.push((middle, kind + 1));
            match kinds.get_mut(kind) {
                Some(known) => known.quantity += 1,
                None => kinds.push(Kind {
                    piece,
                    solved,
                    quantity: 1,
                }),
            }
        }
        for hole in assembly.holes(tube) {
            let outline = hole_outline(&hole.drilling).map_err(|problem| {
                problem.at(format!(
                    "tube \"{}\", its hole in \"{}\"",
                    tube.name, assembly.bodies[hole.body].name
                ))
            });
            let Some(outline) = problems.take(outline) else {
                continue;
            };
            holes.push(PlacedHole::new(assembly, tube, hole, outline));
        }
    }
    let holes = with_ligaments(holes);
    problems.unless_any(Some(Solved { kinds, holes, numbers }))
}

/// Pieces of one shape are equal to within a hundredth of a millimetre all round both ends.
fn shape_of(piece: &Piece, solved: &SolvedPiece) -> String {
    let hundredths = |mm: f64| (mm * 100.0).round() as i64;
    let cuts = |end: &End| -> Vec<i64> {
        let at =
            |step: u32| crate::solver::cut_at(end, TAU * f64::from(step) / 24.0).map_or(0, |cut| hundredths(cut.t));
        (0..24).map(at).collect()
    };
    format!(
        "{} {:?} {:?} {:?}",
        piece.stock,
        [hundredths(piece.length_mm), hundredths(solved.tip_to_tip_mm)],
        cuts(&piece.near),
        cuts(&piece.far)
    )
}

fn row(number: usize, kind: &Kind) -> CutRow {
    CutRow {
        number,
        name: kind.piece.name.clone(),
        quantity: kind.quantity,
        stock: kind.piece.stock,
        length_mm: kind.solved.tip_to_tip_mm,
        ends: kind.piece.ends.clone(),
        twist_deg: kind.solved.twist_deg,
    }
}

fn packed_piece(kind: &Kind) -> PackedPiece {
    PackedPiece {
        name: kind.piece.name.clone(),
        quantity: kind.quantity,
        centre_line_mm: Some(kind.piece.length_mm),
        tip_to_tip_mm: Some(kind.solved.tip_to_tip_mm),
        cut_off_square_deg: kind.piece.flat_cuts_deg.iter().flatten().copied().collect(),
        twist_deg: kind.solved.twist_deg,
    }
}

/// What is in the way, holes that overlap or run off their body's end among it.
fn all_clashes(assembly: &Assembly, holes: &[PlacedHole]) -> Vec<crate::solver::Clash> {
    let mut found = clashes(assembly);
    for (index, hole) in holes.iter().enumerate() {
        found.extend(hole.off_the_end(assembly));
        found.extend(holes[..index].iter().filter_map(|other| hole.overlap(assembly, other)));
    }
    found
}

/// The wraps of a piece and the tables to mark it by hand.
fn piece_patterns(pack: &mut Pack, number: usize, kind: &Kind, sheet: &SheetOptions) {
    let Kind {
        piece,
        solved,
        quantity,
    } = kind;
    let label = format!("{number} {}", piece.name);
    let end = |side: &str, end: &End, curve: &EndCurve, runs: f64| {
        PackedEnd::new(
            &format!("{label}: {side}"),
            end.clone(),
            curve.clone(),
            runs,
            false,
            sheet,
        )
    };
    let mut ends = [
        end("start", &piece.near, &solved.near, 1.0),
        end("end", &piece.far, &solved.far, -1.0),
    ];
    let is_whole = solved.tip_to_tip_mm <= LONGEST_WHOLE && !(is_square(piece, 0) && is_square(piece, 1));
    if is_whole {
        let pattern = format!("{label}: whole piece");
        let base = piece.length_mm / 2.0;
        let notes = notes(
            kind,
            format!("Top: {}. Bottom: {}.", end_words(piece, 0), end_words(piece, 1)),
            sheet,
        );
        let whole = Wrap {
            name: pattern.clone(),
            upper: CutEdge::above(&solved.near, base),
            lower: Some(far_edge(solved, piece.length_mm, base)),
            ..ends[0].wrap(format!("PIECE {label}, make {quantity}"), notes, sheet.stations)
        };
        pack.panels.push(whole.panel());
        ends.iter_mut().for_each(|end| end.pattern.clone_from(&pattern));
    } else {
        pack.panels.extend(
            (0..2)
                .filter(|end| !is_square(piece, *end))
                .map(|end| end_wrap(kind, &label, &ends, end, sheet)),
        );
    }
    for (index, end) in ends.iter().enumerate() {
        if !is_square(piece, index) {
            pack.panels.extend(ordinates_panels(&end.name, &end.marks, sheet.units));
        }
    }
    pack.ends.extend(ends);
}

/// The wrap of one end of a piece that is too long for one wrap.
fn end_wrap(kind: &Kind, label: &str, ends: &[PackedEnd; 2], end: usize, sheet: &SheetOptions) -> Panel {
    let Kind { piece, quantity, .. } = kind;
    let (base_t, other) = (ends[end].marks.base_t, 1 - end);
    let (to, apart) = if is_square(piece, other) {
        ("the other, square end", piece.length_mm - base_t)
    } else {
        (
            "the one of the other end",
            piece.length_mm - base_t - ends[other].marks.base_t,
        )
    };
    let words = format!(
        "{}. From this base line to {to}: {}; the crown lines go straight through.",
        end_words(piece, end),
        sheet.units.show(apart)
    );
    let side = ["START", "END"][end];
    let title = format!("PIECE {label}, {side}, make {quantity}");
    ends[end].wrap(title, notes(kind, words, sheet), sheet.stations).panel()
}

/// What an end is, with its saw setting where it is cut flat.
fn end_words(piece: &Piece, end: usize) -> String {
    let saw = piece.flat_cuts_deg[end].filter(|_| !is_square(piece, end));
    let saw = saw.map_or_else(String::new, |angle| format!(", saw {angle:.2}° off square"));
    format!("{}{saw}", piece.ends[end])
}

/// What every wrap of a piece says, with `ends` second.
fn notes(kind: &Kind, ends: String, sheet: &SheetOptions) -> Vec<String> {
    let (tube, units) = (&kind.piece.near.tube, sheet.units);
    let length = units.show(kind.solved.tip_to_tip_mm);
    let mut notes = vec![
        format!("{}. Cut length, tip to tip: {length}.", tube.describe(units)),
        ends,
    ];
    if kind.solved.twist_deg.is_some_and(|twist| twist.abs() > 0.05) {
        let clocking = "FRONT is one line along the whole tube: put FRONT on FRONT at both ends. The turn between them is in the wraps.";
        notes.push(clocking.to_owned());
    }
    notes.push(girth_note(printed_girth(tube, sheet.paper_thickness_mm), units));
    notes
}

/// A square end needs no pattern.
fn is_square(piece: &Piece, end: usize) -> bool {
    piece.flat_cuts_deg[end].is_some_and(|angle| angle < 1e-3)
}

/// The far cut on the wrap of the whole piece, `base` mm from the near work point being its base line.
fn far_edge(solved: &SolvedPiece, length_mm: f64, base: f64) -> CutEdge {
    let flip = Affine::new([1.0, 0.0, 0.0, -1.0, 0.0, base]);
    let path: BezPath = flip * solved.far_on_near_wrap(length_mm);
    CutEdge {
        low: base - (length_mm - solved.far.lowest.0),
        high: base - (length_mm - solved.far.highest.0),
        path,
    }
}

/// A pattern for each kind of hole, with where each of them goes.
fn hole_patterns(pack: &mut Pack, assembly: &Assembly, holes: &[PlacedHole], sheet: &SheetOptions) {
    let units = sheet.units;
    let mut kinds: Vec<(&PlacedHole, Vec<&PlacedHole>)> = Vec::new();
    for hole in holes {
        match kinds.iter_mut().find(|(first, _)| first.is_like(hole)) {
            Some((_, all)) => all.push(hole),
            None => kinds.push((hole, vec![hole])),
        }
    }
    for (first, all) in kinds {
        let body = &assembly.bodies[first.hole.body];
        let mut notes = vec![format!(
            "In {} ({}), for {} ({}).",
            body.name,
            body.size,
            first.hole.tube,
            first.hole.join.word()
        )];
        notes.extend(all.iter().take(8).map(|hole| {
            format!(
                "{}: line A {} round from the zero line, line B {} along from the end.",
                hole.hole.tube,
                units.show(hole.round_mm),
                units.show(hole.hole.along_mm)
            )
        }));
        if all.len() > 8 {
            notes.push(format!("And {} more: see the mark-out sheet.", all.len() - 8));
        }
        // Half a sheet of paper lies outside the skin all round.
        let girth = body.surface.girth(first.hole.along_mm).unwrap_or(f64::INFINITY);
        let pattern = HolePattern {
            name: &format!("hole for {}", first.hole.tube),
            title: &format!("HOLE, make {}: cut inside the line", all.len()),
            notes: &notes,
            outline: &first.outline,
            girth_scale: 1.0 + PI * sheet.paper_thickness_mm / girth,
            units,
            set_by: SetBy::Body,
        };
        pack.panels.push(pattern.panel());
    }
}

fn packed_hole(assembly: &Assembly, hole: &PlacedHole) -> PackedHole {
    PackedHole {
        body: assembly.bodies[hole.hole.body].name.clone(),
        join: hole.hole.join,
        clearance_mm: hole.hole.clearance_mm,
        outline: hole.outline.points.clone(),
        place: Some(super::HolePlace {
            tube: hole.hole.tube.clone(),
            along_mm: hole.hole.along_mm,
            round_mm: hole.round_mm,
            round_deg: hole.round_deg(),
            ligament: hole.next.clone(),
            if_round: hole.if_round,
        }),
    }
}

fn summary(assembly: &Assembly, cut_list: &CutList, units: Units) -> Vec<String> {
    let count: usize = cut_list.rows.iter().map(|row| row.quantity).sum();
    let mut lines = vec![
        assembly.title.clone(),
        format!(
            "{} tubes, {count} pieces of {} kinds, {} sticks{}",
            assembly.tubes.len(),
            cut_list.rows.len(),
            cut_list.sticks.len(),
            if cut_list.is_proved {
                ""
            } else {
                " (fewer may be possible)"
            }
        ),
        format!(
            "{} of tube, {:.1} kg of steel",
            units.show(cut_list.total_mm),
            cut_list.steel_kg
        ),
    ];
    lines.extend(assembly.stacks.iter().flat_map(|stack| stack::words(stack, units)));
    lines
}

/// Where a drain lands, what it leaves, and how it falls.
fn drain_words(drain: &Drain, units: Units) -> Vec<String> {
    let left = match drain.left_litres {
        Some(litres) if litres > 0.005 => format!(", {litres:.2} litres are left standing"),
        Some(_) => ", nothing is left standing".to_owned(),
        None => String::new(),
    };
    // Level is level, not minus nothing.
    let fall_deg = if drain.fall_deg.abs() < 5e-3 {
        0.0
    } else {
        drain.fall_deg
    };
    let slope = fall_deg.to_radians().tan();
    let mut words = vec![format!(
        "drain \"{}\" lands {} along, its hole's low edge {} over the floor{left}; it falls {:.2}°, {:.1} mm per metre, {:.3} in per foot",
        drain.tube,
        units.show(drain.along_mm),
        units.show(drain.low_edge_mm),
        fall_deg,
        1000.0 * slope,
        12.0 * slope
    )];
    if fall_deg <= 0.0 {
        words.push(format!(
            "DRAIN \"{}\" DOES NOT FALL: a part of it is level or rises, and liquid stays in it",
            drain.tube
        ));
    }
    words
}
