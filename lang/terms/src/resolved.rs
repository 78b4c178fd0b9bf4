//! The resolved tree: what was written, with terms in the place of words.

use knockon_measure::{Clock, Date, Kind, Range, Reading};
use knockon_text::Span;

use crate::vocabulary::{Class, TermId, Vocabulary};

/// Everything of one load.
#[derive(Clone, Debug, Default)]
pub struct Resolved {
    /// The words.
    pub vocabulary: Vocabulary,
    /// The scopes; scope 0 holds every car.
    pub scopes: Vec<Scope>,
    /// The documents.
    pub sources: Vec<Source>,
    /// The facts about cars.
    pub facts: Vec<Fact>,
    /// The rules.
    pub rules: Vec<Rule>,
    /// The jobs.
    pub jobs: Vec<Job>,
    /// The tests.
    pub tests: Vec<Test>,
    /// A number of all that words, sources, facts and rules say, whatever their order.
    pub digest: u64,
}

/// A scope in [`Resolved::scopes`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ScopeId(pub u32);

impl ScopeId {
    /// Every car.
    pub const EVERY_CAR: ScopeId = ScopeId(0);
}

/// A source in [`Resolved::sources`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SourceId(pub u32);

/// A rule in [`Resolved::rules`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RuleId(pub u32);

/// A variable of one rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct VariableId(pub u32);

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
    /// Equipped with all of these.
    pub equipped: Vec<TermId>,
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

/// A day, and perhaps the time of day, in the shop's own time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct When {
    /// The day.
    pub date: Date,
    /// The time of day.
    pub clock: Option<Clock>,
}

impl When {
    /// Whether this is before, at or after another; nothing where the day is the same and a time is missing.
    pub fn compare(&self, other: &When) -> Option<std::cmp::Ordering> {
        if self.date != other.date {
            return Some(self.date.cmp(&other.date));
        }
        Some(self.clock?.cmp(&other.clock?))
    }
}

/// How much weight a document has.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rank {
    /// A maker's position statement.
    MakerStatement,
    /// A maker's workshop text.
    WorkshopText,
    /// Common practice of the trade.
    CommonPractice,
    /// The shop's own policy.
    ShopPolicy,
}

impl Rank {
    /// The rank as the language writes it.
    pub fn words(self) -> &'static str {
        match self {
            Rank::MakerStatement => "maker statement",
            Rank::WorkshopText => "workshop text",
            Rank::CommonPractice => "common practice",
            Rank::ShopPolicy => "shop policy",
        }
    }

    /// Whether it is the maker's own word.
    pub fn is_makers(self) -> bool {
        matches!(self, Rank::MakerStatement | Rank::WorkshopText)
    }
}

/// A document.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// Its short name.
    pub name: String,
    /// Where it is described.
    pub span: Span,
    /// Its title.
    pub title: Option<String>,
    /// Who issued it.
    pub issuer: Option<String>,
    /// Its rank.
    pub rank: Rank,
    /// When issued.
    pub issued: Date,
    /// When last revised.
    pub revised: Option<Date>,
    /// From when it holds.
    pub in_force: Date,
    /// What it replaces: a source, or a section of it.
    pub replaces: Vec<(SourceId, Option<String>)>,
    /// Review interval in months and the day it was last checked.
    pub review: Option<(u32, Option<Date>)>,
    /// Whether only a part was read.
    pub read_in_part: bool,
    /// The pages read.
    pub read_from: Option<String>,
    /// The car it was borrowed from.
    pub borrowed_from: Option<String>,
    /// Who encoded it.
    pub encoded_by: Option<String>,
    /// Who read it a second time.
    pub second_reading: Option<String>,
}

/// A place in a document.
#[derive(Clone, Debug, PartialEq)]
pub struct Citation {
    /// The document.
    pub source: SourceId,
    /// The revision cited.
    pub of: Option<Date>,
    /// The section.
    pub section: Option<String>,
    /// Where it is cited.
    pub span: Span,
}

/// A fact about cars.
#[derive(Clone, Debug, PartialEq)]
pub struct Fact {
    /// For which cars.
    pub scope: ScopeId,
    /// What holds.
    pub kind: FactKind,
    /// On whose word; common practice where nobody is named.
    pub per: Option<Citation>,
    /// Where it was written.
    pub span: Span,
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
    /// A list of facts is complete.
    Complete {
        /// Which list.
        list: List,
        /// Of this term; of everything where none is named.
        of: Option<TermId>,
    },
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

/// What a variable ranges over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Domain {
    /// All parts, sensors included.
    Part,
    /// All sensors.
    Sensor,
    /// All systems.
    System,
    /// All modules.
    Module,
    /// The members of a kind or sided name.
    Group(TermId),
}

/// A variable: a class word in a rule.
#[derive(Clone, Debug, PartialEq)]
pub struct Variable {
    /// What it ranges over.
    pub domain: Domain,
    /// Only what is tied so.
    pub related: Option<(TermId, TermId)>,
    /// Where it stands.
    pub span: Span,
}

/// Who or what a sentence is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Subject {
    /// One term.
    Term(TermId),
    /// What a class word stands for.
    Variable(VariableId),
}

