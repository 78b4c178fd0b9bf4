//! `knockon check`: everything that is wrong with files of rules or jobs.

use knockon_lang::text::Sources;

use crate::Outcome;
use crate::library::Shelves;
use crate::loading::{Ready, Seen, files_below, has_errors};
use crate::screen::Screen;

/// Checks each file on its own, with all it uses.
pub fn run(paths: &[String], screen: &mut Screen) -> Outcome {
    let shelves = Shelves::default();
    let (files, missing) = files_below(paths);
    screen.complain(&missing, &Sources::new());
    let mut seen = Seen::default();
    let mut worst = if missing.is_empty() { Outcome::Complete } else { Outcome::CouldNotRun };
    let (mut errors, mut warnings, mut first) = (0, 0, true);
    for file in &files {
        let ready = Ready::new(file, &shelves);
        if ready.sources.iter().next().is_none() {
            // The file itself could not be read: that is no check that failed.
            screen.complain(&ready.problems, &ready.sources);
            worst = worst.max(Outcome::CouldNotRun);
            continue;
        }
        if ready.has_errors() {
            worst = worst.max(Outcome::Failed);
        }
        let problems = seen.new_ones(ready.problems, &ready.sources);
        if problems.is_empty() {
            continue;
        }
        if !first {
            screen.line("");
        }
        first = false;
        for problem in &problems {
            if has_errors(std::slice::from_ref(problem)) {
                errors += 1;
            } else {
                warnings += 1;
            }
        }
        screen.draw(&problems, &ready.sources);
    }
    if !first {
        screen.line("");
    }
    if !files.is_empty() {
        screen.line(&format!(
            "{} checked, {}, {}",
            count(files.len(), "file"),
            count(errors, "error"),
            count(warnings, "warning"),
        ));
    }
    worst
}

fn count(number: usize, word: &str) -> String {
    let s = if number == 1 { "" } else { "s" };
    format!("{number} {word}{s}")
}
