//! Branches: what follows from how that ends which is due and not carried out yet. Not a question and not a gap:
//! the job is decided again as it will stand then, and what that answer asks on top of this one is told.

use knockon_rules::{JobProgram, Library};
use knockon_terms::TermId;

use super::{Decided, decide_once};
use crate::answer::{Answer, Branch, DutyVerdict, Follows, Met, OperationAnswer, OperationVerdict, Reason, Verdict};
use crate::atoms::Said;
use crate::job::ToCome;
use crate::naming::Naming;

/// How many ends one answer looks at. A plan with more branches is read by nobody.
pub const MOST_BRANCHES: usize = 64;

/// How many ends may follow one from the other.
pub const DEEPEST_BRANCH: usize = 4;

/// Adds the branches to an answer.
pub fn add(library: &Library, scoped: &JobProgram, decided: &mut Decided) {
    let due: Vec<Due> = decided.answer.duties.iter().flat_map(ends).collect();
    let mut brancher = Brancher { library, scoped, looked_at: 0, cut: false };
    let branches = brancher.branches(decided, &due, 0);
    decided.answer.branches = branches;
    if brancher.cut {
        decided.answer.limits.push(format!(
            "what follows from how procedures end: more than {MOST_BRANCHES} ends, or more than {DEEPEST_BRANCH} one after the other"
        ));
    }
}

/// A procedure and what it is of.
type Due = (TermId, Option<TermId>);

/// What of a duty is still to be carried out.
fn ends(duty: &DutyVerdict) -> Vec<Due> {
    if duty.verdict == Verdict::NotNeeded || duty.met != Met::No { Vec::new() } else { duty.key().ways().collect() }
}

struct Brancher<'a> {
    library: &'a Library,
    scoped: &'a JobProgram,
    looked_at: usize,
    cut: bool,
}

impl Brancher<'_> {
    fn branches(&mut self, base: &Decided, due: &[Due], depth: usize) -> Vec<Branch> {
        let mut branches = Vec::new();
        for &(procedure, of) in due {
            let known = |entry: &ToCome| (entry.procedure, entry.of) == (procedure, of);
            if base.job.to_come.iter().any(known) {
                continue;
            }
            for outcome in self.library.ends_asked(procedure) {
                if self.looked_at >= MOST_BRANCHES || depth >= DEEPEST_BRANCH {
                    self.cut = true;
                    return branches;
                }
                self.looked_at += 1;
                branches.extend(self.branch(base, ToCome { procedure, of, outcome }, depth));
            }
        }
        branches
    }

    /// What follows from one end; nothing where nothing does.
    fn branch(&mut self, base: &Decided, end: ToCome, depth: usize) -> Option<Branch> {
        let mut job = base.job.clone();
        job.to_come.push(end);
        let then = decide_once(self.library, self.scoped, job);
        let more = more_due(&base.answer, &then.answer);
        let mut follows: Vec<Follows> = more.iter().map(|duty| duty_follows(duty)).collect();
        follows.extend(more_held(&base.answer, &then.answer));
        follows.extend(more_forbidden(&base.answer, &then.answer));
        follows.extend(more_warned(&base.answer, &then.answer));
        if follows.is_empty() {
            return None;
        }
        let due: Vec<Due> = more.into_iter().flat_map(ends).collect();
        let naming = Naming { library: self.library, job: &base.job, events: &base.grounded.events };
        let duty = naming.duty(end.procedure, end.of);
        let name = match end.outcome {
            Some(outcome) => format!("{duty} ends in {}", naming.term(outcome)),
            None => format!("{duty} is done"),
        };
        let then = self.branches(&then, &due, depth + 1);
        Some(Branch { procedure: end.procedure, of: end.of, outcome: end.outcome, name, follows, then })
    }
}

/// The duties of which the later answer asks more.
fn more_due<'a>(now: &Answer, then: &'a Answer) -> Vec<&'a DutyVerdict> {
    let asks = |duty: Option<&DutyVerdict>| match duty.map(|duty| duty.verdict) {
        None | Some(Verdict::NotNeeded) => 0,
        Some(Verdict::Advised) => 1,
        Some(Verdict::Open) => 2,
        Some(Verdict::Conflict) => 3,
        Some(Verdict::Required) => 4,
    };
    let before = |duty: &DutyVerdict| now.duties.iter().find(|found| found.key() == duty.key());
    then.duties.iter().filter(|duty| asks(Some(duty)) > asks(before(duty))).collect()
}

fn duty_follows(duty: &DutyVerdict) -> Follows {
    let reasons = duty.causes.iter().flat_map(|cause| &cause.reasons);
    let asks = |reason: &&Reason| matches!(reason.said, Said::Ask | Said::Advise) && reason.gave_way_to.is_none();
    Follows {
        name: duty.name.clone(),
        verdict: duty.verdict.words(),
        on: duty.turns_on.iter().map(|fact| fact.name.clone()).collect(),
        by: cited(reasons.filter(asks)),
    }
}

/// The rules of reasons, each once.
fn cited<'a>(reasons: impl Iterator<Item = &'a Reason>) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = reasons.map(|reason| (reason.name.clone(), reason.citation.clone())).collect();
    all.sort();
    all.dedup();
    all
}

fn more_held(now: &Answer, then: &Answer) -> Vec<Follows> {
    let held_now = |duty: &DutyVerdict| now.duties.iter().find(|found| found.key() == duty.key());
    let mut all = Vec::new();
    for duty in &then.duties {
        for held in &duty.held {
            if held_now(duty).is_some_and(|before| before.held.contains(held)) {
                continue;
            }
            all.push(Follows {
                name: duty.name.clone(),
                verdict: "held",
                on: vec![held.until.clone()],
                by: vec![(held.rule.clone(), held.citation.clone())],
            });
        }
    }
    all
}

fn more_forbidden(now: &Answer, then: &Answer) -> Vec<Follows> {
    let key = |operation: &OperationVerdict| (operation.operation, operation.part, operation.zone);
    let forbidden = |operation: &OperationVerdict| operation.verdict == OperationAnswer::Forbidden;
    then.operations
        .iter()
        .filter(|operation| forbidden(operation))
        .filter(|operation| !now.operations.iter().any(|before| key(before) == key(operation) && forbidden(before)))
        .map(|operation| Follows {
            name: operation.name.clone(),
            verdict: operation.verdict.words(),
            on: Vec::new(),
            by: cited(operation.reasons.iter().filter(|reason| reason.said == Said::Forbid)),
        })
        .collect()
}

fn more_warned(now: &Answer, then: &Answer) -> Vec<Follows> {
    then.warnings
        .iter()
        .filter(|warning| !now.warnings.iter().any(|before| before.text == warning.text))
        .map(|warning| Follows {
            name: warning.text.clone(),
            verdict: "warning",
            on: Vec::new(),
            by: vec![(warning.rule.clone(), warning.citation.clone())],
        })
        .collect()
}
