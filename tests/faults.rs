//! When the disk is full, the folder closed, the reader gone, the power off or another run in the way: a file is whole or
//! as it was before, never half-written.

#![cfg(target_os = "linux")]

mod support;

use std::fs::{self, Permissions};
use std::io;
use std::os::unix::fs::{MetadataExt, PermissionsExt};
use std::os::unix::process::CommandExt;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use support::Shop;

const PROGRAM: &str = env!("CARGO_BIN_EXE_girthline");
const SADDLE: [&str; 5] = ["saddle", "--branch", "48.3mm x 2mm", "--header", "60.3mm"];
const JOB: &str = include_str!("../templates/cooler-bank.json");
/// Somebody without rights, who owns nothing.
const NOBODY: u32 = 65_534;

fn batch(folder: &Path, job: &str) -> Command {
    let mut command = Command::new(PROGRAM);
    command.args(["batch", job, "--out", "pack.pdf"]).current_dir(folder);
    command.stdout(Stdio::null()).stderr(Stdio::null());
    command
}

/// Files whose names don't show that they are unfinished.
fn finished(shop: &Shop) -> Vec<String> {
    let mut files = shop.files();
    files.retain(|name| !name.starts_with(".girthline-"));
    files
}

#[track_caller]
fn assert_told(output: &Output, words: &str) {
    let err = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(1), "{err}");
    assert!(err.contains(words) && err.contains("nothing was changed"), "{err}");
}

/// A limit on the size of files stands for a disk with little room: the write that passes it fails.
fn with_room_for(blocks: u32, folder: &Path, words: &[&str]) -> Output {
    // The signal that comes with the limit is held off, so that the write returns an error as a full disk does.
    let script = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" \"$@\"");
    let mut command = Command::new("sh");
    command.args(["-c", &script, PROGRAM]).args(words).current_dir(folder);
    command.output().expect("a shell")
}

#[test]
fn a_disk_that_fills_up_leaves_the_older_file_and_nothing_else() {
    let shop = Shop::open();
    shop.write("older.pdf", b"older");
    let words = [&SADDLE[..], &["--out", "older.pdf", "--report", "r.json"]].concat();
    // Not even a block; and too few for the sheet, which takes some 20 kB.
    for blocks in [0, 8] {
        assert_told(&with_room_for(blocks, shop.folder(), &words), "File too large");
        assert_eq!(
            (shop.files(), shop.read("older.pdf")),
            (vec!["older.pdf".to_owned()], b"older".to_vec())
        );
    }
    // The same with room, so that it was the room.
    assert!(with_room_for(4096, shop.folder(), &words).status.success());
    assert!(shop.read("older.pdf").starts_with(b"%PDF"));
}

#[test]
fn a_disk_that_is_full_at_the_last_of_many_files_leaves_all_older_ones() {
    let shop = Shop::open();
    shop.write("job.json", JOB.as_bytes());
    // The older files fit, the pack is larger than the limit and every other file smaller.
    for name in ["pack.pdf", "list.csv"] {
        shop.write(name, b"older");
    }
    let words = ["batch", "job.json", "--cut-list", "list.csv", "--out", "pack.pdf"];
    assert_told(&with_room_for(40, shop.folder(), &words), "File too large");
    assert_eq!(shop.files(), ["job.json", "list.csv", "pack.pdf"]);
    assert!(["pack.pdf", "list.csv"].iter().all(|name| shop.read(name) == b"older"));
}

/// A file system of 16 kB in a name space of its own, where the system lets one be made.
fn in_a_tiny_file_system(shop: &Shop, words: &str) -> Option<Output> {
    fs::create_dir(shop.path("tiny")).expect("a folder");
    let script = format!(
        "mount -t tmpfs -o size=16k none tiny || exit 99; cd tiny; printf older > pack.pdf; \"$0\" {words}; code=$?; \
         ls -A; cat pack.pdf; exit $code"
    );
    let mut command = Command::new("unshare");
    command.args(["--mount", "--map-root-user", "sh", "-c", &script, PROGRAM]);
    let output = command.current_dir(shop.folder()).output().ok()?;
    // 1 without a word of ours, or 99: no such name space here.
    let is_made = String::from_utf8_lossy(&output.stdout).contains("pack.pdf");
    is_made.then_some(output)
}

