//! Sensors that are touched and of which nobody speaks.

use std::collections::BTreeMap;

use knockon_terms::TermId;
use knockon_terms::resolved::FactKind;

use super::Decider;
use crate::answer::{DutyVerdict, LookedThrough, Silence, Verdict};
use crate::atoms::{AtomId, Claim, Lit};
use crate::combine::Outcome;
use crate::event::{EventId, doing_of};

impl Decider<'_> {
    pub(super) fn silences(&mut self, duties: &[DutyVerdict]) -> Vec<Silence> {
        let touched: Vec<(TermId, EventId, AtomId)> = self
            .grounded
            .program
            .claims
            .iter()
            .enumerate()
            .filter_map(|(index, claim)| match claim {
                Claim::Touched(part, event) if self.is_sensor(*part) => Some((*part, *event, AtomId(index as u32))),
                _ => None,
            })
            .filter(|(_, _, atom)| self.evaluated.is_possible(*atom))
            // Of what a procedure does to the sensor it is of, the procedure's own text speaks.
            .filter(|(sensor, event, _)| {
                doing_of(&self.grounded.events, *event).is_none_or(|((_, of), _)| of != Some(*sensor))
            })
            .collect();
        // One event that may come in this generation or that is one cause: in each completion it comes in one of them.
        let mut alike: BTreeMap<(TermId, String), Vec<(EventId, AtomId)>> = BTreeMap::new();
        for (sensor, event, atom) in touched {
            alike.entry((sensor, self.naming.event(event))).or_default().push((event, atom));
        }
        let mut out = Vec::new();
        for ((sensor, because_of), all) in alike {
            let Some(&(event, _)) = all.first() else { continue };
            let each: Vec<(AtomId, Option<AtomId>)> = all
                .iter()
                .map(|&(event, atom)| (atom, self.grounded.program.find(&Claim::Spoken(sensor, event))))
                .collect();
            let fitted = self.fitted(sensor);
            let mut atoms: Vec<AtomId> =
                each.iter().flat_map(|&(atom, spoken)| [Some(atom), spoken]).flatten().collect();
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
                fitted && each.iter().any(|&(atom, spoken)| holds(atom) && !spoken.is_some_and(holds))
            };
            let settled = self.settle(&atoms, &format!("the silence about {name}"), &outcome, &|one, two| one == two);
            if !settled.outcomes.contains_key(&true) {
                continue;
            }
            let certain = settled.outcomes.len() == 1;
            // Where an open duty may come to silence for this cause, the duty says it.
            let said_by_duty = duties.iter().any(|duty| {
                duty.key().subjects().contains(&sensor)
                    && duty.verdict == Verdict::Open
                    && duty.outcomes.iter().any(|(outcome, _)| *outcome == Outcome::Silent)
                    && all.iter().all(|(event, _)| duty.causes.iter().any(|cause| cause.causes.contains(event)))
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
                because_of,
                chain,
                certain,
                turns_on: if certain { Vec::new() } else { self.facts(&settled.turns_on) },
                read: self.looked_through(sensor, event),
            });
        }
        out.sort_by(|one, two| {
            (!one.certain, &one.because_of, &one.name).cmp(&(!two.certain, &two.because_of, &two.name))
        });
        out
    }

    /// The texts that are recorded to say nothing of an event for a sensor. They end no silence: they tell who asks where
    /// nobody needs to look again.
    fn looked_through(&self, sensor: TermId, event: EventId) -> Vec<LookedThrough> {
        let vocabulary = self.library.vocabulary();
        let Some(event) = self.grounded.events.get(event.0 as usize) else { return Vec::new() };
        let mut out: Vec<LookedThrough> = Vec::new();
        for scoped in &self.scoped.facts {
            let Some(fact) = self.library.facts().get(scoped.fact) else { continue };
            let (FactKind::SaysNothing { what, subject, sensors }, Some(per)) = (&fact.kind, &fact.per) else {
                continue;
            };
            let of_part = match (subject, event.subject) {
                (Some(named), Some(part)) => vocabulary.members(*named).contains(&part),
                (None, None) => true,
                _ => false,
            };
            let for_sensor = sensors.iter().any(|&named| vocabulary.members(named).contains(&sensor));
            if !of_part || !for_sensor || !vocabulary.counts_as(event.what, *what) {
                continue;
            }
            let perhaps = match self.job.all(self.library, &scoped.tests) {
                Some(true) => "",
                Some(false) => continue,
                None => ", if it is for this car",
            };
            let place = self.naming.citation(per.source, per.section.as_deref());
            let weak: String =
                self.scoped.weaknesses(self.library, per).iter().map(|weak| format!("; {}", weak.words())).collect();
            let words = format!("{place} was looked through and says nothing of it{perhaps}{weak}");
            if !out.iter().any(|known| known.words == words) {
                out.push(LookedThrough { source: per.source, words });
            }
        }
        out.sort_by(|one, two| one.words.cmp(&two.words));
        out
    }
}
