//! Lines that state what holds for cars: ties, access, equipment, complete lists.

use knockon_syntax::Tok;
use knockon_syntax::tree::{self, Range};
use knockon_text::suggest::nearest;
use knockon_text::{Code, Problem, Span};

use super::Resolver;
use super::scopes::maker_and_models;
use crate::phrases::Role;
use crate::resolved::{Citation, Fact, FactKind, List, ScopeId, is_inside};
use crate::unknown;
use crate::view::{Cursor, View};
use crate::vocabulary::{Class, Detail, TermId};
use crate::words::known;

/// A fact, and what it takes the place of.
type Said = (FactKind, Vec<TermId>);

impl<'a> Resolver<'a> {
    pub(super) fn fact(&mut self, view: &'a View<'a>, fact: &tree::Fact, range: Range, scope: ScopeId) {
        let per = match &fact.per {
            Some(reference) => match self.citation(view, reference) {
                Some(citation) => Some(citation),
                None => return,
            },
            None => None,
        };
        let mut cursor = Cursor::new(view, self.vocabulary, fact.sentence);
        let kinds = match per.as_ref().filter(|_| fact.silent) {
            Some(per) => self.says_nothing(view, &mut cursor, per).map(|kind| vec![(kind, Vec::new())]),
            None => self.fact_kinds(view, &mut cursor),
        };
        match kinds {
            Ok(kinds) => {
                let span = view.span(range);
                self.facts.extend(kinds.into_iter().map(|(kind, instead)| Fact {
                    scope,
                    kind,
                    instead,
                    per: per.clone(),
                    declared: None,
                    span,
                }));
            }
            Err(problem) => self.problems.push(problem),
        }
    }

    fn fact_kinds(&self, view: &'a View<'a>, cursor: &mut Cursor<'a>) -> Result<Vec<Said>, Problem> {
        if let Some(list) = self.complete(view, cursor)? {
            return Ok(vec![(list, Vec::new())]);
        }
        if matches!(cursor.kind(), Some(Tok::Every | Tok::No)) {
            return Ok(self.has(view, cursor)?.into_iter().map(|has| (has, Vec::new())).collect());
        }
        if let Some(carried_out) = self.carried_out_as(view, cursor)? {
            return Ok(vec![(carried_out, Vec::new())]);
        }
        // A name whose first word begins something else cannot stand first on a line: `the sensor bracket is behind ...`.
        if cursor.find(|_, _| true).is_none() {
            cursor.take(known::THE);
        }
        let doing = cursor.find(|_, meaning| meaning.role == Role::Doing);
        if let Some(found) = doing {
            cursor.at += found.length;
            return self.access(view, cursor, found.meaning.term);
        }
        let parts = self.one(view, cursor, "a part")?;
        cursor.take(known::IS);
        let Some((relation, _)) = cursor.take_term(|class| class == Class::Relation) else {
            let run = unknown::run_at(view, cursor.at, cursor.end);
            return Err(unknown::phrase(view, self.vocabulary, run, "a relation", &|_, class| class == Class::Relation)
                .help("a fact is: PART is RELATION PART; DOING PART takes off PART; every MODEL has TERM; ... list is complete"));
        };
        let mut kinds = Vec::new();
        loop {
            let first = cursor.at;
            let measure =
                cursor.take_term(|class| class.is_equipment() || matches!(class, Class::Kind | Class::Measure));
            let to = match measure {
                Some((to, _)) => to,
                None => self.one(view, cursor, "a part")?,
            };
            let span = view.span(cursor.since(first));
            for part in self.vocabulary.members(parts) {
                kinds.push(FactKind::Related { part, relation, to: self.of_its_side(part, to, span)? });
            }
            if cursor.take_kind(Tok::Comma).is_none() {
                break;
            }
        }
        self.in_place_of(view, cursor, kinds)
    }

