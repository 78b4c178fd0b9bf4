//! The vocabulary: every declared term, its class and what was said of it, and who may see it.

use std::collections::BTreeMap;

use knockon_measure::{Range, Unit};
use knockon_text::{FileId, Span};

pub use crate::phrases::TermId;
use crate::phrases::{Meaning, Phrases, Role};
use crate::words::{WordId, Words};

/// What kind of thing a term names.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Class {
    /// A vehicle maker.
    Maker,
    /// A model of a maker.
    Model,
    /// A part that does not sense.
    Part,
    /// A part that senses.
    Sensor,
    /// A function for the driver.
    System,
    /// A control unit.
    Module,
    /// An option.
    Option,
    /// A class of parts or sensors.
    Kind,
    /// Something done to a part.
    Operation,
    /// Something that happens.
    Event,
    /// Something seen on a part.
    Finding,
    /// A state rules derive.
    State,
    /// What must be done.
    Procedure,
    /// How a procedure ends.
    Outcome,
    /// A quantity.
    Measure,
    /// A yes-or-no fact.
    Condition,
    /// One of several values.
    Choice,
    /// What the part that came off, or the one that goes on, may be.
    Quality,
    /// A value of a choice.
    Value,
    /// A region of a part.
    Zone,
    /// Parts one after the other.
    Line,
    /// A tie between parts.
    Relation,
}

impl Class {
    /// The class as the language writes it.
    pub fn word(self) -> &'static str {
        match self {
            Class::Maker => "maker",
            Class::Model => "model",
            Class::Part => "part",
            Class::Sensor => "sensor",
            Class::System => "system",
            Class::Module => "module",
            Class::Option => "option",
            Class::Kind => "kind",
            Class::Operation => "operation",
            Class::Event => "event",
            Class::Finding => "finding",
            Class::State => "state",
            Class::Procedure => "procedure",
            Class::Outcome => "outcome",
            Class::Measure => "measure",
            Class::Condition => "condition",
            Class::Choice => "choice",
            Class::Quality => "quality",
            Class::Value => "value",
            Class::Zone => "zone",
            Class::Line => "line",
            Class::Relation => "relation",
        }
    }

    /// Whether terms of the class may be on a car or not: asked for with `equipped with`.
    pub fn is_equipment(self) -> bool {
        matches!(self, Class::Part | Class::Sensor | Class::System | Class::Module | Class::Option)
    }

    /// Whether terms of the class can be worked on.
    pub fn is_part(self) -> bool {
        matches!(self, Class::Part | Class::Sensor | Class::Module)
    }

    /// Whether terms of the class happen: operations, findings, events.
    pub fn happens(self) -> bool {
        matches!(self, Class::Operation | Class::Event | Class::Finding)
    }
}

/// What was said of a term beyond its name.
#[derive(Clone, Debug, PartialEq)]
pub enum Detail {
    /// Nothing.
    None,
    /// Of an operation, event or finding.
    Happening(Happening),
    /// Of a measure.
    Measure {
        /// The unit it is preferably written in.
        unit: Unit,
        /// For a signed measure, what positive means.
        positive: Option<String>,
        /// Whether it is of something.
        of: bool,
        /// Whether it is of a procedure: rules set its value, and it is measured against that.
        of_procedure: bool,
        /// A measured change in one of these ranges, in base units, is an event that disturbs; and as written.
        disturbs: Option<(Vec<Range>, String)>,
    },
    /// Of a condition.
    Condition {
        /// The question to ask.
        question: Option<String>,
        /// Whether a person must judge it.
        judged: bool,
        /// Whether it is of something.
        of: bool,
    },
    /// Of a choice: its values.
    Choice {
        /// The question to ask.
        question: Option<String>,
        /// The values, exactly one of which holds.
        values: Vec<TermId>,
        /// Whether it is of something.
        of: bool,
        /// The places it is of, where they are named; else it is of any part.
        places: Vec<TermId>,
    },
    /// Of a value: its choice.
    Value(TermId),
    /// Of a procedure.
    Procedure {
        /// Whether it is of something.
        of: bool,
        /// How it can end.
        outcomes: Vec<TermId>,
        /// The operations that are it: work of these on what it is of carries it out.
        carried_out_by: Vec<TermId>,
        /// The sensors it is about where it is of none: who asks for it has spoken of them.
        concerns: Vec<TermId>,
    },
    /// Of a relation.
    Relation {
        /// Followed over several steps.
        along: bool,
        /// Carries *touched*.
        disturbance: bool,
        /// The class it is declared to lead to.
        to: Option<Class>,
    },
    /// Of a zone: the part it is a region of.
    Zone(TermId),
    /// Of a line: its parts in order, sided names as they were declared.
    Line(Vec<TermId>),
    /// Of a maker: its models.
    Maker(Vec<TermId>),
    /// Of a model: its maker.
    Model(TermId),
    /// Of a sensor: the systems it serves.
    Sensor(Vec<TermId>),
}

