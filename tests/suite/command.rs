//! The command as a person or a script calls it: every subcommand, its exit code, and what goes wrong around it.
//!
//! The files it is run on stand in `tests/command`; `words.knock` holds the words and the text of all of them.

#![expect(clippy::unwrap_used, clippy::expect_used, reason = "helpers of tests")]

mod decide;
mod files;
pub mod json;
mod others;

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use crate::shelf::root;

/// What a run of the command gave back.
pub struct Run {
    /// The exit code.
    pub code: i32,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub error: String,
}

/// The command with arguments, in a folder, with nothing of this machine's settings in it.
pub fn command(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_knockon"));
    command.current_dir(folder).args(arguments).env_remove("NO_COLOR").env("TERM", "xterm");
    command
}

/// Runs the command in a folder, with a text on standard input.
pub fn run_in(folder: &Path, arguments: &[&str], input: &str) -> Run {
    let mut command = command(folder, arguments);
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    let mut stdin = child.stdin.take().unwrap();
    let input = input.to_string();
    // From a thread: a command that does not read must not keep us waiting.
    let writer = std::thread::spawn(move || {
        let _ = stdin.write_all(input.as_bytes());
    });
    let output = child.wait_with_output().unwrap();
    writer.join().unwrap();
    Run {
        code: output.status.code().expect("the command ends by itself"),
        out: String::from_utf8(output.stdout).unwrap(),
        error: String::from_utf8(output.stderr).unwrap(),
    }
}

/// The folder of the files.
pub fn folder() -> PathBuf {
    root().join("tests/command")
}

/// Runs the command among the files.
pub fn run(arguments: &[&str]) -> Run {
    run_in(&folder(), arguments, "")
}

/// A text of the folder.
pub fn text(name: &str) -> String {
    std::fs::read_to_string(folder().join(name)).unwrap()
}

/// An empty folder of its own for a test, taken away at the end.
pub struct Scratch(pub PathBuf);

impl Scratch {
    /// Makes it.
    pub fn new(name: &str) -> Scratch {
        let path = std::env::temp_dir().join(format!("knockon-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&path);
        std::fs::create_dir_all(&path).unwrap();
        Scratch(path)
    }

    /// Puts a text into it.
    pub fn put(&self, name: &str, text: impl AsRef<[u8]>) {
        std::fs::write(self.0.join(name), text).unwrap();
    }

    /// A text of it.
    pub fn get(&self, name: &str) -> String {
        std::fs::read_to_string(self.0.join(name)).unwrap()
    }

    /// The names in it, in order.
    pub fn names(&self) -> Vec<String> {
        let entries = std::fs::read_dir(&self.0).unwrap();
        let mut names: Vec<String> = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}
