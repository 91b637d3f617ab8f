//! Files that are written: only ordinary ones are replaced, nothing that is read is lost, and no half
//! file is left.
#![cfg(unix)]

use std::fs;
use std::io::{Read, Write};
use std::os::unix::fs::{FileTypeExt, MetadataExt, PermissionsExt, symlink};
use std::process::Stdio;
use std::time::{Duration, Instant};

use crate::bench::{Done, Folder, prompt, scant, start_prompt, wait, with_signals};

const RUNNER: &str = "given wide = 14 in\nshow wide\n";

fn loft() -> Folder {
    let folder = Folder::new();
    folder.write("runner.scant", RUNNER);
    folder.write("house.scant", "hem = 1 in\n");
    folder.write("using.scant", "use \"house.scant\"\nshow hem\n");
    folder.write("sizes.csv", "wide\n14 in\n");
    folder
}

fn refused(folder: &Folder, args: &[&str], why: &str) {
    let before = folder.names();
    let done = scant(folder.path(), args);
    assert_eq!(done.status, 2, "{args:?}");
    assert!(done.err.contains("error[bad-file]") && done.err.contains(why), "{args:?}: {}", done.err);
    assert_eq!(folder.names(), before, "{args:?}");
}

#[test]
fn what_a_command_reads_is_not_replaced() {
    let folder = loft();
    let reads = "this command reads it";
    refused(&folder, &["run", "runner.scant", "--out", "runner.scant"], reads);
    refused(&folder, &["run", "runner.scant", "--out", "./runner.scant"], reads);
    refused(&folder, &["run", "using.scant", "--out", "house.scant"], reads);
    refused(&folder, &["grade", "runner.scant", "--sizes", "sizes.csv", "--out", "sizes.csv"], reads);
    refused(&folder, &["grade", "runner.scant", "--sizes", "sizes.csv", "--out", "runner.scant"], reads);
    symlink("runner.scant", folder.path().join("link.scant")).unwrap();
    refused(&folder, &["run", "runner.scant", "--out", "link.scant"], reads);
    refused(&folder, &["run", "link.scant", "--out", "runner.scant"], reads);
    assert_eq!(folder.read("runner.scant"), RUNNER);
    assert_eq!(folder.read("sizes.csv"), "wide\n14 in\n");
}

#[test]
fn a_replaced_file_keeps_its_mode_and_a_link_its_place() {
    let folder = loft();
    let path = folder.write("docket.txt", "old\n");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o600)).unwrap();
    symlink("docket.txt", folder.path().join("latest.txt")).unwrap();
    assert_eq!(scant(folder.path(), &["run", "runner.scant", "--out", "latest.txt"]).status, 0);
    assert!(fs::symlink_metadata(folder.path().join("latest.txt")).unwrap().is_symlink());
    assert!(folder.read("docket.txt").contains("14 in"));
    assert_eq!(fs::metadata(&path).unwrap().mode() & 0o777, 0o600);
    let fresh = scant(folder.path(), &["run", "runner.scant", "--out", "fresh.txt"]);
    assert_eq!(fresh.status, 0);
    let other = folder.write("other.txt", "");
    let mode = |path: &std::path::Path| fs::metadata(path).unwrap().mode() & 0o777;
    assert_eq!(mode(&folder.path().join("fresh.txt")), mode(&other), "a new file is made as any other");
}

#[test]
fn what_should_stay_as_it_is_stays() {
    let folder = loft();
    let path = folder.write("kept.txt", "old\n");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).unwrap();
    refused(&folder, &["run", "runner.scant", "--out", "kept.txt"], "it is read-only");
    folder.write("two.txt", "old\n");
    fs::hard_link(folder.path().join("two.txt"), folder.path().join("names.txt")).unwrap();
    refused(&folder, &["run", "runner.scant", "--out", "two.txt"], "second name");
    symlink("nowhere.txt", folder.path().join("dangling.txt")).unwrap();
    refused(&folder, &["run", "runner.scant", "--out", "dangling.txt"], "a link to a file that is not there");
    refused(&folder, &["run", "runner.scant", "--out", "new/"], "names a folder");
    assert_eq!((folder.read("kept.txt"), folder.read("two.txt")), ("old\n".into(), "old\n".into()));
}

fn pipe(folder: &Folder, name: &str) -> std::path::PathBuf {
    let path = folder.path().join(name);
    assert!(std::process::Command::new("mkfifo").arg(&path).status().unwrap().success());
    path
}

#[test]
fn pipes_and_devices_are_written_through() {
    let folder = loft();
    let path = pipe(&folder, "pipe");
    let reader = std::thread::spawn(move || {
        let mut text = String::new();
        fs::File::open(path).unwrap().read_to_string(&mut text).unwrap();
        text
    });
    let done = scant(folder.path(), &["run", "runner.scant", "--out", "pipe"]);
    assert_eq!((done.status, done.err.as_str()), (0, ""));
    assert!(reader.join().unwrap().contains("14 in"));
    assert!(fs::metadata(folder.path().join("pipe")).unwrap().file_type().is_fifo());
    let done = scant(folder.path(), &["run", "runner.scant", "--out", "/dev/null"]);
    assert_eq!((done.status, done.err.as_str()), (0, ""));
    assert!(fs::metadata("/dev/null").unwrap().file_type().is_char_device());
}

