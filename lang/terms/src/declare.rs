//! Declarations: from their items in the tree to terms of the vocabulary and the facts said with them.

use knockon_measure::{Unit, unit};
use knockon_syntax::Tok;
use knockon_syntax::tree::{self, DeclarationClause, Item, ItemKind, Range};
use knockon_text::{Code, Problem, Span};

use crate::phrases::Role;
use crate::view::{Cursor, Text, View};
use crate::vocabulary::{Class, Detail, Happening, Term, TermId, Vocabulary};
use crate::words::known;

/// A tie said in a declaration: this part, this relation, that term.
#[derive(Clone, Debug, PartialEq)]
pub struct DeclaredTie {
    /// The part tied.
    pub part: TermId,
    /// How.
    pub relation: TermId,
    /// To what.
    pub to: TermId,
    /// Where.
    pub span: Span,
}

/// Declares every term of all files; gives the ties said on the way.
pub fn declare(texts: &[Text<'_>], vocabulary: &mut Vocabulary, problems: &mut Vec<Problem>) -> Vec<DeclaredTie> {
    let mut maker = Declarer { vocabulary, problems, ties: Vec::new() };
    for text in texts {
        let mut sees = vec![false; texts.iter().map(|text| text.file.0 as usize + 1).max().unwrap_or(0)];
        for file in text.sees {
            if let Some(place) = sees.get_mut(file.0 as usize) {
                *place = true;
            }
        }
        maker.vocabulary.set_sees(text.file, sees);
    }
    // Relations first: their names may hold connecting words, and they end the names of other terms.
    let all: Vec<(&Text<'_>, &Item, &tree::Declaration)> = texts.iter().flat_map(declarations).collect();
    for (text, item, declaration) in &all {
        if declaration.class == tree::Class::Relation {
            let view = View::new(**text, maker.vocabulary);
            maker.relation(&view, item, declaration);
        }
    }
    // Then names, so that clauses may use terms declared further down or in other files.
    let mut declared = Vec::with_capacity(all.len());
    let views: Vec<View<'_>> = texts.iter().map(|text| View::new(*text, maker.vocabulary)).collect();
    for (text, item, declaration) in &all {
        let view = views.iter().find(|view| view.source.file == text.file);
        declared.push(view.and_then(|view| maker.name(view, item, declaration)));
    }
    let views: Vec<View<'_>> = texts.iter().map(|text| View::new(*text, maker.vocabulary)).collect();
    for ((text, _, declaration), head) in all.iter().zip(&declared) {
        let Some(head) = head else { continue };
        let Some(view) = views.iter().find(|view| view.source.file == text.file) else {
            continue;
        };
        maker.clauses(view, declaration, head);
    }
    maker.close_counts_as();
    maker.check_names();
    maker.ties
}

fn declarations<'a>(text: &'a Text<'a>) -> Vec<(&'a Text<'a>, &'a Item, &'a tree::Declaration)> {
    fn walk<'a>(text: &'a Text<'a>, items: &'a [Item], out: &mut Vec<(&'a Text<'a>, &'a Item, &'a tree::Declaration)>) {
        for item in items {
            match &item.kind {
                ItemKind::Declaration(declaration) => out.push((text, item, declaration)),
                ItemKind::Scope(scope) => walk(text, &scope.items, out),
                _ => {}
            }
        }
    }
    let mut out = Vec::new();
    walk(text, &text.parsed.file.items, &mut out);
    out
}

/// What the head of a declaration gave, kept for its clauses.
struct Head {
    term: TermId,
    /// `of`, its class word or term.
    of: Option<Range>,
    /// `of CLASS member`: the first member of a kind.
    rest: Vec<Range>,
    /// Relation clauses: relation and the targets after it.
    ties: Vec<(TermId, Vec<Range>)>,
}

struct Declarer<'v, 'p> {
    vocabulary: &'v mut Vocabulary,
    problems: &'p mut Vec<Problem>,
    ties: Vec<DeclaredTie>,
}

