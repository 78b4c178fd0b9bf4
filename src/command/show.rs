//! `knockon show`: a file at one stage on its way to an answer.

use knockon_lang::decide::{Decided, decide, dump};
use knockon_lang::rules;
use knockon_lang::syntax::{self, parse};
use knockon_lang::terms;
use knockon_lang::text::{Code, FileId, Problem, Sources};

use crate::arguments::Stage;
use crate::library::Shelves;
use crate::loading::{ASKED_FOR, Ready, has_errors, not_read};
use crate::screen::{Outcome, Screen};

/// Shows a file at a stage: as far as it could be read, whatever is wrong with it.
pub fn run(stage: Stage, file: &str, all: bool, screen: &mut Screen) -> Outcome {
    match stage {
        Stage::Tokens | Stage::Tree => text(stage, file, screen),
        Stage::Resolved | Stage::Reading | Stage::Clauses => meaning(stage, file, all, screen),
        Stage::Program | Stage::Proof => decided(stage, file, screen),
    }
}

/// What needs the text of the file alone.
fn text(stage: Stage, file: &str, screen: &mut Screen) -> Outcome {
    use knockon_lang::Shelf;
    let text = match Shelves::default().read(file) {
        Ok(text) => text,
        Err(why) => {
            screen.complain(&[not_read(file, &why)], &Sources::new());
            return Outcome::CouldNotRun;
        }
    };
    let mut sources = Sources::new();
    let id = sources.add(file, text.as_str());
    let parsed = parse(id, &text);
    screen.say(&match stage {
        Stage::Tokens => syntax::dump::tokens(&text, &parsed.tokens),
        _ => syntax::dump::tree(&text, &parsed),
    });
    screen.complain(&parsed.problems, &sources);
    outcome(&parsed.problems)
}

/// What needs the files it uses too.
fn meaning(stage: Stage, file: &str, all: bool, screen: &mut Screen) -> Outcome {
    let ready = Ready::new(file, &Shelves::default());
    let only: Option<FileId> = (!all).then_some(ASKED_FOR);
    screen.say(&match stage {
        Stage::Resolved => terms::dump::resolved(&ready.library.resolved, only),
        Stage::Reading => terms::reading::file(&ready.library.resolved, ASKED_FOR),
        _ => rules::dump::clauses(&ready.library, only),
    });
    screen.complain(&ready.problems, &ready.sources);
    outcome(&ready.problems)
}

/// What needs the jobs of the file decided.
fn decided(stage: Stage, file: &str, screen: &mut Screen) -> Outcome {
    let ready = Ready::new(file, &Shelves::default());
    screen.complain(&ready.problems, &ready.sources);
    if ready.has_errors() {
        return Outcome::CouldNotRun;
    }
    let show = |decided: &Decided| match stage {
        Stage::Program => dump::program(&ready.library, decided),
        _ => dump::proof(decided),
    };
    let mut worst = Outcome::Complete;
    let mut jobs = 0;
    for job in ready.library.resolved.jobs.iter().filter(|job| job.span.file == ASKED_FOR) {
        if jobs > 0 {
            screen.line("");
        }
        jobs += 1;
        match decide(&ready.library, job, None) {
            Ok(decided) => screen.say(&show(&decided)),
            Err(problems) => {
                screen.complain(&problems, &ready.sources);
                worst = Outcome::CouldNotRun;
            }
        }
    }
    if jobs == 0 {
        let problem = Problem::nowhere(Code::NoJob, format!("`{file}` holds no job"))
            .help("program and proof are of jobs; the other stages show rules");
        screen.complain(&[problem], &ready.sources);
        return Outcome::CouldNotRun;
    }
    worst
}

fn outcome(problems: &[Problem]) -> Outcome {
    if has_errors(problems) { Outcome::CouldNotRun } else { Outcome::Complete }
}
