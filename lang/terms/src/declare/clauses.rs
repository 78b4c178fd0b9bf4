//! The clauses of declarations: aliases, `counts as`, members, ties.

use knockon_syntax::tree::{self, DeclarationClause, Range};
use knockon_text::{Code, Problem, Span};

use super::head::{Head, class_word, too_long};
use super::{DeclaredTie, Declarer, Part};
use crate::phrases::Role;
use crate::quantity::{self, Wanted};
use crate::unknown::a;
use crate::view::{Cursor, View};
use crate::vocabulary::{Class, Detail, Term, TermId};

impl Declarer<'_, '_> {
    pub(super) fn clauses(&mut self, view: &View<'_>, declaration: &tree::Declaration, head: &Head, part: Part) {
        let term = head.term;
        let class = self.vocabulary.class(term);
        for clause in &declaration.clauses {
            if matches!(clause, DeclarationClause::AlsoWritten(_)) == (part == Part::Writings) {
                self.clause(view, term, class, clause);
            }
        }
        if part == Part::Writings {
            return;
        }
        match class {
            Class::Kind => {
                let mut members = Vec::new();
                // After `of` stands the class of the members, or the first of them where no class is named.
                let first = head.of.filter(|&range| class_word(view, range).is_none());
                for &range in first.iter().chain(&head.rest) {
                    if let Some((member, _)) = self.one_term(view, range, "equipment", Class::is_equipment) {
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
            Class::Line => self.line(view, head),
            Class::Choice => self.places(view, head),
            Class::Zone => match head.of {
                Some(range) => {
                    if let Some((part, _)) = self.one_term(view, range, "a part", Class::is_part)
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
                let may_be_tied_to = |class: Class| class.is_equipment() || class == Class::Measure;
                if let Some((to, _)) = self.one_term(view, range, "a part", may_be_tied_to) {
                    self.tie(view, term, *relation, to, range);
                }
            }
        }
    }

    /// The changes of a measure that are events.
    fn disturbing_change(&mut self, view: &View<'_>, term: TermId, range: Range) {
        let Detail::Measure { unit, positive, .. } = self.vocabulary.term(term).detail.clone() else { return };
        let name = self.vocabulary.name(term).to_string();
        let wanted = Wanted {
            unit: unit.for_differences(),
            signed: true,
            change: true,
            positive: positive.as_deref(),
            name: &name,
        };
        let found = {
            let mut cursor = Cursor::new(view, self.vocabulary, range);
            let limit = quantity::limit(&mut cursor, wanted);
            if cursor.is_done() || matches!(limit, Some(Err(_))) { limit } else { None }
        };
        match found {
            Some(Ok(limit)) => {
                if let Some(Term { detail: Detail::Measure { disturbs, .. }, .. }) = self.vocabulary.term_mut(term) {
                    *disturbs = Some((limit.ranges, limit.written));
                }
            }
            Some(Err(problem)) => self.problems.push(problem),
            None => self.problems.push(
                Problem::at(
                    Code::UnexpectedWord,
                    view.span(range),
                    format!("`{}` is no limit on a change", view.written(range)),
                    "from which change on does it disturb?",
                )
                .help(format!("write `measure {name} ..., disturbs when changed over 5 {} either way`", unit.symbol())),
            ),
        }
    }

    /// The places a choice is of: `of part`, or parts and kinds by name.
    fn places(&mut self, view: &View<'_>, head: &Head) {
        let Some(of) = head.of else { return };
        if of.len() == 1 && super::head::class_word(view, of) == Some(Class::Part) {
            return;
        }
        let others = head.rest.iter().copied().filter(|range| range.first >= of.end);
        let mut all: Vec<TermId> = Vec::new();
        for range in std::iter::once(of).chain(others) {
            if let Some((part, _)) = self.one_term(view, range, "a part", Class::is_part) {
                all.extend(
                    self.vocabulary
                        .members(part)
                        .into_iter()
                        .filter(|member| !all.contains(member))
                        .collect::<Vec<_>>(),
                );
            }
        }
        if let Some(Term { of, detail: Detail::Choice { places, .. }, .. }) = self.vocabulary.term_mut(head.term)
            && !all.is_empty()
        {
            // A place whose name begins with the word of a class is a place.
            *of = None;
            *places = all;
        }
    }

    /// The parts of a line, in the order of the text.
    fn line(&mut self, view: &View<'_>, head: &Head) {
        // The first part stands after `of`; a class word it begins with is part of its name here.
        let first = head.of.unwrap_or_default();
        let others = head.rest.iter().copied().filter(|range| range.first >= first.end);
        let ranges: Vec<Range> = head.of.into_iter().chain(others).collect();
        if ranges.len() < 2 {
            self.problems.push(
                Problem::at(
                    Code::UnexpectedWord,
                    view.span(head.name),
                    format!("the line `{}` has no order", view.name(head.name)),
                    "a line is of two parts or more, one after the other",
                )
                .help("write `line steering of steering wheel, column, rack`"),
            );
            return;
        }
        let mut parts: Vec<TermId> = Vec::with_capacity(ranges.len());
        for range in ranges {
            let Some((part, _)) = self.one_term(view, range, "a part", Class::is_part) else { continue };
            if parts.contains(&part) {
                self.problems.push(
                    Problem::at(
                        Code::DeclaredTwice,
                        view.span(range),
                        format!("`{}` stands twice on the line `{}`", view.name(range), view.name(head.name)),
                        "its place would be two places",
                    )
                    .help("take one away; if they are two things, give them two names"),
                );
                continue;
            }
            parts.push(part);
        }
        if let Some(term) = self.vocabulary.term_mut(head.term) {
            term.detail = Detail::Line(parts);
        }
    }

    /// Records a tie; a sided term is tied side by side to a sided one, else every member to the one target.
    pub(super) fn tie(&mut self, view: &View<'_>, part: TermId, relation: TermId, to: TermId, range: Range) {
        let span = view.span(range);
        let declared = (part, to);
        let targets = self.vocabulary.term(to).members.clone();
        let parts = self.vocabulary.members(part);
        for part in parts {
            if targets.is_empty() {
                self.ties.push(DeclaredTie { part, relation, to, declared, span });
                continue;
            }
            let side = self.vocabulary.term(part).side.clone();
            let same =
                targets.iter().copied().find(|&target| side.is_some() && self.vocabulary.term(target).side == side);
            match same {
                Some(to) => self.ties.push(DeclaredTie { part, relation, to, declared, span }),
                None => self.problems.push(
                    Problem::at(
                        Code::SideMissing,
                        span,
                        format!("`{}` names several; which one is meant?", self.vocabulary.name(to)),
                        "say which of them",
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

    pub(super) fn clause(&mut self, view: &View<'_>, term: TermId, class: Class, clause: &DeclarationClause) {
        let legal = match clause {
            DeclarationClause::AlsoWritten(_) => true,
            DeclarationClause::CountsAs(_) | DeclarationClause::DisturbsNothing(_) => class.happens(),
            DeclarationClause::Doing(_) | DeclarationClause::OnTheWay(_) | DeclarationClause::PutsOnAnotherPart(_) => {
                class == Class::Operation
            }
            DeclarationClause::PassesAlong(_) | DeclarationClause::PassesDisturbance(_) => class == Class::Relation,
            DeclarationClause::Serves(_) => class == Class::Sensor,
            DeclarationClause::AskedAs(_) => {
                matches!(class, Class::Event | Class::Finding | Class::Condition | Class::Choice)
            }
            DeclarationClause::JudgedByAPerson(_) => class == Class::Condition,
            DeclarationClause::EndsIn(_) | DeclarationClause::CarriedOutBy(_) | DeclarationClause::Concerns(_) => {
                class == Class::Procedure
            }
            DeclarationClause::OneOf(_) => class == Class::Choice,
            DeclarationClause::Positive(_) | DeclarationClause::DisturbsWhenChanged(_) => class == Class::Measure,
            DeclarationClause::Makes(_) => class == Class::Maker,
        };
        if !legal {
            let (word, at) = clause_word(view, clause);
            self.problems.push(
                Problem::at(
                    Code::WrongClass,
                    at,
                    format!(
                        "`{}` is {}, and `{word}` says nothing about one",
                        self.vocabulary.name(term),
                        a(class.word())
                    ),
                    "this clause belongs to another class",
                )
                .context(self.vocabulary.term(term).span, format!("declared here as {}", a(class.word())))
                .help(clauses_of(class)),
            );
            return;
        }
        match clause {
            DeclarationClause::AlsoWritten(texts) => {
                for &text in texts {
                    let alias = view.quoted(text);
                    if self.written(view, term, &alias, text, Role::Alias)
                        && let Some(term) = self.vocabulary.term_mut(term)
                    {
                        term.aliases.push(alias);
                    }
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
            DeclarationClause::DisturbsWhenChanged(range) => self.disturbing_change(view, term, *range),
            DeclarationClause::PutsOnAnotherPart(_) => {
                if let Some(Term { detail: Detail::Happening(happening), .. }) = self.vocabulary.term_mut(term) {
                    happening.puts_on = true;
                }
            }
            DeclarationClause::Doing(text) => {
                let doing = view.quoted(*text);
                if !self.written(view, term, &doing, *text, Role::Doing) {
                    return;
                }
                if let Some(Term { detail: Detail::Happening(happening), .. }) = self.vocabulary.term_mut(term) {
                    happening.doing = Some(doing);
                }
            }
            DeclarationClause::OnTheWay(text) => {
                let verb = view.quoted(*text);
                if !self.written(view, term, &verb, *text, Role::OnTheWay) {
                    return;
                }
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
            DeclarationClause::CarriedOutBy(ranges) => {
                let mut work = Vec::new();
                for &range in ranges {
                    if let Some((operation, _)) =
                        self.one_term(view, range, "an operation", |class| class == Class::Operation)
                    {
                        work.push(operation);
                    }
                }
                if let Some(Term { detail: Detail::Procedure { carried_out_by, .. }, .. }) =
                    self.vocabulary.term_mut(term)
                {
                    *carried_out_by = work;
                }
            }
            DeclarationClause::Concerns(ranges) => {
                let mut sensors = Vec::new();
                for &range in ranges {
                    if let Some((sensor, _)) = self.one_term(view, range, "a sensor", |class| class == Class::Sensor) {
                        sensors.push(sensor);
                    }
                }
                if let Some(Term { detail: Detail::Procedure { concerns, .. }, .. }) = self.vocabulary.term_mut(term) {
                    *concerns = sensors;
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
    pub(super) fn shared(&mut self, view: &View<'_>, range: Range, class: Class) -> Option<TermId> {
        let name = view.name(range);
        // Files that do not see each other may both name it; whoever uses both must find one.
        let words: Vec<_> = name.split_whitespace().map(|word| self.vocabulary.words.find(word)).collect();
        let mut found = None;
        self.vocabulary.phrases.each(&words, |length, meanings| {
            if length == words.len() {
                found = meanings.iter().map(|meaning| meaning.term).find(|&term| self.vocabulary.class(term) == class);
            }
        });
        match found {
            Some(term) => Some(term),
            None => self.add(view, range, class, Detail::None, None, None),
        }
    }

    /// Adds another writing of a term, or one of its forms; false where another term has it already.
    pub(super) fn written(&mut self, view: &View<'_>, term: TermId, alias: &str, at: u32, role: Role) -> bool {
        if let Some(problem) = too_long(alias, view.span_of(at)) {
            self.problems.push(problem);
            return false;
        }
        let words: Vec<_> = alias.split_whitespace().map(|word| self.vocabulary.words.find(word)).collect();
        let here = view.source.file;
        let mut other = None;
        self.vocabulary.phrases.each(&words, |length, meanings| {
            if length == words.len() {
                other = meanings
                    .iter()
                    .find(|meaning| {
                        let owner = self.vocabulary.term(meaning.term).span.file;
                        meaning.term != term
                            && (role == Role::Alias || meaning.role == role)
                            && (self.vocabulary.sees(here, owner) || self.vocabulary.sees(owner, here))
                    })
                    .copied();
            }
        });
        if let Some(other) = other {
            let place = self.vocabulary.term(other.term).span;
            // Where the other file uses this one, it is the other that says the writing again.
            let again = place.file != here && self.vocabulary.sees(place.file, here);
            let (main, context, name) = if again {
                (place, view.span_of(at), self.vocabulary.name(term))
            } else {
                (view.span_of(at), place, self.vocabulary.name(other.term))
            };
            let message = match other.role {
                Role::Name if !again => format!("`{alias}` is the name of another term"),
                Role::Doing | Role::OnTheWay => format!("`{alias}` is also said for `{name}`"),
                _ => format!("`{alias}` also stands for `{name}`"),
            };
            self.problems.push(
                Problem::at(Code::AliasShared, main, message, "one writing for two terms")
                    .context(context, "the other term")
                    .help(match role {
                        Role::Alias => {
                            "leave it with the term it always means; if orders use it for both, leave it with neither"
                        }
                        _ => "give each operation a form of its own: a sentence with this one could mean either",
                    }),
            );
            return false;
        }
        self.vocabulary.add_phrase(term, alias, role);
        true
    }

    /// The one term a range names, or a problem.
    pub(super) fn one_term(
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
}

/// The word a clause begins with, and where what follows it stands.
fn clause_word(view: &View<'_>, clause: &DeclarationClause) -> (&'static str, Span) {
    let first = |ranges: &[Range]| view.span(ranges.first().copied().unwrap_or_default());
    match clause {
        DeclarationClause::AlsoWritten(texts) => {
            ("also written", texts.first().map_or(view.span(Range::default()), |&text| view.span_of(text)))
        }
        DeclarationClause::CountsAs(ranges) => ("counts as", first(ranges)),
        DeclarationClause::DisturbsNothing(token) => ("disturbs nothing", view.span_of(*token)),
        DeclarationClause::DisturbsWhenChanged(range) => ("disturbs when changed", view.span(*range)),
        DeclarationClause::PutsOnAnotherPart(token) => ("puts on another part", view.span_of(*token)),
        DeclarationClause::PassesAlong(token) => ("passes along", view.span_of(*token)),
        DeclarationClause::PassesDisturbance(token) => ("passes disturbance", view.span_of(*token)),
        DeclarationClause::Serves(ranges) => ("serves", first(ranges)),
        DeclarationClause::AskedAs(text) => ("asked as", view.span_of(*text)),
        DeclarationClause::JudgedByAPerson(token) => ("judged by a person", view.span_of(*token)),
        DeclarationClause::EndsIn(ranges) => ("ends in", first(ranges)),
        DeclarationClause::CarriedOutBy(ranges) => ("carried out by", first(ranges)),
        DeclarationClause::Concerns(ranges) => ("concerns", first(ranges)),
        DeclarationClause::OneOf(ranges) => ("one of", first(ranges)),
        DeclarationClause::Doing(text) => ("doing", view.span_of(*text)),
        DeclarationClause::OnTheWay(text) => ("on the way", view.span_of(*text)),
        DeclarationClause::Positive(text) => ("positive", view.span_of(*text)),
        DeclarationClause::Makes(ranges) => ("makes", first(ranges)),
    }
}

/// The clauses a declaration of a class may have, as help.
fn clauses_of(class: Class) -> String {
    let more = match class {
        Class::Operation => ", `doing`, `on the way`, `counts as`, `puts on another part`, `disturbs nothing`",
        Class::Finding | Class::Event => ", `asked as`, `counts as`, `disturbs nothing`",
        Class::Sensor => ", `serves`, and relations such as `mounted on`",
        Class::Part | Class::Module => ", and relations such as `mounted on`",
        Class::Condition => ", `asked as`, `judged by a person`",
        Class::Choice => ", `one of`, `asked as`",
        Class::Procedure => ", `ends in`, `carried out by`, `concerns`",
        Class::Measure => ", `positive`, `disturbs when changed`",
        Class::Maker => ", `makes`",
        _ => "",
    };
    format!("{} may have: `also written`{more}", a(class.word()))
}
