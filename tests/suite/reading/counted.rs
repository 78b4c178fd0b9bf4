//! What generated files hold: every variant of the resolved tree by name, so that one nobody generates is seen.

use std::collections::BTreeMap;

use knockon_lang::terms::Resolved;
use knockon_lang::terms::resolved::{
    CarryingOutClause, Case, Codes, ConclusionKind, Condition, Domain, Ending, Entry, ExpectKind, FactKind, FactName,
    Form, Instructed, Instruction, Involves, Knowable, List, Permitted, Quantifier, Sections, SetTo, Subject,
    ValueExpect, Verdict, Whom, Whose,
};
use knockon_lang::terms::vocabulary::Detail;

/// A list of names and the one match that gives them, so that a new variant does not compile before it has a name, and
/// is missed once it has one.
macro_rules! variants {
    ($($list:ident $function:ident $type:ty { $($pattern:pat => $name:literal,)* })*) => {
        $(
            const $list: &[&str] = &[$($name,)*];
            fn $function(value: &$type) -> &'static str {
                match value { $($pattern => $name,)* }
            }
        )*
        /// Every name there is.
        const ALL: &[(&str, &[&str])] = &[$((stringify!($list), $list),)*];
    };
}

variants! {
    CONDITIONS condition Condition {
        Condition::All(_) => "and",
        Condition::AnyOf(_) => "or",
        Condition::Not(_) => "not",
        Condition::Quantified { .. } => "quantified",
        Condition::Sentence(..) => "sentence",
    }
    QUANTIFIERS quantifier Quantifier {
        Quantifier::Any => "any",
        Quantifier::Every => "every",
        Quantifier::No => "no",
        Quantifier::AtLeast(_) => "at least",
    }
    CLASSES domain Domain {
        Domain::Part => "part",
        Domain::Sensor => "sensor",
        Domain::System => "system",
        Domain::Module => "module",
        Domain::Group(_) => "group",
        Domain::Stretch { .. } => "stretch",
    }
    TIED_TO tied_to Subject {
        Subject::Term(_) => "term",
        Subject::Variable(_) => "one named before",
    }
    FORMS form Form {
        Form::Happens(_) => "happens",
        Form::State(..) => "state",
        Form::Touched(_) => "touched",
        Form::Equipped(_) => "equipped",
        Form::Measured { change: false, .. } => "measured",
        Form::Measured { change: true, .. } => "change",
        Form::ModelYear(_) => "model year",
        Form::Built(_) => "built",
        Form::Dated(_) => "dated",
        Form::Holds(..) => "holds",
        Form::Chosen(..) => "chosen",
        Form::Quality(_) => "quality",
        Form::Due(_) => "due",
        Form::Done { outcome: None, .. } => "done",
        Form::Done { outcome: Some(_), .. } => "ended in",
        Form::Code { .. } => "code",
        Form::Read(_) => "read",
        Form::NotKnown(_) => "not known",
        Form::WorkComplete => "work is complete",
        Form::EquipmentComplete => "equipment is complete",
        Form::Related(..) => "related",
    }
    CODES codes Codes {
        Codes::Any => "any",
        Codes::Like(_) => "like",
        Codes::OtherThan(_) => "other than",
    }
    KNOWABLE knowable Knowable {
        Knowable::ModelYear => "model year",
        Knowable::Built => "built",
        Knowable::Equipped(_) => "equipped",
        Knowable::Measure { .. } => "measure",
        Knowable::Condition(..) => "condition",
        Knowable::Choice(..) => "choice",
        Knowable::Happens(_) => "happens",
    }
    CONCLUSIONS conclusion ConclusionKind {
        ConclusionKind::Require { .. } => "require",
        ConclusionKind::Either { advised: false, .. } => "require either",
        ConclusionKind::Either { advised: true, .. } => "advise either",
        ConclusionKind::Advise { .. } => "advise",
        ConclusionKind::OpenList { advised: false, .. } => "require and others",
        ConclusionKind::OpenList { advised: true, .. } => "advise and others",
        ConclusionKind::LeaveOpen { .. } => "leave open",
        ConclusionKind::Waive { .. } => "waive",
        ConclusionKind::WaiveRule(_) => "waive what",
        ConclusionKind::Forbid(_) => "forbid",
        ConclusionKind::Allow { only: false, .. } => "allow",
        ConclusionKind::Allow { only: true, .. } => "allow only",
        ConclusionKind::Hold { .. } => "hold",
        ConclusionKind::Ask(_) => "ask",
        ConclusionKind::Warn(_) => "warn",
        ConclusionKind::Off { .. } => "off",
        ConclusionKind::Before(..) => "before",
        ConclusionKind::State(..) => "state",
        ConclusionKind::Set(_) => "set",
    }
    LINES entry Entry {
        Entry::Vehicle { .. } => "vehicle",
        Entry::Equipped { .. } => "equipped",
        Entry::EquipmentComplete => "equipment is complete",
        Entry::Happened(_) => "happened",
        Entry::NotHappened { .. } => "not happened",
        Entry::NothingElseCameOff => "nothing else came off",
        Entry::WorkComplete => "work is complete",
        Entry::LookedOver(_) => "looked over",
        Entry::LookedOverEverything => "looked over everything",
        Entry::Measured { .. } => "measured",
        Entry::Holds { .. } => "holds",
        Entry::Chosen { .. } => "chosen",
        Entry::InHand { .. } => "in hand",
        Entry::MeasuredValue { .. } => "measured value",
        Entry::Placed { .. } => "placed",
        Entry::Quality { .. } => "quality",
        Entry::Because { .. } => "because",
        Entry::Done { .. } => "done",
        Entry::Scan(_) => "scan",
        Entry::Dated(_) => "dated",
    }
    EXPECTATIONS expect ExpectKind {
        ExpectKind::Duty { .. } => "duty",
        ExpectKind::Met { .. } => "met",
        ExpectKind::Ready { .. } => "ready",
        ExpectKind::Held { .. } => "held",
        ExpectKind::Silent { .. } => "silent",
        ExpectKind::Touched { .. } => "touched",
        ExpectKind::Operation { .. } => "operation",
        ExpectKind::Before(..) => "before",
        ExpectKind::Value { .. } => "value",
        ExpectKind::Asked(..) => "asked",
        ExpectKind::Question(..) => "question",
        ExpectKind::Warned { .. } => "warned",
        ExpectKind::Off { .. } => "off",
        ExpectKind::CameOffOpen => "what came off open",
        ExpectKind::Offered(_) => "offered",
        ExpectKind::NothingElse => "nothing else",
    }
    ENDINGS ending Option<Ending> {
        None => "as it stands",
        Some(Ending { outcome: None, .. }) => "done",
        Some(Ending { outcome: Some(_), .. }) => "ended in",
    }
    VERDICTS verdict Verdict {
        Verdict::Required => "required",
        Verdict::Conflict => "conflict",
        Verdict::Open(None) => "open",
        Verdict::Open(Some(_)) => "open on",
        Verdict::Advised => "advised",
        Verdict::NotNeeded => "not needed",
        Verdict::Absent => "absent",
    }
    VALUE_VERDICTS value_verdict ValueExpect {
        ValueExpect::Given(_, None) => "given",
        ValueExpect::Given(_, Some(_)) => "given, with its limit",
        ValueExpect::Within => "within",
        ValueExpect::Outside => "outside",
        ValueExpect::CannotSay => "cannot say",
        ValueExpect::Conflict => "conflict",
        ValueExpect::Open(None) => "open",
        ValueExpect::Open(Some(_)) => "open on",
        ValueExpect::CannotBeSet => "cannot be set",
        ValueExpect::Absent => "absent",
    }
    CASES case Case {
        Case::Always => "always",
        Case::Values(_) => "values",
        Case::Within(..) => "within",
        Case::Years(_) => "years",
        Case::Days(_) => "days",
        Case::Other => "other",
    }
    SET set SetTo {
        SetTo::To(_) => "to",
        SetTo::CannotBeSet => "cannot be set",
        SetTo::Gap => "gap",
    }
    PERMITTED permitted Permitted {
        Permitted::Forbidden => "forbidden",
        Permitted::Allowed => "allowed",
        Permitted::Conflict => "conflict",
        Permitted::Open(None) => "open",
        Permitted::Open(Some(_)) => "open on",
        Permitted::Silent => "silent",
    }
    FACT_NAMES fact_name FactName {
        FactName::ModelYear => "model year",
        FactName::Built => "built",
        FactName::Vin => "vin",
        FactName::Dated => "dated",
        FactName::Model => "model",
        FactName::WorkComplete => "work is complete",
        FactName::Equipped(_) => "equipped",
        FactName::Condition(..) => "condition",
        FactName::Choice(..) => "choice",
        FactName::WhichPlace(_) => "which place",
        FactName::Codes(_) => "codes",
        FactName::Measure { .. } => "measure",
        FactName::Happened { .. } => "happened",
        FactName::Quality { .. } => "quality",
        FactName::Why { .. } => "why",
        FactName::SourceHolds(_) => "holds",
        FactName::Reading(..) => "how it is read",
        FactName::LeftOpen(..) => "what it leaves open",
        FactName::Order => "order",
        FactName::CarriedOut(..) => "to be done",
        FactName::Complete(..) => "complete",
    }
    FACTS fact FactKind {
        FactKind::Related { .. } => "related",
        FactKind::Access { .. } => "access",
        FactKind::Has { .. } => "has",
        FactKind::SaysNothing { .. } => "says nothing",
        FactKind::Complete { .. } => "complete",
        FactKind::CarriedOutAs { .. } => "carried out as",
    }
    WHOSE whose Whose {
        Whose::Whatever => "whatever",
        Whose::Term(_) => "term",
        Whose::AnyOf(_) => "any of",
    }
    CARRYING_OUT carrying_out CarryingOutClause {
        CarryingOutClause::Involves(Involves { when: None, .. }) => "involves",
        CarryingOutClause::Involves(Involves { when: Some(_), .. }) => "involves when",
        CarryingOutClause::Instruction(Instruction { when: None, .. }) => "instruction",
        CarryingOutClause::Instruction(Instruction { when: Some(_), .. }) => "instruction when",
    }
    INSTRUCTIONS instructed Instructed {
        Instructed::ReadyWhen(_) => "ready when",
        Instructed::GoodWhen(_) => "good when",
        Instructed::Throughout(_) => "throughout",
        Instructed::Step(_) => "step",
        Instructed::Takes(_) => "takes",
        Instructed::Wait { .. } => "wait",
        Instructed::IfShown { .. } => "if shown",
    }
    LISTS list List {
        List::Relation(_) => "relation",
        List::Access => "access",
        List::Class(_) => "class",
        List::Kind(_) => "kind",
    }
    DETAILS detail Detail {
        Detail::None => "none",
        Detail::Happening(_) => "happening",
        Detail::Measure { .. } => "measure",
        Detail::Condition { .. } => "condition",
        Detail::Choice { .. } => "choice",
        Detail::Value(_) => "value of a choice",
        Detail::Procedure { .. } => "procedure",
        Detail::Relation { .. } => "relation",
        Detail::Zone(_) => "zone",
        Detail::Line(_) => "line",
        Detail::Maker(_) => "maker",
        Detail::Model(_) => "model",
        Detail::Sensor(_) => "sensor",
    }
    PORTIONS sections Sections {
        Sections::All => "all",
        Sections::Only(_) => "only",
        Sections::Except(_) => "except",
    }
    PREVAILING whom Whom {
        Whom::Source(_) => "source",
        Whom::Rank(_, None) => "rank",
        Whom::Rank(_, Some(_)) => "rank, by its day",
    }
}

