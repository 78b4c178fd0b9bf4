//! `PROCEDURE is carried out as PROCEDURE, PROCEDURE`: the ways of a procedure.

use std::collections::{BTreeMap, BTreeSet};

use knockon_syntax::Tok;
use knockon_text::{Code, Problem, Span};

use super::Resolver;
use crate::resolved::{Domain, Fact, FactKind, Whose};
use crate::unknown;
use crate::view::{Cursor, View};
use crate::vocabulary::{Class, Detail, TermId, Vocabulary};
use crate::words::known;

impl<'a> Resolver<'a> {
    /// `PROCEDURE [of TERM | of any CLASS] is carried out as PROCEDURE, PROCEDURE`; nothing where no procedure begins.
    pub(super) fn carried_out_as(
        &self,
        view: &'a View<'a>,
        cursor: &mut Cursor<'a>,
    ) -> Result<Option<FactKind>, Problem> {
        let first = cursor.at;
        let Some((procedure, _)) = cursor.take_term(|class| class == Class::Procedure) else { return Ok(None) };
        let of = self.whose(view, cursor)?;
        if of != Whose::Whatever && !is_of_something(self.vocabulary, procedure) {
            let name = self.vocabulary.name(procedure);
            return Err(Problem::at(
                Code::WrongClass,
                view.span(cursor.since(first)),
                format!("`{name}` is of nothing"),
                "its declaration has no `of`",
            )
            .context(self.vocabulary.term(procedure).span, "declared here")
            .help("leave out what follows `of`"));
        }
        if !cursor.take_all(&[known::IS, known::CARRIED, known::OUT, known::AS]) {
            return Err(Problem::at(
                Code::UnexpectedWord,
                view.span(unknown::run_at(view, cursor.at, cursor.end)),
                "a fact about a procedure says as what it is carried out",
                "expected `is carried out as`",
            )
            .help("write `calibration of front radar is carried out as static calibration, dynamic calibration, per SOURCE`"));
        }
        let mut ways: Vec<TermId> = Vec::new();
        loop {
            let at = cursor.at;
            let Some((way, _)) = cursor.take_term(|class| class == Class::Procedure) else {
                let run = unknown::run_at(view, cursor.at, cursor.end);
                return Err(unknown::phrase(view, self.vocabulary, run, "a procedure", &|_, class| {
                    class == Class::Procedure
                }));
            };
            let span = view.span(cursor.since(at));
            self.fits(procedure, way, span)?;
            if ways.contains(&way) {
                return Err(Problem::at(
                    Code::UnexpectedWord,
                    span,
                    format!("`{}` is named twice", self.vocabulary.name(way)),
                    "it is among them already",
                )
                .help("name each way once"));
            }
            ways.push(way);
            if cursor.take_kind(Tok::Comma).is_none() {
                break;
            }
        }
        self.end(view, cursor)?;
        Ok(Some(FactKind::CarriedOutAs { procedure, of, ways }))
    }

    fn whose(&self, view: &'a View<'a>, cursor: &mut Cursor<'a>) -> Result<Whose, Problem> {
        if !cursor.take(known::OF) {
            return Ok(Whose::Whatever);
        }
        if cursor.kind() != Some(Tok::Any) {
            let term = self.one(view, cursor, "a part or sensor")?;
            let group = self.vocabulary.term(term).is_group();
            return Ok(if group { Whose::AnyOf(Domain::Group(term)) } else { Whose::Term(term) });
        }
        cursor.at += 1;
        for (word, domain) in [
            (known::PART, Domain::Part),
            (known::SENSOR, Domain::Sensor),
            (known::SYSTEM, Domain::System),
            (known::MODULE, Domain::Module),
        ] {
            if cursor.find(|_, _| true).is_none() && cursor.take(word) {
                return Ok(Whose::AnyOf(domain));
            }
        }
        let run = unknown::run_at(view, cursor.at, cursor.end);
        match cursor.take_term(|class| class.is_equipment() || class == Class::Kind) {
            Some((term, _)) if self.vocabulary.term(term).is_group() => Ok(Whose::AnyOf(Domain::Group(term))),
            _ => Err(unknown::phrase(view, self.vocabulary, run, "a class", &|_, class| class == Class::Kind)
                .help("after `of any` stands `sensor`, `part` or a kind; of one part or sensor leave out `any`")),
        }
    }

