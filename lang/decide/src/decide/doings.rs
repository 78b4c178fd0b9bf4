//! What procedures do to the car, as it shows in an answer: where it comes from, what comes after it, what forbids it.

use knockon_terms::TermId;
use knockon_terms::resolved::Placing;

use super::Decider;
use crate::answer::{CarriedOutAs, DoneBy, DutyVerdict, Met, Order, Verdict};
use crate::atoms::{AtomId, Claim, DutyKey, Said};
use crate::event::{EventId, Origin, Procedure, doing_of, root_doing};

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

    /// What procedures still to be carried out may do to a part, of this operation; stated to be elsewhere it is not this.
    fn doings(&self, operation: TermId, part: TermId, zone: Option<TermId>) -> Vec<(EventId, AtomId)> {
        let vocabulary = self.library.vocabulary();
        let all = (0..self.grounded.events.len() as u32).map(EventId);
        all.filter(|&event| {
            self.is_to_come(event)
                && self.grounded.events.get(event.0 as usize).is_some_and(|found| {
                    found.subject == Some(part)
                        && vocabulary.counts_as(found.what, operation)
                        && !zone.is_some_and(|zone| found.places.contains(&(Placing::Outside, zone)))
                })
        })
        .filter_map(|event| Some((event, self.happened(event)?)))
        .filter(|(_, atom)| self.evaluated.is_possible(*atom))
        .collect()
    }

    /// That they do it.
    pub(super) fn atoms_of_doings(&self, operation: TermId, part: TermId, zone: Option<TermId>) -> Vec<AtomId> {
        self.doings(operation, part, zone).into_iter().map(|(_, atom)| atom).collect()
    }

    /// The same in words.
    pub(super) fn done_by(&self, operation: TermId, part: TermId, zone: Option<TermId>) -> Vec<DoneBy> {
        let mut all: Vec<DoneBy> = self
            .doings(operation, part, zone)
            .into_iter()
            .filter_map(|(event, atom)| {
                let (root, ((procedure, of), _)) = root_doing(&self.grounded.events, event)?;
                let item = match self.grounded.events.get(root.0 as usize)?.origin {
                    Origin::Procedure { item, .. } => item,
                    _ => return None,
                };
                Some(DoneBy {
                    name: self.naming.duty(procedure, of),
                    citation: self.naming.carrying_out_source(item),
                    certain: self.evaluated.is_certain(atom),
                })
            })
            .collect();
        all.sort();
        all.dedup();
        all
    }

    /// As what a duty is carried out, and whether what was done that way meets it, by itself.
    pub(super) fn carried_out_as(&self, duty: &DutyKey) -> Vec<(CarriedOutAs, Vec<Procedure>)> {
        let said = self.grounded.carried_out_as.iter().filter(|said| *duty == DutyKey::one(said.of.0, said.of.1));
        said.filter_map(|said| {
            let certain = match self.truth(said.when) {
                Some(false) => return None,
                Some(true) => true,
                None => false,
            };
            let ways: Vec<Procedure> = said.ways.iter().map(|&way| (way, said.of.1)).collect();
            let words = ways.iter().map(|way| self.naming.duty(way.0, way.1)).collect();
            let citation = self.naming.fact_source(said.fact);
            Some((CarriedOutAs { ways: words, citation, certain }, ways))
        })
        .collect()
    }

    /// A general duty is met once every special one that is due is met; where none is due, by any that was done.
    pub(super) fn met_as(&self, duties: &mut [DutyVerdict], alone: &[(DutyKey, Met)]) {
        for index in 0..duties.len() {
            let Some(key) = duties.get(index).map(DutyVerdict::key) else { continue };
            let said = self.carried_out_as(&key);
            if said.is_empty() || duties.get(index).is_none_or(|duty| duty.met != Met::No) {
                continue;
            }
            let is_way = |duty: &DutyVerdict| {
                duty.or.is_empty() && said.iter().any(|(_, ways)| ways.contains(&(duty.procedure, duty.of)))
            };
            let due: Vec<&DutyVerdict> = duties
                .iter()
                .filter(|duty| {
                    is_way(duty) && matches!(duty.verdict, Verdict::Required | Verdict::Conflict | Verdict::Open)
                })
                .collect();
            let sure =
                said.iter().all(|(said, _)| said.certain) && due.iter().all(|duty| duty.verdict != Verdict::Open);
            let met = if due.is_empty() {
                alone.iter().find(|(known, _)| *known == key).map_or(Met::No, |(_, met)| met.clone())
            } else {
                all_met(due.iter().map(|duty| &duty.met))
            };
            let met = match met {
                Met::Yes(line) if !sure => Met::Unclear(line),
                met => met,
            };
            if let Some(duty) = duties.get_mut(index) {
                duty.met = met;
            }
        }
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

    /// What follows from what a procedure does comes after it. Of two that set each other off, one comes first.
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
                if first == second || !standing(first) {
                    continue;
                }
                match found.iter_mut().find(|(one, two, _)| (*one, *two) == (first, second)) {
                    Some((_, _, known)) if self.surely_happens(event) && !self.surely_happens(*known) => *known = event,
                    Some(_) => {}
                    None => found.push((first, second, event)),
                }
            }
        }
        // Of two that set each other off, what is certain counts before what is not, then what comes first.
        let weight = |event: EventId| {
            let root = root_doing(&self.grounded.events, event).map_or(event, |(root, _)| root);
            let generation = match self.grounded.events.get(root.0 as usize).map(|event| event.origin) {
                Some(Origin::Procedure { generation, .. }) => generation,
                _ => 0,
            };
            (!self.surely_happens(event), generation)
        };
        let back = |first: Procedure, second: Procedure, event: EventId| {
            let mut other = found.iter().filter(|(one, two, _)| (*one, *two) == (second, first));
            other.any(|&(_, _, other)| weight(other) <= weight(event))
        };
        let kept = found.iter().filter(|(first, second, event)| !back(*first, *second, *event));
        kept.map(|&(first, second, event)| {
            let event = root_doing(&self.grounded.events, event).map_or(event, |(root, _)| root);
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

/// Whether all were carried out: no where one surely was not, else as unclear as the least clear.
fn all_met<'m>(all: impl Iterator<Item = &'m Met>) -> Met {
    let mut met = Met::No;
    let mut unclear = None;
    for one in all {
        match one {
            Met::No => return Met::No,
            Met::Unclear(line) => unclear = Some(line.clone()),
            Met::Yes(line) => met = Met::Yes(line.clone()),
        }
    }
    unclear.map_or(met, Met::Unclear)
}
