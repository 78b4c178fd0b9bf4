//! Entries of job lines: what happened, what was found, measured, judged and done.

use knockon_syntax::Tok;
use knockon_syntax::tree::Range;
use knockon_text::{Code, Problem};

use super::jobs::LineWord;
use super::sentence::{Read, Sentences};
use crate::quantity;
use crate::resolved::{Ending, Entry, Happened, Judgement, Subject, When};
use crate::unknown::a;
use crate::view::Cursor;
use crate::vocabulary::{Class, TermId};
use crate::words::known;

/// What a line about a happening begins with: the part or the happening.
const BEGINS_HAPPENED: &[Class] =
    &[Class::Operation, Class::Finding, Class::Event, Class::Part, Class::Sensor, Class::Module, Class::Kind];

impl<'a> Sentences<'a> {
    pub(super) fn entries(&mut self, cursor: &mut Cursor<'a>, word: LineWord) -> Read<Vec<Entry>> {
        match word {
            LineWord::Vehicle => self.vehicle(cursor),
            LineWord::Equipped => Ok(vec![Entry::Equipped { what: self.equipment(cursor)?, yes: true }]),
            LineWord::NotEquipped => Ok(vec![Entry::Equipped { what: self.equipment(cursor)?, yes: false }]),
            LineWord::EquipmentComplete => {
                // `, per looking at the car`: kept in what was written.
                cursor.take_kind(Tok::Comma);
                if cursor.kind() == Some(Tok::Per) {
                    cursor.at = cursor.end;
                }
                Ok(vec![Entry::EquipmentComplete])
            }
            LineWord::WorkComplete => Ok(vec![Entry::WorkComplete]),
            LineWord::NothingElseCameOff => Ok(vec![Entry::NothingElseCameOff]),
            LineWord::Work => self.happened(cursor, &[Class::Operation], "an operation").map(one),
            LineWord::Found => self.happened(cursor, &[Class::Finding], "a finding").map(one),
            LineWord::Happened => {
                self.happened(cursor, &[Class::Event, Class::Operation, Class::Finding], "an event").map(one)
            }
            LineWord::Also => self.happened(cursor, &[Class::Operation], "an operation").map(|mut happened| {
                happened.on_the_way = true;
                one(happened)
            }),
            LineWord::NotHappened => {
                let line = cursor.rest_range();
                let happened = self.happened(cursor, &[Class::Event, Class::Finding, Class::Operation], "an event")?;
                // What did not happen has no place, size, time or reason; to drop one would deny more than was said.
                let narrower = happened.place.is_some() || !happened.sizes.is_empty();
                if narrower || happened.at.is_some() || happened.because.is_some() {
                    return Err(Some(
                        Problem::at(
                            Code::UnexpectedWord,
                            self.view.span(line),
                            "what did not happen has no place, size, time or reason",
                            "this would deny more than it says",
                        )
                        .help("write only that it did not happen, or leave the line out"),
                    ));
                }
                Ok(vec![Entry::NotHappened { what: happened.what, subject: happened.subject }])
            }
            LineWord::LookedOver => self.looked_over(cursor),
            LineWord::Measured => self.measured_entry(cursor),
            LineWord::Given => self.given(cursor),
            LineWord::Judged => self.judged(cursor),
            LineWord::Done => self.done(cursor),
            LineWord::InHand => self.in_hand(cursor),
            LineWord::Scan => self.scan(cursor),
            LineWord::New => self.quality_entry(cursor, true),
            LineWord::Old => self.quality_entry(cursor, false),
            LineWord::Later => Err(None),
        }
    }

