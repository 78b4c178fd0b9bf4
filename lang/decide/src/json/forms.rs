//! The shapes of the answer's form, in the order of their keys.

use serde::Serialize;

use super::JobForm;

/// An answer, form `knockon-answer`.
#[derive(Clone, Debug, Serialize)]
pub struct AnswerForm {
    pub(super) form: &'static str,
    pub(super) version: u32,
    pub(super) tool: ToolForm,
    /// 16 hexadecimal digits.
    pub(super) library: String,
    pub(super) as_of: String,
    pub(super) vehicle: String,
    pub(super) complete: bool,
    pub(super) duties: Vec<DutyForm>,
    pub(super) values: Vec<super::values::ValueForm>,
    pub(super) silences: Vec<SilenceForm>,
    pub(super) no_view: Vec<String>,
    pub(super) operations: Vec<OperationForm>,
    pub(super) orders: Vec<OrderForm>,
    pub(super) branches: Vec<super::branches::BranchForm>,
    pub(super) questions: Vec<QuestionForm>,
    pub(super) asks: Vec<ToldForm>,
    pub(super) warnings: Vec<ToldForm>,
    pub(super) came_off: Vec<CameOffForm>,
    pub(super) touched: Vec<TouchedForm>,
    pub(super) events: Vec<EventForm>,
    pub(super) assumptions: Vec<String>,
    pub(super) limits: Vec<String>,
    pub(super) not_in_force: Vec<String>,
    pub(super) proofs: Vec<NodeForm>,
    pub(super) job: JobForm,
}

/// The program that decided.
#[derive(Clone, Debug, Serialize)]
pub struct ToolForm {
    pub(super) name: String,
    pub(super) version: String,
}

/// A duty.
#[derive(Clone, Debug, Serialize)]
pub struct DutyForm {
    pub(super) name: String,
    pub(super) procedure: String,
    pub(super) of: Option<String>,
    pub(super) or: Vec<WayForm>,
    pub(super) verdict: &'static str,
    pub(super) floor: Option<&'static str>,
    pub(super) outcomes: Vec<OutcomeForm>,
    pub(super) turns_on: Vec<String>,
    pub(super) met: MetForm,
    pub(super) carried_out_as: Vec<CarriedOutAsForm>,
    pub(super) how: Vec<HowForm>,
    pub(super) held: Vec<HeldForm>,
    pub(super) revised_since: Vec<String>,
    pub(super) off: Vec<OffForm>,
    pub(super) causes: Vec<CauseForm>,
    pub(super) exact: bool,
    pub(super) proof: Option<u32>,
}

/// As what a duty is carried out.
#[derive(Clone, Debug, Serialize)]
pub struct CarriedOutAsForm {
    pub(super) ways: Vec<String>,
    pub(super) by: String,
    pub(super) certain: bool,
}

/// A procedure that does an operation.
#[derive(Clone, Debug, Serialize)]
pub struct DoneByForm {
    pub(super) procedure: String,
    pub(super) by: String,
    pub(super) certain: bool,
}

/// Another duty that will do as well.
#[derive(Clone, Debug, Serialize)]
pub struct WayForm {
    pub(super) procedure: String,
    pub(super) of: Option<String>,
}

/// What a duty may come to.
#[derive(Clone, Debug, Serialize)]
pub struct OutcomeForm {
    pub(super) outcome: &'static str,
    #[serde(rename = "if")]
    pub(super) condition: Vec<String>,
}

/// Whether it was carried out.
#[derive(Clone, Debug, Serialize)]
pub struct MetForm {
    pub(super) met: &'static str,
    pub(super) line: Option<String>,
}

/// What a text tells of how it is carried out.
#[derive(Clone, Debug, Serialize)]
pub struct HowForm {
    pub(super) duty: String,
    pub(super) citation: String,
    pub(super) certain: bool,
    pub(super) says: Vec<String>,
    pub(super) ready: Option<&'static str>,
    pub(super) lines: Vec<HowLineForm>,
}

/// One thing it tells.
#[derive(Clone, Debug, Serialize)]
pub struct HowLineForm {
    pub(super) clause: &'static str,
    pub(super) text: String,
    pub(super) holds: Option<&'static str>,
    pub(super) measured: Vec<String>,
    #[serde(rename = "if")]
    pub(super) condition: Option<String>,
}

/// A system that is off until a duty is met.
#[derive(Clone, Debug, Serialize)]
pub struct OffForm {
    pub(super) system: String,
    pub(super) rule: String,
    pub(super) citation: String,
    pub(super) certain: bool,
}

