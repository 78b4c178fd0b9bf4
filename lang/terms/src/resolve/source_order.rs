//! Which of two texts prevails, as they say it: `prevails over workshop text issued before it`, `defers to VEL-WM-7`.

use knockon_syntax::tree::{Range, SourceClause};
use knockon_text::{Code, Problem};

use super::sources::{Described, rank_named};
use super::unknown_source;
use crate::resolved::{Above, Issued, Precedence, Rank, Source, SourceId, Whom, said_order};
use crate::view::View;
use crate::words::known;

impl Described {
    /// Reads a clause that says which of two texts prevails; every other clause is read elsewhere.
    pub(super) fn says_which_prevails(
        &mut self,
        id: SourceId,
        view: &View<'_>,
        clause: &SourceClause,
        problems: &mut Vec<Problem>,
    ) {
        let (ranges, prevails) = match clause {
            SourceClause::PrevailsOver(ranges) => (ranges, true),
            SourceClause::DefersTo(ranges) => (ranges, false),
            _ => return,
        };
        for &range in ranges {
            match self.whom(view, range) {
                Ok(whom) => {
                    let precedence = Precedence { prevails, whom, span: view.span(range) };
                    if let Some(problem) = self.out_of_its_place(id, &precedence) {
                        problems.push(problem);
                    } else if let Some(source) = self.sources.get_mut(id.0 as usize) {
                        source.order.push(precedence);
                    }
                }
                Err(problem) => problems.push(problem),
            }
        }
    }

    fn whom(&self, view: &View<'_>, range: Range) -> Result<Whom, Problem> {
        if let Some(&source) = self.names.get(&view.name(range).to_lowercase()) {
            return Ok(Whom::Source(source));
        }
        let words = view.words_of(range);
        let (rank, rest) = words.split_at(words.len().min(2));
        let issued = match rest {
            [] => Some(None),
            [known::ISSUED, known::BEFORE, known::IT] => Some(Some(Issued::Before)),
            [known::ISSUED, known::AFTER, known::IT] => Some(Some(Issued::After)),
            _ => None,
        };
        match (rank_named(rank), issued) {
            (Some(rank), Some(issued)) => Ok(Whom::Rank(rank, issued)),
            (Some(rank), None) => {
                let rest = Range { first: range.first + 2, ..range };
                Err(Problem::at(
                    Code::UnexpectedWord,
                    view.span(rest),
                    format!("`{}` says nothing of when a text was issued", view.name(rest)),
                    "expected `issued before it` or `issued after it`",
                )
                .help(format!("write `{} issued before it`, or leave it out for all of them", rank.words())))
            }
            (None, _) => Err(unknown_source(view, range, &self.sources).help(
                "after `prevails over` and `defers to` stands a source, or a rank: maker statement, workshop text, common practice, shop policy",
            )),
        }
    }

    /// Practice and policy cannot put themselves above what a maker says.
    fn out_of_its_place(&self, id: SourceId, precedence: &Precedence) -> Option<Problem> {
        let source = self.sources.get(id.0 as usize)?;
        if precedence.whom == Whom::Source(id) {
            return Some(
                Problem::at(
                    Code::OrderCircle,
                    precedence.span,
                    format!("the source `{}` names itself", source.name),
                    "its own name",
                )
                .help("name the other text, or take the line out"),
            );
        }
        let of = match &precedence.whom {
            Whom::Rank(rank, _) => *rank,
            Whom::Source(other) => self.sources.get(other.0 as usize)?.rank,
        };
        let above = match (source.rank, of) {
            (Rank::CommonPractice, of) => of.is_makers(),
            (Rank::ShopPolicy, of) => of != Rank::ShopPolicy,
            _ => false,
        };
        (precedence.prevails && above).then(|| {
            Problem::at(
                Code::PrevailsOverMaker,
                precedence.span,
                format!("`{}` is {} and cannot prevail over a {}", source.name, source.rank.words(), of.words()),
                "its word cannot weigh more",
            )
            .context(source.span, "described here")
            .help("what a shop adds stands beside what others say, and is never taken away by them; it takes nothing away itself: take the line out")
        })
    }
}

/// Texts that prevail over each other in a circle.
pub(super) fn check(sources: &[Source], problems: &mut Vec<Problem>) {
    let order = said_order(sources);
    let mut told: Vec<SourceId> = Vec::new();
    for first in &order {
        if told.contains(&first.strong) {
            continue;
        }
        if let Some(path) = way(&order, first.weak, first.strong) {
            let circle: Vec<&Above> = std::iter::once(first).chain(path).collect();
            told.extend(circle.iter().map(|above| above.strong));
            problems.extend(draw(sources, &circle));
        }
    }
}

/// The shortest way from a source down to another.
fn way(order: &[Above], from: SourceId, to: SourceId) -> Option<Vec<&Above>> {
    let mut reached: Vec<(SourceId, Option<(usize, &Above)>)> = vec![(from, None)];
    let mut at = 0;
    while let Some(&(here, _)) = reached.get(at) {
        if here == to {
            let mut path = Vec::new();
            let mut next = at;
            while let Some(&(_, Some((before, above)))) = reached.get(next) {
                path.push(above);
                next = before;
            }
            path.reverse();
            return Some(path);
        }
        for above in order.iter().filter(|above| above.strong == here) {
            if !reached.iter().any(|(known, _)| *known == above.weak) {
                reached.push((above.weak, Some((at, above))));
            }
        }
        at += 1;
    }
    None
}

fn draw(sources: &[Source], circle: &[&Above]) -> Option<Problem> {
    let name = |id: SourceId| sources.get(id.0 as usize).map_or("", |source| source.name.as_str());
    let said = |above: &Above| sources.get(above.by.0 as usize).and_then(|source| source.order.get(above.clause));
    let (first, rest) = circle.split_first()?;
    let names: Vec<&str> = circle.iter().map(|above| name(above.strong)).chain([name(first.strong)]).collect();
    let label = |above: &Above| format!("so {} prevails over {}", name(above.strong), name(above.weak));
    let mut problem = Problem::at(
        Code::OrderCircle,
        said(first)?.span,
        format!("texts prevail over each other in a circle: {}", names.join(" -> ")),
        label(first),
    );
    for above in rest {
        problem = problem.context(said(above)?.span, label(above));
    }
    Some(problem.help("look at what the documents say; where they really contradict each other, take the lines out, and what they disagree on is shown as a conflict"))
}
