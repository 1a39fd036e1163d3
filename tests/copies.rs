//! What is wrong with several copies of a tube is said once, with the numbers of the copies and the worst figure.

use girthline::job::read::read_job;
use girthline::job::resolve;
use girthline::plan;
use serde_json::{Value, json};

/// Each problem that is said of a job.
fn said(job: &Value) -> Vec<String> {
    let text = job.to_string();
    let made = read_job("job.json", &text)
        .and_then(|job| resolve::job_file(&job, &job.sheet))
        .and_then(|job| plan::batch(&job, &|_, _| {}));
    let said = made.err().map(|problems| problems.to_string()).unwrap_or_default();
    said.split("\n\n")
        .filter(|problem| !problem.is_empty())
        .map(str::to_owned)
        .collect()
}

fn job(bodies: Value, tube: Value) -> Value {
    json!({ "units": "mm", "stock": { "a": { "size": "40mm x 2mm" } }, "bodies": bodies, "tubes": { "riser": tube } })
}

fn drum(from: [f64; 3], to: [f64; 3], zero: [f64; 3]) -> Value {
    json!({ "shape": "cylinder", "size": "300mm x 2mm", "from": from, "to": to, "zero": zero })
}

#[test]
fn copies_past_the_ends_of_two_drums_are_told_once_a_drum() {
    let bank = |times: usize| {
        job(
            json!({ "lower": drum([0.0, 0.0, 0.0], [0.0, 850.0, 0.0], [0.0, 0.0, 1.0]),
                    "upper": drum([0.0, 0.0, 1000.0], [0.0, 850.0, 1000.0], [0.0, 0.0, -1.0]) }),
            json!({ "stock": "a", "path": [ { "on": "lower", "along": 110 }, { "on": "upper", "along": 110 } ],
                    "repeat": { "times": times, "step": [0, 120, 0] } }),
        )
    };
    assert_eq!(said(&bank(6)), Vec::<String>::new());
    let said_of_many = said(&bank(20));
    assert_eq!(said_of_many.len(), 2, "{said_of_many:#?}");
    for (problem, body) in said_of_many.iter().zip(["lower", "upper"]) {
        let what = format!("error: this hole lies wholly off \"{body}\"");
        let place = format!("tube \"riser 8 to 20\", its hole in \"{body}\"");
        assert!(problem.starts_with(&what) && problem.contains(&place), "{problem}");
        // The twentieth lands at 110 + 19 x 120, its bore 36 mm wide.
        assert!(
            problem.contains("at worst: it begins 1522.00 mm past the far end"),
            "{problem}"
        );
    }
    // One is told as it always was.
    let said_of_one = said(&bank(8));
    assert_eq!(said_of_one.len(), 2, "{said_of_one:#?}");
    assert!(
        said_of_one[0].contains("tube \"riser 8\", its hole in \"lower\"\n   |  it begins 82.00 mm past"),
        "{}",
        said_of_one[0]
    );
}

#[test]
fn copies_that_leave_their_body_are_told_once() {
    let stepped = |times: usize| {
        job(
            json!({ "drum": drum([0.0, 0.0, 0.0], [0.0, 850.0, 0.0], [0.0, 0.0, 1.0]) }),
            json!({ "stock": "a", "path": [ { "on": "drum", "along": 110 }, { "step": [0, 0, 300] } ],
                    "repeat": { "times": times, "step": [5, 100, 0] } }),
        )
    };
    let said_of_many = said(&stepped(6));
    assert_eq!(said_of_many.len(), 1, "{said_of_many:#?}");
    // 25 mm aside of the top of a drum of 150 mm: the skin is hypot(25, 150) - 150 = 2.07 mm nearer to the axis.
    assert!(
        said_of_many[0].contains("copies leave \"drum\"")
            && said_of_many[0].contains("riser 5 and 6, by up to 2.07 mm"),
        "{}",
        said_of_many[0]
    );
    let said_of_one = said(&stepped(5));
    assert!(
        said_of_one[0].contains("a copy leaves \"drum\"") && said_of_one[0].contains("riser 5 by 1.33 mm"),
        "{said_of_one:#?}"
    );
}

#[test]
fn copies_that_miss_their_cone_are_told_once_with_their_holes() {
    // Along the cone's own slope, so that each copy lands on its skin; it narrows to less than the tube.
    let cone = json!({ "cone": { "shape": "cone", "size": "100mm x 2mm", "size_to": "20mm", "from": [0, 0, 0], "to": [0, 800, 0], "zero": [0, 0, 1] } });
    let tube = json!({ "stock": "a", "path": [ { "on": "cone", "along": 100 }, { "step": [0, 0, 300] } ],
                       "repeat": { "times": 8, "step": [0, 90, -4.5] } });
    let said = said(&job(cone, tube));
    assert_eq!(said.len(), 1, "{said:#?}");
    assert!(said[0].contains("tube \"riser 7 and 8\""), "{said:#?}");
}

#[test]
fn drains_that_find_no_place_are_told_once() {
    let tank = json!({ "tank": { "shape": "cylinder", "size": "400mm x 2mm", "from": [0, 0, 0], "to": [0, 0, 700], "zero": [1, 0, 0], "floor": 30 } });
    let drain = json!({ "stock": "a", "path": [ { "on": "tank", "round": 0, "drain": { "above_floor": 0 } }, { "step": [30, 300, -30] } ],
                        "repeat": { "times": 4, "turn": 30, "about": "tank" } });
    let said = said(&job(tank, drain));
    assert_eq!(said.len(), 1, "{said:#?}");
    assert!(said[0].contains("drain \"riser 1 to 4\""), "{said:#?}");
}

#[test]
fn what_is_the_same_of_several_copies_is_noted_once() {
    let bodies = json!({
        "tank": { "shape": "cylinder", "size": "400mm x 2mm", "from": [0, 0, 0], "to": [0, 0, 700], "zero": [1, 0, 0], "floor": 30 },
        "ball": { "shape": "sphere", "size": "300mm x 3mm", "at": [4000, 0, 0] },
    });
    let mut job = job(
        bodies,
        json!({ "stock": "a", "path": [ { "on": "ball", "along": 100 }, { "step": [0, 0, 300] } ],
                "repeat": { "times": 5, "turn": 72, "about": "ball" } }),
    );
    job["tubes"]["drain"] = json!({ "stock": "a",
        "path": [ { "on": "tank", "round": 0, "drain": { "above_floor": 0 } }, { "step": [300, 0, -30] } ],
        "repeat": { "times": 6, "turn": 60, "about": "tank" } });
    let text = job.to_string();
    let read = read_job("job.json", &text).unwrap_or_else(|problems| panic!("{problems}"));
    let resolved = resolve::job_file(&read, &read.sheet).unwrap_or_else(|problems| panic!("{problems}"));
    let plan = plan::batch(&resolved, &|_, _| {}).unwrap_or_else(|problems| panic!("{problems}"));
    let notes = girthline::wording::said(&plan).notes;
    let with = |words: &str| notes.iter().filter(|note| note.contains(words)).collect::<Vec<_>>();
    let drains = with("lands");
    assert!(
        drains.len() == 1 && drains[0].starts_with("each of the drains \"drain 1 to 6\" lands"),
        "{notes:#?}"
    );
    assert_eq!(
        with("the holes for riser 1 to 5 in ball are marked").len(),
        1,
        "{notes:#?}"
    );
}
