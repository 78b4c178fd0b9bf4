//! Declarations: from their items in the tree to terms of the vocabulary and the facts said with them.

use knockon_measure::{Unit, unit};
use knockon_syntax::Tok;
use knockon_syntax::tree::{self, DeclarationClause, Item, ItemKind, Range};
use knockon_text::{Code, Problem, Span};

mod clauses;
mod finish;
mod head;

pub use head::MOST_NAME_WORDS;
use head::{Head, RESERVED, Split, class_word, joins, misplaced, reserved, too_long};

use crate::phrases::Role;
use crate::unknown::a;
use crate::unread::Unread;
use crate::view::View;
use crate::vocabulary::{Class, Detail, Happening, Term, TermId, Vocabulary};

/// A tie said in a declaration: this part, this relation, that term.
#[derive(Clone, Debug, PartialEq)]
pub struct DeclaredTie {
    /// The part tied.
    pub part: TermId,
    /// How.
    pub relation: TermId,
    /// To what.
    pub to: TermId,
    /// The term declared, and what it is tied to, as they were named.
    pub declared: (TermId, TermId),
    /// Where.
    pub span: Span,
}

/// Declares every term of all files; gives the ties said on the way.
pub fn declare(
    views: &[View<'_>],
    vocabulary: &mut Vocabulary,
    unread: &mut Unread,
    problems: &mut Vec<Problem>,
) -> Vec<DeclaredTie> {
    let mut maker = Declarer { vocabulary, problems, ties: Vec::new(), overruled: Vec::new() };
    let files = views.iter().map(|view| view.source.file.0 as usize + 1).max().unwrap_or(0);
    for view in views {
        let mut sees = vec![false; files];
        for file in view.source.sees {
            if let Some(place) = sees.get_mut(file.0 as usize) {
                *place = true;
            }
        }
        maker.vocabulary.set_sees(view.source.file, sees);
    }
    // Relations first: their names may hold connecting words, and they end the names of other terms.
    let all: Vec<Declared<'_>> = views.iter().flat_map(declarations).collect();
    for (view, item, declaration) in &all {
        if declaration.class == tree::Class::Relation {
            maker.relation(view, item, declaration);
        }
    }
    // Then names, so that clauses may use terms declared further down or in other files.
    let mut declared = Vec::with_capacity(all.len());
    for (view, item, declaration) in &all {
        let head = maker.name(view, item, declaration);
        if let (None, Some(&name)) = (&head, declaration.head.first()) {
            // A relation has no head of this kind and was read before.
            if declaration.class != tree::Class::Relation {
                unread.add(&view.name(name));
            }
        }
        declared.push(head);
    }
    // Other writings before all else that is said of terms, so that a declaration may name a term by them.
    for part in [Part::Writings, Part::Rest] {
        for ((view, _, declaration), head) in all.iter().zip(&declared) {
            let Some(head) = head else { continue };
            if !maker.overruled.contains(&view.span(head.name)) {
                maker.clauses(view, declaration, head, part);
            }
        }
    }
    maker.close_counts_as();
    maker.check_names();
    maker.ties
}

/// A declaration with the file it stands in.
type Declared<'a> = (&'a View<'a>, &'a Item, &'a tree::Declaration);

fn declarations<'a>(view: &'a View<'a>) -> Vec<Declared<'a>> {
    fn walk<'a>(view: &'a View<'a>, items: &'a [Item], out: &mut Vec<Declared<'a>>) {
        for item in items {
            match &item.kind {
                ItemKind::Declaration(declaration) => out.push((view, item, declaration)),
                ItemKind::Scope(scope) => walk(view, &scope.items, out),
                _ => {}
            }
        }
    }
    let mut out = Vec::new();
    walk(view, &view.source.parsed.file.items, &mut out);
    out
}

/// What is read of the clauses of declarations at one time.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Part {
    /// `also written`.
    Writings,
    /// All else.
    Rest,
}

