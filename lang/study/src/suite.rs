//! Test blocks: each supposed job is decided, and its answer compared with what is expected.

use knockon_decide::answer::{
    Answer, DutyVerdict, Met, OperationAnswer, Sentence, Told, Truth, ValueAnswer, ValueOutcome, ValueVerdict,
    Verdict as Given,
};
use knockon_decide::atoms::Said;
use knockon_decide::fact::{Domain, Fact};
use knockon_decide::job::ToCome;
use knockon_decide::{Decided, decide, decide_if};
use knockon_measure::Date;
use knockon_rules::Library;
use knockon_terms::TermId;
use knockon_terms::resolved::{
    CaseKey, ConclusionKind, DutyName, Ending, Expect, ExpectKind, FactName, Job, Permitted, Test, Value, ValueExpect,
    Verdict,
};
use knockon_text::{Code, Problem};

/// The day tests are decided as of where they say none: fixed, so that a test means the same tomorrow.
pub const DEFAULT_DAY: (i32, u8, u8) = (2025, 6, 2);

/// How a test went.
#[derive(Clone, Debug)]
pub struct TestResult {
    /// Its name.
    pub name: String,
    /// Whether every expectation holds.
    pub passed: bool,
    /// What does not hold.
    pub failures: Vec<Problem>,
    /// Whether nothing any rule of the library does could make it fail.
    pub never_fails: bool,
}

/// Runs one test.
pub fn run(library: &Library, test: &Test) -> TestResult {
    let mut result = TestResult {
        name: test.name.clone(),
        passed: false,
        failures: Vec::new(),
        never_fails: never_fails(library, test),
    };
    let (year, month, day) = DEFAULT_DAY;
    let job = Job {
        name: test.name.clone(),
        dated: Date::new(year, month, day).ok(),
        lines: test.lines.clone(),
        span: test.span,
    };
    match decide(library, &job, None) {
        Ok(decided) => {
            for expect in &test.expects {
                let checker = Checker { library, decided: &decided, test };
                let found = match expect.ending {
                    Some(ending) => {
                        checker.not_to_come(ending).or_else(|| wrong_if(library, test, &job, expect, ending))
                    }
                    None => checker.wrong(expect),
                };
                if let Some(found) = found {
                    result.failures.push(
                        Problem::at(
                            Code::TestFailed,
                            expect.span,
                            format!("\"{}\": this expectation does not hold", test.name),
                            found,
                        )
                        .help("either the rules or the expectation is wrong; `knockon decide` shows why"),
                    );
                }
            }
        }
        Err(problems) => result.failures = problems,
    }
    result.passed = result.failures.is_empty();
    result
}

/// What is found instead once a procedure has ended so; nothing where the expectation holds.
fn wrong_if(library: &Library, test: &Test, job: &Job, expect: &Expect, ending: Ending) -> Option<String> {
    let Ending { procedure, of, outcome } = ending;
    match decide_if(library, job, None, &[ToCome { procedure, of, outcome }]) {
        Ok(decided) => Checker { library, decided: &decided, test }.wrong(expect),
        Err(problems) => Some(problems.into_iter().map(|problem| problem.message).collect::<Vec<_>>().join("; ")),
    }
}

/// A test with nothing expected, or that expects nothing of what no rule ever speaks of.
fn never_fails(library: &Library, test: &Test) -> bool {
    test.expects.iter().all(|expect| match &expect.kind {
        ExpectKind::Duty { duty, verdict: Verdict::Absent, .. } => !spoken_of(library, duty),
        _ => false,
    })
}

fn spoken_of(library: &Library, duty: &DutyName) -> bool {
    let procedure = duty.procedure;
    library.resolved.rules.iter().flat_map(|rule| &rule.conclusions).any(|conclusion| match &conclusion.kind {
        ConclusionKind::Require { duty, .. }
        | ConclusionKind::Advise { duty, .. }
        | ConclusionKind::LeaveOpen { duty, .. }
        | ConclusionKind::Waive { duty, .. } => duty.procedure == procedure,
        ConclusionKind::OpenList { listed, .. } => listed.iter().any(|duty| duty.procedure == procedure),
        ConclusionKind::Either { ways, .. } => ways.iter().any(|way| way.procedure == procedure),
        _ => false,
    })
}

