//! Documents: rank, dates, what they replace, how far they may be trusted.

use std::collections::BTreeMap;

use knockon_measure::Date;
use knockon_syntax::tree::{self, Item, ItemKind, Range, SourceClause};
use knockon_text::{Code, Problem};

use super::{portions, source_order};
use crate::quantity::date_of;
use crate::resolved::{Rank, Scope, Source, SourceId};
use crate::unread::Unread;
use crate::view::View;
use crate::vocabulary::Vocabulary;
use crate::words::{WordId, known};

/// All sources of all files.
pub struct Described {
    /// The sources.
    pub sources: Vec<Source>,
    /// Their names, without capitals.
    pub names: BTreeMap<String, SourceId>,
    /// The scope of every car, and those that clauses of sources name.
    pub scopes: Vec<Scope>,
}

/// Reads all sources of all files.
pub fn sources(
    views: &[View<'_>],
    vocabulary: &Vocabulary,
    unread: &mut Unread,
    problems: &mut Vec<Problem>,
) -> Described {
    let mut found: Vec<(&View<'_>, &tree::Source, Range)> = Vec::new();
    for view in views {
        collect(view, &view.source.parsed.file.items, &mut found);
    }
    // What a file uses comes before it, so that a second description is told to the one who wrote it.
    found.sort_by_key(|(view, _, _)| view.source.sees.len());
    let mut sources: Vec<Source> = Vec::new();
    let mut names: BTreeMap<String, SourceId> = BTreeMap::new();
    let mut others: Vec<(SourceId, &View<'_>, &SourceClause)> = Vec::new();
    for (view, source, range) in found {
        let before = problems.len();
        described_twice(view, source, problems);
        let name = view.name(source.name);
        if problems.len() > before {
            unread.add(&name);
            continue;
        }
        let key = name.to_lowercase();
        if let Some(first) = names.get(&key).and_then(|id| sources.get(id.0 as usize)) {
            problems.push(
                Problem::at(
                    Code::DeclaredTwice,
                    view.span(source.name),
                    format!("the source `{name}` is described twice"),
                    "described again here",
                )
                .context(first.span, "described first here")
                .help(
                    "keep one description; a later revision is `revised DATE` in it, another document has another name",
                ),
            );
            continue;
        }
        let id = SourceId(sources.len() as u32);
        let Some(described) = describe(view, vocabulary, source, range, problems) else {
            unread.add(&name);
            continue;
        };
        others.extend(source.clauses.iter().map(|clause| (id, view, clause)));
        names.insert(key, id);
        sources.push(described);
    }
    let mut described = Described { sources, names, scopes: vec![Scope::default()] };
    for (id, view, clause) in others {
        described.names_another(id, view, vocabulary, clause, problems);
        described.takes_no_view(id, view, vocabulary, clause, problems);
        described.defines(id, view, vocabulary, clause, problems);
        described.says_which_prevails(id, view, clause, problems);
    }
    circles(&described.sources, problems);
    portions::check(&described.sources, problems);
    source_order::check(&described.sources, problems);
    described
}

fn collect<'v, 'a>(view: &'v View<'a>, items: &'a [Item], out: &mut Vec<(&'v View<'a>, &'a tree::Source, Range)>) {
    for item in items {
        match &item.kind {
            ItemKind::Source(source) => out.push((view, source, item.range)),
            ItemKind::Scope(scope) => collect(view, &scope.items, out),
            _ => {}
        }
    }
}

fn describe(
    view: &View<'_>,
    vocabulary: &Vocabulary,
    source: &tree::Source,
    range: Range,
    problems: &mut Vec<Problem>,
) -> Option<Source> {
    let before = problems.len();
    let (mut title, mut issuer, mut rank, mut review) = (None, None, None, None);
    type Day = Option<(Date, u32)>;
    let (mut issued, mut revised, mut in_force, mut checked): (Day, Day, Day, Day) = (None, None, None, None);
    let (mut read_in_part, mut read_from, mut borrowed_from) = (false, None, None);
    let (mut encoded_by, mut second_reading) = (None, None);
    let day = |token: u32, problems: &mut Vec<Problem>| match date_of(view, token) {
        Ok(date) => Some((date, token)),
        Err(problem) => {
            problems.push(problem);
            None
        }
    };
    for clause in &source.clauses {
        match clause {
            SourceClause::Title(token) => title = Some(view.quoted(*token)),
            SourceClause::Issuer(range) => issuer = Some(view.name(*range)),
            SourceClause::Rank(range) => rank = rank_of(view, *range, problems),
            SourceClause::Issued(token) => issued = day(*token, problems),
            SourceClause::Revised(token) => revised = day(*token, problems),
            SourceClause::InForceFrom(token) => in_force = day(*token, problems),
            SourceClause::Replaces(_)
            | SourceClause::CarriesOver(_)
            | SourceClause::PrevailsOver(_)
            | SourceClause::DefersTo(_)
            | SourceClause::TakesNoViewOn(_)
            | SourceClause::InIt { .. } => {}
            SourceClause::Review { every, checked: day_checked } => {
                checked = day_checked.and_then(|token| day(token, problems));
                let date = checked.map(|(date, _)| date);
                review = months(view, vocabulary, *every, problems).map(|months| (months, date));
            }
            SourceClause::ReadInPart(_) => read_in_part = true,
            SourceClause::ReadFrom(token) => read_from = Some(view.quoted(*token)),
            SourceClause::BorrowedFrom(range) => borrowed_from = Some(view.name(*range)),
            SourceClause::EncodedBy { by, second } => {
                encoded_by = Some(view.quoted(*by));
                second_reading = second.map(|token| view.quoted(token));
            }
        }
    }
    let span = view.span(source.name);
    let name = view.name(source.name);
    for (missing, what, example) in [
        (
            rank.is_none(),
            "rank",
            "rank maker statement` says how much weight it has; the others are workshop text, common practice, shop policy",
        ),
        (issued.is_none(), "date of issue", "issued 2024-03-01` says since when it counts; read it off the document"),
    ] {
        if missing && problems.len() == before {
            problems.push(
                Problem::at(
                    Code::SourceIncomplete,
                    span,
                    format!("the source `{name}` has no {what}"),
                    format!("its {what} is missing"),
                )
                .help(format!("a line such as `{example}")),
            );
        }
    }
    if problems.len() > before {
        return None;
    }
    let ((issued, issued_at), rank) = (issued?, rank?);
    for (later, what) in [(revised, "was revised"), (in_force, "is in force"), (checked, "was checked")] {
        if let Some((date, token)) = later
            && date < issued
        {
            problems.push(
                Problem::at(
                    Code::DatesOutOfOrder,
                    view.span_of(token),
                    format!("`{name}` {what} before it was issued"),
                    format!("{date} is before {issued}"),
                )
                .context(view.span_of(issued_at), "issued here")
                .help("one of the two dates is wrong; look at the document"),
            );
            return None;
        }
    }
    let revised = revised.map(|(date, _)| date);
    let _ = range;
    Some(Source {
        name,
        span,
        title,
        issuer,
        rank,
        issued,
        revised,
        in_force: in_force.map(|(date, _)| date).or(revised).unwrap_or(issued),
        replaces: Vec::new(),
        carries_over: Vec::new(),
        no_view: Vec::new(),
        own_words: Vec::new(),
        order: Vec::new(),
        review,
        read_in_part,
        read_from,
        borrowed_from,
        encoded_by,
        second_reading,
    })
}

/// A line of a source that stands twice: one of the two would be lost.
fn described_twice(view: &View<'_>, source: &tree::Source, problems: &mut Vec<Problem>) {
    let mut seen: Vec<&str> = Vec::new();
    for clause in &source.clauses {
        let (word, place) = match clause {
            SourceClause::Title(token) => ("title", view.span_of(*token)),
            SourceClause::Issuer(range) => ("issuer", view.span(*range)),
            SourceClause::Rank(range) => ("rank", view.span(*range)),
            SourceClause::Issued(token) => ("issued", view.span_of(*token)),
            SourceClause::Revised(token) => ("revised", view.span_of(*token)),
            SourceClause::InForceFrom(token) => ("in force from", view.span_of(*token)),
            SourceClause::Review { every, .. } => ("review every", view.span(*every)),
            SourceClause::EncodedBy { by, .. } => ("encoded by", view.span_of(*by)),
            _ => continue,
        };
        if seen.contains(&word) {
            problems.push(
                Problem::at(
                    Code::UnexpectedWord,
                    place,
                    format!("a second `{word}` in one source"),
                    format!("which `{word}` holds?"),
                )
                .help("keep the one the document prints; another edition of it is `revised DATE`"),
            );
        }
        seen.push(word);
    }
}

/// The rank these words name.
pub(super) fn rank_named(words: &[WordId]) -> Option<Rank> {
    let ranks = [
        ([known::MAKER, known::STATEMENT], Rank::MakerStatement),
        ([known::WORKSHOP, known::TEXT], Rank::WorkshopText),
        ([known::COMMON, known::PRACTICE], Rank::CommonPractice),
        ([known::SHOP, known::POLICY], Rank::ShopPolicy),
    ];
    ranks.iter().find(|(rank, _)| words == rank).map(|(_, rank)| *rank)
}

fn rank_of(view: &View<'_>, range: Range, problems: &mut Vec<Problem>) -> Option<Rank> {
    let found = rank_named(view.words_of(range));
    if found.is_none() {
        problems.push(
            Problem::at(
                Code::SourceIncomplete,
                view.span(range),
                format!("`{}` is no rank", view.name(range)),
                "unknown rank",
            )
            .help("a rank is one of: maker statement, workshop text, common practice, shop policy"),
        );
    }
    found
}

fn months(view: &View<'_>, _vocabulary: &Vocabulary, range: Range, problems: &mut Vec<Problem>) -> Option<u32> {
    let number = view.text(range.first).parse::<u32>().ok().filter(|&months| months > 0 && months <= 600);
    let is_months = view.words_of(range).get(1) == Some(&known::MONTHS) && range.len() == 2;
    match number {
        Some(months) if is_months => Some(months),
        _ => {
            problems.push(
                Problem::at(
                    Code::SourceIncomplete,
                    view.span(range),
                    format!("`{}` is no review interval", view.name(range)),
                    "expected a number of months",
                )
                .help("write `review every 12 months, checked 2026-01-20`"),
            );
            None
        }
    }
}

/// Sources that replace each other, or carry each other over, in a circle: none of them could be said to hold.
fn circles(sources: &[Source], problems: &mut Vec<Problem>) {
    let next = |id: SourceId| {
        sources
            .get(id.0 as usize)
            .into_iter()
            .flat_map(|source| source.replaces.iter().chain(&source.carries_over).map(|portion| portion.source))
    };
    for (index, source) in sources.iter().enumerate() {
        let start = SourceId(index as u32);
        let mut path = vec![start];
        let mut seen = std::collections::BTreeSet::new();
        let mut open: Vec<(SourceId, usize)> = next(start).map(|id| (id, 1)).collect();
        while let Some((id, depth)) = open.pop() {
            path.truncate(depth);
            if id == start {
                // Reported once, at the source that comes first.
                if path.iter().all(|&id| id >= start) {
                    problems.push(draw_circle(sources, source, &path));
                }
                break;
            }
            if seen.insert(id) {
                path.push(id);
                open.extend(next(id).map(|next| (next, depth + 1)));
            }
        }
    }
}

fn draw_circle(sources: &[Source], first: &Source, path: &[SourceId]) -> Problem {
    let others: Vec<&Source> = path.iter().skip(1).filter_map(|id| sources.get(id.0 as usize)).collect();
    if others.is_empty() {
        let carries = !first.replaces.iter().any(|portion| sources.get(portion.source.0 as usize) == Some(first));
        let (does, word) =
            if carries { ("carries itself over", "carries over") } else { ("replaces itself", "replaces") };
        let message = format!("the source `{}` says that it {does}", first.name);
        return Problem::at(
            Code::ReplacementCircle,
            first.span,
            message,
            format!("its own name stands after `{word}`"),
        )
        .help("name the older text, or take the line out");
    }
    let names: Vec<&str> =
        std::iter::once(first).chain(others.iter().copied()).chain([first]).map(|one| one.name.as_str()).collect();
    let mut problem = Problem::at(
        Code::ReplacementCircle,
        first.span,
        if path.iter().any(|&id| carries(sources, id, path)) {
            format!("sources replace each other, or carry each other over, in a circle: {}", names.join(" -> "))
        } else {
            format!("sources replace each other in a circle: {}", names.join(" -> "))
        },
        "the circle begins here",
    );
    for other in others {
        problem = problem.context(other.span, "goes on here");
    }
    problem.help("a later text replaces an earlier one: take out the `replaces` that goes the other way")
}

/// Whether a source of a circle carries another of it over.
fn carries(sources: &[Source], id: SourceId, circle: &[SourceId]) -> bool {
    sources
        .get(id.0 as usize)
        .is_some_and(|source| source.carries_over.iter().any(|portion| circle.contains(&portion.source)))
}
