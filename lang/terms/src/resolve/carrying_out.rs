//! `carrying out`: what a procedure takes, each clause with terms in the place of words.

use knockon_syntax::tree::{self, Range};
use knockon_text::{Code, Problem};

use super::Resolver;
use super::instructions::later;
use super::known::not_known_in;
use super::sentence::{Asked, HAPPENINGS, Read, Sentences};
use crate::resolved::{
    CarryingOut, CarryingOutClause, Citation, Duty, Involved, Involves, Quantifier, ScopeId, SourceId,
};
use crate::view::{Cursor, View};
use crate::vocabulary::Class;

impl<'a> Resolver<'a> {
    pub(super) fn carrying_out(&mut self, view: &'a View<'a>, item: &tree::CarryingOut, range: Range, scope: ScopeId) {
        let before = self.problems.len();
        let mut sentences = Sentences::new(view, self.vocabulary, self.sources);
        let head = view.span(Range { first: range.first, end: item.what.end });
        let duty = match sentences.reading(item.what, |reader, cursor| reader.carried_out(cursor)) {
            Ok(duty) => duty,
            Err(problem) => {
                self.problems.push(problem);
                return;
            }
        };
        // Its clauses may point at what it is of, and at nothing else.
        sentences.binding = false;
        let mut cites: Option<Citation> = None;
        let (mut says, mut clauses) = (Vec::new(), Vec::new());
        for clause in &item.clauses {
            match clause {
                tree::CarryingOutClause::Cites(reference) => {
                    if cites.is_some() {
                        self.problems.push(
                            Problem::at(
                                Code::UnexpectedWord,
                                view.span(reference.source),
                                "a second `cites` in one `carrying out`",
                                "the second `cites`",
                            )
                            .help("it stands on one place of one source; write it again for the other"),
                        );
                    }
                    let unread = Citation { source: SourceId(0), of: None, section: None, span: head };
                    cites = Some(self.citation(view, reference).unwrap_or(unread));
                }
                tree::CarryingOutClause::Says(token) => says.push(view.quoted(*token)),
                tree::CarryingOutClause::Involves { what, when } => match sentences.involves(what, when.as_ref()) {
                    Ok(involves) => clauses.push(CarryingOutClause::Involves(involves)),
                    Err(problem) => self.problems.push(problem),
                },
                tree::CarryingOutClause::Instruction { what, when, range } => {
                    match sentences.instruction(what, when.as_ref(), *range) {
                        Ok(instruction) => clauses.push(CarryingOutClause::Instruction(instruction)),
                        Err(problem) => self.problems.push(problem),
                    }
                }
                tree::CarryingOutClause::Later(range) => self.problems.push(later(view, *range)),
            }
        }
        if cites.is_none() {
            self.problems.push(
                Problem::at(
                    Code::MissingCitation,
                    head,
                    "what carrying it out takes is said, and no source is cited",
                    "on whose word?",
                )
                .help("add `cites SOURCE of DATE section \"...\"`; what is only usual cites a source of the rank common practice"),
            );
        }
        if clauses.is_empty() && !self.has_erred(before) {
            self.problems.push(
                Problem::at(
                    Code::CarryingOutNothing,
                    head,
                    format!(
                        "`{}` says nothing of what it takes",
                        view.written(Range { first: range.first, end: item.what.end })
                    ),
                    "no clause says what happens by it, or what is to be looked at",
                )
                .help("add what it does to the car, as in `involves battery disconnected`, or what it needs first, as in `ready when ...`"),
            );
        }
        let Some(cites) = cites.filter(|_| !self.has_erred(before)) else { return };
        let variables = sentences.variables;
        self.carrying_out.push(CarryingOut { scope, cites, says, duty, variables, clauses, span: view.span(range) });
    }
}

