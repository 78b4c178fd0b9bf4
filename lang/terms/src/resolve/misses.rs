//! What is said where no form of a sentence fits: the furthest place reached, and what was wanted there.

use knockon_syntax::Tok;
use knockon_syntax::tree::Range;
use knockon_text::{Code, Problem};

use super::sentence::{ANYTHING, Sentences};
use crate::unknown;
use crate::view::Cursor;
use crate::vocabulary::Class;

/// The furthest place where nothing fitted.
pub(super) struct Miss {
    at: u32,
    wanted: &'static str,
    classes: &'static [Class],
}

impl Sentences<'_> {
    /// Notes that nothing fitted here.
    pub fn missed(&mut self, cursor: &Cursor<'_>, wanted: &'static str, classes: &'static [Class]) {
        if self.miss.as_ref().is_none_or(|miss| cursor.at > miss.at) {
            self.miss = Some(Miss { at: cursor.at, wanted, classes });
        }
    }

    /// The problem of a range that is no sentence.
    pub(super) fn nothing_fits(&mut self, range: Range) -> Problem {
        let miss = self.miss.take().unwrap_or(Miss { at: range.first, wanted: "a sentence", classes: ANYTHING });
        if miss.at >= range.end {
            let message = if range.is_empty() {
                "nothing is said after this word".to_string()
            } else {
                format!("`{}` is not finished", self.view.written(range))
            };
            let end = Range { first: range.end, end: range.end };
            let label = format!("{} is missing here", miss.wanted);
            return Problem::at(Code::UnexpectedWord, self.view.span(end), message, label).help(how(miss.wanted));
        }
        let run = unknown::run_at(self.view, miss.at, range.end);
        if let Some(problem) = self.not_evaluated(run, range) {
            return problem;
        }
        if self.view.kind(miss.at) == Some(Tok::Text) {
            return self.quoted_here(miss.at);
        }
        if miss.classes.is_empty() || self.view.kind(miss.at).is_some_and(|kind| !kind.is_wordlike()) {
            return Problem::at(
                Code::UnexpectedWord,
                self.view.span(run),
                format!("`{}` cannot stand here", self.view.written(run)),
                format!("expected {}", miss.wanted),
            )
            .help(how(miss.wanted));
        }
        let classes = miss.classes;
        let problem =
            unknown::phrase(self.view, self.vocabulary, run, miss.wanted, &|_, class| classes.contains(&class));
        if run.first > range.first { problem.context(self.view.span(range), "in this sentence") } else { problem }
    }

    /// A construct of the design that stands in sentences and is not evaluated.
    fn not_evaluated(&self, run: Range, range: Range) -> Option<Problem> {
        let calls = run.end < range.end
            && self.view.kind(run.first).is_some_and(Tok::is_wordlike)
            && self.view.kind(run.end) == Some(Tok::OpenBracket);
        calls.then(|| {
            Problem::at(
                Code::NotYetEvaluated,
                self.view.span(Range { first: run.first, end: run.end + 1 }),
                format!("`{} (...)` is a calculation, and none is evaluated yet", self.view.name(run)),
                "this calculation",
            )
            .help("work it out by hand and give the value as a measure, as in `measured lateral shift 480 mm`")
        })
    }
}

/// How what is wanted is written.
fn how(wanted: &str) -> &'static str {
    const HOW: [(&str, &str); 22] = [
        ("a class", "a class is part, sensor, system, module, a kind, or a name that has sides"),
        (
            "a limit",
            "write the measure, then `over`, `under`, `at least`, `at most` or `within ... to ...`, then a number with its unit",
        ),
        (
            "the end of the sentence",
            "what stands before it is whole: take it away, or say it in a sentence or line of its own",
        ),
        (
            "an operation, finding or event",
            "say what happened to it, as in `front fascia removed`, or what it is, as in `front radar is touched`",
        ),
        ("an operation", "write `work OPERATION PART`, as in `work removed front fascia`"),
        ("a finding", "write `found PART FINDING`, as in `found front fascia cracked`"),
        ("an event", "write `happened EVENT`, as in `happened battery disconnected`"),
        ("the -ing form", "it is what the operation's declaration gives after `doing`"),
        ("`is` and a value", "write `CHOICE is VALUE`, as in `rear axle is solid`"),
        (
            "`is` and a quality",
            "write `new PART is QUALITY` or `old PART is QUALITY`, as in `new front fascia is painted`",
        ),
        ("a value", "write `CHOICE is VALUE`, as in `rear axle is solid`"),
        ("`yes`", "write `judged CONDITION yes`, `no` or `cannot tell`, then perhaps `by \"NAME\" because \"...\"`"),
        (
            "`nothing found`",
            "write `looked over PART, nothing found`; what was found stands on lines `found PART FINDING`",
        ),
        ("`found`", "write `looked over PART, nothing found`, or `looked over everything, nothing else found`"),
        ("a comma", "write `vehicle MAKER MODEL YEAR, built DATE, vin \"...\"`, each part after a comma"),
        ("`due`", "write `PROCEDURE of PART due`, `done`, or `ended in RESULT`"),
        ("a verdict", "write one of them after the duty, as in `expect wheel alignment required`"),
        ("forbidden", "write one of them, as in `expect drilling of radar bracket forbidden`"),
        ("silent", "write one of them after the sensor, as in `expect front radar silent`"),
        ("where it happened", "write `given PART HAPPENING in ZONE`, `touching ZONE` or `outside ZONE`"),
        ("a part", "name the part it is done to or said of, with its side where it has sides"),
        ("years", "write `model year 2021`, `2019 to 2022`, `from 2021`, `until 2022`, `before 2021` or `after 2021`"),
    ];
    HOW.iter()
        .find(|(begins, _)| wanted.starts_with(begins))
        .map_or("see the sentence forms in the reference, or `help sentences` at the prompt", |(_, how)| how)
}
