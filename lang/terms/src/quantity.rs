//! Numbers with units, limits, years and dates as they stand in sentences.

pub mod figures;

use knockon_measure::{Bound, Date, Exact, Kind, Quantity, Range as Values, Reading, Relation, Unit, unit};
use knockon_syntax::Tok;
use knockon_syntax::tree::Range;
use knockon_text::{Code, Problem};

use self::figures::{pair_at, written};
use crate::resolved::{Limit, Span2, When};
use crate::unknown::{self, a};
use crate::view::Cursor;
use crate::words::known;

/// What a quantity must be like.
#[derive(Clone, Copy)]
pub struct Wanted<'a> {
    /// The measure's unit; its kind is the kind wanted.
    pub unit: Unit,
    /// Whether the sign means something: then a bare limit is an error.
    pub signed: bool,
    /// Whether its change is asked about, not its value.
    pub change: bool,
    /// What the positive side means, where the measure says so.
    pub positive: Option<&'a str>,
    /// The measure's name, for messages.
    pub name: &'a str,
}

/// A number with its unit; of two that are printed, the one that counts.
pub fn quantity(cursor: &mut Cursor<'_>, wanted: Wanted<'_>) -> Result<Quantity, Problem> {
    let (view, first) = (cursor.view, cursor.at);
    let value = one(cursor, wanted)?;
    if cursor.kind() != Some(Tok::OpenBracket) || view.words.get(cursor.at as usize + 1) != Some(&known::PRINTED) {
        return Ok(value);
    }
    let bracket = cursor.at;
    cursor.at += 2;
    let Some(seconds) = cursor.second else {
        return Err(Problem::at(
            Code::SecondFigure,
            view.span(Range { first: bracket, end: bracket + 2 }),
            "a second printed figure where only one counts",
            "this is no limit or value that a rule takes from its text",
        )
        .help("two figures stand in the conditions and the conclusions of a rule; here write the one that is meant"));
    };
    let pair = pair_at(view, first);
    let second = one(cursor, wanted)?;
    if cursor.take_kind(Tok::CloseBracket).is_none() {
        return Err(Problem::at(
            Code::UnexpectedWord,
            view.span(unknown::run_at(view, cursor.at, cursor.end)),
            "the bracket with the second printed figure is not closed",
            "expected `)`",
        )
        .help("write `5 mm (printed 0.2 inch)`"));
    }
    let counts = pair.is_some_and(|pair| !pair.agrees() && seconds.has(view, &pair));
    Ok(if counts { second } else { value })
}

fn one(cursor: &mut Cursor<'_>, wanted: Wanted<'_>) -> Result<Quantity, Problem> {
    let view = cursor.view;
    let first = cursor.at;
    let Some(number) = cursor.take_kind(Tok::Number) else {
        return Err(Problem::at(
            Code::WrongUnit,
            view.span(crate::unknown::run_at(view, cursor.at, cursor.end)),
            format!("a quantity is missing: `{}` is measured in {}", wanted.name, unit_words(wanted.unit)),
            "expected a number with its unit",
        )
        .help(format!("write it as `12 {}`", wanted.unit.symbol())));
    };
    let value = Exact::parse(view.text(number)).map_err(|error| {
        Problem::at(Code::OutOfRange, view.span_of(number), error.to_string(), "this number")
            .help("use fewer digits, or a larger unit")
    })?;
    let mut found = Unit::Plain;
    let mut has_unit = false;
    if matches!(cursor.kind(), Some(Tok::Word | Tok::Percent))
        && let Some(unit) = unit(view.text(cursor.at))
    {
        found = unit;
        has_unit = true;
        cursor.at += 1;
    } else if cursor.kind() == Some(Tok::In) && view.kind(cursor.at + 1) == Some(Tok::CloseBracket) {
        // Between brackets `in` joins nothing.
        (found, has_unit) = (Unit::Inch, true);
        cursor.at += 1;
    }
    let span = view.span(cursor.since(first));
    if found.kind() != wanted.unit.kind() {
        let message = if has_unit {
            format!(
                "{} is {}, where `{}` is {}",
                view.written(cursor.since(first)),
                a(&found.kind().to_string()),
                wanted.name,
                a(&wanted.unit.kind().to_string())
            )
        } else if let Some(word) = unit_nobody_knows(cursor) {
            format!("`{word}` is no unit; `{}` is measured in {}", wanted.name, unit_words(wanted.unit))
        } else {
            format!(
                "the number {} has no unit; `{}` is {}",
                view.text(number),
                wanted.name,
                a(&wanted.unit.kind().to_string())
            )
        };
        let expected = format!("expected {}", a(&wanted.unit.kind().to_string()));
        return Err(Problem::at(Code::WrongUnit, span, message, expected)
            .help(format!("give it in {}, or another unit of that kind", unit_words(wanted.unit))));
    }
    Quantity::new(value, found).map_err(|error| {
        Problem::at(Code::OutOfRange, span, format!("the quantity cannot be held: {error}"), "this quantity")
            .help("use a unit nearer to its size")
    })
}

