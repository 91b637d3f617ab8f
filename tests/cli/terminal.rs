//! The prompt at a terminal: what only a person at a keyboard meets.

use std::fs::File;
use std::io::{Read, Write};
use std::process::{Command, Stdio};

use nix::pty::{Winsize, openpty};

use crate::bench::Folder;

/// What is written to a terminal of so many columns by a command with these arguments, with all that colours it.
fn shown(columns: u16, arguments: &[&str], no_colour: bool) -> String {
    let size = Winsize { ws_row: 40, ws_col: columns, ws_xpixel: 0, ws_ypixel: 0 };
    let ends = openpty(Some(&size), None).unwrap();
    let end = || Stdio::from(ends.slave.try_clone().unwrap());
    let mut command = Command::new(env!("CARGO_BIN_EXE_scant"));
    command.args(arguments).env("TERM", "xterm").env_remove("NO_COLOR").env_remove("CI");
    if no_colour {
        command.env("NO_COLOR", "1");
    }
    let mut child = command.stdin(Stdio::null()).stdout(end()).stderr(end()).spawn().unwrap();
    // Whoever holds the other end keeps the terminal open.
    drop((command, ends.slave));
    let (mut screen, mut piece) = (Vec::new(), [0; 4096]);
    let mut terminal = File::from(ends.master);
    while let Ok(read @ 1..) = terminal.read(&mut piece) {
        screen.extend_from_slice(&piece[..read]);
    }
    child.wait().unwrap();
    String::from_utf8(screen).unwrap()
}

#[test]
fn tables_of_sizes_and_dockets_fit_the_terminal_and_stand_out_there() {
    let recipe = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/bunk_cover.scant");
    for columns in [50, 80, 120] {
        for command in ["run", "grade"] {
            let screen = shown(columns, &[command, recipe], false);
            assert!(screen.contains("\u{1b}[1m\u{1b}[33m!! CAUTION"), "{screen}");
            assert!(screen.contains("\u{1b}[1m"), "{screen}");
            let words = plain(&screen);
            assert!(words.lines().all(|line| line.chars().count() <= columns.into()), "{words}");
            let bare = shown(columns, &[command, recipe], true);
            assert_eq!(bare.replace('\r', ""), words, "NO_COLOR");
        }
    }
    let wide = plain(&shown(120, &["grade", recipe], false));
    assert_eq!(wide.matches("finished cover").count(), 1, "three sizes side by side: {wide}");
    let narrow = plain(&shown(50, &["grade", recipe], false));
    assert_eq!(narrow.matches("finished cover").count(), 3, "{narrow}");
}

#[test]
fn help_and_errors_fit_a_narrow_terminal() {
    for arguments in
        [&["help", "run"][..], &["help", "binding_run"], &["run", "no such recipe in this folder.scant"]]
    {
        let words = plain(&shown(50, arguments, true)).replace('\r', "");
        assert!(words.lines().count() > 1, "{words}");
        assert!(words.lines().all(|line| line.chars().count() <= 50), "{arguments:?}: {words}");
    }
}

#[test]
fn dockets_at_the_prompt_fit_the_terminal_and_stand_out_there() {
    let folder = Folder::new();
    folder.write(
        "linen.scant",
        "linen = cloth(\"linen\", width: 54 in, selvage: 1/2 in)\ncut 4 \"napkin\" from linen: 18 in by 18 in\n",
    );
    let (screen, _) = seen(&folder, 50, &[("to end.\n> ", "load linen.scant\rplan linen\rquit\rquit\r")]);
    assert!(screen.contains("\u{1b}[1m\u{1b}[33m!! CAUTION"), "{screen}");
    assert!(screen.contains("\u{1b}[1mCUT (across the cloth by along it)\u{1b}[0m"), "{screen}");
    let docket = plain(&screen);
    let docket = docket.split_once("!! CAUTION").unwrap().1;
    let longest =
        docket.lines().filter(|line| !line.starts_with("> ")).map(|line| line.chars().count()).max();
    assert!(longest.unwrap() <= 50, "{docket}");
}

/// What stands on the terminal after these keys were pressed faster than they are answered, and the exit status.
fn typed(folder: &Folder, keys: &str) -> (String, Option<i32>) {
    typed_after(folder, &[("to end.\n> ", keys)])
}

/// As [`typed`], each time when something is written, the first time when the prompt stands there.
fn typed_after(folder: &Folder, keys: &[(&str, &str)]) -> (String, Option<i32>) {
    let (screen, status) = seen(folder, 80, keys);
    (plain(&screen), status)
}