    /// A way is of the same things as what it is a way of.
    fn fits(&self, procedure: TermId, way: TermId, span: Span) -> Result<(), Problem> {
        let (needs, has) = (is_of_something(self.vocabulary, procedure), is_of_something(self.vocabulary, way));
        if needs == has {
            return Ok(());
        }
        let (name, other) = (self.vocabulary.name(way), self.vocabulary.name(procedure));
        let message = if has {
            format!("`{name}` is of something, and `{other}` is not")
        } else {
            format!("`{other}` is of something, and `{name}` is not")
        };
        Err(Problem::at(Code::WrongClass, span, message, "not of the same things")
            .context(self.vocabulary.term(way).span, "declared here")
            .help("a procedure is carried out as others of the same part or sensor"))
    }
}

fn is_of_something(vocabulary: &Vocabulary, procedure: TermId) -> bool {
    matches!(vocabulary.term(procedure).detail, Detail::Procedure { of: true, .. })
}

/// Procedures that are carried out as each other, whatever cars and parts it is said of.
pub(super) fn check(vocabulary: &Vocabulary, facts: &[Fact], problems: &mut Vec<Problem>) {
    let mut ways: BTreeMap<TermId, Vec<(TermId, Span)>> = BTreeMap::new();
    for fact in facts {
        if let FactKind::CarriedOutAs { procedure, ways: as_which, .. } = &fact.kind {
            ways.entry(*procedure).or_default().extend(as_which.iter().map(|&way| (way, fact.span)));
        }
    }
    let mut told: BTreeSet<TermId> = BTreeSet::new();
    for &start in ways.keys() {
        let Some(circle) = circle(&ways, start) else { continue };
        if circle.iter().any(|(procedure, _)| told.contains(procedure)) {
            continue;
        }
        told.extend(circle.iter().map(|(procedure, _)| *procedure));
        let names: Vec<String> = std::iter::once(start)
            .chain(circle.iter().map(|(procedure, _)| *procedure))
            .map(|procedure| format!("`{}`", vocabulary.name(procedure)))
            .collect();
        let Some((&(_, first), rest)) = circle.split_first() else { continue };
        let message = format!("procedures are carried out as each other: {}", names.join(" as "));
        let mut problem = Problem::at(Code::CarriedOutCircle, first, message, "the circle begins here");
        for (_, span) in rest {
            problem = problem.context(*span, "and goes on here");
        }
        problems.push(problem.help("a general procedure is carried out as more special ones; take the line out that says it the wrong way round"));
    }
}

/// The shortest way back to where it began.
fn circle(ways: &BTreeMap<TermId, Vec<(TermId, Span)>>, start: TermId) -> Option<Vec<(TermId, Span)>> {
    let mut reached: Vec<(TermId, Span, Option<usize>)> =
        ways.get(&start)?.iter().map(|&(to, span)| (to, span, None)).collect();
    let mut at = 0;
    while let Some(&(here, _, _)) = reached.get(at) {
        if here == start {
            let mut circle = Vec::new();
            let mut next = Some(at);
            while let Some(&(procedure, span, before)) = next.and_then(|place| reached.get(place)) {
                circle.push((procedure, span));
                next = before;
            }
            circle.reverse();
            return Some(circle);
        }
        for &(to, span) in ways.get(&here).into_iter().flatten() {
            if !reached.iter().any(|(known, _, _)| *known == to) {
                reached.push((to, span, Some(at)));
            }
        }
        at += 1;
    }
    None
}
