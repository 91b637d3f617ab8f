//! Texts that no honest person writes: each is refused in bounded time, with its place, and nothing ends
//! abruptly.

use std::process::Stdio;

use crate::bench::{Folder, command, scant, wait};

/// Runs a recipe that must be refused for this reason.
fn refused(text: impl AsRef<[u8]>, code: &str) {
    let folder = Folder::new();
    folder.write("stranger.scant", text);
    let done = scant(folder.path(), &["run", "stranger.scant"]);
    let start: String = done.err.chars().take(600).collect();
    assert_eq!(done.status, 2, "{start}");
    assert!(done.err.contains(&format!("error[{code}]")), "{code} is wanted: {start}");
    assert!(done.err.contains("stranger.scant:") || code == "bad-file", "it names the place: {start}");
    assert!(done.err.len() < 20_000, "the complaint is {} bytes long", done.err.len());
    assert!(done.out.is_empty());
}

#[test]
fn brackets_100_000_deep() {
    refused(format!("n = {}1{}\n", "(".repeat(100_000), ")".repeat(100_000)), "too-deep");
    refused(format!("n = {}\n", "[".repeat(100_000)), "too-deep");
    refused(format!("step \"{}\"\n", "{\"".repeat(50_000)), "too-deep");
    refused(format!("n = {}\n", "f(".repeat(100_000)), "too-deep");
}

#[test]
fn signs_and_words_100_000_long() {
    refused(format!("n = {}1\n", "-".repeat(100_000)), "too-deep");
    refused(format!("n = {}yes\n", "not ".repeat(100_000)), "too-deep");
    refused(format!("n = {}1\n", "if yes then ".repeat(100_000)), "too-deep");
    refused(format!("n = 2{}\n", "^2".repeat(100_000)), "too-deep");
}

#[test]
fn a_sum_of_half_a_million_terms() {
    refused(format!("n = 1{}\n", " + 1".repeat(500_000)), "too-deep");
}

#[test]
fn a_number_of_a_million_digits() {
    refused(format!("n = {}\n", "7".repeat(1_000_000)), "too-deep");
    refused(format!("n = {}\n", "7".repeat(60_000)), "bad-number");
    refused(format!("n = 1/{}\n", "7".repeat(60_000)), "bad-number");
}

#[test]
fn a_word_of_a_million_letters() {
    refused(format!("n = {}\n", "f".repeat(60_000)), "unknown-name");
    refused(format!("{} = ,\n", "f".repeat(60_000)), "syntax");
}

#[test]
fn squaring_again_and_again() {
    refused(
        "rule grown(n: number, times: count) = if times is 0 then n else grown(n * n, times: times - 1)\nn = grown(3, times: 1000)\n",
        "too-much",
    );
    refused("n = 10 ^ 1000000000\n", "too-much");
    refused("n = (1/3) ^ 999999999999\n", "too-much");
}

const DOUBLED: &str =
    "rule double(x: anything, times: count) = if times is 0 then x else double([x, x], times: times - 1)\n";

#[test]
fn lists_that_double() {
    refused(format!("{DOUBLED}x = double(1 in, times: 100)\nshow x\n"), "too-much");
    refused(format!("{DOUBLED}x = double(1 in, times: 21)\nshow x\nshow x\nshow x\n"), "too-much");
    let many = "check x is y: \"the same\"\n".repeat(200);
    refused(format!("{DOUBLED}x = double(1 in, times: 20)\ny = double(1 in, times: 20)\n{many}"), "too-much");
}

#[test]
fn texts_that_double() {
    refused(
        "rule double(x: text, times: count) = if times is 0 then x else double(\"{x}{x}\", times: times - 1)\nx = double(\"linen\", times: 100)\n",
        "too-much",
    );
    refused(format!("{DOUBLED}x = double(1 in, times: 20)\nstep \"{{x}}{{x}}{{x}}{{x}}\"\n"), "too-much");
}

#[test]
fn loops_in_loops() {
    refused(
        "n = count(each a from 1 to 3000: count(each b from 1 to 3000: count(each c from 1 to 3000: a * b * c)))\n",
        "too-much",
    );
    refused("n = each k from 1 to 1000000000: k\n", "too-much");
    refused("n = 0 in to 1000000000000000000000 yd every 1/1000000 in\n", "too-much");
}

#[test]
fn rules_that_never_end() {
    refused("rule again(n) = again(n)\nn = again(1)\n", "too-much");
    refused("rule one(n) = other(n)\nrule other(n) = one(n)\nn = one(1)\n", "too-much");
    refused("rule again(n = again()) = n\nn = again()\n", "too-much");
}

#[test]
fn what_is_no_text() {
    refused(b"flat = 14 in\nhem = \xff\xfe\n", "bad-file");
    refused(b"\x00\x01\x02", "syntax");
    refused("flat = 14 in\u{202e}\u{0}\u{1b}\n", "syntax");
    let folder = Folder::new();
    folder.write("stranger.scant", "x = \u{1b}[31m\u{7}\n");
    let done = scant(folder.path(), &["run", "stranger.scant"]);
    assert!(!done.err.contains('\u{1b}') && !done.err.contains('\u{7}'), "{:?}", done.err);
}

#[test]
fn an_empty_recipe_makes_nothing() {
    refused("", "bad-file");
    refused("\n\n", "bad-file");
    let folder = Folder::new();
    for text in ["# a comment\n", "# linen\r\n\r\n", "\u{feff}# linen\n"] {
        folder.write("empty.scant", text);
        let done = scant(folder.path(), &["run", "empty.scant"]);
        assert_eq!((done.status, done.err.as_str()), (0, ""), "{text:?}");
    }
}

