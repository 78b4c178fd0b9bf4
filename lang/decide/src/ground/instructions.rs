//! What texts tell to whoever carries out a procedure that may be due: their conditions as literals beside the verdicts,
//! which rest on none of them.

use std::collections::BTreeSet;

use knockon_terms::TermId;
use knockon_terms::resolved::{Condition, Form, Instructed, Rule};

use super::doings::as_rule;
use super::{Bound, Grounder};
use crate::atoms::{Lit, Said};

/// What one text tells of one procedure.
#[derive(Clone, Debug)]
pub struct Instructions {
    /// Which of the library's texts about procedures.
    pub item: usize,
    /// The procedure, and what it is of.
    pub of: (TermId, Option<TermId>),
    /// Whether the text is for this car, and this.
    pub scope: Lit,
    /// What it tells.
    pub told: Vec<Told>,
    /// Whether all that must hold before it is begun does; nothing where it says nothing of that.
    pub ready: Option<Lit>,
}

/// One clause of it.
#[derive(Clone, Debug)]
pub struct Told {
    /// Which of the clauses.
    pub clause: usize,
    /// Whether it is told.
    pub when: Lit,
    /// The sentences of its condition; none where it has none.
    pub parts: Vec<Part>,
}

/// One sentence that must hold.
#[derive(Clone, Debug)]
pub struct Part {
    /// The sentence.
    pub said: Condition,
    /// Whether it holds.
    pub holds: Lit,
    /// The measures it is about: of what, and whether their change.
    pub measures: Vec<(TermId, Option<TermId>, bool)>,
}

impl Grounder<'_> {
    /// Takes up what is told of every procedure that somebody may ask for.
    pub(super) fn instructions(&mut self) {
        let asked: BTreeSet<(TermId, Option<TermId>)> = self
            .out
            .program
            .conclusions
            .iter()
            .filter(|conclusion| matches!(conclusion.said, Said::Ask | Said::Advise))
            .flat_map(|conclusion| conclusion.duty().ways().collect::<Vec<_>>())
            .collect();
        let library = self.library;
        for index in 0..self.scoped.carrying_out.len() {
            let Some(scoped) = self.scoped.carrying_out.get(index) else { break };
            let (number, tests) = (scoped.item, scoped.tests.clone());
            let Some(item) = library.resolved.carrying_out.get(number) else { continue };
            if item.instructions().next().is_none() {
                continue;
            }
            let rule = as_rule(item);
            for &(procedure, of) in asked.iter().filter(|(procedure, _)| *procedure == item.duty.procedure) {
                let Some((bound, belongs)) = self.carried_of(&rule, item, of) else { continue };
                let Some(mut scope) = self.keys(&tests) else { break };
                scope.push(belongs);
                let scope = self.out.program.all(scope);
                let (mut told, mut ready) = (Vec::new(), Vec::new());
                for (clause, instruction) in item.instructions() {
                    let (when, unless) = match &instruction.when {
                        Some(when) => {
                            (self.formula(&rule, when, &bound, false), self.formula(&rule, when, &bound, true))
                        }
                        None => (Lit::True, Lit::False),
                    };
                    let parts = match instruction.what.condition() {
                        Some(condition) => self.parts(&rule, condition, &bound),
                        None => Vec::new(),
                    };
                    if matches!(instruction.what, Instructed::ReadyWhen(_)) {
                        let all = self.out.program.all(parts.iter().map(|part| part.holds).collect());
                        ready.push(self.out.program.any(vec![unless, all]));
                    }
                    told.push(Told { clause, when, parts });
                }
                let ready = if ready.is_empty() { None } else { Some(self.out.program.all(ready)) };
                self.out.instructions.push(Instructions { item: number, of: (procedure, of), scope, told, ready });
            }
        }
    }

    /// The sentences joined by `and`, each by itself.
    fn parts(&mut self, rule: &Rule, condition: &Condition, bound: &Bound) -> Vec<Part> {
        let all = match condition {
            Condition::All(parts) => parts.as_slice(),
            one => std::slice::from_ref(one),
        };
        let mut out = Vec::with_capacity(all.len());
        for said in all {
            let holds = self.formula(rule, said, bound, false);
            let mut measures = Vec::new();
            self.measures(said, bound, &mut measures);
            out.push(Part { said: said.clone(), holds, measures });
        }
        out
    }

    fn measures(&self, condition: &Condition, bound: &Bound, out: &mut Vec<(TermId, Option<TermId>, bool)>) {
        match condition {
            Condition::All(parts) | Condition::AnyOf(parts) => {
                for part in parts {
                    self.measures(part, bound, out);
                }
            }
            Condition::Not(inner) | Condition::Quantified { body: inner, .. } => self.measures(inner, bound, out),
            Condition::Sentence(Form::Measured { measure, of, change, .. }, _) => {
                let of = of.and_then(|of| self.term(of, bound));
                if !out.contains(&(*measure, of, *change)) {
                    out.push((*measure, of, *change));
                }
            }
            Condition::Sentence(..) => {}
        }
    }
}