#[test]
fn a_tiny_file_system_that_fills_up_keeps_the_older_file() {
    let shop = Shop::open();
    shop.write("job.json", JOB.as_bytes());
    match in_a_tiny_file_system(&shop, "batch ../job.json --out pack.pdf") {
        Some(output) => {
            assert_told(&output, "No space left");
            assert_eq!(
                output.stdout, b"pack.pdf\nolder",
                "nothing else is left, and it is as it was"
            );
        }
        None => {
            // The system makes no file systems for us; the limit on files stands in.
            shop.write("pack.pdf", b"older");
            let words = ["batch", "job.json", "--out", "pack.pdf"];
            assert_told(&with_room_for(64, shop.folder(), &words), "File too large");
            assert_eq!(shop.read("pack.pdf"), b"older");
        }
    }
}

#[test]
fn a_folder_that_may_not_be_written_to_is_left_alone() {
    let shop = Shop::open();
    shop.write("sheet.pdf", b"older");
    fs::copy(PROGRAM, shop.path("program")).expect("a copy of the program");
    let allow = |mode: u32| fs::set_permissions(shop.folder(), Permissions::from_mode(mode)).expect("rights");
    allow(0o555);
    let mut command = Command::new(shop.path("program"));
    command
        .args(SADDLE)
        .args(["--out", "sheet.pdf"])
        .current_dir(shop.folder());
    if fs::metadata(shop.folder()).expect("a folder").uid() == 0 {
        // Rights don't stop the superuser: it is run as somebody whom they do.
        command.uid(NOBODY).gid(NOBODY);
    }
    let output = command.output().expect("the program starts");
    allow(0o755);
    assert_told(&output, "Permission denied");
    assert_eq!(
        (shop.files(), shop.read("sheet.pdf")),
        (vec!["program".to_owned(), "sheet.pdf".to_owned()], b"older".to_vec())
    );
}

#[test]
fn a_reader_that_has_gone_away_is_no_problem() {
    for words in [
        "sizes",
        "schema",
        "new",
        "--help",
        "saddle --branch 48.3mm_x_2mm --header 60.3mm --out sheet.pdf",
    ] {
        let shop = Shop::open();
        let (reader, writer) = io::pipe().expect("a pipe");
        drop(reader);
        let words: Vec<String> = words.split(' ').map(|word| word.replace('_', " ")).collect();
        let mut command = Command::new(PROGRAM);
        command.args(&words).current_dir(shop.folder()).stdout(writer);
        let output = command.output().expect("the program starts");
        assert!(
            output.status.success(),
            "{words:?}: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        assert_eq!(output.stderr, b"", "{words:?}");
        if words[0] == "saddle" {
            assert!(shop.read("sheet.pdf").ends_with(b"%%EOF"));
        }
    }
}

#[test]
fn words_that_find_no_room_are_not_lost_in_silence() {
    for words in [&["sizes"][..], &["schema"]] {
        let full = fs::OpenOptions::new()
            .write(true)
            .open("/dev/full")
            .expect("the full device");
        let output = Command::new(PROGRAM)
            .args(words)
            .stdout(full)
            .output()
            .expect("the program starts");
        let err = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(1), "{words:?}: {err}");
        assert!(
            err.contains("standard output can't be written") && err.contains("No space left"),
            "{err}"
        );
    }
}

