//! The answer to a job, as a value: verdicts with their reasons, what is open, what was assumed.

use knockon_measure::{Date, Quantity, Range, Reading};
use knockon_proof::{NodeId, ProofGraph};
use knockon_terms::TermId;
use knockon_terms::resolved::{RuleId, SourceId};

use crate::atoms::{DutyKey, Said, VariableIndex};
use crate::combine::{Outcome, Permitted};
use crate::event::{Causes, EventId};

/// The answer to one job.
#[derive(Clone, Debug)]
pub struct Answer {
    /// The job's name.
    pub job: String,
    /// The vehicle in words.
    pub vehicle: String,
    /// The day it was decided as of.
    pub as_of: Date,
    /// A number of the library it was decided by.
    pub library: u64,
    /// The duties, most demanding first, then by name.
    pub duties: Vec<DutyVerdict>,
    /// The values that texts set for what is due or in hand, by name.
    pub values: Vec<ValueVerdict>,
    /// Sensors that are touched and of which nobody speaks.
    pub silences: Vec<Silence>,
    /// What texts say they take no view on, of that of which this answer says nothing.
    pub no_view: Vec<String>,
    /// Operations somebody forbids or allows.
    pub operations: Vec<OperationVerdict>,
    /// Orders between duties.
    pub orders: Vec<Order>,
    /// What follows from how that ends which is still to be carried out.
    pub branches: Vec<Branch>,
    /// What is to be asked.
    pub questions: Vec<Question>,
    /// Questions that rules put.
    pub asks: Vec<Told>,
    /// Warnings that rules give.
    pub warnings: Vec<Told>,
    /// Work of which it is not known what came off on the way.
    pub came_off: Vec<CameOff>,
    /// Parts that are touched.
    pub touched: Vec<TouchedPart>,
    /// The events, in words.
    pub events: Vec<EventWords>,
    /// What was assumed.
    pub assumptions: Vec<String>,
    /// Limits met; then the answer is not whole.
    pub limits: Vec<String>,
    /// Rules of this car whose text does not hold on the day.
    pub not_in_force: Vec<String>,
    /// Why.
    pub proofs: ProofGraph,
}

impl Answer {
    /// Whether nothing is open, in conflict, silent or left out.
    pub fn is_complete(&self) -> bool {
        self.limits.is_empty()
            && self.silences.is_empty()
            && self.questions.is_empty()
            && self.asks.is_empty()
            && self.values.iter().all(|value| !matches!(value.verdict, ValueAnswer::Open | ValueAnswer::Conflict))
            && self.came_off.is_empty()
            && self.duties.iter().all(|duty| {
                !matches!(duty.verdict, Verdict::Open | Verdict::Conflict)
                    && duty.held.iter().all(|held| held.known)
                    && duty.revised_since.is_empty()
            })
            && self
                .operations
                .iter()
                .filter(|operation| operation.concerns_this_job)
                .all(|operation| !matches!(operation.verdict, OperationAnswer::Open | OperationAnswer::Conflict))
    }
}

/// The verdict on a duty, most demanding first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// Asked, under every completion of the unknown.
    Required,
    /// Sources disagree on whether; treated as due until settled.
    Conflict,
    /// Two completions differ.
    Open,
    /// Recommended.
    Advised,
    /// Waived for every cause.
    NotNeeded,
}

impl Verdict {
    /// The verdict in words.
    pub fn words(self) -> &'static str {
        match self {
            Verdict::Required => "required",
            Verdict::Conflict => "conflict",
            Verdict::Open => "open",
            Verdict::Advised => "advised",
            Verdict::NotNeeded => "not needed",
        }
    }
}

/// Whether something holds, as told beside a duty.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Truth {
    /// It does.
    Yes,
    /// It does not.
    No,
    /// Nobody knows.
    NotKnown,
}

impl Truth {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Truth::Yes => "yes",
            Truth::No => "no",
            Truth::NotKnown => "not known",
        }
    }
}

/// What one text tells to whoever carries a duty out. It decides no verdict.
#[derive(Clone, Debug)]
pub struct How {
    /// The duty, in words: of a choice, the one it is about.
    pub name: String,
    /// The place of the text.
    pub citation: String,
    /// Whether the text is certainly for this car.
    pub certain: bool,
    /// The words of the text.
    pub says: Vec<String>,
    /// Whether it may be begun; nothing where the text says nothing of that.
    pub ready: Option<Truth>,
    /// What it tells, in its order.
    pub lines: Vec<HowLine>,
}

