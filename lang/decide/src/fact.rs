//! Facts that may be unknown, and the values each may still have.
//!
//! A fact is one variable, however many conditions ask about it: a measure cut at all its limits, a
//! choice with exactly one value. What is known narrows the values; what is open has several left.

use knockon_measure::{Exact, Interval, Range, VinPattern};
use knockon_terms::resolved::{Codes, Kept, List, RuleId, SourceId};
use knockon_terms::{TermId, Vocabulary};

use crate::event::EventId;

/// How many parts one measure may be cut into. Each limit named anywhere cuts once or twice.
pub const MOST_VALUES: usize = 64;

/// A fact about the car, the world or the record.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fact {
    /// Which model it is.
    Model,
    /// The model year.
    ModelYear,
    /// The build date.
    Built,
    /// The vehicle identification number.
    Vin,
    /// Whether it is equipped with a term.
    Equipped(TermId),
    /// Whether a condition holds.
    Condition(TermId, Option<TermId>),
    /// Which value a choice has, perhaps of a place.
    Choice(TermId, Option<TermId>),
    /// A measured value, or a change.
    Measure {
        /// The measure.
        measure: TermId,
        /// Of what.
        of: Option<TermId>,
        /// Its change.
        change: bool,
        /// Which of several readings; 0 where there is one or none.
        reading: usize,
    },
    /// How large something that happened is.
    Size {
        /// What happened.
        event: EventId,
        /// The measure.
        measure: TermId,
    },
    /// Whether something happened.
    Occurred(EventId),
    /// What was done to a part on the way to work: nothing, or which of several operations.
    OnTheWay(TermId),
    /// Where on the part something happened.
    Place {
        /// What happened.
        event: EventId,
        /// Against which zone.
        zone: TermId,
    },
    /// What the part that came off, or the one that goes on, is.
    Quality {
        /// The one that goes on; else the one that came off.
        new: bool,
        /// The part.
        part: TermId,
        /// The quality.
        quality: TermId,
    },
    /// Why work was done.
    Why(EventId),
    /// Whether the work list is complete, as a sentence says.
    WorkComplete,
    /// The same for a denial: that no work is left unlisted which could make it so.
    NothingUnlisted,
    /// Whether the list of equipment is complete.
    EquipmentComplete,
    /// Whether a list of facts is complete.
    ListComplete(List, Option<TermId>),
    /// Whether a text that may not waive holds after all.
    SourceHolds(SourceId),
    /// How the text of a rule is read that can be read in several ways.
    Reading(RuleId),
    /// What a text leaves open: this conclusion of a rule.
    LeftOpen(RuleId, u32),
    /// At which of its places counts what a value goes by: this conclusion of a rule.
    WhichPlace(RuleId, u32),
    /// Whether a procedure that nobody has to carry out is carried out.
    CarriedOut(TermId, Option<TermId>),
    /// Whether what a line says was done ended so.
    Ended {
        /// The line.
        line: usize,
        /// The outcome.
        outcome: TermId,
    },
    /// Whether a module holds such codes after the work.
    Code {
        /// The module.
        module: TermId,
        /// Which codes.
        codes: Codes,
        /// Stored or pending.
        kept: Kept,
        /// The line of the scan that shows it, or should; none where no scan came after the work.
        scan: Option<usize>,
    },
    /// Whether what a line says was done came after something happened.
    Order {
        /// The line.
        line: usize,
        /// What happened.
        event: EventId,
    },
}

/// What a condition asks of a fact.
#[derive(Clone, Debug, PartialEq)]
pub enum Ask {
    /// It is so.
    Yes,
    /// The text is read in this of its ways.
    Reading(usize),
    /// It is one of these terms.
    OneOf(Vec<TermId>),
    /// The number fits one of these patterns.
    Fits(Vec<VinPattern>),
    /// Its number lies in one of these ranges.
    Within(Vec<Range>),
    /// Its whole number (a year, a day) lies from one to another, both included.
    Whole(Option<i64>, Option<i64>),
    /// The place is one of these.
    Placed {
        /// Wholly inside will do.
        inside: bool,
        /// On the edge will do.
        edge: bool,
        /// Wholly outside will do.
        outside: bool,
    },
}

/// What the values of a fact are.
#[derive(Clone, Debug, PartialEq)]
pub enum Domain {
    /// No, yes.
    YesNo,
    /// One of these terms.
    Terms(Vec<TermId>),
    /// Any term, or none that has a name; only those asked about are told apart.
    AnyTerm,
    /// A number; what was read, where it was.
    Number(Option<Interval>),
    /// A whole number; the value, where it is known.
    Whole(Option<i64>),
    /// One of so many readings.
    Readings(usize),
    /// Any vehicle identification number; only patterns asked about are told apart.
    AnyVin,
    /// Inside, on the edge, outside.
    Place,
    /// None of these operations, or some; each with what it counts as, which is then not done besides.
    Done(Vec<(TermId, Vec<TermId>)>),
}