#[test]
fn a_used_file_is_an_ordinary_one() {
    let folder = loft();
    pipe(&folder, "pipe.scant");
    for (used, why) in [("pipe.scant", "a pipe or a device"), ("house.scant/", "names a folder")] {
        folder.write("stranger.scant", format!("use \"{used}\"\n"));
        let done = scant(folder.path(), &["run", "stranger.scant"]);
        assert_eq!(done.status, 2);
        assert!(done.err.contains("error[bad-use]") && done.err.contains(why), "{}", done.err);
    }
    let done = prompt(&folder, "load pipe.scant\n");
    assert!(done.out.contains("not loaded: it is a pipe or a device"), "{}", done.out);
}

/// Sends a signal to a program that writes rows and waits for more.
fn ended_by(signal: &str, folder: &Folder) -> (Done, Duration) {
    let table = pipe(folder, &format!("{signal}.csv"));
    let args = ["grade", "runner.scant", "--sizes", table.to_str().unwrap(), "--out", "rows.txt"];
    let child = with_signals(folder.path(), &args).spawn().unwrap();
    let mut rows = fs::File::options().write(true).open(&table).unwrap();
    rows.write_all(b"wide\n14 in\n").unwrap();
    let start = Instant::now();
    while !folder.names().iter().any(|name| name.ends_with(".part")) {
        assert!(start.elapsed() < Duration::from_secs(20), "a file is begun");
        std::thread::sleep(Duration::from_millis(5));
    }
    let start = Instant::now();
    let id = child.id().to_string();
    assert!(
        std::process::Command::new("kill").args([&format!("-{signal}"), &id]).status().unwrap().success()
    );
    let done = wait(child);
    (done, start.elapsed())
}

#[test]
fn a_signal_leaves_no_part_of_a_file() {
    for signal in ["TERM", "HUP", "INT"] {
        let folder = loft();
        let (done, took) = ended_by(signal, &folder);
        assert_ne!(done.status, 0);
        assert!(took < Duration::from_secs(2), "{signal} ends a program that waits for a pipe: {took:?}");
        let left = folder.names();
        assert!(!left.iter().any(|name| name.ends_with(".part") || name == "rows.txt"), "{left:?}");
        assert_eq!(done.err.contains("error[stopped]"), signal == "INT", "{}", done.err);
    }
}

#[test]
fn a_file_that_the_prompt_did_not_write_is_replaced_only_when_asked_again() {
    let folder = loft();
    let done = prompt(&folder, "x = 1 in\nsave runner.scant\nsave mine.scant\ny = 2 in\nsave mine.scant\n");
    assert!(done.out.contains("not saved: `runner.scant` is there already; `save runner.scant again`"));
    assert_eq!(done.out.matches("saved to mine.scant").count(), 2, "{}", done.out);
    assert_eq!(folder.read("runner.scant"), RUNNER);
    assert!(folder.read("mine.scant").contains("y = 2 in"));
    let done = prompt(&folder, "x = 1 in\nload no.scant\nsave runner.scant again\n");
    assert!(done.out.contains("saved to runner.scant;"), "{}", done.out);
    assert!(folder.read("runner.scant").contains("x = 1 in"));
}

#[test]
fn a_failed_check_is_told_beside_a_file() {
    let folder = loft();
    folder.write("narrow.scant", "given wide = 24 in\ncheck wide <= 20 in: \"too wide\"\n");
    let done = scant(folder.path(), &["run", "narrow.scant", "--out", "docket.txt"]);
    assert_eq!(done.status, 1);
    assert_eq!(done.err, "error[check-failed]: too wide (24 in against 20 in; line 2)\n");
}

#[test]
fn a_pipe_whose_entry_failed_ends_with_status_1() {
    let folder = Folder::new();
    for (rows, status) in [
        ("1 in\nquit\n", 0),
        ("1 in\n1 in + 1\n2 in\n", 1),
        ("check 1 in > 2 in\n2 in\n", 1),
        ("check 1 in < 2 in\nhelp nothing\n", 0),
        ("load nowhere.scant\n", 1),
        ("save nowhere/a.scant\n", 1),
        ("undo\n", 1),
        ("1 in + 1\n(1 in +", 2),
    ] {
        assert_eq!(prompt(&folder, rows).status, status, "{rows}");
    }
}

#[test]
fn entries_that_are_no_entries_are_refused_and_the_prompt_goes_on() {
    let folder = Folder::new();
    let done = prompt(&folder, b"1 in\n2 \xff in\n3 in\n");
    assert_eq!(done.status, 1);
    assert!(done.out.contains("1 in\n") && done.out.ends_with("3 in\n"), "{}", done.out);
    assert!(done.out.contains("this entry is not UTF-8 text"), "{}", done.out);
    let long = [vec![b'1'; 3 << 20], b"\n3 in\n".to_vec()].concat();
    let done = prompt(&folder, long);
    assert!(done.out.contains("longer than 64 KiB") && done.out.ends_with("3 in\n"), "{}", done.out);
}

