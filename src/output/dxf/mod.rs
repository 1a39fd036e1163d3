//! DXF in millimetres, 1:1, with one layer for each kind of line. Curves are cubic splines. Written by the published DXF
//! reference, in text, of the version 2000.

mod entities;
mod frame;
mod pairs;

use std::io::{self, Write};

use kurbo::Rect;

use self::entities::entities;
use self::frame::FIRST_HANDLE;
use self::pairs::Pairs;
use super::contents::Contents;
use crate::layout::{Drawing, Layer};

/// A drawing in parts as a DXF, the same bytes for the same drawing. The parts are made twice: to see how large and how many they
/// are, then to be written; so they need not all be there at once.
pub(super) struct Dxf<F>(pub(super) F);

impl<F, I> Contents for Dxf<F>
where
    F: Fn() -> I,
    I: Iterator<Item = Drawing>,
{
    fn write_to(&mut self, file: &mut dyn Write) -> io::Result<()> {
        let mut bounds: Option<Rect> = None;
        let mut count = 0;
        for part in (self.0)() {
            let round = part.bounds();
            bounds = Some(bounds.map_or(round, |known| known.union(round)));
            count += part
                .items
                .iter()
                .map(|(_, item)| entities(item).len() as u64)
                .sum::<u64>();
        }
        let mut pairs = Pairs(file);
        frame::before(&mut pairs, bounds.unwrap_or(Rect::ZERO), count)?;
        let mut handles = FIRST_HANDLE..;
        for part in (self.0)() {
            for layer in Layer::ALL {
                let on = part.on(layer).flat_map(entities);
                for (entity, handle) in on.zip(&mut handles) {
                    entity.write(&mut pairs, layer, handle)?;
                }
            }
        }
        frame::after(&mut pairs)
    }
}