/// One value a fact may have, for showing.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// No.
    No,
    /// Yes.
    Yes,
    /// This term.
    Term(TermId),
    /// Some other one than those named.
    OtherTerm,
    /// One of these terms; no condition tells them apart.
    OneOf(Vec<TermId>),
    /// A number in this range.
    Number(Range),
    /// A whole number from one to another, both included.
    Whole(Option<i64>, Option<i64>),
    /// This reading.
    Reading(usize),
    /// A number that fits these of the patterns asked about, and no others.
    Fits(Vec<VinPattern>),
    /// Wholly inside.
    Inside,
    /// On the edge.
    Edge,
    /// Wholly outside.
    Outside,
    /// These operations were done.
    Done(Vec<TermId>),
}

/// A fact with its values.
#[derive(Clone, Debug)]
pub struct Variable {
    /// The fact.
    pub fact: Fact,
    /// What its values are.
    pub domain: Domain,
    /// The values still possible, one bit each, once it has been cut.
    pub allowed: u64,
    /// The values, once it has been cut.
    pub values: Vec<Value>,
    /// What conditions ask of it.
    pub asks: Vec<Ask>,
    /// For each ask, the values that satisfy it.
    pub masks: Vec<u64>,
    /// For yes-or-no facts and places of which something is known: the values left.
    pub given: Option<u64>,
    /// Asked, and the answer was that it cannot be told.
    pub cannot_tell: bool,
}

impl Variable {
    /// A fact of which nothing is known.
    pub fn new(fact: Fact, domain: Domain) -> Variable {
        Variable {
            fact,
            domain,
            allowed: 0,
            values: Vec::new(),
            asks: Vec::new(),
            masks: Vec::new(),
            given: None,
            cannot_tell: false,
        }
    }

    /// The number of an ask, added if it is new.
    pub fn ask(&mut self, ask: &Ask) -> usize {
        match self.asks.iter().position(|known| known == ask) {
            Some(index) => index,
            None => {
                self.asks.push(ask.clone());
                self.asks.len() - 1
            }
        }
    }

    /// Whether more than one value is left.
    pub fn is_open(&self) -> bool {
        self.allowed.count_ones() > 1
    }

    /// Cuts the domain at everything asked. False where it would take more values than the limit; then
    /// [`Variable::split`] it.
    pub fn cut(&mut self) -> bool {
        let mut values: Vec<Value> = match &self.domain {
            Domain::YesNo => vec![Value::No, Value::Yes],
            Domain::Readings(count) => (0..(*count).min(MOST_VALUES)).map(Value::Reading).collect(),
            Domain::AnyVin => vin_values(&self.asks),
            Domain::Place => vec![Value::Inside, Value::Edge, Value::Outside],
            Domain::Terms(terms) => self.term_values(terms),
            Domain::AnyTerm => self.any_term_values(),
            Domain::Done(operations) => done_values(operations),
            Domain::Number(_) => number_values(&self.asks),
            Domain::Whole(_) => whole_values(&self.asks),
        };
        let possible = |value: &Value| match (&self.domain, value) {
            (Domain::Number(Some(read)), Value::Number(range)) => {
                !matches!(range.verdict(read), knockon_measure::Truth::No)
            }
            (Domain::Whole(Some(known)), Value::Whole(first, last)) => {
                first.is_none_or(|first| first <= *known) && last.is_none_or(|last| *known <= last)
            }
            _ => true,
        };
        if values.len() > MOST_VALUES {
            // Where something was read, only the values near it count.
            values.retain(possible);
        }
        if values.len() > MOST_VALUES {
            return false;
        }
        let mut allowed = 0_u64;
        for (bit, value) in values.iter().enumerate() {
            if possible(value) {
                allowed |= 1 << bit;
            }
        }
        if let Some(given) = self.given {
            allowed &= given;
        }
        self.masks = self
            .asks
            .iter()
            .map(|ask| {
                values
                    .iter()
                    .enumerate()
                    .filter(|(_, value)| satisfies(ask, value))
                    .fold(0_u64, |mask, (bit, _)| mask | 1 << bit)
            })
            .collect();
        self.values = values;
        self.allowed = allowed;
        true
    }

