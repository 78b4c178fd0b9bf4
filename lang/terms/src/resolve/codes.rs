//! Sentences and lines about trouble codes: what is stored in which module, and what a scan showed.

use knockon_measure::{CodePattern, CodeStatus, TroubleCode};
use knockon_syntax::Tok;
use knockon_text::{Code, Problem};

use super::sentence::{Piece, Read, Sentences, wrap};
use crate::resolved::{Codes, Condition, Domain, Entry, Form, FoundCode, Kept, ReadWhen, Scan, Subject};
use crate::view::Cursor;
use crate::vocabulary::{Class, TermId};
use crate::words::known;

const MODULES: &[Class] = &[Class::Module];

impl<'a> Sentences<'a> {
    /// Whether a sentence about codes begins here: `code CODE`, `any code`, `no code`.
    pub(super) fn starts_with_code(&self, cursor: &Cursor<'a>) -> bool {
        let mut probe = *cursor;
        let counted = probe.take_kind(Tok::Any).is_some() || probe.take_kind(Tok::No).is_some();
        if !probe.take(known::CODE) {
            return false;
        }
        let kept = |token: u32| {
            let word = if token < probe.end { self.view.words.get(token as usize).copied() } else { None };
            matches!(word, Some(known::STORED | known::PENDING))
        };
        let one = probe.kind() == Some(Tok::Text) || probe.at < probe.end && self.code_at(probe.at).is_ok();
        one || kept(probe.at + 1) || counted && (probe.word() == Some(known::OTHER) || kept(probe.at))
    }

    /// `code B3A17 stored in MODULE`, `no code [other than B3A17] stored in any module`.
    pub(super) fn code_sentence(&mut self, cursor: &mut Cursor<'a>, first: u32) -> Read<Piece> {
        let none = cursor.take_kind(Tok::No).is_some();
        let any = !none && cursor.take_kind(Tok::Any).is_some();
        cursor.take(known::CODE);
        let codes = if cursor.take(known::OTHER) {
            if !cursor.take(known::THAN) {
                self.missed(cursor, "`than` and a code", &[]);
                return Err(None);
            }
            Codes::OtherThan(self.code_pattern(cursor)?)
        } else if (none || any) && matches!(cursor.word(), Some(known::STORED | known::PENDING)) {
            Codes::Any
        } else {
            Codes::Like(self.code_pattern(cursor)?)
        };
        let kept = if cursor.take(known::STORED) {
            Kept::Stored
        } else if cursor.take(known::PENDING) {
            Kept::Pending
        } else {
            self.missed(cursor, "`stored` or `pending`", &[]);
            return Err(None);
        };
        if !cursor.take(known::IN) {
            self.missed(cursor, "`in` and a module", &[]);
            return Err(None);
        }
        let at = cursor.at;
        let was = self.binding;
        self.binding = was && !none;
        let asked = self.asked(cursor);
        self.binding = was;
        let asked = asked?;
        self.check_module(cursor, at, asked.subject)?;
        let span = self.view.span(cursor.since(first));
        let sentence = wrap(&asked, Condition::Sentence(Form::Code { codes, kept, module: asked.subject }, span));
        Ok(Piece::Whole(if none { Condition::Not(Box::new(sentence)) } else { sentence }))
    }

    /// That what stands after `in` is a module, or a class of them.
    fn check_module(&self, cursor: &Cursor<'a>, first: u32, subject: Subject) -> Read<()> {
        if self.is_module(subject) {
            return Ok(());
        }
        let span = self.view.span(cursor.since(first));
        let shown = self.view.written(cursor.since(first));
        Err(Some(
            Problem::at(Code::WrongClass, span, format!("`{shown}` stores no codes"), "a module is meant here")
                .help("name the module that stores them, declared as in `module front radar module`, or `any module`"),
        ))
    }

    /// Whether a subject is a module, or a class of them.
    pub(super) fn is_module(&self, subject: Subject) -> bool {
        match subject {
            Subject::Term(term) => self.vocabulary.class(term) == Class::Module,
            Subject::Variable(variable) => match self.variables.get(variable.0 as usize).map(|found| found.domain) {
                Some(Domain::Module) => true,
                Some(Domain::Group(group)) => {
                    self.vocabulary.members(group).iter().all(|&term| self.vocabulary.class(term) == Class::Module)
                }
                _ => false,
            },
        }
    }

    fn code_pattern(&mut self, cursor: &mut Cursor<'a>) -> Read<CodePattern> {
        let at = cursor.at;
        let text = match cursor.kind() {
            Some(Tok::Text) => self.view.quoted(at),
            Some(_) => self.view.text(at).to_string(),
            None => {
                self.missed(cursor, "a code", &[]);
                return Err(None);
            }
        };
        match CodePattern::parse(&text) {
            Ok(pattern) => {
                cursor.at += 1;
                Ok(pattern)
            }
            Err(error) => Err(Some(
                Problem::at(
                    Code::OutOfRange,
                    self.view.span_of(at),
                    format!("`{text}` is no trouble code, and no pattern of codes: {error}"),
                    "expected a code such as B3A17 or B3A17-54",
                )
                .help("a pattern stands in quotes; `?` is any one character, `*` at its end any rest, as in \"B3A??\""),
            )),
        }
    }

