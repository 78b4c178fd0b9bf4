//! `set MEASURE of PROCEDURE [of SUBJECT] to VALUE, LIMIT`, and `... by KEY, LIMIT: CASE VALUE; CASE VALUE`.

use knockon_measure::{Quantity, Range as Values};
use knockon_syntax::Tok;
use knockon_syntax::tree::Range;
use knockon_text::{Code, Problem};

use super::sentence::{Read, Sentences};
use crate::quantity::{self, figures, figures::written};
use crate::resolved::{Case, CaseKey, Entry, SetTo, SetValue, Value, ValueRow, VariableId};
use crate::view::Cursor;
use crate::vocabulary::{Class, Detail, TermId};
use crate::words::known;

impl<'a> Sentences<'a> {
    /// One conclusion that sets a value.
    pub(super) fn value(
        &mut self,
        what: Range,
        by: Option<Range>,
        rows: &[Range],
        every: &mut Vec<VariableId>,
    ) -> Result<Value, Problem> {
        let (measure, duty, asked) = self.reading(what, |reader, cursor| {
            let measure = reader.measure_of_procedure(cursor)?;
            let (duty, asked) = reader.duty(cursor)?;
            Ok((measure, duty, asked))
        })?;
        self.run_over(asked.as_ref(), every)?;
        let Some(by) = by else {
            let row = rows.first().copied().unwrap_or_default();
            let set = self.reading(row, |reader, cursor| reader.set_to(cursor, measure, None))?;
            return Ok(Value { measure, duty, by: None, rows: vec![ValueRow { case: Case::Always, set }] });
        };
        let (key, common) = self.reading(by, |reader, cursor| {
            let key = reader.case_key(cursor)?;
            let common = cursor.take_kind(Tok::Comma).map(|_| cursor.rest_range());
            if common.is_some() {
                cursor.at = cursor.end;
            }
            Ok((key, common))
        })?;
        let mut all = Vec::with_capacity(rows.len());
        for &row in rows {
            all.push(self.reading(row, |reader, cursor| {
                let rest = [known::GAP, known::AS, known::PRINTED];
                let case = if cursor.rest() == rest { Case::Other } else { reader.case(cursor, key)? };
                Ok(ValueRow { case, set: reader.set_to(cursor, measure, common)? })
            })?);
        }
        self.check_cases(key, &all, rows, by)?;
        Ok(Value { measure, duty, by: Some(key), rows: all })
    }

    /// A measure that is of a procedure, and `of`.
    pub(super) fn measure_of_procedure(&mut self, cursor: &mut Cursor<'a>) -> Read<TermId> {
        let first = cursor.at;
        let Some(measure) = self.term(cursor, "a measure", &[Class::Measure]) else {
            return Err(None);
        };
        if !self.is_of_procedure(measure) {
            let name = self.vocabulary.name(measure);
            return Err(Some(
                Problem::at(
                    Code::ValueOfProcedure,
                    self.view.span(cursor.since(first)),
                    format!("`{name}` is measured on the car, and nothing sets it for a procedure"),
                    "a measure of a procedure is meant here",
                )
                .context(self.vocabulary.term(measure).span, "declared here")
                .help("declare a measure for it, as in `measure board height in mm of procedure`"),
            ));
        }
        if !cursor.take(known::OF) {
            self.missed(cursor, "`of` and a procedure", &[]);
            return Err(None);
        }
        Ok(measure)
    }

    /// Whether a measure is of a procedure.
    pub(super) fn is_of_procedure(&self, measure: TermId) -> bool {
        matches!(self.vocabulary.term(measure).detail, Detail::Measure { of_procedure: true, .. })
    }

    /// A value of a procedure is set and measured against what is set; no sentence asks about it.
    pub(super) fn not_asked(&self, cursor: &Cursor<'a>, first: u32, measure: TermId) -> Read<()> {
        if !self.is_of_procedure(measure) {
            return Ok(());
        }
        let name = self.vocabulary.name(measure);
        Err(Some(
            Problem::at(
                Code::ValueOfProcedure,
                self.view.span(cursor.since(first)),
                format!("`{name}` is a value of a procedure, and no sentence asks about it"),
                "declared of a procedure",
            )
            .context(self.vocabulary.term(measure).span, "declared here")
            .help(
                "rules set it (`set ... to`) and jobs measure it; for a value of the car declare a measure `of part`",
            ),
        ))
    }

