//! Which cars, and what holds for them.

use knockon_measure::{Date, VinPattern};
use knockon_text::Span;

use super::{Citation, Domain, ScopeId};
use crate::vocabulary::{Class, TermId};

/// Which cars something holds for. Everything said must hold; what is not said is free.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scope {
    /// The scope around it.
    pub parent: Option<ScopeId>,
    /// The maker.
    pub maker: Option<TermId>,
    /// One of these models.
    pub models: Vec<TermId>,
    /// Model years.
    pub years: Option<Span2<i32>>,
    /// Build dates.
    pub built: Option<Span2<Date>>,
    /// The vehicle identification number fits one of these patterns, where any is named.
    pub vins: Vec<VinPattern>,
    /// Equipped with all of these.
    pub equipped: Vec<TermId>,
    /// Each of these choices has this value.
    pub chosen: Vec<(TermId, Option<TermId>, TermId)>,
    /// Where it was written.
    pub span: Option<Span>,
}

/// From a first to a last value, both included; a missing end is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span2<T> {
    /// The first value.
    pub first: Option<T>,
    /// The last value.
    pub last: Option<T>,
}

/// A fact about cars.
#[derive(Clone, Debug, PartialEq)]
pub struct Fact {
    /// For which cars.
    pub scope: ScopeId,
    /// What holds.
    pub kind: FactKind,
    /// What this takes the place of for these cars: the parts tied, or done to on the way, of which it holds no more.
    pub instead: Vec<TermId>,
    /// On whose word; common practice where nobody is named.
    pub per: Option<Citation>,
    /// Said in a declaration: of the term declared, and what it is tied to there, each as it was named.
    pub declared: Option<(TermId, TermId)>,
    /// Where it was written.
    pub span: Span,
}

impl Fact {
    /// Whether this takes the place of what another fact says, for the cars that both are about.
    pub fn takes_the_place_of(&self, other: &Fact) -> bool {
        match (&self.kind, &other.kind) {
            (FactKind::Related { part, relation, .. }, FactKind::Related { part: of, relation: by, to }) => {
                part == of && relation == by && self.instead.contains(to)
            }
            (
                FactKind::Access { operation, part, .. },
                FactKind::Access { operation: other, part: of, usually: _, effect: _, to },
            ) => operation == other && part == of && self.instead.contains(to),
            _ => false,
        }
    }
}

/// Whether a scope is another or stands inside it.
pub fn is_inside(scopes: &[Scope], scope: ScopeId, outer: ScopeId) -> bool {
    let around = |id: &ScopeId| scopes.get(id.0 as usize).and_then(|scope| scope.parent);
    std::iter::successors(Some(scope), around).any(|id| id == outer)
}

/// What a fact says.
#[derive(Clone, Debug, PartialEq)]
pub enum FactKind {
    /// A part is tied to another.
    Related {
        /// The part tied.
        part: TermId,
        /// How.
        relation: TermId,
        /// To what.
        to: TermId,
    },
    /// Work on a part does something to others on the way.
    Access {
        /// The work.
        operation: TermId,
        /// The part worked on.
        part: TermId,
        /// Offered to be confirmed, never assumed.
        usually: bool,
        /// What is done on the way.
        effect: TermId,
        /// To which part.
        to: TermId,
    },
    /// The car has or has not this equipment.
    Has {
        /// Only these models; empty for all cars of the scope.
        models: Vec<TermId>,
        /// The equipment.
        what: TermId,
        /// Has it, or has not.
        yes: bool,
    },
    /// The text was looked through for this, and says nothing of it.
    SaysNothing {
        /// What happened.
        what: TermId,
        /// To which part; nothing for an event of the car.
        subject: Option<TermId>,
        /// For which sensors, as they were named.
        sensors: Vec<TermId>,
    },
    /// A list of facts is complete.
    Complete {
        /// Which list.
        list: List,
        /// Of this term; of everything where none is named.
        of: Option<TermId>,
    },
    /// A procedure is carried out as others, as the car needs: those are ways of it, and no more to do.
    CarriedOutAs {
        /// The procedure.
        procedure: TermId,
        /// Of what.
        of: Whose,
        /// As which.
        ways: Vec<TermId>,
    },
}

/// What a procedure is of, in what is said of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Whose {
    /// Whatever it is of.
    Whatever,
    /// One term.
    Term(TermId),
    /// Each member of a class.
    AnyOf(Domain),
}

/// A list that can be complete.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum List {
    /// What a relation ties.
    Relation(TermId),
    /// What comes off on the way.
    Access,
    /// The members of a class.
    Class(Class),
    /// The members of a kind.
    Kind(TermId),
}
