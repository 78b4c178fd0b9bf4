//! The verdict on each duty, cause by cause, with who says what.

use std::collections::BTreeSet;

use knockon_proof::{Node, NodeId, Step};
use knockon_terms::TermId;

use super::Decider;
use crate::answer::{CauseVerdict, DutyVerdict, Met, Verdict};
use crate::atoms::{AtomId, Conclusion, DutyKey, Lit, Said};
use crate::combine::{DutyCase, Outcome};
use crate::event::{Causes, EventId};
use crate::precedence::takes_from;
use crate::settle::{Settled, settle};

impl Decider<'_> {
    pub(super) fn duties(&mut self) -> Vec<DutyVerdict> {
        let named: BTreeSet<DutyKey> = self
            .grounded
            .program
            .conclusions
            .iter()
            .filter(|conclusion| matches!(conclusion.said, Said::Ask | Said::Advise | Said::Waive | Said::Excuse))
            .filter(|conclusion| self.evaluated.is_possible(conclusion.atom))
            .map(Conclusion::duty)
            .collect();
        let mut alone: Vec<(DutyKey, Met)> = Vec::new();
        let mut duties: Vec<DutyVerdict> = named.into_iter().filter_map(|key| self.duty(key, &mut alone)).collect();
        self.met_as(&mut duties, &alone);
        duties
    }

    pub(super) fn duty(&mut self, key: DutyKey, alone: &mut Vec<(DutyKey, Met)>) -> Option<DutyVerdict> {
        let library = self.library;
        let grounded = self.grounded;
        let sensors: Vec<(TermId, Lit)> =
            key.subjects().into_iter().filter(|&of| self.is_sensor(of)).map(|of| (of, self.fitted(of))).collect();
        let name = self.naming.duty_key(&key);
        let mut never = self.never(&key, &|conclusion| conclusion.every_cause);
        let (case, settled) = loop {
            let case = DutyCase::new(
                &grounded.program,
                &grounded.text_order,
                &|atom| self.evaluated.is_possible(atom) && !never.contains(&atom),
                &key,
                &sensors,
            );
            let outcome = |holds: &dyn Fn(AtomId) -> bool| case.outcome(library, holds);
            let settled = match self.surely(&case, None) {
                Some(outcome) => Settled::certain(outcome),
                None => self.settle(&case.atoms, &name, &outcome, &|one, two| one.alike(two)),
            };
            if !settled.outcomes.contains_key(&Outcome::Silent) {
                break (case, settled);
            }
            // Silent about what? Only about what some conclusion that may really hold makes a cause.
            let all = self.never(&key, &|_| true);
            if all.len() == never.len() {
                break (case, settled);
            }
            never = all;
        };
        let outcomes: Vec<Outcome> = settled.outcomes.keys().copied().collect();
        let (verdict, floor) = if settled.whole {
            verdict(&outcomes)?
        } else {
            // More may come of it than was tried: that is open, never less.
            (Verdict::Open, None)
        };
        let turns_on = if verdict == Verdict::Open { settled.turns_on.clone() } else { Vec::new() };
        let mut causes = Vec::new();
        for cause in &case.causes {
            let said: Vec<&Conclusion> = case
                .conclusions
                .iter()
                .copied()
                .filter(|conclusion| conclusion.causes == *cause && self.evaluated.is_possible(conclusion.atom))
                .collect();
            if said.is_empty() {
                continue;
            }
            let each = match self.surely(&case, Some(cause)) {
                Some(outcome) => Settled::certain(outcome),
                None => settle(
                    &grounded.program,
                    self.evaluated,
                    &case.atoms,
                    &|holds| case.cause(library, cause, holds),
                    &|one: &Outcome, two: &Outcome| one == two,
                ),
            };
            let outcomes: Vec<Outcome> = each.outcomes.keys().copied().collect();
            if outcomes == [Outcome::Nothing] {
                continue;
            }
            let mut reasons = Vec::new();
            for conclusion in said {
                reasons.push(self.reason(conclusion, &case.conclusions));
            }
            reasons.sort_by(|one, two| (&one.said, &one.name).cmp(&(&two.said, &two.name)));
            causes.push(CauseVerdict {
                causes: cause.clone(),
                words: self.causes_words(cause),
                outcomes,
                chain: self.chain(cause, &key.subjects()),
                reasons,
            });
        }
        let proof = self.duty_proof(&name, verdict, &causes, &settled);
        let met = self.met(&key, &case);
        let said = self.carried_out_as(&key);
        if !said.is_empty() {
            let ways = said.iter().flat_map(|(_, ways)| ways);
            alone.push((key.clone(), self.best_met(ways.copied(), &case)));
        }
        let revised_since = self.revised_since(&key, &met, &causes);
        Some(DutyVerdict {
            procedure: key.procedure,
            of: key.of,
            or: key.or,
            name,
            verdict,
            floor,
            outcomes: settled
                .outcomes
                .iter()
                .map(|(outcome, completion)| (*outcome, self.completion(completion, &turns_on)))
                .collect(),
            turns_on: self.facts(&turns_on),
            revised_since,
            met,
            carried_out_as: said.into_iter().map(|(said, _)| said).collect(),
            how: Vec::new(),
            causes,
            held: Vec::new(),
            off: Vec::new(),
            exact: settled.exact,
            proof,
        })
    }

    /// The conclusions about a duty, of those that are looked at, that hold in no completion: what they name is no cause.
    fn never(&self, key: &DutyKey, looked_at: &dyn Fn(&Conclusion) -> bool) -> Vec<AtomId> {
        let program = &self.grounded.program;
        let unsure = |atom: AtomId| self.evaluated.is_possible(atom) && !self.evaluated.is_certain(atom);
        let about = program.conclusions.iter().filter(|conclusion| conclusion.is_about(key) && looked_at(conclusion));
        about
            .map(|conclusion| conclusion.atom)
            .filter(|&atom| unsure(atom))
            .filter(|&atom| {
                let settled = settle(program, self.evaluated, &[atom], &|holds| holds(atom), &|one, two| one == two);
                settled.whole && !settled.outcomes.contains_key(&true)
            })
            .collect()
    }

    /// What a duty, or one cause of it, surely comes to without a look at what is open: a rule certainly asks, or
    /// advises where none may ask, and nothing that may hold takes it away.
    fn surely(&self, case: &DutyCase<'_>, cause: Option<&Causes>) -> Option<Outcome> {
        let stands = |said: Said| {
            case.conclusions
                .iter()
                .filter(|one| one.said == said && cause.is_none_or(|cause| one.causes == *cause))
                .filter(|one| self.evaluated.is_certain(one.atom))
                .any(|one| {
                    !case
                        .conclusions
                        .iter()
                        .any(|waiver| takes_from(self.library, waiver, one) && self.evaluated.is_possible(waiver.atom))
                })
        };
        if stands(Said::Ask) {
            return Some(Outcome::Required);
        }
        let may_ask =
            case.conclusions.iter().any(|one| one.said == Said::Ask && cause.is_none_or(|cause| one.causes == *cause));
        (!may_ask && stands(Said::Advise)).then_some(Outcome::Advised)
    }

    pub(super) fn causes_words(&self, causes: &[EventId]) -> String {
        if causes.is_empty() {
            return "the car as it stands".to_string();
        }
        // By name, so that the order of the job's lines does not show.
        let mut words: Vec<String> = causes.iter().map(|&event| self.naming.event(event)).collect();
        words.sort();
        words.join(" and ")
    }

    pub(super) fn duty_proof(
        &mut self,
        name: &str,
        verdict: Verdict,
        causes: &[CauseVerdict],
        settled: &Settled<Outcome>,
    ) -> Option<NodeId> {
        let mut from: Vec<NodeId> =
            causes.iter().flat_map(|cause| &cause.reasons).filter_map(|reason| reason.proof).collect();
        if verdict != Verdict::Open && from.is_empty() && !settled.over.is_empty() {
            // By cases: each way of the open facts gives the same.
            let over: Vec<String> = self.facts(&settled.over).into_iter().map(|fact| fact.name).collect();
            let claim = format!("{name}: {}, however it is with {}", verdict.words(), over.join(", "));
            from.push(self.prover.graph.add(Node { claim, step: Step::Supposed, by: None, from: Vec::new() }));
        } else if verdict == Verdict::Open || (from.is_empty() && verdict != Verdict::NotNeeded) {
            for (outcome, completion) in &settled.outcomes {
                let suppose = self.completion(completion, &settled.turns_on);
                let claim = if suppose.is_empty() {
                    format!("{name}: {}", outcome.words())
                } else {
                    format!("{name}: {}, if {}", outcome.words(), suppose.join(" and "))
                };
                from.push(self.prover.graph.add(Node { claim, step: Step::Supposed, by: None, from: Vec::new() }));
            }
        }
        let claim = format!("{name}: {}", verdict.words());
        Some(self.prover.graph.add(Node { claim, step: Step::Meaning, by: None, from }))
    }
}

