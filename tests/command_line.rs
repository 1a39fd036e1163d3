//! The program from outside: what it refuses and how, what it leaves alone, and that it does the same
//! twice.

mod support;
mod wrong_inputs;

use std::process::Command;

use support::{Pdf, Run, Shop};
use wrong_inputs::{DEFAULT, all_refused, assert_untouched, refused, tables, used_shop};

const BRANCH: &str = "saddle --branch 48.3mm_x_2mm";
const SADDLE: &str = "saddle --branch 48.3mm_x_2mm --header 60.3mm_x_2mm";
const MITER: &str = "miter --tube 48.3mm_x_2mm";

#[test]
fn a_wrong_branch_is_refused_and_says_what_to_type_instead() {
    all_refused("saddle", 2, &tables::BRANCHES);
}

#[test]
fn a_wrong_header_is_refused_and_says_what_to_type_instead() {
    all_refused(BRANCH, 2, &tables::HEADERS);
}

#[test]
fn a_joint_that_cannot_be_is_refused_with_its_figures() {
    all_refused(SADDLE, 2, &tables::JOINTS);
}

#[test]
fn a_tube_whose_sides_cannot_be_is_refused_with_both_figures() {
    all_refused("saddle --header 200mm_x_3mm", 2, &tables::SIDES);
}

#[test]
fn sheets_that_cannot_be_are_refused_with_their_figures() {
    all_refused(SADDLE, 2, &tables::SHEETS);
}

#[test]
fn a_turn_that_cannot_be_is_refused_with_its_figures() {
    all_refused(MITER, 2, &tables::MITERS);
}

#[test]
fn unknown_words_and_flags_are_refused_with_help() {
    all_refused("", 2, &tables::OTHERS);
}

#[test]
fn a_place_that_cannot_be_written_to_is_no_fault_of_the_input() {
    all_refused(SADDLE, 1, &tables::PLACES);
}

#[test]
#[cfg(unix)]
fn a_word_that_is_not_text_is_refused() {
    use std::os::unix::ffi::OsStrExt;
    let shop = used_shop();
    let strange = std::ffi::OsStr::from_bytes(b"48\xffmm");
    let words = ["saddle", "--branch"].map(std::ffi::OsStr::new);
    let run = shop.run_words(&[words[0], words[1], strange]);
    assert_eq!(run.code(), 2);
    assert!(
        run.err().contains("UTF-8") && !run.err().contains("panicked"),
        "{}",
        run.err()
    );
    assert_untouched(&shop, "saddle");
}

#[test]
fn all_problems_of_a_bad_saddle_are_reported_at_once() {
    let flags = [
        ("--branch", "0mm_x_1mm"),
        ("--header", "pipe"),
        ("--angle", "200"),
        ("--offset", "far"),
        ("--touch", "middle"),
        ("--join", "on"),
        ("--clearance", "some"),
        ("--root-gap", "wide"),
        ("--units", "furlong"),
        ("--paper", "a9"),
        ("--paper-thickness", "9mm"),
        ("--ruler-reads", "150"),
        ("--seam", "north"),
        ("--stations", "3"),
        ("--label", "管"),
    ];
    let words: Vec<String> = flags.iter().map(|(flag, word)| format!("{flag} {word}")).collect();
    let err = refused(&format!("saddle {}", words.join(" ")), 2, &[]);
    for (flag, word) in flags {
        let place = format!("  --> {flag} \"{}\"", word.replace('_', " "));
        assert_eq!(err.matches(&place).count(), 1, "{place}\n{err}");
    }
    assert_eq!(err.matches("error: ").count(), flags.len(), "{err}");
}

#[test]
fn all_problems_of_a_bad_turn_are_reported_at_once() {
    let err = refused(
        "miter --tube 2_x_4 --turn 200 --pieces 1 --radius round --units mm --stations 1000",
        2,
        &[
            "--> --tube",
            "--> --turn",
            "--> --pieces",
            "--> --radius",
            "--> --stations",
        ],
    );
    assert_eq!(err.matches("error: ").count(), 5, "{err}");
}

