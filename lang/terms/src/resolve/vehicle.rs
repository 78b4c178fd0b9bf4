//! The vehicle of a job, and what it is equipped with.

use knockon_measure::Vin;
use knockon_syntax::Tok;
use knockon_text::{Code, Problem};

use super::scopes;
use super::sentence::{Read, Sentences};
use crate::quantity;
use crate::resolved::Entry;
use crate::view::Cursor;
use crate::vocabulary::{Class, TermId};
use crate::words::known;

impl<'a> Sentences<'a> {
    pub(super) fn vehicle(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<Entry>> {
        let mut entries = Vec::new();
        let first = cursor.at;
        if cursor.word() != Some(known::ONLY) {
            let Some(cars) = scopes::maker_and_models(cursor) else {
                return Err(Some(scopes::unknown_car(self.view, self.vocabulary, cursor, None)));
            };
            let cars = cars.map_err(Some)?;
            let Some(maker) = cars.maker else {
                return Err(None);
            };
            if cars.models.len() > 1 {
                let names: Vec<&str> = cars.models.iter().map(|&model| self.vocabulary.name(model)).collect();
                return Err(Some(
                    Problem::at(
                        Code::UnexpectedWord,
                        self.view.span(cursor.since(first)),
                        "a vehicle is of one model",
                        format!("is it a {}?", names.join(" or a ")),
                    )
                    .help("name the one it is, or leave the model out where it is not known"),
                ));
            }
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
                        .help("write all four digits; leave the year out where it is not known"),
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
            entries.extend(extra);
            return Ok(entries);
        }
        self.fitted(cursor)
    }

    /// `[only / not] equipped with A, B`.
    pub(super) fn fitted(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<Entry>> {
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

    pub(super) fn vin(&self, token: u32) -> Read<String> {
        let text = self.view.quoted(token);
        match Vin::parse(&text) {
            Ok(vin) => Ok(vin.as_str().to_string()),
            Err(wrong) => {
                let reasons: Vec<String> = wrong.iter().map(|problem| problem.to_string()).collect();
                let (first, rest) = match reasons.split_first() {
                    Some((first, rest)) => (first.clone(), rest),
                    None => ("this cannot be one".to_string(), &[][..]),
                };
                let more: String = rest.iter().map(|reason| format!("{reason}\n")).collect();
                Err(Some(
                    Problem::at(
                        Code::VinWrong,
                        self.view.span_of(token),
                        format!("`{text}` cannot be a vehicle identification number"),
                        first,
                    )
                    .help(format!(
                        "{more}a number has 17 digits and capitals without I, O and Q; read it from the car again"
                    )),
                ))
            }
        }
    }

    pub(super) fn equipment(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<TermId>> {
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
}
