//! What a source says it takes no view on: `takes no view on "wiper blades", front radar`.

use knockon_syntax::Tok;
use knockon_syntax::tree::{Range, SourceClause};
use knockon_text::{Code, Problem};

use super::sources::Described;
use crate::resolved::SourceId;
use crate::unknown;
use crate::view::{Cursor, View};
use crate::vocabulary::{Class, TermId, Vocabulary};

impl Described {
    /// Reads what a source takes no view on; every other clause is read elsewhere.
    pub(super) fn takes_no_view(
        &mut self,
        id: SourceId,
        view: &View<'_>,
        vocabulary: &Vocabulary,
        clause: &SourceClause,
        problems: &mut Vec<Problem>,
    ) {
        let SourceClause::TakesNoViewOn(ranges) = clause else { return };
        for &range in ranges {
            match what(view, vocabulary, range) {
                Ok(terms) => {
                    if let Some(source) = self.sources.get_mut(id.0 as usize) {
                        source.no_view.extend(terms);
                    }
                }
                Err(problem) => problems.push(problem),
            }
        }
    }
}

fn is_viewed(class: Class) -> bool {
    class.is_part() || matches!(class, Class::System | Class::Procedure)
}

/// The parts, sensors, systems or procedures that a name, or the words of the document in quotes, stand for.
fn what(view: &View<'_>, vocabulary: &Vocabulary, range: Range) -> Result<Vec<TermId>, Problem> {
    if view.kind(range.first) != Some(Tok::Text) {
        let mut cursor = Cursor::new(view, vocabulary, range);
        return match cursor.take_term(is_viewed) {
            Some((term, _)) if cursor.is_done() => Ok(vocabulary.members(term)),
            _ => {
                let run = unknown::run_at(view, range.first, range.end);
                let wanted = "a part, sensor, system or procedure";
                Err(unknown::phrase(view, vocabulary, run, wanted, &|_, class| is_viewed(class)))
            }
        };
    }
    let words = view.quoted(range.first).split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    let file = view.source.file;
    let found: Vec<TermId> = vocabulary
        .iter()
        .filter(|(_, term)| is_viewed(term.class) && vocabulary.sees(file, term.span.file))
        .filter(|(id, term)| {
            vocabulary.name(*id).to_lowercase() == words
                || term.aliases.iter().any(|alias| alias.to_lowercase() == words)
        })
        .flat_map(|(id, _)| vocabulary.members(id))
        .collect();
    if found.is_empty() {
        return Err(Problem::at(
            Code::UnknownPhrase,
            view.span(range),
            format!("no part, sensor, system or procedure is written {}", view.text(range.first)),
            "nobody declared it",
        )
        .help("declare it, with `also written \"...\"` for the document's own words; else no answer could show it"));
    }
    Ok(found)
}
