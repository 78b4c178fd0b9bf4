//! What procedures do to the car, as it shows in an answer: where it comes from, what comes after it, what forbids it.

use super::Decider;
use crate::answer::{DutyVerdict, Order, Verdict};
use crate::atoms::{AtomId, Claim, DutyKey, Said};
use crate::event::{EventId, Origin, Procedure, doing_of};

impl Decider<'_> {
    /// Whether an event is still to come: by a procedure that is not done.
    pub(super) fn is_to_come(&self, event: EventId) -> bool {
        matches!(doing_of(&self.grounded.events, event), Some((_, None)))
    }

    /// Whether an event certainly happened, or will.
    pub(super) fn surely_happens(&self, event: EventId) -> bool {
        self.happened(event).is_some_and(|atom| self.evaluated.is_certain(atom))
    }

    fn happened(&self, event: EventId) -> Option<AtomId> {
        self.grounded.program.find(&Claim::Happened(event))
    }

    /// What a procedure is asked for because of: the first event of what certainly asks for it, else of what may.
    pub(super) fn asked_because(&self, procedure: Procedure) -> Option<EventId> {
        let asks = || {
            self.grounded.program.conclusions.iter().filter(|conclusion| {
                matches!(conclusion.said, Said::Ask | Said::Advise)
                    && conclusion.duty().ways().any(|way| way == procedure)
            })
        };
        let certain = asks().find(|conclusion| self.evaluated.is_certain(conclusion.atom));
        let found = certain.or_else(|| asks().find(|conclusion| self.evaluated.is_possible(conclusion.atom)))?;
        found.causes.first().copied()
    }

    /// By which rule a procedure is asked for that does something, and which text says that it does.
    pub(super) fn doing_words(&self, procedure: Procedure, item: usize, done: Option<usize>) -> String {
        let text = self.naming.carrying_out_source(item);
        if let Some(line) = done {
            return format!("{}, {text}", self.naming.line_number(line));
        }
        let asks = self.grounded.program.conclusions.iter().filter(|conclusion| {
            matches!(conclusion.said, Said::Ask | Said::Advise)
                && self.evaluated.is_possible(conclusion.atom)
                && conclusion.duty().ways().any(|way| way == procedure)
        });
        let mut words: Vec<String> = asks
            .filter_map(|conclusion| {
                let verb = match conclusion.said {
                    Said::Advise => "advised",
                    _ if !conclusion.or.is_empty() => "one of a choice",
                    _ => "required",
                };
                Some(format!("{verb} by \"{}\"", self.library.rule(conclusion.rule)?.name))
            })
            .collect();
        words.sort();
        words.dedup();
        words.push(text);
        words.join(", ")
    }

    /// What follows from what a procedure does comes after it. Of two that set each other off, what was asked for first
    /// comes first.
    pub(super) fn orders_of_doings(&self, duties: &[DutyVerdict]) -> Vec<Order> {
        let standing = |procedure: Procedure| {
            duties.iter().any(|duty| {
                let key = duty.key();
                duty.verdict != Verdict::NotNeeded
                    && (key == DutyKey::one(procedure.0, procedure.1) || key.chooses(procedure.0, procedure.1))
            })
        };
        let mut found: Vec<(Procedure, Procedure, EventId)> = Vec::new();
        for duty in duties.iter().filter(|duty| duty.verdict != Verdict::NotNeeded && duty.or.is_empty()) {
            for &event in duty.causes.iter().flat_map(|cause| &cause.causes) {
                let Some((first, None)) = doing_of(&self.grounded.events, event) else { continue };
                let second = (duty.procedure, duty.of);
                let known = found.iter().any(|(one, two, _)| (*one, *two) == (first, second));
                if first != second && !known && standing(first) {
                    found.push((first, second, event));
                }
            }
        }
        let generation = |procedure: Procedure| self.grounded.generations.get(&procedure).copied().unwrap_or(u32::MAX);
        let back = |first: Procedure, second: Procedure| {
            found.iter().any(|(one, two, _)| (*one, *two) == (second, first)) && generation(first) >= generation(second)
        };
        let kept = found.iter().filter(|(first, second, _)| !back(*first, *second));
        kept.map(|&(first, second, event)| {
            let item = self.grounded.events.get(event.0 as usize).map(|event| event.origin);
            let text = match item {
                Some(Origin::Procedure { item, .. }) => format!(", {}", self.naming.carrying_out_source(item)),
                _ => String::new(),
            };
            let name = |procedure: Procedure| self.naming.duty(procedure.0, procedure.1);
            Order {
                first,
                second,
                words: format!("{} before {}", name(first), name(second)),
                by: format!("it sets that off: {}{text}", self.naming.event(event)),
                certain: self.surely_happens(event),
            }
        })
        .collect()
    }
}
