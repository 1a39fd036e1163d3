//! The order of placing panels that takes the fewest sheets.

use std::collections::HashMap;
use std::ptr;

use super::filling::{Filling, Worth, sheets_for, tiles_of};
use super::orders::{OF_A_GROUP, OF_ALL, as_given, distinct};
use super::way::{Apart, Order, Shaping, Way};
use crate::layout::page::{Area, Sheet};
use crate::layout::panel::{Panel, Role};

/// The tiles of panels that are larger than a sheet.
type Tiles = HashMap<*const Panel, Vec<Panel>>;

/// Sheets that are filled, and those that were given away meanwhile.
struct Tried {
    filling: Filling,
    given: Vec<Sheet>,
}

impl Tried {
    /// Nothing yet, going on in another way.
    fn going_on(so_far: &Filling, way: Way) -> Self {
        Self {
            filling: so_far.going_on(way),
            given: Vec::new(),
        }
    }

    /// The same, with what came before it.
    fn behind(self, earlier: &Self) -> Self {
        let given = earlier.given.iter().cloned().chain(self.given);
        Self {
            given: given.collect(),
            filling: self.filling.recorded_behind(&earlier.filling),
        }
    }
}

/// Goes on with the order that takes the fewest sheets; of several the one in which things are found most easily: as all is
/// given; with what comes before the first pattern as it is given, and the rest in other orders; with all in other orders.
pub(super) fn fewest(area: Area, front: &Filling, rest: &[Panel], give: &mut impl FnMut(Sheet)) -> Filling {
    let before = rest.iter().take_while(|panel| panel.role != Role::Pattern).count();
    let (first, others) = rest.split_at(before);
    let mut begun = Tried::going_on(front, Way::PLAIN);
    let tiled = rest
        .iter()
        .filter_map(|panel| Some((ptr::from_ref(panel), tiles_of(panel, area)?)));
    let mut search = Search {
        best: None,
        tiles: tiled.collect(),
        least: front.count().max(least_sheets(area, rest)),
    };
    fill(&mut begun, &as_given(first), (&search.tiles, None));
    let has_shapes = |role| rest.iter().any(|panel| panel.role == role && !panel.shapes.is_empty());
    let of_patterns = has_shapes(Role::Pattern);
    let shapings = [
        (Shaping::AsGiven, true),
        (Shaping::WhereNeeded, of_patterns || has_shapes(Role::Table)),
        (Shaping::OthersFirst, of_patterns),
    ];
    let start = Tried::going_on(front, Way::PLAIN);
    for (shaping, is_shaped) in shapings {
        let may_be_better = search.best.as_ref().is_none_or(|best| best.filling.count() > 1);
        if may_be_better && is_shaped {
            if !first.is_empty() {
                search.try_all(&begun, others, shaping);
            }
            search.try_all(&start, rest, shaping);
        }
    }
    let best = search.best.unwrap_or(begun);
    best.given.into_iter().for_each(give);
    best.filling.recorded_behind(front)
}

/// No order takes fewer sheets: all of them full.
fn least_sheets(area: Area, panels: &[Panel]) -> usize {
    sheets_for(panels.iter().map(smallest).sum(), area)
}

/// The smallest of its shapes, in square millimetres.
fn smallest(panel: &Panel) -> f64 {
    let shapes = panel.shapes.iter().map(|shape| shape.width * shape.height);
    shapes.fold(panel.width * panel.height, f64::min)
}

/// The ways that are tried after this, the one in which things are found most easily first.
fn ways(after: &Filling, panels: &[Panel], shaping: Shaping) -> Vec<Way> {
    // How far back a panel may go matters only where another group comes.
    let is_one_group = panels.iter().all(|panel| panel.group == after.group());
    let orders = [Order::Strict, Order::Loose];
    let orders = &orders[..if is_one_group { 1 } else { 2 }];
    let both = [false, true].into_iter();
    let both = both.flat_map(|turns_first| orders.iter().map(move |order| (*order, turns_first)));
    let ways = both.map(|(order, turns_first)| Way {
        order,
        turns_first,
        shaping,
        apart: Apart::WhereRoom,
    });
    ways.collect()
}

