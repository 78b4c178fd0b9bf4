//! Resolving: a tree whose sentences are tokens becomes one whose sentences are terms.
//!
//! Every item is resolved on its own; one that cannot be is reported and left out whole.

mod carried_out_as;
mod carrying_out;
mod cases;
mod codes;
mod conclusion;
mod condition;
mod entries;
mod expect;
mod facts;
mod figures;
mod happenings;
mod instructions;
mod jobs;
mod known;
mod misses;
mod narrowing;
mod no_view;
mod own_words;
mod portions;
mod qualities;
mod readings;
mod reasons;
mod rules;
mod scopes;
pub mod sentence;
mod source_order;
mod sources;
mod subjects;
mod table_rows;
mod tables;
mod tests;
mod tied_circles;
mod values;
mod vehicle;

use std::collections::BTreeMap;

use knockon_syntax::tree::{Item, ItemKind, Range, Reference};
use knockon_text::suggest::nearest;
use knockon_text::{Code, Problem, Severity, Span};

use crate::declare::declare;
use crate::resolved::{Citation, Fact, FactKind, Resolved, RuleId, Scope, ScopeId, Source, SourceId, Use};
use crate::unread::Unread;
pub use crate::view::Text;
use crate::view::View;
use crate::vocabulary::Vocabulary;

/// Resolves all files of a load together.
pub fn resolve(texts: &[Text<'_>]) -> (Resolved, Vec<Problem>) {
    let mut problems = Vec::new();
    let mut vocabulary = Vocabulary::default();
    let mut unread = Unread::new(texts);
    let views: Vec<View<'_>> = texts.iter().map(|text| View::new(*text, &mut vocabulary)).collect();
    let ties = declare(&views, &mut vocabulary, &mut unread, &mut problems);
    let sources::Described { sources, names: source_names, scopes } =
        sources::sources(&views, &vocabulary, &mut unread, &mut problems);
    let facts = ties
        .into_iter()
        .map(|tie| Fact {
            scope: ScopeId::EVERY_CAR,
            kind: FactKind::Related { part: tie.part, relation: tie.relation, to: tie.to },
            instead: Vec::new(),
            per: None,
            declared: Some(tie.declared),
            span: tie.span,
        })
        .collect();
    let mut resolver = Resolver {
        vocabulary: &vocabulary,
        source_names: &source_names,
        sources: &sources,
        problems,
        scopes,
        facts,
        rules: Vec::new(),
        rule_names: BTreeMap::new(),
        tables: BTreeMap::new(),
        carrying_out: Vec::new(),
        unread: &unread,
        jobs: Vec::new(),
        job_names: BTreeMap::new(),
        tests: Vec::new(),
        test_names: BTreeMap::new(),
    };
    for view in &views {
        resolver.items(view, &view.source.parsed.file.items, ScopeId::EVERY_CAR);
    }
    resolver.check_rule_names();
    resolver.check_places();
    tied_circles::check(&vocabulary, &resolver.scopes, &resolver.facts, &mut resolver.problems);
    carried_out_as::check(&vocabulary, &resolver.facts, &mut resolver.problems);
    let Resolver { problems, scopes, facts, rules, carrying_out, jobs, tests, .. } = resolver;
    let uses = views.iter().flat_map(uses).collect();
    let resolved =
        Resolved { vocabulary, scopes, uses, sources, facts, rules, carrying_out, jobs, tests, digest: digest(texts) };
    let mut problems = problems;
    problems.retain(|problem| !unread.explains(problem, texts));
    problems.extend(crate::strata::check(&resolved));
    problems.sort_by_key(|problem| problem.main.as_ref().map(|label| (label.span.file, label.span.start)));
    (resolved, problems)
}

/// What has been resolved so far.
pub(crate) struct Resolver<'a> {
    pub vocabulary: &'a Vocabulary,
    pub source_names: &'a BTreeMap<String, SourceId>,
    pub sources: &'a [Source],
    pub problems: Vec<Problem>,
    pub scopes: Vec<Scope>,
    pub facts: Vec<Fact>,
    pub rules: Vec<crate::resolved::Rule>,
    pub rule_names: BTreeMap<String, RuleId>,
    tables: BTreeMap<String, tables::Table>,
    pub carrying_out: Vec<crate::resolved::CarryingOut>,
    pub unread: &'a Unread,
    pub jobs: Vec<crate::resolved::Job>,
    pub job_names: BTreeMap<String, Vec<Span>>,
    pub tests: Vec<crate::resolved::Test>,
    pub test_names: BTreeMap<String, Span>,
}