    /// The one of several that is of a part's side.
    fn of_its_side(&self, part: TermId, to: TermId, span: Span) -> Result<TermId, Problem> {
        let targets = self.vocabulary.members(to);
        let side = &self.vocabulary.term(part).side;
        let target = match targets.as_slice() {
            &[one] => Some(one),
            many => many.iter().copied().find(|&id| side.is_some() && self.vocabulary.term(id).side == *side),
        };
        target.ok_or_else(|| self.side_missing(span, to))
    }

    /// `instead of PART, PART` at the end of a tie or of what comes off on the way, if it stands here.
    fn in_place_of(
        &self,
        view: &'a View<'a>,
        cursor: &mut Cursor<'a>,
        kinds: Vec<FactKind>,
    ) -> Result<Vec<Said>, Problem> {
        let mut said: Vec<Said> = kinds.into_iter().map(|kind| (kind, Vec::new())).collect();
        if cursor.take_all(&[known::INSTEAD, known::OF]) {
            loop {
                let first = cursor.at;
                let measured = cursor.take_term(|class| class == Class::Measure);
                let other = match measured {
                    Some((measure, _)) => measure,
                    None => self.one(view, cursor, "a part")?,
                };
                let span = view.span(cursor.since(first));
                for (kind, instead) in &mut said {
                    if let FactKind::Related { part, .. } | FactKind::Access { part, .. } = kind {
                        instead.push(self.of_its_side(*part, other, span)?);
                    }
                }
                if cursor.take_kind(Tok::Comma).is_none() {
                    break;
                }
            }
        }
        self.end(view, cursor)?;
        Ok(said)
    }

    /// What takes the place of something must find it there, said for more cars than its own.
    pub(super) fn check_places(&mut self) {
        for fact in self.facts.iter().filter(|fact| !fact.instead.is_empty()) {
            let others = || self.facts.iter().filter(|other| fact.takes_the_place_of(other));
            let makers = |fact: &Fact| {
                let source = fact.per.as_ref().and_then(|per| self.sources.get(per.source.0 as usize));
                source.is_some_and(|source| source.rank.is_makers())
            };
            let (label, beside) = if let Some(said) = others().find(|other| makers(other) && !makers(fact)) {
                ("this is on no maker's word, and what it would take away is", Some(said.span))
            } else if let Some(beside) = others().find(|other| other.scope == fact.scope) {
                ("the same cars have both", Some(beside.span))
            } else if !others().any(|other| !is_inside(&self.scopes, other.scope, fact.scope)) {
                ("nothing says so of more cars than these", None)
            } else {
                continue;
            };
            let names: Vec<String> =
                fact.instead.iter().map(|&other| format!("`{}`", self.vocabulary.name(other))).collect();
            let mut problem = Problem::at(
                Code::InsteadOfNothing,
                fact.span,
                format!("this cannot stand in the place of {}", names.join(", ")),
                label,
            )
            .help("it takes the place of what holds for more cars: write it in a scope for the cars that differ, with `per` and the maker's text that says so, and without `instead of` where nothing has to give way");
            if let Some(beside) = beside {
                problem = problem.context(beside, "said here");
            }
            self.problems.push(problem);
        }
    }

