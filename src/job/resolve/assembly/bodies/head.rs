//! A dished head.

use std::sync::Arc;

use glam::DAffine3;

use super::{Reader, direction, frame, given, header_size, missing, needed_at, needed_out, zero_line};
use crate::body::{Body, Ellipsoid, Outside, Placed, Torisphere};
use crate::job::raw::{self, Word};
use crate::job::{BodyInSpace, Header, Stack, Surface};
use crate::measure::Size;
use crate::phrase::Phrase;
use crate::problem::Problem;

/// What `dish` may say in a word: of the outside diameter D the crown's radius and the knuckle's, by their standards' names.
/// DIN 28011 (Kloepper), DIN 28013 (Korbbogen), ASME VIII-1 UG-32 (the least knuckle, 6 %).
const TORISPHERES: [(&str, f64, f64); 3] = [
    ("DIN 28011", 1.0, 0.1),
    ("DIN 28013", 0.8, 0.154),
    ("ASME F&D", 1.0, 0.06),
];

/// No head is flatter: its depth over its diameter.
const FLATTEST: f64 = 0.02;

/// No flange is higher, in millimetres.
const HIGHEST_FLANGE: f64 = 5_000.0;

/// The curve from rim to apex, in millimetres, of the outer skin.
#[derive(Debug, Clone, Copy)]
enum Dish {
    Torisphere { crown: f64, knuckle: f64 },
    Ellipsoid { depth: f64 },
}

pub(super) fn head(reader: &mut Reader, raw: &raw::Body, name: String, stacks: &[Stack]) -> Option<BodyInSpace> {
    let size = header_size(reader, raw, raw.size.as_ref(), "size");
    let at = needed_at(reader, raw, "the middle of the head's rim: [x, y, z]", stacks);
    let out = needed_out(reader, raw, "from the rim to the apex: three numbers");
    let zero = raw.zero.as_ref().map(|words| direction(reader, words));
    let flange = flange(reader, raw);
    let dish = missing(
        reader,
        raw,
        raw.dish.as_ref(),
        "dish",
        "\"DIN 28011\", \"DIN 28013\", \"ASME F&D\", \"ellipsoidal 2:1\", \"hemisphere\"; or an object with \"crown\" and \"knuckle\", \"ratio\", or \"depth\"",
    );
    let dish = match (dish, &size) {
        (Some(dish), Some(size)) => self::dish(reader, dish, size),
        _ => None,
    };
    let (size, at, out, flange, (dish, words)) = (size?, at?, out?, flange?, dish?);
    let zero = zero_line(reader, raw, zero, out, "the head's axis, \"out\"")?;
    // Its own coordinates begin at the flange's end, so that all of it lies above.
    let placement = frame(at - flange * out, out, zero);
    made(reader, &raw.here, (name, &size), (dish, words), flange, placement)
}

/// A head of a dish and its words, with its flange's end where it is placed.
fn made(
    reader: &mut Reader,
    here: &Word,
    (name, size): (String, &Size),
    (dish, words): (Dish, String),
    flange: f64,
    placement: DAffine3,
) -> Option<BodyInSpace> {
    let described = format!("head, {}, {words}", Header::from(size.clone()).describe(size.units));
    let radius = size.od_mm / 2.0;
    let inner = match size.wall_mm {
        None => None,
        Some(wall) => Some(inner_skin(reader, here, dish, radius, (wall, flange), placement)?),
    };
    let body = match dish {
        Dish::Torisphere { crown, knuckle } => of_skin(
            name,
            described,
            placement,
            Torisphere::new(radius, crown, knuckle, flange),
        ),
        Dish::Ellipsoid { depth } => of_skin(name, described, placement, Ellipsoid::new(radius, depth, flange)),
    };
    Some(BodyInSpace { inner, ..body })
}

/// The head of a cylinder, its flange's end where it is placed, by a word of the cylinder's.
pub(super) fn of_cylinder(
    reader: &mut Reader,
    raw: &raw::Body,
    dish: &raw::Dish,
    (name, size): (String, &Size),
    placement: DAffine3,
) -> Option<BodyInSpace> {
    let flange = flange(reader, raw);
    let made_of = self::dish(reader, dish, size);
    made(reader, dish.word(), (name, size), made_of?, flange?, placement)
}