impl Declarer<'_, '_> {
    fn relation(&mut self, view: &View<'_>, item: &Item, declaration: &tree::Declaration) {
        let Some(&head) = declaration.head.first() else {
            return;
        };
        // `relation mounted on of part to part`: the name ends at the last `of` with a class word after it.
        let end = (head.first..head.end).rev().find(|&token| view.kind(token) == Some(Tok::Of)).unwrap_or(head.end);
        let name = Range { first: head.first, end };
        if name.is_empty() {
            self.problems.push(
                Problem::at(Code::UnexpectedWord, view.span(item.range), "a relation without a name", "this relation")
                    .help("write `relation mounted on of part to part, passes disturbance`"),
            );
            return;
        }
        let along = declaration.clauses.iter().any(|clause| matches!(clause, DeclarationClause::PassesAlong(_)));
        let disturbance =
            declaration.clauses.iter().any(|clause| matches!(clause, DeclarationClause::PassesDisturbance(_)));
        self.add(view, name, Class::Relation, Detail::Relation { along, disturbance }, None, None);
    }

    /// Adds a term, reporting one that is there already.
    fn add(
        &mut self,
        view: &View<'_>,
        name: Range,
        class: Class,
        detail: Detail,
        of: Option<Class>,
        side: Option<(String, Range)>,
    ) -> Option<TermId> {
        let base = view.name(name);
        let (full, span) = match &side {
            Some((side, range)) => (format!("{side} {base}"), view.span(*range)),
            None => (base, view.span(name)),
        };
        if let Some(before) = self.already(view, &full) {
            let first = self.vocabulary.term(before).span;
            self.problems.push(
                Problem::at(Code::DeclaredTwice, span, format!("`{full}` is declared twice"), "declared again here")
                    .context(first, format!("declared first here, as a {}", self.vocabulary.class(before).word()))
                    .help("take one away; if they are two things, give them two names"),
            );
            return None;
        }
        Some(self.vocabulary.add(Term {
            name: full,
            class,
            span,
            members: Vec::new(),
            of,
            side: side.map(|(side, _)| side),
            aliases: Vec::new(),
            detail,
        }))
    }

    /// A term of this name that some file would see beside the new one.
    fn already(&self, view: &View<'_>, name: &str) -> Option<TermId> {
        let words: Vec<_> = name.split_whitespace().map(|word| self.vocabulary.words.find(word)).collect();
        let mut found = None;
        self.vocabulary.phrases.each(&words, |length, meanings| {
            if length == words.len() {
                found = meanings
                    .iter()
                    .find(|meaning| {
                        let owner = self.vocabulary.term(meaning.term).span.file;
                        meaning.role == Role::Name
                            && (self.vocabulary.sees(view.source.file, owner)
                                || self.vocabulary.sees(owner, view.source.file))
                    })
                    .map(|meaning| meaning.term);
            }
        });
        found
    }

    fn name(&mut self, view: &View<'_>, item: &Item, declaration: &tree::Declaration) -> Option<Head> {
        let class = match declaration.class {
            tree::Class::Relation => return None,
            tree::Class::Later => {
                self.problems.push(
                    Problem::at(
                        Code::NotYetEvaluated,
                        view.span_of(item.range.first),
                        format!("`{}` is not evaluated yet", view.text(item.range.first)),
                        "this construct",
                    )
                    .help("nothing that is not evaluated is stored; leave it out, or say it with a condition"),
                );
                return None;
            }
            tree::Class::Maker => Class::Maker,
            tree::Class::Part => Class::Part,
            tree::Class::Sensor => Class::Sensor,
            tree::Class::System => Class::System,
            tree::Class::Module => Class::Module,
            tree::Class::Option => Class::Option,
            tree::Class::Kind => Class::Kind,
            tree::Class::Operation => Class::Operation,
            tree::Class::Event => Class::Event,
            tree::Class::Finding => Class::Finding,
            tree::Class::State => Class::State,
            tree::Class::Procedure => Class::Procedure,
            tree::Class::Measure => Class::Measure,
            tree::Class::Condition => Class::Condition,
            tree::Class::Choice => Class::Choice,
            tree::Class::Zone => Class::Zone,
        };
        let mut split = Split::default();
        for &phrase in &declaration.head {
            split.phrase(view, self.vocabulary, phrase);
        }
        if split.name.is_empty() {
            self.problems.push(
                Problem::at(
                    Code::ReservedWord,
                    view.span(item.range),
                    format!("a {} without a name", class.word()),
                    "the name is missing, or begins with a word that joins sentences",
                )
                .help("a name holds none of: and or not of to on in from when unless then that any every no is at by with where"),
            );
            return None;
        }
        let detail = self.first_detail(view, class, declaration, &split)?;
        let of = split.of.and_then(|range| class_word(view, range));
        let kind_of = if class == Class::Kind { of } else { None };
        let term = self.add(view, split.name, class, detail, kind_of, None)?;
        let mut members = Vec::new();
        for &side in &split.sides {
            let detail = self.vocabulary.term(term).detail.clone();
            if let Some(member) = self.add(view, split.name, class, detail, None, Some((view.name(side), side))) {
                members.push(member);
            }
        }
        if let Some(term) = self.vocabulary.term_mut(term) {
            term.members = members;
        }
        Some(Head { term, of: split.of, rest: split.rest, ties: split.ties })
    }