/// The word after a number, where it stands in the place of a unit and is none.
fn unit_nobody_knows<'a>(cursor: &Cursor<'a>) -> Option<&'a str> {
    let goes_on = [known::EITHER, known::UPWARDS, known::DOWNWARDS];
    (cursor.kind() == Some(Tok::Word) && cursor.word().is_some_and(|word| !goes_on.contains(&word)))
        .then(|| cursor.view.text(cursor.at))
}

fn unit_words(unit: Unit) -> String {
    if unit == Unit::Plain { "plain numbers".to_string() } else { format!("`{}`", unit.symbol()) }
}

/// A quantity with its uncertainty.
pub fn reading(cursor: &mut Cursor<'_>, wanted: Wanted<'_>) -> Result<Reading, Problem> {
    let first = cursor.at;
    let value = quantity(cursor, wanted)?;
    if cursor.take_kind(Tok::PlusMinus).is_none() {
        return Ok(Reading::exact(value));
    }
    let uncertainty = quantity(cursor, wanted)?;
    let span = cursor.view.span(cursor.since(first));
    Reading::with_uncertainty(value, uncertainty, None).map_err(|error| {
        Problem::at(Code::WrongUnit, span, format!("the reading cannot be taken so: {error}"), "this reading")
            .help("write it as `142 um ± 6 um`")
    })
}

/// A limit, if one begins here.
pub fn limit(cursor: &mut Cursor<'_>, wanted: Wanted<'_>) -> Option<Result<Limit, Problem>> {
    let first = cursor.at;
    let mut probe = *cursor;
    let relation = if probe.take(known::OVER) {
        Some(Relation::Over)
    } else if probe.take(known::UNDER) {
        Some(Relation::Under)
    } else if probe.take_all(&[known::AT, known::LEAST]) {
        Some(Relation::AtLeast)
    } else if probe.take_all(&[known::AT, known::MOST]) {
        Some(Relation::AtMost)
    } else if probe.take(known::WITHIN) || probe.take(known::FROM) {
        None
    } else {
        return None;
    };
    *cursor = probe;
    Some(limit_after(cursor, wanted, relation, first))
}

