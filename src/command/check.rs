//! `knockon check`: everything that is wrong with files of rules or jobs.

use knockon_lang::decide::JobFacts;
use knockon_lang::rules::{JobProgram, year_problems};
use knockon_lang::text::{Code, Problem, Sources};

use crate::library::Shelves;
use crate::loading::{ASKED_FOR, Ready, Seen, files_below, has_errors};
use crate::screen::{Outcome, Screen};

/// Checks each file on its own, with all it uses.
pub fn run(paths: &[String], screen: &mut Screen) -> Outcome {
    let shelves = Shelves::default();
    let (files, missing) = files_below(paths);
    screen.complain(&missing, &Sources::new());
    let mut seen = Seen::default();
    let mut worst = if missing.is_empty() { Outcome::Complete } else { Outcome::CouldNotRun };
    let (mut errors, mut warnings, mut first) = (0, 0, true);
    for file in &files {
        let mut ready = Ready::new(file, &shelves);
        if ready.sources.iter().next().is_none() {
            // The file itself could not be read: that is no check that failed.
            screen.complain(&ready.problems, &ready.sources);
            worst = worst.max(Outcome::CouldNotRun);
            continue;
        }
        if !ready.has_errors() {
            let jobs = job_problems(&ready);
            ready.problems.extend(jobs);
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

/// What is wrong with the jobs of the file beyond their words. A job without a day may be decided as of one that
/// is given, so that is no mistake here.
fn job_problems(ready: &Ready) -> Vec<Problem> {
    let mut problems = Vec::new();
    for job in ready.library.resolved.jobs.iter().filter(|job| job.span.file == ASKED_FOR) {
        problems.extend(year_problems(&ready.library, job));
        match JobFacts::new(job, &ready.library, None) {
            Ok(facts) => {
                let scoped = JobProgram::new(&ready.library, facts.car.clone(), facts.as_of);
                problems.extend(facts.against_texts(&ready.library, &scoped));
            }
            Err(wrong) => problems.extend(wrong.into_iter().filter(|problem| problem.code != Code::JobNeedsDate)),
        }
    }
    problems
}

fn count(number: usize, word: &str) -> String {
    let s = if number == 1 { "" } else { "s" };
    format!("{number} {word}{s}")
}
