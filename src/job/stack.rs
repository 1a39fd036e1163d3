//! A vessel stacked from parts, and where they are parted to fit under a height. Where its bodies stand follows from
//! this, so it belongs to the things and not to the solver.

use glam::DVec3;

/// So many ways that go over are told.
pub const NEAR_MISSES: usize = 3;

/// Sums that are over by less are rounding, in millimetres.
const OVER: f64 = 1e-6;

/// A vessel that stands upright, its parts from the bottom up.
#[derive(Debug, Clone, PartialEq)]
pub struct Stack {
    /// Its name in the job.
    pub name: String,
    /// The middle of its foot, in space.
    pub foot: DVec3,
    /// The height that there is, in millimetres.
    pub room_mm: f64,
    /// One or more.
    pub parts: Vec<StackPart>,
    /// What goes on top: its name, and the height that it adds in millimetres.
    pub on_top: Vec<(String, f64)>,
    /// Every way to part it that doesn't go over, the closest first.
    pub ways: Vec<Parted>,
    /// Those that go over by the least, the lowest first: [`NEAR_MISSES`] at the most.
    pub near_misses: Vec<Parted>,
    /// The one that is built, by index.
    pub taken: usize,
}

/// A drum, a can, a piece of pipe.
#[derive(Debug, Clone, PartialEq)]
pub struct StackPart {
    /// Its name within the stack.
    pub name: String,
    /// As it is before anything is cut, in millimetres.
    pub height_mm: f64,
    /// Where it may be parted, over its bottom, in millimetres.
    pub may_part_at_mm: Vec<f64>,
    /// Whether it may be left whole.
    pub may_stay_whole: bool,
    /// Which end stays when it is parted; none where either may.
    pub stays: Option<Stays>,
    /// How far it goes into the part below, in millimetres.
    pub nests_mm: f64,
}

/// The end of a part that is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stays {
    /// What is above the parting goes.
    Bottom,
    /// What is below it goes.
    Top,
}

impl Stays {
    /// The word for it in a job.
    pub fn word(self) -> &'static str {
        match self {
            Self::Bottom => "bottom",
            Self::Top => "top",
        }
    }
}

/// What is kept of a part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kept {
    /// Its height, which is also how far the parting is from the end that stays, in millimetres.
    pub height_mm: f64,
    /// Whether it is parted at all.
    pub is_parted: bool,
    /// Which end of it stays; of one that is whole, from which it is measured.
    pub stays: Stays,
}

/// One way to part a stack.
#[derive(Debug, Clone, PartialEq)]
pub struct Parted {
    /// Of each part.
    pub kept: Vec<Kept>,
    /// With what nests taken off and what goes on top, in millimetres.
    pub total_mm: f64,
}

impl StackPart {
    /// What may be kept of it: whole first, then in the order in which the places were given. Where either end may stay both
    /// are tried, and of two that leave the same height the first.
    pub fn choices(&self) -> Vec<Kept> {
        let mut choices: Vec<Kept> = Vec::new();
        choices.extend(self.may_stay_whole.then_some(Kept {
            height_mm: self.height_mm,
            is_parted: false,
            stays: self.stays.unwrap_or(Stays::Bottom),
        }));
        let ends = [Stays::Bottom, Stays::Top];
        let tried = ends.iter().filter(|end| self.stays.is_none_or(|stays| stays == **end));
        for (&at, &stays) in tried.flat_map(|stays| self.may_part_at_mm.iter().map(move |at| (at, stays))) {
            let height_mm = match stays {
                Stays::Bottom => at,
                Stays::Top => self.height_mm - at,
            };
            let is_new = |kept: &Kept| !kept.is_parted || (kept.height_mm - height_mm).abs() > OVER;
            if self.stays.is_some() || choices.iter().all(is_new) {
                choices.push(Kept {
                    height_mm,
                    is_parted: true,
                    stays,
                });
            }
        }
        choices
    }
}

/// Every way to part a stack in which each piece is longer than what nests in it and than how far it nests; those of the
/// greatest height first, of equal ones those with fewer cuts.
pub fn ways_to_part(parts: &[StackPart], on_top_mm: f64) -> Vec<Parted> {
    let mut ways = vec![Parted {
        kept: Vec::new(),
        total_mm: on_top_mm,
    }];
    for (index, part) in parts.iter().enumerate() {
        let holds = parts.get(index + 1).map_or(0.0, |above| above.nests_mm);
        let long_enough = part.nests_mm.max(holds);
        let choices = part.choices();
        let fit = choices.iter().filter(|kept| kept.height_mm > long_enough);
        ways = ways
            .iter()
            .flat_map(|way| fit.clone().map(|kept| way.with(*kept, part.nests_mm)))
            .collect();
    }
    ways.sort_by(|a, b| b.total_mm.total_cmp(&a.total_mm).then(a.cuts().cmp(&b.cuts())));
    ways
}

impl Parted {
    fn with(&self, kept: Kept, nests_mm: f64) -> Self {
        Self {
            kept: self.kept.iter().copied().chain([kept]).collect(),
            total_mm: self.total_mm + kept.height_mm - nests_mm,
        }
    }

    /// How many parts are cut.
    pub fn cuts(&self) -> usize {
        self.kept.iter().filter(|kept| kept.is_parted).count()
    }

    /// Whether it goes over the height that there is.
    pub fn is_over(&self, room_mm: f64) -> bool {
        self.total_mm > room_mm + OVER
    }
}

impl Stack {
    /// The way that is built.
    pub fn way(&self) -> &Parted {
        &self.ways[self.taken]
    }