/// One thing it tells.
#[derive(Clone, Debug)]
pub struct HowLine {
    /// The words it begins with.
    pub word: &'static str,
    /// The rest.
    pub text: String,
    /// Whether it holds, where that can be told now.
    pub holds: Option<Truth>,
    /// What was measured of it.
    pub readings: Vec<String>,
    /// Only if this holds, which is not known.
    pub condition: Option<String>,
}

/// The verdict on one duty.
#[derive(Clone, Debug)]
pub struct DutyVerdict {
    /// The procedure.
    pub procedure: TermId,
    /// Of what.
    pub of: Option<TermId>,
    /// The others of a choice, any one of which will do; none for a duty of its own.
    pub or: Vec<(TermId, Option<TermId>)>,
    /// In words.
    pub name: String,
    /// The verdict.
    pub verdict: Verdict,
    /// For an open one, what it is at least.
    pub floor: Option<&'static str>,
    /// Every outcome, with the values of facts that give it.
    pub outcomes: Vec<(Outcome, Vec<String>)>,
    /// The facts it turns on.
    pub turns_on: Vec<FactWords>,
    /// Cause by cause.
    pub causes: Vec<CauseVerdict>,
    /// Whether it was carried out.
    pub met: Met,
    /// As what it is carried out, where a text says so.
    pub carried_out_as: Vec<CarriedOutAs>,
    /// Where it is met: the texts that ask for it and were revised after it was carried out.
    pub revised_since: Vec<String>,
    /// How it is carried out, a text each.
    pub how: Vec<How>,
    /// What it waits for.
    pub held: Vec<Held>,
    /// The systems that are off until it is met.
    pub off: Vec<Off>,
    /// False where not every completion was tried.
    pub exact: bool,
    /// The root of its proof.
    pub proof: Option<NodeId>,
}

impl DutyVerdict {
    /// The duty it is about.
    pub fn key(&self) -> DutyKey {
        DutyKey { procedure: self.procedure, of: self.of, or: self.or.clone() }
    }
}

/// A fact in words.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct FactWords {
    /// The fact.
    pub variable: VariableIndex,
    /// Its name.
    pub name: String,
}

/// One cause of a duty.
#[derive(Clone, Debug)]
pub struct CauseVerdict {
    /// The events; none is the car as it stands.
    pub causes: Causes,
    /// In words.
    pub words: String,
    /// What it may come to, taken alone.
    pub outcomes: Vec<Outcome>,
    /// From the order line to the duty, step by step.
    pub chain: Vec<ChainStep>,
    /// Who says what.
    pub reasons: Vec<Reason>,
}

/// One step from an order line to a duty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChainStep {
    /// What.
    pub words: String,
    /// By which line or source.
    pub by: String,
}

/// One rule that says something about a duty.
#[derive(Clone, Debug)]
pub struct Reason {
    /// The rule.
    pub rule: RuleId,
    /// Its name.
    pub name: String,
    /// Its source, date and section.
    pub citation: String,
    /// Its source's rank.
    pub rank: &'static str,
    /// Whether that is the maker's own word.
    pub is_makers: bool,
    /// What it says.
    pub said: Said,
    /// Whether that is certain, or turns on open facts.
    pub certain: bool,
    /// What was measured, answered or read that its condition rests on, where it is certain: beside the events, which
    /// are told as causes.
    pub rests_on: Vec<ChainStep>,
    /// The strength word.
    pub words: Option<String>,
    /// Whether it is due is left open, for this reason.
    pub left_open: Option<String>,
    /// The statement's words.
    pub says: Vec<String>,
    /// How it was read.
    pub read_as: Vec<String>,
    /// How else it could be read.
    pub could_be_read_as: Vec<String>,
    /// Why.
    pub because: Option<String>,
    /// What follows if it is not done.
    pub without_it: Option<String>,
    /// Why the text may not waive.
    pub weak: Vec<String>,
    /// The rule that prevails over it.
    pub gave_way_to: Option<String>,
    /// What some text says, by which that rule prevails.
    pub by_text: Option<String>,
    /// The exception that would end it.
    pub unless: Option<String>,
    /// Its proof.
    pub proof: Option<NodeId>,
}

/// Whether a duty was carried out on this job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Met {
    /// No line says so.
    No,
    /// This line says so.
    Yes(String),
    /// A line says so, but how it ended, or that it came after the work, is not known.
    Unclear(String),
}