/// How many of a class.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Quantifier {
    /// At least one.
    Any,
    /// All.
    Every,
    /// None.
    No,
    /// At least so many.
    AtLeast(u32),
}

/// A condition.
#[derive(Clone, Debug, PartialEq)]
pub enum Condition {
    /// All of them.
    All(Vec<Condition>),
    /// At least one of them.
    AnyOf(Vec<Condition>),
    /// Not so.
    Not(Box<Condition>),
    /// A sentence about so many of a class.
    Quantified {
        /// How many.
        quantifier: Quantifier,
        /// The class word; named in the sentence as a variable.
        variable: VariableId,
        /// The sentence.
        body: Box<Condition>,
    },
    /// A sentence.
    Sentence(Form, Span),
}

/// Where on a part something happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Placing {
    /// Wholly inside.
    In,
    /// At least partly inside.
    Touching,
    /// Wholly outside.
    Outside,
}

impl Placing {
    /// The word.
    pub fn word(self) -> &'static str {
        match self {
            Placing::In => "in",
            Placing::Touching => "touching",
            Placing::Outside => "outside",
        }
    }
}

/// A limit on a quantity: the values that satisfy it, in base units.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// One range, or two where it holds either way.
    pub ranges: Vec<Range>,
    /// The kind of quantity.
    pub kind: Kind,
    /// As written.
    pub written: String,
}

/// Something that happens to a part.
#[derive(Clone, Debug, PartialEq)]
pub struct Happens {
    /// The part; none for an event that happens to the car.
    pub subject: Option<Subject>,
    /// One of these operations, findings or events.
    pub what: Vec<TermId>,
    /// Where on the part.
    pub place: Option<(Placing, TermId)>,
    /// How large.
    pub sizes: Vec<(TermId, Limit)>,
}

/// A sentence form with its terms.
#[derive(Clone, Debug, PartialEq)]
pub enum Form {
    /// Something happens.
    Happens(Happens),
    /// The subject is in a state.
    State(Subject, TermId),
    /// The subject is touched.
    Touched(Subject),
    /// The car is equipped with the subject.
    Equipped(Subject),
    /// A measure is within a limit.
    Measured {
        /// The measure.
        measure: TermId,
        /// Of what.
        of: Option<Subject>,
        /// Its change, not its value.
        change: bool,
        /// The limit.
        limit: Limit,
    },
    /// The model year.
    ModelYear(Span2<i32>),
    /// The build date.
    Built(Span2<Date>),
    /// The date of the job.
    Dated(Span2<Date>),
    /// A condition holds.
    Holds(TermId, Option<Subject>),
    /// A choice has a value.
    Chosen(TermId, TermId),
    /// A procedure is due.
    Due(Duty),
    /// A procedure was done on this job.
    Done {
        /// The procedure.
        duty: Duty,
        /// How it ended; any way where none is named.
        outcome: Option<TermId>,
        /// Since this happened.
        since: Option<Box<Happens>>,
    },
    /// The work list is complete.
    WorkComplete,
    /// The list of equipment is complete.
    EquipmentComplete,
    /// The subject is tied to a term.
    Related(Subject, TermId, TermId),
}

/// A procedure and what it is done to.
#[derive(Clone, Debug, PartialEq)]
pub struct Duty {
    /// The procedure.
    pub procedure: TermId,
    /// Of what.
    pub of: Option<Subject>,
}

/// An operation that is forbidden or allowed.
#[derive(Clone, Debug, PartialEq)]
pub struct Permission {
    /// The operation.
    pub operation: TermId,
    /// The part.
    pub part: Subject,
    /// Only in this zone.
    pub zone: Option<TermId>,
}

/// One conclusion.
#[derive(Clone, Debug, PartialEq)]
pub struct Conclusion {
    /// What.
    pub kind: ConclusionKind,
    /// `every CLASS` in a conclusion: the variable is run over its whole domain.
    pub every: Vec<VariableId>,
    /// Where it was written.
    pub span: Span,
}

/// What a rule concludes.
#[derive(Clone, Debug, PartialEq)]
pub enum ConclusionKind {
    /// A duty.
    Require {
        /// What.
        duty: Duty,
        /// The source's strength word.
        words: Option<String>,
    },
    /// Advice.
    Advise {
        /// What.
        duty: Duty,
        /// The source's strength word.
        words: Option<String>,
    },
    /// Not needed for a cause.
    Waive {
        /// What.
        duty: Duty,
        /// For this cause; for those `when` names where none is given.
        after: Option<Happens>,
    },
    /// What another rule asks is not needed.
    WaiveRule(String),
    /// An operation is forbidden.
    Forbid(Permission),
    /// An operation is allowed.
    Allow(Permission),
    /// A duty is held until a condition holds.
    Hold {
        /// What.
        duty: Duty,
        /// Until when.
        until: Condition,
    },
    /// One before the other.
    Before(Duty, Duty),
    /// A state holds.
    State(Subject, TermId),
}

