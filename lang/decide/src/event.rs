//! What happened, as individuals: each with its own part, place, size, time and origin.

use knockon_measure::Reading;
use knockon_terms::resolved::{Placing, When};
use knockon_terms::{Class, TermId, Vocabulary};

/// One thing that happened, or may have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EventId(pub u32);

/// A procedure and what it is of.
pub type Procedure = (TermId, Option<TermId>);

/// How it is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Origin {
    /// A line of the job.
    Line(usize),
    /// Work on the way to other work, by a fact of the library.
    Access {
        /// The other work.
        parent: EventId,
        /// The fact, among the library's.
        fact: usize,
    },
    /// It may have come off on the way: nobody said so, and the access list is not complete.
    MayHaveComeOff {
        /// The work it may have been on the way of.
        parent: EventId,
    },
    /// Something that happens to a car; nobody said whether it did.
    NotSaid,
    /// What carrying out a procedure does to the car.
    Procedure {
        /// The procedure, and what it is of.
        procedure: Procedure,
        /// The text that says so, among the library's.
        item: usize,
        /// The line that says it was done; none where it is still to be carried out.
        done: Option<usize>,
        /// The generation it belongs to; 0 where it was done.
        generation: u32,
    },
    /// Something that may be found on a part that was touched and not looked over.
    NotLookedOver,
}

/// Something that happened, or may have.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// The operation, finding or event; or the measure that changed.
    pub what: TermId,
    /// The part.
    pub subject: Option<TermId>,
    /// Where on it, as far as it was said.
    pub places: Vec<(Placing, TermId)>,
    /// How large.
    pub sizes: Vec<(TermId, Reading)>,
    /// When.
    pub at: Option<When>,
    /// Why the work was done, where it was said.
    pub because: Option<TermId>,
    /// How it is known.
    pub origin: Origin,
}

impl Event {
    /// In words: `front fascia removed`.
    pub fn words(&self, vocabulary: &Vocabulary) -> String {
        if vocabulary.class(self.what) == Class::Measure {
            let of = self.subject.map_or_else(String::new, |of| format!(" of {}", vocabulary.name(of)));
            return format!("change in {}{of}", vocabulary.name(self.what));
        }
        match self.subject {
            Some(subject) => format!("{} {}", vocabulary.name(subject), vocabulary.name(self.what)),
            None => vocabulary.name(self.what).to_string(),
        }
    }
}

/// A procedure, and the line that says it was done.
pub type Doing = (Procedure, Option<usize>);

/// Whose doing an event is, itself or what it was on the way to.
pub fn doing_of(events: &[Event], event: EventId) -> Option<Doing> {
    root_doing(events, event).map(|(_, doing)| doing)
}

/// What a procedure itself does of which an event is a part, or that it was on the way to; and whose doing that is.
pub fn root_doing(events: &[Event], event: EventId) -> Option<(EventId, Doing)> {
    let mut at = event;
    // What was on the way to work on the way ends somewhere: each was added after what it is on the way to.
    loop {
        match events.get(at.0 as usize)?.origin {
            Origin::Procedure { procedure, done, .. } => return Some((at, (procedure, done))),
            Origin::Access { parent, .. } | Origin::MayHaveComeOff { parent } if parent < at => at = parent,
            _ => return None,
        }
    }
}

/// The events a conclusion rests on, sorted. Empty: the car as it stands.
pub type Causes = Vec<EventId>;
