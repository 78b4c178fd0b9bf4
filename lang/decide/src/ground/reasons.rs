//! Why work was done: the reason its line gives, or that of the work it was on the way to.

use knockon_terms::{Class, TermId};

use super::Grounder;
use crate::atoms::Lit;
use crate::event::{EventId, Origin};
use crate::fact::{Ask, Domain, Fact};

impl Grounder<'_> {
    /// Whether work was done because of something. What came off on the way was done for the reason of the work it
    /// was on the way to.
    pub(super) fn because(&mut self, event: EventId, cause: TermId) -> Lit {
        let lits = self.done_for(event).into_iter().map(|work| self.reason(work, cause)).collect();
        self.out.program.any(lits)
    }

    fn reason(&mut self, work: EventId, cause: TermId) -> Lit {
        let Some(event) = self.out.events.get(work.0 as usize) else { return Lit::False };
        let (subject, stated) = (event.subject, event.because);
        let counts = |term: &TermId| self.vocabulary.counts_as(*term, cause);
        let (values, asked) = match stated {
            Some(stated) => (Domain::Terms(vec![stated]), counts(&stated).then_some(stated).into_iter().collect()),
            None => {
                // What is said not to have happened was no reason for anything.
                let denied = |term: TermId| {
                    let of = self.vocabulary.happening(term).is_some_and(|happening| happening.of);
                    let subject = if of { subject } else { None };
                    self.job
                        .not_happened
                        .keys()
                        .any(|&(what, to)| to == subject && self.vocabulary.counts_as(term, what))
                };
                let all = self.vocabulary.iter().map(|(id, _)| id);
                let asked: Vec<TermId> = all.filter(counts).filter(|&term| !denied(term)).collect();
                (Domain::AnyTerm, asked)
            }
        };
        if asked.is_empty() {
            return Lit::False;
        }
        let variable = self.out.program.variable(Fact::Why(work), || values);
        self.out.program.leaf(variable, &Ask::OneOf(asked))
    }

    /// The works something was done for: itself, or what it was on the way to, to the end.
    fn done_for(&self, event: EventId) -> Vec<EventId> {
        let mut works = Vec::new();
        let mut seen = vec![event];
        let mut next = 0;
        while let Some(&id) = seen.get(next) {
            next += 1;
            let parents = match self.out.events.get(id.0 as usize).map(|event| event.origin) {
                Some(Origin::Access { parent, .. }) => {
                    let more = self.more_parents.get(&id).into_iter().flatten().copied();
                    std::iter::once(parent).chain(more).collect()
                }
                Some(Origin::MayHaveComeOff { parent }) => vec![parent],
                Some(Origin::Line(line)) => self.only_work_beside(id, line).into_iter().collect(),
                _ => Vec::new(),
            };
            if parents.is_empty() {
                works.push(id);
            }
            for parent in parents {
                if !seen.contains(&parent) {
                    seen.push(parent);
                }
            }
        }
        works.sort();
        works
    }

    /// For an `also` line without a reason of its own: the one work listed that it can have been on the way to.
    fn only_work_beside(&self, event: EventId, line: usize) -> Option<EventId> {
        let stated = self.out.events.get(event.0 as usize).is_some_and(|event| event.because.is_some());
        if stated || !self.on_the_way_line(line) {
            return None;
        }
        let mut works = (0..self.out.events.len() as u32).map(EventId).filter(|id| {
            self.out.events.get(id.0 as usize).is_some_and(|event| match event.origin {
                Origin::Line(line) => {
                    self.vocabulary.class(event.what) == Class::Operation && !self.on_the_way_line(line)
                }
                _ => false,
            })
        });
        let one = works.next()?;
        works.next().is_none().then_some(one)
    }
}