    /// A value with its limit, or that there is none.
    fn set_to(&mut self, cursor: &mut Cursor<'a>, measure: TermId, common: Option<Range>) -> Read<SetTo> {
        if cursor.take_all(&[known::CANNOT, known::BE, known::SET, known::HERE]) {
            return Ok(SetTo::CannotBeSet);
        }
        if cursor.take_all(&[known::GAP, known::AS, known::PRINTED]) {
            return Ok(SetTo::Gap);
        }
        let first = cursor.at;
        let value = quantity::quantity(cursor, self.wanted(measure, false)).map_err(Some)?;
        // What is shown of two figures where the first counts.
        let printed = self.second.and_then(|seconds| figures::both(self.view, first, seconds));
        if cursor.take_kind(Tok::Comma).is_some() {
            return Ok(SetTo::To(SetValue { printed, ..self.limited(cursor, measure, value)? }));
        }
        if let Some(common) = common {
            let mut apart = self.cursor(common);
            let limited = self.limited(&mut apart, measure, value)?;
            if !apart.is_done() {
                self.missed(&apart, "the end of the sentence", &[]);
                return Err(None);
            }
            return Ok(SetTo::To(SetValue { printed, ..limited }));
        }
        let written = self.view.written(cursor.since(first));
        Err(Some(
            Problem::at(
                Code::NoLimitSaid,
                self.view.span(cursor.since(first)),
                format!("how near to {written} is still good?"),
                "no limit is said",
            )
            .help(format!(
                "write `{written}, within ...`, `{written}, from ... to ...`, or `{written}, no limit given` where the text gives none"
            )),
        ))
    }

    /// The limit of a value.
    pub(super) fn limited(&mut self, cursor: &mut Cursor<'a>, measure: TermId, value: Quantity) -> Read<SetValue> {
        let first = cursor.at;
        if cursor.take_all(&[known::NO, known::LIMIT, known::GIVEN]) {
            return Ok(SetValue { value, printed: None, limit: None, written: "no limit given".to_string() });
        }
        let wanted = quantity::Wanted { signed: false, ..self.wanted(measure, false) };
        let mut probe = *cursor;
        if probe.take(known::WITHIN) {
            let either = quantity::Wanted { unit: wanted.unit.for_differences(), ..wanted };
            let size = quantity::quantity(&mut probe, either).map_err(Some)?;
            if probe.word() != Some(known::TO) {
                *cursor = probe;
                let written = written(self.view, cursor.since(first));
                let ends =
                    size.negated().ok().and_then(|less| Some((value.plus(&less).ok()?, value.plus(&size).ok()?)));
                let (Some((low, high)), false) = (ends, size.value().is_negative()) else {
                    return Err(Some(
                        Problem::at(
                            Code::OutOfRange,
                            self.view.span(cursor.since(first)),
                            "a limit below zero",
                            "nothing lies within it",
                        )
                        .help("write the size of the limit, which goes either way, without a sign"),
                    ));
                };
                let limit = Some(Values::from_to(low.in_base(), high.in_base()));
                return Ok(SetValue { value, printed: None, limit, written });
            }
        }
        let Some(limit) = quantity::limit(cursor, wanted) else {
            self.missed(cursor, "a limit such as `within 3 mm`, or `no limit given`", &[]);
            return Err(None);
        };
        let limit = limit.map_err(Some)?;
        let range = limit.ranges.first().copied().unwrap_or(Values::ALL);
        if !range.contains(value.in_base()) {
            return Err(Some(
                Problem::at(
                    Code::OutOfRange,
                    self.view.span(cursor.since(first)),
                    format!("{value} does not lie {}", limit.written),
                    "the value is outside its own limit",
                )
                .help("correct one of the two"),
            ));
        }
        Ok(SetValue { value, printed: None, limit: Some(range), written: limit.written })
    }