    /// `OPERATION PART` or `PART OPERATION`, with place, size and time.
    pub(super) fn happened(
        &mut self,
        cursor: &mut Cursor<'a>,
        classes: &'static [Class],
        wanted: &'static str,
    ) -> Read<Happened> {
        let first = cursor.at;
        let leading = cursor.find(|vocabulary, meaning| {
            let class = vocabulary.class(meaning.term);
            class.happens() || class.is_equipment() || class == Class::Kind
        });
        let Some(leading) = leading else {
            let wanted = match wanted {
                "an operation" => "a part or operation",
                "a finding" => "a part or finding",
                _ => "a part or event",
            };
            self.missed(cursor, wanted, BEGINS_HAPPENED);
            return Err(None);
        };
        let class = self.vocabulary.class(leading.meaning.term);
        if class.happens() && !classes.contains(&class) {
            return Err(Some(self.on_another_line(cursor, first, wanted)));
        }
        let (what, subject) = if class.happens() {
            let Some(what) = self.term(cursor, wanted, classes) else {
                return Err(None);
            };
            let of = self.vocabulary.happening(what).is_some_and(|happening| happening.of);
            let subject = if of { Some(self.part(cursor)?) } else { None };
            (what, subject)
        } else {
            let subject = self.part(cursor)?;
            let other = cursor.find(|vocabulary, meaning| vocabulary.class(meaning.term).happens());
            if other.is_some_and(|found| !classes.contains(&self.vocabulary.class(found.meaning.term))) {
                return Err(Some(self.on_another_line(cursor, first, wanted)));
            }
            let Some(what) = self.term(cursor, wanted, classes) else {
                return Err(None);
            };
            if !self.vocabulary.happening(what).is_some_and(|happening| happening.of) {
                return Err(Some(
                    Problem::at(
                        Code::WrongClass,
                        self.view.span(cursor.since(first)),
                        format!("`{}` happens to the car, not to a part", self.vocabulary.name(what)),
                        "no part is named with it",
                    )
                    .context(self.vocabulary.term(what).span, "declared here without `of`")
                    .help("leave the part out"),
                ));
            }
            (what, Some(subject))
        };
        let mut happened =
            Happened { what, subject, place: None, sizes: Vec::new(), at: None, because: None, on_the_way: false };
        loop {
            if let Some(place) = self.place(cursor)? {
                happened.place = Some(place);
            } else if let Some(at) = self.at(cursor)? {
                happened.at = Some(at);
            } else if cursor.take_kind(Tok::Comma).is_some() || cursor.take(known::WITH) {
                let Some(measure) = self.term(cursor, "a measure", &[Class::Measure]) else {
                    return Err(None);
                };
                self.not_asked(cursor, cursor.at, measure)?;
                let reading = quantity::reading(cursor, self.wanted(measure, false)).map_err(Some)?;
                happened.sizes.push((measure, reading));
            } else if let Some(cause) = self.because(cursor, &[what])? {
                happened.because = Some(cause);
            } else {
                return Ok(happened);
            }
        }
    }

    /// A finding on a line of work, and the like. The cursor stands before it, `first` is where the entry begins.
    fn on_another_line(&self, cursor: &Cursor<'a>, first: u32, wanted: &str) -> Problem {
        let found = cursor.find(|vocabulary, meaning| vocabulary.class(meaning.term).happens());
        let length = found.map_or(1, |found| found.length);
        let class = found.map_or(Class::Event, |found| self.vocabulary.class(found.meaning.term));
        let name = Range { first: cursor.at, end: cursor.at + length };
        let line = match class {
            Class::Finding => "found",
            Class::Operation => "work",
            _ => "happened",
        };
        let entry = self.view.written(Range { first, end: cursor.end });
        Problem::at(
            Code::WrongClass,
            self.view.span(name),
            format!("`{}` is {}, where {wanted} is meant", self.view.name(name), a(class.word())),
            format!("{wanted} is meant here"),
        )
        .help(format!("write it on a line of its own: `{line} {entry}`"))
    }

    /// One part, with its side.
    pub(super) fn part(&mut self, cursor: &mut Cursor<'a>) -> Read<TermId> {
        const PARTS: &[Class] = &[Class::Part, Class::Sensor, Class::Module, Class::Kind];
        let first = cursor.at;
        let Some(term) = self.term(cursor, "a part", PARTS) else {
            return Err(None);
        };
        if !self.vocabulary.term(term).is_group() {
            return Ok(term);
        }
        let names: Vec<String> =
            self.vocabulary.members(term).iter().map(|&id| format!("`{}`", self.vocabulary.name(id))).collect();
        Err(Some(
            Problem::at(
                Code::SideMissing,
                self.view.span(cursor.since(first)),
                format!("`{}` names several; which one is meant?", self.vocabulary.name(term)),
                "say which of them",
            )
            .help(format!("name one of {}", names.join(", "))),
        ))
    }

