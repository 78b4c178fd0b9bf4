//! `knockon format`: files printed in the one style, in their place.

use knockon_lang::syntax::{parse, print};
use knockon_lang::text::Sources;

use crate::files;
use crate::loading::{files_below, not_read};
use crate::screen::{Outcome, Screen};

/// Formats files, or with `check` lists those that would change.
pub fn run(paths: &[String], check: bool, screen: &mut Screen) -> Outcome {
    let (files, missing) = files_below(paths);
    screen.complain(&missing, &Sources::new());
    let mut worst = if missing.is_empty() { Outcome::Complete } else { Outcome::CouldNotRun };
    for file in &files {
        worst = worst.max(one(file, check, screen));
    }
    worst
}

fn one(file: &str, check: bool, screen: &mut Screen) -> Outcome {
    let from_input = file == files::STANDARD_INPUT;
    let text = if from_input {
        files::read_input()
    } else if file.starts_with(files::STANDARD_FOLDER) {
        Err("it is part of the command; nothing can be written there".to_string())
    } else {
        files::read(file)
    };
    let text = match text {
        Ok(text) => text,
        Err(why) => {
            screen.complain(&[not_read(file, &why)], &Sources::new());
            return Outcome::CouldNotRun;
        }
    };
    let mut sources = Sources::new();
    let id = sources.add(file, text.as_str());
    let parsed = parse(id, &text);
    let Some(printed) = print::format(&text, &parsed) else {
        screen.complain(&parsed.problems, &sources);
        return Outcome::CouldNotRun;
    };
    if check {
        if printed == text {
            return Outcome::Complete;
        }
        screen.line(file);
        return Outcome::Failed;
    }
    if from_input {
        screen.say(&printed);
        return Outcome::Complete;
    }
    if printed == text {
        return Outcome::Complete;
    }
    match files::write(file, &printed) {
        Ok(()) => {
            screen.line(&format!("{file} formatted"));
            Outcome::Complete
        }
        Err(why) => {
            screen.complain(&[not_read(file, &format!("it cannot be written: {why}"))], &sources);
            Outcome::CouldNotRun
        }
    }
}