/// Kills a batch after some time, or as soon as it begins to write, and says whether that came in its way.
fn kill_a_batch(shop: &Shop, after: Option<Duration>) -> bool {
    let files = shop.files().len();
    let mut run = batch(shop.folder(), "job.json").spawn().expect("the program starts");
    match after {
        Some(after) => sleep(after),
        None => {
            while shop.files().len() == files && run.try_wait().expect("a child").is_none() {
                sleep(Duration::from_micros(200));
            }
        }
    }
    let is_running = run.try_wait().expect("a child").is_none();
    run.kill().expect("a child");
    run.wait().expect("a child");
    is_running
}

#[test]
fn a_batch_that_is_killed_leaves_the_older_pack_or_the_whole_new_one() {
    let shop = Shop::open();
    shop.write("job.json", JOB.as_bytes());
    let start = Instant::now();
    assert!(
        batch(shop.folder(), "job.json")
            .status()
            .expect("the program starts")
            .success()
    );
    let whole = start.elapsed();
    let new = shop.read("pack.pdf");
    let (mut killed, mut older) = (0, 0);
    const KILLS: u32 = 24;
    for kill in 0..KILLS {
        shop.write("pack.pdf", b"older");
        // Every other time somewhere in the run, later ones more often.
        let share = f64::from(kill) / f64::from(KILLS);
        let after = (kill % 2 == 0).then(|| whole.mul_f64(1.1 * share.sqrt()));
        killed += u32::from(kill_a_batch(&shop, after));
        let left = shop.read("pack.pdf");
        assert!(left == b"older" || left == new, "{} bytes of {}", left.len(), new.len());
        older += u32::from(left == b"older");
        assert_eq!(finished(&shop), ["job.json", "pack.pdf"]);
    }
    println!("{killed} of {KILLS} were killed while they ran; {older} left the older pack");
    assert!(
        killed >= KILLS / 4 && older >= KILLS / 4,
        "{killed} killed, {older} older"
    );
    // The next run goes well, whatever was left behind.
    assert!(
        batch(shop.folder(), "job.json")
            .status()
            .expect("the program starts")
            .success()
    );
    assert!(shop.read("pack.pdf") == new);
    assert_eq!(
        shop.files(),
        ["job.json", "pack.pdf"],
        "what the killed runs left is gone"
    );
}

fn make_a_pipe(shop: &Shop, name: &str) {
    let made = Command::new("mkfifo").arg(shop.path(name)).status().expect("mkfifo");
    assert!(made.success());
}

#[test]
fn a_run_that_is_stopped_from_the_keyboard_leaves_nothing_behind() {
    for signal in ["-INT", "-TERM", "-HUP"] {
        let shop = Shop::open();
        shop.write("job.json", JOB.as_bytes());
        shop.write("pack.pdf", b"older");
        // While nobody reads the pipe the run waits, with all its other files ready.
        make_a_pipe(&shop, "pipe");
        let mut command = batch(shop.folder(), "job.json");
        let mut run = command
            .args(["--report", "pipe", "--split", "new/kinds"])
            .spawn()
            .expect("the program starts");
        let is_writing = || {
            let kinds = fs::read_dir(shop.path("new/kinds")).map_or(0, Iterator::count);
            kinds > 1 && shop.files().iter().any(|name| name.starts_with(".girthline-"))
        };
        while !is_writing() {
            assert!(run.try_wait().expect("a child").is_none(), "it ended by itself");
            sleep(Duration::from_millis(5));
        }
        let sent = Command::new("kill").args([signal, &run.id().to_string()]).status();
        assert!(sent.expect("kill").success());
        assert_eq!(run.wait().expect("a child").code(), Some(130), "{signal}");
        assert_eq!(shop.files(), ["job.json", "pack.pdf", "pipe"], "{signal}");
        assert_eq!(shop.read("pack.pdf"), b"older");
    }
}

