//! Inputs that ask for too much end inside the limits, under 1 GiB of address space and a few seconds of
//! processor time, with a fault, a place and the right status.
#![cfg(unix)]

use std::io::Write;
use std::process::{Command, Stdio};

use crate::bench::{Done, Folder, tests, wait};

/// Seconds of processor time, in every build.
const SECONDS: u32 = 5;

/// Runs the program inside those bounds.
fn bounded(folder: &Folder, args: &str, entered: &[u8]) -> Done {
    within(1 << 20, folder, args, entered)
}

/// Runs the program in so many KiB of address space.
fn within(room: u32, folder: &Folder, args: &str, entered: &[u8]) -> Done {
    let script =
        format!("ulimit -v {room} && ulimit -t {SECONDS} && exec {} {args}", env!("CARGO_BIN_EXE_scant"));
    let mut child = Command::new("sh")
        .args(["-c", &script])
        .current_dir(folder.path())
        .env("XDG_STATE_HOME", folder.path().join("state"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut rows = child.stdin.take().unwrap();
    let entered = entered.to_vec();
    let writer = std::thread::spawn(move || drop(rows.write_all(&entered)));
    let done = wait(child);
    writer.join().unwrap();
    done
}

fn hostile(name: &str) -> String {
    std::fs::read_to_string(tests().join("hostile").join(name)).unwrap()
}

/// A recipe that must be refused for one of the limits that an option changes, at this place.
fn too_much(text: &str, place: &str, limit: &str) {
    let folder = Folder::new();
    folder.write("stranger.scant", text);
    let done = bounded(&folder, "run stranger.scant", b"");
    let start: String = done.err.chars().take(900).collect();
    assert_eq!(done.status, 2, "{start}");
    assert!(done.err.contains("error[too-much]"), "{start}");
    assert!(done.err.contains(&format!("stranger.scant:{place}")), "{start}");
    assert!(done.err.contains(&format!("`--limit {limit}=COUNT`")), "{start}");
    assert!(done.out.is_empty());
}

#[test]
fn sums_of_long_numbers_count_as_much_as_they_take() {
    too_much(&hostile("huge_number_work.scant"), "2:", "work");
    too_much("n = 3^9000\nx = each k from 1 to 200000: n + k\n", "2:", "work");
    too_much("n = 3^9000\nshow sum(each k from 1 to 300000: n)\n", "2:", "items");
    too_much(
        "n = 3^9000\nxs = each k from 1 to 9000: n\nshow sum(each k from 1 to 9000: sum(xs))\n",
        "3:",
        "work",
    );
}

#[test]
fn what_is_shown_counts_by_its_length() {
    too_much(&hostile("list_oom.scant"), "3:", "items");
    let doubling = "rule d(t, n) = if n is 0 then t else d(\"{t}{t}\", n - 1)\nx = d(\"ab\", 20)\n";
    too_much(&format!("{doubling}y = each k from 1 to 900: x\nstep \"{{y}}\"\n"), "3:", "items");
    too_much(&format!("{doubling}y = each k from 1 to 90: \"{{x}}{{k}}\"\n"), "3:", "text");
    too_much(&format!("{doubling}{}", "show x\n".repeat(40)), "33:", "items");
    too_much("show each k from 1 to 1000000: {n: k, at: k * 1/8 in, left: 9 in}\n", "1:", "items");
}

#[test]
fn a_limit_that_is_raised_is_raised() {
    let folder = Folder::new();
    folder.write("long.scant", "show count(each k from 1 to 600000: k + (1 + 1))\n");
    assert_eq!(bounded(&folder, "run long.scant", b"").status, 0);
    assert_eq!(bounded(&folder, "run long.scant --limit work=100000", b"").status, 2);
    assert_eq!(bounded(&folder, "run long.scant --limit items=100000", b"").status, 2);
    let done = bounded(&folder, "run long.scant --limit digits=3", b"");
    assert!(done.status == 2 && done.err.contains("must name a limit"), "{}", done.err);
    let page = bounded(&folder, "help limits", b"").out;
    assert!(page.contains("* work: 50000000 steps") && page.contains("  row: 1048576 bytes"), "{page}");
}

#[test]
fn checks_of_many_unknowns_end() {
    let folder = Folder::new();
    for name in ["stack_overflow.scant", "check_hangs.scant"] {
        folder.write(name, hostile(name));
        for command in ["check", "run"] {
            assert_eq!(bounded(&folder, &format!("{command} {name}"), b"").status, 0, "{command} {name}");
        }
        let rule = hostile(name).lines().next().unwrap().to_owned();
        let done = bounded(&folder, "", format!("{rule}\n1 in + 1 in\n").as_bytes());
        assert!(done.status == 0 && done.out.ends_with("2 in\n"), "{}", done.out);
    }
}

#[test]
fn thousands_of_mistakes_cost_in_proportion_and_are_told_briefly() {
    let folder = Folder::new();
    let unknown: String = (0..10_000).map(|at| format!("a{at} = nowhere{at} + 1 in\n")).collect();
    folder.write("unknown.scant", unknown);
    let done = bounded(&folder, "run unknown.scant", b"");
    assert_eq!(done.status, 2);
    assert_eq!(done.err.matches("error[unknown-name]").count(), 50);
    assert!(done.err.contains("9950 more mistakes of unknown.scant are not shown here"), "{}", done.err);
    assert!(done.err.len() < 20_000);
    let sizes: String = (0..20_000).map(|at| format!("  \"s{at}\" w = {} in\n", at % 50 + 1)).collect();
    folder.write("sizes.scant", format!("given w = 3 in\nshow w\nsizes\n{sizes}"));
    assert_eq!(bounded(&folder, "check sizes.scant", b"").status, 0);
}

#[test]
fn a_recipe_is_no_longer_than_its_limit_with_all_that_it_uses() {
    let folder = Folder::new();
    folder.write("long.scant", "# linen\n".repeat(300_000));
    let done = bounded(&folder, "run long.scant", b"");
    assert!(done.status == 2 && done.err.contains("it is longer than 2 MiB"), "{}", done.err);
    folder.write("half.scant", "# linen\n".repeat(150_000));
    folder.write("other.scant", "# linen\n".repeat(150_000));
    folder.write("uses.scant", "use \"half.scant\"\nuse \"other.scant\"\n");
    let done = bounded(&folder, "run uses.scant", b"");
    assert!(
        done.status == 2 && done.err.contains("uses.scant:2:5") && done.err.contains("2 MiB"),
        "{}",
        done.err
    );
}

#[test]
fn a_row_without_end_at_the_prompt_is_refused() {
    let folder = Folder::new();
    let done = bounded(&folder, "", &[b"1 + ".repeat(8 << 20), b"\n3 in\n".to_vec()].concat());
    assert_eq!(done.status, 1, "{}", done.err);
    assert!(done.out.contains("longer than 64 KiB") && done.out.ends_with("3 in\n"));
}

#[test]
fn names_that_are_nearly_spelled_alike_cost_little() {
    let folder = Folder::new();
    let mut near: String = (0..10_000).map(|at| format!("binding_width_number{at} = {at} in\n")).collect();
    near.extend((0..10_000).map(|at| format!("b{at} = binding_width_numbr{at} + 1 in\n")));
    folder.write("near.scant", near);
    let done = bounded(&folder, "run near.scant", b"");
    assert_eq!(done.status, 2);
    assert!(done.err.contains("did you mean `binding_width_number0`?"), "{}", done.err);
}

#[test]
fn what_a_prompt_keeps_of_a_stranger_s_file_has_an_end() {
    let folder = Folder::new();
    let names: String = (0..20_000).map(|at| format!("v{at} = {at} in\n")).collect();
    folder.write("names.scant", &names);
    let again = b"load names.scant\nload names.scant\nsave again.scant\n";
    assert!(bounded(&folder, "", again).out.ends_with("`scant run again.scant` makes it\n"));
    let all: String = (1..30_000).map(|at| format!("v{at} = v0 + 1 in\n")).collect();
    folder.write("measured.scant", format!("v0 = 1 in\n{all}{}", "measured v0 = 2 in\n".repeat(5_000)));
    let done = within(400 << 10, &folder, "", b"load measured.scant\n3 in\n");
    assert!(done.out.contains("error[too-much]") && done.out.ends_with("3 in\n"), "{}", done.out);
    folder.write("asked.scant", format!("{names}{}", "why v1\n".repeat(9_000)));
    let done = bounded(&folder, "", b"load asked.scant\n3 in\n");
    assert!(done.out.contains("error[too-much]") && done.out.ends_with("3 in\n"), "{}", done.out);
}

#[test]
fn the_working_of_a_large_value_takes_little_memory() {
    let folder = Folder::new();
    let doubled = "rule r(x, n: count) = if n is 0 then x else r({a: x, b: x}, n - 1)\n";
    folder.write("doubled.scant", format!("{doubled}x = r(1 in, 18)\n"));
    let done = within(600 << 10, &folder, "why doubled.scant x", b"");
    assert_eq!(done.status, 0, "{}", done.err);
    assert!(done.out.contains("is not shown") || done.out.contains("more"), "{}", done.out);
}

#[test]
fn the_working_of_loops_in_loops_takes_little_memory() {
    let folder = Folder::new();
    let loops: String = (0..10).map(|at| format!("each k{at} from 1 to 3: ")).collect();
    let names: Vec<String> = (0..10).map(|at| format!("k{at}")).collect();
    folder.write("loops.scant", format!("x = {loops}{}\n", names.join(" + ")));
    let done = within(120 << 10, &folder, "why loops.scant x", b"");
    assert_eq!(done.status, 0, "{}", done.err);
    assert!(done.out.contains("with k0 = 1") && done.out.contains("There is more working"), "{}", done.out);
}

/// What a document takes in memory is counted, whatever its format, and a book's dockets with it.
#[test]
fn documents_are_refused_before_they_fill_the_memory() {
    let folder = Folder::new();
    folder.write("rows.scant", "show \"all\": each k from 1 to 150000: {a: k * 1 mm, b: k}\n");
    folder.write("list.scant", "show \"all\": each k from 1 to 150000: k * 1 mm\n");
    folder
        .write("sized.scant", "given n = 1\nshow \"all\": each k from 1 to 1000: {a: k * n * 1 mm, b: k}\n");
    let sizes: String = (1..=100).map(|n| format!("S{n},{n}\n")).collect();
    folder.write("sizes.csv", format!("size,n\n{sizes}"));
    for (args, most) in [
        ("run rows.scant --as pdf", 210_000_000),
        ("run list.scant --as xlsx", 210_000_000),
        ("grade sized.scant --sizes sizes.csv --as html", 10_000_000),
        ("grade sized.scant --sizes sizes.csv --as md", 10_000_000),
        ("grade sized.scant --sizes sizes.csv --as xlsx", 10_000_000),
        ("grade sized.scant --sizes sizes.csv --as pdf", 10_000_000),
    ] {
        let done = within(400 << 10, &folder, &format!("{args} --out made --limit document={most}"), b"");
        assert_eq!(done.status, 2, "{args}: {}", done.err);
        assert_eq!(
            done.err,
            format!(
                "error[too-much]: this document would take more than {most} bytes of memory\n = help: make \
                 several documents of it\n = help: the limit is {most}; `--limit document=COUNT` changes it, \
                 `scant help limits` says why it is there\n"
            ),
            "{args}"
        );
        assert!(!folder.path().join("made").exists(), "{args}");
    }
    // Raised, the limit lets it through; the same rows one by one need no such limit.
    for args in [
        "run list.scant --as xlsx --out made --limit document=900000000",
        "grade sized.scant --sizes sizes.csv --as csv --out table.csv --limit document=1000",
    ] {
        let done = within(2 << 20, &folder, args, b"");
        assert_eq!(done.status, 0, "{args}: {}", done.err);
    }
}

/// All texts together are no longer than what is set on pages in the time that a stranger's recipe has.
#[test]
fn texts_end_before_their_pages_take_long() {
    let long = "word ".repeat(1000);
    too_much(&format!("x = \"{long}\"\n{}", "note \"{x}\"\n".repeat(3000)), "1260:", "text");
}
