//! Words a source defines for itself: `in it "near the radar" means radar window`, and what is said where they do not
//! count.

use knockon_syntax::Tok;
use knockon_syntax::tree::{Range, SourceClause};
use knockon_text::suggest::nearest;
use knockon_text::{Code, Problem};

use super::sentence::Sentences;
use super::sources::Described;
use crate::phrases::{Meaning, Role};
use crate::resolved::{Condition, Form, Happens, OwnWords, Source, SourceId};
use crate::unknown;
use crate::view::{Cursor, View};
use crate::vocabulary::{Class, TermId, Vocabulary};

impl Described {
    /// Reads what a source means by words of its own; every other clause is read elsewhere.
    pub(super) fn defines(
        &mut self,
        id: SourceId,
        view: &View<'_>,
        vocabulary: &Vocabulary,
        clause: &SourceClause,
        problems: &mut Vec<Problem>,
    ) {
        let SourceClause::InIt { phrase, meaning } = clause else { return };
        let Some(source) = self.sources.get_mut(id.0 as usize) else { return };
        let (words, span) = (view.quoted(*phrase), view.span_of(*phrase));
        if words.trim().is_empty() {
            problems.push(
                Problem::at(Code::UnexpectedWord, span, "no words stand between the quotes", "which words?").help(
                    "write the words as the document has them, as in `in it \"near the radar\" means radar window`",
                ),
            );
            return;
        }
        if let Some(first) = source.own_words.iter().find(|own| own.is_written(&words)) {
            problems.push(
                Problem::at(
                    Code::DeclaredTwice,
                    span,
                    format!("`{}` says twice what it means by \"{words}\"", source.name),
                    "said again here",
                )
                .context(first.span, "said first here")
                .help(
                    "keep one; where the text means another thing by it elsewhere, write that thing in the rule itself",
                ),
            );
            return;
        }
        match means(view, vocabulary, *meaning) {
            Ok(means) => source.own_words.push(OwnWords { phrase: words, means, span }),
            Err(problem) => problems.push(problem),
        }
    }
}

/// What a text may have words of its own for.
fn is_named(class: Class) -> bool {
    !matches!(class, Class::Maker | Class::Model | Class::Relation | Class::Line)
}

/// A term, or several of what happens to a part, with `or` between.
fn means(view: &View<'_>, vocabulary: &Vocabulary, range: Range) -> Result<Vec<Meaning>, Problem> {
    const WANTED: &str = "a term";
    let mut cursor = Cursor::new(view, vocabulary, range);
    let mut means: Vec<Meaning> = Vec::new();
    loop {
        let first = cursor.at;
        // An outcome or a value stands only where nothing else does, so what else is called so comes before it.
        let usual = |class| is_named(class) && !matches!(class, Class::Outcome | Class::Value);
        let found = [usual as fn(Class) -> bool, is_named].into_iter().find_map(|accept| {
            cursor.find(|vocabulary, meaning| meaning.role != Role::OnTheWay && accept(vocabulary.class(meaning.term)))
        });
        let Some(found) = found else {
            let run = unknown::run_at(view, cursor.at, range.end);
            return Err(unknown::phrase(view, vocabulary, run, WANTED, &|_, class| is_named(class)));
        };
        cursor.at += found.length;
        // By which of its names a term is meant, nothing turns on.
        let role = if found.meaning.role == Role::Doing { Role::Doing } else { Role::Name };
        means.push(Meaning { term: found.meaning.term, role });
        let is_done = cursor.is_done();
        let is_list = !is_done || means.len() > 1;
        let to_a_part = found.meaning.role != Role::Doing
            && vocabulary.happening(found.meaning.term).is_some_and(|happening| happening.of);
        if !is_done && cursor.kind() != Some(Tok::Or) {
            let rest = cursor.rest_range();
            return Err(Problem::at(
                Code::UnexpectedWord,
                view.span(rest),
                format!("`{}` cannot stand here", view.written(rest)),
                "what the words mean ends before this",
            )
            .help("they mean one term, or any of several happenings: `in it \"disturbed\" means removed or loosened`; what is more than that, say in a condition or a state"));
        }
        if is_list && !to_a_part {
            return Err(Problem::at(
                Code::WrongClass,
                view.span(cursor.since(first)),
                format!("`{}` does not happen to a part", view.name(cursor.since(first))),
                "it stands in a list with `or`",
            )
            .help("words of a text may mean any of several operations, findings or events of a part; for several parts declare a kind, and mean that"));
        }
        if is_done {
            return Ok(means);
        }
        cursor.at += 1;
    }
}

