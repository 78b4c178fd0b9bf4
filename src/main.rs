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
use screen::{Outcome, Screen};

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
    screen.finish(outcome)
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