/// What nothing makes yet: values know their choice only where the declaration says so.
const NEVER_MADE: &[(&str, &str)] = &[("DETAILS", "value of a choice")];

/// How often each variant occurred.
#[derive(Default)]
pub struct Counted(BTreeMap<(&'static str, &'static str), usize>);

impl Counted {
    fn one(&mut self, list: &'static str, name: &'static str) {
        *self.0.entry((list, name)).or_default() += 1;
    }

    /// Counts all that one load holds.
    pub fn add(&mut self, resolved: &Resolved) {
        for (_, term) in resolved.vocabulary.iter() {
            self.one("DETAILS", detail(&term.detail));
        }
        for source in &resolved.sources {
            for portion in source.replaces.iter().chain(&source.carries_over) {
                self.one("PORTIONS", sections(&portion.sections));
            }
            for precedence in &source.order {
                self.one("PREVAILING", whom(&precedence.whom));
            }
        }
        for found in &resolved.facts {
            self.one("FACTS", fact(&found.kind));
            if let FactKind::Complete { list: of, .. } = &found.kind {
                self.one("LISTS", list(of));
            }
            if let FactKind::CarriedOutAs { of, .. } = &found.kind {
                self.one("WHOSE", whose(of));
            }
        }
        for rule in &resolved.rules {
            for variable in &rule.variables {
                self.one("CLASSES", domain(&variable.domain));
                if let Some((_, to)) = &variable.related {
                    self.one("TIED_TO", tied_to(to));
                }
                variable.narrowed.iter().for_each(|narrowed| self.condition(narrowed));
            }
            rule.conditions().for_each(|condition| self.condition(condition));
            for concluded in &rule.conclusions {
                self.one("CONCLUSIONS", conclusion(&concluded.kind));
                if let ConclusionKind::Set(value) = &concluded.kind {
                    for row in &value.rows {
                        self.one("CASES", case(&row.case));
                        self.one("SET", set(&row.set));
                    }
                }
            }
        }
        for item in &resolved.carrying_out {
            item.clauses.iter().for_each(|clause| self.one("CARRYING_OUT", carrying_out(clause)));
            for (_, instruction) in item.instructions() {
                self.one("INSTRUCTIONS", instructed(&instruction.what));
                instruction.what.condition().into_iter().chain(&instruction.when).for_each(|said| self.condition(said));
            }
            item.involves().filter_map(|(_, involves)| involves.when.as_ref()).for_each(|when| self.condition(when));
        }
        for job in &resolved.jobs {
            job.lines.iter().for_each(|line| self.one("LINES", entry(&line.entry)));
        }
        for test in &resolved.tests {
            test.lines.iter().for_each(|line| self.one("LINES", entry(&line.entry)));
            for expected in &test.expects {
                self.one("ENDINGS", ending(&expected.ending));
                self.expected(&expected.kind);
            }
        }
    }

