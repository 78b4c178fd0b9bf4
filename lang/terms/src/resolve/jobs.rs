//! Jobs: lines a person types, each into the entries it makes.

use knockon_syntax::Tok;
use knockon_syntax::tree::{self, Range};
use knockon_text::{Code, Problem, Span};

use super::Resolver;
use super::sentence::Sentences;
use crate::quantity;
use crate::resolved::{Entry, Job, Line};
use crate::view::{Cursor, View};
use crate::vocabulary::Class;
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
    InHand,
    Scan,
    New,
    Old,
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
        Tok::InHand => LineWord::InHand,
        Tok::Scan => LineWord::Scan,
        Tok::New => LineWord::New,
        Tok::Old => LineWord::Old,
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
        let name = view.quoted(job.name);
        let named = view.span_of(job.name);
        let others = self.job_names.entry(name.clone()).or_default();
        // The jobs of a file that is used are no part of what uses it: a session may go beside one it once wrote.
        let beside = |other: &Span| {
            let (one, two) = (named.file, other.file);
            one == two || !(self.vocabulary.sees(one, two) || self.vocabulary.sees(two, one))
        };
        let first = others.iter().copied().find(beside);
        others.push(named);
        if let Some(first) = first {
            let message = format!("there are two jobs \"{name}\"");
            let help = "give each job a name of its own: a question and its answer name the job they are about";
            self.named_again(Code::JobTwice, message, first, named, help);
        }
        if self.problems.len() > before {
            return;
        }
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
        let mut reader = Sentences::new(view, self.vocabulary, self.sources);
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
                let number = view.line(first);
                lines.extend(entries.into_iter().map(|entry| Line { entry, span, number, written: written.clone() }));
            }
            Err(problem) => self.problems.push(problem),
        }
    }

    /// The pieces of a `suppose` line. A first word that turns what happened into something else (`not happened`,
    /// `also`) goes on over the bare sentences behind it, as on the line of a job: one line, one meaning.
    pub(super) fn supposed_line(&mut self, view: &'a View<'a>, pieces: &[Range], lines: &mut Vec<Line>) {
        let mut goes_on = None;
        for &piece in pieces {
            goes_on = self.supposed(view, piece, goes_on, lines);
        }
    }

    /// A piece of a `suppose` line: a job line with or without its first word, or a bare sentence, which `before` may
    /// go on over. Which word goes on behind it.
    fn supposed(
        &mut self,
        view: &'a View<'a>,
        range: Range,
        before: Option<LineWord>,
        lines: &mut Vec<Line>,
    ) -> Option<LineWord> {
        let mut cursor = Cursor::new(view, self.vocabulary, range);
        let word = match cursor.kind() {
            Some(
                kind @ (Tok::EquippedWith
                | Tok::NotEquippedWith
                | Tok::EquipmentIsComplete
                | Tok::WorkIsComplete
                | Tok::NothingElseCameOff
                | Tok::LookedOver
                | Tok::InHand
                | Tok::NotHappened),
            ) => Some(line_word(kind)),
            Some(Tok::Not) => Some(LineWord::Given),
            // A name that begins with such a word is no line: `found tight` may be a finding's own.
            _ if cursor.find(|_, _| true).is_some() => None,
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
                Some(known::SCAN) => Some(LineWord::Scan),
                Some(known::NEW) => Some(LineWord::New),
                Some(known::OLD) => Some(LineWord::Old),
                _ => None,
            },
        };
        if let Some(word) = word {
            let skip = if view.kind(range.first) == Some(Tok::Not) { 0 } else { 1 };
            let inner = Range { first: range.first + skip, end: range.end };
            self.entry(view, word, range.first, inner, lines);
            return matches!(word, LineWord::NotHappened | LineWord::Also).then_some(word);
        }
        if cursor.take(known::DATED) {
            match quantity::date(&mut cursor) {
                Some(Ok(date)) if cursor.is_done() => {
                    lines.push(Line {
                        entry: Entry::Dated(date),
                        span: view.span(range),
                        number: view.line(range.first),
                        written: view.written(range),
                    });
                }
                Some(Err(problem)) => self.problems.push(problem),
                _ => self.problems.push(
                    Problem::at(Code::BadDate, view.span(range), "a date is missing", "expected a date")
                        .help("write `suppose dated 2025-06-02`"),
                ),
            }
            return None;
        }
        if cursor.word() == Some(known::ONLY)
            || cursor.find(|vocabulary, meaning| vocabulary.class(meaning.term) == Class::Maker).is_some()
        {
            self.entry(view, LineWord::Vehicle, range.first, range, lines);
            return None;
        }
        let happens = (range.first..range.end).any(|token| {
            let at = Cursor::new(view, self.vocabulary, Range { first: token, end: range.end });
            at.find(|vocabulary, meaning| vocabulary.class(meaning.term).happens()).is_some()
        });
        let given = cursor
            .find(|vocabulary, meaning| matches!(vocabulary.class(meaning.term), Class::Condition | Class::Choice));
        let measured = cursor.find(|vocabulary, meaning| vocabulary.class(meaning.term) == Class::Measure);
        let (word, goes_on) = if given.is_some() {
            (LineWord::Given, None)
        } else if measured.is_some() || cursor.word() == Some(known::CHANGE) {
            (LineWord::Measured, None)
        } else if happens {
            (before.unwrap_or(LineWord::Happened), before)
        } else {
            (LineWord::Given, None)
        };
        self.entry(view, word, range.first, range, lines);
        goes_on
    }
}