impl<'a> Sentences<'a> {
    /// `PROCEDURE [of TERM]`, or `of any CLASS` for each member of it.
    fn carried_out(&mut self, cursor: &mut Cursor<'a>) -> Read<Duty> {
        let (duty, asked) = self.duty(cursor)?;
        match asked {
            Some(Asked { quantifier: Some(quantifier), span, .. }) if quantifier != Quantifier::Any => Err(Some(
                Problem::at(
                    Code::ThatUnclear,
                    span,
                    "a procedure is carried out on one part or sensor at a time",
                    "which one is meant?",
                )
                .help("write `of any CLASS` for what holds of each of them; its clauses then say `that CLASS`"),
            )),
            _ => Ok(duty),
        }
    }

    fn involves(&mut self, what: &[Range], when: Option<&tree::Condition>) -> Result<Involves, Problem> {
        let mut all = Vec::with_capacity(what.len());
        for &range in what {
            all.push(self.reading(range, |reader, cursor| reader.involved(cursor))?);
        }
        let when = when.map(|when| self.condition(when)).transpose()?;
        if let Some(said) = when.as_ref().and_then(not_known_in) {
            return Err(Problem::at(
                Code::NotKnownDecides,
                said,
                "`is not known` decides nothing: it is for `ask`, `warn` and `hold`",
                "on this it rests what a procedure does",
            )
            .help("leave the sentence out: what is not known is open by itself, and asked"));
        }
        let first = what.first().map_or(0, |range| range.first.saturating_sub(1));
        let end = what.last().map_or(first, |range| range.end);
        Ok(Involves { what: all, when, span: self.view.span(Range { first, end }) })
    }

    /// One thing that happens: `PART OPERATION [in ZONE]`, or an event of no part.
    fn involved(&mut self, cursor: &mut Cursor<'a>) -> Read<Involved> {
        let first = cursor.at;
        let alone = cursor
            .find(|vocabulary, meaning| vocabulary.happening(meaning.term).is_some_and(|happening| !happening.of));
        let asked = if alone.is_some() { None } else { Some(self.asked(cursor)?) };
        if let Some(Asked { quantifier: Some(_), span, .. }) = &asked {
            let shown = self.view.source.text.get(span.start as usize..span.end as usize).unwrap_or("");
            return Err(Some(
                Problem::at(
                    Code::ThatUnclear,
                    *span,
                    format!("which one does `{shown}` mean in what a procedure does?"),
                    "one part is meant here",
                )
                .help("name the part with its side, or write `that CLASS` for what the procedure is of"),
            ));
        }
        let Some(what) = self.term(cursor, "an operation, finding or event", HAPPENINGS) else {
            return Err(None);
        };
        let of = self.vocabulary.happening(what).is_some_and(|happening| happening.of);
        if of != asked.is_some() {
            let name = self.vocabulary.name(what);
            let (message, label, help) = if of {
                (
                    format!("`{name}` happens to a part, and no part is named"),
                    "to which part?",
                    "name the part before it",
                )
            } else {
                (
                    format!("`{name}` happens to the car, not to a part"),
                    "no part is named with it",
                    "leave the part out",
                )
            };
            return Err(Some(
                Problem::at(Code::WrongClass, self.view.span(cursor.since(first)), message, label)
                    .context(self.vocabulary.term(what).span, "declared here")
                    .help(help),
            ));
        }
        if self.vocabulary.class(what) == Class::Finding {
            return Err(Some(
                Problem::at(
                    Code::WrongClass,
                    self.view.span(cursor.since(first)),
                    format!(
                        "`{}` is a finding, and a procedure is not planned to find anything",
                        self.vocabulary.name(what)
                    ),
                    "an operation or event is meant here",
                )
                .context(self.vocabulary.term(what).span, "declared here")
                .help("what a procedure may show is a rule's: `when PROCEDURE ended in RESULT then ...`"),
            ));
        }
        let place = self.place(cursor)?;
        Ok(Involved { what, subject: asked.map(|asked| asked.subject), place })
    }
}
