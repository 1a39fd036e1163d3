//! Which way the FRONT line of a tube goes, in words.

use crate::job::FrontOn;
use crate::measure::{decimals, show_angle};

/// Nearer than this to a way along the skin or round it, in degrees, the front is said to point that way.
const NEARLY_DEG: f64 = 0.5;

/// Nearer than this to half a turn, in degrees, an end is turned half round.
const ON_ONE_LINE_DEG: f64 = 0.05;

/// `FRONT to the far end`, `FRONT turned 30° to the right from the way to the far end`.
pub(crate) fn front_words(front: &FrontOn) -> String {
    let [ahead, behind] = front.ways;
    // A line is drawn on the skin; a way is only looked along.
    let from = if ahead.ends_with("apex") || ahead.ends_with("pole") {
        "line"
    } else {
        "way"
    };
    let side = |is_left: bool| if is_left { "left" } else { "right" };
    let is_left = front.turned_deg < 0.0;
    match front.turned_deg.abs() {
        turned if turned < NEARLY_DEG => format!("FRONT {ahead}"),
        turned if turned > 180.0 - NEARLY_DEG => format!("FRONT {behind}"),
        turned if (turned - 90.0).abs() < NEARLY_DEG => {
            format!(
                "FRONT to the {} (seen from outside, the {from} {ahead} up)",
                side(is_left)
            )
        }
        turned => {
            // From whichever way is nearer, where both are only looked along; from behind the other side is met.
            let (turned, way, is_left) = if turned > 90.0 && from == "way" {
                (180.0 - turned, behind, !is_left)
            } else {
                (turned, ahead, is_left)
            };
            format!(
                "FRONT turned {}° to the {} from the {from} {way} (seen from outside)",
                decimals(turned, 1),
                side(is_left)
            )
        }
    }
}

/// What the twists of a cut list are.
pub(crate) const TWISTS: &str = "Twist: how far the end is turned from the start, between the acute angles of the centre lines (at a miter the long sides), with START up; it is in the wraps.";

/// The twist of a piece in a cut list: `35° right`, seen with START up.
pub(crate) fn twist_cell(twist_deg: f64) -> String {
    let told = show_angle(twist_deg.abs());
    match told.as_str() {
        "0°" | "180°" => told,
        _ => format!("{told} {}", side_of(twist_deg)),
    }
}

fn side_of(twist_deg: f64) -> &'static str {
    if twist_deg > 0.0 { "right" } else { "left" }
}

/// How the ends are turned from each other, which the wraps allow for already.
pub(super) fn twist_words(twist_deg: f64) -> String {
    if twist_deg.abs() > 180.0 - ON_ONE_LINE_DEG {
        return "The end is turned half round from the start: that is in the wraps, turn nothing.".to_owned();
    }
    format!(
        "The end is turned {}° to the {} from the start, with START up: that is in the wraps, turn nothing.",
        decimals(twist_deg.abs(), 1),
        side_of(twist_deg)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_front_is_told_by_the_way_that_it_points() {
        let told = |turned_deg: f64| {
            front_words(&FrontOn {
                turned_deg,
                ways: ["to the far end", "to the near end"],
            })
        };
        assert_eq!(told(0.1), "FRONT to the far end");
        assert_eq!(told(-179.9), "FRONT to the near end");
        assert!(told(90.0).starts_with("FRONT to the right"));
        assert!(told(-90.0).starts_with("FRONT to the left"));
        assert_eq!(
            told(-30.0),
            "FRONT turned 30.0° to the left from the way to the far end (seen from outside)"
        );
        // From the nearer way: 1.3 short of the other, which is met by turning back to the left.
        assert_eq!(
            told(178.7),
            "FRONT turned 1.3° to the left from the way to the near end (seen from outside)"
        );
        assert_eq!(
            told(-100.0),
            "FRONT turned 80.0° to the right from the way to the near end (seen from outside)"
        );
        for turned_deg in [-33.8, -122.7] {
            let on_a_head = FrontOn {
                turned_deg,
                ways: ["to the apex", "away from the apex"],
            };
            let told = format!(
                "FRONT turned {}° to the left from the line to the apex (seen from outside)",
                -turned_deg
            );
            assert_eq!(front_words(&on_a_head), told);
        }
        assert!(twist_words(35.0).contains("turned 35.0° to the right from the start, with START up"));
        assert!(twist_words(180.0).starts_with("The end is turned half round from the start"));
        assert!(twist_words(-35.0).contains("turned 35.0° to the left from the start, with START up"));
        assert_eq!(
            [35.0, -35.0, 180.0, -0.01].map(twist_cell),
            ["35° right", "35° left", "180°", "0°"]
        );
    }
}