/// What a duty waits for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Held {
    /// The rule.
    pub rule: String,
    /// Its source.
    pub citation: String,
    /// Until this holds.
    pub until: String,
    /// False where it is not known whether it holds.
    pub known: bool,
}

/// A system that is off until a duty is met.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Off {
    /// The system.
    pub system: TermId,
    /// Its name.
    pub name: String,
    /// The rule.
    pub rule: String,
    /// Its source.
    pub citation: String,
    /// Whether that is certain.
    pub certain: bool,
}

/// A question or warning in the words of a rule.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Told {
    /// Its words.
    pub text: String,
    /// The rule.
    pub rule: String,
    /// Its source.
    pub citation: String,
    /// Whether the rule's condition certainly holds; else it may.
    pub certain: bool,
}

/// A sensor that is touched and of which nobody speaks for a cause.
#[derive(Clone, Debug)]
pub struct Silence {
    /// The sensor.
    pub sensor: TermId,
    /// Its name.
    pub name: String,
    /// The cause.
    pub event: EventId,
    /// In words.
    pub because_of: String,
    /// How the cause reaches it.
    pub chain: Vec<ChainStep>,
    /// Whether it is so under every completion.
    pub certain: bool,
    /// What it turns on, where it is not.
    pub turns_on: Vec<FactWords>,
    /// The texts that were looked through and say nothing of it.
    pub read: Vec<LookedThrough>,
}

/// A text that was looked through for something, and says nothing of it.
#[derive(Clone, Debug, PartialEq)]
pub struct LookedThrough {
    /// The text.
    pub source: SourceId,
    /// That it says nothing, in words.
    pub words: String,
}

/// The verdict on an operation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum OperationAnswer {
    /// Forbidden.
    Forbidden,
    /// Sources disagree.
    Conflict,
    /// Two completions differ.
    Open,
    /// Allowed.
    Allowed,
}

impl OperationAnswer {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            OperationAnswer::Forbidden => "forbidden",
            OperationAnswer::Conflict => "conflict",
            OperationAnswer::Open => "open",
            OperationAnswer::Allowed => "allowed",
        }
    }
}

/// The verdict on one operation on one part.
#[derive(Clone, Debug)]
pub struct OperationVerdict {
    /// The operation.
    pub operation: TermId,
    /// The part.
    pub part: TermId,
    /// The zone it is about; none where it is about the whole part.
    pub zone: Option<TermId>,
    /// In words.
    pub name: String,
    /// Whether the part is worked on or touched on this job. What holds of other parts is known, not printed.
    pub concerns_this_job: bool,
    /// The verdict.
    pub verdict: OperationAnswer,
    /// Every outcome.
    pub outcomes: Vec<Permitted>,
    /// The facts it turns on.
    pub turns_on: Vec<FactWords>,
    /// Who says what.
    pub reasons: Vec<Reason>,
    /// The procedures still to be carried out that do it.
    pub done_by: Vec<DoneBy>,
}

/// A procedure that does something to a part.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct DoneBy {
    /// The procedure, in words.
    pub name: String,
    /// The text that says so.
    pub citation: String,
    /// Whether it certainly will.
    pub certain: bool,
}

/// As what a duty is carried out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CarriedOutAs {
    /// The ways, in words.
    pub ways: Vec<String>,
    /// The text that says so.
    pub citation: String,
    /// Whether it certainly holds for this car.
    pub certain: bool,
}

/// One duty before another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Order {
    /// The first.
    pub first: (TermId, Option<TermId>),
    /// The second.
    pub second: (TermId, Option<TermId>),
    /// In words.
    pub words: String,
    /// By which rule.
    pub by: String,
    /// Whether it is certain that the order holds.
    pub certain: bool,
}

/// What follows if a procedure that is due ends in a certain way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Branch {
    /// The procedure.
    pub procedure: TermId,
    /// Of what.
    pub of: Option<TermId>,
    /// How it ends; none for its being done at all.
    pub outcome: Option<TermId>,
    /// In words.
    pub name: String,
    /// What is then due, forbidden or held that is not so now.
    pub follows: Vec<Follows>,
    /// What follows from how that ends.
    pub then: Vec<Branch>,
}

/// One thing that follows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Follows {
    /// What, in words.
    pub name: String,
    /// What becomes of it, in words.
    pub verdict: &'static str,
    /// The facts that turns on, or what it is held until.
    pub on: Vec<String>,
    /// The rules that say so, with their citations.
    pub by: Vec<(String, String)>,
}

