//! A job's lines folded into what is known: the car, what happened, what was answered. Lines that
//! contradict each other are reported, not resolved.

use std::collections::{BTreeMap, BTreeSet};

use knockon_measure::{Date, Reading, Vin};
use knockon_rules::{CarKeys, Library};
use knockon_terms::resolved::{Entry, FactKind, Happened, Job, Judgement, Line, Placing, Scan, When};
use knockon_terms::{Class, TermId, Vocabulary};
use knockon_text::{Code, Problem, Span};

use crate::fact::of_words;

mod texts;

/// A measured value: what of, and whether it is a change.
pub type Measured = (TermId, Option<TermId>, bool);

/// A value of a procedure: the measure, the procedure, and what it is of.
pub type ValueOf = (TermId, TermId, Option<TermId>);

/// What is known of a choice: its value, or values it does not have, and the line.
pub type Chosen = (Option<TermId>, BTreeSet<TermId>, usize);

/// What a procedure's line says.
#[derive(Clone, Debug, PartialEq)]
pub struct DoneEntry {
    /// The line.
    pub line: usize,
    /// The procedure.
    pub procedure: TermId,
    /// Of what.
    pub of: Option<TermId>,
    /// How it ended.
    pub outcome: Option<TermId>,
    /// When.
    pub at: Option<When>,
}

/// How a procedure that is still to be carried out is taken to end: no line, and after all that is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ToCome {
    /// The procedure.
    pub procedure: TermId,
    /// Of what.
    pub of: Option<TermId>,
    /// How it ends; none for its being done, however it ends.
    pub outcome: Option<TermId>,
}

/// An answer to a yes-or-no question, with the line that gives it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Answered {
    /// The answer; nothing where a person could not tell.
    pub yes: Option<bool>,
    /// The line.
    pub line: usize,
}

/// What is known of a job.
#[derive(Clone, Debug)]
pub struct JobFacts {
    /// Its name.
    pub name: String,
    /// Its lines, as written.
    pub lines: Vec<Line>,
    /// The car.
    pub car: CarKeys,
    /// The line that names it.
    pub car_line: usize,
    /// The identification number.
    pub vin: Option<String>,
    /// The day it is decided as of.
    pub as_of: Date,
    /// Equipment stated to be there or not.
    pub equipped: BTreeMap<TermId, (bool, usize)>,
    /// Whether all equipment is named; the line.
    pub equipment_complete: Option<usize>,
    /// Whether the work list is complete; the line.
    pub work_complete: Option<usize>,
    /// Whether nothing else came off; the line.
    pub nothing_else_came_off: Option<usize>,
    /// What happened, with its line.
    pub happened: Vec<(Happened, usize)>,
    /// Where something listed happened, said apart.
    pub placed: Vec<(TermId, TermId, (Placing, TermId), usize)>,
    /// What the part that goes on (true), or the one that came off, is.
    pub qualities: BTreeMap<(bool, TermId, TermId), (bool, usize)>,
    /// Why listed work was done, said apart.
    pub because: BTreeMap<(TermId, TermId), (TermId, usize)>,
    /// What did not happen.
    pub not_happened: BTreeMap<(TermId, Option<TermId>), usize>,
    /// Parts looked over.
    pub looked_over: BTreeMap<TermId, usize>,
    /// Everything looked over; the line.
    pub looked_over_everything: Option<usize>,
    /// Measured values.
    pub measured: BTreeMap<Measured, Vec<(Reading, usize)>>,
    /// Conditions.
    pub conditions: BTreeMap<(TermId, Option<TermId>), Answered>,
    /// Choices, perhaps of a place: the value, or values it does not have.
    pub choices: BTreeMap<(TermId, Option<TermId>), Chosen>,
    /// Procedures in hand.
    pub in_hand: Vec<(TermId, Option<TermId>)>,
    /// Measured values of procedures: the measure, the procedure and what it is of, the reading, its line.
    pub values: Vec<(ValueOf, Reading, usize)>,
    /// Procedures done.
    pub done: Vec<DoneEntry>,
    /// What is taken to be done later.
    pub to_come: Vec<ToCome>,
    /// Modules read.
    pub scans: Vec<(Scan, usize)>,
}