/// What was said of an operation, event or finding.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Happening {
    /// Whether it happens to something.
    pub of: bool,
    /// The -ing form.
    pub doing: Option<String>,
    /// The verb of access facts.
    pub on_the_way: Option<String>,
    /// The happenings it counts as, itself not included; followed to the end.
    pub counts_as: Vec<TermId>,
    /// Whether it disturbs what it happens to.
    pub disturbs: bool,
    /// Whether another part goes on in place of the one that came off.
    pub puts_on: bool,
    /// The intake question about it.
    pub question: Option<String>,
}

/// One term.
#[derive(Clone, Debug, PartialEq)]
pub struct Term {
    /// Its name as declared.
    pub name: String,
    /// Its class.
    pub class: Class,
    /// Where it was declared.
    pub span: Span,
    /// For a kind or a sided name: its members. Empty for a single term.
    pub members: Vec<TermId>,
    /// The class it is declared of; for a kind, the class of its members.
    pub of: Option<Class>,
    /// Its side, for a member of a sided name.
    pub side: Option<String>,
    /// Other ways of writing it.
    pub aliases: Vec<String>,
    /// What else was said.
    pub detail: Detail,
}

impl Term {
    /// Whether the term is a class of members.
    pub fn is_group(&self) -> bool {
        !self.members.is_empty()
    }
}

/// All terms of a load.
#[derive(Clone, Debug, Default)]
pub struct Vocabulary {
    /// The words of all phrases.
    pub words: Words,
    /// The phrases.
    pub phrases: Phrases,
    terms: Vec<Term>,
    /// For each file, the files whose words count in it.
    sees: BTreeMap<FileId, Vec<bool>>,
}

impl Vocabulary {
    /// A term. Ids come from this vocabulary, so there always is one; a foreign id gives a blank.
    pub fn term(&self, id: TermId) -> &Term {
        static BLANK: Term = Term {
            name: String::new(),
            class: Class::Part,
            span: Span { file: FileId(0), start: 0, end: 0 },
            members: Vec::new(),
            of: None,
            side: None,
            aliases: Vec::new(),
            detail: Detail::None,
        };
        self.terms.get(id.0 as usize).unwrap_or(&BLANK)
    }

    /// A term's name.
    pub fn name(&self, id: TermId) -> &str {
        &self.term(id).name
    }

    /// A term's class.
    pub fn class(&self, id: TermId) -> Class {
        self.term(id).class
    }

    /// What was said of an operation, event or finding.
    pub fn happening(&self, id: TermId) -> Option<&Happening> {
        match &self.term(id).detail {
            Detail::Happening(happening) => Some(happening),
            _ => None,
        }
    }

    /// The changes of a measure that disturb, in base units.
    pub fn disturbing_change(&self, measure: TermId) -> Option<&[Range]> {
        match &self.term(measure).detail {
            Detail::Measure { disturbs: Some((ranges, _)), .. } => Some(ranges),
            _ => None,
        }
    }