    /// What can be known of a term from its own item alone.
    fn first_detail(
        &mut self,
        view: &View<'_>,
        class: Class,
        declaration: &tree::Declaration,
        split: &Split,
    ) -> Option<Detail> {
        let has_of = split.of.is_some();
        let question = declaration.clauses.iter().find_map(|clause| match clause {
            DeclarationClause::AskedAs(text) => Some(view.quoted(*text)),
            _ => None,
        });
        Some(match class {
            Class::Operation | Class::Finding | Class::Event => Detail::Happening(Happening {
                of: class != Class::Event || has_of,
                disturbs: true,
                question,
                ..Happening::default()
            }),
            Class::Measure => {
                let Some(range) = split.unit else {
                    self.problems.push(
                        Problem::at(
                            Code::WrongUnit,
                            view.span(split.name),
                            format!("the measure `{}` has no unit", view.name(split.name)),
                            "in which unit is it given?",
                        )
                        .help("write `measure film thickness in um`; a plain count is `in 1`"),
                    );
                    return None;
                };
                let unit = self.unit(view, range)?;
                let positive = declaration.clauses.iter().find_map(|clause| match clause {
                    DeclarationClause::Positive(text) => Some(view.quoted(*text)),
                    _ => None,
                });
                Detail::Measure { unit, positive, of: has_of }
            }
            Class::Condition => {
                let judged =
                    declaration.clauses.iter().any(|clause| matches!(clause, DeclarationClause::JudgedByAPerson(_)));
                Detail::Condition { question, judged, of: has_of }
            }
            Class::Choice => Detail::Choice { question, values: Vec::new() },
            Class::Procedure => Detail::Procedure { of: has_of, outcomes: Vec::new() },
            Class::Sensor => Detail::Sensor(Vec::new()),
            Class::Maker => Detail::Maker(Vec::new()),
            _ => Detail::None,
        })
    }

    fn unit(&mut self, view: &View<'_>, range: Range) -> Option<Unit> {
        let symbol = view.name(range);
        if symbol == "1" {
            return Some(Unit::Plain);
        }
        let found = unit(&symbol);
        if found.is_none() {
            self.problems.push(
                Problem::at(Code::WrongUnit, view.span(range), format!("`{symbol}` is no unit"), "unknown unit")
                    .help("units are written as their symbols: mm, um, deg, kg, V, bar, km/h, min, %"),
            );
        }
        found
    }