impl JobFacts {
    /// Folds a job. `as_of` overrides the job's own date.
    pub fn new(job: &Job, library: &Library, as_of: Option<Date>) -> Result<JobFacts, Vec<Problem>> {
        let mut problems = Vec::new();
        let mut dated = job.dated;
        let mut vehicle: Option<(CarKeys, Option<String>, usize)> = None;
        for (index, line) in job.lines.iter().enumerate() {
            match &line.entry {
                Entry::Dated(date) => dated = Some(*date),
                Entry::Vehicle { maker, model, year, built, vin } => {
                    let car = CarKeys { maker: *maker, model: *model, year: *year, built: *built, vin: None };
                    if let Some((first, known, at)) = &vehicle
                        && (*first != car || (known.is_some() && vin.is_some() && known != vin))
                    {
                        problems.push(contradiction(job, *at, index, "one job names two vehicles"));
                    }
                    vehicle = Some((car, vin.clone(), index));
                }
                _ => {}
            }
        }
        let Some(as_of) = as_of.or(dated) else {
            problems.push(
                Problem::at(
                    Code::JobNeedsDate,
                    job.span,
                    format!("the job \"{}\" has no date", job.name),
                    "decided as of which day?",
                )
                .help("write `job \"...\" dated 2026-02-11`, or give a day with `--as-of`: which text holds depends on it"),
            );
            return Err(problems);
        };
        let Some((car, vin, car_line)) = vehicle else {
            problems.push(
                Problem::at(
                    Code::NoVehicle,
                    job.span,
                    format!("the job \"{}\" names no vehicle", job.name),
                    "which car is it?",
                )
                .help("add a line `vehicle MAKER MODEL YEAR`; model and year may be left out where they are not known"),
            );
            return Err(problems);
        };
        let car = CarKeys { vin: vin.as_deref().and_then(|vin| Vin::parse(vin).ok()), ..car };
        let mut facts = JobFacts {
            name: job.name.clone(),
            lines: job.lines.clone(),
            car,
            car_line,
            vin,
            as_of,
            equipped: BTreeMap::new(),
            equipment_complete: None,
            work_complete: None,
            nothing_else_came_off: None,
            happened: Vec::new(),
            placed: Vec::new(),
            qualities: BTreeMap::new(),
            because: BTreeMap::new(),
            not_happened: BTreeMap::new(),
            looked_over: BTreeMap::new(),
            looked_over_everything: None,
            measured: BTreeMap::new(),
            conditions: BTreeMap::new(),
            choices: BTreeMap::new(),
            in_hand: Vec::new(),
            values: Vec::new(),
            done: Vec::new(),
            to_come: Vec::new(),
            scans: Vec::new(),
        };
        for (index, line) in job.lines.iter().enumerate() {
            facts.line(job, index, &line.entry, library.vocabulary(), &mut problems);
        }
        facts.reasons(job, library.vocabulary(), &mut problems);
        facts.check(job, library.vocabulary(), &mut problems);
        facts.check_qualities(job, library, &mut problems);
        if problems.is_empty() { Ok(facts) } else { Err(problems) }
    }