#[test]
fn an_entry_that_the_end_of_input_cuts_off_is_a_fault() {
    let folder = Folder::new();
    let done = prompt(&folder, "1 in\nx = (1 +\n");
    assert_eq!(done.status, 2);
    assert!(done.out.contains("error[unfinished]"), "{}", done.out);
}

#[test]
fn what_a_killed_session_worked_is_offered_again() {
    let folder = Folder::new();
    let mut child = start_prompt(&folder);
    let mut rows = child.stdin.take().unwrap();
    rows.write_all(b"hem = 1 in\nwrong = hem + 2\nwide = [hem,\n2 in]\nhem = 3 in\nundo\n").unwrap();
    let kept = || fs::read_dir(folder.path().join("state/scant/sessions")).ok()?.flatten().next();
    let start = Instant::now();
    while !kept().is_some_and(|file| fs::read_to_string(file.path()).unwrap().contains("undo")) {
        assert!(start.elapsed() < Duration::from_secs(20), "entries are kept");
        std::thread::sleep(Duration::from_millis(5));
    }
    child.kill().unwrap();
    wait(child);
    drop(rows);
    let done = prompt(&folder, "resume\nhem\nwide\n");
    assert!(done.out.contains("The last time, 4 entries did not end with `quit`; `resume`"), "{}", done.out);
    assert!(
        done.out.contains("entered again; `names`") && done.out.contains("\n1 in\n[1 in, 2 in]\n"),
        "{}",
        done.out
    );
    assert!(!prompt(&folder, "hem\n").out.contains("resume"), "it is offered once");
}

#[test]
fn the_history_of_two_prompts_is_that_of_both() {
    let folder = Folder::new();
    let mut first = start_prompt(&folder);
    let mut rows = first.stdin.take().unwrap();
    rows.write_all(b"1 in\n").unwrap();
    prompt(&folder, "2 in\n");
    rows.write_all(b"3 in\n").unwrap();
    drop(rows);
    wait(first);
    let text = folder.read("state/scant/history");
    let mut lines: Vec<&str> = text.lines().collect();
    lines.sort_unstable();
    assert_eq!(lines, ["1 in", "2 in", "3 in"]);
}

#[test]
fn an_idle_prompt_at_a_pipe_is_ended_by_ctrl_c() {
    let folder = Folder::new();
    let mut child = start_prompt(&folder);
    let mut out = child.stdout.take().unwrap();
    let mut first = [0; 5];
    out.read_exact(&mut first).unwrap();
    let rows = child.stdin.take();
    std::process::Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
    let start = Instant::now();
    child.stdout = Some(out);
    child.stderr.get_or_insert_with(|| unreachable!("it is piped"));
    wait(child);
    assert!(start.elapsed() < Duration::from_secs(2));
    drop(rows);
}

#[test]
fn ctrl_c_in_an_entry_of_a_pipe_ends_the_rest_of_it_too() {
    let folder = Folder::new();
    let mut child = start_prompt(&folder);
    let mut rows = child.stdin.take().unwrap();
    rows.write_all(b"7 in\nsum(each k from 1 to 900000: floor(k / 7))\n\"the next one\"\n").unwrap();
    let mut out = child.stdout.take().unwrap();
    let mut said = String::new();
    while !said.contains("7 in") {
        let mut byte = [0];
        out.read_exact(&mut byte).unwrap();
        said.push(char::from(byte[0]));
    }
    std::thread::sleep(Duration::from_millis(100));
    std::process::Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
    child.stdout = Some(out);
    // The pipe stays open: nothing but the signal ends the program.
    let done = wait(child);
    drop(rows);
    assert_eq!(done.status, 1);
    assert!(done.out.contains("stopped") || done.err.contains("stopped"), "{} {}", done.out, done.err);
    assert!(!done.out.contains("the next one"), "{}", done.out);
}

/// A program that is started by `nohup` outlives the terminal.
#[test]
fn a_signal_that_is_ignored_at_the_start_stays_ignored() {
    let folder = loft();
    let table = pipe(&folder, "slow.csv");
    let mut command = std::process::Command::new("sh");
    command.current_dir(folder.path()).args([
        "-c",
        &format!(
            "trap '' HUP; exec {} grade runner.scant --sizes slow.csv --out rows.txt",
            env!("CARGO_BIN_EXE_scant")
        ),
    ]);
    let child = command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let mut rows = fs::File::options().write(true).open(&table).unwrap();
    rows.write_all(b"wide\n").unwrap();
    std::thread::sleep(Duration::from_millis(300));
    std::process::Command::new("kill").args(["-HUP", &child.id().to_string()]).status().unwrap();
    std::thread::sleep(Duration::from_millis(100));
    rows.write_all(b"14 in\n").unwrap();
    drop(rows);
    assert_eq!(wait(child).status, 0);
    assert!(folder.read("rows.txt").contains("14 in"));
}