/// A condition with any of several happenings, as words of a text mean them, as a list of sentences.
pub(super) fn any_of_several(condition: Condition) -> Condition {
    let each = |parts: Vec<Condition>| parts.into_iter().map(any_of_several).collect::<Vec<_>>();
    match condition {
        Condition::All(parts) => Condition::All(each(parts)),
        Condition::AnyOf(parts) => {
            let parts = each(parts).into_iter().flat_map(|part| match part {
                Condition::AnyOf(inner) => inner,
                other => vec![other],
            });
            Condition::AnyOf(parts.collect())
        }
        Condition::Not(inner) => Condition::Not(Box::new(any_of_several(*inner))),
        Condition::Quantified { quantifier, variable, body } => {
            Condition::Quantified { quantifier, variable, body: Box::new(any_of_several(*body)) }
        }
        Condition::Sentence(Form::Happens(happens), span) if happens.what.len() > 1 => {
            let one = |&what: &TermId| {
                Condition::Sentence(Form::Happens(Happens { what: vec![what], ..happens.clone() }), span)
            };
            Condition::AnyOf(happens.what.iter().map(one).collect())
        }
        Condition::Sentence(..) => condition,
    }
}

impl<'a> Sentences<'a> {
    /// A cursor that knows the words of the text that speaks, and which of its figures count.
    pub(super) fn cursor(&self, range: Range) -> Cursor<'a> {
        let source = self.cited.and_then(|id| self.sources.get(id.0 as usize));
        let own = source.map_or(&[][..], |source| source.own_words.as_slice());
        Cursor { own, second: self.second, ..Cursor::new(self.view, self.vocabulary, range) }
    }

    /// The happenings that words of the text's own mean any of. After `where` stands one sentence, and no list.
    pub(super) fn own_happenings(&self, cursor: &Cursor<'a>) -> Option<Vec<TermId>> {
        let own = cursor.own_words().filter(|own| own.means.len() > 1 && self.it.is_none())?;
        Some(own.means.iter().map(|meaning| meaning.term).collect())
    }

    /// What is said of words in quotes that cannot stand where they do.
    pub(super) fn quoted_here(&self, token: u32) -> Problem {
        let (shown, span) = (self.view.quoted(token), self.view.span_of(token));
        let defined = |source: &'a Source| source.own_words.iter().find(|own| own.is_written(&shown));
        let cited = self.cited.and_then(|id| self.sources.get(id.0 as usize));
        if let Some(own) = cited.and_then(defined) {
            let meaning = own.meaning(self.vocabulary);
            return Problem::at(
                Code::UnexpectedWord,
                span,
                format!("\"{shown}\" cannot stand here"),
                format!("it means {meaning}, and that cannot stand here either"),
            )
            .context(own.span, "defined here")
            .help(
                "words of a text stand where the term may stand that they mean; a list of happenings only after a part",
            );
        }
        if let Some((source, own)) = self.sources.iter().find_map(|source| Some((source, defined(source)?))) {
            let name = &source.name;
            let label = match cited {
                Some(cited) => format!("this rule cites {}", cited.name),
                None => "no text speaks here".to_string(),
            };
            let meaning = own.meaning(self.vocabulary);
            return Problem::at(
                Code::OwnWordsElsewhere,
                span,
                format!("\"{shown}\" are words of {name}, and of no other text"),
                label,
            )
            .context(own.span, "defined here")
            .help(format!("they count in rules that cite {name}; here write what is meant, such as `{meaning}`"));
        }
        let near = nearest(&shown, cited.iter().flat_map(|source| &source.own_words).map(|own| own.phrase.as_str()));
        let near: Vec<String> = near.into_iter().map(|phrase| format!("\"{phrase}\"")).collect();
        let label = if near.is_empty() {
            "no text defines it".to_string()
        } else {
            format!("did you mean {}?", near.join(" or "))
        };
        Problem::at(Code::UnknownPhrase, span, format!("nobody said what \"{shown}\" means"), label).help(format!(
            "write the term without quotes; or, where the text cited has words of its own, say in its source `in it \"{shown}\" means TERM`"
        ))
    }
}