impl<'a> Resolver<'a> {
    fn items(&mut self, view: &'a View<'a>, items: &'a [Item], scope: ScopeId) {
        for item in items {
            match &item.kind {
                ItemKind::Scope(inner) => {
                    // A scope that cannot be read takes what it holds with it: its cars are not known.
                    if let Some(id) = self.scope(view, inner, scope) {
                        self.items(view, &inner.items, id);
                    }
                }
                ItemKind::Fact(fact) => self.fact(view, fact, item.range, scope),
                ItemKind::Rule(rule) => self.rule_or_rows(view, rule, item.range, scope),
                ItemKind::CarryingOut(carrying_out) => self.carrying_out(view, carrying_out, item.range, scope),
                ItemKind::Job(job) => self.job(view, job, item.range),
                ItemKind::Test(test) => self.test(view, test, item.range),
                ItemKind::Use(token) if scope != ScopeId::EVERY_CAR => self.problems.push(
                    Problem::at(
                        Code::UnexpectedWord,
                        view.span_of(*token),
                        "a `use` inside a scope",
                        "a file is used for the whole of another, never for some cars only",
                    )
                    .help("move the line to the beginning of the file; scopes inside the used file say for which cars it holds"),
                ),
                ItemKind::Use(_) | ItemKind::Declaration(_) | ItemKind::Source(_) | ItemKind::Broken => {}
            }
        }
    }

    /// Whether anything since `before` problems is an error; a warning leaves its item in use.
    fn has_erred(&self, before: usize) -> bool {
        self.problems.iter().skip(before).any(|problem| problem.severity() == Severity::Error)
    }

    /// Two of one name, told at the one that says it again.
    fn named_again(&mut self, code: Code, message: String, first: Span, second: Span, help: &str) {
        // Where one file uses the other, it is the one that uses it that says the name again.
        let used = first.file != second.file && self.vocabulary.sees(first.file, second.file);
        let (again, before) = if used { (first, second) } else { (second, first) };
        self.problems
            .push(Problem::at(code, again, message, "named again here").context(before, "named first here").help(help));
    }

    /// `SOURCE [of DATE] [section "..."]`.
    fn citation(&mut self, view: &View<'_>, reference: &Reference) -> Option<Citation> {
        let source = self.source_named(view, reference.source)?;
        let of = match reference.of.map(|token| crate::quantity::date_of(view, token)) {
            Some(Ok(date)) => Some(date),
            Some(Err(problem)) => {
                self.problems.push(problem);
                return None;
            }
            None => None,
        };
        if let (Some(of), Some(found)) = (of, self.sources.get(source.0 as usize)) {
            let latest = found.revised.unwrap_or(found.issued);
            if of != latest && of != found.issued {
                self.problems.push(
                    Problem::at(
                        Code::PlaceMismatch,
                        view.span_of(reference.of.unwrap_or(reference.source.first)),
                        format!("`{}` has no revision of {of}", found.name),
                        format!("the revision described is of {latest}"),
                    )
                    .context(found.span, "described here")
                    .help("cite the revision that was read, and describe that one"),
                );
            }
        }
        let last = reference.section.or(reference.of).map_or(reference.source.end, |token| token + 1);
        let citation = Citation {
            source,
            of,
            section: reference.section.map(|token| view.quoted(token)),
            span: view.span(Range { first: reference.source.first, end: last }),
        };
        self.check_section(&citation);
        Some(citation)
    }

    fn source_named(&mut self, view: &View<'_>, range: Range) -> Option<SourceId> {
        let name = view.name(range);
        let found = self.source_names.get(&name.to_lowercase()).copied();
        if found.is_none() {
            self.problems.push(unknown_source(view, range, self.sources));
        }
        found
    }
}

/// The `use` lines of a file.
fn uses(view: &View<'_>) -> Vec<Use> {
    let items = view.source.parsed.file.items.iter();
    items
        .filter_map(|item| match item.kind {
            ItemKind::Use(token) => Some(Use { name: view.quoted(token), span: view.span_of(token) }),
            _ => None,
        })
        .collect()
}

/// A source that is named but not described.
pub(crate) fn unknown_source(view: &View<'_>, range: Range, sources: &[Source]) -> Problem {
    let name = view.name(range);
    let near: Vec<String> = nearest(&name, sources.iter().map(|source| source.name.as_str()))
        .into_iter()
        .map(|name| format!("`{name}`"))
        .collect();
    let label =
        if near.is_empty() { "not described".to_string() } else { format!("did you mean {}?", near.join(" or ")) };
    Problem::at(Code::UnknownSource, view.span(range), format!("the source `{name}` is described nowhere"), label)
        .help(format!(
            "describe it in `source {name}`, with its rank and date of issue, or name the file that does in a line `use \"...\"`"
        ))
}

/// The sum over all items but jobs and tests of the FNV-1a hash of their words: layout, comments and order are nothing.
fn digest(texts: &[Text<'_>]) -> u64 {
    fn walk(text: &Text<'_>, items: &[Item], scope: u64, sum: &mut u64) {
        for item in items {
            match &item.kind {
                ItemKind::Scope(inner) => walk(text, &inner.items, hash(text, inner.cars, scope), sum),
                ItemKind::Job(_) | ItemKind::Test(_) | ItemKind::Use(_) => {}
                _ => *sum = sum.wrapping_add(hash(text, item.range, scope)),
            }
        }
    }
    fn hash(text: &Text<'_>, range: Range, seed: u64) -> u64 {
        let mut hash = seed ^ 0xcbf2_9ce4_8422_2325;
        for token in range.first..range.end {
            for byte in text.parsed.tokens.text(text.text, token).bytes().chain([0]) {
                hash = (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
            }
        }
        hash
    }
    let mut sum = 0;
    for text in texts {
        walk(text, &text.parsed.file.items, 0, &mut sum);
    }
    sum
}
