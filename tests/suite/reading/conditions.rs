//! Conditions of generated rules: every sentence form, class words with all that may follow them, lists and brackets.

use super::pen::Pen;
use super::words::{Measure, Procedure};

/// A class word that may be pointed at.
#[derive(Clone)]
pub struct Named {
    word: String,
    class: &'static str,
    name: Option<String>,
}

/// What was said before in a rule.
#[derive(Clone, Default)]
pub struct Said {
    pub named: Vec<Named>,
    /// How many names were given with `as`.
    pub given: usize,
    /// Under `not`, in `unless`, in a conclusion: what is named cannot be pointed at.
    pub hidden: bool,
    /// `is not known` may be asked.
    pub asks: bool,
    /// Something was pointed at.
    pub pointed: bool,
}

impl Pen {
    /// Sentences joined, denied and in brackets.
    pub fn condition(&mut self, said: &mut Said, depth: usize) -> String {
        let count = self.pick(&["1", "1", "2", "2", "3"]).parse().unwrap_or(1);
        let or = self.once_in(3);
        let before = said.named.clone();
        let mut limbs: Vec<String> = Vec::new();
        for _ in 0..count {
            if or {
                // What one limb of an `or` names, another cannot point at.
                said.named.clone_from(&before);
            }
            limbs.push(self.limb(said, depth));
        }
        if count > 1 && or {
            said.named = before;
            if limbs[0].starts_with("not ") && !limbs[0].starts_with("not equipped") {
                limbs[0] = format!("({})", limbs[0]);
            }
            return limbs.join(" or ");
        }
        let joint = self.pick(&[" and ", " and ", "\n   and ", " # a remark\n   and "]);
        limbs.join(joint)
    }

    fn limb(&mut self, said: &mut Said, depth: usize) -> String {
        match self.below(8) {
            0 if depth > 0 => format!("({})", self.condition(said, depth - 1)),
            1 => {
                let was = std::mem::replace(&mut said.hidden, true);
                let inner = if depth > 0 && self.once_in(3) {
                    format!("({})", self.condition(said, depth - 1))
                } else {
                    self.sentence(said)
                };
                said.hidden = was;
                format!("not {inner}")
            }
            2 => self.several(said),
            _ => self.sentence(said),
        }
    }

    /// Sentences that share words: `removed or replaced`, `A or B removed`.
    fn several(&mut self, said: &mut Said) -> String {
        match self.below(6) {
            0 | 1 => {
                let subject = self.subject(said, "part");
                let joint = self.pick(&["or", "or", "and"]);
                // What stands last is said of all: a reason only of work.
                let work = self.once_in(2);
                let first = if work { self.work_alone() } else { self.happening() };
                let mut text = format!("{subject} {first} {joint} {}", self.one_more(work));
                if joint == "or" && self.once_in(3) {
                    text.push_str(&format!(" or {}", self.one_more(work)));
                }
                text
            }
            5 => format!("(equipped with {} or {})", self.equipment(), self.equipment()),
            2 => {
                let joint = self.pick(&["or", "and"]);
                let mut text = format!("{} {joint} {} {}", self.single_part(), self.single_part(), self.happening());
                if self.once_in(2) {
                    text.push_str(&format!(" {joint} {}", self.one_more(false)));
                }
                text
            }
            3 => {
                let sided = self.words.sided_parts();
                if sided.is_empty() {
                    return self.sentence(said);
                }
                format!("left or right {} {}", self.one(&sided), self.happening())
            }
            _ => {
                let was = std::mem::replace(&mut said.hidden, true);
                let text =
                    format!("{} or {} {}", self.subject(said, "part"), self.subject(said, "sensor"), self.happening());
                said.hidden = was;
                text
            }
        }
    }

