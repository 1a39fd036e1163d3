//! A plan made after an earlier one of nearly the same job is equal to one that is solved whole, in all that is made of it.

use girthline::job::Assembly;
use girthline::job::read::read_job;
use girthline::job::resolve::{self, Resolved};
use girthline::output::{Contents, Csv, ReportOf, made_pdf};
use girthline::plan::{self, Plan};
use girthline::problem::Problems;
use girthline::wording::said;
use serde_json::{Value, json};

/// Of the changes one in so many is tried.
const STRIDE: usize = 5;

/// Starters, and a row of tubes with a found hole beside it.
fn jobs() -> Vec<Value> {
    let starters = [
        include_str!("../templates/cooler-bank.json"),
        include_str!("../templates/drain-standpipe.json"),
        include_str!("../templates/node-frame.json"),
        include_str!("../templates/plate-frame.json"),
        include_str!("../templates/stacked-hopper.json"),
        include_str!("../templates/used-bottle.json"),
    ];
    let starters = starters
        .iter()
        .map(|text| serde_json::from_str(text).expect("a starter"));
    starters.chain([row()]).collect()
}

/// Tubes near to each other between a used drum and a plain one, some like others, beside a hole that was found.
fn row() -> Value {
    let tube = |at: f64, round: &str| json!({ "stock": "a", "path": [ { "on": "low", "along": at, "round": round }, { "on": "high", "along": at } ] });
    json!({
        "title": "row", "units": "mm",
        "stock": { "a": { "size": "40mm x 2mm" }, "b": { "size": "42.4mm x 3mm" } },
        "bodies": {
            "low": { "shape": "cylinder", "size": "girth 1884mm x 2mm", "from": [0, 0, 0], "to": [0, 900, 0], "zero": [0, 0, 1],
                "section": { "oval": [615, 584], "at": "20deg" },
                "holes": [ { "name": "old bung", "along": 190, "round": "12deg", "across": 40 } ],
                "keep_off": [ { "name": "rib", "along": [560, 580], "out": 10 } ] },
            "high": { "shape": "cylinder", "size": "500mm x 2mm", "from": [0, 0, 1200], "to": [0, 900, 1200], "zero": [0, 0, -1] },
        },
        "tubes": {
            "one": tube(120.0, "0deg"), "two": tube(200.0, "-3deg"), "three": tube(245.0, "4deg"),
            "four": tube(400.0, "0deg"), "five": tube(480.0, "0deg"),
        },
    })
}

fn resolved(job: &Value) -> Result<Resolved<Assembly>, Problems> {
    let raw = read_job("job.json", &job.to_string())?;
    resolve::job_file(&raw, &raw.sheet)
}

