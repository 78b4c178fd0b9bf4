//! Doing what a word of the prompt says.

use knockon_lang::decide::words as answer_words;
use knockon_lang::text::{Markup, Tag};

use super::words::{self, Word};
use super::{Prompt, highlight, session, tell};
use crate::files;

impl Prompt<'_> {
    /// Does what a word of the prompt says; false to end.
    pub(super) fn word(&mut self, line: &str) -> bool {
        let Some(said) = words::read(line) else { return true };
        match said.word {
            Word::What => match &self.session.now.decided {
                Some(decided) => self.screen.show(&answer_words::answer(&decided.answer)),
                None => self.screen.show(&tell::no_answer()),
            },
            Word::Why => self.screen.show(&tell::why_words(&self.session, said.rest)),
            Word::Ask => self.screen.show(&tell::ask(&self.session)),
            Word::Help if said.rest.is_empty() => self.screen.show(&tell::help()),
            Word::Help => self.screen.show(&tell::help_on(&self.session, said.rest)),
            Word::Forms => self.screen.show(&tell::forms()),
            Word::Explain => self.screen.show(&tell::explain(said.rest)),
            Word::Undo => self.undo(),
            Word::Lines => self.lines(),
            Word::Save => match self.session.save(&files::named(said.rest)) {
                Ok(path) => self.note(&format!("written to {path}; `knockon decide {path}` decides it again")),
                Err(refused) => self.refuse(&refused),
            },
            Word::Load => self.load(&session::with_ending(&files::named(said.rest))),
            Word::Leave => return false,
        }
        true
    }

    fn undo(&mut self) {
        let before = self.session.now.decided.as_ref().map(|decided| decided.answer.clone());
        if self.session.undo() {
            self.note("taken back");
            match &self.session.now.decided {
                Some(_) => self.show_change(before.as_ref()),
                None => self.note("nothing is decided before there is a vehicle"),
            }
        } else {
            self.note("there is nothing to take back");
        }
    }

    fn lines(&mut self) {
        let vocabulary = self.session.now.ready.library.vocabulary();
        let mut out = Markup::new();
        for (number, line) in self.session.numbered_lines() {
            out.push(Tag::Faint, format!("{number:>4}  "));
            match highlight::highlight(&line, vocabulary) {
                Some(line) => out.append(line),
                None => out.plain(line),
            };
            out.line();
        }
        self.screen.show(&out);
    }

    fn load(&mut self, path: &str) {
        let before = self.session.now.decided.as_ref().map(|decided| decided.answer.clone());
        match self.session.load(path) {
            Ok(()) => self.show_change(before.as_ref()),
            Err(refused) => self.refuse(&refused),
        }
    }
}