    /// One sentence of any form.
    fn sentence(&mut self, said: &mut Said) -> String {
        match self.below(if said.asks { 25 } else { 22 }) {
            0..=2 => format!("{} {}", self.subject(said, "part"), self.happening_and_more()),
            3 => self.event(),
            4 => {
                let states = self.words.states.clone();
                format!("{} is {}", self.subject(said, "sensor"), self.one(&states))
            }
            5 | 6 => {
                let class = self.pick(&["part", "sensor"]);
                format!("{} is touched", self.subject(said, class))
            }
            7 => self.equipped(said),
            8 => self.measured(said),
            9 => {
                let at = self.below(self.words.measures.len());
                let measure = self.words.measures[at].clone();
                format!("change in {} {}", self.of_measure(said, &measure), self.printed_limit(true))
            }
            10 => format!("model year {}", self.years()),
            11 => format!("built {}", self.dates()),
            12 => format!("dated {}", self.dates()),
            13 => self.holds(said),
            14 => {
                let (choice, values) = self.words.choices[0].clone();
                format!("{} is {}", choice, self.one(&values))
            }
            15 => {
                let qualities = self.words.qualities.clone();
                let age = self.pick(&["new", "old"]);
                format!("{age} {} is {}", self.subject(said, "part"), self.one(&qualities))
            }
            16 => format!("{} due", self.asked_procedure(said)),
            17 => self.done(said),
            18 => self.code_sentence(said),
            19 => format!("{} read", self.subject(said, "module")),
            20 => self.pick(&["work is complete", "equipment is complete"]).to_string(),
            21 => {
                // Nothing is tied to itself: what it is tied to is named before.
                let that = if self.once_in(2) { self.that(said, "part") } else { None };
                let subject = match that {
                    Some(_) if self.once_in(2) => self.single_part(),
                    Some(_) => self.class_word(said, "part"),
                    None => self.subject(said, "part"),
                };
                let to = that.unwrap_or_else(|| self.part_or_group());
                format!("{subject} is {} {to}", self.relation())
            }
            _ => self.not_known(said),
        }
    }

    fn equipped(&mut self, said: &mut Said) -> String {
        if self.once_in(4) {
            let was = std::mem::replace(&mut said.hidden, true);
            let text = format!("not equipped with {}", self.subject(said, "sensor"));
            said.hidden = was;
            return text;
        }
        if self.once_in(3) {
            return format!("equipped with {}", self.equipment());
        }
        let class = self.pick(&["sensor", "system"]);
        format!("equipped with {}", self.subject(said, class))
    }

    fn of_measure(&mut self, said: &mut Said, measure: &Measure) -> String {
        if measure.of { format!("{} of {}", measure.name, self.subject(said, "part")) } else { measure.name.clone() }
    }

    fn measured(&mut self, said: &mut Said) -> String {
        let at = self.below(self.words.measures.len());
        let measure = self.words.measures[at].clone();
        format!("{} {}", self.of_measure(said, &measure), self.printed_limit(measure.signed))
    }

    fn holds(&mut self, said: &mut Said) -> String {
        let at = self.below(self.words.conditions.len());
        let (condition, of) = self.words.conditions[at].clone();
        if of { format!("{condition} of {}", self.subject(said, "part")) } else { condition }
    }

    fn asked_procedure(&mut self, said: &mut Said) -> String {
        let at = self.below(self.words.procedures.len());
        let Procedure { name, of, .. } = self.words.procedures[at].clone();
        if of { format!("{name} of {}", self.subject(said, "sensor")) } else { name }
    }

    fn done(&mut self, said: &mut Said) -> String {
        let at = self.below(self.words.procedures.len());
        let Procedure { name, of, ends } = self.words.procedures[at].clone();
        let duty = if of { format!("{name} of {}", self.subject(said, "sensor")) } else { name };
        let how = if ends.is_empty() || self.once_in(2) {
            "done".to_string()
        } else {
            format!("ended in {}", self.one(&ends))
        };
        let mut text = format!("{duty} {how}");
        let mut words = ["since", "before"];
        self.numbers.shuffle(&mut words);
        for word in words {
            if self.once_in(2) {
                text.push_str(&format!(" {word} {}", self.cause(said)));
            }
        }
        text
    }

    /// What something was done since, or before, or is waived after.
    pub fn cause(&mut self, said: &mut Said) -> String {
        match self.below(5) {
            0 => self.event(),
            1 => format!("any part {} {} {}", self.relation(), self.single_part(), self.happening()),
            2 => match self.that(said, "part") {
                Some(that) => format!("{that} {}", self.happening()),
                None => format!("any sensor {}", self.happening()),
            },
            _ => format!("{} {}", self.part_or_group(), self.happening()),
        }
    }

