//! `knockon test`: the tests written in files, each run on the rules its file uses.

use knockon_lang::study;
use knockon_lang::terms::resolved::Test;
use knockon_lang::text::{Code, Problem, Sources};

use crate::library::Shelves;
use crate::loading::{ASKED_FOR, Ready, Seen, files_below};
use crate::screen::{Outcome, Screen};

/// How many went which way.
#[derive(Default)]
struct Tally {
    passed: usize,
    failed: usize,
    never_fail: usize,
    /// Files whose tests could not be run.
    not_run: usize,
}

/// Runs the tests of each file.
pub fn run(paths: &[String], screen: &mut Screen) -> Outcome {
    let shelves = Shelves::default();
    let (files, missing) = files_below(paths);
    screen.complain(&missing, &Sources::new());
    let mut tally = Tally { not_run: missing.len(), ..Tally::default() };
    let mut seen = Seen::default();
    for file in &files {
        let ready = Ready::new(file, &shelves);
        let has_errors = ready.has_errors();
        let problems = seen.new_ones(ready.problems.clone(), &ready.sources);
        screen.complain(&problems, &ready.sources);
        if has_errors {
            tally.not_run += 1;
            continue;
        }
        for test in &ready.library.resolved.tests {
            if test.span.file == ASKED_FOR {
                one(&ready, test, &mut tally, screen);
            }
        }
    }
    let mut summary = format!("{} passed, {} failed", tally.passed, tally.failed);
    if tally.never_fail > 0 {
        summary.push_str(&format!(", {} could not fail", tally.never_fail));
    }
    match tally.not_run {
        0 => {}
        1 => summary.push_str(", 1 file could not be run"),
        more => summary.push_str(&format!(", {more} files could not be run")),
    }
    screen.line(&summary);
    if tally.not_run > 0 {
        Outcome::CouldNotRun
    } else if tally.failed > 0 {
        Outcome::Failed
    } else {
        Outcome::Complete
    }
}

fn one(ready: &Ready, test: &Test, tally: &mut Tally, screen: &mut Screen) {
    let result = study::run(&ready.library, test);
    if result.passed {
        tally.passed += 1;
    } else {
        tally.failed += 1;
        screen.draw(&result.failures, &ready.sources);
        screen.line("");
    }
    if result.never_fails {
        tally.never_fail += 1;
        let problem = Problem::at(
            Code::TestNeverFails,
            test.span,
            format!("the test \"{}\" could not fail", test.name),
            "whatever the rules say, this holds",
        )
        .help("expect a verdict that some rule of the file could change");
        screen.draw(&[problem], &ready.sources);
        screen.line("");
    }
}
