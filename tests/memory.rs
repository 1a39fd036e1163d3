//! What the program takes of memory, however large the job: a large job has no more of it at once than what is known of each
//! tube, and the PDF.

#![cfg(target_os = "linux")]

mod support;

use std::fmt::Write;
use std::fs;
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::Duration;

use support::Shop;

/// So many may be had at once for 1,000 different tubes, in kilobytes.
const FOR_A_THOUSAND: u64 = 200_000;
/// And for 20,000.
const FOR_TWENTY_THOUSAND: u64 = 1_000_000;

/// Tubes between two rows of drums, no two of them alike.
fn different_tubes(tubes: u32) -> String {
    const A_DRUM: u32 = 1_000;
    let mut job = r#"{ "units": "mm", "stock": { "riser": { "size": "40mm x 2mm" } }, "bodies": { "#.to_owned();
    for drum in 0..tubes.div_ceil(A_DRUM) {
        for (name, z, zero) in [("low", 0, 1), ("high", 1200, -1)] {
            let (x, comma) = (2000 * drum, if drum + z > 0 { "," } else { "" });
            write!(
                job,
                r#"{comma} "{name} {drum}": {{ "shape": "cylinder", "size": "600mm x 2mm", "from": [{x}, 0, {z}],
                    "to": [{x}, 96000, {z}], "zero": [0, 0, {zero}] }}"#
            )
            .expect("memory");
        }
    }
    job.push_str(" }, \"tubes\": { ");
    for tube in 0..tubes {
        let (drum, place) = (tube / A_DRUM, tube % A_DRUM);
        let (along, comma) = (60 + 95 * place, if tube > 0 { "," } else { "" });
        let (low, high) = (f64::from(tube % 41) - 20.0, f64::from(tube % 37) - 18.0);
        let far = f64::from(along) + f64::from(tube) * 0.0075 % 60.0;
        write!(
            job,
            r#"{comma} "riser {tube}": {{ "stock": "riser", "path": [
                {{ "on": "low {drum}", "along": {along}, "round": "{low}deg" }},
                {{ "on": "high {drum}", "along": {far:.4}, "round": "{high}deg" }} ] }}"#
        )
        .expect("memory");
    }
    job.push_str(" } }");
    job
}

/// The most memory that the program has at once, in kilobytes, when everything is asked for.
fn most_for(tubes: u32) -> u64 {
    let shop = Shop::open();
    shop.write("job.json", different_tubes(tubes).as_bytes());
    let words = "batch job.json --out a.pdf --svg a.svg --dxf a.dxf --report a.json --cut-list a.csv";
    let mut program = Command::new(env!("CARGO_BIN_EXE_girthline"))
        .args(words.split(' '))
        .current_dir(shop.folder())
        .stdout(Stdio::null())
        .spawn()
        .expect("the program starts");
    let mut most = 0;
    let ended = loop {
        let status = fs::read_to_string(format!("/proc/{}/status", program.id())).unwrap_or_default();
        let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        // One that has ended has none.
        most = line
            .and_then(|line| line.split_whitespace().next()?.parse().ok())
            .unwrap_or(most);
        if let Some(ended) = program.try_wait().expect("a child") {
            break ended;
        }
        sleep(Duration::from_millis(5));
    };
    assert!(ended.success(), "{tubes} tubes");
    let kinds = fs::read_to_string(shop.path("a.csv"))
        .expect("a cut list")
        .lines()
        .count()
        - 1;
    assert_eq!(kinds, tubes as usize, "they are different");
    println!("{tubes} different tubes take {most} kB");
    most
}

#[test]
fn a_thousand_different_tubes_would_take_no_more_than_they_may() {
    let (few, more) = (60, 180);
    let [of_few, of_more] = [few, more].map(most_for);
    let each = of_more.saturating_sub(of_few) / u64::from(more - few);
    println!("{each} kB a tube");
    assert!(of_few + each * (1_000 - u64::from(few)) < FOR_A_THOUSAND);
}

#[test]
#[ignore = "takes minutes: cargo test --release --test memory -- --ignored"]
fn a_thousand_and_twenty_thousand_different_tubes_take_no_more_than_they_may() {
    assert!(most_for(1_000) < FOR_A_THOUSAND);
    assert!(most_for(20_000) < FOR_TWENTY_THOUSAND);
}
