//! The command: reads its arguments, does what they say, and ends with a code that says how it went.

mod arguments;
mod command;
mod files;
mod library;
mod loading;
mod paint;
mod prompt;
mod screen;

use std::process::ExitCode;

use arguments::Command;
use screen::Screen;

/// The version of the command.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");

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
    pub fn code(self) -> u8 {
        match self {
            Outcome::Complete => 0,
            Outcome::Failed => 1,
            Outcome::CouldNotRun => 2,
            Outcome::Incomplete => 3,
        }
    }
}

fn main() -> ExitCode {
    let arguments = arguments::read(std::env::args_os().skip(1));
    let mut screen = Screen::new(arguments.colour);
    let outcome = match arguments.command {
        Ok(command) => run(command, &mut screen),
        Err(problem) => {
            screen.complain(&[problem], &Default::default());
            Outcome::CouldNotRun
        }
    };
    let outcome = if screen.finish() { outcome } else { Outcome::CouldNotRun };
    ExitCode::from(outcome.code())
}

fn run(command: Command, screen: &mut Screen) -> Outcome {
    match command {
        Command::Prompt { files } => prompt::run(&files, screen),
        Command::Decide { file, job, as_of, json } => command::decide::run(&file, job.as_deref(), as_of, json, screen),
        Command::Check { paths } => command::check::run(&paths, screen),
        Command::Test { paths } => command::test::run(&paths, screen),
        Command::Format { paths, check } => command::format::run(&paths, check, screen),
        Command::Show { stage, file, all } => command::show::run(stage, &file, all, screen),
        Command::Explain { code } => command::explain::run(code.as_deref(), screen),
        Command::Help { of } => command::help::run(of, screen),
        Command::Version => command::help::version(screen),
    }
}