    fn clauses(&mut self, view: &View<'_>, declaration: &tree::Declaration, head: &Head) {
        let term = head.term;
        let class = self.vocabulary.class(term);
        for clause in &declaration.clauses {
            self.clause(view, term, class, clause);
        }
        match class {
            Class::Kind => {
                let mut members = Vec::new();
                for &range in &head.rest {
                    if let Some((member, _)) = self.one_term(view, range, "a member of the kind", Class::is_equipment) {
                        members.push(member);
                    }
                }
                if members.is_empty() {
                    self.problems.push(
                        Problem::at(
                            Code::UnexpectedWord,
                            view.span(declaration.head.first().copied().unwrap_or(Range { first: 0, end: 0 })),
                            "a kind without members",
                            "which terms are of this kind?",
                        )
                        .help("write `kind front sensor of sensor front radar, forward camera`"),
                    );
                }
                if let Some(term) = self.vocabulary.term_mut(term) {
                    term.members = members;
                }
            }
            Class::Zone => match head.of {
                Some(range) => {
                    if let Some((part, _)) = self.one_term(view, range, "the part it is a zone of", Class::is_part)
                        && let Some(term) = self.vocabulary.term_mut(term)
                    {
                        term.detail = Detail::Zone(part);
                    }
                }
                None => self.problems.push(
                    Problem::at(
                        Code::UnexpectedWord,
                        self.vocabulary.term(term).span,
                        format!("the zone `{}` is of no part", self.vocabulary.name(term)),
                        "a zone is a region of a part",
                    )
                    .help("write `zone radar window of front fascia`"),
                ),
            },
            _ => {}
        }
        for (relation, targets) in &head.ties {
            for &range in targets {
                if let Some((to, _)) = self.one_term(view, range, "a part", Class::is_equipment) {
                    self.tie(view, term, *relation, to, range);
                }
            }
        }
    }

    /// Records a tie; a sided term is tied side by side to a sided one, else every member to the one target.
    fn tie(&mut self, view: &View<'_>, part: TermId, relation: TermId, to: TermId, range: Range) {
        let span = view.span(range);
        let targets = self.vocabulary.term(to).members.clone();
        let parts = self.vocabulary.members(part);
        for part in parts {
            if targets.is_empty() {
                self.ties.push(DeclaredTie { part, relation, to, span });
                continue;
            }
            let side = self.vocabulary.term(part).side.clone();
            let same =
                targets.iter().copied().find(|&target| side.is_some() && self.vocabulary.term(target).side == side);
            match same {
                Some(to) => self.ties.push(DeclaredTie { part, relation, to, span }),
                None => self.problems.push(
                    Problem::at(
                        Code::SideMissing,
                        span,
                        format!("`{}` has sides; which one is meant?", self.vocabulary.name(to)),
                        "the side is missing",
                    )
                    .help(format!(
                        "name one of {}",
                        targets
                            .iter()
                            .map(|&id| format!("`{}`", self.vocabulary.name(id)))
                            .collect::<Vec<_>>()
                            .join(", ")
                    )),
                ),
            }
        }
    }