struct Declarer<'v, 'p> {
    vocabulary: &'v mut Vocabulary,
    problems: &'p mut Vec<Problem>,
    ties: Vec<DeclaredTie>,
    /// Declarations that another, in a file they use, stands above.
    overruled: Vec<Span>,
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
        let of = class_word(view, Range { first: end + 1, end: head.end });
        let to = (end..head.end).find(|&token| view.kind(token) == Some(Tok::To));
        let to = to.and_then(|to| class_word(view, Range { first: to + 1, end: head.end }));
        self.add(view, name, Class::Relation, Detail::Relation { along, disturbance, to }, of, None);
    }

    /// Adds a term, reporting one that is there already.
    pub(super) fn add(
        &mut self,
        view: &View<'_>,
        name: Range,
        class: Class,
        detail: Detail,
        of: Option<Class>,
        side: Option<(String, Range)>,
    ) -> Option<TermId> {
        let base = view.name(name);
        // A relation is matched before other words and may hold what joins sentences.
        if class != Class::Relation
            && let Some(at) = side.iter().map(|(_, range)| *range).chain([name]).find_map(|range| joins(view, range))
        {
            self.problems.push(reserved(view, name, at));
            return None;
        }
        let (full, span) = match &side {
            Some((side, range)) => (format!("{side} {base}"), view.span(*range)),
            None => (base, view.span(name)),
        };
        if let Some(problem) = too_long(&full, span) {
            self.problems.push(problem);
            return None;
        }
        if let Some(before) = self.already(view, &full, class) {
            let found = self.vocabulary.term(before);
            let (first, first_class) = (found.span, found.class);
            // Where the file of the first uses this one, it is the first that says the word again, and this
            // declaration is the one that everybody sees.
            let stands = first.file != span.file && self.vocabulary.sees(first.file, span.file);
            let (again, again_class, original, original_class) =
                if stands { (first, first_class, span, class) } else { (span, class, first, first_class) };
            self.problems.push(
                Problem::at(
                    Code::DeclaredTwice,
                    again,
                    format!("`{full}` is declared twice"),
                    format!("declared again here, as {}", a(again_class.word())),
                )
                .context(original, format!("declared first here, as {}", a(original_class.word())))
                .help("take one away; if they are two things, give them two names"),
            );
            if stands {
                self.overruled.push(first);
                let side = side.map(|(side, _)| side);
                if let Some(term) = self.vocabulary.term_mut(before) {
                    *term = Term { class, span, members: Vec::new(), of, side, detail, ..term.clone() };
                }
                return Some(before);
            }
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

    /// A term of this name that some file would see beside the new one. An outcome stands only after `ended in`, where
    /// nothing else does: a check may end in `bent` although that is a finding too.
    pub(super) fn already(&self, view: &View<'_>, name: &str, class: Class) -> Option<TermId> {
        let words: Vec<_> = name.split_whitespace().map(|word| self.vocabulary.words.find(word)).collect();
        let mut found = None;
        self.vocabulary.phrases.each(&words, |length, meanings| {
            if length == words.len() {
                found = meanings
                    .iter()
                    .find(|meaning| {
                        let owner = self.vocabulary.term(meaning.term).span.file;
                        meaning.role == Role::Name
                            && (self.vocabulary.class(meaning.term) == Class::Outcome) == (class == Class::Outcome)
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
            tree::Class::Quality => Class::Quality,
            tree::Class::Zone => Class::Zone,
            tree::Class::Line => Class::Line,
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
                    format!("{} without a name", a(class.word())),
                    "the name is missing, or begins with a word that joins sentences",
                )
                .help(RESERVED),
            );
            return None;
        }
        if let Some(problem) = misplaced(view, class, &split) {
            self.problems.push(problem);
            return None;
        }
        let detail = self.first_detail(view, class, declaration, &split)?;
        // A zone is of a part and a line of parts, whose names may begin with a class word.
        let of = match class {
            Class::Zone | Class::Line => None,
            _ => split.of.and_then(|range| class_word(view, range)),
        };
        let term = self.add(view, split.name, class, detail, of, None)?;
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
        Some(Head { term, name: split.name, of: split.of, rest: split.rest, ties: split.ties })
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
                let of_procedure =
                    split.of.is_some_and(|of| super::declare::head::class_word(view, of) == Some(Class::Procedure));
                Detail::Measure { unit, positive, of: has_of, of_procedure, disturbs: None }
            }
            Class::Condition => {
                let judged =
                    declaration.clauses.iter().any(|clause| matches!(clause, DeclarationClause::JudgedByAPerson(_)));
                Detail::Condition { question, judged, of: has_of }
            }
            Class::Choice => {
                Detail::Choice { question, values: Vec::new(), of: split.of.is_some(), places: Vec::new() }
            }
            Class::Procedure => {
                Detail::Procedure { of: has_of, outcomes: Vec::new(), carried_out_by: Vec::new(), concerns: Vec::new() }
            }
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
}