    /// The -ing form of an operation, or its name where none was given.
    pub fn doing(&self, id: TermId) -> &str {
        self.happening(id).and_then(|happening| happening.doing.as_deref()).unwrap_or(self.name(id))
    }

    /// A procedure and what it is of. Of none, where it is declared of something, it is of what a list does not name.
    pub fn duty_words(&self, procedure: TermId, of: Option<TermId>) -> String {
        let name = self.name(procedure);
        match (of, &self.term(procedure).detail) {
            (Some(of), _) => format!("{name} of {}", self.name(of)),
            (None, Detail::Procedure { of: true, .. }) => format!("{name} of others not listed"),
            (None, _) => name.to_string(),
        }
    }

    /// Whether `strong` is `weak` or counts as it.
    pub fn counts_as(&self, strong: TermId, weak: TermId) -> bool {
        strong == weak || self.happening(strong).is_some_and(|happening| happening.counts_as.contains(&weak))
    }

    /// Every term with its id, in the order of declaration.
    pub fn iter(&self) -> impl Iterator<Item = (TermId, &Term)> {
        self.terms.iter().enumerate().map(|(index, term)| (TermId(index as u32), term))
    }

    /// How many terms there are.
    pub fn len(&self) -> usize {
        self.terms.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.terms.is_empty()
    }

    /// Adds a term under its name.
    pub fn add(&mut self, term: Term) -> TermId {
        let id = TermId(self.terms.len() as u32);
        let words: Vec<WordId> = term.name.split_whitespace().map(|word| self.words.intern(word)).collect();
        self.phrases.add(words, Meaning { term: id, role: Role::Name });
        self.terms.push(term);
        id
    }

    /// Adds another phrase for a term.
    pub fn add_phrase(&mut self, id: TermId, text: &str, role: Role) {
        let words: Vec<WordId> = text.split_whitespace().map(|word| self.words.intern(word)).collect();
        self.phrases.add(words, Meaning { term: id, role });
    }

    /// A term to change.
    pub fn term_mut(&mut self, id: TermId) -> Option<&mut Term> {
        self.terms.get_mut(id.0 as usize)
    }

    /// Says whose words count in `file`.
    pub fn set_sees(&mut self, file: FileId, sees: Vec<bool>) {
        self.sees.insert(file, sees);
    }

    /// Whether the words of `owner` count in `file`.
    pub fn sees(&self, file: FileId, owner: FileId) -> bool {
        file == owner || self.sees.get(&file).is_some_and(|sees| sees.get(owner.0 as usize).copied().unwrap_or(false))
    }

    /// The term of a name, as seen from anywhere; for tools, never for resolving.
    pub fn by_name(&self, name: &str) -> Option<TermId> {
        let words: Vec<WordId> = name.split_whitespace().map(|word| self.words.find(word)).collect();
        let mut found = None;
        self.phrases.each(&words, |length, meanings| {
            if length == words.len() {
                found = meanings.first().map(|meaning| meaning.term);
            }
        });
        found
    }

    /// The parts of a line from one of its places to another, both included, each side by itself.
    pub fn stretch(&self, line: TermId, first: u32, last: u32) -> Vec<TermId> {
        let Detail::Line(parts) = &self.term(line).detail else { return Vec::new() };
        let places = parts.get(first as usize..=last as usize).unwrap_or(&[]);
        places.iter().flat_map(|&part| self.members(part)).collect()
    }

    /// A group's members, or the term itself, groups inside groups opened; a group inside itself is opened once.
    pub fn members(&self, id: TermId) -> Vec<TermId> {
        let mut out = Vec::new();
        let mut opened = Vec::new();
        let mut next = vec![id];
        while let Some(id) = next.pop() {
            let members = &self.term(id).members;
            if members.is_empty() {
                if !out.contains(&id) {
                    out.push(id);
                }
            } else if !opened.contains(&id) {
                opened.push(id);
                next.extend(members.iter().rev());
            }
        }
        out
    }
}