    fn line(&mut self, job: &Job, index: usize, entry: &Entry, vocabulary: &Vocabulary, problems: &mut Vec<Problem>) {
        match entry {
            Entry::Vehicle { .. } | Entry::Dated(_) => {}
            Entry::Equipped { what, yes } => {
                for &term in what {
                    match self.equipped.get(&term) {
                        Some(&(before, at)) if before != *yes => problems.push(contradiction(
                            job,
                            at,
                            index,
                            &format!("`{}` is said to be fitted, and not to be", vocabulary.name(term)),
                        )),
                        _ => {
                            self.equipped.insert(term, (*yes, index));
                        }
                    }
                }
            }
            Entry::EquipmentComplete => self.equipment_complete = Some(index),
            Entry::WorkComplete => self.work_complete = Some(index),
            Entry::NothingElseCameOff => self.nothing_else_came_off = Some(index),
            Entry::Happened(happened) => self.happened.push((happened.clone(), index)),
            Entry::Placed { what, subject, place } => self.placed.push((*what, *subject, *place, index)),
            Entry::Quality { new, part, quality, yes } => match self.qualities.get(&(*new, *part, *quality)) {
                Some(&(before, at)) if before != *yes => {
                    let age = if *new { "new" } else { "old" };
                    let (part, quality) = (vocabulary.name(*part), vocabulary.name(*quality));
                    let message = format!("`{age} {part}` is said to be {quality}, and not to be");
                    problems.push(contradiction(job, at, index, &message));
                }
                _ => {
                    self.qualities.insert((*new, *part, *quality), (*yes, index));
                }
            },
            Entry::Because { what, subject, cause } => match self.because.get(&(*what, *subject)) {
                Some(&(before, at)) if before != *cause => {
                    problems.push(two_reasons(job, at, index, (*what, *subject), vocabulary));
                }
                _ => {
                    self.because.insert((*what, *subject), (*cause, index));
                }
            },
            Entry::NotHappened { what, subject } => {
                self.not_happened.insert((*what, *subject), index);
            }
            Entry::LookedOver(parts) => {
                for &part in parts {
                    self.looked_over.insert(part, index);
                }
            }
            Entry::LookedOverEverything => self.looked_over_everything = Some(index),
            Entry::Measured { measure, of, change, reading } => {
                self.measured.entry((*measure, *of, *change)).or_default().push((*reading, index));
            }
            Entry::Holds { condition, of, answer, .. } => {
                let yes = match answer {
                    Judgement::Yes => Some(true),
                    Judgement::No => Some(false),
                    Judgement::CannotTell => None,
                };
                match self.conditions.get(&(*condition, *of)) {
                    Some(before) if before.yes != yes => problems.push(contradiction(
                        job,
                        before.line,
                        index,
                        &format!(
                            "`{}` is answered in two ways",
                            of_words(vocabulary, vocabulary.name(*condition), *of)
                        ),
                    )),
                    _ => {
                        self.conditions.insert((*condition, *of), Answered { yes, line: index });
                    }
                }
            }
            Entry::Chosen { choice, of, value, yes } => {
                let known = self.choices.entry((*choice, *of)).or_insert((None, BTreeSet::new(), index));
                let clash = match (yes, known.0) {
                    (true, Some(other)) => other != *value,
                    (true, None) => known.1.contains(value),
                    (false, Some(other)) => other == *value,
                    (false, None) => false,
                };
                if clash {
                    let at = known.2;
                    problems.push(contradiction(
                        job,
                        at,
                        index,
                        &format!(
                            "`{}` has exactly one value, and `{}` does not go with what was said before",
                            of_words(vocabulary, vocabulary.name(*choice), *of),
                            vocabulary.name(*value)
                        ),
                    ));
                } else if *yes {
                    known.0 = Some(*value);
                } else {
                    known.1.insert(*value);
                }
            }
            Entry::InHand { procedure, of } => self.in_hand.push((*procedure, *of)),
            Entry::MeasuredValue { measure, procedure, of, reading } => {
                self.values.push(((*measure, *procedure, *of), *reading, index));
            }
            Entry::Scan(scan) => self.scans.push((scan.clone(), index)),
            Entry::Done { procedure, of, outcome, at } => {
                self.done.push(DoneEntry { line: index, procedure: *procedure, of: *of, outcome: *outcome, at: *at })
            }
        }
    }

    /// Gives work the reasons that were said apart; what work was done because of has happened too.
    fn reasons(&mut self, job: &Job, vocabulary: &Vocabulary, problems: &mut Vec<Problem>) {
        let mut causes = Vec::new();
        for (happened, line) in &mut self.happened {
            let Some(subject) = happened.subject else { continue };
            let apart = self.because.get(&(happened.what, subject)).copied();
            if let (Some(said), Some((other, at))) = (happened.because, apart)
                && said != other
            {
                problems.push(two_reasons(job, *line, at, (happened.what, subject), vocabulary));
            }
            let reason = happened.because.map(|cause| (cause, *line)).or(apart);
            if let Some((cause, at)) = reason {
                happened.because = Some(cause);
                let of = vocabulary.happening(cause).is_some_and(|happening| happening.of);
                causes.push((cause, of.then_some(subject), at));
            }
        }
        for (what, subject, line) in causes {
            let listed = self
                .happened
                .iter()
                .any(|(happened, _)| happened.subject == subject && vocabulary.counts_as(happened.what, what));
            if !listed {
                let happened = Happened {
                    what,
                    subject,
                    place: None,
                    sizes: Vec::new(),
                    at: None,
                    because: None,
                    on_the_way: false,
                };
                self.happened.push((happened, line));
            }
        }
    }