    /// One fact for each condition that asks, where there are more conditions than one fact can be cut for. They are
    /// free of each other then, which may leave more open and never less.
    pub fn split(&mut self) -> Vec<Variable> {
        let asks = std::mem::take(&mut self.asks);
        asks.into_iter()
            .map(|ask| {
                let mut one = Variable { asks: vec![ask], ..self.clone() };
                if let (Domain::Done(operations), Some(Ask::OneOf(asked))) = (&mut one.domain, one.asks.first()) {
                    operations.retain(|(operation, _)| asked.contains(operation));
                }
                one.cut();
                one
            })
            .collect()
    }

    /// The terms asked about, those that no condition tells apart as one, and any other.
    fn any_term_values(&self) -> Vec<Value> {
        let mut asked: Vec<TermId> = self
            .asks
            .iter()
            .filter_map(|ask| match ask {
                Ask::OneOf(terms) => Some(terms),
                _ => None,
            })
            .flatten()
            .copied()
            .collect();
        asked.sort();
        asked.dedup();
        let mut values = self.alike(&asked);
        values.push(Value::OtherTerm);
        values
    }

    /// Terms, those that no condition tells apart put together.
    fn alike(&self, terms: &[TermId]) -> Vec<Value> {
        let mut alike: Vec<(Vec<bool>, Vec<TermId>)> = Vec::new();
        for &term in terms {
            let sign: Vec<bool> =
                self.asks.iter().map(|ask| matches!(ask, Ask::OneOf(list) if list.contains(&term))).collect();
            match alike.iter_mut().find(|(known, _)| *known == sign) {
                Some((_, terms)) => terms.push(term),
                None => alike.push((sign, vec![term])),
            }
        }
        alike
            .into_iter()
            .map(|(_, terms)| match terms.as_slice() {
                &[one] => Value::Term(one),
                _ => Value::OneOf(terms),
            })
            .collect()
    }

    /// The terms it may be. Models nobody asks about are one value: which of them it is changes nothing; and so with
    /// other terms where there are very many.
    fn term_values(&self, terms: &[TermId]) -> Vec<Value> {
        if self.fact != Fact::Model && terms.len() <= MOST_VALUES {
            return terms.iter().map(|&term| Value::Term(term)).collect();
        }
        let signature = |term: TermId| -> Vec<bool> {
            self.asks.iter().map(|ask| matches!(ask, Ask::OneOf(list) if list.contains(&term))).collect()
        };
        let asked = |term: &TermId| signature(*term).contains(&true);
        let mut values: Vec<Value> = if terms.len() <= MOST_VALUES {
            terms.iter().copied().filter(asked).map(Value::Term).collect()
        } else {
            let mut alike: Vec<(Vec<bool>, Vec<TermId>)> = Vec::new();
            for &term in terms.iter().filter(|term| asked(term)) {
                let sign = signature(term);
                match alike.iter_mut().find(|(known, _)| *known == sign) {
                    Some((_, terms)) => terms.push(term),
                    None => alike.push((sign, vec![term])),
                }
            }
            alike.into_iter().map(|(_, terms)| Value::OneOf(terms)).collect()
        };
        if !terms.iter().all(asked) {
            values.push(Value::OtherTerm);
        }
        values
    }
}

/// The ways in which a number may fit the patterns asked about: none that no number could fit in.
fn vin_values(asks: &[Ask]) -> Vec<Value> {
    let mut patterns: Vec<VinPattern> = Vec::new();
    for ask in asks {
        if let Ask::Fits(asked) = ask {
            patterns.extend(asked);
        }
    }
    patterns.sort();
    patterns.dedup();
    // What a number must be like to fit those it fits, which those are, and which it does not fit.
    let mut ways: Vec<(VinPattern, Vec<VinPattern>, Vec<VinPattern>)> =
        vec![(VinPattern::any(), Vec::new(), Vec::new())];
    for pattern in patterns {
        let mut next = Vec::with_capacity(ways.len() + 1);
        for (like, fits, fails) in ways {
            if let Some(both) = like.and(&pattern).filter(|both| !fails.iter().any(|failed| both.is_within(failed))) {
                next.push((both, fits.iter().copied().chain([pattern]).collect(), fails.clone()));
            }
            if !like.is_within(&pattern) {
                next.push((like, fits, fails.into_iter().chain([pattern]).collect()));
            }
        }
        ways = next;
        if ways.len() > MOST_VALUES {
            break;
        }
    }
    ways.into_iter().map(|(_, fits, _)| Value::Fits(fits)).collect()
}

