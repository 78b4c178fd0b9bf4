//! Deciding: all stages of one job, from its lines to its answer.

use std::collections::BTreeSet;

use knockon_measure::Date;
use knockon_proof::{Node, NodeId, Step};
use knockon_rules::{JobProgram, Library, Standing};
use knockon_terms::resolved::Job;
use knockon_terms::{Class, TermId};
use knockon_text::Problem;

use crate::answer::{
    Answer, CameOff, CauseVerdict, ChainStep, DutyVerdict, EventWords, FactWords, Held, Met,
    OperationAnswer, OperationVerdict, Order, Question, Reason, Silence, TouchedPart, Verdict,
};
use crate::atoms::{AtomId, Claim, Conclusion, Lit, Said, VariableIndex};
use crate::combine::{DutyCase, OperationCase, Outcome, Permitted};
use crate::evaluate::{Evaluated, evaluate};
use crate::event::{EventId, Origin};
use crate::fact::Fact;
use crate::ground::{Grounded, Limit, ground};
use crate::job::JobFacts;
use crate::naming::Naming;
use crate::precedence::{ask_defeats, covers, waiver_defeats};
use crate::proving::Prover;
use crate::settle::{Settled, settle};

/// A decided job: the answer, and what it was made of.
#[derive(Clone, Debug)]
pub struct Decided {
    /// The answer.
    pub answer: Answer,
    /// What is known of the job.
    pub job: JobFacts,
    /// The ground rules.
    pub grounded: Grounded,
    /// What holds.
    pub evaluated: Evaluated,
}

/// Decides a job by a library, as of a day (the job's own where none is given).
pub fn decide(library: &Library, job: &Job, as_of: Option<Date>) -> Result<Decided, Vec<Problem>> {
    let facts = JobFacts::new(job, library, as_of)?;
    let scoped = JobProgram::new(library, facts.car.clone(), facts.as_of);
    let grounded = ground(library, &scoped, &facts);
    let evaluated = evaluate(&grounded.program);
    let (evaluated, circle) = match evaluated {
        Some(evaluated) => (evaluated, false),
        None => (Evaluated::default(), true),
    };
    let answer = {
        let naming = Naming {
            library,
            job: &facts,
            events: &grounded.events,
        };
        let mut decider = Decider {
            library,
            scoped: &scoped,
            job: &facts,
            grounded: &grounded,
            evaluated: &evaluated,
            naming: &naming,
            prover: Prover::new(&grounded.program, &evaluated, &naming),
            inexact: Vec::new(),
        };
        decider.answer(circle)
    };
    Ok(Decided {
        answer,
        job: facts,
        grounded,
        evaluated,
    })
}

struct Decider<'a> {
    library: &'a Library,
    scoped: &'a JobProgram,
    job: &'a JobFacts,
    grounded: &'a Grounded,
    evaluated: &'a Evaluated,
    naming: &'a Naming<'a>,
    prover: Prover<'a>,
    inexact: Vec<String>,
}

