//! Each command says the same in every process: nothing hangs on the order of a hash.

use std::io::Write;
use std::process::{Command, Stdio};

use crate::bench::{Folder, scant};

/// Names close to each other, in faults, in advice and in the working.
const RECIPE: &str = "recipe \"Harbour\"\nlinen = cloth(\"linen\", width: 54 in, selvage: 0 in)\nhema = 1 in\nhemb = 2 in\nhemc = 3 in\n\
    hemd = 4 in\nheme = 5 in\ngiven tier_one = 1 from 1 to 9\ngiven tier_two = 2\ngiven tier_three = 3\n\
    rule fold(a) = a + hema\nrule press(a) = fold(a) + hemb\nrule turn(a) = press(a) + hemc\n\
    show \"sum\": turn(hemd) + heme * tier_one / tier_two\nstep \"Mark tier_on lines, hem_a wide, {heme}.\"\n\
    cut tier_three \"panel\" from linen: hema by hemb\nmeasured hema = 1 1/8 in\nfind s from 0 in to 9 in so that 2 * s is 3 in\n\
    sizes\n  \"small\" tier_one = 2\n  \"large\" tier_one = 3\n";

const FAULTY: &str = "hema = 1 in\nhemb = 2 in\nhemc = 3 in\nhemd = 4 in\nheme = 5 in\nmeasured hemx = 3 in\nshow hemx\n\
    rule fold(a: length) = a + 1\nrule press(a: length) = a + 2\nrule turn(a: length) = hemx + a\nfolb(3 in)\npresz(2 in)\n";

/// What the prompt says to some rows.
fn prompt(folder: &Folder, rows: &str) -> String {
    let mut child = Command::new(env!("CARGO_BIN_EXE_scant"))
        .current_dir(folder.path())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(rows.as_bytes()).unwrap();
    let done = child.wait_with_output().unwrap();
    String::from_utf8_lossy(&done.stdout).into_owned() + &String::from_utf8_lossy(&done.stderr)
}

#[test]
fn every_command_says_the_same_in_two_processes() {
    let folder = Folder::new();
    folder.write("good.scant", RECIPE);
    folder.write("bad.scant", FAULTY);
    folder.write("sizes.csv", "size,tier_one,tier_two\nsmall,1,2\nlarge,2,3\n");
    let commands: &[&[&str]] = &[
        &["run", "good.scant"],
        &["run", "good.scant", "--why", "--as", "json"],
        &["run", "good.scant", "--set", "tier_on=3"],
        &["run", "bad.scant"],
        &["check", "good.scant"],
        &["check", "bad.scant"],
        &["why", "good.scant", "hemx"],
        &["grade", "good.scant", "--sizes", "sizes.csv"],
        &["grade", "good.scant", "--own"],
        &["help", "binding"],
        &["help", "hemmed_sze"],
    ];
    for command in commands {
        let said = || {
            let done = scant(folder.path(), command);
            (done.status, done.out, done.err)
        };
        let first = said();
        for _ in 0..3 {
            assert_eq!(said(), first, "{command:?}");
        }
    }
    let rows = format!(
        "{FAULTY}{RECIPE}edge = turn(hemd)\nrim = hema + hemb\nnames\nrules\nhemx\nwhy rim\nhema = 2 in\nrule fold(a) = a\nundo\n"
    );
    let first = prompt(&folder, &rows);
    assert!(first.contains("did you mean") && first.contains("are not changed"), "{first}");
    for _ in 0..3 {
        assert_eq!(prompt(&folder, &rows), first);
    }
}