    fn condition(&mut self, of: &Condition) {
        self.one("CONDITIONS", condition(of));
        match of {
            Condition::All(parts) | Condition::AnyOf(parts) => parts.iter().for_each(|part| self.condition(part)),
            Condition::Not(inner) => self.condition(inner),
            Condition::Quantified { quantifier: many, body, .. } => {
                self.one("QUANTIFIERS", quantifier(many));
                self.condition(body);
            }
            Condition::Sentence(said, _) => {
                self.one("FORMS", form(said));
                match said {
                    Form::Code { codes: of, .. } => self.one("CODES", codes(of)),
                    Form::NotKnown(what) => self.one("KNOWABLE", knowable(what)),
                    _ => {}
                }
            }
        }
    }

    fn expected(&mut self, kind: &ExpectKind) {
        self.one("EXPECTATIONS", expect(kind));
        let open = match kind {
            ExpectKind::Duty { verdict: found, .. } => {
                self.one("VERDICTS", verdict(found));
                if let Verdict::Open(Some(facts)) = found { facts.as_slice() } else { &[] }
            }
            ExpectKind::Operation { verdict: found, .. } => {
                self.one("PERMITTED", permitted(found));
                if let Permitted::Open(Some(facts)) = found { facts.as_slice() } else { &[] }
            }
            ExpectKind::Value { verdict: found, .. } => {
                self.one("VALUE_VERDICTS", value_verdict(found));
                if let ValueExpect::Open(Some(facts)) = found { facts.as_slice() } else { &[] }
            }
            ExpectKind::Asked(name, _) => std::slice::from_ref(name),
            _ => &[],
        };
        open.iter().for_each(|name| self.one("FACT_NAMES", fact_name(name)));
    }

    /// What never occurred.
    pub fn missing(&self) -> Vec<(&'static str, &'static str)> {
        let all = ALL.iter().flat_map(|(list, names)| names.iter().map(move |name| (*list, *name)));
        all.filter(|name| !self.0.contains_key(name) && !NEVER_MADE.contains(name)).collect()
    }

    /// The share of each variant in its list.
    pub fn shares(&self) -> String {
        let mut out = String::new();
        for (list, names) in ALL {
            let count = |name: &&'static str| self.0.get(&(*list, *name)).copied().unwrap_or(0);
            let total: usize = names.iter().map(count).sum();
            out.push_str(&format!("{} ({total}):", list.to_lowercase()));
            for name in *names {
                out.push_str(&format!(" {name} {:.1} %;", 100.0 * count(name) as f64 / total.max(1) as f64));
            }
            out.push('\n');
        }
        out
    }
}