    /// Contradictions that show only when all lines are read.
    fn check(&self, job: &Job, vocabulary: &Vocabulary, problems: &mut Vec<Problem>) {
        for (happened, line) in &self.happened {
            self.check_happened(job, happened, *line, vocabulary, problems);
        }
        let others = self.done.iter().filter_map(|entry| Some((entry.of?, entry.line))).chain(
            self.measured
                .iter()
                .flat_map(|((_, of, _), readings)| readings.iter().filter_map(move |(_, line)| Some(((*of)?, *line)))),
        );
        let others = others.chain(self.modules_read());
        for (subject, line) in others {
            self.check_fitted(job, subject, line, vocabulary, problems);
        }
        if let (Some(built), as_of) = (self.car.built, self.as_of)
            && built > as_of
        {
            problems.push(
                Problem::at(
                    Code::JobContradiction,
                    job.lines.get(self.car_line).map_or(job.span, |line| line.span),
                    format!("the car is built on {built}, after the day of the job, {as_of}"),
                    "built after the job",
                )
                .help("one of the two dates is wrong"),
            );
        }
        let times = self
            .done
            .iter()
            .filter_map(|entry| Some((entry.at?, entry.line)))
            .chain(self.happened.iter().filter_map(|(happened, line)| Some((happened.at?, *line))))
            .chain(self.scans.iter().filter_map(|(scan, line)| Some((scan.at?, *line))));
        for (at, line) in times {
            if at.date > self.as_of {
                problems.push(
                    Problem::at(
                        Code::JobContradiction,
                        job.lines.get(line).map_or(job.span, |line| line.span),
                        format!("{} is after the day the job is decided as of, {}", at.date, self.as_of),
                        "not yet so on that day",
                    )
                    .help("correct the date, or decide as of a later day with `--as-of`"),
                );
            }
        }
    }

    /// A part is new or old where another was put on: by listed work, or by work that makes it necessary.
    fn check_qualities(&self, job: &Job, library: &Library, problems: &mut Vec<Problem>) {
        let vocabulary = library.vocabulary();
        let puts_on = |what: TermId| vocabulary.happening(what).is_some_and(|happening| happening.puts_on);
        for (&(new, part, quality), &(_, line)) in &self.qualities {
            let listed = self.happened.iter().any(|(event, _)| event.subject == Some(part) && puts_on(event.what));
            let follows = library.facts().iter().any(|fact| match &fact.kind {
                FactKind::Access { effect, to, .. } => *to == part && puts_on(*effect),
                _ => false,
            });
            if listed || follows {
                continue;
            }
            let (age, name) = (if new { "new" } else { "old" }, vocabulary.name(part));
            problems.push(
                Problem::at(
                    Code::NoOtherPart,
                    job.lines.get(line).map_or(job.span, |line| line.span),
                    format!("`{age} {name}` is {} or not, and no other {name} was put on", vocabulary.name(quality)),
                    "no line lists work that puts on another one",
                )
                .help("list the work first, as in `work replaced front fascia`; what the car came with is no question of new and old"),
            );
        }
    }

