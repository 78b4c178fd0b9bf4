//! Conclusions: what a rule says once its condition holds.

use knockon_syntax::Tok;
use knockon_syntax::tree::{self, Range};
use knockon_text::suggest::nearest;
use knockon_text::{Code, Problem};

use super::sentence::{Asked, Read, Sentences};
use crate::phrases::Role;
use crate::resolved::{Conclusion, ConclusionKind, Condition, Duty, Form, Permission, Quantifier, Subject, VariableId};
use crate::unknown;
use crate::view::Cursor;
use crate::vocabulary::Class;
use crate::words::known;

impl<'a> Sentences<'a> {
    /// One conclusion of the tree; `before` are those of the rule that stand before it.
    pub fn conclusion(&mut self, conclusion: &tree::Conclusion, before: &[Conclusion]) -> Result<Conclusion, Problem> {
        let span = self.view.span(conclusion.range);
        let mut every = Vec::new();
        let was = std::mem::replace(&mut self.binding, false);
        let kind = match &conclusion.kind {
            tree::ConclusionKind::UntilThen(range) => self.off(*range, before, &mut every),
            kind => self.conclusion_kind(kind, &mut every),
        };
        self.binding = was;
        Ok(Conclusion { kind: kind?, every, span })
    }

    fn conclusion_kind(
        &mut self,
        kind: &tree::ConclusionKind,
        every: &mut Vec<VariableId>,
    ) -> Result<ConclusionKind, Problem> {
        match kind {
            tree::ConclusionKind::Require { what, words } => {
                let words = words.map(|token| self.view.quoted(token));
                Ok(ConclusionKind::Require { duty: self.due(*what, every)?, words })
            }
            tree::ConclusionKind::Either { advised, ways, words } => {
                let words = words.map(|token| self.view.quoted(token));
                Ok(ConclusionKind::Either { advised: *advised, ways: self.ways(ways)?, words })
            }
            tree::ConclusionKind::OpenList { advised, listed, words } => {
                let words = words.map(|token| self.view.quoted(token));
                Ok(ConclusionKind::OpenList { advised: *advised, listed: self.listed(listed, every)?, words })
            }
            tree::ConclusionKind::Advise { what, words } => {
                let words = words.map(|token| self.view.quoted(token));
                Ok(ConclusionKind::Advise { duty: self.due(*what, every)?, words })
            }
            tree::ConclusionKind::LeaveOpen { what, because } => {
                let because = self.view.quoted(*because);
                Ok(ConclusionKind::LeaveOpen { duty: self.due(*what, every)?, because })
            }
            tree::ConclusionKind::Gap(what) => {
                Ok(ConclusionKind::LeaveOpen { duty: self.due(*what, every)?, because: "gap as printed".to_string() })
            }
            tree::ConclusionKind::Waive { what } => {
                if let Some(rule) = self.rule_waived(*what) {
                    return Ok(ConclusionKind::WaiveRule(rule));
                }
                let (duty, of, after) = self.reading(*what, |reader, cursor| {
                    let (duty, of) = reader.duty(cursor)?;
                    let after = if cursor.take(known::AFTER) { Some(reader.events(cursor)?) } else { None };
                    Ok((duty, of, after))
                })?;
                self.run_over(of.as_ref(), every)?;
                Ok(ConclusionKind::Waive { duty, after })
            }
            tree::ConclusionKind::Forbid { what } => Ok(ConclusionKind::Forbid(self.permission(*what, every)?)),
            tree::ConclusionKind::Allow { only, what, limit } => {
                let permission = self.permission(*what, every)?;
                let limit = limit.as_ref().map(|limit| self.condition(limit)).transpose()?;
                Ok(ConclusionKind::Allow { permission, only: *only, limit })
            }
            tree::ConclusionKind::Hold { what, until } => {
                let duty = self.due(*what, every)?;
                Ok(ConclusionKind::Hold { duty, until: self.condition(until)? })
            }
            tree::ConclusionKind::Set { what, by, rows } => {
                self.value(*what, *by, rows, every).map(ConclusionKind::Set)
            }
            tree::ConclusionKind::Ask(text) => Ok(ConclusionKind::Ask(self.view.quoted(*text))),
            tree::ConclusionKind::Warn(text) => Ok(ConclusionKind::Warn(self.view.quoted(*text))),
            tree::ConclusionKind::UntilThen(range) => self.off(*range, &[], every),
            tree::ConclusionKind::Statement(range) => self.statement(*range, every),
        }
    }

