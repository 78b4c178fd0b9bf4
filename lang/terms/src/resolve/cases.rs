//! The cases of a value: whether its rows leave a hole, or meet.

use knockon_measure::{Bound, Date, Exact, Quantity, Range as Values};
use knockon_syntax::tree::Range;
use knockon_text::{Code, Problem};

use super::sentence::Sentences;
use crate::reading;
use crate::resolved::{Case, CaseKey, Span2, ValueRow};
use crate::vocabulary::{Detail, TermId};

/// A stretch of what a value goes by that no row tells apart.
enum Piece {
    Term(TermId),
    Number(Values),
    Whole(Option<i64>, Option<i64>),
}

impl Sentences<'_> {
    /// Every case has one row, `other` those that have none.
    pub(super) fn check_cases(
        &self,
        key: CaseKey,
        rows: &[ValueRow],
        places: &[Range],
        by: Range,
    ) -> Result<(), Problem> {
        let span = |row: usize| self.view.span(places.get(row).copied().unwrap_or(by));
        let others: Vec<usize> =
            (0..rows.len()).filter(|&row| rows.get(row).is_some_and(|row| row.case == Case::Other)).collect();
        if let &[first, second, ..] = others.as_slice() {
            return Err(Problem::at(
                Code::CaseTwice,
                span(second),
                "two rows for every other case",
                "the second of them",
            )
            .context(span(first), "the first")
            .help("take one of them away"));
        }
        let mut left = false;
        for piece in self.pieces(key, rows) {
            let here: Vec<usize> =
                (0..rows.len()).filter(|&row| rows.get(row).is_some_and(|row| covers(&row.case, &piece))).collect();
            let name = self.piece_words(key, &piece);
            match here.as_slice() {
                [] if others.is_empty() => {
                    return Err(Problem::at(Code::CaseMissing, self.view.span(by), format!("no row says what holds for {name}"), "a case is missing")
                        .help(format!("add a row for {name}; or `other` with a value or `other cannot be set here`; or `gap as printed`, if the text itself leaves it out")));
                }
                [] => left = true,
                [_] => {}
                &[first, second, ..] => {
                    return Err(Problem::at(
                        Code::CaseTwice,
                        span(second),
                        format!("two rows say what holds for {name}"),
                        "the second of them",
                    )
                    .context(span(first), "the first")
                    .help("narrow one of the two, so that each case has one row"));
                }
            }
        }
        if let (Some(&other), false) = (others.first(), left) {
            return Err(Problem::at(
                Code::CaseOfNothing,
                span(other),
                "no case is left for this row",
                "every case has a row already",
            )
            .help("take it away, or take away the row that says what it was to say"));
        }
        Ok(())
    }

    fn pieces(&self, key: CaseKey, rows: &[ValueRow]) -> Vec<Piece> {
        match key {
            CaseKey::Choice(choice, _) => match &self.vocabulary.term(choice).detail {
                Detail::Choice { values, .. } => values.iter().copied().map(Piece::Term).collect(),
                _ => Vec::new(),
            },
            CaseKey::Measure(measure, _) => {
                let signed = matches!(&self.vocabulary.term(measure).detail, Detail::Measure { positive: Some(_), .. });
                let ranges = rows.iter().filter_map(|row| match &row.case {
                    Case::Within(ranges, _) => Some(ranges),
                    _ => None,
                });
                let bounds =
                    ranges.flatten().flat_map(|range| [range.low, range.high]).flatten().map(|bound| bound.value);
                let mut cuts: Vec<Exact> = bounds.chain((!signed).then_some(Exact::ZERO)).collect();
                cuts.sort();
                cuts.dedup();
                let mut pieces = Vec::new();
                let mut low = None;
                for &cut in &cuts {
                    pieces.push(Values { low, high: Some(Bound::excluded(cut)) });
                    pieces.push(Values::from_to(cut, cut));
                    low = Some(Bound::excluded(cut));
                }
                pieces.push(Values { low, high: None });
                // What has no sign is not below zero.
                pieces
                    .retain(|piece| signed || piece.high.is_none_or(|high| high.value > Exact::ZERO || high.included));
                pieces.into_iter().map(Piece::Number).collect()
            }
            CaseKey::ModelYear | CaseKey::Built => {
                let mut starts: Vec<i64> = rows
                    .iter()
                    .filter_map(|row| whole(&row.case))
                    .flat_map(|(first, last)| [first, last.map(|last| last + 1)])
                    .flatten()
                    .collect();
                starts.sort_unstable();
                starts.dedup();
                let mut pieces = Vec::new();
                let mut from = None;
                for start in starts {
                    pieces.push(Piece::Whole(from, Some(start - 1)));
                    from = Some(start);
                }
                pieces.push(Piece::Whole(from, None));
                pieces
            }
        }
    }

    fn piece_words(&self, key: CaseKey, piece: &Piece) -> String {
        match (piece, key) {
            (Piece::Term(term), _) => format!("`{}`", self.vocabulary.name(*term)),
            (Piece::Number(range), CaseKey::Measure(measure, _)) => {
                let unit = self.wanted(measure, false).unit;
                let words = |value: Exact| {
                    let base = Quantity::from_base(value, unit.kind());
                    base.convert(unit).unwrap_or(base).to_string()
                };
                match (range.low, range.high) {
                    (Some(low), Some(high)) if low.value == high.value => words(low.value),
                    (Some(low), Some(high)) => format!("over {} and under {}", words(low.value), words(high.value)),
                    (Some(low), None) => format!("over {}", words(low.value)),
                    (None, Some(high)) => format!("under {}", words(high.value)),
                    (None, None) => "every value".to_string(),
                }
            }
            (Piece::Whole(first, last), CaseKey::Built) => {
                let day = |day: &i64| Date::from_days(*day);
                let span = Span2 { first: first.as_ref().and_then(day), last: last.as_ref().and_then(day) };
                format!("cars built {}", reading::span(&span))
            }
            (Piece::Whole(first, last), _) => {
                format!("model year {}", reading::span(&Span2 { first: *first, last: *last }))
            }
            (Piece::Number(_), _) => "every value".to_string(),
        }
    }
}

/// The whole numbers of a case: years, or days.
fn whole(case: &Case) -> Option<(Option<i64>, Option<i64>)> {
    match case {
        Case::Years(years) => Some((years.first.map(i64::from), years.last.map(i64::from))),
        Case::Days(days) => Some((days.first.map(|day| day.days()), days.last.map(|day| day.days()))),
        _ => None,
    }
}

fn covers(case: &Case, piece: &Piece) -> bool {
    match (case, piece) {
        (Case::Values(values), Piece::Term(term)) => values.contains(term),
        (Case::Within(ranges, _), Piece::Number(piece)) => ranges.iter().any(|range| range.covers(piece)),
        (case, Piece::Whole(first, last)) => whole(case).is_some_and(|(from, to)| {
            from.is_none_or(|from| first.is_some_and(|first| from <= first))
                && to.is_none_or(|to| last.is_some_and(|last| last <= to))
        }),
        _ => false,
    }
}
