//! The workbench of these tests: running the program, and comparing with kept texts.

use std::ffi::OsStr;
use std::fs;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

/// The longest that any command of these tests may take.
pub const PATIENCE: Duration = Duration::from_secs(60);

/// The folder of the tests.
pub fn tests() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests")
}

/// What a command did.
#[derive(Debug)]
pub struct Done {
    pub status: i32,
    pub out: String,
    pub err: String,
}

impl Done {
    /// Status, then standard error, as the kept texts hold them.
    pub fn fault(&self) -> String {
        format!("exit {}\n{}", self.status, self.err)
    }
}

/// The program in a folder, with no wish for colour from outside.
pub fn command<S: AsRef<OsStr>>(folder: &Path, args: &[S]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_scant"));
    command.current_dir(folder).args(args).env_remove("CLICOLOR_FORCE").env_remove("NO_COLOR");
    command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
    command
}

/// The program with signals as a terminal gives them: what started the tests may ignore some of them.
pub fn with_signals<S: AsRef<OsStr>>(folder: &Path, args: &[S]) -> Command {
    let mut command = Command::new("env");
    command.args(["--default-signal=INT,TERM,HUP", env!("CARGO_BIN_EXE_scant")]);
    command.current_dir(folder).args(args).env_remove("CLICOLOR_FORCE").env_remove("NO_COLOR");
    command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
    command
}

/// Runs the program in a folder to its end, which must come in time.
pub fn scant<S: AsRef<OsStr>>(folder: &Path, args: &[S]) -> Done {
    wait(command(folder, args).spawn().expect("the program starts"))
}

/// The prompt on these bytes of a pipe, with a history of this folder's own.
pub fn prompt(folder: &Folder, entered: impl AsRef<[u8]>) -> Done {
    let mut child = start_prompt(folder);
    child.stdin.take().expect("there is a pipe").write_all(entered.as_ref()).expect("rows are written");
    wait(child)
}

/// The prompt at a pipe that is still open.
pub fn start_prompt(folder: &Folder) -> Child {
    let mut command = with_signals::<&str>(folder.path(), &[]);
    command.env("XDG_STATE_HOME", folder.path().join("state")).stdin(Stdio::piped());
    command.spawn().expect("the program starts")
}

/// Waits for a program that was started, and kills it where it does not end.
pub fn wait(mut child: Child) -> Done {
    let out = reader(child.stdout.take());
    let err = reader(child.stderr.take());
    let start = Instant::now();
    let status = loop {
        if let Some(status) = child.try_wait().expect("the program can be waited for") {
            break status;
        }
        if start.elapsed() > PATIENCE {
            let _ = child.kill();
            panic!("the program takes longer than {PATIENCE:?}");
        }
        std::thread::sleep(Duration::from_millis(2));
    };
    Done {
        status: status.code().unwrap_or(-1),
        out: out.join().expect("standard output is read"),
        err: err.join().expect("standard error is read"),
    }
}

fn reader<R: Read + Send + 'static>(stream: Option<R>) -> std::thread::JoinHandle<String> {
    std::thread::spawn(move || {
        let mut bytes = Vec::new();
        if let Some(mut stream) = stream {
            let _ = stream.read_to_end(&mut bytes);
        }
        String::from_utf8_lossy(&bytes).into_owned()
    })
}

/// Compares a text with the one kept at `path`; `SCANT_RENEW=1` keeps this one instead.
pub fn compare(path: &Path, text: &str) -> Result<(), String> {
    if std::env::var_os("SCANT_RENEW").is_some() {
        fs::write(path, text).expect("the kept text is written");
        return Ok(());
    }
    let name = path.strip_prefix(env!("CARGO_MANIFEST_DIR")).unwrap_or(path).display();
    match fs::read_to_string(path) {
        Ok(kept) if kept == text => Ok(()),
        Ok(kept) => Err(format!("{name} differs\n--- kept\n{kept}--- now\n{text}")),
        Err(_) => Err(format!("{name} is missing; SCANT_RENEW=1 writes it\n--- now\n{text}")),
    }
}

/// Fails with everything that differs.
pub fn verdict(faults: Vec<String>) {
    assert!(faults.is_empty(), "\n{}\nSCANT_RENEW=1 renews kept texts\n", faults.join("\n"));
}

/// A folder of its own for one test, taken away at the end.
pub struct Folder(PathBuf);

impl Folder {
    pub fn new() -> Folder {
        static NEXT: AtomicUsize = AtomicUsize::new(0);
        let number = NEXT.fetch_add(1, Ordering::Relaxed);
        let path = std::env::temp_dir().join(format!("scant-test-{}-{number}", std::process::id()));
        fs::create_dir_all(&path).expect("a folder for the test is made");
        Folder(path)
    }

    pub fn path(&self) -> &Path {
        &self.0
    }

    pub fn write(&self, name: &str, bytes: impl AsRef<[u8]>) -> PathBuf {
        let path = self.0.join(name);
        let mut file = fs::File::create(&path).expect("a file of the test is made");
        file.write_all(bytes.as_ref()).expect("a file of the test is written");
        path
    }

    pub fn read(&self, name: &str) -> String {
        fs::read_to_string(self.0.join(name)).expect("a file of the test is read")
    }

    /// The names of all files in it.
    pub fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(&self.0).expect("the folder of the test is read");
        let mut names: Vec<String> =
            entries.flatten().map(|entry| entry.file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}