    /// What contradicts something that happened.
    fn check_happened(
        &self,
        job: &Job,
        happened: &Happened,
        line: usize,
        vocabulary: &Vocabulary,
        problems: &mut Vec<Problem>,
    ) {
        let words = |what: TermId| match happened.subject {
            Some(subject) => format!("{} {}", vocabulary.name(subject), vocabulary.name(what)),
            None => vocabulary.name(what).to_string(),
        };
        // What counts as the milder thing denies that it did not happen.
        let denied = self
            .not_happened
            .iter()
            .find(|((what, subject), _)| *subject == happened.subject && vocabulary.counts_as(happened.what, *what));
        if let Some((&(what, _), &at)) = denied {
            let message = if what == happened.what {
                format!("`{}` is said to have happened, and not to have", words(what))
            } else {
                format!("`{}` counts as `{}`, which is said not to have happened", words(happened.what), words(what))
            };
            problems.push(contradiction(job, at, line, &message));
        }
        let Some(subject) = happened.subject else { return };
        self.check_fitted(job, subject, line, vocabulary, problems);
        if let Some((placing, zone)) = happened.place {
            for (what, part, (other, other_zone), at) in &self.placed {
                let inside = |placing: Placing| placing != Placing::Outside;
                if (*what, *part, *other_zone) == (happened.what, subject, zone) && inside(placing) != inside(*other) {
                    let message = format!(
                        "`{}` is said to be {} `{}`, and {} it",
                        words(happened.what),
                        placing.word(),
                        vocabulary.name(zone),
                        other.word()
                    );
                    problems.push(contradiction(job, line, *at, &message));
                }
            }
        }
    }

    /// Something said of equipment that is said not to be there.
    fn check_fitted(
        &self,
        job: &Job,
        subject: TermId,
        line: usize,
        vocabulary: &Vocabulary,
        problems: &mut Vec<Problem>,
    ) {
        if let Some(&(false, at)) = self.equipped.get(&subject) {
            let message =
                format!("`{}` is said not to be fitted, and something is said of it", vocabulary.name(subject));
            problems.push(contradiction(job, at, line, &message));
        }
    }

    /// Whether everything on a part was looked over; the line.
    pub fn looked_over(&self, part: TermId) -> Option<usize> {
        self.looked_over.get(&part).copied().or(self.looked_over_everything)
    }

    /// The modules that scans name, with their lines: what was read is there.
    fn modules_read(&self) -> impl Iterator<Item = (TermId, usize)> + '_ {
        self.scans.iter().flat_map(|(scan, line)| {
            let named = scan.modules.iter().flatten().copied();
            named.chain(scan.codes.iter().map(|code| code.module)).map(|module| (module, *line))
        })
    }

    /// Whether a term is fitted: what lines say, work listed on it, what was done with it or read from it, or a complete
    /// list that does not name it.
    pub fn fitted(&self, term: TermId, class: Class) -> Option<(bool, usize)> {
        if let Some(&known) = self.equipped.get(&term) {
            return Some(known);
        }
        let worked_on = self.happened.iter().find(|(happened, _)| happened.subject == Some(term));
        if let Some((_, line)) = worked_on {
            return Some((true, *line));
        }
        let done = self.done.iter().find(|entry| entry.of == Some(term)).map(|entry| entry.line);
        let read = || self.modules_read().find(|(module, _)| *module == term).map(|(_, line)| line);
        if let Some(line) = done.or_else(read) {
            return Some((true, line));
        }
        match self.equipment_complete {
            Some(line) if class.is_equipment() => Some((false, line)),
            _ => None,
        }
    }

    /// The place of a line.
    pub fn span(&self, line: usize) -> Option<Span> {
        self.lines.get(line).map(|line| line.span)
    }

    /// A line as written.
    pub fn written(&self, line: usize) -> &str {
        self.lines.get(line).map_or("", |line| line.written.as_str())
    }
}

fn two_reasons(
    job: &Job,
    first: usize,
    second: usize,
    (what, subject): (TermId, TermId),
    vocabulary: &Vocabulary,
) -> Problem {
    let (subject, what) = (vocabulary.name(subject), vocabulary.name(what));
    contradiction(job, first, second, &format!("two reasons are given why `{subject}` was {what}"))
}

fn contradiction(job: &Job, first: usize, second: usize, what: &str) -> Problem {
    let span = |index: usize| job.lines.get(index).map_or(job.span, |line| line.span);
    Problem::at(Code::JobContradiction, span(second), what, "this line and the other cannot both be true")
        .context(span(first), "the other")
        .help("take the wrong one away; if that cannot be found out, take both away: then it is unknown, and named where it matters")
}
