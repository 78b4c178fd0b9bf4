//! Jobs: lines a person types, each into the entries it makes.

use knockon_measure::Vin;
use knockon_syntax::Tok;
use knockon_syntax::tree::{self, Range};
use knockon_text::{Code, Problem};

use super::sentence::{Read, Sentences};
use super::{Resolver, scopes};
use crate::quantity;
use crate::resolved::{Entry, Happened, Job, Judgement, Line};
use crate::view::{Cursor, View};
use crate::vocabulary::{Class, Detail, TermId};
use crate::words::known;

/// The word a job line begins with, or what stands for it in a test.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum LineWord {
    Vehicle,
    Equipped,
    NotEquipped,
    EquipmentComplete,
    Work,
    Also,
    NothingElseCameOff,
    WorkComplete,
    Found,
    LookedOver,
    Happened,
    NotHappened,
    Measured,
    Given,
    Judged,
    Done,
    Later,
}

fn line_word(kind: Tok) -> LineWord {
    match kind {
        Tok::Vehicle => LineWord::Vehicle,
        Tok::EquippedWith => LineWord::Equipped,
        Tok::NotEquippedWith => LineWord::NotEquipped,
        Tok::EquipmentIsComplete => LineWord::EquipmentComplete,
        Tok::Work => LineWord::Work,
        Tok::WorkIsComplete => LineWord::WorkComplete,
        Tok::Also => LineWord::Also,
        Tok::NothingElseCameOff => LineWord::NothingElseCameOff,
        Tok::Found => LineWord::Found,
        Tok::LookedOver => LineWord::LookedOver,
        Tok::Happened => LineWord::Happened,
        Tok::NotHappened => LineWord::NotHappened,
        Tok::Measured => LineWord::Measured,
        Tok::Given => LineWord::Given,
        Tok::Judged => LineWord::Judged,
        Tok::Done => LineWord::Done,
        _ => LineWord::Later,
    }
}

impl<'a> Resolver<'a> {
    pub(super) fn job(&mut self, view: &'a View<'a>, job: &tree::Job, range: Range) {
        let before = self.problems.len();
        let dated = match job.dated.map(|token| quantity::date_of(view, token)) {
            Some(Ok(date)) => Some(date),
            Some(Err(problem)) => {
                self.problems.push(problem);
                None
            }
            None => None,
        };
        let mut lines = Vec::new();
        for line in &job.lines {
            let Some(kind) = view.kind(line.word) else {
                continue;
            };
            let word = line_word(kind);
            if line.entries.is_empty() {
                let empty = Range { first: line.word + 1, end: line.word + 1 };
                self.entry(view, word, line.word, empty, &mut lines);
            }
            for &entry in &line.entries {
                self.entry(view, word, line.word, entry, &mut lines);
            }
        }
        if self.problems.len() > before {
            return;
        }
        let name = view.quoted(job.name);
        self.jobs.push(Job { name, dated, lines, span: view.span(range) });
    }

    /// One entry of a job line; adds what it says.
    pub(super) fn entry(
        &mut self,
        view: &'a View<'a>,
        word: LineWord,
        word_at: u32,
        range: Range,
        lines: &mut Vec<Line>,
    ) {
        let mut reader = Sentences::new(view, self.vocabulary);
        let entries = match word {
            LineWord::Later => Err(Problem::at(
                Code::NotYetEvaluated,
                view.span_of(word_at),
                format!("`{}` is not evaluated yet", view.text(word_at)),
                "this line",
            )
            .help("leave the line out; nothing that is not evaluated is stored")),
            _ => reader.reading(range, |reader, cursor| reader.entries(cursor, word)),
        };
        match entries {
            Ok(entries) => {
                let first = if word_at < range.first { word_at } else { range.first };
                let span = view.span(Range { first, end: range.end.max(first + 1) });
                let written = view.written(Range { first, end: range.end.max(first + 1) });
                lines.extend(entries.into_iter().map(|entry| Line { entry, span, written: written.clone() }));
            }
            Err(problem) => self.problems.push(problem),
        }
    }

