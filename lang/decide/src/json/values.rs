//! The values of procedures, for machines.

use serde::Serialize;

use super::forms::ReasonForm;
use super::{Former, names};
use crate::answer::ValueVerdict;

/// A value of a procedure.
#[derive(Clone, Debug, Serialize)]
pub struct ValueForm {
    name: String,
    measure: String,
    procedure: String,
    of: Option<String>,
    verdict: &'static str,
    in_hand: bool,
    outcomes: Vec<ValueOutcomeForm>,
    turns_on: Vec<String>,
    said: Vec<SaidForm>,
    measured: Vec<MeasuredForm>,
}

#[derive(Clone, Debug, Serialize)]
struct ValueOutcomeForm {
    value: String,
    #[serde(rename = "if")]
    condition: Vec<String>,
}

#[derive(Clone, Debug, Serialize)]
struct SaidForm {
    value: String,
    reason: ReasonForm,
}

#[derive(Clone, Debug, Serialize)]
struct MeasuredForm {
    reading: String,
    line: usize,
    sentence: &'static str,
    why: String,
}

impl Former<'_> {
    pub(super) fn value(&self, value: &ValueVerdict) -> ValueForm {
        let ValueVerdict {
            measure,
            procedure,
            of,
            name,
            measure_name: _,
            in_hand,
            verdict,
            outcomes,
            turns_on,
            reasons,
            measured,
        } = value;
        ValueForm {
            name: name.clone(),
            measure: self.naming.term(*measure).to_string(),
            procedure: self.naming.term(*procedure).to_string(),
            of: of.map(|of| self.naming.term(of).to_string()),
            verdict: verdict.words(),
            in_hand: *in_hand,
            outcomes: outcomes
                .iter()
                .map(|(outcome, condition)| ValueOutcomeForm { value: outcome.words(), condition: condition.clone() })
                .collect(),
            turns_on: names(turns_on),
            said: reasons
                .iter()
                .map(|(value, reason)| SaidForm { value: value.clone(), reason: self.reason(reason) })
                .collect(),
            measured: measured
                .iter()
                .map(|measured| MeasuredForm {
                    reading: measured.reading.to_string(),
                    line: measured.line + 1,
                    sentence: measured.sentence.words(),
                    why: measured.why.clone(),
                })
                .collect(),
        }
    }
}
