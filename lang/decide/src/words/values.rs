//! The values of procedures in words: beside the duty they belong to, or by themselves where one is in hand.

use knockon_text::markup::{Markup, Tag};

use super::label;
use crate::answer::{Answer, DutyVerdict, ValueAnswer, ValueVerdict, Verdict};

/// Whether a value is one of a duty that is shown.
pub(super) fn belongs(value: &ValueVerdict, duty: &DutyVerdict) -> bool {
    duty.verdict != Verdict::NotNeeded && duty.key().ways().any(|way| way == (value.procedure, value.of))
}

/// The values of what is in hand without being a duty.
pub(super) fn in_hand(out: &mut Markup, answer: &Answer) {
    let alone: Vec<&ValueVerdict> =
        answer.values.iter().filter(|value| !answer.duties.iter().any(|duty| belongs(value, duty))).collect();
    if alone.is_empty() {
        return;
    }
    out.line();
    out.push(Tag::Heading, "IN HAND");
    out.line();
    for value in alone {
        self::value(out, value, true);
    }
}

/// One value.
pub(super) fn value(out: &mut Markup, value: &ValueVerdict, whole_name: bool) {
    let name = if whole_name { &value.name } else { &value.measure_name };
    let shown = match (value.verdict, value.outcomes.first()) {
        (ValueAnswer::Given | ValueAnswer::CannotBeSet, Some((outcome, _))) => outcome.words(),
        (ValueAnswer::Conflict, Some((outcome, _))) => format!("value in conflict: {}", outcome.words()),
        (verdict, _) => verdict.words().to_string(),
    };
    label(out, "set", &format!("{name}: {shown}"));
    if value.verdict == ValueAnswer::Open {
        for fact in &value.turns_on {
            out.plain("             turns on ");
            out.push(Tag::Fact, &fact.name);
            out.line();
        }
        for (outcome, when) in &value.outcomes {
            let when = if when.is_empty() { String::new() } else { format!(", if {}", when.join(" and ")) };
            label(out, "", &format!("{}{when}", outcome.words()));
        }
    }
    for (set, reason) in &value.reasons {
        out.plain("             ");
        out.push(Tag::Source, format!("\"{}\", {}", reason.name, reason.citation));
        out.plain(format!(": {set}"));
        if !reason.certain {
            out.push(Tag::Open, "   if the open facts are so");
        }
        out.line();
        if let Some(other) = &reason.gave_way_to {
            label(out, "", &format!("gives way to \"{other}\""));
        }
    }
    for measured in &value.measured {
        let why = if measured.why.is_empty() { String::new() } else { format!(": {}", measured.why) };
        label(out, "measured", &format!("{}: {}{why}   {}", measured.reading, measured.sentence.words(), measured.by));
    }
}