    /// `PART HAPPENING, for SENSOR, SENSOR`: what a text was looked through for, and says nothing of.
    fn says_nothing(&self, view: &'a View<'a>, cursor: &mut Cursor<'a>, per: &Citation) -> Result<FactKind, Problem> {
        self.may_be_silent(per)?;
        let alone = |class: Class| class == Class::Event;
        let mut probe = *cursor;
        let event = probe.take_term(alone).map(|(event, _)| event);
        let event = event.filter(|&event| self.vocabulary.happening(event).is_some_and(|happening| !happening.of));
        let (what, subject) = match event {
            Some(event) => {
                *cursor = probe;
                (event, None)
            }
            None => {
                let part = self.one(view, cursor, "a part")?;
                let happens = |class: Class| matches!(class, Class::Operation | Class::Finding | Class::Event);
                let Some((what, _)) = cursor.take_term(happens) else {
                    let run = unknown::run_at(view, cursor.at, cursor.end);
                    let wanted = "an operation, finding or event";
                    return Err(unknown::phrase(view, self.vocabulary, run, wanted, &|_, class| happens(class)));
                };
                (what, Some(part))
            }
        };
        if cursor.take_kind(Tok::Comma).is_none() || !cursor.take(known::FOR) {
            return Err(Problem::at(
                Code::UnexpectedWord,
                view.span(unknown::run_at(view, cursor.at, cursor.end)),
                "for which sensor does the text say nothing?",
                "`, for` and the sensor are missing before this",
            )
            .help("write `SOURCE says nothing of PART HAPPENING, for SENSOR`"));
        }
        let mut sensors = Vec::new();
        loop {
            let first = cursor.at;
            let sensor = self.one(view, cursor, "a sensor")?;
            let members = self.vocabulary.members(sensor);
            if !members.iter().all(|&member| self.vocabulary.class(member) == Class::Sensor) {
                return Err(Problem::at(
                    Code::WrongClass,
                    view.span(cursor.since(first)),
                    format!("`{}` is no sensor, and only sensors are silent", self.vocabulary.name(sensor)),
                    "a sensor is meant here",
                )
                .context(self.vocabulary.term(sensor).span, "declared here")
                .help("name the sensor that the text was looked through for"));
            }
            sensors.push(sensor);
            if cursor.take_kind(Tok::Comma).is_none() {
                break;
            }
        }
        self.end(view, cursor)?;
        Ok(FactKind::SaysNothing { what, subject, sensors })
    }

    /// Only a text of the maker's that was looked through ends the search of whoever asks.
    fn may_be_silent(&self, per: &Citation) -> Result<(), Problem> {
        let Some(source) = self.sources.get(per.source.0 as usize) else { return Ok(()) };
        let (message, label) = if !source.rank.is_makers() {
            (format!("`{}` is no maker's text", source.name), "a silence is the maker's")
        } else if source.read_in_part && per.section.is_none() {
            (format!("`{}` was read in part", source.name), "what it says elsewhere nobody knows")
        } else {
            return Ok(());
        };
        Err(Problem::at(Code::SilenceNotRecorded, per.span, message, label)
            .context(source.span, "described here")
            .help("record a silence of a maker's text that was looked through, or of the section that was"))
    }

    fn side_missing(&self, span: knockon_text::Span, group: TermId) -> Problem {
        let names: Vec<String> =
            self.vocabulary.members(group).iter().map(|&id| format!("`{}`", self.vocabulary.name(id))).collect();
        Problem::at(
            Code::SideMissing,
            span,
            format!("`{}` names several; which one is meant?", self.vocabulary.name(group)),
            "say which of them",
        )
        .help(format!("name one of {}", names.join(", ")))
    }

    /// `mounted on list [of TERM] is complete`, `access list of TERM is complete`, `sensor list is complete`.
    fn complete(&self, view: &'a View<'a>, cursor: &mut Cursor<'a>) -> Result<Option<FactKind>, Problem> {
        let mut probe = *cursor;
        // A class word cannot stand first on a line of its own: `the sensor list is complete`.
        probe.take(known::THE);
        let list = if probe.take(known::ACCESS) {
            Some(List::Access)
        } else if let Some((relation, _)) = probe.take_term(|class| class == Class::Relation) {
            Some(List::Relation(relation))
        } else if let Some((kind, _)) = probe.take_term(|class| class == Class::Kind) {
            Some(List::Kind(kind))
        } else if probe.take(known::SENSOR) {
            Some(List::Class(Class::Sensor))
        } else if probe.take(known::PART) {
            Some(List::Class(Class::Part))
        } else if probe.take(known::SYSTEM) {
            Some(List::Class(Class::System))
        } else if probe.take(known::MODULE) {
            Some(List::Class(Class::Module))
        } else {
            None
        };
        let (Some(list), true) = (list, probe.take(known::LIST)) else {
            return Ok(None);
        };
        *cursor = probe;
        let of = if cursor.take(known::OF) { Some(self.one(view, cursor, "a part")?) } else { None };
        if !cursor.take_all(&[known::IS, known::COMPLETE]) {
            return Err(Problem::at(
                Code::UnexpectedWord,
                view.span(unknown::run_at(view, cursor.at, cursor.end)),
                "a list fact ends in `is complete`",
                "expected `is complete`",
            )
            .help("write `access list of left headlamp is complete, per SOURCE`"));
        }
        self.end(view, cursor)?;
        Ok(Some(FactKind::Complete { list, of }))
    }

