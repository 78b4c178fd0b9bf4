//! What the command hands back: standard output, standard error, and the code that says how it went.

use std::io::{self, BufWriter, Stderr, Stdout, Write};
use std::process::ExitCode;

use knockon_lang::text::draw::draw;
use knockon_lang::text::{Markup, Problem, Sources};

use crate::paint::{Colour, paint};

/// How it went, for whoever called the command. The worst of several is the one that counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// All done, nothing open.
    Complete,
    /// Answered, but something is open, in conflict, silent or left out.
    Incomplete,
    /// A check or a test failed.
    Failed,
    /// It could not be done: a file is missing, something in it is wrong, or an argument is.
    CouldNotRun,
}

impl Outcome {
    /// The exit code.
    fn code(self) -> u8 {
        match self {
            Outcome::Complete => 0,
            Outcome::Failed => 1,
            Outcome::CouldNotRun => 2,
            Outcome::Incomplete => 3,
        }
    }
}

/// Both outputs. A reader that goes away ends the writing, not the work: the exit code is the one there would have been.
pub struct Screen {
    out: BufWriter<Stdout>,
    error: Stderr,
    /// Whether standard output is painted.
    pub colour: bool,
    error_colour: bool,
    closed: bool,
    failure: Option<io::Error>,
}

impl Screen {
    /// The outputs of this process.
    pub fn new(colour: Colour) -> Screen {
        let (out, error) = (io::stdout(), io::stderr());
        Screen {
            colour: colour.wanted(&out),
            error_colour: colour.wanted(&error),
            out: BufWriter::new(out),
            error,
            closed: false,
            failure: None,
        }
    }

    /// Writes text as it is.
    pub fn say(&mut self, text: &str) {
        if !self.closed {
            let done = write!(self.out, "{text}");
            self.note(done);
        }
    }

    /// Writes text as it is, and ends the line.
    pub fn line(&mut self, text: &str) {
        self.say(text);
        self.say("\n");
    }

    /// Writes tagged text.
    pub fn show(&mut self, text: &Markup) {
        let painted = paint(text, self.colour);
        self.say(&painted);
    }

    /// Draws problems on standard error, for commands whose output is something else.
    pub fn complain(&mut self, problems: &[Problem], sources: &Sources) {
        // In their order, where both outputs are one terminal.
        self.flush();
        if !problems.is_empty() {
            // Nobody is left to tell where standard error is closed too.
            let _ = write!(self.error, "{}", draw(problems, sources, self.error_colour));
        }
    }

    /// Draws problems on standard output, for commands whose output they are.
    pub fn draw(&mut self, problems: &[Problem], sources: &Sources) {
        let drawn = draw(problems, sources, self.colour);
        self.say(&drawn);
    }

    /// Hands on what has been written so far.
    pub fn flush(&mut self) {
        if !self.closed {
            let done = self.out.flush();
            self.note(done);
        }
    }

    fn note(&mut self, done: io::Result<()>) {
        if let Err(error) = done {
            self.closed = true;
            if error.kind() != io::ErrorKind::BrokenPipe {
                self.failure = Some(error);
            }
        }
    }

    /// Ends the writing. What could not be written, a closed pipe aside, could not be done.
    pub fn finish(mut self, outcome: Outcome) -> ExitCode {
        self.flush();
        if let Some(failure) = &self.failure {
            let _ = writeln!(self.error, "the output cannot be written: {failure}");
            return ExitCode::from(Outcome::CouldNotRun.code());
        }
        ExitCode::from(outcome.code())
    }
}