fn limit_after(
    cursor: &mut Cursor<'_>,
    wanted: Wanted<'_>,
    relation: Option<Relation>,
    first: u32,
) -> Result<Limit, Problem> {
    let view = cursor.view;
    let one = quantity(cursor, wanted)?;
    let base = one.in_base();
    let kind = wanted.unit.kind();
    let Some(relation) = relation else {
        if !cursor.take(known::TO) {
            return Err(Problem::at(
                Code::UnexpectedWord,
                view.span(crate::unknown::run_at(view, cursor.at, cursor.end)),
                "the upper end is missing",
                "expected `to` and a quantity",
            )
            .help("write `within 1 mm to 3 mm`; both ends are included"));
        }
        let two = quantity(cursor, wanted)?;
        let span = view.span(cursor.since(first));
        if two.in_base() < base {
            return Err(Problem::at(
                Code::OutOfRange,
                span,
                "the limits stand in the wrong order",
                "nothing lies between them",
            )
            .help("write the lower one first; both are included"));
        }
        return Ok(Limit {
            ranges: vec![Values::from_to(base, two.in_base())],
            kind,
            written: written(view, cursor.since(first)),
        });
    };
    let up = Values::new(relation, base);
    let either = |limit: Exact| match relation {
        Relation::Over | Relation::AtLeast => vec![mirrored(up), up],
        _ => vec![Values {
            low: Some(Bound { value: limit.negated(), included: relation == Relation::AtMost }),
            high: Some(Bound { value: limit, included: relation == Relation::AtMost }),
        }],
    };
    let negative = |cursor: &Cursor<'_>| {
        Problem::at(
            Code::OutOfRange,
            view.span(cursor.since(first)),
            "a limit with a side, or with `either way`, is not negative",
            "the side says it already; is the minus sign meant too?",
        )
        .help("write the size of the limit without its sign, or `within A to B` with both ends")
    };
    let ranges = if cursor.take_all(&[known::EITHER, known::WAY]) {
        if base.is_negative() {
            return Err(negative(cursor));
        }
        either(base)
    } else if base.is_negative() && matches!(cursor.word(), Some(known::UPWARDS | known::DOWNWARDS)) {
        cursor.at += 1;
        return Err(negative(cursor));
    } else if cursor.take(known::UPWARDS) {
        vec![up]
    } else if cursor.take(known::DOWNWARDS) {
        vec![mirrored(up)]
    } else if wanted.signed {
        return Err(Problem::at(
            Code::SignedWithoutSide,
            view.span(cursor.since(first)),
            if wanted.change {
                format!("a change in `{}` goes up or down, and this limit says neither", wanted.name)
            } else {
                format!("`{}` has two sides, and this limit names none", wanted.name)
            },
            "to which side?",
        )
        .help(match wanted.positive {
            Some(positive) => format!(
                "add `either way`, `upwards` (the positive side, {positive}) or `downwards`, or write `within A to B`"
            ),
            None => "add `either way`, `upwards` or `downwards`, or write `within A to B`".to_string(),
        }));
    } else {
        vec![up]
    };
    Ok(Limit { ranges, kind, written: written(view, cursor.since(first)) })
}

/// The same values with their signs changed.
fn mirrored(values: Values) -> Values {
    let turn = |bound: Bound| Bound { value: bound.value.negated(), included: bound.included };
    Values { low: values.high.map(turn), high: values.low.map(turn) }
}

/// A model year as a number: no car is older than 1886, and none much newer than this text.
fn one_year(cursor: &mut Cursor<'_>) -> Option<i32> {
    let mut probe = *cursor;
    let token = probe.take_kind(Tok::Number)?;
    let year: i32 = probe.view.text(token).parse().ok()?;
    if !(1886..=2200).contains(&year) {
        return None;
    }
    *cursor = probe;
    Some(year)
}

/// Years: `2021`, `2019 to 2022`, `from 2021`, `until 2022`, `before 2021`, `after 2021`.
pub fn years(cursor: &mut Cursor<'_>) -> Option<Result<Span2<i32>, Problem>> {
    let first = cursor.at;
    let mut probe = *cursor;
    let span = if let Some(one) = one_year(&mut probe) {
        let mut more = probe;
        if more.take(known::TO)
            && let Some(two) = one_year(&mut more)
        {
            probe = more;
            Span2 { first: Some(one), last: Some(two) }
        } else {
            Span2 { first: Some(one), last: Some(one) }
        }
    } else {
        let word = probe.word()?;
        probe.at += 1;
        let year = one_year(&mut probe)?;
        match word {
            known::FROM => {
                let mut more = probe;
                if more.take(known::TO)
                    && let Some(last) = one_year(&mut more)
                {
                    probe = more;
                    Span2 { first: Some(year), last: Some(last) }
                } else {
                    Span2 { first: Some(year), last: None }
                }
            }
            known::UNTIL => Span2 { first: None, last: Some(year) },
            known::BEFORE => Span2 { first: None, last: Some(year - 1) },
            known::AFTER => Span2 { first: Some(year + 1), last: None },
            _ => return None,
        }
    };
    *cursor = probe;
    if let (Some(one), Some(two)) = (span.first, span.last)
        && two < one
    {
        return Some(Err(wrong_order(cursor, first)));
    }
    Some(Ok(span))
}

