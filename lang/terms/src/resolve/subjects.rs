//! Who a sentence is about: a term, a class word with its quantifier, or `that CLASS`.

use knockon_syntax::Tok;
use knockon_text::{Code, Problem, Span};

use super::sentence::{Asked, Read, SUBJECTS, Sentences};
use crate::phrases::Role;
use crate::resolved::{Domain, Quantifier, Subject, Variable, VariableId};
use crate::view::Cursor;
use crate::vocabulary::{Class, Detail, TermId};
use crate::words::known;

impl<'a> Sentences<'a> {
    /// `[of SUBJECT]`, if it stands here.
    pub(super) fn of_subject(&mut self, cursor: &mut Cursor<'a>) -> Read<Option<Asked>> {
        if !cursor.take(known::OF) {
            return Ok(None);
        }
        self.asked(cursor).map(Some)
    }

    pub(super) fn starts_with_quantifier(&self, cursor: &Cursor<'a>) -> bool {
        matches!(cursor.kind(), Some(Tok::Any | Tok::Every | Tok::No | Tok::That))
            || cursor.rest().starts_with(&[known::AT, known::LEAST])
    }

    /// A subject: a term, a class word with its quantifier, or `that CLASS`.
    pub fn asked(&mut self, cursor: &mut Cursor<'a>) -> Read<Asked> {
        let first = cursor.at;
        if let Some(variable) = self.named(cursor) {
            cursor.at += 1;
            let span = self.view.span(cursor.since(first));
            return Ok(Asked { subject: Subject::Variable(variable?), quantifier: None, span });
        }
        let quantifier = match cursor.kind() {
            Some(Tok::Any) => Some(Quantifier::Any),
            Some(Tok::Every) => Some(Quantifier::Every),
            Some(Tok::No) => Some(Quantifier::No),
            Some(Tok::That) => {
                cursor.at += 1;
                return self.that(cursor, first);
            }
            _ => None,
        };
        if quantifier.is_some() {
            cursor.at += 1;
        }
        let quantifier = match quantifier {
            None => {
                let mut probe = *cursor;
                if probe.take_all(&[known::AT, known::LEAST])
                    && let Some(token) = probe.take_kind(Tok::Number)
                {
                    let Some(count) = self.view.text(token).parse::<u32>().ok().filter(|&count| count > 0) else {
                        let shown = self.view.text(token);
                        return Err(Some(
                            Problem::at(
                                Code::OutOfRange,
                                self.view.span_of(token),
                                format!("`at least {shown}` asks for no number of things"),
                                "expected a whole number from 1 on",
                            )
                            .help("write `at least 2 sensor`; `any sensor` means at least one, `no sensor` none"),
                        ));
                    };
                    *cursor = probe;
                    Some(Quantifier::AtLeast(count))
                } else {
                    None
                }
            }
            some => some,
        };
        let Some(quantifier) = quantifier else {
            let Some(term) = self.term(cursor, "a part", SUBJECTS) else {
                return Err(None);
            };
            let span = self.view.span(cursor.since(first));
            if self.vocabulary.term(term).is_group() {
                // A sided name or kind without `any` means any of its members.
                let variable = self.variable(Domain::Group(term), None, span);
                return Ok(Asked { subject: Subject::Variable(variable), quantifier: Some(Quantifier::Any), span });
            }
            return Ok(Asked { subject: Subject::Term(term), quantifier: None, span });
        };
        let other = self.takes_other(cursor);
        let Some(mut domain) = self.domain(cursor) else {
            return Err(None);
        };
        if domain == Domain::Part
            && let Some(stretch) = self.stretch(cursor)?
        {
            domain = stretch;
        }
        let other_than = if other { self.others(domain, cursor.since(first)).map_err(Some)? } else { Vec::new() };
        let mut name = self.name(cursor)?;
        let related = self.relation(cursor)?;
        if name.is_none() {
            name = self.name(cursor)?;
        }
        let span = self.view.span(cursor.since(first));
        let binds = self.binding && quantifier == Quantifier::Any;
        let was = std::mem::replace(&mut self.binding, binds);
        let variable = self.variable(domain, related, span);
        self.binding = was;
        if let Some(found) = self.variables.get_mut(variable.0 as usize) {
            (found.name, found.other_than) = (name, other_than);
        }
        self.narrow(cursor, variable)?;
        Ok(Asked { subject: Subject::Variable(variable), quantifier: Some(quantifier), span })
    }

    pub(super) fn variable(&mut self, domain: Domain, related: Option<(TermId, Subject)>, span: Span) -> VariableId {
        let id = VariableId(self.variables.len() as u32);
        let (name, other_than, narrowed) = (None, Vec::new(), None);
        self.variables.push(Variable { domain, related, name, other_than, narrowed, loose: false, span });
        if self.binding {
            self.nameable.push(id);
        }
        id
    }

    /// A class word: `part`, `sensor`, `system`, `module`, or a kind or sided name.
    pub fn domain(&mut self, cursor: &mut Cursor<'a>) -> Option<Domain> {
        let named = cursor.find(|vocabulary, meaning| {
            matches!(meaning.role, Role::Name | Role::Alias) && vocabulary.term(meaning.term).is_group()
        });
        if let Some(found) = named {
            cursor.at += found.length;
            return Some(Domain::Group(found.meaning.term));
        }
        for (word, domain) in [
            (known::PART, Domain::Part),
            (known::SENSOR, Domain::Sensor),
            (known::SYSTEM, Domain::System),
            (known::MODULE, Domain::Module),
        ] {
            if cursor.take(word) {
                return Some(domain);
            }
        }
        self.missed(cursor, "a class", &[Class::Kind]);
        None
    }

