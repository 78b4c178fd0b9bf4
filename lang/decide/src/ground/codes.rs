//! Trouble codes: what a scan after the work shows of a module, and what it leaves unknown.

use knockon_measure::{CodePattern, StatusReading, Truth};
use knockon_rules::Library;
use knockon_terms::resolved::{Codes, Condition, Form, FoundCode, Kept, ReadWhen, Scan};
use knockon_terms::{Class, TermId};

use super::{Grounder, yes_no};
use crate::atoms::Lit;
use crate::event::{EventId, Origin};
use crate::fact::{Ask, Domain, Fact};

impl Grounder<'_> {
    /// Whether a module holds such codes after the work: what the last scan after it showed, else unknown.
    pub(super) fn code(&mut self, module: TermId, codes: Codes, kept: Kept) -> Lit {
        if codes == Codes::Any
            && let Some(pattern) = self.code_pattern
        {
            // Some code is one that fits or one that does not; said in one way, so that rules about either agree.
            let like = self.code(module, Codes::Like(pattern), kept);
            let other = self.code(module, Codes::OtherThan(pattern), kept);
            return self.out.program.any(vec![like, other]);
        }
        let variable = self.out.program.variable(Fact::Code { module, codes, kept, scan: None }, || Domain::YesNo);
        let unknown = self.out.program.leaf(variable, &Ask::Yes);
        let scans: Vec<(Scan, usize)> = self.job.scans.iter().filter(|(scan, _)| scan.reads(module)).cloned().collect();
        let (mut afters, mut yes, mut no) = (Vec::new(), Vec::new(), Vec::new());
        for (scan, line) in &scans {
            // Of two scans the later counts; where their order is not known, only what both show.
            let later = |(other, _): &(Scan, usize)| {
                other.at.zip(scan.at).and_then(|(other, at)| other.compare(&at)) == Some(std::cmp::Ordering::Greater)
            };
            let after = self.after_work(scan, *line);
            if after == Lit::False || scans.iter().any(later) {
                continue;
            }
            let shown = self.shown(scan, *line, module, codes, kept);
            afters.push(after);
            yes.push(self.out.program.any(vec![after.denied(), shown]));
            no.push(self.out.program.any(vec![after.denied(), shown.denied()]));
        }
        let program = &mut self.out.program;
        let (read, yes, no) = (program.any(afters), program.all(yes), program.all(no));
        let agreed = program.any(vec![yes, no]);
        let told = program.all(vec![read, agreed]);
        let holds = program.all(vec![read, yes]);
        let else_so = program.all(vec![told.denied(), unknown]);
        program.any(vec![holds, else_so])
    }

    /// Whether a module was read since the work.
    pub(super) fn was_read(&mut self, module: TermId) -> Lit {
        let mut ways = Vec::new();
        for (scan, line) in self.job.scans.clone() {
            if scan.reads(module) {
                ways.push(self.after_work(&scan, line));
            }
        }
        self.out.program.any(ways)
    }

    /// Whether a scan came after everything that was done or happened.
    fn after_work(&mut self, scan: &Scan, line: usize) -> Lit {
        let events: Vec<EventId> = (0..self.out.events.len() as u32)
            .map(EventId)
            .filter(|event| {
                self.out.events.get(event.0 as usize).is_some_and(|event| {
                    matches!(event.origin, Origin::Line(_)) && self.vocabulary.class(event.what) != Class::Finding
                })
            })
            .collect();
        let mut lits = Vec::new();
        for event in events {
            let happened = self.out.events.get(event.0 as usize).and_then(|event| event.at);
            let by_time = scan.at.zip(happened).and_then(|(at, happened)| at.compare(&happened));
            // A time says more than *after work*: work done later is not covered by the scan.
            lits.push(match (by_time, scan.when) {
                (Some(std::cmp::Ordering::Greater), _) => Lit::True,
                (Some(std::cmp::Ordering::Less), _) => Lit::False,
                (_, ReadWhen::AfterWork) => Lit::True,
                (_, ReadWhen::OnArrival) => Lit::False,
                (_, ReadWhen::NotSaid) => self.after(line, scan.at, event),
            });
        }
        self.out.program.all(lits)
    }

    /// What one scan shows of a module. That a code is not there counts only once its test has run.
    fn shown(&mut self, scan: &Scan, line: usize, module: TermId, codes: Codes, kept: Kept) -> Lit {
        let found = scan.codes.iter().filter(|found| found.module == module);
        let truths: Vec<Truth> = found.map(|found| both(fits(codes, found), is_kept(found, kept))).collect();
        let known = if truths.contains(&Truth::Yes) {
            Some(true)
        } else if !truths.contains(&Truth::CannotSay) && scan.tested == Some(true) {
            Some(false)
        } else {
            None
        };
        let variable =
            self.out.program.variable(Fact::Code { module, codes, kept, scan: Some(line) }, || Domain::YesNo);
        if let Some(known) = known
            && let Some(found) = self.out.program.variable_mut(variable)
        {
            found.given = Some(yes_no(known));
        }
        self.out.program.leaf(variable, &Ask::Yes)
    }
}

fn fits(codes: Codes, found: &FoundCode) -> Truth {
    match codes {
        Codes::Any => Truth::Yes,
        Codes::Like(pattern) => pattern.matches(found.code),
        Codes::OtherThan(pattern) => match pattern.matches(found.code) {
            Truth::Yes => Truth::No,
            Truth::No => Truth::Yes,
            Truth::CannotSay => Truth::CannotSay,
        },
    }
}

fn is_kept(found: &FoundCode, kept: Kept) -> Truth {
    let shown = match found.status.map(|status| status.reading()) {
        None if found.pending => Kept::Pending,
        None | Some(StatusReading::FaultPresent | StatusReading::Confirmed) => Kept::Stored,
        Some(StatusReading::Pending) => Kept::Pending,
        Some(StatusReading::TestedAndNeverFailed) => return Truth::No,
        Some(StatusReading::NotTestedSinceClear | StatusReading::FailedSinceClear | StatusReading::CannotSay) => {
            return Truth::CannotSay;
        }
    };
    if shown == kept { Truth::Yes } else { Truth::No }
}

fn both(one: Truth, two: Truth) -> Truth {
    match (one, two) {
        (Truth::No, _) | (_, Truth::No) => Truth::No,
        (Truth::Yes, Truth::Yes) => Truth::Yes,
        _ => Truth::CannotSay,
    }
}

/// One pattern that rules name, the same whatever order they were loaded in.
pub(super) fn named_pattern(library: &Library) -> Option<CodePattern> {
    fn collect(condition: &Condition, found: &mut Option<CodePattern>) {
        match condition {
            Condition::All(parts) | Condition::AnyOf(parts) => parts.iter().for_each(|part| collect(part, found)),
            Condition::Not(inner) => collect(inner, found),
            Condition::Quantified { body, .. } => collect(body, found),
            Condition::Sentence(Form::Code { codes: Codes::Like(pattern) | Codes::OtherThan(pattern), .. }, _) => {
                *found = Some(found.map_or(*pattern, |known| known.min(*pattern)));
            }
            Condition::Sentence(..) => {}
        }
    }
    let mut found = None;
    for rule in &library.resolved.rules {
        rule.when.iter().chain(&rule.unless).for_each(|condition| collect(condition, &mut found));
    }
    found
}