/// Whether a verdict is on the duty a test names; the duties of a choice may be named in any order.
fn is_duty(duty: &DutyVerdict, name: &DutyName) -> bool {
    let mut named: Vec<_> = std::iter::once((name.procedure, name.of)).chain(name.or.iter().copied()).collect();
    let mut ways: Vec<_> = duty.key().ways().collect();
    named.sort_unstable();
    ways.sort_unstable();
    named == ways
}

/// Whether a duty may be begun by every text that says when: a text that may not be for the car settles nothing alone.
fn ready_of(duty: &DutyVerdict) -> Option<Truth> {
    let all = duty.how.iter().filter_map(|how| how.ready.map(|ready| (ready, how.certain)));
    all.map(|(ready, certain)| if certain || ready == Truth::Yes { ready } else { Truth::NotKnown }).reduce(
        |one, two| match (one, two) {
            (Truth::No, _) | (_, Truth::No) => Truth::No,
            (Truth::Yes, Truth::Yes) => Truth::Yes,
            _ => Truth::NotKnown,
        },
    )
}

struct Checker<'a> {
    library: &'a Library,
    decided: &'a Decided,
    test: &'a Test,
}

impl Checker<'_> {
    fn answer(&self) -> &Answer {
        &self.decided.answer
    }

    fn duty(&self, name: &DutyName) -> Option<&DutyVerdict> {
        self.answer().duties.iter().find(|duty| is_duty(duty, name))
    }

    fn name(&self, term: TermId) -> &str {
        self.library.vocabulary().name(term)
    }

    /// Why how a procedure ends is no branch of this job; nothing where it is one.
    fn not_to_come(&self, ending: Ending) -> Option<String> {
        let is_way = |duty: &&DutyVerdict| duty.key().ways().any(|way| way == (ending.procedure, ending.of));
        match self.answer().duties.iter().find(is_way) {
            None => Some("it is not due, so how it ends is no branch of this job".to_string()),
            Some(duty) if duty.verdict == Given::NotNeeded => {
                Some("it is not needed, so how it ends is no branch of this job".to_string())
            }
            Some(duty) => match &duty.met {
                Met::Yes(line) | Met::Unclear(line) => Some(format!("it was carried out already, {line}")),
                Met::No => None,
            },
        }
    }

    /// What is found instead; nothing where the expectation holds.
    fn wrong(&self, expect: &Expect) -> Option<String> {
        match &expect.kind {
            ExpectKind::Duty { duty, verdict, by, because_of, words } => self
                .verdict(duty, verdict)
                .or_else(|| by.as_ref().and_then(|by| self.by(duty, by)))
                .or_else(|| because_of.and_then(|cause| self.because_of(duty, cause)))
                .or_else(|| words.as_ref().and_then(|words| self.words(duty, words))),
            ExpectKind::Value { measure, procedure, of, verdict, by } => {
                self.value((*measure, *procedure, *of), verdict, by.as_deref())
            }
            ExpectKind::Met { duty, yes } => {
                let Some(duty) = self.duty(duty) else { return Some("there is no such duty".to_string()) };
                let met = matches!(duty.met, Met::Yes(_));
                (met != *yes).then(|| if met { "it is met" } else { "it is not met" }.to_string())
            }
            ExpectKind::Ready { duty, ready } => {
                let Some(duty) = self.duty(duty) else { return Some("there is no such duty".to_string()) };
                let Some(found) = ready_of(duty) else {
                    return Some("no text says when it is ready".to_string());
                };
                let wanted = match ready {
                    Some(true) => Truth::Yes,
                    Some(false) => Truth::No,
                    None => Truth::NotKnown,
                };
                (found != wanted).then(|| match found {
                    Truth::Yes => "it is ready".to_string(),
                    Truth::No => "it is not ready".to_string(),
                    Truth::NotKnown => "it is not known whether it is ready".to_string(),
                })
            }
            ExpectKind::Held { duty, yes } => {
                let Some(duty) = self.duty(duty) else { return Some("there is no such duty".to_string()) };
                let held = !duty.held.is_empty();
                (held != *yes).then(|| match duty.held.first() {
                    Some(held) => format!("it is held until {}", held.until),
                    None => "it is not held".to_string(),
                })
            }
            ExpectKind::Silent { sensor, because_of, read, yes } => {
                let found = self.answer().silences.iter().any(|silence| {
                    silence.sensor == *sensor
                        && silence.certain
                        && because_of.is_none_or(|cause| self.is_event(silence.event.0 as usize, cause))
                        && read.is_none_or(|source| silence.read.iter().any(|read| read.source == source))
                });
                (found != *yes).then(|| {
                    let all: Vec<String> = self
                        .answer()
                        .silences
                        .iter()
                        .map(|silence| {
                            let perhaps = if silence.certain { "" } else { " perhaps" };
                            format!("{}{perhaps} ({})", silence.name, silence.because_of)
                        })
                        .collect();
                    if all.is_empty() { "nothing is silent".to_string() } else { format!("silent: {}", all.join(", ")) }
                })
            }
            ExpectKind::Touched { part, yes } => {
                let found = self.answer().touched.iter().any(|touched| touched.part == *part && touched.certain);
                let perhaps = self.answer().touched.iter().any(|touched| touched.part == *part);
                let wrong = if *yes { !found } else { perhaps };
                wrong.then(|| match (found, perhaps) {
                    (true, _) => "it is touched".to_string(),
                    (false, true) => "it is perhaps touched".to_string(),
                    _ => "it is not touched".to_string(),
                })
            }
            ExpectKind::Operation { operation, part, zone, verdict } => {
                self.operation((*operation, *part, *zone), verdict)
            }
            ExpectKind::Before(first, second) => {
                let found = self.answer().orders.iter().any(|order| order.first == *first && order.second == *second);
                (!found).then(|| {
                    let all: Vec<&str> = self.answer().orders.iter().map(|order| order.words.as_str()).collect();
                    if all.is_empty() { "no order is given".to_string() } else { format!("orders: {}", all.join("; ")) }
                })
            }
            ExpectKind::Asked(fact, yes) => {
                let found = self
                    .answer()
                    .questions
                    .iter()
                    .any(|question| !question.cannot_tell && self.is_fact(question.fact.variable.0 as usize, fact));
                (found != *yes).then(|| {
                    let all: Vec<&str> =
                        self.answer().questions.iter().map(|question| question.fact.name.as_str()).collect();
                    if all.is_empty() { "nothing is asked".to_string() } else { format!("asked: {}", all.join(", ")) }
                })
            }
            ExpectKind::Question(text, yes) => {
                let found = self.answer().asks.iter().any(|ask| ask.text == *text);
                (found != *yes).then(|| told("asked", &self.answer().asks))
            }
            ExpectKind::Warned { text, certain, yes } => {
                let found = self.answer().warnings.iter().find(|warning| warning.text == *text);
                let right = match found {
                    Some(warning) => *yes && warning.certain == *certain,
                    None => !*yes,
                };
                (!right).then(|| told("warned", &self.answer().warnings))
            }
            ExpectKind::Off { system, yes } => {
                let mut off = self.answer().duties.iter().flat_map(|duty| &duty.off);
                let found = off.any(|off| off.system == *system && (off.certain || !*yes));
                (found != *yes).then(|| if found { "it is off" } else { "it is not certainly off" }.to_string())
            }
            ExpectKind::CameOffOpen => {
                self.answer().came_off.is_empty().then(|| "what came off is settled".to_string())
            }
            ExpectKind::Offered(parts) => {
                let offered: Vec<TermId> =
                    self.answer().came_off.iter().flat_map(|work| &work.offered).map(|(part, _)| *part).collect();
                let missing: Vec<&str> =
                    parts.iter().filter(|part| !offered.contains(part)).map(|&part| self.name(part)).collect();
                (!missing.is_empty()).then(|| format!("not offered: {}", missing.join(", ")))
            }
            ExpectKind::NothingElse => self.something_else(),
        }
    }

    fn verdict(&self, name: &DutyName, wanted: &Verdict) -> Option<String> {
        let found = self.duty(name);
        let same = matches!(
            (found.map(|duty| duty.verdict), wanted),
            (None, Verdict::Absent)
                | (Some(Given::Required), Verdict::Required)
                | (Some(Given::Conflict), Verdict::Conflict)
                | (Some(Given::Advised), Verdict::Advised)
                | (Some(Given::NotNeeded), Verdict::NotNeeded)
                | (Some(Given::Open), Verdict::Open(_))
        );
        let Some(found) = found else { return (!same).then(|| "nothing is said of it".to_string()) };
        if !same {
            let facts: Vec<&str> = found.turns_on.iter().map(|fact| fact.name.as_str()).collect();
            let on = if facts.is_empty() { String::new() } else { format!(", on {}", facts.join(", ")) };
            return Some(format!("it is {}{on}", found.verdict.words()));
        }
        if let Verdict::Open(Some(facts)) = wanted {
            return self
                .turns_on(found.turns_on.iter().map(|fact| (fact.variable.0 as usize, fact.name.as_str())), facts);
        }
        None
    }

    /// Whether exactly these facts are turned on.
    fn turns_on<'f>(&self, found: impl Iterator<Item = (usize, &'f str)>, wanted: &[FactName]) -> Option<String> {
        let found: Vec<(usize, &str)> = found.collect();
        let extra: Vec<&str> = found
            .iter()
            .filter(|(variable, _)| !wanted.iter().any(|fact| self.is_fact(*variable, fact)))
            .map(|(_, name)| *name)
            .collect();
        let missing = wanted.iter().any(|fact| !found.iter().any(|(variable, _)| self.is_fact(*variable, fact)));
        if extra.is_empty() && !missing {
            return None;
        }
        let all: Vec<&str> = found.iter().map(|(_, name)| *name).collect();
        Some(format!("it turns on {}", all.join(", ")))
    }

    fn by(&self, name: &DutyName, wanted: &[String]) -> Option<String> {
        let duty = self.duty(name)?;
        // The rules that give this verdict; of one settled only by cases, or open, all that may.
        let gives = |said: &Said| match duty.verdict {
            Given::Required => *said == Said::Ask,
            Given::Advised => *said == Said::Advise,
            Given::NotNeeded => matches!(said, Said::Waive | Said::Excuse),
            Given::Conflict | Given::Open => true,
        };
        let reasons = || duty.causes.iter().flat_map(|cause| &cause.reasons).filter(|reason| gives(&reason.said));
        let surely = duty.verdict != Given::Open && reasons().any(|reason| reason.certain);
        let mut found: Vec<&str> =
            reasons().filter(|reason| reason.certain || !surely).map(|reason| reason.name.as_str()).collect();
        found.sort_unstable();
        found.dedup();
        let mut wanted: Vec<&str> = wanted.iter().map(String::as_str).collect();
        wanted.sort_unstable();
        wanted.dedup();
        (found != wanted).then(|| {
            let all: Vec<String> = found.iter().map(|name| format!("\"{name}\"")).collect();
            format!("it is by {}", all.join(", "))
        })
    }

    fn because_of(&self, name: &DutyName, cause: (TermId, Option<TermId>)) -> Option<String> {
        let duty = self.duty(name)?;
        let found =
            duty.causes.iter().flat_map(|found| &found.causes).any(|event| self.is_event(event.0 as usize, cause));
        (!found).then(|| {
            let all: Vec<&str> = duty.causes.iter().map(|cause| cause.words.as_str()).collect();
            format!("it is because of {}", all.join("; "))
        })
    }

    fn words(&self, name: &DutyName, wanted: &str) -> Option<String> {
        let duty = self.duty(name)?;
        let mut found =
            duty.causes.iter().flat_map(|cause| &cause.reasons).filter_map(|reason| reason.words.as_deref());
        (!found.any(|words| words == wanted)).then(|| "no reason is in these words".to_string())
    }

    fn operation(
        &self,
        (operation, part, zone): (TermId, TermId, Option<TermId>),
        wanted: &Permitted,
    ) -> Option<String> {
        let all = self.answer().operations.iter().filter(|found| found.operation == operation && found.part == part);
        let all: Vec<_> = all.collect();
        let found = match (all.as_slice(), zone) {
            // Where there is only one verdict on it, that one is meant.
            ([only], None) => Some(*only),
            _ => all.into_iter().find(|found| found.zone == zone),
        };
        let same = matches!(
            (found.map(|found| found.verdict), wanted),
            (None, Permitted::Silent)
                | (Some(OperationAnswer::Forbidden), Permitted::Forbidden)
                | (Some(OperationAnswer::Allowed), Permitted::Allowed)
                | (Some(OperationAnswer::Conflict), Permitted::Conflict)
                | (Some(OperationAnswer::Open), Permitted::Open(_))
        );
        let Some(found) = found else { return (!same).then(|| "nobody speaks of it".to_string()) };
        if !same {
            return Some(format!("it is {}", found.verdict.words()));
        }
        if let Permitted::Open(Some(facts)) = wanted {
            return self
                .turns_on(found.turns_on.iter().map(|fact| (fact.variable.0 as usize, fact.name.as_str())), facts);
        }
        None
    }

    fn value(
        &self,
        (measure, procedure, of): (TermId, TermId, Option<TermId>),
        wanted: &ValueExpect,
        by: Option<&[String]>,
    ) -> Option<String> {
        let found = self
            .answer()
            .values
            .iter()
            .find(|value| (value.measure, value.procedure, value.of) == (measure, procedure, of));
        let Some(found) = found.filter(|found| found.verdict != ValueAnswer::NotGiven || !found.measured.is_empty())
        else {
            return (*wanted != ValueExpect::Absent).then(|| "no value is given".to_string());
        };
        let outcomes: Vec<String> = found.outcomes.iter().map(|(outcome, _)| outcome.words()).collect();
        let readings = || found.measured.iter().map(|measured| measured.sentence);
        let right = match wanted {
            ValueExpect::Given(value, limit) => {
                found.verdict == ValueAnswer::Given
                    && found.outcomes.iter().all(|(outcome, _)| match outcome {
                        ValueOutcome::Stands(all) => all.iter().filter_map(|one| one.value.as_ref()).all(|one| {
                            one.0 == *value && limit.as_ref().is_none_or(|limit| limit.limit == one.1 && !one.3)
                        }),
                        _ => false,
                    })
            }
            ValueExpect::Within => !found.measured.is_empty() && readings().all(|one| one == Sentence::Within),
            ValueExpect::Outside => readings().any(|one| one == Sentence::Outside),
            ValueExpect::CannotSay => {
                readings().any(|one| one == Sentence::CannotSay) && !readings().any(|one| one == Sentence::Outside)
            }
            ValueExpect::Conflict => found.verdict == ValueAnswer::Conflict,
            ValueExpect::Open(_) => found.verdict == ValueAnswer::Open,
            ValueExpect::CannotBeSet => found.verdict == ValueAnswer::CannotBeSet,
            ValueExpect::Absent => found.verdict == ValueAnswer::NotGiven,
        };
        if !right {
            let measured: Vec<String> =
                found.measured.iter().map(|one| format!("{} {}", one.reading, one.sentence.words())).collect();
            let measured =
                if measured.is_empty() { String::new() } else { format!("; measured {}", measured.join(", ")) };
            return Some(format!("it is {}: {}{measured}", found.verdict.words(), outcomes.join(", or ")));
        }
        if let ValueExpect::Open(Some(facts)) = wanted {
            let turns = found.turns_on.iter().map(|fact| (fact.variable.0 as usize, fact.name.as_str()));
            if let Some(wrong) = self.turns_on(turns, facts) {
                return Some(wrong);
            }
        }
        let mut rules: Vec<&str> = found
            .reasons
            .iter()
            .filter(|(_, reason)| reason.gave_way_to.is_none())
            .map(|(_, reason)| reason.name.as_str())
            .collect();
        rules.sort_unstable();
        rules.dedup();
        let mut named: Vec<&str> = by?.iter().map(String::as_str).collect();
        named.sort_unstable();
        (rules != named).then(|| format!("it is by {}", rules.join(", ")))
    }

    /// What the test does not mention.
    fn something_else(&self) -> Option<String> {
        let mentioned = |duty: &DutyVerdict| {
            self.test.expects.iter().any(|expect| match &expect.kind {
                ExpectKind::Duty { duty: name, .. }
                | ExpectKind::Met { duty: name, .. }
                | ExpectKind::Held { duty: name, .. }
                | ExpectKind::Ready { duty: name, .. } => is_duty(duty, name),
                _ => false,
            })
        };
        let mut extra: Vec<String> = self
            .answer()
            .duties
            .iter()
            .filter(|duty| duty.verdict != Given::NotNeeded && !mentioned(duty))
            .map(|duty| format!("{} {}", duty.name, duty.verdict.words()))
            .collect();
        extra.extend(
            self.answer()
                .silences
                .iter()
                .filter(|silence| {
                    !self.test.expects.iter().any(|expect| match &expect.kind {
                        ExpectKind::Silent { sensor, because_of, read: _, yes: true } => {
                            silence.sensor == *sensor
                                && because_of.is_none_or(|cause| self.is_event(silence.event.0 as usize, cause))
                        }
                        _ => false,
                    })
                })
                .map(|silence| format!("{} silent because of {}", silence.name, silence.because_of)),
        );
        let named = |value: &ValueVerdict| {
            self.test.expects.iter().any(|expect| match &expect.kind {
                ExpectKind::Value { measure, procedure, of, .. } => {
                    (value.measure, value.procedure, value.of) == (*measure, *procedure, *of)
                }
                _ => false,
            })
        };
        extra.extend(
            self.answer()
                .values
                .iter()
                .filter(|value| matches!(value.verdict, ValueAnswer::Open | ValueAnswer::Conflict) && !named(value))
                .map(|value| format!("{} {}", value.name, value.verdict.words())),
        );
        if extra.is_empty() { None } else { Some(format!("also: {}", extra.join("; "))) }
    }

    fn is_event(&self, event: usize, (what, subject): (TermId, Option<TermId>)) -> bool {
        self.decided
            .grounded
            .events
            .get(event)
            .is_some_and(|event| event.subject == subject && self.library.vocabulary().counts_as(event.what, what))
    }

    /// Whether a variable of the job is the fact a test names.
    fn is_fact(&self, variable: usize, name: &FactName) -> bool {
        let Some(variable) = self.decided.grounded.program.variables.get(variable) else { return false };
        match (&variable.fact, name) {
            (Fact::Model, FactName::Model)
            | (Fact::ModelYear, FactName::ModelYear)
            | (Fact::Built, FactName::Built)
            | (Fact::Vin, FactName::Vin)
            | (Fact::WorkComplete | Fact::NothingUnlisted, FactName::WorkComplete)
            | (Fact::Order { .. }, FactName::Order) => true,
            (Fact::Equipped(term), FactName::Equipped(named)) => term == named,
            (Fact::CarriedOut(procedure, of), FactName::CarriedOut(named, named_of)) => {
                procedure == named && of == named_of
            }
            (Fact::Condition(term, of), FactName::Condition(named, named_of)) => term == named && of == named_of,
            (Fact::Code { module, .. }, FactName::Codes(named)) => module == named,
            (Fact::Choice(term, of), FactName::Choice(named, named_of)) => term == named && of == named_of,
            (
                Fact::Measure { measure, of, change, .. },
                FactName::Measure { measure: named, of: named_of, change: named_change },
            ) => measure == named && of == named_of && change == named_change,
            (Fact::Size { measure, .. }, FactName::Measure { measure: named, of: None, change: false }) => {
                measure == named
            }
            (Fact::OnTheWay(part), FactName::Happened { what, subject, zone: None }) => {
                let Domain::Done(operations) = &variable.domain else { return false };
                *subject == Some(*part) && operations.iter().any(|(operation, _)| operation == what)
            }
            (Fact::Occurred(event), FactName::Happened { what, subject, zone: None }) => {
                self.is_event(event.0 as usize, (*what, *subject))
            }
            (Fact::Place { event, zone }, FactName::Happened { what, subject, zone: Some(named) }) => {
                zone == named && self.is_event(event.0 as usize, (*what, *subject))
            }
            (
                Fact::Quality { new, part, quality },
                FactName::Quality { new: named_new, part: named_part, quality: named },
            ) => new == named_new && part == named_part && quality == named,
            (Fact::Why(event), FactName::Why { what, subject }) => {
                self.is_event(event.0 as usize, (*what, Some(*subject)))
            }
            (Fact::Reading(rule), FactName::Reading(source, section)) => self.library.rule(*rule).is_some_and(|rule| {
                rule.cites.source == *source && (section.is_none() || rule.cites.section == *section)
            }),
            (Fact::LeftOpen(rule, _), FactName::LeftOpen(source, section)) => {
                self.library.rule(*rule).is_some_and(|rule| {
                    rule.cites.source == *source && (section.is_none() || rule.cites.section == *section)
                })
            }
            (Fact::WhichPlace(rule, number), FactName::WhichPlace(named)) => {
                let rule = self.library.rule(*rule);
                let conclusion = rule.and_then(|rule| rule.conclusions.get(*number as usize));
                matches!(
                    conclusion.map(|conclusion| &conclusion.kind),
                    Some(ConclusionKind::Set(Value { by: Some(CaseKey::Choice(choice, _)), .. })) if choice == named
                )
            }
            (Fact::SourceHolds(source), FactName::SourceHolds(named)) => source == named,
            (Fact::ListComplete(list, of), FactName::Complete(named, named_of)) => list == named && of == named_of,
            _ => false,
        }
    }
}

/// What rules ask or warn of, for a failure.
fn told(word: &str, all: &[Told]) -> String {
    let all: Vec<String> =
        all.iter().map(|told| format!("{}\"{}\"", if told.certain { "" } else { "perhaps " }, told.text)).collect();
    if all.is_empty() { format!("nothing is {word} by a rule") } else { format!("{word}: {}", all.join(", ")) }
}