fn of_skin<H>(name: String, words: String, placement: DAffine3, head: H) -> BodyInSpace
where
    H: Outside + Copy + Send + Sync + 'static,
    Placed<H>: Surface,
{
    BodyInSpace::new(
        name,
        words,
        placement,
        Arc::new(Placed::new(head, placement)),
        Arc::new(head),
    )
}

/// Every radius less the wall, which is exact; an ellipsoid one wall inside in diameter and depth.
fn inner_skin(
    reader: &mut Reader,
    here: &Word,
    dish: Dish,
    radius: f64,
    (wall, flange): (f64, f64),
    placement: DAffine3,
) -> Option<Arc<dyn Body + Send + Sync>> {
    let (tightest, what) = match dish {
        Dish::Torisphere { knuckle, .. } => (knuckle, "its knuckle's radius"),
        Dish::Ellipsoid { depth } => (depth, "its depth"),
    };
    if wall >= tightest.min(radius) {
        return reader.refused(
            here,
            Problem::new("the head's wall is thicker than its curve allows")
                .figures(
                    Phrase::default()
                        .length(wall)
                        .words(format!(", {what} is "))
                        .length(tightest),
                )
                .help("give the wall as it is; the radii and the depth are those of the outer skin"),
        );
    }
    Some(match dish {
        Dish::Torisphere { crown, knuckle } => {
            let skin = Torisphere::new(radius - wall, crown - wall, knuckle - wall, flange);
            Arc::new(Placed::new(skin, placement))
        }
        Dish::Ellipsoid { depth } => Arc::new(Placed::new(
            Ellipsoid::new(radius - wall, depth - wall, flange),
            placement,
        )),
    })
}

fn flange(reader: &mut Reader, raw: &raw::Body) -> Option<f64> {
    given(&raw.flange, 0.0, |word| {
        let flange = reader.length(word)?;
        let problem = Problem::new("a head's flange can't be that high");
        reader.within(word, flange, [0.0, HIGHEST_FLANGE], problem, |range| {
            format!("give {range}: the straight part below the rim")
        })
    })
}

/// The curve, and its words.
fn dish(reader: &mut Reader, raw: &raw::Dish, size: &Size) -> Option<(Dish, String)> {
    let diameter = size.od_mm;
    match raw {
        raw::Dish::Named(word) => {
            let dish = reader.take(word, named(&word.text, diameter))?;
            Some((dish, format!("{}, {}", word.text.trim(), deep(dish, size))))
        }
        raw::Dish::Measured(measured) => {
            let dish = measured_dish(reader, measured, diameter)?;
            let words = match dish {
                Dish::Torisphere { crown, knuckle } => format!(
                    "crown {}, knuckle {}, ",
                    size.units.show(crown),
                    size.units.show(knuckle)
                ),
                Dish::Ellipsoid { .. } => "ellipsoidal, ".to_owned(),
            };
            Some((dish, words + &deep(dish, size)))
        }
    }
}

fn deep(dish: Dish, size: &Size) -> String {
    let depth = match dish {
        Dish::Torisphere { crown, knuckle } => Torisphere::new(size.od_mm / 2.0, crown, knuckle, 0.0).apex(),
        Dish::Ellipsoid { depth } => depth,
    };
    let inside = match dish {
        Dish::Ellipsoid { .. } if size.wall_mm.is_some() => {
            ", an ellipsoid inside too, its radius and depth less by the wall"
        }
        _ => "",
    };
    format!("{} deep{inside}", size.units.show(depth))
}

fn named(text: &str, diameter: f64) -> Result<Dish, Problem> {
    let text = text.trim();
    let standard = TORISPHERES.iter().find(|(name, ..)| name.eq_ignore_ascii_case(text));
    if let Some((_, crown, knuckle)) = standard {
        return Ok(Dish::Torisphere {
            crown: crown * diameter,
            knuckle: knuckle * diameter,
        });
    }
    match text.to_lowercase().as_str() {
        "ellipsoidal 2:1" => Ok(Dish::Ellipsoid { depth: diameter / 4.0 }),
        "hemisphere" => Ok(Dish::Torisphere {
            crown: diameter / 2.0,
            knuckle: diameter / 2.0,
        }),
        _ => Err(
            Problem::new(format!("{} is not a dish that is known", crate::problem::quoted(text))).help(
                "choose DIN 28011, DIN 28013, ASME F&D, ellipsoidal 2:1, hemisphere; or give { \"crown\", \"knuckle\" }, { \"ratio\" } or { \"depth\" } as measured",
            ),
        ),
    }
}