    fn code_at(&self, token: u32) -> Result<TroubleCode, knockon_measure::CodeError> {
        TroubleCode::parse(self.view.text(token))
    }

    /// `[on arrival | after work] [at TIME] of MODULE, ..., no codes | codes CODE ..., [tests run | tests not run]`.
    pub(super) fn scan(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<Entry>> {
        let when = if cursor.take_all(&[known::ON, known::ARRIVAL]) {
            ReadWhen::OnArrival
        } else if cursor.take_all(&[known::AFTER, known::WORK]) {
            ReadWhen::AfterWork
        } else {
            ReadWhen::NotSaid
        };
        let at = self.at(cursor)?;
        if !cursor.take(known::OF) {
            self.missed(cursor, "`of` and the modules that were read, or `of every module`", &[]);
            return Err(None);
        }
        let modules = if cursor.take_all(&[known::EVERY, known::MODULE]) {
            cursor.take_kind(Tok::Comma);
            None
        } else {
            Some(self.modules(cursor)?)
        };
        let codes = self.found_codes(cursor, modules.as_deref())?;
        let mut tested = None;
        if cursor.take_kind(Tok::Comma).is_some() {
            if !cursor.take(known::TESTS) {
                self.missed(cursor, "`tests run` or `tests not run`", &[]);
                return Err(None);
            }
            tested = Some(cursor.take_kind(Tok::Not).is_none());
            if !cursor.take(known::RUN) {
                self.missed(cursor, "`run`", &[]);
                return Err(None);
            }
        }
        Ok(vec![Entry::Scan(Scan { when, at, modules, codes, tested })])
    }

    fn modules(&mut self, cursor: &mut Cursor<'a>) -> Read<Vec<TermId>> {
        let mut modules = Vec::new();
        loop {
            let Some(module) = self.term(cursor, "a module", MODULES) else {
                return Err(None);
            };
            modules.push(module);
            if cursor.take_kind(Tok::Comma).is_none() {
                self.missed(cursor, "a comma, then `no codes` or `codes` and the codes", &[]);
                return Err(None);
            }
            if cursor.kind() == Some(Tok::No) || cursor.word() == Some(known::CODES) {
                return Ok(modules);
            }
        }
    }

    /// `no codes`, or `codes CODE [status 0x2F | pending] [in MODULE], ...`.
    fn found_codes(&mut self, cursor: &mut Cursor<'a>, modules: Option<&[TermId]>) -> Read<Vec<FoundCode>> {
        if cursor.take_kind(Tok::No).is_some() && cursor.take(known::CODES) {
            return Ok(Vec::new());
        }
        if !cursor.take(known::CODES) {
            self.missed(cursor, "`no codes`, or `codes` and the codes", &[]);
            return Err(None);
        }
        let mut codes = Vec::new();
        loop {
            codes.push(self.found_code(cursor, modules)?);
            let mut probe = *cursor;
            if probe.take_kind(Tok::Comma).is_none() || probe.word() == Some(known::TESTS) {
                return Ok(codes);
            }
            *cursor = probe;
        }
    }

    fn found_code(&mut self, cursor: &mut Cursor<'a>, modules: Option<&[TermId]>) -> Read<FoundCode> {
        let at = cursor.at;
        if cursor.is_done() {
            self.missed(cursor, "a code", &[]);
            return Err(None);
        }
        let code = self.code_at(at).map_err(|error| {
            Some(
                Problem::at(
                    Code::OutOfRange,
                    self.view.span_of(at),
                    format!("`{}` is no trouble code: {error}", self.view.text(at)),
                    "expected a code such as B3A17 or B3A17-54",
                )
                .help("write the code as the module gives it, with its failure type after a hyphen where it has one"),
            )
        })?;
        cursor.at += 1;
        let pending = cursor.take(known::PENDING);
        let status = if !pending && cursor.take(known::STATUS) { Some(self.status(cursor)?) } else { None };
        let module = if cursor.take(known::IN) {
            let token = cursor.at;
            let Some(module) = self.term(cursor, "a module", MODULES) else {
                return Err(None);
            };
            if modules.is_some_and(|modules| !modules.contains(&module)) {
                let name = self.vocabulary.name(module);
                return Err(Some(
                    Problem::at(
                        Code::JobContradiction,
                        self.view.span(cursor.since(token)),
                        format!("`{name}` was not read by this scan"),
                        "a code of a module that was not read",
                    )
                    .help("name it after `of` too, or take the code away"),
                ));
            }
            module
        } else {
            match modules {
                Some(&[one]) => one,
                _ => {
                    self.missed(cursor, "`in` and the module that shows the code, because several were read", &[]);
                    return Err(None);
                }
            }
        };
        Ok(FoundCode { code, status, pending, module })
    }

    fn status(&mut self, cursor: &mut Cursor<'a>) -> Read<CodeStatus> {
        let at = cursor.at;
        let text = if cursor.is_done() { "" } else { self.view.text(at) };
        let byte = text.strip_prefix("0x").and_then(|digits| u8::from_str_radix(digits, 16).ok());
        match byte {
            Some(byte) => {
                cursor.at += 1;
                Ok(CodeStatus::new(byte))
            }
            None => {
                self.missed(cursor, "the status as two hexadecimal digits, as in `0x2F`", &[]);
                Err(None)
            }
        }
    }
}
