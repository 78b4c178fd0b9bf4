//! What a source says of another: `replaces VEL-PS-18 section "4" for cars equipped with corner radar`.

use knockon_syntax::tree::{self, Range, SourceClause};
use knockon_text::{Code, Problem};

use super::sources::Described;
use super::{Resolver, scopes, unknown_source};
use crate::resolved::{Citation, Portion, Scope, ScopeId, Sections, Source, SourceId};
use crate::unknown;
use crate::view::{Cursor, View};
use crate::vocabulary::Vocabulary;
use crate::words::known;

impl Described {
    /// Reads a clause that names another source; every other clause is read already.
    pub(super) fn names_another(
        &mut self,
        id: SourceId,
        view: &View<'_>,
        vocabulary: &Vocabulary,
        clause: &SourceClause,
        problems: &mut Vec<Problem>,
    ) {
        let (SourceClause::Replaces(written) | SourceClause::CarriesOver(written)) = clause else { return };
        let portion = match self.portion(view, vocabulary, written) {
            Ok(portion) => portion,
            Err(problem) => return problems.push(problem),
        };
        if let Some(source) = self.sources.get_mut(id.0 as usize) {
            match clause {
                SourceClause::CarriesOver(_) => source.carries_over.push(portion),
                _ => source.replaces.push(portion),
            }
        }
    }

    fn portion(
        &mut self,
        view: &View<'_>,
        vocabulary: &Vocabulary,
        written: &tree::Portion,
    ) -> Result<Portion, Problem> {
        let sections: Vec<String> = written.sections.iter().map(|&token| view.quoted(token)).collect();
        let end = written.rest.end.max(written.source.end);
        let (name, cars) = if sections.is_empty() {
            let (name, cars) = self.name_and_cars(view, Range { end, ..written.source });
            (name, cars)
        } else {
            (written.source, written.rest)
        };
        let Some(&source) = self.names.get(&view.name(name).to_lowercase()) else {
            return Err(unknown_source(view, name, &self.sources));
        };
        let sections = match (sections.is_empty(), written.except) {
            (true, _) => Sections::All,
            (false, true) => Sections::Except(sections),
            (false, false) => Sections::Only(sections),
        };
        let cars = if cars.is_empty() { None } else { Some(self.for_cars(view, vocabulary, cars)?) };
        Ok(Portion { source, sections, cars, span: view.span(Range { end, ..written.source }) })
    }

    /// Where the name of a source ends and `for CARS` begins: a name may hold `for` itself, so the longest that is one.
    fn name_and_cars(&self, view: &View<'_>, range: Range) -> (Range, Range) {
        let is_for = |token: &u32| view.words.get(*token as usize) == Some(&known::FOR);
        let ends: Vec<u32> = (range.first + 1..range.end).filter(is_for).collect();
        let longest = std::iter::once(range.end)
            .chain(ends.iter().rev().copied())
            .find(|&end| self.names.contains_key(&view.name(Range { end, ..range }).to_lowercase()));
        let end = longest.or(ends.first().copied()).unwrap_or(range.end);
        (Range { end, ..range }, Range { first: end, ..range })
    }

    fn for_cars(&mut self, view: &View<'_>, vocabulary: &Vocabulary, range: Range) -> Result<ScopeId, Problem> {
        let mut cursor = Cursor::new(view, vocabulary, range);
        if !cursor.take(known::FOR) {
            return Err(Problem::at(
                Code::UnexpectedWord,
                view.span(unknown::run_at(view, cursor.at, cursor.end)),
                format!("`{}` cannot stand here", view.text(range.first)),
                "expected `for` and the cars, or the next clause of the source",
            )
            .help("write `replaces VEL-PS-18 section \"4\" for cars equipped with corner radar`"));
        }
        // `for cars equipped with corner radar`: of whichever maker.
        cursor.take(known::CARS);
        let mut scope: Scope = scopes::cars(&mut cursor, ScopeId::EVERY_CAR)?;
        scope.span = Some(view.span(range));
        let id = ScopeId(self.scopes.len() as u32);
        self.scopes.push(scope);
        Ok(id)
    }
}

/// Texts that carry over what they replace: one of the two would be lost.
pub(super) fn check(sources: &[Source], problems: &mut Vec<Problem>) {
    for source in sources {
        for carried in &source.carries_over {
            let Some(other) = sources.get(carried.source.0 as usize) else { continue };
            if other.issued > source.issued {
                problems.push(
                    Problem::at(
                        Code::DatesOutOfOrder,
                        carried.span,
                        format!("`{}` carries over a text that was issued after it", source.name),
                        format!("issued on {}", other.issued),
                    )
                    .context(source.span, format!("issued on {}", source.issued))
                    .help("one of the two dates is wrong, or the later text carries over the earlier"),
                );
            }
            let clash = source
                .replaces
                .iter()
                .find(|replaced| replaced.source == carried.source && !leaves_something(replaced, carried));
            if let Some(replaced) = clash {
                problems.push(
                    Problem::at(
                        Code::CarriedAndReplaced,
                        carried.span,
                        format!("`{}` carries over what it replaces of `{}`", source.name, other.name),
                        "carried over here",
                    )
                    .context(replaced.span, "replaced here")
                    .help("say what is left: `replaces X` with `carries over X except section \"3\"`, or `carries over X` with `replaces X section \"3\"`"),
                );
            }
        }
    }
}

/// Whether a portion that is carried over and one that is replaced leave each other something.
fn leaves_something(replaced: &Portion, carried: &Portion) -> bool {
    match (replaced.singles_out(), carried.singles_out()) {
        // What is singled out is an exception to what is said of the whole.
        (true, false) | (false, true) => true,
        (false, false) => match (&replaced.sections, &carried.sections) {
            (Sections::All, Sections::Except(_)) => true,
            (Sections::Except(replaced), Sections::Except(carried)) => replaced != carried,
            _ => false,
        },
        (true, true) => match (&replaced.sections, &carried.sections) {
            (Sections::Only(replaced), Sections::Only(carried)) => {
                !replaced.iter().any(|section| carried.contains(section))
            }
            _ => replaced.cars != carried.cars,
        },
    }
}

impl Resolver<'_> {
    /// Where only a part of a text holds, a citation must say which part it means.
    pub(super) fn check_section(&mut self, citation: &Citation) {
        if citation.section.is_some() {
            return;
        }
        let parts = self.sources.iter().flat_map(|source| source.replaces.iter().chain(&source.carries_over));
        let Some(part) =
            parts.into_iter().find(|part| part.source == citation.source && part.sections != Sections::All)
        else {
            return;
        };
        let name = self.sources.get(citation.source.0 as usize).map_or("", |source| source.name.as_str());
        self.problems.push(
            Problem::at(
                Code::SectionMissing,
                citation.span,
                format!("no section of `{name}` is named, and only a part of it holds"),
                "which section?",
            )
            .context(part.span, "a part of it is replaced or carried over here")
            .help("write the section after the source, as in `cites VEL-PS-18 section \"4\"`"),
        );
    }
}
