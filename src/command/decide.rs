//! `knockon decide`: the jobs of a file, each with its answer.

use knockon_lang::decide::{Decided, decide, json, limit_problems, words};
use knockon_lang::measure::Date;
use knockon_lang::rules::year_problems;
use knockon_lang::terms::resolved::Job;
use knockon_lang::text::suggest::nearest;
use knockon_lang::text::{Code, Problem};

use crate::arguments::VERSION;
use crate::library::Shelves;
use crate::loading::{ASKED_FOR, Ready};
use crate::screen::{Outcome, Screen};

/// Decides the jobs of a file, or one of them.
pub fn run(file: &str, name: Option<&str>, as_of: Option<Date>, json: bool, screen: &mut Screen) -> Outcome {
    let shelves = Shelves::default();
    let ready = Ready::new(file, &shelves);
    screen.complain(&ready.problems, &ready.sources);
    if ready.has_errors() {
        return Outcome::CouldNotRun;
    }
    let jobs = match jobs(&ready, file, name) {
        Ok(jobs) => jobs,
        Err(problem) => {
            screen.complain(&[problem], &ready.sources);
            return Outcome::CouldNotRun;
        }
    };
    let mut worst = Outcome::Complete;
    for (index, job) in jobs.into_iter().enumerate() {
        if index > 0 && !json {
            screen.line("");
        }
        screen.complain(&year_problems(&ready.library, job), &ready.sources);
        worst = worst.max(match decide(&ready.library, job, as_of) {
            Ok(decided) => {
                let outcome = show(&ready, &decided, json, screen);
                screen.complain(&limit_problems(job, &decided), &ready.sources);
                outcome
            }
            Err(problems) => {
                screen.complain(&problems, &ready.sources);
                Outcome::CouldNotRun
            }
        });
    }
    worst
}

fn show(ready: &Ready, decided: &Decided, json: bool, screen: &mut Screen) -> Outcome {
    if !json {
        screen.show(&words::answer(&decided.answer));
    } else {
        match answer_json(ready, decided) {
            Ok(line) => screen.line(&line),
            Err(problem) => {
                screen.complain(&[problem], &ready.sources);
                return Outcome::CouldNotRun;
            }
        }
    }
    if decided.answer.is_complete() { Outcome::Complete } else { Outcome::Incomplete }
}

fn answer_json(ready: &Ready, decided: &Decided) -> Result<String, Problem> {
    let form = json::answer(&ready.library, decided, ("knockon", VERSION));
    serde_json::to_string(&form).map_err(|error| {
        Problem::nowhere(Code::ArgumentWrong, format!("the answer cannot be written as JSON: {error}"))
    })
}

/// The jobs written in the file itself, or the one of that name.
fn jobs<'r>(ready: &'r Ready, file: &str, name: Option<&str>) -> Result<Vec<&'r Job>, Problem> {
    let all: Vec<&Job> = ready.library.resolved.jobs.iter().filter(|job| job.span.file == ASKED_FOR).collect();
    if all.is_empty() {
        return Err(Problem::nowhere(Code::NoJob, format!("`{file}` holds no job"))
            .help("write `job \"...\" dated 2026-02-11` and its lines, or type them at the prompt: `knockon`"));
    }
    let Some(name) = name else { return Ok(all) };
    let chosen: Vec<&Job> = all.iter().copied().filter(|job| job.name == name).collect();
    if !chosen.is_empty() {
        return Ok(chosen);
    }
    let names = all.iter().map(|job| job.name.as_str());
    let help = match nearest(name, names.clone()).first() {
        Some(near) => format!("did you mean `{near}`?"),
        None => {
            let list: Vec<String> = names.map(|name| format!("`{name}`")).collect();
            format!("its jobs are {}", list.join(", "))
        }
    };
    Err(Problem::nowhere(Code::NoJob, format!("`{file}` holds no job `{name}`")).help(help))
}