    fn clause(&mut self, view: &View<'_>, term: TermId, class: Class, clause: &DeclarationClause) {
        let legal = match clause {
            DeclarationClause::AlsoWritten(_) => true,
            DeclarationClause::CountsAs(_) | DeclarationClause::DisturbsNothing(_) => class.happens(),
            DeclarationClause::Doing(_) | DeclarationClause::OnTheWay(_) => class == Class::Operation,
            DeclarationClause::PassesAlong(_) | DeclarationClause::PassesDisturbance(_) => class == Class::Relation,
            DeclarationClause::Serves(_) => class == Class::Sensor,
            DeclarationClause::AskedAs(_) => {
                matches!(class, Class::Event | Class::Finding | Class::Condition | Class::Choice)
            }
            DeclarationClause::JudgedByAPerson(_) => class == Class::Condition,
            DeclarationClause::EndsIn(_) => class == Class::Procedure,
            DeclarationClause::OneOf(_) => class == Class::Choice,
            DeclarationClause::Positive(_) => class == Class::Measure,
            DeclarationClause::Makes(_) => class == Class::Maker,
        };
        if !legal {
            self.problems.push(
                Problem::at(
                    Code::WrongClass,
                    self.vocabulary.term(term).span,
                    format!("`{}` is a {}, which has no such clause", self.vocabulary.name(term), class.word()),
                    format!("declared here as a {}", class.word()),
                )
                .help("see the reference page for the clauses of each class"),
            );
            return;
        }
        match clause {
            DeclarationClause::AlsoWritten(texts) => {
                for &text in texts {
                    let alias = view.quoted(text);
                    self.alias(view, term, &alias, text);
                }
            }
            DeclarationClause::CountsAs(ranges) => {
                let mut milder = Vec::new();
                for &range in ranges {
                    if let Some((other, _)) =
                        self.one_term(view, range, "an operation, finding or event", Class::happens)
                    {
                        milder.push(other);
                    }
                }
                if let Some(Term { detail: Detail::Happening(happening), .. }) = self.vocabulary.term_mut(term) {
                    happening.counts_as = milder;
                }
            }
            DeclarationClause::DisturbsNothing(_) => {
                if let Some(Term { detail: Detail::Happening(happening), .. }) = self.vocabulary.term_mut(term) {
                    happening.disturbs = false;
                }
            }
            DeclarationClause::Doing(text) => {
                let doing = view.quoted(*text);
                self.vocabulary.add_phrase(term, &doing, Role::Doing);
                if let Some(Term { detail: Detail::Happening(happening), .. }) = self.vocabulary.term_mut(term) {
                    happening.doing = Some(doing);
                }
            }
            DeclarationClause::OnTheWay(text) => {
                let verb = view.quoted(*text);
                self.vocabulary.add_phrase(term, &verb, Role::OnTheWay);
                if let Some(Term { detail: Detail::Happening(happening), .. }) = self.vocabulary.term_mut(term) {
                    happening.on_the_way = Some(verb);
                }
            }
            DeclarationClause::Serves(ranges) => {
                let mut systems = Vec::new();
                for &range in ranges {
                    if let Some((system, _)) = self.one_term(view, range, "a system", |class| class == Class::System) {
                        systems.push(system);
                    }
                }
                let mut ids = self.vocabulary.term(term).members.clone();
                ids.push(term);
                for id in ids {
                    if let Some(term) = self.vocabulary.term_mut(id) {
                        term.detail = Detail::Sensor(systems.clone());
                    }
                }
            }
            DeclarationClause::EndsIn(ranges) => {
                let outcomes = ranges.iter().filter_map(|&range| self.shared(view, range, Class::Outcome)).collect();
                if let Some(Term { detail: Detail::Procedure { outcomes: place, .. }, .. }) =
                    self.vocabulary.term_mut(term)
                {
                    *place = outcomes;
                }
            }
            DeclarationClause::OneOf(ranges) => {
                let all: Vec<TermId> =
                    ranges.iter().filter_map(|&range| self.shared(view, range, Class::Value)).collect();
                if let Some(Term { detail: Detail::Choice { values, .. }, .. }) = self.vocabulary.term_mut(term) {
                    *values = all;
                }
            }
            DeclarationClause::Makes(ranges) => {
                let mut models = Vec::new();
                for &range in ranges {
                    if let Some(model) = self.add(view, range, Class::Model, Detail::Model(term), None, None) {
                        models.push(model);
                    }
                }
                if let Some(term) = self.vocabulary.term_mut(term) {
                    term.detail = Detail::Maker(models);
                }
            }
            DeclarationClause::PassesAlong(_)
            | DeclarationClause::PassesDisturbance(_)
            | DeclarationClause::AskedAs(_)
            | DeclarationClause::JudgedByAPerson(_)
            | DeclarationClause::Positive(_) => {}
        }
    }

    /// A value or an outcome: one term however many declarations name it.
    fn shared(&mut self, view: &View<'_>, range: Range, class: Class) -> Option<TermId> {
        let name = view.name(range);
        if let Some(term) = self.already(view, &name)
            && self.vocabulary.class(term) == class
        {
            return Some(term);
        }
        self.add(view, range, class, Detail::None, None, None)
    }

    fn alias(&mut self, view: &View<'_>, term: TermId, alias: &str, at: u32) {
        let words: Vec<_> = alias.split_whitespace().map(|word| self.vocabulary.words.find(word)).collect();
        let mut other = None;
        self.vocabulary.phrases.each(&words, |length, meanings| {
            if length == words.len() {
                other = meanings.iter().find(|meaning| meaning.term != term).map(|meaning| meaning.term);
            }
        });
        if let Some(other) = other
            && self.vocabulary.sees(view.source.file, self.vocabulary.term(other).span.file)
        {
            self.problems.push(
                Problem::at(
                    Code::AliasShared,
                    view.span_of(at),
                    format!("`{alias}` also means `{}`", self.vocabulary.name(other)),
                    "shared by two terms",
                )
                .context(self.vocabulary.term(other).span, "the other term")
                .help("one writing means one term; take it away from one of them"),
            );
            return;
        }
        self.vocabulary.add_phrase(term, alias, Role::Alias);
        if let Some(term) = self.vocabulary.term_mut(term) {
            term.aliases.push(alias.to_string());
        }
    }

