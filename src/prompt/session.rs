//! The session: the journal and what it comes to. What fails leaves nothing behind.

use std::collections::BTreeSet;

use knockon_lang::decide::{Decided, decide, limit_problems};
use knockon_lang::measure::Date;
use knockon_lang::rules::year_problems;
use knockon_lang::study;
use knockon_lang::syntax::{lex, parse, print};
use knockon_lang::terms::resolved::{Entry, Job};
use knockon_lang::text::{Code, FileId, Problem, Sources};

use super::journal::{self, Journal, NAME};
use super::pieces::{self, Kind, Piece};
use crate::files;
use crate::library::{Shelves, WithText};
use crate::loading::{ASKED_FOR, Ready, not_read};

/// Words a bare sentence is tried with, in this order: the first that makes it a line of the job is taken.
const TRIED: [&str; 6] = ["work", "found", "happened", "given", "measured", "vehicle"];

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

    /// Takes a piece, or leaves everything as it was.
    pub fn take(&mut self, piece: &Piece) -> Result<Taken, Refused> {
        let mut next = self.journal.clone();
        let mut taken = Taken::default();
        match piece.kind {
            Kind::Use => return self.take_use(&piece.text),
            Kind::Job => {
                next.header = journal::with_day(&piece.text, self.today);
                if !next.lines.is_empty() {
                    next.lines.clear();
                    taken.notes.push("a new job; the lines of the one before are left behind".to_string());
                }
            }
            Kind::Dated => next.header = journal::dated(&next.header, &piece.text),
            Kind::GoesOn => next.go_on(&piece.text),
            Kind::Item | Kind::Word => return self.take_item(next, &piece.text),
            Kind::Line => return self.take_line(&piece.text),
            Kind::Bare => return self.take_bare(&piece.text),
        }
        self.adopt(next)?;
        Ok(taken)
    }

    fn adopt(&mut self, next: Journal) -> Result<(), Refused> {
        self.now = evaluate(&next, &self.shelves)?;
        self.journal = next;
        Ok(())
    }

    /// A file named takes the place of the library nobody named, if it does not go with it.
    fn take_use(&mut self, line: &str) -> Result<Taken, Refused> {
        let Some(path) = journal::used(NAME, line) else {
            return Err(Refused::plainly(
                Problem::nowhere(Code::UnexpectedWord, format!("`{line}` names no file"))
                    .help("write `use \"standard/all\"`, with the name in quotes"),
            ));
        };
        let mut taken = Taken::default();
        let mut next = self.journal.clone();
        if next.uses.contains(&path) {
            next.default_library = false;
            self.journal = next;
            return Ok(taken);
        }
        next.uses.push(path.clone());
        let added = evaluate(&next, &self.shelves);
        match added {
            Ok(now) => {
                next.default_library = false;
                (self.journal, self.now) = (next, now);
            }
            Err(refused) if self.journal.default_library => {
                next = Journal { uses: vec![path], default_library: false, ..self.journal.clone() };
                // What is wrong with the file itself is better told than what is wrong with both.
                if self.adopt(next).is_err() {
                    return Err(refused);
                }
                taken.notes.push("standard/all is no longer used: this file takes its place".to_string());
            }
            Err(refused) => return Err(refused),
        }
        Ok(taken)
    }

    fn take_item(&mut self, mut next: Journal, text: &str) -> Result<Taken, Refused> {
        let mut taken = Taken::default();
        next.items.push(text.to_string());
        let Err(refused) = self.adopt(next.clone()) else { return Ok(taken) };
        if !(self.piped && self.journal.default_library) {
            return Err(refused);
        }
        let without = Journal { uses: Vec::new(), default_library: false, ..next };
        if self.adopt(without).is_err() {
            return Err(refused);
        }
        taken.notes.push("standard/all is not used: words of its own are declared here".to_string());
        Ok(taken)
    }

    fn take_line(&mut self, line: &str) -> Result<Taken, Refused> {
        let mut taken = Taken::default();
        let mut next = self.journal.clone();
        match next.vehicle_line().filter(|_| journal::is_vehicle(line)) {
            Some(at) => {
                if let Some(place) = next.lines.get_mut(at) {
                    taken.notes.push(format!("in place of `{place}`"));
                    *place = line.to_string();
                }
            }
            None => next.lines.push(line.to_string()),
        }
        let Err(refused) = self.adopt(next) else { return Ok(taken) };
        // `work replaced left headlamp; work is complete`: several lines in one.
        let parts = pieces::parts(line);
        if parts.iter().skip(1).any(|part| pieces::begins_job_line(part)) && self.take_parts(&parts, true).is_ok() {
            return Ok(taken);
        }
        Err(refused)
    }

    /// A sentence without a first word: a line of the job, or a fact about cars.
    fn take_bare(&mut self, text: &str) -> Result<Taken, Refused> {
        let parts = pieces::parts(text);
        let refused = match self.take_parts(&parts, false) {
            Ok(taken) => return Ok(taken),
            Err(refused) => refused,
        };
        if !refused.understood {
            let mut next = self.journal.clone();
            next.items.push(text.to_string());
            if self.adopt(next).is_ok() {
                return Ok(Taken { notes: vec!["taken as a fact about cars".to_string()] });
            }
        }
        Err(refused)
    }

    /// Takes all parts of a line, or none. `follows`: a part without a first word goes on with the line before.
    fn take_parts(&mut self, parts: &[&str], follows: bool) -> Result<Taken, Refused> {
        let (before, mut lines) = (self.mark(), Vec::<String>::new());
        for part in parts {
            match lines.last_mut() {
                Some(line) if follows && !pieces::begins_job_line(part) => {
                    line.push_str("; ");
                    line.push_str(part);
                }
                _ => lines.push((*part).to_string()),
            }
        }
        let mut notes = Vec::new();
        for line in &lines {
            match self.take_one(line) {
                Ok(taken) => notes.extend(taken.notes),
                Err(refused) => {
                    if self.journal != before
                        && let Ok(now) = evaluate(&before, &self.shelves)
                    {
                        (self.journal, self.now) = (before, now);
                    }
                    return Err(refused);
                }
            }
        }
        Ok(Taken { notes })
    }

    fn take_one(&mut self, part: &str) -> Result<Taken, Refused> {
        if pieces::begins_job_line(part) {
            return self.take_line(part);
        }
        let mut best: Option<(u32, bool, Refused)> = None;
        for word in TRIED {
            let line = format!("{word} {part}");
            let refused = match self.take_line(&line) {
                Ok(mut taken) => {
                    taken.notes.insert(0, format!("taken as `{line}`"));
                    return Ok(taken);
                }
                Err(refused) => refused,
            };
            if refused.understood {
                return Err(refused);
            }
            // The reading that gets farthest is the one that was meant.
            let reach = reach(&refused, &line, word.len() as u32 + 1);
            let broad = word == "happened";
            if best.as_ref().is_none_or(|(known, known_broad, _)| (reach, broad) > (*known, *known_broad)) {
                best = Some((reach, broad, refused));
            }
        }
        match best {
            Some((_, _, refused)) => Err(refused),
            None => Ok(Taken::default()),
        }
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
        let path = if path.ends_with(".knock") { path.to_string() } else { format!("{path}.knock") };
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

    /// The names of the tests of the journal.
    pub fn test_names(&self) -> BTreeSet<String> {
        let tests = self.now.ready.library.resolved.tests.iter();
        tests.filter(|test| test.span.file == ASKED_FOR).map(|test| test.name.clone()).collect()
    }
}