    fn code_sentence(&mut self, said: &mut Said) -> String {
        let codes = match self.below(6) {
            0 => "any code".to_string(),
            1 => "no code".to_string(),
            2 => format!("any code other than {}", self.code()),
            3 => format!("no code other than {}", self.code()),
            4 => "code \"B3A??\"".to_string(),
            _ => format!("code {}", self.code()),
        };
        let was = said.hidden;
        said.hidden |= codes.starts_with("no");
        let kept = self.pick(&["stored", "pending"]);
        let text = format!("{codes} {kept} in {}", self.subject(said, "module"));
        said.hidden = was;
        text
    }

    fn not_known(&mut self, said: &mut Said) -> String {
        let fact = match self.below(7) {
            0 => "model year".to_string(),
            1 => "built".to_string(),
            2 => format!("equipped with {}", self.subject(said, "sensor")),
            3 => {
                let at = self.below(self.words.measures.len());
                let measure = self.words.measures[at].clone();
                let change = self.pick(&["", "change in "]);
                format!("{change}{}", self.of_measure(said, &measure))
            }
            4 => self.holds(said),
            5 => self.words.choices[0].0.clone(),
            _ if self.once_in(3) => self.event_alone(),
            _ => format!("{} {}", self.subject(said, "part"), self.happening()),
        };
        format!("{fact} is not known")
    }

    fn event_alone(&mut self) -> String {
        let events = self.words.events.clone();
        self.one(&events)
    }

    /// An event of the car.
    pub fn event(&mut self) -> String {
        self.event_alone()
    }

    /// An operation, a finding or an event of a part.
    pub fn happening(&mut self) -> String {
        let mut all: Vec<String> = self.words.operations.iter().map(|operation| operation.name.clone()).collect();
        all.extend(self.words.findings.iter().chain(&self.words.part_events).cloned());
        self.one(&all)
    }

    fn work_alone(&mut self) -> String {
        let operations: Vec<String> = self.words.operations.iter().map(|operation| operation.name.clone()).collect();
        self.one(&operations)
    }

    fn happening_and_more(&mut self) -> String {
        let is_work = self.once_in(2);
        self.one_more(is_work)
    }

    /// What happens with its place, size and reason.
    fn one_more(&mut self, is_work: bool) -> String {
        let mut text = if is_work { self.work_alone() } else { self.happening() };
        if self.once_in(4) {
            let zones = self.words.zones.clone();
            let placing = self.pick(&["in", "touching", "outside"]);
            text.push_str(&format!(" {placing} {}", self.one(&zones)));
        }
        if self.once_in(5) {
            let measure = self.words.measures[2].name.clone();
            text.push_str(&format!(" with {measure} {}", self.printed_limit(false)));
        }
        if is_work && self.once_in(5) {
            text.push_str(&format!(" because of {}", self.reason()));
        }
        text
    }

    /// An event or a finding.
    pub fn reason(&mut self) -> String {
        let all: Vec<String> = self.words.findings.iter().chain(&self.words.events).cloned().collect();
        self.one(&all)
    }

    /// Who a sentence is about: a term, a class word, or one named before.
    fn subject(&mut self, said: &mut Said, class: &'static str) -> String {
        match self.below(6) {
            0 | 1 => self.class_word(said, class),
            2 => match self.that(said, class) {
                Some(that) => that,
                None => self.class_word(said, class),
            },
            3 if class == "part" || class == "sensor" => {
                // A sided name without `any`.
                let things = if class == "part" { self.words.parts.clone() } else { self.words.sensors.clone() };
                let sided: Vec<(String, Vec<String>)> = things
                    .iter()
                    .filter(|thing| !thing.sides.is_empty())
                    .map(|thing| (thing.written[0].clone(), thing.written.clone()))
                    .collect();
                let at = self.below(sided.len());
                match sided.get(at) {
                    Some((word, written)) => {
                        if !said.hidden {
                            said.named.push(Named { word: word.clone(), class, name: None });
                        }
                        let written = written.clone();
                        self.one(&written)
                    }
                    None => self.term(class),
                }
            }
            _ => self.term(class),
        }
    }

    fn term(&mut self, class: &str) -> String {
        let (modules, systems) = (self.words.modules.clone(), self.words.systems.clone());
        match class {
            "module" => self.one(&modules),
            "system" => self.one(&systems),
            "sensor" => self.single_sensor(),
            _ => self.single_part(),
        }
    }