/// Something to be asked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// The fact.
    pub fact: FactWords,
    /// The question in words.
    pub text: String,
    /// What turns on it.
    pub decides: Vec<String>,
    /// A person looked and could not tell; it is not asked again.
    pub cannot_tell: bool,
}

/// Work of which it is not known what came off on the way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CameOff {
    /// The work.
    pub event: EventId,
    /// In words.
    pub work: String,
    /// What usually comes off, to be confirmed.
    pub offered: Vec<(TermId, String)>,
}

/// A part that is touched.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TouchedPart {
    /// The part.
    pub part: TermId,
    /// By what.
    pub event: EventId,
    /// Whether that is certain.
    pub certain: bool,
}

/// An event in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EventWords {
    /// What happened.
    pub words: String,
    /// How it is known.
    pub origin: String,
    /// Whether it certainly happened.
    pub certain: bool,
}

/// What is known of a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ValueAnswer {
    /// It is given.
    Given,
    /// Sources give different ones, and neither prevails.
    Conflict,
    /// Two completions differ.
    Open,
    /// It cannot be set here.
    CannotBeSet,
    /// Nobody gives it, and it was measured.
    NotGiven,
}

impl ValueAnswer {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            ValueAnswer::Given => "given",
            ValueAnswer::Conflict => "value in conflict",
            ValueAnswer::Open => "open",
            ValueAnswer::CannotBeSet => "cannot be set here",
            ValueAnswer::NotGiven => "not given",
        }
    }
}

/// A value that stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// The value; what is still good; the limit in words; and whether that is the shop's own where no text gives one.
    /// Nothing where it cannot be set.
    pub value: Option<(Quantity, Option<Range>, String, bool)>,
}

impl Wanted {
    /// In words.
    pub fn words(&self) -> String {
        match &self.value {
            Some((value, _, limit, false)) => format!("{value}, {limit}"),
            Some((value, _, limit, true)) => format!("{value}, {limit} by the shop's own policy, no limit given"),
            None => "cannot be set here".to_string(),
        }
    }
}

/// What may come of a value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ValueOutcome {
    /// Nobody gives it.
    NotGiven,
    /// The text leaves it open.
    LeftOpen,
    /// These stand; several are a conflict.
    Stands(Vec<Wanted>),
}

impl ValueOutcome {
    /// In words.
    pub fn words(&self) -> String {
        match self {
            ValueOutcome::NotGiven => "not given".to_string(),
            ValueOutcome::LeftOpen => "as the maker says when asked".to_string(),
            ValueOutcome::Stands(all) => all.iter().map(Wanted::words).collect::<Vec<_>>().join(" against "),
        }
    }
}

/// What a measurement says against a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sentence {
    /// Within the limit.
    Within,
    /// Outside.
    Outside,
    /// Neither can be said.
    CannotSay,
    /// The value itself is in conflict.
    InConflict,
}

impl Sentence {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Sentence::Within => "within",
            Sentence::Outside => "outside",
            Sentence::CannotSay => "cannot say",
            Sentence::InConflict => "value in conflict",
        }
    }
}

/// One measurement of a value.
#[derive(Clone, Debug)]
pub struct MeasuredValue {
    /// What was read.
    pub reading: Reading,
    /// On which line of the job.
    pub line: usize,
    /// That line.
    pub by: String,
    /// What it says.
    pub sentence: Sentence,
    /// Why it cannot be said, or how far off it is.
    pub why: String,
}

/// A value of a procedure.
#[derive(Clone, Debug)]
pub struct ValueVerdict {
    /// The measure.
    pub measure: TermId,
    /// The procedure.
    pub procedure: TermId,
    /// Of what.
    pub of: Option<TermId>,
    /// In words.
    pub name: String,
    /// The measure in words.
    pub measure_name: String,
    /// Whether a line says that the procedure is in hand.
    pub in_hand: bool,
    /// What is known of it.
    pub verdict: ValueAnswer,
    /// Every outcome, with the values of facts that give it.
    pub outcomes: Vec<(ValueOutcome, Vec<String>)>,
    /// The facts it turns on.
    pub turns_on: Vec<FactWords>,
    /// Who says what: the value in words, and the rule.
    pub reasons: Vec<(String, Reason)>,
    /// What was measured.
    pub measured: Vec<MeasuredValue>,
}
