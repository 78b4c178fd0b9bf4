//! What closes an answer: orders, holds, questions, what came off, what was assumed.

use knockon_rules::NotInForce;
use knockon_terms::resolved::SourceId;
use knockon_terms::{Class, TermId};

use super::Decider;
use crate::answer::{
    CameOff, DutyVerdict, EventWords, FactWords, Held, OperationAnswer, OperationVerdict, Order, Question, Silence,
    TouchedPart, ValueVerdict, Verdict,
};
use crate::atoms::{AtomId, Claim, DutyKey, Lit, Said};
use crate::event::EventId;

impl Decider<'_> {
    pub(super) fn orders(&self, duties: &[DutyVerdict]) -> Vec<Order> {
        let standing = || duties.iter().filter(|known| !matches!(known.verdict, Verdict::NotNeeded));
        let due = |(procedure, of): (TermId, Option<TermId>)| {
            let key = DutyKey::one(procedure, of);
            standing().any(|known| known.key() == key || known.key().chooses(procedure, of))
        };
        // Of two that are only ways to meet one choice, one is done: there is no order.
        let one_choice = |first: (TermId, Option<TermId>), second: (TermId, Option<TermId>)| {
            standing().any(|known| known.key().chooses(first.0, first.1) && known.key().chooses(second.0, second.1))
                && ![first, second]
                    .iter()
                    .all(|&(procedure, of)| standing().any(|known| known.key() == DutyKey::one(procedure, of)))
        };
        let mut orders: Vec<Order> = self
            .grounded
            .program
            .conclusions
            .iter()
            .filter(|conclusion| conclusion.said == Said::Before && self.evaluated.is_possible(conclusion.atom))
            .filter_map(|conclusion| {
                let first = (conclusion.what, conclusion.of);
                let second = conclusion.second?;
                if !due(first) || !due(second) || one_choice(first, second) {
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
                        self.naming.citation(rule.cites.source, rule.cites.section.as_deref())
                    ),
                    certain: self.evaluated.is_certain(conclusion.atom),
                })
            })
            .collect();
        orders.extend(self.orders_of_doings(duties));
        orders.sort_by(|one, two| (&one.words, &one.by).cmp(&(&two.words, &two.by)));
        orders.dedup();
        orders
    }

    pub(super) fn holds(&self, duties: &mut [DutyVerdict]) {
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
                citation: self.naming.citation(rule.cites.source, rule.cites.section.as_deref()),
                until: words.clone(),
                known: surely_not && self.evaluated.is_certain(conclusion.atom),
            };
            for duty in duties.iter_mut().filter(|duty| duty.verdict != Verdict::NotNeeded) {
                let mut held = held.clone();
                if duty.key().chooses(conclusion.what, conclusion.of) {
                    let way = self.naming.duty(conclusion.what, conclusion.of);
                    held.until = format!("{}, if it is to be {way}", held.until);
                } else if !conclusion.is_about(&duty.key()) {
                    continue;
                }
                if !duty.held.contains(&held) {
                    duty.held.push(held);
                }
            }
        }
    }

    pub(super) fn questions(
        &self,
        duties: &[DutyVerdict],
        values: &[ValueVerdict],
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
            let Some(variable) = self.grounded.program.variables.get(fact.variable.0 as usize) else {
                return;
            };
            out.push(Question {
                fact: fact.clone(),
                text: self.naming.question(variable),
                decides: vec![decides.to_string()],
                cannot_tell: variable.cannot_tell,
            });
        };
        for duty in duties.iter().filter(|duty| duty.verdict == Verdict::Open) {
            for fact in &duty.turns_on {
                add(fact, &duty.name);
            }
        }
        for value in values {
            for fact in &value.turns_on {
                add(fact, &value.name);
            }
        }
        for operation in operations
            .iter()
            .filter(|operation| operation.concerns_this_job && operation.verdict == OperationAnswer::Open)
        {
            for fact in &operation.turns_on {
                add(fact, &operation.name);
            }
        }
        for silence in silences.iter().filter(|silence| !silence.certain) {
            for fact in &silence.turns_on {
                add(fact, &format!("whether {} is touched and nobody speaks of it", silence.name));
            }
        }
        out.sort_by(|one, two| {
            (one.cannot_tell, std::cmp::Reverse(one.decides.len()), &one.fact.name).cmp(&(
                two.cannot_tell,
                std::cmp::Reverse(two.decides.len()),
                &two.fact.name,
            ))
        });
        out
    }

    pub(super) fn came_off(&self) -> Vec<CameOff> {
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

    pub(super) fn touched(&self) -> Vec<TouchedPart> {
        let mut touched: Vec<TouchedPart> = self
            .grounded
            .program
            .claims
            .iter()
            .enumerate()
            .filter_map(|(index, claim)| match claim {
                // A measure that changed only leads on to what is tied to it.
                Claim::Touched(part, _) if self.library.vocabulary().class(*part) == Class::Measure => None,
                Claim::Touched(part, event) if self.evaluated.is_possible(AtomId(index as u32)) => Some(TouchedPart {
                    part: *part,
                    event: *event,
                    certain: self.evaluated.is_certain(AtomId(index as u32)),
                }),
                _ => None,
            })
            .collect();
        touched.sort_by_key(|touched| (touched.part, touched.event));
        touched
    }

    pub(super) fn events(&self) -> Vec<EventWords> {
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

    pub(super) fn assumptions(&self) -> Vec<String> {
        let mut out = Vec::new();
        if self.job.work_complete.is_none() {
            out.push("work that is not listed was not done, if the work list is complete".to_string());
        }
        if self.job.looked_over_everything.is_none() && self.grounded.assumed_sound {
            out.push("on parts that the listed work does not touch, nothing else was found".to_string());
        }
        if self.grounded.assumed_untroubled {
            out.push("to parts that the listed work does not touch, nothing else happened".to_string());
        }
        out.extend(self.job.beside_texts(self.library, self.scoped));
        out.push("beyond what is listed and what is named as open, nothing happened".to_string());
        out
    }

    pub(super) fn not_in_force(&self) -> Vec<String> {
        let mut out: Vec<String> = self
            .scoped
            .not_in_force
            .iter()
            .filter_map(|(rule, why)| {
                let rule = self.library.rule(*rule)?;
                Some(match why {
                    NotInForce::NotYet { from } => {
                        format!("\"{}\": its text is in force only from {from}", rule.name)
                    }
                    NotInForce::Replaced { by } => {
                        format!("\"{}\": its text is replaced by {}", rule.name, self.source_name(*by))
                    }
                })
            })
            .collect();
        for (rule, by, lit) in &self.grounded.replaced {
            let Some(rule) = self.library.rule(*rule) else { continue };
            let by = self.source_name(*by);
            match self.truth(*lit) {
                Some(true) => out.push(format!("\"{}\": its text is replaced by {by} for such cars", rule.name)),
                Some(false) => {}
                None => out.push(format!(
                    "\"{}\", perhaps: its text is replaced by {by} for some cars, and it is not known whether for this one",
                    rule.name
                )),
            }
        }
        out.sort();
        out
    }

    /// Whether a literal is so, is not, or is open.
    pub(super) fn truth(&self, lit: Lit) -> Option<bool> {
        match lit {
            Lit::True => Some(true),
            Lit::False => Some(false),
            Lit::Atom(atom, sign) if self.evaluated.is_certain(atom) => Some(sign),
            Lit::Atom(atom, sign) if !self.evaluated.is_possible(atom) => Some(!sign),
            Lit::Atom(..) => None,
        }
    }

    pub(super) fn source_name(&self, source: SourceId) -> &str {
        self.library.source(source).map_or("", |source| source.name.as_str())
    }
}
