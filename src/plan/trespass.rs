//! Holes that come into a strip of their body's skin, and holes that can't be cut at all.

use super::clash::Clash;
use super::flat_skin::FlatSkin;
use super::hole::PlacedHole;
use super::in_the_way::{InTheWay, LandingPart, Over};
use super::not_kept::NotKept;
use super::strips::{SLIGHT, STANDING, apart};
use crate::job::{Assembly, BodyInSpace, PartingLine, Stays};
use crate::measure::Units;
use crate::problem::Problem;

impl PlacedHole {
    /// Clashes with what is to be kept off, with the floor, with the body's end and with the holes that were found in it: what of
    /// them stands in the tube's way need not be told again. `not_kept` are the distances that were asked for as well.
    pub(crate) fn trespasses(&self, assembly: &Assembly, not_kept: &NotKept) -> Vec<Clash> {
        let body = &assembly.bodies[self.hole.body];
        let kept = self.strips.trespasses().map(|(index, part, by)| {
            let asked = self.way_of_kept_off(assembly, index).and_then(|way| not_kept.of(way));
            Clash {
                asked_mm: asked.map_or(0.0, |asked| asked.asked_mm),
                ..self.clash_of_landing(part, Over::KeptOff(index), by)
            }
        });
        let under = self.under_floor(body).filter(|under| *under < -SLIGHT);
        let floor = under.map(|under| self.clash_of_landing(LandingPart::Hole, Over::Floor, under));
        let over = self.near_found.over.iter();
        let found = over.map(|over| self.clash_of_landing(over.part, Over::Found(over.index), over.apart_mm));
        kept.chain(floor).chain(self.off_the_end()).chain(found).collect()
    }

    /// What the tube against the things themselves would be told as, of all that its hole or its wall comes into.
    pub(crate) fn told_already(&self, assembly: &Assembly) -> impl Iterator<Item = InTheWay> {
        let trespasses = self.strips.trespasses();
        trespasses.filter_map(|(index, ..)| self.way_of_kept_off(assembly, index))
    }

    /// The tube against the thing itself that is to be kept off, by its place in the body's list.
    pub(super) fn way_of_kept_off(&self, assembly: &Assembly, index: usize) -> Option<InTheWay> {
        Some(InTheWay::TubeAndBody {
            tube: self.of_tube,
            body: assembly.kept_off(self.hole.body, index)?,
        })
    }

    /// How far the outline's low edge is over the floor of a body that stands, below 0 where it is under it.
    fn under_floor(&self, body: &BodyInSpace) -> Option<f64> {
        let (floor, rise) = (body.floor_mm?, body.axis().z);
        let floor = FlatSkin::new(body)?.up_of(floor);
        match rise {
            rise if rise > STANDING => Some(self.strips.up[0] - floor),
            rise if rise < -STANDING => Some(floor - self.strips.up[1]),
            _ => None,
        }
    }

    /// Why it can't be cut at all.
    pub(crate) fn problem(&self, assembly: &Assembly, units: Units) -> Option<Problem> {
        let body = &assembly.bodies[self.hole.body];
        self.off(body, units)
            .or_else(|| self.across_parting(body, units))
            .or_else(|| self.in_a_lap(body, units))
            .or_else(|| self.below_the_floor(body, units))
    }

    fn off(&self, body: &BodyInSpace, units: Units) -> Option<Problem> {
        let past = -self.strips.farthest_in.filter(|inside| *inside < 0.0)?;
        let shown = units.show(past);
        let (figures, keys) = match (body.length_mm(), body.outside.edges_mm()) {
            (Some(length), _) => {
                let is_far = self.strips.up[0] > 0.0;
                if let Some(parting) = body.parting.as_ref().filter(|_| is_far) {
                    return Some(past_the_parting(body, parting, past, units));
                }
                let end = self.ends[usize::from(is_far)].to_lowercase();
                (
                    format!(
                        "it begins {shown} past the {end}; \"{}\" is {} long",
                        body.name,
                        units.show(length)
                    ),
                    "\"along\"",
                )
            }
            (_, Some([wide, high])) => {
                let [wide, high] = [wide, high].map(|side| units.show(side));
                (
                    format!(
                        "it begins {shown} past the edge; \"{}\" is {wide} wide and {high} high",
                        body.name
                    ),
                    "\"along\" and \"round\"",
                )
            }
            _ => return None,
        };
        let problem = Problem::new(format!("this hole lies wholly off \"{}\"", body.name))
            .figures(figures)
            .how_bad(past);
        Some(problem.help(format!("change {keys} of the point where the tube lands")))
    }

    fn across_parting(&self, body: &BodyInSpace, units: Units) -> Option<Problem> {
        let parting = body.parting.as_ref()?;
        let length = body.length_mm()?;
        let [low, high] = self.strips.up;
        (low < length - SLIGHT && high > length + SLIGHT).then(|| {
            Problem::new(format!("this hole lies across the parting of \"{}\"", body.name))
                .figures(format!(
                    "it reaches from {} to {} from the {} end, which is parted at {}",
                    units.show(low),
                    units.show(high),
                    parting.stays.word(),
                    units.show(length)
                ))
                .help(format!(
                    "land the tube {} nearer to that end, or part the stack elsewhere with \"part_at\" or \"take\"",
                    units.show(high - length)
                ))
                .how_bad(high - length)
        })
    }

    fn in_a_lap(&self, body: &BodyInSpace, units: Units) -> Option<Problem> {
        let lap = body
            .laps
            .iter()
            .find(|lap| apart(self.strips.up, lap.along_mm) < -SLIGHT)?;
        let ([low, high], [from, to]) = (self.strips.up, lap.along_mm);
        let [low, high, from, to, by] =
            [low, high, from, to, -apart(self.strips.up, lap.along_mm)].map(|mm| units.show(mm));
        let problem = Problem::new(format!("this hole lies under the lap where {}", lap.words));
        let figures = format!(
            "it reaches from {low} to {high} along \"{}\", the lap from {from} to {to}",
            body.name
        );
        Some(
            problem
                .figures(figures)
                .help(format!("move the tube's landing along by {by} or more, out of the lap"))
                .how_bad(-apart(self.strips.up, lap.along_mm)),
        )
    }

    fn below_the_floor(&self, body: &BodyInSpace, units: Units) -> Option<Problem> {
        let [low, high] = self.strips.up;
        let under = -self.under_floor(body)?;
        (under > high - low - SLIGHT).then(|| {
            Problem::new(format!("this hole lies wholly under the floor of \"{}\"", body.name))
                .figures(format!("its low edge is {} under it", units.show(under)))
                .help("land the tube higher, or let \"drain\" find the place: { \"above_floor\": 0 }")
                .how_bad(under)
        })
    }
}

/// Of a hole in what is cut off.
fn past_the_parting(body: &BodyInSpace, parting: &PartingLine, past: f64, units: Units) -> Problem {
    let kept = body.length_mm().unwrap_or(0.0);
    Problem::new(format!("this hole lies wholly in what is parted from \"{}\"", body.name))
        .figures(format!(
            "it begins {} past the parting, and {} are kept from the {} end",
            units.show(past),
            units.show(kept),
            parting.stays.word()
        ))
        .help(format!(
            "land the tube nearer to that end, or part the stack elsewhere with \"part_at\" or \"take\", or give the part \"stays\": \"{}\"",
            match parting.stays {
                Stays::Bottom => "top",
                Stays::Top => "bottom",
            }
        ))
        .how_bad(past)
}
