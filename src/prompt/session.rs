//! The session: the journal and what it comes to. What fails leaves nothing behind.

mod taking;

use std::collections::BTreeSet;

use knockon_lang::decide::{Decided, decide, limit_problems};
use knockon_lang::measure::Date;
use knockon_lang::rules::year_problems;
use knockon_lang::study;
use knockon_lang::syntax::{parse, print};
use knockon_lang::terms::resolved::{Entry, Job};
use knockon_lang::text::{Code, FileId, Problem, Sources};

use super::journal::{Journal, NAME};
use crate::files;
use crate::library::{Shelves, WithText};
use crate::loading::{ASKED_FOR, Ready, not_read};

/// What the journal comes to.
pub struct Now {
    /// What the journal and the files it uses say.
    pub ready: Ready,
    /// The answer, once there is a vehicle.
    pub decided: Option<Decided>,
}

/// Why something was not taken.
pub struct Refused {
    /// The problems.
    pub problems: Vec<Problem>,
    /// The texts they stand in.
    pub sources: Sources,
    /// Whether every word was understood, and only the job as a whole makes no sense.
    understood: bool,
}

impl Refused {
    fn plainly(problem: Problem) -> Refused {
        Refused { problems: vec![problem], sources: Sources::new(), understood: false }
    }
}

/// What was taken, for showing.
#[derive(Default)]
pub struct Taken {
    /// What the person should know about how it was taken.
    pub notes: Vec<String>,
}

/// A session.
pub struct Session {
    /// Everything taken.
    pub journal: Journal,
    /// What it comes to.
    pub now: Now,
    past: Vec<Journal>,
    shelves: Shelves,
    today: Date,
    /// Files this session wrote, and may write again.
    written: BTreeSet<String>,
    /// Whether nobody is there to put it right: what is piped in may bring all its words itself.
    piped: bool,
}

impl Session {
    /// A session that uses these files.
    pub fn new(uses: &[String], today: Date, piped: bool) -> Result<Session, Refused> {
        let shelves = Shelves::default();
        let journal = Journal::new(uses, today);
        let now = evaluate(&journal, &shelves)?;
        Ok(Session { journal, now, past: Vec::new(), shelves, today, written: BTreeSet::new(), piped })
    }

    /// Remembers how it is now, for `undo`.
    pub fn mark(&self) -> Journal {
        self.journal.clone()
    }

    /// Keeps a remembered state if something was taken since.
    pub fn keep(&mut self, mark: Journal) {
        if mark != self.journal {
            self.past.push(mark);
        }
    }

    /// Goes back to before what was taken last; false where there is nothing.
    pub fn undo(&mut self) -> bool {
        while let Some(journal) = self.past.pop() {
            if let Ok(now) = evaluate(&journal, &self.shelves) {
                (self.journal, self.now) = (journal, now);
                return true;
            }
        }
        false
    }

    /// Goes on with what a file holds.
    pub fn load(&mut self, path: &str) -> Result<(), Refused> {
        let text = files::read(path).map_err(|why| Refused::plainly(not_read(path, &why)))?;
        let ready = Ready::new(path, &self.shelves);
        if ready.has_errors() {
            return Err(Refused { problems: ready.problems, sources: ready.sources, understood: false });
        }
        let Some(next) = Journal::of_file(path, &text, self.today) else {
            return Err(Refused::plainly(
                Problem::nowhere(Code::NoJob, format!("`{path}` holds several jobs"))
                    .help("a session is one job; `knockon decide` decides them all"),
            ));
        };
        self.adopt(next)
    }

    /// Writes the session into a file.
    pub fn save(&mut self, path: &str) -> Result<String, Refused> {
        let path = with_ending(path);
        if files::exists(&path) && !self.written.contains(&path) {
            return Err(Refused::plainly(
                Problem::nowhere(Code::FileNotRead, format!("`{path}` is there already"))
                    .help("save under another name; a file that this session did not write is not written over"),
            ));
        }
        let text = self.journal.text(&path);
        let printed = print::format(&text, &parse(FileId(0), &text)).unwrap_or(text);
        files::write(&path, &printed).map_err(|why| {
            Refused::plainly(
                Problem::nowhere(Code::FileNotRead, format!("`{path}` cannot be written: {why}"))
                    .help("check the folder and its rights"),
            )
        })?;
        self.written.insert(path.clone());
        Ok(path)
    }

    /// The job, once it names a vehicle.
    pub fn job(&self) -> Option<&Job> {
        job(&self.now.ready)
    }

    /// What should be known although everything was taken.
    pub fn warnings(&self) -> Vec<Problem> {
        let mut warnings = self.now.ready.problems.clone();
        if let Some(job) = self.job() {
            warnings.extend(year_problems(&self.now.ready.library, job));
            if let Some(decided) = &self.now.decided {
                warnings.extend(limit_problems(job, decided));
            }
        }
        warnings
    }

    /// How the tests of the journal go that were not there before: the name, and what does not hold.
    pub fn tests_beyond(&self, known: &BTreeSet<String>) -> Vec<(String, Vec<Problem>)> {
        let library = &self.now.ready.library;
        let tests = library.resolved.tests.iter().filter(|test| test.span.file == ASKED_FOR);
        tests
            .filter(|test| !known.contains(&test.name))
            .map(|test| (test.name.clone(), study::run(library, test).failures))
            .collect()
    }

    /// Whether a file that is used holds jobs of its own, which are no part of the session.
    pub fn jobs_elsewhere(&self) -> bool {
        self.now.ready.library.resolved.jobs.iter().any(|job| job.span.file != ASKED_FOR)
    }

    /// The text of the journal line by line, numbered as answers number them.
    pub fn numbered_lines(&self) -> Vec<(usize, String)> {
        self.journal.text(NAME).lines().enumerate().map(|(index, line)| (index + 1, line.to_string())).collect()
    }

    /// The names of the tests of the journal.
    pub fn test_names(&self) -> BTreeSet<String> {
        let tests = self.now.ready.library.resolved.tests.iter();
        tests.filter(|test| test.span.file == ASKED_FOR).map(|test| test.name.clone()).collect()
    }
}

/// The name of a rule file, its ending added where it was left out, as in `use`.
pub fn with_ending(path: &str) -> String {
    if path.ends_with(".knock") { path.to_string() } else { format!("{path}.knock") }
}

/// Loads the journal, and decides its job once it names a vehicle.
fn evaluate(journal: &Journal, shelves: &Shelves) -> Result<Now, Refused> {
    let text = journal.text(NAME);
    let ready = Ready::new(NAME, &WithText { name: NAME, text: &text, others: shelves });
    if ready.has_errors() {
        let problems = ready.problems.into_iter().filter(is_error).collect();
        return Err(Refused { problems, sources: ready.sources, understood: false });
    }
    let decided = match job(&ready).map(|job| decide(&ready.library, job, None)) {
        None => None,
        Some(Ok(decided)) => Some(decided),
        Some(Err(problems)) => return Err(Refused { problems, sources: ready.sources, understood: true }),
    };
    Ok(Now { ready, decided })
}

fn is_error(problem: &Problem) -> bool {
    crate::loading::has_errors(std::slice::from_ref(problem))
}

fn job(ready: &Ready) -> Option<&Job> {
    let job = ready.library.resolved.jobs.iter().rfind(|job| job.span.file == ASKED_FOR);
    job.filter(|job| job.lines.iter().any(|line| matches!(line.entry, Entry::Vehicle { .. })))
}