/// A rule.
#[derive(Clone, Debug, PartialEq)]
pub struct Rule {
    /// Its name.
    pub name: String,
    /// For which cars.
    pub scope: ScopeId,
    /// On whose word.
    pub cites: Citation,
    /// The statement's words.
    pub says: Vec<String>,
    /// Its class words.
    pub variables: Vec<Variable>,
    /// When.
    pub when: Option<Condition>,
    /// Unless.
    pub unless: Option<Condition>,
    /// Then.
    pub conclusions: Vec<Conclusion>,
    /// The rules it gives way to.
    pub gives_way: Vec<(String, Span)>,
    /// How it was read, and why.
    pub read_as: Vec<(String, Option<String>)>,
    /// Why.
    pub because: Option<String>,
    /// What follows if it is not done.
    pub without_it: Option<String>,
    /// Where it was written.
    pub span: Span,
}

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
    /// It came off on the way to other work.
    pub on_the_way: bool,
}

/// A test: one case, or one for each row of its table.
#[derive(Clone, Debug, PartialEq)]
pub struct Test {
    /// Its name, with the row where it has a table.
    pub name: String,
    /// What is supposed.
    pub lines: Vec<Line>,
    /// What is expected.
    pub expects: Vec<Expect>,
    /// Where it was written.
    pub span: Span,
}

/// One expectation.
#[derive(Clone, Debug, PartialEq)]
pub struct Expect {
    /// What is expected.
    pub kind: ExpectKind,
    /// Where it was written.
    pub span: Span,
}

/// A verdict a test may name.
#[derive(Clone, Debug, PartialEq)]
pub enum Verdict {
    /// A source asks under every completion.
    Required,
    /// Sources disagree.
    Conflict,
    /// Open, turning on exactly these facts where any are named.
    Open(Option<Vec<FactName>>),
    /// A source recommends.
    Advised,
    /// A source waives every cause.
    NotNeeded,
    /// No verdict at all.
    Absent,
}

/// The verdict on an operation a test may name.
#[derive(Clone, Debug, PartialEq)]
pub enum Permitted {
    /// Forbidden.
    Forbidden,
    /// Allowed.
    Allowed,
    /// Sources disagree.
    Conflict,
    /// Open, turning on exactly these facts where any are named.
    Open(Option<Vec<FactName>>),
    /// Nobody speaks of it.
    Silent,
}

/// A fact by its name, without a value.
#[derive(Clone, Debug, PartialEq)]
pub enum FactName {
    /// The model year.
    ModelYear,
    /// The build date.
    Built,
    /// The date of the job.
    Dated,
    /// The maker or model.
    Model,
    /// Whether the work list is complete.
    WorkComplete,
    /// Whether a term is fitted.
    Equipped(TermId),
    /// A condition.
    Condition(TermId, Option<TermId>),
    /// A choice.
    Choice(TermId),
    /// A measure or its change.
    Measure {
        /// The measure.
        measure: TermId,
        /// Of what.
        of: Option<TermId>,
        /// Its change.
        change: bool,
    },
    /// Whether something happened, or where.
    Happened {
        /// What.
        what: TermId,
        /// To what.
        subject: Option<TermId>,
        /// Where.
        zone: Option<TermId>,
    },
    /// Whether a text that may not waive holds.
    SourceHolds(SourceId),
    /// Whether something was done before or after something happened.
    Order,
    /// Whether a list is complete.
    Complete(List, Option<TermId>),
}

/// What a test expects.
#[derive(Clone, Debug, PartialEq)]
pub enum ExpectKind {
    /// A duty's verdict.
    Duty {
        /// The procedure.
        procedure: TermId,
        /// Of what.
        of: Option<TermId>,
        /// The verdict.
        verdict: Verdict,
        /// Exactly these rules.
        by: Option<Vec<String>>,
        /// This among the causes.
        because_of: Option<(TermId, Option<TermId>)>,
        /// The strength word.
        words: Option<String>,
    },
    /// Met or not.
    Met {
        /// The procedure.
        procedure: TermId,
        /// Of what.
        of: Option<TermId>,
        /// Met, or not met.
        yes: bool,
    },
    /// Held or not.
    Held {
        /// The procedure.
        procedure: TermId,
        /// Of what.
        of: Option<TermId>,
        /// Held, or not held.
        yes: bool,
    },
    /// A sensor about which nobody speaks.
    Silent {
        /// The sensor.
        sensor: TermId,
        /// For this cause.
        because_of: Option<(TermId, Option<TermId>)>,
        /// Silent, or not.
        yes: bool,
    },
    /// A sensor is touched.
    Touched {
        /// The sensor or part.
        part: TermId,
        /// Touched, or not.
        yes: bool,
    },
    /// The verdict on an operation.
    Operation {
        /// The operation.
        operation: TermId,
        /// The part.
        part: TermId,
        /// The verdict.
        verdict: Permitted,
    },
    /// One due duty before another.
    Before((TermId, Option<TermId>), (TermId, Option<TermId>)),
    /// A fact is among the open questions, or not.
    Asked(FactName, bool),
    /// What came off on the way is not known.
    CameOffOpen,
    /// Parts offered to be confirmed.
    Offered(Vec<TermId>),
    /// Nothing further.
    NothingElse,
}