#[cfg(unix)]
#[test]
fn a_file_that_may_not_be_read() {
    use std::os::unix::fs::PermissionsExt;
    let folder = Folder::new();
    let path = folder.write("closed.scant", "x = 1 in\n");
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o000)).unwrap();
    if std::fs::read(&path).is_ok() {
        // The superuser reads everything.
        return;
    }
    let done = scant(folder.path(), &["run", "closed.scant"]);
    assert_eq!(done.status, 2);
    assert!(done.err.contains("error[bad-file]"), "{}", done.err);
}

#[cfg(unix)]
#[test]
fn a_link_leads_out_of_no_folder() {
    let folder = Folder::new();
    let inside = folder.path().join("inside");
    std::fs::create_dir(&inside).unwrap();
    folder.write("secret.scant", "secret = 1 in\n");
    std::os::unix::fs::symlink(folder.path().join("secret.scant"), inside.join("house.scant")).unwrap();
    std::fs::write(inside.join("stranger.scant"), "use \"house.scant\"\n").unwrap();
    let done = scant(&inside, &["run", "stranger.scant"]);
    assert_eq!(done.status, 2);
    assert!(
        done.err.contains("error[bad-use]") && done.err.contains("outside the recipe's folder"),
        "{}",
        done.err
    );
}

const CHECKED: &str = "given wide = 14 in\nshow wide\ncheck wide <= 20 in: \"too wide\"\n";

#[test]
fn what_stood_there_is_left_alone() {
    let folder = Folder::new();
    folder.write("wrong.scant", "flat = 14 in + hem\n");
    folder.write("runner.scant", CHECKED);
    folder.write("sizes.csv", "wide\n14 in\n");
    folder.write("old.txt", "old words\n");
    let before = folder.names();
    for args in [
        &["run", "wrong.scant", "--out", "old.txt"] as &[&str],
        &["run", "missing.scant", "--out", "old.txt"],
        &["run", "runner.scant", "--set", "wide=2", "--out", "old.txt"],
        &["grade", "wrong.scant", "--sizes", "sizes.csv", "--out", "old.txt"],
        &["grade", "runner.scant", "--sizes", "missing.csv", "--out", "old.txt"],
        &["grade", "runner.scant", "--sizes", "old.txt", "--out", "old.txt"],
    ] {
        let done = scant(folder.path(), args);
        assert_eq!(done.status, 2, "{args:?}: {}", done.err);
        assert_eq!(folder.read("old.txt"), "old words\n", "{args:?}");
        assert_eq!(folder.names(), before, "{args:?}");
    }
}

#[test]
fn what_is_written_is_written_whole() {
    let folder = Folder::new();
    folder.write("runner.scant", CHECKED);
    folder.write("sizes.csv", "size,wide\na,14 in\nb,24 in\nc,12\n");
    let shown = scant(folder.path(), &["grade", "runner.scant", "--sizes", "sizes.csv", "--as", "csv"]);
    let kept = scant(
        folder.path(),
        &["grade", "runner.scant", "--sizes", "sizes.csv", "--as", "csv", "--out", "rows.csv"],
    );
    assert_eq!((shown.status, kept.status), (1, 1), "{}", kept.err);
    assert_eq!(folder.read("rows.csv"), shown.out);
    assert_eq!(shown.out.lines().count(), 4, "every row comes out: {}", shown.out);
    let done = scant(folder.path(), &["run", "runner.scant", "--set", "wide=24 in", "--out", "docket.txt"]);
    assert_eq!(done.status, 1, "a failed check writes its docket all the same");
    assert!(folder.read("docket.txt").contains("too wide"));
    assert_eq!(folder.names(), ["docket.txt", "rows.csv", "runner.scant", "sizes.csv"]);
}

/// `scant … | head -1`: the reader goes away, and the program with it, without a word.
#[test]
fn a_closed_pipe_is_no_fault() {
    let folder = Folder::new();
    folder.write("runner.scant", "given n = 1 from 1 to 1000000\nshow each k from 1 to 200: k * n * 1 in\n");
    let rows: String = (1..5000).map(|n| format!("{n}\n")).collect();
    folder.write("sizes.csv", format!("n\n{rows}"));
    for args in [
        &["grade", "runner.scant", "--sizes", "sizes.csv", "--as", "csv"] as &[&str],
        &["grade", "runner.scant", "--sizes", "sizes.csv", "--as", "json"],
        &["grade", "runner.scant", "--sizes", "sizes.csv"],
        &["run", "runner.scant"],
        &["help"],
    ] {
        let mut child = command(folder.path(), args).stdout(Stdio::piped()).spawn().unwrap();
        drop(child.stdout.take());
        let done = wait(child);
        assert_eq!((done.status, done.err.as_str()), (0, ""), "{args:?}");
    }
}

#[test]
fn rows_by_the_hundred_thousand_with_faults_say_so_briefly() {
    let folder = Folder::new();
    folder.write("runner.scant", "given n = 1 from 1 to 10\nshow n\n");
    let rows: String = (1..=20_000).map(|n| format!("{}\n", n % 12)).collect();
    folder.write("sizes.csv", format!("n\n{rows}"));
    let done = scant(folder.path(), &["grade", "runner.scant", "--sizes", "sizes.csv", "--as", "csv"]);
    assert_eq!(done.status, 1);
    assert_eq!(done.out.lines().count(), 20_001, "no row is lost");
    assert!(done.err.lines().count() < 2_000, "{} lines of complaint", done.err.lines().count());
}
