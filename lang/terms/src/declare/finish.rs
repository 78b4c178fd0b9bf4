//! What can be done only when every term is declared: `counts as` followed to its end, names checked.

use knockon_text::{Code, Problem};

use super::Declarer;
use crate::phrases::Role;
use crate::unknown::a;
use crate::vocabulary::{Class, Detail, Term, TermId};

impl Declarer<'_, '_> {
    /// Follows `counts as` to its end, so that asking is one look.
    pub(super) fn close_counts_as(&mut self) {
        let ids: Vec<TermId> =
            self.vocabulary.iter().filter(|(_, term)| term.class.happens()).map(|(id, _)| id).collect();
        for &id in &ids {
            let mut all: Vec<TermId> = Vec::new();
            let mut open =
                self.vocabulary.happening(id).map(|happening| happening.counts_as.clone()).unwrap_or_default();
            while let Some(next) = open.pop() {
                if next != id && !all.contains(&next) {
                    all.push(next);
                    if let Some(happening) = self.vocabulary.happening(next) {
                        open.extend(happening.counts_as.iter().copied());
                    }
                }
            }
            all.sort();
            if let Some(Term { detail: Detail::Happening(happening), .. }) = self.vocabulary.term_mut(id) {
                happening.counts_as = all;
            }
        }
    }

    /// A term that is worked on may not end in the name of a happening: `fascia removed` would be two things.
    pub(super) fn check_names(&mut self) {
        let mut problems = Vec::new();
        for (_, term) in self.vocabulary.iter() {
            if !(term.class.is_equipment() || term.class == Class::Kind) {
                continue;
            }
            let words: Vec<_> = term.name.split_whitespace().map(|word| self.vocabulary.words.find(word)).collect();
            for from in 1..words.len() {
                let Some(tail) = words.get(from..) else {
                    continue;
                };
                let mut ends_in = None;
                self.vocabulary.phrases.each(tail, |length, meanings| {
                    if length == tail.len() {
                        ends_in = meanings
                            .iter()
                            .find(|meaning| meaning.role == Role::Name && self.vocabulary.class(meaning.term).happens())
                            .map(|meaning| meaning.term);
                    }
                });
                if let Some(other) = ends_in {
                    problems.push(
                        Problem::at(
                            Code::TermEndsInHappening,
                            term.span,
                            format!("`{}` ends in `{}`", term.name, self.vocabulary.name(other)),
                            format!("`{}` is {}", self.vocabulary.name(other), a(self.vocabulary.class(other).word())),
                        )
                        .help("a sentence with this name could be read in two ways: name the thing only, and say in the sentence what happened to it"),
                    );
                    break;
                }
            }
        }
        self.problems.append(&mut problems);
    }
}
