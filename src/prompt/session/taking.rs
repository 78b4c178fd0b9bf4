//! Taking what was typed: each piece becomes a part of the journal, or nothing is changed.

use knockon_lang::syntax::lex;
use knockon_lang::text::{Code, Problem};

use super::super::journal::{self, Journal, NAME};
use super::super::pieces::{self, Kind, Piece};
use super::{Refused, Session, Taken, evaluate};
use crate::loading::ASKED_FOR;

/// Words a bare sentence is tried with, in this order: the first that makes it a line of the job is taken.
const TRIED: [&str; 6] = ["work", "found", "happened", "given", "measured", "vehicle"];

impl Session {
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

    pub(super) fn adopt(&mut self, next: Journal) -> Result<(), Refused> {
        self.now = evaluate(&next, &self.shelves)?;
        self.journal = next;
        Ok(())
    }

    /// A file named takes the place of the library nobody named, unless lines taken already need that.
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
        if next.default_library {
            // What nobody asked for must not add its rules to what somebody did ask for.
            let instead = Journal { uses: vec![path.clone()], default_library: false, ..next.clone() };
            if self.adopt(instead).is_ok() {
                taken.notes.push("in place of standard/all, which is used while nothing else is named".to_string());
                return Ok(taken);
            }
        }
        next.uses.push(path);
        next.default_library = false;
        self.adopt(next)?;
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