    /// A piece of a `suppose` line: a job line with or without its first word, or a bare sentence.
    pub(super) fn supposed(&mut self, view: &'a View<'a>, range: Range, lines: &mut Vec<Line>) {
        let mut cursor = Cursor::new(view, self.vocabulary, range);
        let word = match cursor.kind() {
            Some(
                kind @ (Tok::EquippedWith
                | Tok::NotEquippedWith
                | Tok::EquipmentIsComplete
                | Tok::WorkIsComplete
                | Tok::NothingElseCameOff
                | Tok::LookedOver
                | Tok::NotHappened),
            ) => Some(line_word(kind)),
            Some(Tok::Not) => Some(LineWord::Given),
            _ => match cursor.word() {
                Some(known::VEHICLE) => Some(LineWord::Vehicle),
                Some(known::WORK) => Some(LineWord::Work),
                Some(known::ALSO) => Some(LineWord::Also),
                Some(known::FOUND) => Some(LineWord::Found),
                Some(known::HAPPENED) => Some(LineWord::Happened),
                Some(known::MEASURED) => Some(LineWord::Measured),
                Some(known::GIVEN) => Some(LineWord::Given),
                Some(known::JUDGED) => Some(LineWord::Judged),
                Some(known::DONE) => Some(LineWord::Done),
                _ => None,
            },
        };
        if let Some(word) = word {
            // `found tight` may be a finding's own name, so the bare sentence is tried where the line fails.
            let skip = if view.kind(range.first) == Some(Tok::Not) { 0 } else { 1 };
            let inner = Range { first: range.first + skip, end: range.end };
            self.entry(view, word, range.first, inner, lines);
            return;
        }
        if cursor.take(known::DATED) {
            match quantity::date(&mut cursor) {
                Some(Ok(date)) if cursor.is_done() => {
                    lines.push(Line {
                        entry: Entry::Dated(date),
                        span: view.span(range),
                        written: view.written(range),
                    });
                }
                Some(Err(problem)) => self.problems.push(problem),
                _ => self.problems.push(
                    Problem::at(Code::BadDate, view.span(range), "a date is missing", "expected a date")
                        .help("write `suppose dated 2025-06-02`"),
                ),
            }
            return;
        }
        if cursor.word() == Some(known::ONLY)
            || cursor.find(|vocabulary, meaning| vocabulary.class(meaning.term) == Class::Maker).is_some()
        {
            self.entry(view, LineWord::Vehicle, range.first, range, lines);
            return;
        }
        let happens = (range.first..range.end).any(|token| {
            let at = Cursor::new(view, self.vocabulary, Range { first: token, end: range.end });
            at.find(|vocabulary, meaning| vocabulary.class(meaning.term).happens()).is_some()
        });
        let given = cursor
            .find(|vocabulary, meaning| matches!(vocabulary.class(meaning.term), Class::Condition | Class::Choice));
        let measured = cursor.find(|vocabulary, meaning| vocabulary.class(meaning.term) == Class::Measure);
        let word = if given.is_some() {
            LineWord::Given
        } else if measured.is_some() || cursor.word() == Some(known::CHANGE) {
            LineWord::Measured
        } else if happens {
            LineWord::Happened
        } else {
            LineWord::Given
        };
        self.entry(view, word, range.first, range, lines);
    }
}

impl<'a> Sentences<'a> {
    fn entries(&mut self, cursor: &mut Cursor<'a>, word: LineWord) -> Read<Vec<Entry>> {
        match word {
            LineWord::Vehicle => self.vehicle(cursor),
            LineWord::Equipped => Ok(vec![Entry::Equipped { what: self.equipment(cursor)?, yes: true }]),
            LineWord::NotEquipped => Ok(vec![Entry::Equipped { what: self.equipment(cursor)?, yes: false }]),
            LineWord::EquipmentComplete => {
                // `, per looking at the car`: kept in what was written.
                cursor.at = cursor.end;
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
                let happened = self.happened(cursor, &[Class::Event, Class::Finding, Class::Operation], "an event")?;
                Ok(vec![Entry::NotHappened { what: happened.what, subject: happened.subject }])
            }
            LineWord::LookedOver => self.looked_over(cursor),
            LineWord::Measured => self.measured_entry(cursor),
            LineWord::Given => self.given(cursor),
            LineWord::Judged => self.judged(cursor),
            LineWord::Done => self.done(cursor),
            LineWord::Later => Err(None),
        }
    }