/// Whether a value gives what is asked.
fn satisfies(ask: &Ask, value: &Value) -> bool {
    match (ask, value) {
        (Ask::Yes, Value::Yes) => true,
        (Ask::Reading(asked), Value::Reading(reading)) => asked == reading,
        (Ask::Fits(asked), Value::Fits(fitting)) => asked.iter().any(|pattern| fitting.contains(pattern)),
        (Ask::OneOf(terms), Value::Done(done)) => done.iter().any(|operation| terms.contains(operation)),
        (Ask::OneOf(terms), Value::Term(term)) => terms.contains(term),
        (Ask::OneOf(terms), Value::OneOf(alike)) => alike.iter().all(|term| terms.contains(term)),
        (Ask::Within(ranges), Value::Number(value)) => ranges.iter().any(|range| range.covers(value)),
        (Ask::Whole(first, last), Value::Whole(from, to)) => {
            let above = match (first, from) {
                (None, _) => true,
                (Some(first), Some(from)) => first <= from,
                (Some(_), None) => false,
            };
            let below = match (last, to) {
                (None, _) => true,
                (Some(last), Some(to)) => to <= last,
                (Some(_), None) => false,
            };
            above && below
        }
        (Ask::Placed { inside, .. }, Value::Inside) => *inside,
        (Ask::Placed { edge, .. }, Value::Edge) => *edge,
        (Ask::Placed { outside, .. }, Value::Outside) => *outside,
        _ => false,
    }
}

/// What may have been done: nothing, and every choice of operations none of which counts as another of them.
fn done_values(operations: &[(TermId, Vec<TermId>)]) -> Vec<Value> {
    let mut values: Vec<Vec<TermId>> = vec![Vec::new()];
    for (operation, counts_as) in operations {
        if values.len() > MOST_VALUES {
            break;
        }
        let free = |done: &Vec<TermId>| {
            done.iter().all(|other| {
                let others = operations.iter().find(|(known, _)| known == other).map(|(_, counts_as)| counts_as);
                !counts_as.contains(other) && others.is_none_or(|others| !others.contains(operation))
            })
        };
        let with: Vec<Vec<TermId>> = values
            .iter()
            .filter(|done| free(done))
            .map(|done| done.iter().copied().chain([*operation]).collect())
            .collect();
        values.extend(with);
    }
    values.into_iter().map(Value::Done).collect()
}

/// The number line cut at every limit asked, neighbours that no ask tells apart put together.
fn number_values(asks: &[Ask]) -> Vec<Value> {
    let mut cuts: Vec<Exact> = asks
        .iter()
        .filter_map(|ask| match ask {
            Ask::Within(ranges) => Some(ranges),
            _ => None,
        })
        .flatten()
        .flat_map(|range| [range.low, range.high])
        .flatten()
        .map(|bound| bound.value)
        .collect();
    cuts.sort();
    cuts.dedup();
    let mut ranges: Vec<Range> = Vec::with_capacity(cuts.len() * 2 + 1);
    let mut low = None;
    for &cut in &cuts {
        ranges.push(Range { low, high: Some(knockon_measure::Bound::excluded(cut)) });
        ranges.push(Range::from_to(cut, cut));
        low = Some(knockon_measure::Bound::excluded(cut));
    }
    ranges.push(Range { low, high: None });
    let signature =
        |range: &Range| -> Vec<bool> { asks.iter().map(|ask| satisfies(ask, &Value::Number(*range))).collect() };
    let mut out: Vec<(Range, Vec<bool>)> = Vec::new();
    for range in ranges {
        let sign = signature(&range);
        match out.last_mut() {
            Some((last, known)) if *known == sign => last.high = range.high,
            _ => out.push((range, sign)),
        }
    }
    out.into_iter().map(|(range, _)| Value::Number(range)).collect()
}

/// Whole numbers cut where an ask begins or ends.
fn whole_values(asks: &[Ask]) -> Vec<Value> {
    let mut starts: Vec<i64> = asks
        .iter()
        .filter_map(|ask| match ask {
            Ask::Whole(first, last) => Some([*first, last.map(|last| last + 1)]),
            _ => None,
        })
        .flatten()
        .flatten()
        .collect();
    starts.sort_unstable();
    starts.dedup();
    let mut values = Vec::with_capacity(starts.len() + 1);
    let mut from = None;
    for &start in &starts {
        values.push(Value::Whole(from, Some(start - 1)));
        from = Some(start);
    }
    values.push(Value::Whole(from, None));
    values
}

/// A term's name, or the name of what it is of.
pub fn of_words(vocabulary: &Vocabulary, name: &str, of: Option<TermId>) -> String {
    match of {
        Some(of) => format!("{name} of {}", vocabulary.name(of)),
        None => name.to_string(),
    }
}