    /// `what "rule" asks`.
    fn rule_waived(&self, range: Range) -> Option<String> {
        let mut cursor = self.cursor(range);
        if !cursor.take(known::WHAT) {
            return None;
        }
        let token = cursor.take_kind(Tok::Text)?;
        (cursor.take(known::ASKS) && cursor.is_done()).then(|| self.view.quoted(token))
    }

    fn due(&mut self, range: Range, every: &mut Vec<VariableId>) -> Result<Duty, Problem> {
        let (duty, of) = self.reading(range, |reader, cursor| reader.duty(cursor))?;
        self.run_over(of.as_ref(), every)?;
        Ok(duty)
    }

    /// The duties of a set, any one of which will do.
    fn ways(&mut self, ranges: &[Range]) -> Result<Vec<Duty>, Problem> {
        let mut ways: Vec<Duty> = Vec::new();
        for &range in ranges {
            let mut every = Vec::new();
            let duty = self.due(range, &mut every)?;
            if !every.is_empty() {
                return Err(Problem::at(
                    Code::ThatUnclear,
                    self.view.span(range),
                    "`every` among duties any one of which will do",
                    "all of them, or one of them?",
                )
                .help("write `that CLASS` for the one the condition named, so that each has its own choice"));
            }
            if ways.contains(&duty) {
                return Err(Problem::at(
                    Code::UnexpectedWord,
                    self.view.span(range),
                    format!("`{}` is named twice among duties any one of which will do", self.view.written(range)),
                    "it is among them already",
                )
                .help("name another one, or write `require` without `either` if there is only one"));
            }
            ways.push(duty);
        }
        Ok(ways)
    }

    /// What a text lists before "and others": the first names the procedure for all of them.
    fn listed(&mut self, ranges: &[Range], every: &mut Vec<VariableId>) -> Result<Vec<Duty>, Problem> {
        let mut listed: Vec<Duty> = Vec::new();
        for &range in ranges {
            let duty = match listed.first() {
                None => self.due(range, every)?,
                Some(&Duty { procedure, .. }) => {
                    let asked = self.reading(range, |reader, cursor| reader.asked(cursor))?;
                    self.run_over(Some(&asked), every)?;
                    Duty { procedure, of: Some(asked.subject) }
                }
            };
            if duty.of.is_none() {
                return Err(Problem::at(
                    Code::ListOfNothing,
                    self.view.span(range),
                    format!("`{}` is of nothing, and so it has no others", self.vocabulary.name(duty.procedure)),
                    "its declaration has no `of`",
                )
                .help("write `leave open P because \"...\"` if the text does not say which procedures are meant"));
            }
            if listed.contains(&duty) {
                return Err(Problem::at(
                    Code::UnexpectedWord,
                    self.view.span(range),
                    format!("`{}` is listed twice", self.view.written(range)),
                    "it is in the list already",
                )
                .help("list each once, and end with `and others not listed`"));
            }
            listed.push(duty);
        }
        Ok(listed)
    }

    /// A class word in a conclusion must say `every` or `that`.
    pub(super) fn run_over(&self, asked: Option<&Asked>, every: &mut Vec<VariableId>) -> Result<(), Problem> {
        let Some(Asked { subject: Subject::Variable(variable), quantifier: Some(quantifier), span }) = asked else {
            return Ok(());
        };
        if *quantifier == Quantifier::Every {
            every.push(*variable);
            return Ok(());
        }
        let shown = self.view.source.text.get(span.start as usize..span.end as usize).unwrap_or("");
        Err(Problem::at(
            Code::ThatUnclear,
            *span,
            format!("which of them does `{shown}` mean in a conclusion?"),
            "one, or every one?",
        )
        .help("write `that CLASS` for the one the condition named, or `every CLASS` for all of them"))
    }

    fn permission(&mut self, range: Range, every: &mut Vec<VariableId>) -> Result<Permission, Problem> {
        let (permission, asked) = self.reading(range, |reader, cursor| reader.permission_at(cursor))?;
        self.run_over(Some(&asked), every)?;
        Ok(permission)
    }