    /// `every car has TERM`, `no Sedge has TERM`.
    fn has(&self, view: &'a View<'a>, cursor: &mut Cursor<'a>) -> Result<Vec<FactKind>, Problem> {
        let yes = cursor.kind() == Some(Tok::Every);
        cursor.at += 1;
        let models = if cursor.take(known::CAR) { Vec::new() } else { self.models(view, cursor)? };
        if !cursor.take(known::HAS) {
            return Err(Problem::at(
                Code::UnexpectedWord,
                view.span(unknown::run_at(view, cursor.at, cursor.end)),
                "what do these cars have?",
                "expected `has` and equipment",
            )
            .help("write `every car has front radar`; model years belong to the scope around: `for Brindle Sedge 2020 { ... }`"));
        }
        let mut kinds = Vec::new();
        loop {
            let what = self.one(view, cursor, "equipment")?;
            for what in self.vocabulary.members(what) {
                kinds.push(FactKind::Has { models: models.clone(), what, yes });
            }
            if cursor.take_kind(Tok::Comma).is_none() && !cursor.take(known::AND) {
                break;
            }
        }
        self.end(view, cursor)?;
        Ok(kinds)
    }

    /// `Sedge or Fen`, `Brindle Sedge`, or `Brindle` for all its models.
    fn models(&self, view: &'a View<'a>, cursor: &mut Cursor<'a>) -> Result<Vec<TermId>, Problem> {
        if let Some(cars) = maker_and_models(cursor) {
            let cars = cars?;
            if let (true, Some(maker)) = (cars.models.is_empty(), cars.maker)
                && matches!(&self.vocabulary.term(maker).detail, Detail::Maker(models) if models.is_empty())
            {
                // No model at all would be read as every car of the scope, of whichever maker.
                let name = self.vocabulary.name(maker);
                return Err(Problem::at(
                    Code::WrongClass,
                    view.span(cursor.rest_range()),
                    format!("no model of `{name}` is declared"),
                    "of which cars is this said?",
                )
                .context(self.vocabulary.term(maker).span, "declared here without models")
                .help(format!("write `for {name} {{ ... }}` around it and `every car has ...` inside")));
            }
            return Ok(match (cars.models.is_empty(), cars.maker.map(|maker| &self.vocabulary.term(maker).detail)) {
                (true, Some(Detail::Maker(all))) => all.clone(),
                _ => cars.models,
            });
        }
        let mut models = Vec::new();
        loop {
            match cursor.take_term(|class| class == Class::Model) {
                Some((model, _)) => models.push(model),
                None => {
                    let run = unknown::run_at(view, cursor.at, cursor.end);
                    return Err(unknown::phrase(view, self.vocabulary, run, "a model", &|_, class| {
                        class == Class::Model
                    })
                    .help("write `every car has front radar`, or name a model that its maker's declaration names"));
                }
            }
            if !(cursor.take(known::OR) || cursor.take_kind(Tok::Comma).is_some()) {
                return Ok(models);
            }
        }
    }