    /// The one term a range names, or a problem.
    fn one_term(
        &mut self,
        view: &View<'_>,
        range: Range,
        wanted: &str,
        accept: impl Fn(Class) -> bool + Copy,
    ) -> Option<(TermId, Range)> {
        let mut cursor = Cursor::new(view, self.vocabulary, range);
        let found = cursor.take_term(|class| accept(class) || class == Class::Kind);
        match found {
            Some((term, _)) if cursor.is_done() => Some((term, range)),
            _ => {
                let problem = crate::unknown::phrase(view, self.vocabulary, range, wanted, &|_, class| accept(class));
                self.problems.push(problem);
                None
            }
        }
    }

    /// Follows `counts as` to its end, so that asking is one look.
    fn close_counts_as(&mut self) {
        let ids: Vec<TermId> =
            self.vocabulary.iter().filter(|(_, term)| term.class.happens()).map(|(id, _)| id).collect();
        for &id in &ids {
            let mut all: Vec<TermId> = Vec::new();
            let mut open =
                self.vocabulary.happening(id).map(|happening| happening.counts_as.clone()).unwrap_or_default();
            while let Some(next) = open.pop() {
                if next != id && !all.contains(&next) {
                    all.push(next);
                    if let Some(happening) = self.vocabulary.happening(next) {
                        open.extend(happening.counts_as.iter().copied());
                    }
                }
            }
            all.sort();
            if let Some(Term { detail: Detail::Happening(happening), .. }) = self.vocabulary.term_mut(id) {
                happening.counts_as = all;
            }
        }
    }

    /// A term that is worked on may not end in the name of a happening: `fascia removed` would be two things.
    fn check_names(&mut self) {
        let mut problems = Vec::new();
        for (_, term) in self.vocabulary.iter() {
            if !(term.class.is_equipment() || term.class == Class::Kind) {
                continue;
            }
            let words: Vec<_> = term.name.split_whitespace().map(|word| self.vocabulary.words.find(word)).collect();
            for from in 1..words.len() {
                let Some(tail) = words.get(from..) else {
                    continue;
                };
                let mut ends_in = None;
                self.vocabulary.phrases.each(tail, |length, meanings| {
                    if length == tail.len() {
                        ends_in = meanings
                            .iter()
                            .find(|meaning| meaning.role == Role::Name && self.vocabulary.class(meaning.term).happens())
                            .map(|meaning| meaning.term);
                    }
                });
                if let Some(other) = ends_in {
                    problems.push(
                        Problem::at(
                            Code::TermEndsInHappening,
                            term.span,
                            format!("`{}` ends in `{}`", term.name, self.vocabulary.name(other)),
                            format!("`{}` is a {}", self.vocabulary.name(other), self.vocabulary.class(other).word()),
                        )
                        .help("a sentence with this name could be read in two ways; name it otherwise"),
                    );
                    break;
                }
            }
        }
        self.problems.append(&mut problems);
    }
}

/// The class word a range begins with.
fn class_word(view: &View<'_>, range: Range) -> Option<Class> {
    let word = view.words.get(range.first as usize).copied()?;
    [
        (known::PART, Class::Part),
        (known::SENSOR, Class::Sensor),
        (known::SYSTEM, Class::System),
        (known::MODULE, Class::Module),
    ]
    .into_iter()
    .find(|&(id, _)| id == word)
    .map(|(_, class)| class)
}

/// The head of a declaration taken apart: name, sides, `of`, `in`, ties.
#[derive(Default)]
struct Split {
    name: Range,
    sides: Vec<Range>,
    of: Option<Range>,
    unit: Option<Range>,
    rest: Vec<Range>,
    ties: Vec<(TermId, Vec<Range>)>,
}

impl Split {
    fn phrase(&mut self, view: &View<'_>, vocabulary: &Vocabulary, phrase: Range) {
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

#[derive(Clone, Copy)]
enum Cut {
    Relation(TermId, u32),
    On,
    Of,
    In,
}