#[test]
fn all_places_that_cannot_be_written_to_are_reported_at_once() {
    let err = refused(
        &format!("{SADDLE} --out none/a --svg folder --dxf . --report none/b"),
        1,
        &["--> none/a", "--> folder", "--> .", "--> none/b"],
    );
    assert_eq!(err.matches("\n  --> ").count(), 4, "{err}");
}

#[test]
fn an_older_file_survives_a_run_that_fails() {
    for report in ["none/report.json", "folder"] {
        refused(&format!("{SADDLE} --out older.pdf --report {report}"), 1, &[report]);
        refused(&format!("{SADDLE} --report {report}"), 1, &[report]);
    }
}

#[test]
fn a_run_that_fails_on_its_report_writes_no_new_file_either() {
    refused(
        &format!("{SADDLE} --out new.pdf --svg new.svg --dxf new.dxf --report none/report.json"),
        1,
        &["none/report.json"],
    );
}

#[test]
fn a_write_protected_file_is_left_alone() {
    let shop = used_shop();
    let path = shop.path("older.pdf");
    let mut permissions = std::fs::metadata(&path).expect("older.pdf").permissions();
    permissions.set_readonly(true);
    std::fs::set_permissions(&path, permissions).expect("its permissions");
    let run = shop.run(&format!("{SADDLE} --out new.pdf --svg older.pdf"));
    assert_eq!(run.code(), 1, "{}", run.err());
    assert!(run.err().contains("--> older.pdf"), "{}", run.err());
    assert_untouched(&shop, "--svg older.pdf");
}

#[test]
fn an_older_file_is_replaced_where_that_was_asked_for_and_nothing_else_is_left() {
    let shop = used_shop();
    shop.run(&format!("{SADDLE} --out older.pdf --report report.json"))
        .succeeds();
    assert!(shop.read("older.pdf").starts_with(b"%PDF"));
    assert_eq!(shop.read(DEFAULT), b"older");
    assert_eq!(shop.files(), ["folder", "older.pdf", "report.json", DEFAULT]);
}

#[test]
fn a_name_that_nobody_asked_for_replaces_no_file_of_other_contents() {
    let shop = used_shop();
    let second = "saddle-48.3x2mm-on-60.3x2mm-90deg-2.pdf";
    for _ in 0..2 {
        // The same joint again is the same file again.
        let said = shop.run(SADDLE).succeeds().out();
        assert!(
            said.contains(&format!(
                "{DEFAULT} is another file and stays as it is; this one is {second}"
            )),
            "{said}"
        );
        assert_eq!(shop.read(DEFAULT), b"older");
        assert_eq!(shop.files(), ["folder", "older.pdf", second, DEFAULT]);
    }
    shop.run(&format!("{SADDLE} --label other")).succeeds();
    assert_eq!(shop.files().len(), 5);
    let leaning = shop.run(&format!("{SADDLE} --angle 60 --offset=-2mm")).succeeds();
    let name = "saddle-48.3x2mm-on-60.3x2mm-60deg-offset-2mm-left.pdf";
    assert!(leaning.out().contains(&format!("wrote {name}")), "{}", leaning.out());
    for (command, name) in [
        (format!("{MITER} --turn 90"), "miter-48.3x2mm-90deg"),
        ("ruler".to_owned(), "ruler"),
        (
            "facets --branch 48.3mm_x_2mm --header 60.3mm".to_owned(),
            "facets-48.3x2mm-on-60.3mm-90deg-scribe-16.1mm-saw-45deg",
        ),
    ] {
        shop.write(&format!("{name}.pdf"), b"older");
        shop.run(&command).succeeds();
        assert_eq!(shop.read(&format!("{name}.pdf")), b"older", "{command}");
        assert!(shop.read(&format!("{name}-2.pdf")).starts_with(b"%PDF"), "{command}");
    }
}

