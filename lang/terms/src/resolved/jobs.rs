//! Jobs: what their lines say.

use knockon_measure::{Date, Reading};
use knockon_text::Span;

use super::{Placing, Scan, When};
use crate::vocabulary::TermId;

/// A job.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// Its name.
    pub name: String,
    /// The date it is decided as of.
    pub dated: Option<Date>,
    /// Its lines.
    pub lines: Vec<Line>,
    /// Where it was written.
    pub span: Span,
}

/// One entry of a job.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What it says.
    pub entry: Entry,
    /// Where it was written.
    pub span: Span,
    /// On which line of its file, from 1, for answers.
    pub number: u32,
    /// As written, for answers.
    pub written: String,
}

/// Yes, no, or a person could not tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Judgement {
    /// Yes.
    Yes,
    /// No.
    No,
    /// A person looked and could not tell.
    CannotTell,
}

/// What an entry of a job says.
#[derive(Clone, Debug, PartialEq)]
pub enum Entry {
    /// The vehicle.
    Vehicle {
        /// Its maker.
        maker: TermId,
        /// Its model.
        model: Option<TermId>,
        /// Its model year.
        year: Option<i32>,
        /// When it was built.
        built: Option<Date>,
        /// Its identification number.
        vin: Option<String>,
    },
    /// Equipped, or not equipped, with terms.
    Equipped {
        /// With what.
        what: Vec<TermId>,
        /// Is, or is not.
        yes: bool,
    },
    /// What is not named is not fitted.
    EquipmentComplete,
    /// Work, a finding or an event.
    Happened(Happened),
    /// It did not happen.
    NotHappened {
        /// What.
        what: TermId,
        /// To what.
        subject: Option<TermId>,
    },
    /// Nothing else came off on the way.
    NothingElseCameOff,
    /// The work list is complete.
    WorkComplete,
    /// Parts looked over, nothing found beyond what is listed.
    LookedOver(Vec<TermId>),
    /// Everything looked over.
    LookedOverEverything,
    /// A measured value.
    Measured {
        /// The measure.
        measure: TermId,
        /// Of what.
        of: Option<TermId>,
        /// Its change.
        change: bool,
        /// The reading.
        reading: Reading,
    },
    /// A procedure is in hand.
    InHand {
        /// The procedure.
        procedure: TermId,
        /// Of what.
        of: Option<TermId>,
    },
    /// A value of a procedure, measured.
    MeasuredValue {
        /// The measure.
        measure: TermId,
        /// The procedure.
        procedure: TermId,
        /// Of what.
        of: Option<TermId>,
        /// The reading.
        reading: Reading,
    },
    /// A condition, or a person's judgement of it.
    Holds {
        /// The condition.
        condition: TermId,
        /// Of what.
        of: Option<TermId>,
        /// The answer.
        answer: Judgement,
        /// Who judged.
        by: Option<String>,
        /// Why.
        because: Option<String>,
    },
    /// A choice has, or has not, a value.
    Chosen {
        /// The choice.
        choice: TermId,
        /// Of which place.
        of: Option<TermId>,
        /// The value.
        value: TermId,
        /// Has it, or has not.
        yes: bool,
    },
    /// Where something listed happened.
    Placed {
        /// What happened.
        what: TermId,
        /// To which part.
        subject: TermId,
        /// Where on it.
        place: (Placing, TermId),
    },
    /// What the part that came off, or the one that goes on, is or is not.
    Quality {
        /// The one that goes on; else the one that came off.
        new: bool,
        /// The part.
        part: TermId,
        /// The quality.
        quality: TermId,
        /// Is, or is not.
        yes: bool,
    },
    /// Why listed work was done.
    Because {
        /// The work.
        what: TermId,
        /// On which part.
        subject: TermId,
        /// An event or finding.
        cause: TermId,
    },
    /// A procedure was carried out.
    Done {
        /// The procedure.
        procedure: TermId,
        /// Of what.
        of: Option<TermId>,
        /// How it ended.
        outcome: Option<TermId>,
        /// When.
        at: Option<When>,
    },
    /// Modules were read.
    Scan(Scan),
    /// The date of the job.
    Dated(Date),
}

/// Something that happened.
#[derive(Clone, Debug, PartialEq)]
pub struct Happened {
    /// The operation, finding or event.
    pub what: TermId,
    /// To which part.
    pub subject: Option<TermId>,
    /// Where on it.
    pub place: Option<(Placing, TermId)>,
    /// How large.
    pub sizes: Vec<(TermId, Reading)>,
    /// When.
    pub at: Option<When>,
    /// Why the work was done: an event or finding.
    pub because: Option<TermId>,
    /// It came off on the way to other work.
    pub on_the_way: bool,
}