    /// `that CLASS`, or a name, where it can only mean one.
    pub fn that(&mut self, said: &mut Said, class: &str) -> Option<String> {
        let all: Vec<Named> = said.named.iter().filter(|named| named.class == class).cloned().collect();
        let at = self.below(all.len());
        let named = all.get(at)?.clone();
        if let Some(name) = named.name {
            said.pointed = true;
            return Some(name);
        }
        let is_group = named.word != class;
        let fits =
            said.named.iter().filter(|other| other.word == named.word || (!is_group && other.class == class)).count();
        if fits != 1 {
            return None;
        }
        said.pointed = true;
        if is_group && all.len() == 1 && self.once_in(2) {
            // Of a group the class word will do, where nothing else is of that class.
            return Some(format!("that {class}"));
        }
        Some(format!("that {}", named.word))
    }

    /// `any sensor as first behind front fascia where it is touched`, and its like.
    fn class_word(&mut self, said: &mut Said, class: &'static str) -> String {
        let quantifier = self.pick(&["any", "any", "any", "every", "no", "at least 2"]);
        let binds = quantifier == "any" && !said.hidden;
        let text = self.class_and_more(said, class, binds);
        format!("{quantifier} {text}")
    }

    /// A class word without its quantifier.
    pub fn class_and_more(&mut self, said: &mut Said, class: &'static str, binds: bool) -> String {
        let mut text = String::new();
        let groups = match class {
            "sensor" => self.words.sensor_kinds.clone(),
            "module" => self.words.module_kinds.clone(),
            _ => Vec::new(),
        };
        let mut word = if !groups.is_empty() && self.once_in(3) { groups[0].clone() } else { class.to_string() };
        // Of two groups, none is other than one of the other.
        let is_alike =
            |named: &&Named| named.class == class && (named.word == word || named.word == class || word == class);
        if said.named.iter().any(|named| is_alike(&named)) && self.once_in(2) {
            text.push_str("other ");
            said.pointed = true;
        }
        if class == "part" && text.is_empty() && self.once_in(5) {
            let (line, places) = self.words.lines[0].clone();
            text.push_str(&format!("part from {} to {} of {line}", places[0], places[places.len() - 1]));
            word = class.to_string();
        } else {
            text.push_str(&word);
        }
        let mut name = None;
        let named_late = self.once_in(2);
        if self.once_in(4) {
            said.given += 1;
            let given = format!(
                "one{}",
                ["a", "b", "c", "d", "e", "f", "g", "h"].get(said.given % 8).unwrap_or(&"z").repeat(1 + said.given / 8)
            );
            name = Some(given);
        }
        if let (Some(name), false) = (&name, named_late) {
            text.push_str(&format!(" as {name}"));
        }
        if class != "module" && self.once_in(3) {
            text.push_str(&format!(" {} {}", self.relation(), self.tied_to(said)));
        }
        if let (Some(name), true) = (&name, named_late) {
            text.push_str(&format!(" as {name}"));
        }
        if self.once_in(5) {
            text.push_str(&format!(" where {}", self.about_it(class)));
        }
        if binds {
            said.named.push(Named { word, class, name });
        }
        text
    }

    /// What a relation leads to: a part, or one named before.
    fn tied_to(&mut self, said: &mut Said) -> String {
        let that = if self.once_in(2) { self.that(said, "part") } else { None };
        that.unwrap_or_else(|| self.part_or_group())
    }

    /// A sentence about `it`, after `where`.
    fn about_it(&mut self, class: &str) -> String {
        let not = self.pick(&["", "", "not "]);
        let states = self.words.states.clone();
        let text = match self.below(if class == "module" { 3 } else { 7 }) {
            0 if class == "module" => "it read".to_string(),
            0 => "it is touched".to_string(),
            1 => format!("it {}", self.happening()),
            2 if class == "module" => format!("code {} stored in it", self.code()),
            2 => format!("{} of it {}", self.words.measures[0].name.clone(), self.printed_limit(false)),
            3 => format!("it is {}", self.one(&states)),
            4 => format!("it is {} {}", self.relation(), self.single_part()),
            5 => format!("any sensor {} it is touched", self.relation()),
            _ => format!("{} of it due", self.words.procedures[0].name.clone()),
        };
        format!("{not}{text}")
    }
}
