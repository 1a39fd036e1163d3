//! Which way the FRONT line of a tube goes, in words.

use crate::job::FrontOn;
use crate::measure::decimals;

/// Nearer than this to a way along the skin or round it, in degrees, the front is said to point that way.
const NEARLY_DEG: f64 = 0.5;

/// `FRONT to the far end`, `FRONT turned 30° to the right from the way to the far end`.
pub(crate) fn front_words(front: &FrontOn) -> String {
    let [ahead, behind] = front.ways;
    // A line is drawn on the skin; a way is only looked along.
    let from = if ahead.ends_with("apex") || ahead.ends_with("pole") {
        "line"
    } else {
        "way"
    };
    let side = if front.turned_deg < 0.0 { "left" } else { "right" };
    match front.turned_deg.abs() {
        turned if turned < NEARLY_DEG => format!("FRONT {ahead}"),
        turned if turned > 180.0 - NEARLY_DEG => format!("FRONT {behind}"),
        turned if (turned - 90.0).abs() < NEARLY_DEG => {
            format!("FRONT to the {side} (seen from outside, the {from} {ahead} up)")
        }
        turned => format!(
            "FRONT turned {}° to the {side} from the {from} {ahead} (seen from outside)",
            decimals(turned, 1)
        ),
    }
}

/// How the ends are turned from each other, which the wraps allow for already.
pub(crate) fn twist_words(twist_deg: f64) -> String {
    let side = if twist_deg > 0.0 { "right" } else { "left" };
    format!(
        "The twist, {}° to the {side} with START up, is in the wraps: turn nothing.",
        decimals(twist_deg.abs(), 1)
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
        let on_a_head = FrontOn {
            turned_deg: -33.8,
            ways: ["to the apex", "away from the apex"],
        };
        assert_eq!(
            front_words(&on_a_head),
            "FRONT turned 33.8° to the left from the line to the apex (seen from outside)"
        );
        assert!(twist_words(35.0).contains("35.0° to the right with START up"));
        assert!(twist_words(-35.0).contains("35.0° to the left with START up"));
    }
}