/// The verdict of a set of outcomes; nothing where the duty is not one.
fn verdict(outcomes: &[Outcome]) -> Option<(Verdict, Option<&'static str>)> {
    let has = |outcome: Outcome| outcomes.contains(&outcome);
    Some(match outcomes {
        [] | [Outcome::Nothing | Outcome::Silent] | [Outcome::Nothing, Outcome::Silent] => {
            return None;
        }
        [Outcome::Required] => (Verdict::Required, None),
        [Outcome::Conflict] => (Verdict::Conflict, None),
        [Outcome::Advised] => (Verdict::Advised, None),
        [Outcome::NotNeeded] | [Outcome::Nothing, Outcome::NotNeeded] => (Verdict::NotNeeded, None),
        _ => {
            let floor = if outcomes.iter().all(|outcome| *outcome >= Outcome::Conflict) {
                Some("due either way")
            } else if outcomes.iter().all(|outcome| *outcome >= Outcome::Advised) {
                Some("at least advised")
            } else {
                None
            };
            // Silence against nothing fitted is silence alone, which is printed as such.
            if !has(Outcome::NotNeeded) && !has(Outcome::Advised) && !has(Outcome::Conflict) && !has(Outcome::Required)
            {
                return None;
            }
            (Verdict::Open, floor)
        }
    })
}