    /// `replacing left headlamp takes off front fascia, bumper bracket`.
    fn access(&self, view: &'a View<'a>, cursor: &mut Cursor<'a>, operation: TermId) -> Result<Vec<Said>, Problem> {
        let worked_on = self.worked_on(view, cursor)?;
        let usually = cursor.take(known::USUALLY);
        let mut kinds = Vec::new();
        loop {
            let verb = cursor.find(|_, meaning| meaning.role == Role::OnTheWay);
            let Some(verb) = verb else {
                return Err(self.no_verb(view, cursor));
            };
            cursor.at += verb.length;
            let effect = verb.meaning.term;
            loop {
                let to = self.worked_on(view, cursor)?;
                for part in self.vocabulary.members(worked_on) {
                    let side = self.vocabulary.term(part).side.clone();
                    let targets = self.vocabulary.members(to);
                    // A sided part takes off the target of its own side, where the target has sides.
                    let same: Vec<TermId> = targets
                        .iter()
                        .copied()
                        .filter(|&id| targets.len() == 1 || side.is_none() || self.vocabulary.term(id).side == side)
                        .collect();
                    let chosen = if same.is_empty() { targets } else { same };
                    for to in chosen {
                        kinds.push(FactKind::Access { operation, part, usually, effect, to });
                    }
                }
                if cursor.take_kind(Tok::Comma).is_none() {
                    break;
                }
                // `takes off A, unplugs B`: after the comma may stand the next verb.
                if cursor.find(|_, meaning| meaning.role == Role::OnTheWay).is_some() {
                    cursor.at -= 1;
                    break;
                }
            }
            if !(cursor.take_kind(Tok::Comma).is_some() || cursor.take(known::AND)) {
                break;
            }
        }
        self.in_place_of(view, cursor, kinds)
    }

    /// What is said where a verb of access should stand.
    fn no_verb(&self, view: &View<'_>, cursor: &Cursor<'_>) -> Problem {
        let run = unknown::run_at(view, cursor.at, cursor.end);
        let verbs: Vec<&str> = self
            .vocabulary
            .iter()
            .filter(|(_, term)| self.vocabulary.sees(view.source.file, term.span.file))
            .filter_map(|(id, _)| self.vocabulary.happening(id)?.on_the_way.as_deref())
            .collect();
        let near: Vec<String> =
            nearest(&view.name(run), verbs.iter().copied()).into_iter().map(|verb| format!("`{verb}`")).collect();
        let label = if near.is_empty() {
            "what does the work do on the way?".to_string()
        } else {
            format!("did you mean {}?", near.join(" or "))
        };
        let (code, message) = if run.is_empty() {
            (Code::UnexpectedWord, "nothing says what the work does on the way".to_string())
        } else {
            (Code::UnknownPhrase, format!("`{}` is no verb of work on the way", view.name(run)))
        };
        Problem::at(code, view.span(run), message, label)
            .help("the verbs are what operations declare with `on the way`: DOING PART takes off PART")
    }

    /// A part that is worked on: a system or an option is no thing that somebody could take hold of.
    fn worked_on(&self, view: &'a View<'a>, cursor: &mut Cursor<'a>) -> Result<TermId, Problem> {
        let first = cursor.at;
        let found = self.one(view, cursor, "a part")?;
        let term = self.vocabulary.term(found);
        let class = if term.class == Class::Kind { term.of.unwrap_or(term.class) } else { term.class };
        if class.is_part() {
            return Ok(found);
        }
        Err(Problem::at(
            Code::WrongClass,
            view.span(cursor.since(first)),
            format!("`{}` is {}, and only parts come off", term.name, unknown::a(class.word())),
            "no part, sensor or module",
        )
        .context(term.span, "declared here")
        .help("name what is taken off or moved; what a system loses is said by a rule, as `until then SYSTEM is off`"))
    }

    pub(super) fn one(&self, view: &'a View<'a>, cursor: &mut Cursor<'a>, wanted: &str) -> Result<TermId, Problem> {
        match cursor.take_term(|class| class.is_equipment() || class == Class::Kind) {
            Some((term, _)) => Ok(term),
            None => {
                let run = unknown::run_at(view, cursor.at, cursor.end);
                Err(unknown::phrase(view, self.vocabulary, run, wanted, &|_, class| class.is_equipment()))
            }
        }
    }

    pub(super) fn end(&self, view: &'a View<'a>, cursor: &Cursor<'a>) -> Result<(), Problem> {
        if cursor.is_done() {
            return Ok(());
        }
        let run = unknown::run_at(view, cursor.at, cursor.end);
        Err(Problem::at(
            Code::UnexpectedWord,
            view.span(run),
            format!("`{}` cannot stand here", view.written(run)),
            "the fact was complete before this",
        )
        .help("a fact ends here; a citation begins with `per`"))
    }
}