    /// What is said where the -ing form of an operation should stand: the operation meant, if it can be told.
    fn no_doing(&mut self, cursor: &Cursor<'a>) -> Option<Problem> {
        let run = unknown::run_at(self.view, cursor.at, cursor.end);
        let doings = || {
            let sees = |term: &crate::vocabulary::Term| self.vocabulary.sees(self.view.source.file, term.span.file);
            self.vocabulary
                .iter()
                .filter(move |(_, term)| sees(term))
                .filter_map(|(id, term)| Some((term.name.as_str(), self.vocabulary.happening(id)?.doing.as_deref()?)))
        };
        let shown = self.view.name(run);
        let near = nearest(&shown, doings().flat_map(|(name, doing)| [name, doing]));
        let meant = doings().find(|(name, doing)| near.contains(name) || near.contains(doing) || *name == shown);
        let Some((_, doing)) = meant.filter(|_| !run.is_empty()) else {
            self.missed(cursor, "the -ing form of an operation, as in `drilling of radar bracket`", &[]);
            return None;
        };
        Some(
            Problem::at(
                Code::UnexpectedWord,
                self.view.span(run),
                format!("`{shown}` is not the -ing form of an operation"),
                format!("did you mean `{doing}`?"),
            )
            .help("what is forbidden or allowed is named by the form that the operation's declaration gives after `doing`"),
        )
    }

    /// `DOING of PART [in ZONE]`.
    fn permission_at(&mut self, cursor: &mut Cursor<'a>) -> Read<(Permission, Asked)> {
        let doing = cursor.find(|_, meaning| meaning.role == Role::Doing);
        let Some(doing) = doing else {
            return Err(self.no_doing(cursor));
        };
        cursor.at += doing.length;
        if !cursor.take(known::OF) {
            self.missed(cursor, "`of` and a part", &[]);
            return Err(None);
        }
        let asked = self.asked(cursor)?;
        let zone = if cursor.take(known::IN) {
            match self.term(cursor, "a zone", &[Class::Zone]) {
                Some(zone) => Some(zone),
                None => return Err(None),
            }
        } else {
            None
        };
        Ok((Permission { operation: doing.meaning.term, part: asked.subject, zone }, asked))
    }

    /// `A before B`, or `SUBJECT is STATE`.
    fn statement(&mut self, range: Range, every: &mut Vec<VariableId>) -> Result<ConclusionKind, Problem> {
        let order = self.reading(range, |reader, cursor| {
            let first = reader.duty(cursor)?;
            if !cursor.take(known::BEFORE) {
                return Err(None);
            }
            Ok((first, reader.duty(cursor)?))
        });
        let mut probe = self.cursor(range);
        let begins_with_procedure = probe.take_term(|class| class == Class::Procedure).is_some();
        match order {
            Ok(((first, of_first), (second, of_second))) => {
                self.run_over(of_first.as_ref(), every)?;
                self.run_over(of_second.as_ref(), every)?;
                return Ok(ConclusionKind::Before(first, second));
            }
            Err(problem) if begins_with_procedure => return Err(problem),
            Err(_) => {}
        }
        let piece = self.piece(range)?;
        if let super::sentence::Piece::Whole(condition) = piece {
            let (condition, quantifier) = match condition {
                Condition::Quantified { quantifier, variable, body } => (*body, Some((quantifier, variable))),
                other => (other, None),
            };
            if let Condition::Sentence(Form::State(subject, state), span) = condition {
                let asked = Asked { subject, quantifier: quantifier.map(|(quantifier, _)| quantifier), span };
                self.run_over(Some(&asked), every)?;
                return Ok(ConclusionKind::State(subject, state));
            }
        }
        Err(Problem::at(
            Code::UnexpectedWord,
            self.view.span(range),
            format!("`{}` is no conclusion", self.view.written(range)),
            "neither a duty, a permission, an order nor a state",
        )
        .help("say what to do: `require PROCEDURE of PART`, `advise`, `waive`, `hold`; `forbid DOING of PART`, `allow`; `A before B`; or `PART is STATE`"))
    }
}