/// Loads the journal, and decides its job once it names a vehicle.
fn evaluate(journal: &Journal, shelves: &Shelves) -> Result<Now, Refused> {
    let text = journal.text(NAME);
    let ready = Ready::new(NAME, &WithText { name: NAME, text: &text, others: shelves });
    if ready.has_errors() {
        let problems = ready.problems.into_iter().filter(|problem| is_error(problem)).collect();
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
    let jobs = ready.library.resolved.jobs.iter().filter(|job| job.span.file == ASKED_FOR);
    jobs.last().filter(|job| job.lines.iter().any(|line| matches!(line.entry, Entry::Vehicle { .. })))
}

/// How far into a line the first problem lies; `skip` bytes of it were not typed.
fn reach(refused: &Refused, line: &str, skip: u32) -> u32 {
    let text = refused.sources.get(ASKED_FOR).map_or("", |source| source.text());
    let Some(start) = text.rfind(line).and_then(|start| u32::try_from(start).ok()) else { return 0 };
    let deepest = |problem: &Problem| {
        let labels = problem.main.iter().chain(&problem.context);
        labels.filter(|label| label.span.file == ASKED_FOR).map(|label| label.span.start).max()
    };
    let end = start + lex(line).spans.last().map_or(0, |&(_, end)| end);
    let places = refused.problems.iter().filter_map(deepest).filter(|place| (start..=end).contains(place));
    places.min().map_or(0, |place| place.saturating_sub(start + skip))
}