    /// Which end of a part stays as it is built.
    pub fn stays(&self, part: usize) -> Stays {
        self.way().kept[part].stays
    }

    /// Over the foot, in millimetres: where what is kept of a part begins and ends.
    pub fn reach_of(&self, part: usize) -> (f64, f64) {
        let below: f64 = (0..part).map(|index| self.way().kept[index].height_mm).sum();
        let nested: f64 = self.parts[..=part].iter().map(|part| part.nests_mm).sum();
        let bottom = below - nested;
        (bottom, bottom + self.way().kept[part].height_mm)
    }

    /// Over the foot, in millimetres: the end of a part that doesn't stay, where it is or could be parted.
    pub fn parting_of(&self, part: usize) -> f64 {
        let (bottom, top) = self.reach_of(part);
        match self.stays(part) {
            Stays::Bottom => top,
            Stays::Top => bottom,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn part(name: &str, height_mm: f64, at: &[f64], stays: Stays, nests_mm: f64) -> StackPart {
        StackPart {
            name: name.to_owned(),
            height_mm,
            may_part_at_mm: at.to_vec(),
            may_stay_whole: true,
            stays: Some(stays),
            nests_mm,
        }
    }

    /// By hand: 880 or 585 or 290 kept below; above the top stays, so that ribs at 300 and 590 leave 580 and 290 of 880.
    #[test]
    fn the_ways_to_part_two_drums_are_those_counted_by_hand() {
        let parts = [
            part("lower", 880.0, &[290.0, 585.0], Stays::Bottom, 0.0),
            part("upper", 880.0, &[300.0, 590.0], Stays::Top, 25.0),
        ];
        let totals: Vec<f64> = ways_to_part(&parts, 12.0).iter().map(|way| way.total_mm).collect();
        // below + above - 25 + 12: 880 with 880, 580, 290; 585 with them; 290 with them.
        assert_eq!(
            totals,
            [1747.0, 1452.0, 1447.0, 1157.0, 1157.0, 1152.0, 862.0, 857.0, 567.0]
        );
        let ways = ways_to_part(&parts, 12.0);
        // 290 + 880 and 880 + 290: one cut each.
        assert_eq!([ways[3].cuts(), ways[4].cuts()], [1, 1]);
        assert!(!ways[1].is_over(1452.0) && ways[1].is_over(1451.9));
    }

    /// By hand, of 880 with ribs at 290 and 585: below them 290 and 585 stay, above them 590 and 295.
    #[test]
    fn where_nothing_says_which_end_stays_both_are_tried() {
        let mut drum = part("drum", 880.0, &[290.0, 585.0], Stays::Bottom, 0.0);
        drum.stays = None;
        let told = |drum: &StackPart| -> Vec<(f64, Stays)> {
            let choices = drum.choices();
            choices.iter().map(|kept| (kept.height_mm, kept.stays)).collect()
        };
        let (bottom, top) = (Stays::Bottom, Stays::Top);
        assert_eq!(
            told(&drum),
            [
                (880.0, bottom),
                (290.0, bottom),
                (585.0, bottom),
                (590.0, top),
                (295.0, top)
            ]
        );
        // What leaves the same height is one way.
        drum.may_part_at_mm = vec![440.0];
        assert_eq!(told(&drum), [(880.0, bottom), (440.0, bottom)]);
        drum.stays = Some(top);
        assert_eq!(told(&drum), [(880.0, top), (440.0, top)]);
    }

    #[test]
    fn of_equal_heights_the_one_with_fewer_cuts_comes_first() {
        let parts = [
            part("lower", 600.0, &[300.0, 500.0], Stays::Bottom, 0.0),
            part("upper", 600.0, &[400.0], Stays::Bottom, 0.0),
        ];
        let ways = ways_to_part(&parts, 0.0);
        // 1000 is 600 + 400; 900 is 300 + 600 or 500 + 400.
        let nine: Vec<usize> = ways
            .iter()
            .filter(|way| way.total_mm == 900.0)
            .map(Parted::cuts)
            .collect();
        assert_eq!(nine, [1, 2]);
    }

    #[test]
    fn places_on_a_stack_move_with_its_partings() {
        let parts = vec![
            part("lower", 880.0, &[585.0], Stays::Bottom, 0.0),
            part("upper", 880.0, &[590.0], Stays::Top, 25.0),
        ];
        let ways = ways_to_part(&parts, 0.0);
        let taken = ways.iter().position(|way| way.cuts() == 2).expect("both parted");
        let stack = Stack {
            name: "s".to_owned(),
            foot: DVec3::ZERO,
            room_mm: 900.0,
            parts,
            on_top: Vec::new(),
            ways,
            near_misses: Vec::new(),
            taken,
        };
        assert_eq!(stack.reach_of(0), (0.0, 585.0));
        assert_eq!(stack.reach_of(1), (560.0, 850.0));
        assert_eq!((stack.parting_of(0), stack.parting_of(1)), (585.0, 560.0));
        assert_eq!(stack.way().total_mm, 850.0);
    }

    #[test]
    fn a_piece_shorter_than_what_nests_in_it_is_no_way() {
        let parts = [
            part("lower", 400.0, &[20.0, 200.0], Stays::Bottom, 0.0),
            part("upper", 400.0, &[30.0], Stays::Bottom, 40.0),
        ];
        let ways = ways_to_part(&parts, 0.0);
        assert_eq!(ways.iter().map(|way| way.total_mm).collect::<Vec<_>>(), [760.0, 560.0]);
    }
}