#[test]
fn a_run_that_is_killed_leaves_a_folder_that_the_next_run_fills() {
    let shop = Shop::open();
    shop.write("job.json", JOB.as_bytes());
    make_a_pipe(&shop, "pipe");
    let kinds = || -> Vec<String> {
        let entries = fs::read_dir(shop.path("kinds")).into_iter().flatten().flatten();
        entries
            .map(|entry| entry.file_name().to_string_lossy().into_owned())
            .collect()
    };
    let mut command = batch(shop.folder(), "job.json");
    let mut run = command
        .args(["--report", "pipe", "--split", "kinds"])
        .spawn()
        .expect("the program starts");
    while kinds().len() < 2 {
        assert!(run.try_wait().expect("a child").is_none(), "it ended by itself");
        sleep(Duration::from_millis(5));
    }
    run.kill().expect("a child");
    run.wait().expect("a child");
    assert!(!kinds().is_empty() && kinds().iter().all(|name| name.starts_with(".girthline-")));
    shop.run("batch job.json --split kinds --out pack.pdf").succeeds();
    assert!(kinds().iter().all(|name| name.ends_with(".pdf")), "{:?}", kinds());
    assert_eq!(shop.files(), ["job.json", "kinds", "pack.pdf", "pipe"]);
}

#[test]
fn a_job_in_a_pipe_is_read_where_somebody_writes_it_and_not_waited_for_without_end() {
    let shop = Shop::open();
    make_a_pipe(&shop, "pipe");
    let start = Instant::now();
    let run = shop.run("batch pipe --check");
    assert_eq!(run.code(), 2, "{}", run.err());
    let said = run.err();
    assert!(
        said.contains("--> pipe") && said.contains("nobody has written into this pipe for 5 seconds"),
        "{said}"
    );
    assert!(start.elapsed() < Duration::from_secs(30));
    // A writer may come late, and be slow.
    shop.write("job.json", JOB.as_bytes());
    let program = env!("CARGO_BIN_EXE_girthline");
    let slowly = "(sleep 1; head -c 100 job.json; sleep 1; tail -c +101 job.json)";
    for line in [
        format!("{slowly} >pipe & {program} batch pipe --check"),
        format!("{program} batch <{slowly} --check"),
        format!("{slowly} | {program} batch /dev/stdin --check"),
        format!("{slowly} | {program} batch - --check"),
    ] {
        let mut shell = Command::new("bash");
        let run = shell.args(["-c", &line]).current_dir(shop.folder()).output();
        let run = run.expect("bash");
        let [out, err] = [&run.stdout, &run.stderr].map(|said| String::from_utf8_lossy(said));
        assert!(
            run.status.success() && out.contains("Nothing was written."),
            "{line}\n{out}{err}"
        );
    }
}

#[test]
fn a_run_that_fails_leaves_no_new_folder() {
    let shop = Shop::open();
    shop.write("job.json", JOB.as_bytes());
    let run = shop.run("batch job.json --split new/kinds --report none/r.json");
    assert_eq!(run.code(), 1, "{}", run.err());
    assert_eq!(shop.files(), ["job.json"]);
}

#[test]
fn a_pipe_that_nobody_reads_is_not_waited_for_without_end() {
    let shop = Shop::open();
    make_a_pipe(&shop, "pipe");
    let start = Instant::now();
    let run = shop.run("saddle --branch 48.3mm_x_2mm --header 60.3mm --out sheet.pdf --report pipe");
    assert_eq!(run.code(), 1, "{}", run.err());
    assert!(
        run.err().contains("nobody has read this pipe for 5 seconds"),
        "{}",
        run.err()
    );
    assert!(start.elapsed() < Duration::from_secs(30));
    assert_eq!(shop.files(), ["pipe"]);
    // One whose reader comes late is written to.
    let mut late = Command::new("sh");
    let mut reader = late.args(["-c", "sleep 1; cat pipe"]).current_dir(shop.folder());
    reader = reader.stdout(Stdio::piped());
    let reader = reader.spawn().expect("a shell");
    shop.run("saddle --branch 48.3mm_x_2mm --header 60.3mm --out sheet.pdf --report pipe")
        .succeeds();
    let read = reader.wait_with_output().expect("what was read").stdout;
    assert!(read.starts_with(b"{") && read.ends_with(b"}\n"));
}