    /// What a value goes by.
    fn case_key(&mut self, cursor: &mut Cursor<'a>) -> Read<CaseKey> {
        if cursor.take_all(&[known::MODEL, known::YEAR]) {
            return Ok(CaseKey::ModelYear);
        }
        if cursor.take(known::BUILT) {
            return Ok(CaseKey::Built);
        }
        let first = cursor.at;
        let Some(term) = self.term(cursor, "a choice or a measure", &[Class::Choice, Class::Measure]) else {
            return Err(None);
        };
        self.not_asked(cursor, first, term)?;
        let asked = self.of_subject(cursor)?;
        if let Some(asked) = &asked
            && asked.quantifier.is_some()
        {
            self.missed(cursor, "one place by its name, or none where all count", &[]);
            return Err(None);
        }
        let of = asked.map(|asked| asked.subject);
        if self.vocabulary.class(term) == Class::Choice {
            let everywhere =
                matches!(&self.vocabulary.term(term).detail, Detail::Choice { places, .. } if !places.is_empty());
            self.check_of(cursor, first, term, of.is_some() || everywhere)?;
            self.check_place(cursor, first, term, of)?;
            return Ok(CaseKey::Choice(term, of));
        }
        self.check_of(cursor, first, term, of.is_some())?;
        Ok(CaseKey::Measure(term, of))
    }

    /// In which case a row counts.
    fn case(&mut self, cursor: &mut Cursor<'a>, key: CaseKey) -> Read<Case> {
        if cursor.take(known::OTHER) {
            return Ok(Case::Other);
        }
        let case = match key {
            CaseKey::Choice(choice, _) => {
                let mut values = Vec::new();
                loop {
                    let first = cursor.at;
                    let Some(value) = self.term(cursor, "a value", &[Class::Value]) else { return Err(None) };
                    self.check_value(cursor, choice, value, first)?;
                    values.push(value);
                    if !cursor.take(known::OR) {
                        return Ok(Case::Values(values));
                    }
                }
            }
            CaseKey::Measure(measure, _) => {
                let wanted = quantity::Wanted { signed: false, ..self.wanted(measure, false) };
                // Rows with two ends each would leave holes by one reading and meet by another.
                let second = std::mem::take(&mut cursor.second);
                let limit = quantity::limit(cursor, wanted);
                cursor.second = second;
                limit.map(|limit| limit.map(|limit| Case::Within(limit.ranges, limit.written)))
            }
            CaseKey::ModelYear => quantity::years(cursor).map(|years| years.map(Case::Years)),
            CaseKey::Built => quantity::dates(cursor).map(|days| days.map(Case::Days)),
        };
        match case {
            Some(case) => case.map_err(Some),
            None => {
                self.missed(cursor, "a case such as `from 600 kg to 800 kg`, `2021 to 2022`, or `other`", &[]);
                Err(None)
            }
        }
    }

    /// `PROCEDURE [of SUBJECT]` by name, on a line of a job.
    fn procedure_by_name(&mut self, cursor: &mut Cursor<'a>) -> Read<(TermId, Option<TermId>)> {
        let first = cursor.at;
        let Some(procedure) = self.term(cursor, "a procedure", &[Class::Procedure]) else {
            return Err(None);
        };
        let of = self.of_one(cursor)?;
        self.check_of(cursor, first, procedure, of.is_some())?;
        Ok((procedure, of))
    }

    /// `in hand PROCEDURE [of SUBJECT]`.
    pub(super) fn in_hand(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<Entry>> {
        let (procedure, of) = self.procedure_by_name(cursor)?;
        Ok(vec![Entry::InHand { procedure, of }])
    }

    /// The rest of `measured MEASURE of PROCEDURE [of SUBJECT] READING`.
    pub(super) fn measured_value(&mut self, cursor: &mut Cursor<'a>, measure: TermId) -> Read<Vec<Entry>> {
        if !cursor.take(known::OF) {
            self.missed(cursor, "`of` and a procedure", &[]);
            return Err(None);
        }
        let (procedure, of) = self.procedure_by_name(cursor)?;
        let reading = quantity::reading(cursor, self.wanted(measure, false)).map_err(Some)?;
        Ok(vec![Entry::MeasuredValue { measure, procedure, of, reading }])
    }
}
