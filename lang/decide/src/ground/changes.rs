//! Measured changes that are events: of measures declared to disturb when they change.

use knockon_measure::Truth;
use knockon_terms::TermId;

use super::Grounder;
use crate::atoms::{Claim, Why};
use crate::event::{Event, EventId, Origin};
use crate::fact::{Ask, Domain, Fact};

impl Grounder<'_> {
    /// An event for each measured change that reaches the limit, or may. A change nobody measured is none.
    pub(super) fn changes(&mut self) {
        for (&(measure, of, change), readings) in &self.job.measured {
            let ranges = self.vocabulary.disturbing_change(measure).filter(|_| change).map(<[_]>::to_vec);
            let Some(ranges) = ranges else { continue };
            for (reading, &(read, line)) in readings.iter().enumerate() {
                let interval = read.interval();
                if ranges.iter().all(|range| range.verdict(&interval) == Truth::No) {
                    continue;
                }
                let fact = Fact::Measure { measure, of, change, reading };
                let variable = self.out.program.variable(fact, || Domain::Number(Some(interval)));
                let leaf = self.out.program.leaf(variable, &Ask::Within(ranges.clone()));
                let event = self.add_event(Event {
                    what: measure,
                    subject: of,
                    places: Vec::new(),
                    sizes: Vec::new(),
                    at: None,
                    because: None,
                    origin: Origin::Line(line),
                });
                let happened = self.out.program.atom(Claim::Happened(event));
                self.out.program.clause(happened, [leaf], Why::Line(line));
            }
        }
    }

    /// The events that are changes of a measure of something.
    pub(super) fn changes_of(&self, measure: TermId, of: Option<TermId>) -> Vec<EventId> {
        let all = self.by_subject.get(&of).into_iter().flatten().copied();
        all.filter(|id| self.out.events.get(id.0 as usize).is_some_and(|event| event.what == measure)).collect()
    }
}