/// A question or warning in a rule's words.
#[derive(Clone, Debug, Serialize)]
pub struct ToldForm {
    pub(super) text: String,
    pub(super) rule: String,
    pub(super) citation: String,
    pub(super) certain: bool,
}

/// What it waits for.
#[derive(Clone, Debug, Serialize)]
pub struct HeldForm {
    pub(super) until: String,
    pub(super) known: bool,
    pub(super) rule: String,
    pub(super) citation: String,
}

/// A cause.
#[derive(Clone, Debug, Serialize)]
pub struct CauseForm {
    pub(super) because_of: Vec<String>,
    pub(super) words: String,
    pub(super) outcomes: Vec<&'static str>,
    pub(super) chain: Vec<StepForm>,
    pub(super) reasons: Vec<ReasonForm>,
}

/// A step from an order line.
#[derive(Clone, Debug, Serialize)]
pub struct StepForm {
    pub(super) what: String,
    pub(super) by: String,
}

/// Who says what.
#[derive(Clone, Debug, Serialize)]
pub struct ReasonForm {
    pub(super) said: &'static str,
    pub(super) rule: String,
    pub(super) source: Option<SourceForm>,
    pub(super) citation: String,
    pub(super) certain: bool,
    pub(super) rests_on: Vec<StepForm>,
    pub(super) words: Option<String>,
    pub(super) left_open: Option<String>,
    pub(super) says: Vec<String>,
    pub(super) read_as: Vec<String>,
    pub(super) could_be_read_as: Vec<String>,
    pub(super) because: Option<String>,
    pub(super) without_it: Option<String>,
    pub(super) may_not_waive: Vec<String>,
    pub(super) gave_way_to: Option<String>,
    pub(super) gave_way_by: Option<String>,
    pub(super) unless: Option<String>,
    pub(super) proof: Option<u32>,
}

/// A text.
#[derive(Clone, Debug, Serialize)]
pub struct SourceForm {
    pub(super) name: String,
    pub(super) rank: &'static str,
    pub(super) title: Option<String>,
    pub(super) issuer: Option<String>,
    pub(super) of: String,
    pub(super) section: Option<String>,
}

/// A silence.
#[derive(Clone, Debug, Serialize)]
pub struct SilenceForm {
    pub(super) sensor: String,
    pub(super) because_of: String,
    pub(super) certain: bool,
    pub(super) turns_on: Vec<String>,
    pub(super) chain: Vec<StepForm>,
    pub(super) looked_through: Vec<String>,
}

/// An operation.
#[derive(Clone, Debug, Serialize)]
pub struct OperationForm {
    pub(super) name: String,
    pub(super) operation: String,
    pub(super) part: String,
    pub(super) zone: Option<String>,
    pub(super) concerns_this_job: bool,
    pub(super) verdict: &'static str,
    pub(super) outcomes: Vec<&'static str>,
    pub(super) turns_on: Vec<String>,
    pub(super) reasons: Vec<ReasonForm>,
    pub(super) done_by: Vec<DoneByForm>,
}

/// An order.
#[derive(Clone, Debug, Serialize)]
pub struct OrderForm {
    pub(super) first: String,
    pub(super) second: String,
    pub(super) by: String,
    pub(super) certain: bool,
}

/// A question.
#[derive(Clone, Debug, Serialize)]
pub struct QuestionForm {
    pub(super) fact: String,
    pub(super) question: String,
    pub(super) decides: Vec<String>,
    pub(super) cannot_tell: bool,
}

/// Work of which it is not known what came off.
#[derive(Clone, Debug, Serialize)]
pub struct CameOffForm {
    pub(super) work: String,
    pub(super) offered: Vec<String>,
}

/// A touched part.
#[derive(Clone, Debug, Serialize)]
pub struct TouchedForm {
    pub(super) part: String,
    pub(super) because_of: String,
    pub(super) certain: bool,
}

/// What happened.
#[derive(Clone, Debug, Serialize)]
pub struct EventForm {
    pub(super) what: String,
    pub(super) known_by: String,
    pub(super) certain: bool,
}

/// A node of the proof.
#[derive(Clone, Debug, Serialize)]
pub struct NodeForm {
    pub(super) node: u32,
    pub(super) step: &'static str,
    pub(super) claim: String,
    pub(super) by: Option<String>,
    pub(super) from: Vec<u32>,
}
