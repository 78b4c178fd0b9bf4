//! The head of a declaration taken apart: name, sides, `of`, `in`, ties.

use knockon_syntax::Tok;
use knockon_syntax::tree::Range;
use knockon_text::{Code, Problem, Span};

use crate::unknown::a;
use crate::view::{Cursor, View};
use crate::vocabulary::{Class, TermId, Vocabulary};
use crate::words::known;

/// What the head of a declaration gave, kept for its clauses.
pub(super) struct Head {
    pub(super) term: TermId,
    /// Its name.
    pub(super) name: Range,
    /// `of`, its class word or term.
    pub(super) of: Option<Range>,
    /// `of CLASS member`: the first member of a kind.
    pub(super) rest: Vec<Range>,
    /// Relation clauses: relation and the targets after it.
    pub(super) ties: Vec<(TermId, Vec<Range>)>,
}

/// The class word a range begins with.
pub(super) fn class_word(view: &View<'_>, range: Range) -> Option<Class> {
    let word = view.words.get(range.first as usize).copied()?;
    [
        (known::PART, Class::Part),
        (known::SENSOR, Class::Sensor),
        (known::SYSTEM, Class::System),
        (known::MODULE, Class::Module),
        (known::PROCEDURE, Class::Procedure),
    ]
    .into_iter()
    .find(|&(id, _)| id == word)
    .map(|(_, class)| class)
}

/// The head of a declaration taken apart: name, sides, `of`, `in`, ties.
#[derive(Default)]
pub(super) struct Split {
    pub(super) name: Range,
    pub(super) sides: Vec<Range>,
    pub(super) of: Option<Range>,
    pub(super) unit: Option<Range>,
    pub(super) rest: Vec<Range>,
    pub(super) ties: Vec<(TermId, Vec<Range>)>,
}

impl Split {
    pub(super) fn phrase(&mut self, view: &View<'_>, vocabulary: &Vocabulary, phrase: Range) {
        let first = self.name.is_empty();
        // Cut the phrase where a relation, `on`, `of` or `in` begins.
        let mut cuts: Vec<(u32, Cut)> = Vec::new();
        let mut at = phrase.first;
        while at < phrase.end {
            let cursor = Cursor::new(view, vocabulary, Range { first: at, end: phrase.end });
            let relation = cursor.find(|vocabulary, meaning| vocabulary.class(meaning.term) == Class::Relation);
            if let Some(found) = relation
                && (at > phrase.first || !first)
            {
                cuts.push((at, Cut::Relation(found.meaning.term, found.length)));
                at += found.length;
                continue;
            }
            match view.kind(at) {
                Some(Tok::On) => cuts.push((at, Cut::On)),
                Some(Tok::Of) => cuts.push((at, Cut::Of)),
                Some(Tok::In) => cuts.push((at, Cut::In)),
                _ => {}
            }
            at += 1;
        }
        let until = cuts.first().map_or(phrase.end, |&(at, _)| at);
        let lead = Range { first: phrase.first, end: until };
        if first {
            self.name = lead;
        } else if !lead.is_empty() {
            match self.ties.last_mut() {
                Some((_, targets)) => targets.push(lead),
                None if !self.sides.is_empty() => self.sides.push(lead),
                None => self.rest.push(lead),
            }
        }
        for (index, &(at, cut)) in cuts.iter().enumerate() {
            let end = cuts.get(index + 1).map_or(phrase.end, |&(next, _)| next);
            match cut {
                Cut::Relation(relation, length) => {
                    self.ties.push((relation, vec![Range { first: at + length, end }]));
                }
                Cut::On => self.sides.push(Range { first: at + 1, end }),
                Cut::In => self.unit = Some(Range { first: at + 1, end }),
                Cut::Of => {
                    let body = Range { first: at + 1, end };
                    self.of = Some(body);
                    if body.len() > 1 && class_word(view, body).is_some() {
                        self.rest.push(Range { first: body.first + 1, end: body.end });
                    }
                }
            }
        }
    }
}

/// How many words a name or another writing may have. Reading looks for the longest name at every word, and no trade
/// name comes near it.
pub const MOST_NAME_WORDS: usize = 24;

/// A name, or another writing, of more words than [`MOST_NAME_WORDS`].
pub(super) fn too_long(name: &str, span: Span) -> Option<Problem> {
    (name.split_whitespace().nth(MOST_NAME_WORDS).is_some()).then(|| {
        Problem::at(
            Code::UnexpectedWord,
            span,
            format!("a name of more than {MOST_NAME_WORDS} words"),
            "nobody would write all of it in a sentence",
        )
        .help("give it a short name; what is long to say belongs in a comment")
    })
}

/// The words no name may hold, as help.
pub(super) const RESERVED: &str = "a name holds none of: and or not of to on in from when unless then that any every no is at by with where; the printed wording may stand after `also written`, in quotes";

/// The first token of a range that joins sentences.
pub(super) fn joins(view: &View<'_>, range: Range) -> Option<u32> {
    (range.first..range.end).find(|&token| view.kind(token).is_some_and(Tok::is_connecting))
}

/// A name that holds a word which joins sentences.
pub(super) fn reserved(view: &View<'_>, name: Range, at: u32) -> Problem {
    Problem::at(
        Code::ReservedWord,
        view.span_of(at),
        format!("a name holds `{}`, which joins sentences", view.text(at)),
        "with it a sentence could end inside the name",
    )
    .context(view.span(name), "in this name")
    .help(RESERVED)
}

/// What stands in the head of a declaration and has no meaning in one of its class; left alone it would be lost.
pub(super) fn misplaced(view: &View<'_>, class: Class, split: &Split) -> Option<Problem> {
    let before = |range: Range| range.first.saturating_sub(1);
    if split.unit.is_some() && class != Class::Measure {
        return split.unit.map(|range| reserved(view, split.name, before(range)));
    }
    let of = split.of?;
    match class {
        Class::Maker | Class::Part | Class::Sensor | Class::System | Class::Module | Class::Option => {
            Some(reserved(view, split.name, before(of)))
        }
        Class::Kind | Class::Zone | Class::Line | Class::Choice => None,
        _ if class_word(view, of) == Some(Class::Procedure) && class != Class::Measure => Some(
            Problem::at(
                Code::WrongClass,
                view.span(of),
                format!("{} is of a part, not of a procedure", a(class.word())),
                "a part, sensor, system or module is meant here",
            )
            .help("only a measure is of a procedure: a distance or height that a text gives for it"),
        ),
        _ if class_word(view, of).is_some() && of.len() == 1 => None,
        _ => Some(
            Problem::at(
                Code::WrongClass,
                view.span(of),
                format!("{} is declared of a class, and `{}` is none", a(class.word()), view.name(of)),
                "part, sensor, system or module is meant here",
            )
            .help("write `of part`, `of sensor`, `of system` or `of module`; of which one is said where it is used"),
        ),
    }
}

#[derive(Clone, Copy)]
enum Cut {
    Relation(TermId, u32),
    On,
    Of,
    In,
}