#[test]
fn who_may_read_a_file_and_where_a_link_leads_stay_as_they_are() {
    let shop = Shop::open();
    let mode = |name: &str| fs::metadata(shop.path(name)).expect("a file").permissions().mode() & 0o777;
    shop.write("own.pdf", b"older");
    fs::set_permissions(shop.path("own.pdf"), Permissions::from_mode(0o600)).expect("rights");
    std::os::unix::fs::symlink("own.pdf", shop.path("link.pdf")).expect("a link");
    shop.run("saddle --branch 48.3mm_x_2mm --header 60.3mm --out link.pdf --report new.json")
        .succeeds();
    assert!(shop.read("own.pdf").starts_with(b"%PDF"));
    assert!(
        fs::symlink_metadata(shop.path("link.pdf"))
            .expect("a link")
            .is_symlink()
    );
    assert_eq!(mode("own.pdf"), 0o600);
    assert!(mode("new.json") & 0o600 == 0o600 && mode("new.json") & 0o111 == 0);
}

#[test]
fn the_pdf_goes_to_standard_output_and_everything_else_to_standard_error() {
    let shop = Shop::open();
    shop.write("job.json", JOB.as_bytes());
    shop.run("batch job.json --out pack.pdf").succeeds();
    let mut command = Command::new(PROGRAM);
    command
        .args(["batch", "job.json", "--out", "-"])
        .current_dir(shop.folder());
    let output = command.output().expect("the program starts");
    let err = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{err}");
    assert!(output.stdout == shop.read("pack.pdf"));
    assert!(
        err.contains("wrote standard output (") && err.contains("Print at 100 %"),
        "{err}"
    );
    assert_eq!(shop.files(), ["job.json", "pack.pdf"]);
    // Two files can't both go there.
    let twice = shop.run("batch job.json --out - --report -");
    assert!(
        twice.code() == 2 && twice.err().contains("two files can't have one name"),
        "{}",
        twice.err()
    );
}

#[test]
fn two_runs_into_one_file_leave_one_of_the_two_whole() {
    let shop = Shop::open();
    let jobs = [
        ("one.json", JOB),
        ("two.json", include_str!("../templates/plate-frame.json")),
    ];
    let packs = jobs.map(|(name, job)| {
        shop.write(name, job.as_bytes());
        assert!(
            batch(shop.folder(), name)
                .status()
                .expect("the program starts")
                .success()
        );
        shop.read("pack.pdf")
    });
    assert!(packs[0] != packs[1]);
    for _ in 0..6 {
        let runs = jobs.map(|(name, _)| batch(shop.folder(), name).spawn().expect("the program starts"));
        for mut run in runs {
            assert!(run.wait().expect("a child").success());
        }
        assert!(packs.contains(&shop.read("pack.pdf")));
        assert_eq!(shop.files(), ["one.json", "pack.pdf", "two.json"]);
    }
}

#[test]
fn a_job_gives_the_same_bytes_on_two_runs() {
    let packs = [(), ()].map(|()| {
        let shop = Shop::open();
        shop.write("job.json", JOB.as_bytes());
        shop.run("batch job.json --out a.pdf --svg a.svg --dxf a.dxf --report a.json --cut-list a.csv --split kinds")
            .succeeds();
        let mut bytes: Vec<Vec<u8>> = ["a.pdf", "a.svg", "a.dxf", "a.json", "a.csv"]
            .map(|name| shop.read(name))
            .to_vec();
        let mut kinds: Vec<_> = fs::read_dir(shop.path("kinds"))
            .expect("a folder")
            .map(|kind| kind.expect("a file").path())
            .collect();
        kinds.sort();
        bytes.extend(kinds.iter().map(|kind| fs::read(kind).expect("a file")));
        bytes
    });
    assert!(packs[0].len() >= 6 && packs[0].iter().all(|bytes| bytes.len() > 100));
    assert!(packs[0] == packs[1]);
}