/// All that is said of a plan, and the bytes of what is made of it.
fn made(plan: &Plan) -> [(&'static str, String); 4] {
    let said = said(plan);
    let (pdf, laid) = made_pdf(plan, &said).expect("sheets");
    let report = ReportOf {
        plan,
        said: &said,
        laid: &laid,
    };
    let list = &plan.job().expect("a job").cut_list;
    let csv = Csv {
        list,
        units: plan.sheet.units,
    };
    [
        ("notes", format!("{:#?}", said.all_notes().collect::<Vec<_>>())),
        ("report", text(report)),
        ("cut list", text(csv)),
        ("sheets", text(pdf)),
    ]
}

fn text(mut contents: impl Contents) -> String {
    String::from_utf8_lossy(&contents.bytes().expect("memory")).into_owned()
}

/// The ways to all numbers and words of a job that tell its shape.
fn ways(job: &Value, way: &str) -> Vec<String> {
    let inside = |key: &str, value: &Value| ways(value, &format!("{way}/{key}"));
    match job {
        Value::Object(object) => object.iter().flat_map(|(key, value)| inside(key, value)).collect(),
        Value::Array(array) => {
            let numbered = array.iter().enumerate();
            numbered
                .flat_map(|(index, value)| inside(&index.to_string(), value))
                .collect()
        }
        Value::Number(_) | Value::String(_) => vec![way.to_owned()],
        _ => Vec::new(),
    }
}

/// The same with a number made a little larger, or the first number of a word; none where there is no number.
fn larger(job: &Value, way: &str) -> Option<Value> {
    let mut job = job.clone();
    let value = job.pointer_mut(way)?;
    *value = match value {
        Value::Number(number) => json!(number.as_f64()? * 1.01 + 1.0),
        Value::String(words) => {
            let from = words.find(|letter: char| letter.is_ascii_digit())?;
            let to = words[from..].find(|letter: char| !letter.is_ascii_digit() && letter != '.');
            let to = to.map_or(words.len(), |length| from + length);
            let number: f64 = words[from..to].parse().ok()?;
            json!(format!("{}{}{}", &words[..from], number + 1.0, &words[to..]))
        }
        _ => return None,
    };
    Some(job)
}

/// The same without one of its tubes.
fn without_tube(job: &Value, name: &str) -> Value {
    let mut job = job.clone();
    job["tubes"].as_object_mut().expect("tubes").remove(name);
    job
}

/// Jobs that differ from this one in one thing each.
fn changed(job: &Value) -> Vec<(String, Value)> {
    let larger = ways(job, "")
        .into_iter()
        .filter_map(|way| Some((way.clone(), larger(job, &way)?)));
    let names = job["tubes"].as_object().expect("tubes").keys();
    let fewer = names.map(|name| (format!("without {name}"), without_tube(job, name)));
    larger.chain(fewer).collect()
}

fn assert_equal_to_whole(job: &Resolved<Assembly>, after: &Plan, what: &str) {
    let whole = plan::batch(job, &|_, _| ()).expect("what is planned after another is planned alone");
    for ((name, whole), (_, after)) in made(&whole).into_iter().zip(made(after)) {
        assert!(whole == after, "{name} with another {what}: {whole}\n\n{after}");
    }
}

#[test]
fn those_beside_a_tube_that_comes_or_goes_are_told_so() {
    let row = row();
    let all = resolved(&row).expect("sound");
    let plan = |job: &Resolved<Assembly>, earlier: Option<&Plan>| plan::batch_after(job, earlier).expect("a plan");
    for name in row["tubes"].as_object().expect("tubes").keys() {
        let fewer = resolved(&without_tube(&row, name)).expect("sound");
        let before = plan(&fewer, None);
        let with = plan(&all, Some(&before));
        assert_equal_to_whole(&all, &with, name);
        assert_equal_to_whole(&fewer, &plan(&fewer, Some(&with)), name);
    }
}

#[test]
fn a_plan_after_an_earlier_one_is_equal_to_a_whole_one() {
    let mut tried = 0;
    for job in jobs() {
        let title = &job["title"];
        let mut earlier = plan::batch_after(&resolved(&job).expect("sound"), None).expect("a plan");
        for (what, job) in changed(&job).into_iter().step_by(STRIDE) {
            let Ok(job) = resolved(&job) else { continue };
            let whole = plan::batch(&job, &|_, _| ());
            let after = plan::batch_after(&job, Some(&earlier));
            match (whole, after) {
                (Ok(whole), Ok(after)) => {
                    for ((name, whole), (_, after)) in made(&whole).into_iter().zip(made(&after)) {
                        assert!(
                            whole == after,
                            "{name} of {title} with another {what}: {whole}\n\n{after}"
                        );
                    }
                    earlier = after;
                    tried += 1;
                }
                (Err(whole), Err(after)) => assert_eq!(whole.to_string(), after.to_string(), "{title}: {what}"),
                (whole, after) => panic!("{title}: {what}: {:?}, {:?}", whole.err(), after.err()),
            }
        }
    }
    assert!(tried > 60, "{tried}");
}