#[test]
fn a_newer_pack_takes_the_place_of_an_older_one_of_the_same_job_and_of_no_other_file() {
    let shop = Shop::open();
    let first = std::fs::read_to_string("templates/plate-frame.json").expect("a starter");
    shop.write("frame.json", first.as_bytes());
    shop.write("job.json", first.as_bytes());
    shop.run("batch frame.json --out job.pdf").succeeds();
    shop.run("batch frame.json").succeeds();
    let older = shop.read("frame.pdf");
    let title = r#""title": ""#;
    assert!(first.contains(title));
    shop.run("batch frame.json --label changed").succeeds();
    assert_eq!(shop.files(), ["frame.json", "frame.pdf", "job.json", "job.pdf"]);
    assert_ne!(shop.read("frame.pdf"), older);

    // A pack of another file, or of a job of another title, is another file.
    shop.run("batch job.json").succeeds();
    assert_eq!(shop.read("job.pdf"), older);
    let retitled = first.replace(title, r#""title": "Another "#);
    shop.write("frame.json", retitled.as_bytes());
    let said = shop.run("batch frame.json").succeeds().out();
    assert!(said.contains("this one is frame-2.pdf"), "{said}");
    assert_eq!(
        shop.files(),
        [
            "frame-2.pdf",
            "frame.json",
            "frame.pdf",
            "job-2.pdf",
            "job.json",
            "job.pdf"
        ]
    );
}

#[test]
#[cfg(target_os = "linux")]
fn a_device_without_room_is_said_and_ends_with_1() {
    for command in [SADDLE, "ruler", &format!("{MITER} --turn 90")] {
        refused(
            &format!("{command} --out /dev/full"),
            1,
            &["--> /dev/full", "No space left"],
        );
    }
}

#[test]
#[cfg(target_os = "linux")]
fn a_run_that_fails_at_its_last_file_has_written_none() {
    let long = "x".repeat(300);
    for report in ["/dev/full", "none/", long.as_str()] {
        refused(&format!("{SADDLE} --report {report}"), 1, &[report]);
    }
}

#[test]
fn one_file_under_two_spellings_is_refused() {
    let err = refused(&format!("{SADDLE} --out new.pdf --svg ./new.pdf"), 2, &["one name"]);
    assert!(err.contains("new.pdf"));
    refused(
        &format!("{SADDLE} --out new.pdf --svg folder/../new.pdf"),
        2,
        &["one name"],
    );
}

#[cfg(unix)]
#[test]
fn one_file_under_two_names_is_refused() {
    use std::os::unix::fs::symlink;
    let shop = Shop::open();
    shop.write("old.svg", b"older");
    std::fs::hard_link(shop.path("old.svg"), shop.path("hard.pdf")).expect("a link");
    symlink("old.svg", shop.path("soft.pdf")).expect("a link");
    symlink("new.svg", shop.path("to-nothing.pdf")).expect("a link");
    for names in [
        "--out hard.pdf --svg old.svg",
        "--out soft.pdf --svg old.svg",
        "--out to-nothing.pdf --svg new.svg",
    ] {
        let run = shop.run(&format!("{SADDLE} {names}"));
        assert_eq!(run.code(), 2, "{names}: {}{}", run.out(), run.err());
        assert!(run.err().contains("one name"), "{names}: {}", run.err());
        assert_eq!(shop.files(), ["hard.pdf", "old.svg", "soft.pdf", "to-nothing.pdf"]);
        assert_eq!(shop.read("old.svg"), b"older");
    }
    shop.run(&format!("{SADDLE} --out to-nothing.pdf")).succeeds();
    assert!(shop.path("to-nothing.pdf").is_symlink(), "a link stays one");
    assert!(shop.read("new.svg").starts_with(b"%PDF"));
}

#[cfg(unix)]
#[test]
fn a_job_is_never_written_over() {
    let shop = Shop::open();
    let job = std::fs::read(concat!(env!("CARGO_MANIFEST_DIR"), "/templates/plate-frame.json")).expect("a starter");
    shop.write("job.pdf", &job);
    std::os::unix::fs::symlink("job.pdf", shop.path("soft")).expect("a link");
    std::fs::hard_link(shop.path("job.pdf"), shop.path("hard")).expect("a link");
    let before = shop.files();
    let mut commands = vec!["batch soft --out job.pdf".to_owned()];
    for name in ["job.pdf", "./job.pdf", "soft", "hard"] {
        for flag in ["--out", "--report", "--svg", "--dxf", "--cut-list"] {
            commands
                .push(format!("batch job.pdf --out pack.pdf {flag} {name}").replace("--out pack.pdf --out", "--out"));
        }
    }
    for command in commands {
        let run = shop.run(&command);
        assert_eq!(run.code(), 2, "{command}: {}{}", run.out(), run.err());
        assert!(run.err().contains("the job itself"), "{command}: {}", run.err());
        assert_eq!(shop.files(), before, "{command}");
        assert!(shop.read("job.pdf") == job, "{command}");
    }
    // Where nobody asked for its name the pack has another.
    let said = shop.run("batch job.pdf").succeeds().out();
    assert!(said.contains("wrote job-2.pdf"), "{said}");
    assert!(shop.read("job.pdf") == job);
}

#[cfg(unix)]
#[test]
fn a_file_without_end_is_read_no_further_than_a_job_may_be_long() {
    let run = Shop::open().run("batch /dev/zero");
    assert_eq!(run.code(), 2);
    assert!(
        run.err().contains("too large for a job") && run.err().contains("more than 8388608 bytes"),
        "{}",
        run.err()
    );
}

#[test]
fn an_unknown_schedule_is_refused_with_its_flag() {
    refused(
        "saddle --branch NPS_2_sch_40 --header NPS_3_sch_41",
        2,
        &["--header \"NPS 3 sch 41\""],
    );
}

/// The same joint run twice, a second apart, in two folders and time zones.
fn twice() -> [Shop; 2] {
    ["UTC0", "XXX-9"].map(|zone| {
        let shop = Shop::open();
        let files = [
            "--out", "a.pdf", "--svg", "a.svg", "--dxf", "a.dxf", "--report", "a.json",
        ];
        let output = Command::new(env!("CARGO_BIN_EXE_girthline"))
            .args([
                "saddle",
                "--branch",
                "48.3mm x 2mm",
                "--header",
                "60.3mm",
                "--angle",
                "60",
            ])
            .args(files)
            .current_dir(shop.folder())
            .env("TZ", zone)
            .output()
            .expect("the program starts");
        assert!(output.status.success());
        std::thread::sleep(std::time::Duration::from_millis(1100));
        shop
    })
}

#[test]
fn the_same_joint_gives_the_same_bytes_at_another_time_and_place() {
    let shops = twice();
    for name in ["a.pdf", "a.svg", "a.json"] {
        let [first, second] = [0, 1].map(|shop| shops[shop].read(name));
        assert!(first.len() > 1000 && first == second, "{name}");
    }
}

#[test]
fn the_same_joint_gives_the_same_dxf_at_another_time_and_place() {
    let [first, second] = twice().map(|shop| shop.read("a.dxf"));
    assert!(first.len() > 1000 && first == second);
}

#[test]
fn sizes_are_listed_with_both_units_and_narrowed_by_words() {
    let shop = Shop::open();
    let all = shop.run("sizes").succeeds().out();
    assert!(all.lines().count() > 50, "{all}");
    assert!(
        all.lines()
            .next()
            .is_some_and(|head| head.contains("OD in") && head.contains("OD mm"))
    );
    for words in ["sizes nps 1-1/2", "sizes NPS_1-1/2"] {
        let out = shop.run(words).succeeds().out();
        let rows: Vec<&str> = out.lines().skip(1).collect();
        assert_eq!(rows.len(), 1, "{out}");
        // ASME B36.10M: 1.900 in across, schedule 40 has 0.145 in.
        for part in ["NPS 1-1/2", "1.900", "48.26", "sch 40 3.68 (0.145)"] {
            assert!(rows[0].contains(part), "{out}");
        }
    }
    let fences = shop.run("sizes fence").succeeds().out();
    assert!(fences.lines().skip(1).all(|row| row.starts_with("fence ")), "{fences}");
    assert!(shop.files().is_empty());
}

#[test]
fn every_listed_size_can_be_typed_as_it_is_listed() {
    let shop = Shop::open();
    let all = shop.run("sizes").succeeds().out();
    for row in all.lines().skip(1) {
        let name = row[..14].trim();
        let run = shop.run_words(&["miter", "--turn", "30", "--tube", name, "--report", "r.json"]);
        assert_eq!(run.code(), 0, "{name}: {}", run.err());
        let od = shop.report("r.json")["ends"][0]["od_mm"].as_f64().expect("a diameter");
        let listed: f64 = row[23..33].trim().parse().expect("a number");
        assert!((od - listed).abs() <= 0.005 + 1e-9, "{row}: {od}");
    }
}

/// What is said of lengths on the terminal and on the sheets, without the rulers' own names.
fn said(shop: &Shop, run: &Run) -> String {
    let pdf = Pdf::read(&shop.read("sheet.pdf"));
    let words = pdf.words.iter().filter(|words| words.layer != "rulers");
    words.fold(run.out(), |said, words| format!("{said}\n{}", words.text))
}

#[test]
fn results_come_in_the_units_asked_for() {
    let shop = Shop::open();
    let joints = [
        "--branch 48.3mm_x_2mm --header 60.3mm",
        "--branch 1.9in_x_0.065in --header 2.375in",
    ];
    for joint in joints {
        let run = |units: &str| {
            let command = format!("saddle {joint} --units {units} --out sheet.pdf --report {units}.json");
            let run = shop.run(&command).succeeds();
            said(&shop, &run)
        };
        let (inches, millimetres) = (run("in"), run("mm"));
        assert!(inches.contains("2 in (2.000) from the header's centre"), "{inches}");
        assert!(
            millimetres.contains("55.00 mm from the header's centre"),
            "{millimetres}"
        );
        assert!(!inches.contains("mm") && inches.contains("round, in"), "{inches}");
        assert!(
            !millimetres.contains(" in (") && millimetres.contains("round, mm"),
            "{millimetres}"
        );
        // The report is for programs: always millimetres.
        let reports = ["in.json", "mm.json"].map(|name| shop.report(name));
        assert_eq!(reports[0]["units"], "mm");
        assert_eq!(reports[0]["ends"][0]["curve"], reports[1]["ends"][0]["curve"]);
    }
}

#[test]
fn without_units_results_come_in_those_of_the_tube() {
    let shop = Shop::open();
    let base = |joint: &str| shop.run(&format!("saddle {joint}")).succeeds().out();
    assert!(base("--branch 48.3mm_x_2mm --header NPS_2").contains("base line      55.00 mm"));
    assert!(base("--branch NPS_1-1/2_sch_40 --header 60.3mm").contains("base line      2 in (2.000)"));
}

#[test]
fn a_trade_size_that_is_not_its_true_size_is_said_everywhere() {
    let shop = Shop::open();
    for (size, says) in [
        (
            "fence 1-7/8 x 0.065in",
            "fence 1-7/8 is 1.900 in across, not 1-7/8 in (1.875)",
        ),
        ("NPS 1-1/2 sch 40", "NPS 1-1/2 is 1.900 in across, not 1-1/2 in (1.500)"),
        ("DN 40 sch 40", "DN 40 is 48.26 mm across"),
        ("EN DN 40 x 2.6mm", "EN DN 40 is 48.30 mm across"),
    ] {
        let words = [
            "saddle",
            "--branch",
            size,
            "--header",
            "60.4mm",
            "--out",
            "sheet.pdf",
            "--report",
            "r.json",
        ];
        let run = shop.run_words(&words).succeeds();
        assert!(run.out().contains(&format!("note: {says}")), "{}", run.out());
        let report = shop.report("r.json");
        let warnings = report["warnings"].as_array().expect("a list");
        assert!(
            warnings
                .iter()
                .any(|note| note.as_str().is_some_and(|note| note.starts_with(says))),
            "{warnings:?}"
        );
        let sheet: Vec<String> = Pdf::read(&shop.read("sheet.pdf"))
            .words
            .into_iter()
            .map(|words| words.text)
            .collect();
        // Lines break where the sheet is full.
        assert!(sheet.join(" ").contains(says), "{sheet:?}");
    }
}

#[test]
fn help_and_version_go_to_standard_output_and_end_well() {
    let shop = Shop::open();
    for words in [
        "--help",
        "--version",
        "help saddle",
        "saddle --help",
        "miter -h",
        "ruler --help",
        "sizes --help",
    ] {
        let run = shop.run(words).succeeds();
        assert!(
            run.out().contains("girthline") && run.err().is_empty(),
            "{words}: {}",
            run.out()
        );
    }
    assert!(shop.files().is_empty());
}

#[test]
fn an_unknown_key_hides_no_other_mistake_and_makes_none() {
    let shop = Shop::open();
    let said = |job: &str| {
        shop.write("job.json", job.as_bytes());
        shop.run("batch job.json --check").err()
    };
    let errors = |said: &str| said.matches("error: ").count();
    // Every key with a mistake has others beside it, behind it and elsewhere.
    let told = said(
        r#"{ "units": "mm", "stock": { "a": { "size": "50mm x 2mm", "stik": "6q" }, "b": { "size": "50mm" } },
  "bodies": { "drum": { "shape": "cylinder", "size": "572mm x 2mm", "from": [0, 0, 0], "to": [0, 0, 900], "zeor": [1, 0, 0] } },
  "tubes": { "t": { "stock": "a", "path": [ { "on": "drum", "alnog": "3x" }, { "step": [200, 0, 0] } ] },
    "u": { "stock": "c", "path": [ { "on": "drun", "along": 3 }, { "step": [200, 0, 0] } ], "position": 3 },
    "v": { "stock": "b", "path": [ { "on": "drum", "along": 300 }, { "step": [200, 0, 0] } ] } } }"#,
    );
    for words in [
        "\"stik\" is not known here",
        "\"q\" in \"6q\" is not a unit of length",
        "the tube's wall is not given",
        "\"zeor\" is not known here",
        "\"alnog\" is not known here",
        "\"x\" in \"3x\" is not a unit of length",
        "\"position\" is not known here",
        "there is no stock of the name \"c\"",
        "there is no body of the name \"drun\"",
    ] {
        assert!(told.contains(words), "{words}: {told}");
    }
    assert_eq!(errors(&told), 9, "{told}");
    // Nor does one set off others: what the body lacks it may have under that name, and who lands on it is not at fault; nor
    // is what stands behind it of the wrong kind a second mistake.
    let told = said(
        r#"{ "units": "mm", "stock": { "a": { "size": "50mm x 2mm" } },
  "bodies": { "drum": { "shape": "cylinder", "size": "572mm x 2mm", "whence": [0, 0, 0], "to": [0, 0, 900] } },
  "tubes": { "t": { "stock": "a", "path": [ { "on": "drum", "along": 300 }, { "step": [200, 0, 0] } ], "strat": "square" } } }"#,
    );
    assert!(
        told.contains("\"whence\" is not known here") && told.contains("did you mean \"start\"?"),
        "{told}"
    );
    assert_eq!(errors(&told), 2, "{told}");
}