fn measured_dish(reader: &mut Reader, raw: &raw::MeasuredDish, diameter: f64) -> Option<Dish> {
    let radius = diameter / 2.0;
    match (&raw.crown, &raw.knuckle, &raw.ratio, &raw.depth) {
        (Some(crown_word), Some(knuckle_word), None, None) => {
            let (crown, knuckle) = (reader.length(crown_word), reader.length(knuckle_word));
            let (crown, knuckle) = (crown?, self::knuckle(reader, knuckle_word, knuckle?, radius)?);
            if crown < radius || crown > 100.0 * diameter {
                return reader.refused(
                    crown_word,
                    Problem::new("a head's crown can't have that radius")
                        .figures(Phrase::default().length(crown).words(" on a radius of ").length(radius))
                        .help("give half the diameter or more: it is the radius of the ball that the middle of the head is a part of"),
                );
            }
            Some(Dish::Torisphere { crown, knuckle })
        }
        (None, None, Some(ratio), None) => {
            let number = ratio
                .text
                .trim()
                .parse::<f64>()
                .ok()
                .filter(|ratio| (1.0..=1.0 / FLATTEST / 2.0).contains(ratio));
            let problem = || {
                Problem::new(format!(
                    "{} is not a ratio of a head",
                    crate::problem::quoted(&ratio.text)
                ))
                .help("give half the diameter over the depth, 1 to 25: 2 is a head a quarter of its diameter deep")
            };
            let ratio = reader.take(ratio, number.ok_or_else(problem))?;
            Some(Dish::Ellipsoid { depth: radius / ratio })
        }
        (None, knuckle_word, None, Some(word)) => {
            let depth = self::depth(reader, word, diameter)?;
            let Some(knuckle_word) = knuckle_word else {
                return Some(Dish::Ellipsoid { depth });
            };
            let knuckle = reader.length(knuckle_word)?;
            let knuckle = self::knuckle(reader, knuckle_word, knuckle, radius)?;
            let crown = Torisphere::crown_for(radius, knuckle, depth).ok_or_else(|| {
                Problem::new("no crown gives a head this depth with this knuckle")
                    .figures(Phrase::default().length(depth).words(" deep, knuckle ").length(knuckle))
                    .help("the depth is more than the knuckle's radius and at most half the diameter; leave \"knuckle\" out for an ellipsoid of the depth")
            });
            let crown = reader.take(word, crown)?;
            Some(Dish::Torisphere { crown, knuckle })
        }
        _ => reader.refused(
            &raw.here,
            Problem::new("a dish is told in one of four ways")
                .help("\"crown\" and \"knuckle\"; \"ratio\"; \"depth\"; or \"depth\" and \"knuckle\""),
        ),
    }
}

fn knuckle(reader: &mut Reader, word: &Word, knuckle: f64, radius: f64) -> Option<f64> {
    if knuckle > 0.0 && knuckle <= radius {
        return Some(knuckle);
    }
    reader.refused(
        word,
        Problem::new("a knuckle's radius is above 0 and at most half the diameter")
            .figures(
                Phrase::default()
                    .length(knuckle)
                    .words(" on a radius of ")
                    .length(radius),
            )
            .help("measure the outer skin's bend between flange and crown again"),
    )
}

fn depth(reader: &mut Reader, word: &Word, diameter: f64) -> Option<f64> {
    let depth = reader.length(word)?;
    if (FLATTEST * diameter..=diameter / 2.0).contains(&depth) {
        return Some(depth);
    }
    let range = reader.result_units().show_range(FLATTEST * diameter, diameter / 2.0);
    reader.refused(
        word,
        Problem::new("a head of this diameter can't be that deep")
            .figures(
                Phrase::default()
                    .length(depth)
                    .words(" on a diameter of ")
                    .length(diameter),
            )
            .help(format!(
                "give {range}, from the rim to the apex outside, without the flange"
            )),
    )
}
