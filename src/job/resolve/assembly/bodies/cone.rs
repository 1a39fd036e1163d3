//! A cone between two ends: a hopper, a reducer.

use std::sync::Arc;

use super::{Reader, Standing, along_axis, floor, header_size, moved_up, round_skin};
use crate::body::{Cone, Frustum, Placed};
use crate::job::{BodyInSpace, FlatSkins, GrownPart, Header, Stack, raw};
use crate::phrase::Phrase;
use crate::problem::Problem;

pub(super) fn cone(reader: &mut Reader, raw: &raw::Body, name: String, stacks: &[Stack]) -> Option<BodyInSpace> {
    let size = header_size(reader, raw, raw.size.as_ref(), "size");
    let size_to = header_size(reader, raw, raw.size_to.as_ref(), "size_to");
    let placed = along_axis(reader, raw, stacks);
    let floor_mm = floor(reader, raw);
    let (size, size_to, Standing { placement, length, .. }) = (size?, size_to?, placed?);
    let (radius, radius_to) = (size.od_mm / 2.0, size_to.od_mm / 2.0);
    let taper = (radius_to - radius) / length;
    if taper.abs() < 1e-9 {
        return reader.refused(
            raw.size_to.as_ref().unwrap_or(&raw.here),
            Problem::new("a cone has two different sizes")
                .figures(Phrase::from("both ends are ").length(size.od_mm).words(" across"))
                .help("say \"shape\": \"cylinder\" where both ends are alike"),
        );
    }
    require_bore(reader, raw, size.wall_mm, taper, radius.min(radius_to))?;
    let skin = Cone::new(radius, taper);
    let inner = size.wall_mm.map(|wall| {
        let inside = Cone::new(radius - wall * taper.hypot(1.0), taper);
        (round_skin(inside, placement), wall)
    });
    let flat = FlatSkins {
        outer: round_skin(skin, placement),
        inner,
    };
    let words = format!(
        "{} to {}",
        Header::from(size.clone()).describe(size.units),
        Header::from(size_to.clone()).describe(size_to.units)
    );
    let surface = Arc::new(Placed::new(skin, placement));
    let outside = Arc::new(Frustum {
        length_mm: length,
        radii_mm: [radius, radius_to],
    });
    Some(BodyInSpace {
        inner: flat.inner_body(),
        flat: Some(flat),
        floor_mm: floor_mm?,
        grown: Some(Arc::new(move |by, stretch| {
            let radii_mm = stretch.map(|along| radius + taper * along + by * taper.hypot(1.0));
            GrownPart {
                surface: Arc::new(Placed::new(
                    Cone::new(radii_mm[0], taper),
                    moved_up(placement, stretch[0]),
                )),
                outside: Arc::new(Frustum {
                    length_mm: stretch[1] - stretch[0],
                    radii_mm,
                }),
            }
        })),
        ..BodyInSpace::new(name, words, placement, surface, outside)
    })
}

/// Square to the skin the wall is measured; across the axis it is longer, and must leave a bore where the cone is narrowest.
fn require_bore(reader: &mut Reader, raw: &raw::Body, wall: Option<f64>, taper: f64, narrowest: f64) -> Option<()> {
    let Some(wall) = wall.filter(|wall| wall * taper.hypot(1.0) >= narrowest) else {
        return Some(());
    };
    let figures = Phrase::default()
        .length(wall)
        .words(" square to the skin, on a radius of ")
        .length(narrowest);
    let problem = Problem::new("the cone's wall leaves no bore at its narrow end").figures(figures);
    let help = "give a thinner wall, or end the cone where it is wider";
    reader.refused(&raw.here, problem.help(help))
}