    fn vehicle(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<Entry>> {
        let mut entries = Vec::new();
        if cursor.word() != Some(known::ONLY) {
            let Some(cars) = scopes::maker_and_models(cursor) else {
                return Err(Some(scopes::unknown_car(self.view, self.vocabulary, cursor, None)));
            };
            let cars = cars.map_err(Some)?;
            let Some(maker) = cars.maker else {
                return Err(None);
            };
            let (mut year, mut built, mut vin) = (None, None, None);
            if let Some(token) = cursor.take_kind(Tok::Number) {
                let value = self.view.text(token).parse::<i32>().ok().filter(|year| (1886..=2200).contains(year));
                let Some(value) = value else {
                    return Err(Some(
                        Problem::at(
                            Code::OutOfRange,
                            self.view.span_of(token),
                            format!("`{}` is no model year", self.view.text(token)),
                            "expected a year such as 2022",
                        )
                        .help("leave it out where it is not known"),
                    ));
                };
                year = Some(value);
            } else if !cursor.is_done() && cursor.kind() == Some(Tok::Word) && cars.models.is_empty() {
                return Err(Some(scopes::unknown_car(self.view, self.vocabulary, cursor, Some(maker))));
            }
            let mut extra = Vec::new();
            while !cursor.is_done() {
                if cursor.take_kind(Tok::Comma).is_none() {
                    self.missed(cursor, "a comma, then `built DATE` or `vin \"...\"`", &[]);
                    return Err(None);
                }
                if cursor.take(known::BUILT) {
                    match quantity::date(cursor) {
                        Some(date) => built = Some(date.map_err(Some)?),
                        None => {
                            self.missed(cursor, "a date", &[]);
                            return Err(None);
                        }
                    }
                } else if cursor.take(known::VIN) {
                    let Some(token) = cursor.take_kind(Tok::Text) else {
                        self.missed(cursor, "the number in quotes", &[]);
                        return Err(None);
                    };
                    vin = Some(self.vin(token)?);
                } else {
                    extra.extend(self.fitted(cursor)?);
                    break;
                }
            }
            entries.push(Entry::Vehicle { maker, model: cars.models.first().copied(), year, built, vin });
            if cars.models.len() > 1 {
                return Err(Some(
                    Problem::at(
                        Code::UnexpectedWord,
                        self.view.span(cursor.rest_range()),
                        "a vehicle is of one model",
                        "two models",
                    )
                    .help("leave the model out where it is not known"),
                ));
            }
            entries.extend(extra);
            return Ok(entries);
        }
        self.fitted(cursor)
    }

    /// `[only / not] equipped with A, B`.
    fn fitted(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<Entry>> {
        let only = cursor.take(known::ONLY);
        if cursor.take_kind(Tok::NotEquippedWith).is_some() {
            return Ok(vec![Entry::Equipped { what: self.equipment(cursor)?, yes: false }]);
        }
        if cursor.take_kind(Tok::EquippedWith).is_none() {
            self.missed(cursor, "`built DATE`, `vin \"...\"` or `equipped with ...`", &[]);
            return Err(None);
        }
        let mut entries = vec![Entry::Equipped { what: self.equipment(cursor)?, yes: true }];
        if only {
            entries.push(Entry::EquipmentComplete);
        }
        Ok(entries)
    }

    fn vin(&self, token: u32) -> Read<String> {
        let text = self.view.quoted(token);
        match Vin::parse(&text) {
            Ok(vin) => Ok(vin.as_str().to_string()),
            Err(wrong) => {
                let reasons: Vec<String> = wrong.iter().map(|problem| problem.to_string()).collect();
                Err(Some(
                    Problem::at(
                        Code::VinWrong,
                        self.view.span_of(token),
                        format!("`{text}` cannot be a vehicle identification number"),
                        reasons.join("; "),
                    )
                    .help("it has 17 digits and capitals without I, O and Q; read it from the car again"),
                ))
            }
        }
    }

    fn equipment(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<TermId>> {
        const EQUIPMENT: &[Class] =
            &[Class::Sensor, Class::Part, Class::System, Class::Module, Class::Option, Class::Kind];
        let mut all = Vec::new();
        // `only equipped with nothing` says that none of what rules ask about is there.
        if cursor.take(known::NOTHING) {
            return Ok(all);
        }
        loop {
            let Some(term) = self.term(cursor, "equipment", EQUIPMENT) else {
                return Err(None);
            };
            all.extend(self.vocabulary.members(term));
            if cursor.take_kind(Tok::Comma).is_none() && !cursor.take(known::AND) {
                return Ok(all);
            }
        }
    }

    /// `OPERATION PART` or `PART OPERATION`, with place, size and time.
    fn happened(&mut self, cursor: &mut Cursor<'a>, classes: &'static [Class], wanted: &'static str) -> Read<Happened> {
        let first = cursor.at;
        let leads = cursor
            .find(|vocabulary, meaning| {
                let class = vocabulary.class(meaning.term);
                class.happens() || class.is_equipment() || class == Class::Kind
            })
            .is_some_and(|found| self.vocabulary.class(found.meaning.term).happens());
        let (what, subject) = if leads {
            let Some(what) = self.term(cursor, wanted, classes) else {
                return Err(None);
            };
            let of = self.vocabulary.happening(what).is_some_and(|happening| happening.of);
            let subject = if of { Some(self.part(cursor)?) } else { None };
            (what, subject)
        } else {
            let subject = self.part(cursor)?;
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
        let mut happened = Happened { what, subject, place: None, sizes: Vec::new(), at: None, on_the_way: false };
        loop {
            if let Some(place) = self.place(cursor)? {
                happened.place = Some(place);
            } else if cursor.take(known::AT) {
                match quantity::moment(cursor) {
                    Some(when) => happened.at = Some(when.map_err(Some)?),
                    None => {
                        self.missed(cursor, "a date and time", &[]);
                        return Err(None);
                    }
                }
            } else if cursor.take_kind(Tok::Comma).is_some() || cursor.take(known::WITH) {
                let Some(measure) = self.term(cursor, "a measure", &[Class::Measure]) else {
                    return Err(None);
                };
                let reading = quantity::reading(cursor, self.wanted(measure, false)).map_err(Some)?;
                happened.sizes.push((measure, reading));
            } else if cursor.kind() == Some(Tok::BecauseOf) {
                return Err(Some(
                    Problem::at(
                        Code::NotYetEvaluated,
                        self.view.span_of(cursor.at),
                        "`because of` on a work line is not evaluated yet",
                        "this part of the line",
                    )
                    .help("leave it out, or add a `happened` line for the cause"),
                ));
            } else {
                return Ok(happened);
            }
        }
    }

    /// One part, with its side.
    fn part(&mut self, cursor: &mut Cursor<'a>) -> Read<TermId> {
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
                format!("`{}` names several; which one?", self.vocabulary.name(term)),
                "which one was worked on?",
            )
            .help(format!("name one of {}", names.join(", "))),
        ))
    }

    fn looked_over(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<Entry>> {
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
    fn of_one(&mut self, cursor: &mut Cursor<'a>) -> Read<Option<TermId>> {
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

    fn measured_entry(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<Entry>> {
        let change = cursor.take_all(&[known::CHANGE, known::IN]);
        let Some(measure) = self.term(cursor, "a measure", &[Class::Measure]) else {
            return Err(None);
        };
        let of = self.of_one(cursor)?;
        let reading = quantity::reading(cursor, self.wanted(measure, change)).map_err(Some)?;
        Ok(vec![Entry::Measured { measure, of, change, reading }])
    }

    fn given(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<Entry>> {
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
            return match (happened.subject, happened.place) {
                (Some(subject), Some(place)) => Ok(vec![Entry::Placed { what: happened.what, subject, place }]),
                _ => {
                    self.missed(cursor, "where it happened, such as `outside radar window`", &[]);
                    Err(None)
                }
            };
        }
        const GIVEN: &[Class] = &[Class::Condition, Class::Choice];
        let Some(term) = self.term(cursor, "a condition or choice", GIVEN) else {
            return Err(None);
        };
        if self.vocabulary.class(term) == Class::Choice {
            if !cursor.take(known::IS) {
                self.missed(cursor, "`is` and a value", &[]);
                return Err(None);
            }
            let Some(value) = self.term(cursor, "a value", &[Class::Value]) else {
                return Err(None);
            };
            if let Detail::Choice { values, .. } = &self.vocabulary.term(term).detail
                && !values.contains(&value)
            {
                self.missed(cursor, "a value of this choice", &[]);
                return Err(None);
            }
            return Ok(vec![Entry::Chosen { choice: term, value, yes }]);
        }
        let of = self.of_one(cursor)?;
        let answer = if yes { Judgement::Yes } else { Judgement::No };
        Ok(vec![Entry::Holds { condition: term, of, answer, by: None, because: None }])
    }

    fn judged(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<Entry>> {
        let Some(condition) = self.term(cursor, "a condition", &[Class::Condition]) else {
            return Err(None);
        };
        let of = self.of_one(cursor)?;
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

    fn done(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<Entry>> {
        let Some(procedure) = self.term(cursor, "a procedure", &[Class::Procedure]) else {
            return Err(None);
        };
        let of = self.of_one(cursor)?;
        let outcome = if cursor.take_all(&[known::ENDED, known::IN]) {
            let Some(outcome) = self.term(cursor, "an outcome", &[Class::Outcome]) else {
                return Err(None);
            };
            Some(outcome)
        } else {
            None
        };
        let at = if cursor.take(known::AT) {
            match quantity::moment(cursor) {
                Some(when) => Some(when.map_err(Some)?),
                None => {
                    self.missed(cursor, "a date and time", &[]);
                    return Err(None);
                }
            }
        } else {
            None
        };
        Ok(vec![Entry::Done { procedure, of, outcome, at }])
    }
}

fn one(happened: Happened) -> Vec<Entry> {
    vec![Entry::Happened(happened)]
}