/// The same on a terminal of so many columns, with all that colours it.
fn seen(folder: &Folder, columns: u16, keys: &[(&str, &str)]) -> (String, Option<i32>) {
    let size = Winsize { ws_row: 40, ws_col: columns, ws_xpixel: 0, ws_ypixel: 0 };
    let ends = openpty(Some(&size), None).unwrap();
    let end = || Stdio::from(ends.slave.try_clone().unwrap());
    let mut child = Command::new(env!("CARGO_BIN_EXE_scant"))
        .current_dir(folder.path())
        .env("XDG_STATE_HOME", folder.path().join("state"))
        .env("HOME", folder.path())
        .env("TERM", "xterm")
        .env_remove("NO_COLOR")
        .stdin(end())
        .stdout(end())
        .stderr(end())
        .spawn()
        .unwrap();
    drop(ends.slave);
    let (mut screen, mut piece) = (Vec::new(), [0; 4096]);
    let mut terminal = File::from(ends.master);
    let mut keys = keys.iter();
    let mut next = keys.next();
    // A terminal whose program has ended gives an error, not an end.
    while let Ok(read @ 1..) = terminal.read(&mut piece) {
        screen.extend_from_slice(&piece[..read]);
        if let Some((awaited, pressed)) = next
            && plain(&String::from_utf8_lossy(&screen)).contains(awaited)
        {
            terminal.write_all(pressed.as_bytes()).unwrap();
            next = keys.next();
        }
    }
    let status = child.wait().unwrap().code();
    (String::from_utf8_lossy(&screen).into_owned(), status)
}

/// What is written, without what moves the cursor and turns colours on.
fn plain(screen: &str) -> String {
    let mut out = String::new();
    let mut letters = screen.chars();
    while let Some(c) = letters.next() {
        match c {
            '\u{1b}' => {
                letters.by_ref().take_while(|c| !c.is_ascii_alphabetic()).for_each(drop);
            }
            '\r' => {}
            c => out.push(c),
        }
    }
    out
}

#[test]
fn rows_that_are_pasted_without_marks_are_all_answered() {
    let folder = Folder::new();
    let rows: String = (1..=60).map(|at| format!("v{at} = {at} in + [1 in,\r 2 in][1]\r")).collect();
    let (screen, _) = typed(&folder, &format!("{rows}sum([v1, v60])\rquit\rquit\r"));
    assert!(screen.contains("\n63 in\n"), "{screen}");
    assert!(!screen.contains("error"), "{screen}");
}

#[test]
fn quit_asks_once_where_names_are_not_saved() {
    let folder = Folder::new();
    let (screen, status) = typed(&folder, "a = 1 in\rb = 2 in\rc = 3 in\rd = 4 in\re = 5 in\rquit\rquit\r");
    let asked = "What you entered is not saved: `a`, `b`, `c` and 2 more.\n\
                 `save NAME` writes it to a file; `quit` again ends without saving.\n";
    assert_eq!(screen.matches(asked).count(), 1, "{screen}");
    assert_eq!(status, Some(0));
    // Ctrl-D asks too.
    let keys = [("to end.\n> ", "rule twice(x) = 2 * x\r\u{4}"), ("without saving.\n> ", "\u{4}")];
    let (screen, _) = typed_after(&folder, &keys);
    assert_eq!(screen.matches("What you entered is not saved: `twice`.").count(), 1, "{screen}");
    // What is in a file is not asked about, and sums are not.
    for keys in ["hem = 1 in\rsave hems\rquit\r", "2 in * 3\rquit\r", "load hems\rquit\r"] {
        let (screen, _) = typed(&folder, keys);
        assert!(!screen.contains("not saved"), "{keys}: {screen}");
    }
    // What was entered after saving is asked about again.
    let (screen, _) = typed(&folder, "hem = 1 in\rsave hems again\rfold = 2 in\rquit\rquit\r");
    assert!(screen.contains("not saved: `fold` and `hem`"), "{screen}");
}

#[test]
fn tab_lists_what_fits() {
    let folder = Folder::new();
    folder.write("harbour.scant", "hem = 1 in\n");
    let (screen, _) = typed(&folder, "size_of = 14 in by 48 in\rsize_of.\tc\t\rload har\t\rquit\rquit\r");
    assert!(screen.contains("across  along"), "{screen}");
    assert!(screen.contains("\n14 in\n"), "{screen}");
    assert!(screen.contains("load harbour.scant"), "{screen}");
    assert!(screen.contains("\n1 in\n"), "{screen}");
}