impl Decider<'_> {
    fn answer(&mut self, circle: bool) -> Answer {
        let mut duties = self.duties();
        let operations = self.operations();
        let silences = self.silences(&duties);
        let orders = self.orders(&duties);
        self.holds(&mut duties);
        let questions = self.questions(&duties, &operations, &silences);
        duties.sort_by(|one, two| (one.verdict, &one.name).cmp(&(two.verdict, &two.name)));
        let mut limits: Vec<String> = self
            .grounded
            .limits
            .iter()
            .map(|limit| self.limit(limit))
            .collect();
        limits.append(&mut self.inexact);
        if circle {
            limits.push(
                "rules deny each other in a circle that loading did not see; nothing was decided"
                    .to_string(),
            );
        }
        if self.prover.cut {
            limits.push(format!(
                "proofs of more than {} steps",
                crate::proving::MOST_NODES
            ));
        }
        Answer {
            job: self.job.name.clone(),
            vehicle: self.vehicle(),
            as_of: self.job.as_of,
            library: self.library.digest(),
            duties,
            silences,
            operations,
            orders,
            questions,
            came_off: self.came_off(),
            touched: self.touched(),
            events: self.events(),
            assumptions: self.assumptions(),
            limits,
            not_in_force: self.not_in_force(),
            proofs: std::mem::take(&mut self.prover.graph),
        }
    }

    fn limit(&self, limit: &Limit) -> String {
        match limit {
            Limit::Instances => format!(
                "more than {} instances of rules",
                crate::ground::MOST_INSTANCES
            ),
            Limit::Rounds => format!(
                "more than {} rounds of rules waiting for each other",
                crate::ground::MOST_ROUNDS
            ),
            Limit::Values(fact) => {
                format!(
                    "{} is cut into more than {} parts",
                    self.naming.fact(fact),
                    crate::fact::MOST_VALUES
                )
            }
        }
    }

    fn vehicle(&self) -> String {
        let car = &self.job.car;
        let mut text = self.naming.term(car.maker).to_string();
        match car.model {
            Some(model) => text.push_str(&format!(" {}", self.naming.term(model))),
            None => text.push_str(", model not known"),
        }
        match car.year {
            Some(year) => text.push_str(&format!(" {year}")),
            None => text.push_str(", model year not known"),
        }
        if let Some(built) = car.built {
            text.push_str(&format!(", built {built}"));
        }
        text
    }

    fn is_sensor(&self, term: TermId) -> bool {
        self.library.vocabulary().class(term) == Class::Sensor
    }

    /// Whether a term is fitted, as a literal of the program.
    fn fitted(&self, term: TermId) -> Lit {
        let Some(variable) = self.grounded.program.find_variable(Fact::Equipped(term)) else {
            return Lit::True;
        };
        match self.grounded.program.find(&Claim::Leaf(variable, 0)) {
            Some(atom) => Lit::Atom(atom, true),
            None => Lit::True,
        }
    }

    fn settle<T: Ord + Clone>(
        &mut self,
        atoms: &[AtomId],
        name: &str,
        outcome: &dyn Fn(&dyn Fn(AtomId) -> bool) -> T,
        alike: &dyn Fn(&T, &T) -> bool,
    ) -> Settled<T> {
        let settled = settle(
            &self.grounded.program,
            self.evaluated,
            atoms,
            outcome,
            alike,
        );
        if !settled.exact {
            self.inexact.push(format!(
                "{name} turns on {} unknown facts; not every completion was tried (the limit is {})",
                settled.unknowns,
                crate::settle::MOST_UNKNOWNS
            ));
        }
        settled
    }

    fn facts(&self, variables: &[VariableIndex]) -> Vec<FactWords> {
        let mut facts: Vec<FactWords> = variables
            .iter()
            .map(|&variable| FactWords {
                variable,
                name: self
                    .naming
                    .variable(&self.grounded.program.variables, variable),
            })
            .collect();
        facts.sort_by(|one, two| (&one.name, one.variable).cmp(&(&two.name, two.variable)));
        facts
    }

    fn completion(
        &self,
        completion: &[(VariableIndex, u32)],
        turns_on: &[VariableIndex],
    ) -> Vec<String> {
        let mut words: Vec<String> = completion
            .iter()
            .filter(|(variable, _)| turns_on.contains(variable))
            .filter_map(|(variable, value)| {
                let found = self.grounded.program.variables.get(variable.0 as usize)?;
                Some(self.naming.value(found, *value))
            })
            .collect();
        words.sort();
        words
    }

    fn duties(&mut self) -> Vec<DutyVerdict> {
        let named: BTreeSet<(TermId, Option<TermId>)> = self
            .grounded
            .program
            .conclusions
            .iter()
            .filter(|conclusion| {
                matches!(
                    conclusion.said,
                    Said::Ask | Said::Advise | Said::Waive | Said::Excuse
                )
            })
            .filter(|conclusion| self.evaluated.is_possible(conclusion.atom))
            .map(|conclusion| (conclusion.what, conclusion.of))
            .collect();
        named
            .into_iter()
            .filter_map(|(procedure, of)| self.duty(procedure, of))
            .collect()
    }

    fn duty(&mut self, procedure: TermId, of: Option<TermId>) -> Option<DutyVerdict> {
        let library = self.library;
        let grounded = self.grounded;
        let fitted = of.map_or(Lit::True, |of| self.fitted(of));
        let is_sensor = of.is_some_and(|of| self.is_sensor(of));
        let case = DutyCase::new(&grounded.program, procedure, of, fitted, is_sensor);
        let name = self.naming.duty(procedure, of);
        let settled = self.settle(
            &case.atoms,
            &name,
            &|holds| case.outcome(library, holds),
            &|one, two| one.alike(two),
        );
        let outcomes: Vec<Outcome> = settled.outcomes.keys().copied().collect();
        let (verdict, floor) = verdict(&outcomes)?;
        let turns_on = if verdict == Verdict::Open {
            settled.turns_on.clone()
        } else {
            Vec::new()
        };
        let mut causes = Vec::new();
        for cause in &case.causes {
            let said: Vec<&Conclusion> = case
                .conclusions
                .iter()
                .copied()
                .filter(|conclusion| {
                    conclusion.causes == *cause && self.evaluated.is_possible(conclusion.atom)
                })
                .collect();
            if said.is_empty() {
                continue;
            }
            let each = settle(
                &grounded.program,
                self.evaluated,
                &case.atoms,
                &|holds| case.cause(library, cause, holds),
                &|one: &Outcome, two: &Outcome| one == two,
            );
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
                chain: self.chain(cause, of),
                reasons,
            });
        }
        let proof = self.duty_proof(&name, verdict, &causes, &settled);
        Some(DutyVerdict {
            procedure,
            of,
            name,
            verdict,
            floor,
            outcomes: settled
                .outcomes
                .iter()
                .map(|(outcome, completion)| (*outcome, self.completion(completion, &turns_on)))
                .collect(),
            turns_on: self.facts(&turns_on),
            met: self.met(procedure, of, &case),
            causes,
            held: Vec::new(),
            exact: settled.exact,
            proof,
        })
    }

    fn causes_words(&self, causes: &[EventId]) -> String {
        if causes.is_empty() {
            return "the car as it stands".to_string();
        }
        causes
            .iter()
            .map(|&event| self.naming.event(event))
            .collect::<Vec<_>>()
            .join(" and ")
    }

    fn reason(&mut self, conclusion: &Conclusion, all: &[&Conclusion]) -> Reason {
        let rule = self.library.rule(conclusion.rule);
        let source = self.library.source(conclusion.source);
        let certain = self.evaluated.is_certain(conclusion.atom);
        let stronger = all.iter().find(|other| {
            self.evaluated.is_possible(other.atom)
                && match (&conclusion.said, &other.said) {
                    (Said::Ask | Said::Advise, Said::Waive) => {
                        covers(other, conclusion) && waiver_defeats(self.library, other, conclusion)
                    }
                    (Said::Waive, Said::Ask) => {
                        covers(conclusion, other) && ask_defeats(self.library, other, conclusion)
                    }
                    _ => false,
                }
        });
        let gave_way_to = stronger
            .and_then(|other| self.library.rule(other.rule))
            .map(|rule| rule.name.clone());
        let proof = if certain {
            self.prover.prove(conclusion.atom, true)
        } else {
            None
        };
        Reason {
            rule: conclusion.rule,
            name: rule.map(|rule| rule.name.clone()).unwrap_or_default(),
            citation: rule.map_or_else(String::new, |rule| {
                self.naming
                    .citation(rule.cites.source, rule.cites.section.as_deref())
            }),
            rank: source.map_or("", |source| source.rank.words()),
            said: conclusion.said.clone(),
            certain,
            words: conclusion.words.clone(),
            says: rule.map(|rule| rule.says.clone()).unwrap_or_default(),
            read_as: rule
                .map(|rule| {
                    rule.read_as
                        .iter()
                        .map(|(reading, because)| match because {
                            Some(because) => format!("\"{reading}\" because \"{because}\""),
                            None => format!("\"{reading}\""),
                        })
                        .collect()
                })
                .unwrap_or_default(),
            because: rule.and_then(|rule| rule.because.clone()),
            without_it: rule.and_then(|rule| rule.without_it.clone()),
            weak: self
                .scoped
                .weaknesses(conclusion.source)
                .iter()
                .map(|weak| weak.words())
                .collect(),
            gave_way_to,
            unless: rule.and_then(|rule| {
                let unless = rule.unless.as_ref()?;
                Some(knockon_terms::reading::condition(
                    &self.library.resolved,
                    &rule.variables,
                    unless,
                ))
            }),
            proof,
        }
    }

    /// From the order line to the part a duty is about.
    fn chain(&self, causes: &[EventId], of: Option<TermId>) -> Vec<ChainStep> {
        let mut steps = Vec::new();
        for &event in causes {
            self.origin_chain(event, &mut steps);
            if let Some(of) = of {
                self.tie_chain(event, of, &mut steps);
            }
        }
        steps
    }

    fn origin_chain(&self, event: EventId, steps: &mut Vec<ChainStep>) {
        let mut chain = Vec::new();
        let mut next = Some(event);
        while let Some(here) = next {
            let Some(found) = self.grounded.events.get(here.0 as usize) else {
                break;
            };
            chain.push(here);
            next = match found.origin {
                Origin::Access { parent, .. } | Origin::MayHaveComeOff { parent } => Some(parent),
                _ => None,
            };
            if chain.len() > self.grounded.events.len() {
                break;
            }
        }
        for here in chain.into_iter().rev() {
            let Some(found) = self.grounded.events.get(here.0 as usize) else {
                continue;
            };
            let by = match found.origin {
                Origin::Line(line) => format!("line {}", line + 1),
                Origin::Access { fact, .. } => {
                    format!("on the way, {}", self.naming.fact_source(fact))
                }
                Origin::MayHaveComeOff { .. } => {
                    "may have come off on the way; not confirmed".to_string()
                }
                Origin::NotSaid => "nobody said whether it happened".to_string(),
                Origin::NotLookedOver => "not looked over".to_string(),
            };
            let step = ChainStep {
                words: self.naming.event(here),
                by,
            };
            if !steps.contains(&step) {
                steps.push(step);
            }
        }
    }

    /// The shortest way from the part something happened to, over ties that pass disturbance, to another part.
    fn tie_chain(&self, event: EventId, of: TermId, steps: &mut Vec<ChainStep>) {
        let Some(from) = self
            .grounded
            .events
            .get(event.0 as usize)
            .and_then(|event| event.subject)
        else {
            return;
        };
        if self
            .grounded
            .program
            .find(&Claim::Touched(of, event))
            .is_none()
        {
            return;
        }
        // Backwards from the part: each tie says what it stands on.
        let mut came: Vec<(TermId, Option<usize>)> = vec![(of, None)];
        let mut links: Vec<(TermId, usize, TermId)> = Vec::new();
        let mut at = 0;
        while let Some(&(here, _)) = came.get(at) {
            at += 1;
            if here == from {
                break;
            }
            for tie in self.grounded.ties.iter().filter(|tie| tie.part == here) {
                let passes = matches!(
                    self.library.vocabulary().term(tie.relation).detail,
                    knockon_terms::Detail::Relation {
                        disturbance: true,
                        ..
                    }
                );
                if passes && !came.iter().any(|(known, _)| *known == tie.to) {
                    came.push((tie.to, Some(tie.fact)));
                    links.push((here, tie.fact, tie.to));
                }
            }
        }
        let mut path = Vec::new();
        let mut here = from;
        while here != of {
            let Some(&(above, fact, _)) = links.iter().find(|(_, _, to)| *to == here) else {
                return;
            };
            path.push((above, fact, here));
            here = above;
        }
        for (part, fact, to) in path {
            let relation = self
                .grounded
                .ties
                .iter()
                .find(|tie| tie.fact == fact && tie.part == part && tie.to == to)
                .map_or("", |tie| self.naming.term(tie.relation));
            let step = ChainStep {
                words: format!(
                    "{} is {relation} {}",
                    self.naming.term(part),
                    self.naming.term(to)
                ),
                by: self.naming.fact_source(fact),
            };
            if !steps.contains(&step) {
                steps.push(step);
            }
        }
    }

    fn duty_proof(
        &mut self,
        name: &str,
        verdict: Verdict,
        causes: &[CauseVerdict],
        settled: &Settled<Outcome>,
    ) -> Option<NodeId> {
        let mut from: Vec<NodeId> = causes
            .iter()
            .flat_map(|cause| &cause.reasons)
            .filter_map(|reason| reason.proof)
            .collect();
        if verdict == Verdict::Open || (from.is_empty() && verdict != Verdict::NotNeeded) {
            for (outcome, completion) in &settled.outcomes {
                let suppose = self.completion(completion, &settled.turns_on);
                let claim = if suppose.is_empty() {
                    format!("{name}: {}", outcome_words(*outcome))
                } else {
                    format!(
                        "{name}: {}, if {}",
                        outcome_words(*outcome),
                        suppose.join(" and ")
                    )
                };
                from.push(self.prover.graph.add(Node {
                    claim,
                    step: Step::Supposed,
                    by: None,
                    from: Vec::new(),
                }));
            }
        }
        let claim = format!("{name}: {}", verdict.words());
        Some(self.prover.graph.add(Node {
            claim,
            step: Step::Meaning,
            by: None,
            from,
        }))
    }

    /// Whether a line says the duty was carried out, after everything that causes it.
    fn met(&self, procedure: TermId, of: Option<TermId>, case: &DutyCase<'_>) -> Met {
        let good = match &self.library.vocabulary().term(procedure).detail {
            knockon_terms::Detail::Procedure { outcomes, .. } => outcomes.first().copied(),
            _ => None,
        };
        let mut best = Met::No;
        for entry in self
            .job
            .done
            .iter()
            .filter(|entry| entry.procedure == procedure && entry.of == of)
        {
            let line = self.naming.line(entry.line);
            if entry.outcome.is_some() && entry.outcome != good {
                continue;
            }
            let mut sure = good.is_none() || entry.outcome == good;
            let mut ruled_out = false;
            for &event in case.causes.iter().flatten() {
                let happened = self
                    .grounded
                    .events
                    .get(event.0 as usize)
                    .and_then(|event| event.at);
                match entry
                    .at
                    .zip(happened)
                    .and_then(|(at, happened)| at.compare(&happened))
                {
                    Some(std::cmp::Ordering::Greater) => {}
                    Some(std::cmp::Ordering::Less) => ruled_out = true,
                    _ => sure = false,
                }
            }
            if ruled_out {
                continue;
            }
            if sure {
                return Met::Yes(line);
            }
            best = Met::Unclear(line);
        }
        best
    }

    fn operations(&mut self) -> Vec<OperationVerdict> {
        let named: BTreeSet<(TermId, TermId)> = self
            .grounded
            .program
            .conclusions
            .iter()
            .filter(|conclusion| matches!(conclusion.said, Said::Forbid | Said::Allow))
            .filter(|conclusion| self.evaluated.is_possible(conclusion.atom))
            .filter_map(|conclusion| Some((conclusion.what, conclusion.of?)))
            .collect();
        let mut out = Vec::new();
        for (operation, part) in named {
            let library = self.library;
            let grounded = self.grounded;
            let case = OperationCase::new(&grounded.program, operation, part);
            let vocabulary = library.vocabulary();
            let name = format!(
                "{} of {}",
                vocabulary.doing(operation),
                vocabulary.name(part)
            );
            let settled = self.settle(
                &case.atoms,
                &name,
                &|holds| case.outcome(library, holds),
                &|one, two| one == two,
            );
            let outcomes: Vec<Permitted> = settled.outcomes.keys().copied().collect();
            let verdict = match outcomes.as_slice() {
                [Permitted::Silent] | [] => continue,
                [Permitted::Allowed] => OperationAnswer::Allowed,
                [Permitted::Forbidden] => OperationAnswer::Forbidden,
                [Permitted::Conflict] => OperationAnswer::Conflict,
                _ => OperationAnswer::Open,
            };
            let turns_on = self.facts(&settled.turns_on);
            let mut reasons = Vec::new();
            for conclusion in case
                .conclusions
                .iter()
                .filter(|conclusion| self.evaluated.is_possible(conclusion.atom))
            {
                reasons.push(self.reason(conclusion, &[]));
            }
            out.push(OperationVerdict {
                operation,
                part,
                name,
                verdict,
                outcomes,
                turns_on,
                reasons,
            });
        }
        out.sort_by(|one, two| (one.verdict, &one.name).cmp(&(two.verdict, &two.name)));
        out
    }

    fn silences(&mut self, duties: &[DutyVerdict]) -> Vec<Silence> {
        let touched: Vec<(TermId, EventId, AtomId)> = self
            .grounded
            .program
            .claims
            .iter()
            .enumerate()
            .filter_map(|(index, claim)| match claim {
                Claim::Touched(part, event) if self.is_sensor(*part) => {
                    Some((*part, *event, AtomId(index as u32)))
                }
                _ => None,
            })
            .filter(|(_, _, atom)| self.evaluated.is_possible(*atom))
            .collect();
        let mut out = Vec::new();
        for (sensor, event, atom) in touched {
            let spoken = self.grounded.program.find(&Claim::Spoken(sensor, event));
            let fitted = self.fitted_lit(sensor);
            let mut atoms = vec![atom];
            atoms.extend(spoken);
            if let Lit::Atom(atom, _) = fitted {
                atoms.push(atom);
            }
            let name = self.naming.term(sensor).to_string();
            let outcome = |holds: &dyn Fn(AtomId) -> bool| {
                let fitted = match fitted {
                    Lit::True => true,
                    Lit::False => false,
                    Lit::Atom(atom, sign) => holds(atom) == sign,
                };
                fitted && holds(atom) && !spoken.is_some_and(holds)
            };
            let settled = self.settle(
                &atoms,
                &format!("the silence about {name}"),
                &outcome,
                &|one, two| one == two,
            );
            if !settled.outcomes.contains_key(&true) {
                continue;
            }
            let certain = settled.outcomes.len() == 1;
            // Where an open duty on the sensor turns on the same, the duty says it.
            let said_by_duty = duties.iter().any(|duty| {
                duty.of == Some(sensor)
                    && duty.verdict == Verdict::Open
                    && duty
                        .causes
                        .iter()
                        .any(|cause| cause.causes.contains(&event))
            });
            if !certain && said_by_duty {
                continue;
            }
            let mut chain = Vec::new();
            self.origin_chain(event, &mut chain);
            self.tie_chain(event, sensor, &mut chain);
            out.push(Silence {
                sensor,
                name,
                event,
                because_of: self.naming.event(event),
                chain,
                certain,
                turns_on: if certain {
                    Vec::new()
                } else {
                    self.facts(&settled.turns_on)
                },
            });
        }
        out.sort_by(|one, two| {
            (!one.certain, &one.because_of, &one.name).cmp(&(
                !two.certain,
                &two.because_of,
                &two.name,
            ))
        });
        out
    }

    /// Whether a sensor is fitted, asked of the job where no rule asked.
    fn fitted_lit(&self, sensor: TermId) -> Lit {
        match self.grounded.program.find_variable(Fact::Equipped(sensor)) {
            Some(_) => self.fitted(sensor),
            None => match self.job.fitted(sensor, Class::Sensor) {
                Some((false, _)) => Lit::False,
                _ => Lit::True,
            },
        }
    }

    fn orders(&self, duties: &[DutyVerdict]) -> Vec<Order> {
        let due = |duty: (TermId, Option<TermId>)| {
            duties.iter().any(|known| {
                (known.procedure, known.of) == duty && !matches!(known.verdict, Verdict::NotNeeded)
            })
        };
        let mut orders: Vec<Order> = self
            .grounded
            .program
            .conclusions
            .iter()
            .filter(|conclusion| {
                conclusion.said == Said::Before && self.evaluated.is_possible(conclusion.atom)
            })
            .filter_map(|conclusion| {
                let first = (conclusion.what, conclusion.of);
                let second = conclusion.second?;
                if !due(first) || !due(second) {
                    return None;
                }
                let rule = self.library.rule(conclusion.rule)?;
                Some(Order {
                    first,
                    second,
                    words: format!(
                        "{} before {}",
                        self.naming.duty(first.0, first.1),
                        self.naming.duty(second.0, second.1)
                    ),
                    by: format!(
                        "\"{}\", {}",
                        rule.name,
                        self.naming
                            .citation(rule.cites.source, rule.cites.section.as_deref())
                    ),
                    certain: self.evaluated.is_certain(conclusion.atom),
                })
            })
            .collect();
        orders.sort_by(|one, two| (&one.words, &one.by).cmp(&(&two.words, &two.by)));
        orders.dedup();
        orders
    }

    fn holds(&self, duties: &mut [DutyVerdict]) {
        for conclusion in &self.grounded.program.conclusions {
            if conclusion.said != Said::Hold || !self.evaluated.is_possible(conclusion.atom) {
                continue;
            }
            let Some((until, words)) = &conclusion.until else {
                continue;
            };
            let lifted = match until {
                Lit::True => true,
                Lit::False => false,
                Lit::Atom(atom, true) => self.evaluated.is_certain(*atom),
                Lit::Atom(atom, false) => !self.evaluated.is_possible(*atom),
            };
            if lifted {
                continue;
            }
            let surely_not = match until {
                Lit::False => true,
                Lit::True => false,
                Lit::Atom(atom, true) => !self.evaluated.is_possible(*atom),
                Lit::Atom(atom, false) => self.evaluated.is_certain(*atom),
            };
            let Some(rule) = self.library.rule(conclusion.rule) else {
                continue;
            };
            let held = Held {
                rule: rule.name.clone(),
                citation: self
                    .naming
                    .citation(rule.cites.source, rule.cites.section.as_deref()),
                until: words.clone(),
                known: surely_not && self.evaluated.is_certain(conclusion.atom),
            };
            for duty in duties.iter_mut().filter(|duty| {
                duty.procedure == conclusion.what
                    && duty.of == conclusion.of
                    && duty.verdict != Verdict::NotNeeded
            }) {
                if !duty.held.contains(&held) {
                    duty.held.push(held.clone());
                }
            }
        }
    }

    fn questions(
        &self,
        duties: &[DutyVerdict],
        operations: &[OperationVerdict],
        silences: &[Silence],
    ) -> Vec<Question> {
        let mut out: Vec<Question> = Vec::new();
        let mut add = |fact: &FactWords, decides: &str| {
            if let Some(known) = out.iter_mut().find(|question| question.fact == *fact) {
                if !known.decides.iter().any(|known| known == decides) {
                    known.decides.push(decides.to_string());
                }
                return;
            }
            let Some(variable) = self
                .grounded
                .program
                .variables
                .get(fact.variable.0 as usize)
            else {
                return;
            };
            out.push(Question {
                fact: fact.clone(),
                text: self.naming.question(&variable.fact),
                decides: vec![decides.to_string()],
                cannot_tell: variable.cannot_tell,
            });
        };
        for duty in duties.iter().filter(|duty| duty.verdict == Verdict::Open) {
            for fact in &duty.turns_on {
                add(fact, &duty.name);
            }
        }
        for operation in operations
            .iter()
            .filter(|operation| operation.verdict == OperationAnswer::Open)
        {
            for fact in &operation.turns_on {
                add(fact, &operation.name);
            }
        }
        for silence in silences.iter().filter(|silence| !silence.certain) {
            for fact in &silence.turns_on {
                add(
                    fact,
                    &format!(
                        "whether {} is touched and nobody speaks of it",
                        silence.name
                    ),
                );
            }
        }
        out.sort_by(|one, two| {
            (
                one.cannot_tell,
                std::cmp::Reverse(one.decides.len()),
                &one.fact.name,
            )
                .cmp(&(
                    two.cannot_tell,
                    std::cmp::Reverse(two.decides.len()),
                    &two.fact.name,
                ))
        });
        out
    }

    fn came_off(&self) -> Vec<CameOff> {
        self.grounded
            .open_access
            .iter()
            .map(|(event, offered)| CameOff {
                event: *event,
                work: self.naming.event(*event),
                offered: offered
                    .iter()
                    .filter_map(|&offered| {
                        let found = self.grounded.events.get(offered.0 as usize)?;
                        Some((found.subject?, self.naming.event(offered)))
                    })
                    .collect(),
            })
            .collect()
    }

    fn touched(&self) -> Vec<TouchedPart> {
        let mut touched: Vec<TouchedPart> = self
            .grounded
            .program
            .claims
            .iter()
            .enumerate()
            .filter_map(|(index, claim)| match claim {
                Claim::Touched(part, event) if self.evaluated.is_possible(AtomId(index as u32)) => {
                    Some(TouchedPart {
                        part: *part,
                        event: *event,
                        certain: self.evaluated.is_certain(AtomId(index as u32)),
                    })
                }
                _ => None,
            })
            .collect();
        touched.sort_by_key(|touched| (touched.part, touched.event));
        touched
    }

    fn events(&self) -> Vec<EventWords> {
        (0..self.grounded.events.len() as u32)
            .map(EventId)
            .map(|event| EventWords {
                words: self.naming.event(event),
                origin: self.naming.origin(event),
                certain: self
                    .grounded
                    .program
                    .find(&Claim::Happened(event))
                    .is_some_and(|atom| self.evaluated.is_certain(atom)),
            })
            .collect()
    }

    fn assumptions(&self) -> Vec<String> {
        let mut out = Vec::new();
        if self.job.work_complete.is_none() {
            out.push(
                "work that is not listed was not done, if the work list is complete".to_string(),
            );
        }
        if self.job.looked_over_everything.is_none() && self.grounded.assumed_sound {
            out.push("on parts that the work does not touch, nothing else was found".to_string());
        }
        out.push("beyond what is listed and what is named as open, nothing happened".to_string());
        out
    }

    fn not_in_force(&self) -> Vec<String> {
        let mut out: Vec<String> = self
            .scoped
            .not_in_force
            .iter()
            .filter_map(|(rule, standing)| {
                let rule = self.library.rule(*rule)?;
                Some(match standing {
                    Standing::NotYet { from } => {
                        format!("\"{}\": its text is in force only from {from}", rule.name)
                    }
                    Standing::Replaced { by } => format!(
                        "\"{}\": its text is replaced by {}",
                        rule.name,
                        self.library
                            .source(*by)
                            .map_or("", |source| source.name.as_str())
                    ),
                    Standing::Holds => return None,
                })
            })
            .collect();
        out.sort();
        out
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
            if !has(Outcome::NotNeeded)
                && !has(Outcome::Advised)
                && !has(Outcome::Conflict)
                && !has(Outcome::Required)
            {
                return None;
            }
            (Verdict::Open, floor)
        }
    })
}

/// An outcome in words.
pub fn outcome_words(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Nothing => "nothing asked",
        Outcome::NotNeeded => "not needed",
        Outcome::Silent => "silent",
        Outcome::Advised => "advised",
        Outcome::Conflict => "conflict",
        Outcome::Required => "required",
    }
}