#[test]
fn what_names_a_thing_with_a_mistake_is_not_at_fault() {
    let shop = Shop::open();
    shop.write(
        "job.json",
        br#"{ "units": "mm", "stock": { "a": { "size": "50mm x 2mm" }, "b": { "size": "nonsense" } },
  "bodies": { "drum": { "shape": "cylinder", "size": "nonsense", "from": [0, 0, 0], "to": [0, 0, 900],
    "keep_off": [ { "name": "ring", "along": [100, 120], "out": 3 } ] }, "plate": 7 },
  "tubes": { "t": { "stock": "a", "path": [ { "on": "drum", "along": 3 }, { "step": [200, 0, 0] } ] },
    "w": { "stock": "b", "path": [ { "on": "plate", "along": 3 }, { "step": [200, 0, 0] } ], "repeat": { "times": 2, "turn": 30, "about": "drum" } },
    "u": { "stock": "a", "path": [ { "on": "t", "along": 3 }, { "step": [200, 0, 0] } ], "start": { "join": "set-on", "also": ["drum"] } } },
  "keep_clear": [ { "tube": "t", "body": "ring", "by": 3 }, { "tube": "u", "body": "ring of drum", "by": 3 } ] }"#,
    );
    let told = shop.run("batch job.json --check").err();
    assert_eq!(told.matches("error: ").count(), 3, "{told}");
    assert_eq!(told.matches("\"nonsense\" is not a size").count(), 2, "{told}");
    assert!(told.contains("an object { ... } belongs here"), "{told}");
}