/// The best that was found so far.
struct Search {
    best: Option<Tried>,
    tiles: Tiles,
    /// No order takes fewer sheets.
    least: usize,
}

impl Search {
    /// Tries some more panels on the sheets so far, in every way with every order, until nothing can be better.
    fn try_all(&mut self, so_far: &Tried, panels: &[Panel], shaping: Shaping) {
        let (ways, orders) = (ways(&so_far.filling, panels, shaping), distinct(&OF_ALL, panels));
        for way in &ways {
            for (order, apart) in &orders {
                if self.is_done() {
                    return;
                }
                let way = Way { apart: *apart, ..*way };
                let tried = filled(&so_far.filling, way, order, (&self.tiles, limit(self.best.as_ref())));
                self.take(tried, so_far);
            }
        }
        for way in &ways {
            if self.is_done() {
                return;
            }
            let tried = each_group_its_own(&so_far.filling, *way, panels, (&self.tiles, limit(self.best.as_ref())));
            self.take(tried, so_far);
        }
    }

    /// Keeps what is better than the best.
    fn take(&mut self, tried: Option<Tried>, so_far: &Tried) {
        let best = self.best.as_ref();
        let is_better = |tried: &Tried| best.is_none_or(|best| tried.filling.worth() < best.filling.worth());
        if let Some(tried) = tried.filter(is_better) {
            self.best = Some(tried.behind(so_far));
        }
    }

    fn is_done(&self) -> bool {
        let best = self.best.as_ref();
        best.is_some_and(|best| best.filling.worth() <= Worth::of_sheets(self.least))
    }
}

/// What an order must be better than.
fn limit(best: Option<&Tried>) -> Option<Worth> {
    best.map(|best| best.filling.worth())
}

/// Every group in the order that is best for it after those before it; none where that is not better than the limit.
fn each_group_its_own(
    so_far: &Filling,
    way: Way,
    panels: &[Panel],
    (tiles, limit_of_all): (&Tiles, Option<Worth>),
) -> Option<Tried> {
    let mut found = Tried::going_on(so_far, way);
    for group in panels.chunk_by(|a, b| a.group == b.group) {
        let mut best: Option<Tried> = None;
        for (order, apart) in distinct(&OF_A_GROUP, group) {
            let limit = limit(best.as_ref()).into_iter().chain(limit_of_all).min();
            let tried = filled(&found.filling, Way { apart, ..way }, &order, (tiles, limit));
            let is_better = |tried: &Tried| {
                let best = best.as_ref();
                best.is_none_or(|best| tried.filling.worth() < best.filling.worth())
            };
            best = tried.filter(is_better).or(best);
        }
        found = best?.behind(&found);
    }
    Some(found)
}

/// The sheets so far and some more panels on them; none where they can't be better than the limit.
fn filled(so_far: &Filling, way: Way, panels: &[&Panel], with: (&Tiles, Option<Worth>)) -> Option<Tried> {
    let mut tried = Tried::going_on(so_far, way);
    fill(&mut tried, panels, with).then_some(tried)
}

/// Whether all found room; given up as soon as the sheets can't be better than the limit any more.
fn fill(tried: &mut Tried, panels: &[&Panel], (tiles, limit): (&Tiles, Option<Worth>)) -> bool {
    let Tried { filling, given } = tried;
    let mut to_come: f64 = panels.iter().map(|panel| smallest(panel)).sum();
    panels.iter().all(|panel| {
        let tiles = tiles.get(&ptr::from_ref(*panel)).map(Vec::as_slice);
        let parts = tiles.unwrap_or(std::slice::from_ref(*panel));
        filling.add_all(parts, &mut |sheet| given.push(sheet));
        to_come -= smallest(panel);
        limit.is_none_or(|limit| filling.best_with(to_come) < limit)
    })
}
