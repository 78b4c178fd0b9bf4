//! Which procedures are carried out: those that are due, and those that somebody carries out though nobody has to.

use std::collections::BTreeSet;

use knockon_terms::TermId;
use knockon_terms::resolved::{FactKind, Whose};

use super::Grounder;
use crate::atoms::{Claim, Conclusion, Lit, Said, Why};
use crate::event::{EventId, Procedure};
use crate::fact::{Ask, Domain, Fact};

/// As what a procedure that is asked for is carried out.
#[derive(Clone, Debug)]
pub struct CarriedOutAs {
    /// The procedure.
    pub of: Procedure,
    /// The ways.
    pub ways: Vec<TermId>,
    /// That it holds for the car.
    pub when: Lit,
    /// The fact, among the library's.
    pub fact: usize,
}

impl Grounder<'_> {
    /// Notes the ways of all that is asked for.
    pub(super) fn carried_out_as(&mut self, conclusions: &[Conclusion]) {
        let library = self.library;
        for index in 0..self.scoped.facts.len() {
            let Some(scoped) = self.scoped.facts.get(index) else { break };
            let (number, tests) = (scoped.fact, scoped.tests.clone());
            let Some(FactKind::CarriedOutAs { procedure, of: whose, ways }) =
                library.facts().get(number).map(|fact| &fact.kind)
            else {
                continue;
            };
            let asked: BTreeSet<Procedure> = conclusions
                .iter()
                .filter(|asked| matches!(asked.said, Said::Ask | Said::Advise))
                .flat_map(|asked| asked.duty().ways().collect::<Vec<_>>())
                .filter(|(asked, _)| asked == procedure)
                .filter(|(_, of)| match (whose, of) {
                    (Whose::Whatever, _) => true,
                    (Whose::Term(term), of) => *of == Some(*term),
                    (Whose::AnyOf(domain), Some(of)) => self.in_class(*domain, *of),
                    (Whose::AnyOf(_), None) => false,
                })
                .collect();
            if asked.is_empty() {
                continue;
            }
            let Some(lits) = self.keys(&tests) else { continue };
            let when = self.out.program.all(lits);
            let all = asked.into_iter().map(|of| CarriedOutAs { of, ways: ways.clone(), when, fact: number });
            self.out.carried_out_as.extend(all);
        }
    }

    /// A procedure is carried out as one of its ways; where another way of it is due, as that.
    fn as_a_way(
        &mut self,
        (procedure, of): Procedure,
        generation: u32,
        conclusions: &[Conclusion],
        not_before: &[Lit],
    ) {
        let head = self.out.program.atom(Claim::CarriedOut { procedure, of, generation });
        let general: Vec<CarriedOutAs> = self
            .out
            .carried_out_as
            .iter()
            .filter(|said| said.ways.contains(&procedure) && said.of.1 == of)
            .cloned()
            .collect();
        for said in general {
            for (index, asked) in conclusions.iter().enumerate() {
                let is_it = asked.said == Said::Ask && asked.or.is_empty() && (asked.what, asked.of) == said.of;
                if !is_it || asked.generation + 1 != generation {
                    continue;
                }
                let stands = self.out.program.atom(Claim::Stands(index));
                let mut body = vec![Lit::Atom(stands, true), said.when];
                body.extend(not_before);
                body.push(self.done_since(said.of, &asked.causes).denied());
                body.push(self.done_since((procedure, of), &asked.causes).denied());
                for &other in said.ways.iter().filter(|&&other| other != procedure) {
                    let due = Claim::DueBy { procedure: other, of, generation: generation - 1 };
                    body.push(Lit::Atom(self.out.program.atom(due), false));
                }
                if said.ways.len() > 1 {
                    let variable = self.out.program.variable(Fact::CarriedOut(procedure, of), || Domain::YesNo);
                    body.push(self.out.program.leaf(variable, &Ask::Yes));
                }
                self.out.program.clause(head, body, Why::Meaning);
            }
        }
    }

    /// Joins what makes a procedure one that is carried out: it is due and not done since, or somebody carries it out.
    pub(super) fn carried_out(&mut self, conclusions: &[Conclusion]) {
        for &((procedure, of), generation) in &self.generations.of {
            let head = self.out.program.atom(Claim::CarriedOut { procedure, of, generation });
            // What is carried out already because of something earlier is not carried out again.
            let earlier =
                self.generations.of.iter().filter(|(known, before)| *known == (procedure, of) && *before < generation);
            let not_before: Vec<Lit> = earlier
                .map(|&(_, generation)| self.out.program.atom(Claim::CarriedOut { procedure, of, generation }))
                .map(|before| Lit::Atom(before, false))
                .collect();
            let in_hand = generation == 1 && self.job.in_hand.contains(&(procedure, of));
            if in_hand && !self.is_done((procedure, of)) {
                self.out.program.clause(head, [], Why::Meaning);
            }
            self.as_a_way((procedure, of), generation, conclusions, &not_before);
            for (index, asked) in conclusions.iter().enumerate() {
                if asked.generation + 1 != generation || !matches!(asked.said, Said::Ask | Said::Advise) {
                    continue;
                }
                if !asked.duty().ways().any(|way| way == (procedure, of)) {
                    continue;
                }
                let stands = match asked.said {
                    Said::Ask => self.out.program.atom(Claim::Stands(index)),
                    _ => asked.atom,
                };
                let mut body = vec![Lit::Atom(stands, true), self.done_since((procedure, of), &asked.causes).denied()];
                body.extend(&not_before);
                if asked.said == Said::Advise || !asked.or.is_empty() {
                    // Nobody has to: whether it is carried out is a fact of its own.
                    let variable = self.out.program.variable(Fact::CarriedOut(procedure, of), || Domain::YesNo);
                    body.push(self.out.program.leaf(variable, &Ask::Yes));
                }
                self.out.program.clause(head, body, Why::Meaning);
            }
        }
    }

    fn is_done(&self, (procedure, of): Procedure) -> bool {
        self.job.done.iter().any(|entry| entry.procedure == procedure && entry.of == of)
    }

    /// That a line says a procedure was done, with the result it is to have, after all of its causes.
    fn done_since(&mut self, (procedure, of): Procedure, causes: &[EventId]) -> Lit {
        let good = match &self.vocabulary.term(procedure).detail {
            knockon_terms::Detail::Procedure { outcomes, .. } => outcomes.first().copied(),
            _ => None,
        };
        let entries: Vec<_> =
            self.job.done.iter().filter(|entry| entry.procedure == procedure && entry.of == of).cloned().collect();
        let mut ways = Vec::new();
        for entry in entries {
            let mut lits = Vec::new();
            match (good, entry.outcome) {
                (Some(good), Some(found)) if good != found => continue,
                (Some(outcome), None) => {
                    let fact = Fact::Ended { line: entry.line, outcome };
                    let variable = self.out.program.variable(fact, || Domain::YesNo);
                    lits.push(self.out.program.leaf(variable, &Ask::Yes));
                }
                _ => {}
            }
            for &event in causes {
                lits.push(self.after(entry.line, entry.at, event));
            }
            ways.push(self.out.program.all(lits));
        }
        self.out.program.any(ways)
    }
}