    pub(super) fn looked_over(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<Entry>> {
        let mut parts = Vec::new();
        let everything = cursor.take(known::EVERYTHING);
        if !everything {
            loop {
                let Some(term) = self.term(cursor, "a part", &[Class::Part, Class::Sensor, Class::Module, Class::Kind])
                else {
                    return Err(None);
                };
                parts.extend(self.vocabulary.members(term));
                if cursor.take_kind(Tok::Comma).is_none() && !cursor.take(known::AND) {
                    break;
                }
                if cursor.word() == Some(known::NOTHING) {
                    cursor.at -= 1;
                    break;
                }
            }
        }
        cursor.take_kind(Tok::Comma);
        if !cursor.take(known::NOTHING) {
            self.missed(cursor, "`nothing found`", &[]);
            return Err(None);
        }
        cursor.take(known::ELSE);
        if !cursor.take(known::FOUND) {
            self.missed(cursor, "`found`", &[]);
            return Err(None);
        }
        Ok(vec![if everything { Entry::LookedOverEverything } else { Entry::LookedOver(parts) }])
    }

    /// `[of TERM]`, one term.
    pub(super) fn of_one(&mut self, cursor: &mut Cursor<'a>) -> Read<Option<TermId>> {
        if !cursor.take(known::OF) {
            return Ok(None);
        }
        const SUBJECTS: &[Class] =
            &[Class::Part, Class::Sensor, Class::System, Class::Module, Class::Option, Class::Kind];
        let first = cursor.at;
        let Some(term) = self.term(cursor, "a part", SUBJECTS) else {
            return Err(None);
        };
        if self.vocabulary.term(term).is_group() {
            cursor.at = first;
            return self.part(cursor).map(Some);
        }
        Ok(Some(term))
    }

    pub(super) fn measured_entry(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<Entry>> {
        let change = cursor.take_all(&[known::CHANGE, known::IN]);
        let first = cursor.at;
        let Some(measure) = self.term(cursor, "a measure", &[Class::Measure]) else {
            return Err(None);
        };
        if !change && self.is_of_procedure(measure) {
            return self.measured_value(cursor, measure);
        }
        self.not_asked(cursor, first, measure)?;
        let of = self.of_one(cursor)?;
        self.check_of(cursor, first, measure, of.is_some())?;
        let reading = quantity::reading(cursor, self.wanted(measure, change)).map_err(Some)?;
        Ok(vec![Entry::Measured { measure, of, change, reading }])
    }

    pub(super) fn given(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<Entry>> {
        if cursor.take_kind(Tok::NotEquippedWith).is_some() {
            return Ok(vec![Entry::Equipped { what: self.equipment(cursor)?, yes: false }]);
        }
        let yes = cursor.take_kind(Tok::Not).is_none();
        if cursor.take_kind(Tok::EquippedWith).is_some() {
            return Ok(vec![Entry::Equipped { what: self.equipment(cursor)?, yes }]);
        }
        let longest = cursor.find(|vocabulary, meaning| {
            let class = vocabulary.class(meaning.term);
            class.is_part() || matches!(class, Class::Condition | Class::Choice)
        });
        if yes && longest.is_some_and(|found| self.vocabulary.class(found.meaning.term).is_part()) {
            let happened = self.happened(cursor, &[Class::Operation, Class::Finding, Class::Event], "what happened")?;
            let mut all = Vec::new();
            if let Some(subject) = happened.subject {
                all.extend(happened.place.map(|place| Entry::Placed { what: happened.what, subject, place }));
                all.extend(happened.because.map(|cause| Entry::Because { what: happened.what, subject, cause }));
            }
            if all.is_empty() {
                self.missed(cursor, "where it happened, as in `outside radar window`", &[]);
                return Err(None);
            }
            return Ok(all);
        }
        const GIVEN: &[Class] = &[Class::Condition, Class::Choice];
        let first = cursor.at;
        let Some(term) = self.term(cursor, "a condition or choice", GIVEN) else {
            return Err(None);
        };
        if self.vocabulary.class(term) == Class::Choice {
            let of = self.of_one(cursor)?;
            self.check_of(cursor, first, term, of.is_some())?;
            self.check_place(cursor, first, term, of.map(Subject::Term))?;
            if !cursor.take(known::IS) {
                self.missed(cursor, "`is` and a value", &[]);
                return Err(None);
            }
            let Some(value) = self.term(cursor, "a value", &[Class::Value]) else {
                return Err(None);
            };
            self.check_value(cursor, term, value, first)?;
            return Ok(vec![Entry::Chosen { choice: term, of, value, yes }]);
        }
        let of = self.of_one(cursor)?;
        self.check_of(cursor, first, term, of.is_some())?;
        let answer = if yes { Judgement::Yes } else { Judgement::No };
        Ok(vec![Entry::Holds { condition: term, of, answer, by: None, because: None }])
    }

    pub(super) fn judged(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<Entry>> {
        let first = cursor.at;
        let Some(condition) = self.term(cursor, "a condition", &[Class::Condition]) else {
            return Err(None);
        };
        let of = self.of_one(cursor)?;
        self.check_of(cursor, first, condition, of.is_some())?;
        let answer = if cursor.take(known::YES) {
            Judgement::Yes
        } else if cursor.take(known::NO) {
            Judgement::No
        } else if cursor.take_all(&[known::CANNOT, known::TELL]) {
            Judgement::CannotTell
        } else {
            self.missed(cursor, "`yes`, `no` or `cannot tell`", &[]);
            return Err(None);
        };
        let by = if cursor.take(known::BY) {
            cursor.take_kind(Tok::Text).map(|token| self.view.quoted(token))
        } else {
            None
        };
        let because = if cursor.take_kind(Tok::Because).is_some() {
            cursor.take_kind(Tok::Text).map(|token| self.view.quoted(token))
        } else {
            None
        };
        Ok(vec![Entry::Holds { condition, of, answer, by, because }])
    }

    /// `[at DATE [TIME]]`.
    pub(super) fn at(&mut self, cursor: &mut Cursor<'a>) -> Read<Option<When>> {
        if !cursor.take(known::AT) {
            return Ok(None);
        }
        match quantity::moment(cursor) {
            Some(when) => Ok(Some(when.map_err(Some)?)),
            None => {
                self.missed(cursor, "a date and time", &[]);
                Err(None)
            }
        }
    }

    pub(super) fn done(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<Entry>> {
        let Ending { procedure, of, outcome } = self.procedure_ended(cursor)?;
        let at = self.at(cursor)?;
        Ok(vec![Entry::Done { procedure, of, outcome, at }])
    }

    /// `PROCEDURE [of PART] ended in RESULT`, or `PROCEDURE [of PART] done`.
    pub(super) fn ending(&mut self, cursor: &mut Cursor<'a>) -> Read<Ending> {
        let ending = self.procedure_ended(cursor)?;
        if ending.outcome.is_none() && !cursor.take(known::DONE) {
            self.missed(cursor, "`ended in` and a result, or `done`", &[]);
            return Err(None);
        }
        Ok(ending)
    }

    /// `PROCEDURE [of PART] [ended in RESULT]`.
    fn procedure_ended(&mut self, cursor: &mut Cursor<'a>) -> Read<Ending> {
        let first = cursor.at;
        let Some(procedure) = self.term(cursor, "a procedure", &[Class::Procedure]) else {
            return Err(None);
        };
        let of = self.of_one(cursor)?;
        self.check_of(cursor, first, procedure, of.is_some())?;
        let outcome = if cursor.take_all(&[known::ENDED, known::IN]) {
            let at = cursor.at;
            let Some(outcome) = self.term(cursor, "an outcome", &[Class::Outcome]) else {
                return Err(None);
            };
            self.check_outcome(procedure, outcome, at, cursor.at)?;
            Some(outcome)
        } else {
            None
        };
        Ok(Ending { procedure, of, outcome })
    }
}

fn one(happened: Happened) -> Vec<Entry> {
    vec![Entry::Happened(happened)]
}
