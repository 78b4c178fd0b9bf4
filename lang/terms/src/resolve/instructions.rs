//! What `carrying out` tells to whoever does it: what must hold first, throughout and at the end, steps, waits and times.

use knockon_measure::{Quantity, Unit};
use knockon_syntax::Tok;
use knockon_syntax::tree::{self, Range, TokenId};
use knockon_text::{Code, Problem};

use super::known::not_known_in;
use super::sentence::Sentences;
use crate::quantity::{Wanted, quantity};
use crate::resolved::{Instructed, Instruction};
use crate::view::{Cursor, View};
use crate::words::known;

/// A clause that is not evaluated yet, refused.
pub(super) fn later(view: &View<'_>, range: Range) -> Problem {
    let word = view.text(range.first);
    let help = match view.kind(range.first) {
        Some(Tok::Needs) => {
            "what a shop must have is not compared with what it has yet; write it as a `step`, or in `says`"
        }
        _ => {
            "where things stand belongs to geometry, which no rule is decided by yet; write it as a `step`, or in `says`"
        }
    };
    Problem::at(
        Code::NotYetEvaluated,
        view.span_of(range.first),
        format!("`{word}` is not evaluated yet"),
        "this clause",
    )
    .help(help)
}

impl Sentences<'_> {
    /// An instruction of the tree.
    pub(super) fn instruction(
        &mut self,
        what: &tree::Instruction,
        when: Option<&tree::Condition>,
        range: Range,
    ) -> Result<Instruction, Problem> {
        let what = match what {
            tree::Instruction::ReadyWhen(said) => Instructed::ReadyWhen(self.told(said)?),
            tree::Instruction::GoodWhen(said) => Instructed::GoodWhen(self.told(said)?),
            tree::Instruction::Throughout(said) => Instructed::Throughout(self.told(said)?),
            tree::Instruction::Step(words) => Instructed::Step(self.some_words(*words)?),
            tree::Instruction::Takes(time) => Instructed::Takes(self.time(*time, "what it takes")?),
            tree::Instruction::Wait { least, after } => {
                Instructed::Wait { least: self.time(*least, "the wait")?, after: self.some_words(*after)? }
            }
            tree::Instruction::IfShown { shown, check, at } => {
                if !self.view.words_of(Range { first: *check, end: *check + 1 }).contains(&known::CHECK) {
                    return Err(Problem::at(
                        Code::UnexpectedWord,
                        self.view.span_of(*check),
                        format!("`{}` stands where `check` is meant", self.view.text(*check)),
                        "expected `check`",
                    )
                    .help("write it as `if shown \"target not found\" check \"reflector height\", \"floor\"`"));
                }
                let check = at.iter().map(|&at| self.some_words(at)).collect::<Result<_, _>>()?;
                Instructed::IfShown { shown: self.some_words(*shown)?, check }
            }
        };
        let when = when.map(|when| self.told(when)).transpose()?;
        Ok(Instruction { what, when, span: self.view.span(range) })
    }

    /// A condition of it. That something is not known is told by itself.
    fn told(&mut self, said: &tree::Condition) -> Result<crate::resolved::Condition, Problem> {
        let condition = self.condition(said)?;
        match not_known_in(&condition) {
            Some(span) => Err(Problem::at(
                Code::NotKnownDecides,
                span,
                "`is not known` stands in no instruction: it is for `ask`, `warn` and `hold`",
                "a procedure would wait for this",
            )
            .help("leave the sentence out: what is not known is told as not known by itself")),
            None => Ok(condition),
        }
    }

    fn some_words(&self, token: TokenId) -> Result<String, Problem> {
        let words = self.view.quoted(token);
        if !words.trim().is_empty() {
            return Ok(words);
        }
        Err(Problem::at(
            Code::InstructionWithoutWords,
            self.view.span_of(token),
            "an instruction without words",
            "nothing stands between the quotes",
        )
        .help("write the text's own words, or leave the clause out"))
    }

    /// A span of time, more than none.
    fn time(&self, range: Range, name: &str) -> Result<Quantity, Problem> {
        let mut cursor = Cursor::new(self.view, self.vocabulary, range);
        let wanted = Wanted { unit: Unit::Minute, signed: false, change: false, positive: None, name };
        let found = quantity(&mut cursor, wanted)?;
        if !cursor.is_done() {
            return Err(Problem::at(
                Code::UnexpectedWord,
                self.view.span(cursor.rest_range()),
                format!("`{}` follows the time", self.view.written(cursor.rest_range())),
                "nothing is meant here",
            )
            .help("write one number and its unit, as in `35 min`"));
        }
        if found.in_base() <= knockon_measure::Exact::ZERO {
            return Err(Problem::at(
                Code::TimeOfNothing,
                self.view.span(range),
                format!("{name} is `{}`", self.view.written(range)),
                "a time is more than none",
            )
            .help("write the time of the text, or leave the clause out where it gives none"));
        }
        Ok(found)
    }
}
