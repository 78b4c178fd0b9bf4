//! What sources say of which of two texts prevails.

use knockon_text::Span;

use super::{Rank, Source, SourceId};

/// A clause of a source that puts it above or below others.
#[derive(Clone, Debug, PartialEq)]
pub struct Precedence {
    /// It prevails; else it defers.
    pub prevails: bool,
    /// Over, or to, whom.
    pub whom: Whom,
    /// Where it was written.
    pub span: Span,
}

/// Whom a source prevails over or defers to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Whom {
    /// One other source.
    Source(SourceId),
    /// Every text of this rank, of the same issuer where both name theirs.
    Rank(Rank, Option<Issued>),
}

/// When a text was issued, as seen from the source that speaks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Issued {
    /// Before it.
    Before,
    /// After it.
    After,
}

impl Precedence {
    /// As the language writes it.
    pub fn words(&self, sources: &[Source]) -> String {
        let does = if self.prevails { "prevails over" } else { "defers to" };
        match &self.whom {
            Whom::Source(id) => {
                format!("{does} {}", sources.get(id.0 as usize).map_or("", |source| source.name.as_str()))
            }
            Whom::Rank(rank, issued) => {
                let issued = match issued {
                    None => "",
                    Some(Issued::Before) => " issued before it",
                    Some(Issued::After) => " issued after it",
                };
                format!("{does} {}{issued}", rank.words())
            }
        }
    }
}

/// That one source prevails over another, by a clause of one of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Above {
    /// Who prevails.
    pub strong: SourceId,
    /// Over whom.
    pub weak: SourceId,
    /// Who says so.
    pub by: SourceId,
    /// Which of its clauses says so.
    pub clause: usize,
}

/// Everything sources say of which prevails, clause by clause.
pub fn said_order(sources: &[Source]) -> Vec<Above> {
    let mut out = Vec::new();
    for (index, source) in sources.iter().enumerate() {
        let by = SourceId(index as u32);
        for (clause, precedence) in source.order.iter().enumerate() {
            for (other_index, other) in sources.iter().enumerate() {
                let other_id = SourceId(other_index as u32);
                if other_id != by && speaks_of(source, precedence, other_id, other) {
                    let (strong, weak) = if precedence.prevails { (by, other_id) } else { (other_id, by) };
                    out.push(Above { strong, weak, by, clause });
                }
            }
        }
    }
    out
}

fn speaks_of(source: &Source, precedence: &Precedence, other_id: SourceId, other: &Source) -> bool {
    match &precedence.whom {
        Whom::Source(id) => *id == other_id,
        Whom::Rank(rank, issued) => {
            let one_house = match (&source.issuer, &other.issuer) {
                (Some(mine), Some(theirs)) => mine.to_lowercase() == theirs.to_lowercase(),
                _ => true,
            };
            // A text that was revised is of several days: before it, or after it, are all of them or none.
            let last = |source: &Source| source.revised.unwrap_or(source.issued);
            *rank == other.rank
                && one_house
                && match issued {
                    None => true,
                    Some(Issued::Before) => last(other) < source.issued,
                    Some(Issued::After) => last(source) < other.issued,
                }
        }
    }
}