/// Dates, in the same forms as years.
pub fn dates(cursor: &mut Cursor<'_>) -> Option<Result<Span2<Date>, Problem>> {
    let first = cursor.at;
    let mut probe = *cursor;
    let span = if probe.kind() == Some(Tok::Date) {
        let one = date(&mut probe)?;
        let mut two = None;
        if probe.take(known::TO) {
            two = Some(date(&mut probe)?);
        }
        match (one, two) {
            (Ok(one), None) => Span2 { first: Some(one), last: Some(one) },
            (Ok(one), Some(Ok(two))) => Span2 { first: Some(one), last: Some(two) },
            (Err(problem), _) | (_, Some(Err(problem))) => {
                *cursor = probe;
                return Some(Err(problem));
            }
        }
    } else {
        let word = probe.word()?;
        probe.at += 1;
        let day = match date(&mut probe)? {
            Ok(day) => day,
            Err(problem) => {
                *cursor = probe;
                return Some(Err(problem));
            }
        };
        match word {
            known::FROM => {
                if probe.take(known::TO) {
                    match date(&mut probe)? {
                        Ok(last) => Span2 { first: Some(day), last: Some(last) },
                        Err(problem) => {
                            *cursor = probe;
                            return Some(Err(problem));
                        }
                    }
                } else {
                    Span2 { first: Some(day), last: None }
                }
            }
            known::UNTIL => Span2 { first: None, last: Some(day) },
            known::BEFORE => Span2 { first: None, last: day.add_days(-1) },
            known::AFTER => Span2 { first: day.add_days(1), last: None },
            _ => return None,
        }
    };
    *cursor = probe;
    if let (Some(one), Some(two)) = (span.first, span.last)
        && two < one
    {
        return Some(Err(wrong_order(cursor, first)));
    }
    Some(Ok(span))
}

fn wrong_order(cursor: &Cursor<'_>, first: u32) -> Problem {
    Problem::at(
        Code::OutOfRange,
        cursor.view.span(cursor.since(first)),
        "the limits stand in the wrong order",
        "nothing lies between them",
    )
    .help("write the earlier one first; both are included")
}

/// One date, if one stands here.
pub fn date(cursor: &mut Cursor<'_>) -> Option<Result<Date, Problem>> {
    let token = cursor.take_kind(Tok::Date)?;
    Some(date_of(cursor.view, token))
}

/// The date a token holds.
pub fn date_of(view: &crate::view::View<'_>, token: u32) -> Result<Date, Problem> {
    Date::parse(view.text(token)).map_err(|error| {
        Problem::at(Code::BadDate, view.span_of(token), format!("`{}` is no date", view.text(token)), error.to_string())
            .help("dates are written year-month-day, as 2026-02-11")
    })
}

/// `DATE [TIME]`, after `at`.
pub fn moment(cursor: &mut Cursor<'_>) -> Option<Result<When, Problem>> {
    let day = date(cursor)?;
    let clock = cursor.take_kind(Tok::Time).map(|token| {
        knockon_measure::Clock::parse(cursor.view.text(token)).map_err(|error| {
            Problem::at(
                Code::BadDate,
                cursor.view.span_of(token),
                format!("`{}` is no time of day", cursor.view.text(token)),
                error.to_string(),
            )
            .help("times are written hour:minute, from 00:00 to 23:59")
        })
    });
    Some(match (day, clock) {
        (Err(problem), _) | (_, Some(Err(problem))) => Err(problem),
        (Ok(date), None) => Ok(When { date, clock: None }),
        (Ok(date), Some(Ok(clock))) => Ok(When { date, clock: Some(clock) }),
    })
}

/// Whether quantities of this kind are written without a unit.
pub fn is_plain(kind: Kind) -> bool {
    kind == Kind::Count
}
