//! `scant work`: a sum and its settings, in whatever quotes.

use crate::bench::{Folder, scant};

fn said(args: &[&str]) -> (i32, String) {
    let folder = Folder::new();
    let done = scant(folder.path(), args);
    (done.status, done.out + &done.err)
}

#[test]
fn settings_are_taken_with_and_without_quotes() {
    for args in [
        &["work", "--seam", "1/4", "in", "3 * seam"][..],
        &["work", "--seam", "1/4 in", "3 * seam"],
        &["work", "--seam=1/4 in", "3 * seam"],
        &["work", "3 * seam", "--seam", "1/4", "in"],
        &["work", "--seam", "1/4\"", "3", "*", "seam"],
        &["--quiet", "work", "--seam", "1/4in", "seam * 3"],
    ] {
        assert_eq!(said(args), (0, "3/4 in\n".into()), "{args:?}");
    }
    let shop = ["work", "--shop", "10", "cm", "62.5 cm up shop"];
    assert_eq!(said(&shop), (0, "70 cm\n".into()));
    let all = ["work", "--ruler", "1/16", "in", "--seam", "1/4", "in", "--shop", "1/8", "yd", "seam / 4"];
    assert_eq!(said(&all), (0, "1/16 in\n".into()));
    assert_eq!(said(&["work", "-3 in"]), (0, "-3 in\n".into()));
}

#[test]
fn what_is_no_setting_is_told_in_a_clear_word() {
    for (args, words) in [
        (
            &["work", "--seam", "5", "3 * seam"][..],
            "error[bad-command]: `--seam 5`: write a seam allowance such as `1/4 in` here; this is a number, 5\n = help: \
             write it as `--seam 1/4 in`\n",
        ),
        (
            &["work", "--seam", "-1", "in", "seam"],
            "error[bad-command]: `--seam -1 in`: a seam allowance such as `1/4 in` cannot be less than 0\n = help: write \
             it as `--seam 1/4 in`\n",
        ),
        (
            &["work", "--shop", "wide", "1 in"],
            "error[bad-command]: `--shop wide`: nothing here is called `wide`\n = help: write it as `--shop 10 cm`\n",
        ),
    ] {
        assert_eq!(said(args), (2, words.to_owned()), "{args:?}");
    }
    // The shell put the names of files in place of `*`.
    let (status, told) = said(&["work", "6", "a.txt", "b.txt", "3/4", "in"]);
    assert!(status == 2 && told.contains("put the whole sum in quotes"), "{told}");
    let (status, told) = said(&["work"]);
    assert!(status == 2 && told.contains("there is nothing to calculate"), "{told}");
    let (status, told) = said(&["work", "1 in +", "--errors", "json"]);
    assert!(status == 2 && told.starts_with("{\"code\""), "{told}");
}