    /// `from A to B of LINE` after `part`, if it stands here.
    fn stretch(&mut self, cursor: &mut Cursor<'a>) -> Read<Option<Domain>> {
        const PARTS: &[Class] = &[Class::Part, Class::Sensor, Class::Module];
        let first = cursor.at;
        if !cursor.take(known::FROM) {
            return Ok(None);
        }
        let from_at = cursor.at;
        if cursor.kind() == Some(Tok::Number) && cursor.find(|_, _| true).is_none() {
            // `film thickness of any part from 1 mm to 3 mm`.
            cursor.at = first;
            return Ok(None);
        }
        let Some(from) = self.term(cursor, "a part", PARTS) else { return Err(None) };
        let from_range = cursor.since(from_at);
        if !cursor.take(known::TO) {
            self.missed(cursor, "`to` and a part", &[]);
            return Err(None);
        }
        let to_at = cursor.at;
        let Some(to) = self.term(cursor, "a part", PARTS) else { return Err(None) };
        let to_range = cursor.since(to_at);
        if !cursor.take(known::OF) {
            self.missed(cursor, "`of` and a line", &[]);
            return Err(None);
        }
        let Some(line) = self.term(cursor, "a line", &[Class::Line]) else { return Err(None) };
        let Detail::Line(parts) = &self.vocabulary.term(line).detail else { return Err(None) };
        let names = || {
            let names: Vec<&str> = parts.iter().map(|&part| self.vocabulary.name(part)).collect();
            names.join(", ")
        };
        let declared = self.vocabulary.term(line).span;
        let place = |part: TermId, range| match parts.iter().position(|&on| on == part) {
            Some(place) => Ok(place as u32),
            None => Err(Some(
                Problem::at(
                    Code::WrongClass,
                    self.view.span(range),
                    format!("`{}` is not on the line `{}`", self.view.name(range), self.vocabulary.name(line)),
                    "no place of this line",
                )
                .context(declared, "declared here")
                .help(format!("its parts are, in order: {}", names())),
            )),
        };
        let (one, two) = (place(from, from_range)?, place(to, to_range)?);
        if one > two {
            let (from, to) = (self.view.name(from_range), self.view.name(to_range));
            return Err(Some(
                Problem::at(
                    Code::OutOfRange,
                    self.view.span(cursor.since(first)),
                    format!("`{from}` comes after `{to}` on the line `{}`", self.vocabulary.name(line)),
                    "no part lies from the one to the other",
                )
                .context(declared, "declared here")
                .help(format!("write `from {to} to {from}`; its parts are, in order: {}", names())),
            ));
        }
        Ok(Some(Domain::Stretch { line, first: one, last: two }))
    }

    pub(super) fn that(&mut self, cursor: &mut Cursor<'a>, first: u32) -> Read<Asked> {
        let Some(domain) = self.domain(cursor) else {
            return Err(None);
        };
        let span = self.view.span(cursor.since(first));
        let fits = |id: &VariableId| {
            self.variables.get(id.0 as usize).is_some_and(|variable| self.same_class(variable.domain, domain))
        };
        // After `where` the one meant is `it`; `that` is another.
        let another = |id: &VariableId| self.it != Some(*id) && fits(id);
        let found: Vec<VariableId> = self.nameable.iter().copied().filter(another).collect();
        if let &[one] = found.as_slice() {
            return Ok(Asked { subject: Subject::Variable(one), quantifier: None, span });
        }
        let shown = self.view.written(cursor.since(first));
        if found.is_empty() {
            return Err(Some(self.points_at_nothing(span, &shown, &fits)));
        }
        let mut problem = Problem::at(
            Code::ThatUnclear,
            span,
            format!("`{shown}` could be either of two"),
            "which one is meant?",
        )
        .help("give each a name where it is named first, as in `any sensor as first` and `any other sensor as second`");
        for id in &found {
            if let Some(variable) = self.variables.get(id.0 as usize) {
                problem = problem.context(variable.span, "this one?");
            }
        }
        Err(Some(problem))
    }

    /// `that CLASS` where no class word may be pointed at; one that is named but hidden is shown.
    fn points_at_nothing(&self, span: Span, shown: &str, fits: &dyn Fn(&VariableId) -> bool) -> Problem {
        let message = format!("`{shown}` points at nothing");
        let hidden = (0..self.variables.len() as u32).map(VariableId).find(fits);
        match hidden.and_then(|id| self.variables.get(id.0 as usize)) {
            Some(variable) => Problem::at(Code::ThatUnclear, span, message, "it cannot point at the one named before")
                .context(
                    variable.span,
                    "this one stands under `no`, `every`, `not` or `unless`, or in one limb of `or`",
                )
                .help("there it stands for none, or for no one in particular; name it with `any` in `when`, outside of these, or write two rules"),
            None => Problem::at(Code::ThatUnclear, span, message, "no `any` of that class stands before it")
                .help("name it first in `when`, as in `any sensor behind front fascia is touched`"),
        }
    }

    pub(super) fn same_class(&self, of: Domain, named: Domain) -> bool {
        let class = |domain: Domain| match domain {
            Domain::Part | Domain::Stretch { .. } => Some(Class::Part),
            Domain::Sensor => Some(Class::Sensor),
            Domain::System => Some(Class::System),
            Domain::Module => Some(Class::Module),
            Domain::Group(term) => {
                let group = self.vocabulary.term(term);
                group.of.or(Some(group.class))
            }
        };
        of == named || (!matches!(named, Domain::Group(_)) && class(of) == class(named))
    }
}
