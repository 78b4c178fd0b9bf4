//! Generated rules: their clauses in any order, and every conclusion.

use super::conditions::Said;
use super::pen::Pen;
use super::words::Procedure;

/// A sentence no rule has elsewhere: another reading may not say what the rule says.
const ONLY_HERE: &str = "dated from 2011-11-11";

impl Pen {
    /// A rule with all that may stand in one.
    pub fn rule(&mut self) {
        let name = format!("rule {}", self.word());
        self.item(&format!("rule \"{name}\""));
        let mut said = Said { asks: self.once_in(4), ..Said::default() };
        let asks = said.asks;
        let cites = format!("cites {}", self.reference());
        self.line(&cites);
        let mut when = self.condition(&mut said, 2);
        let cited = cites.split_whitespace().nth(1);
        let own = self.words.sources.iter().find(|source| Some(source.name.as_str()) == cited);
        let own = own.map_or_else(Vec::new, |source| source.own.clone());
        if !own.is_empty() && self.once_in(3) {
            when = format!("({when}) and {}", self.one(&own));
        }
        // Figures that differ are readings too.
        let apart = self.once_in(8);
        if apart {
            let measure = self.words.measures[2].name.clone();
            when =
                format!("({when}) and {measure} over 5 mm (printed 0.3 in) and {measure} under 9 mm (printed 1 inch)");
        }
        let mut clauses: Vec<String> = vec![format!("when {when}")];
        let mut inner = Said { hidden: true, ..said.clone() };
        if self.once_in(3) {
            clauses.push(format!("unless {}", self.condition(&mut inner, 1)));
        }
        for _ in 0..self.below(3) {
            let says = self.text();
            clauses.push(format!("says {says}"));
        }
        let then = self.conclusions(&mut inner, asks);
        clauses.extend(then);
        if !self.rules.is_empty() && self.once_in(5) {
            let others = self.rules.clone();
            let other = others[self.below(others.len())].clone();
            clauses.push(format!("gives way to \"{other}\""));
        }
        if self.once_in(5) {
            let (read, why) = (self.text(), self.text());
            let because = if self.once_in(2) { format!(" because {why}") } else { String::new() };
            clauses.push(format!("read as {read}{because}"));
        }
        for word in ["because", "without it"] {
            if self.once_in(4) {
                let text = self.text();
                clauses.push(format!("{word} {text}"));
            }
        }
        if !apart && self.once_in(6) {
            self.readings(&mut clauses, &said, &inner, asks);
        }
        self.numbers.shuffle(&mut clauses);
        for clause in clauses {
            self.line(&clause);
        }
        self.rules.push(name);
    }

    /// Other readings of `when`, `unless` or `then`.
    fn readings(&mut self, clauses: &mut Vec<String>, said: &Said, inner: &Said, asks: bool) {
        let mut given = inner.given;
        for _ in 0..1 + self.below(2) {
            let mut own = Said { hidden: true, given, ..said.clone() };
            let other = match self.below(4) {
                // By another `when` all else is read again: what it points at would be another, or be called so twice.
                0 if !inner.pointed && inner.given == said.given => {
                    own = Said { given, asks, ..Said::default() };
                    format!("when ({}) and {ONLY_HERE}", self.condition(&mut own, 1))
                }
                1 => format!("unless ({}) and {ONLY_HERE}", self.condition(&mut own, 1)),
                2 => "then nothing".to_string(),
                _ if asks => "then ask \"read so?\"".to_string(),
                _ => format!("then require {} in the words \"would\"", self.concluded(&mut own)),
            };
            given = own.given;
            clauses.push(format!("could also be read as {other}"));
        }
    }

    /// `then` clauses: conclusions that go on with `and`, as far as they can.
    fn conclusions(&mut self, said: &mut Said, asks: bool) -> Vec<String> {
        let mut clauses: Vec<String> = Vec::new();
        let mut ends_in_condition = true;
        let mut has_duty = false;
        for _ in 0..1 + self.below(3) {
            let (text, is_duty) = self.conclusion(said, asks);
            has_duty |= is_duty;
            let is_sentence = !["require", "advise", "waive", "forbid", "allow", "leave", "hold", "set", "ask", "warn"]
                .iter()
                .any(|verb| text.starts_with(verb));
            match clauses.last_mut() {
                Some(clause) if !(ends_in_condition && is_sentence) => clause.push_str(&format!("\n   and {text}")),
                _ => clauses.push(format!("then {text}")),
            }
            ends_in_condition = text.starts_with("hold") || text.starts_with("allow");
        }
        if has_duty && !asks && self.once_in(3) {
            let systems = self.words.systems.clone();
            let system = match self.that(said, "system") {
                Some(that) => that,
                None if self.once_in(3) => format!("every {}", self.class_and_more(said, "system", false)),
                None => self.one(&systems),
            };
            if let Some(clause) = clauses.last_mut() {
                clause.push_str(&format!(" and until then {system} is off"));
            }
        }
        // One clause, so that its order is not lost among the others.
        vec![clauses.join("\n  ")]
    }

    /// One conclusion, and whether it is a duty.
    pub fn conclusion(&mut self, said: &mut Said, asks: bool) -> (String, bool) {
        let choice = if asks { self.pick(&["ask", "warn", "hold"]) } else { self.any_conclusion() };
        let text = match choice {
            "require" | "advise" => {
                let duty = self.concluded(said);
                format!("{choice} {duty}{}", self.strength())
            }
            "require either" | "advise either" => {
                let that = self.that(said, "sensor");
                let of = that.unwrap_or_else(|| self.single_sensor());
                let (one, two) = (self.words.concluded[0].name.clone(), self.words.concluded[1].name.clone());
                format!("{choice} {one} of {of} or {two} of {of}{}", self.strength())
            }
            "require and others" | "advise and others" => {
                let verb = if choice.starts_with("require") { "require" } else { "advise" };
                let name = self.words.concluded[0].name.clone();
                let more = if self.once_in(2) {
                    format!(", every {}", self.class_and_more(said, "sensor", false))
                } else {
                    String::new()
                };
                format!("{verb} {name} of {}{more} and others not listed{}", self.single_sensor(), self.strength())
            }
            "leave open" => format!("leave open {} because {}", self.concluded(said), self.text()),
            "waive" => {
                let duty = self.concluded(said);
                match self.below(3) {
                    0 => {
                        let mut text = format!("waive {duty} after {}", self.part_cause(said));
                        if self.once_in(3) {
                            text.push_str(&format!(" or {}", self.happening()));
                        }
                        text
                    }
                    1 => format!("waive {duty} after {}", self.event()),
                    _ => format!("waive {duty}"),
                }
            }
            "waive what" => match self.rules.clone().as_slice() {
                [] => "ask \"what now?\"".to_string(),
                rules => format!("waive what \"{}\" asks", rules[self.below(rules.len())]),
            },
            "forbid" => format!("forbid {}", self.permission(said)),
            "allow" => {
                let limit = if self.once_in(2) { format!(" where {}", self.limit_of(said)) } else { String::new() };
                format!("allow {}{limit}", self.permission(said))
            }
            "allow only" => format!("allow only {} where {}", self.permission(said), self.limit_of(said)),
            "hold" => format!("hold {} until {}", self.concluded(said), self.limit_of(said)),
            "ask" => format!("ask {}", self.text()),
            "warn" => format!("warn {}", self.text()),
            "set" => self.value(),
            "before" => format!("{} before {}", self.concluded(said), self.concluded(said)),
            _ => {
                let states = self.words.concluded_states.clone();
                format!("{} is {}", self.concluded_subject(said), self.one(&states))
            }
        };
        (text, choice == "require" || choice == "advise")
    }

    fn any_conclusion(&mut self) -> &'static str {
        self.pick(&[
            "require",
            "require",
            "advise",
            "require either",
            "advise either",
            "leave open",
            "require and others",
            "advise and others",
            "waive",
            "waive what",
            "forbid",
            "allow",
            "allow only",
            "hold",
            "set",
            "set",
            "ask",
            "warn",
            "before",
            "state",
        ])
    }

    /// A value that a text asks for: one, or one for each case.
    fn value(&mut self) -> String {
        let what = format!("set {} of {}", self.words.set_measure.clone(), self.duty_of());
        let limits = [
            ", within 3 mm",
            ", within 3 mm (printed 0.12 in)",
            ", from 1400 mm to 1600 mm",
            ", at least 1200 mm",
            ", no limit given",
        ];
        let one = |pen: &mut Pen| format!("1500 mm{}{}", pen.pick(&["", "", " (printed 59.1 in)"]), pen.pick(&limits));
        let last = |pen: &mut Pen| match pen.below(3) {
            0 => "cannot be set here".to_string(),
            1 => "gap as printed".to_string(),
            _ => one(pen),
        };
        let rows = |first: &str, second: &str, pen: &mut Pen| format!(": {first} {}; {second} {}", one(pen), last(pen));
        match self.below(6) {
            0 => {
                let (choice, values) = self.words.choices[0].clone();
                let rows = rows(&values[0], "other", self);
                format!("{what} by {choice}{rows}")
            }
            1 => {
                let (choice, places, values) = self.words.placed_choice.clone();
                let place = if self.once_in(2) { format!(" of {}", self.one(&places)) } else { String::new() };
                let rows = rows(&values[0], &values[1], self);
                format!("{what} by {choice}{place}{rows}")
            }
            2 => format!("{what} by model year{}", rows("until 2019", "from 2020", self)),
            3 => format!("{what} by built{}", rows("until 2019-05-01", "from 2019-05-02", self)),
            4 => {
                let measure = self.words.measures[2].name.clone();
                format!("{what} by {measure}{}", rows("under 60 mm", "at least 60 mm", self))
            }
            _ => format!("{what} to {}", one(self)),
        }
    }

    pub fn strength(&mut self) -> String {
        if self.once_in(3) { " in the words \"shall\"".to_string() } else { String::new() }
    }

    fn part_cause(&mut self, said: &mut Said) -> String {
        match self.that(said, "part") {
            Some(that) => format!("{that} {}", self.happening()),
            None => format!("{} {}", self.part_or_group(), self.happening()),
        }
    }

    /// Whom a conclusion is about: one term, the one named, or every one.
    fn concluded_subject(&mut self, said: &mut Said) -> String {
        let that = self.that(said, "sensor");
        match (that, self.below(3)) {
            (Some(that), 0 | 1) => that,
            (_, 2) => format!("every {}", self.class_and_more(said, "sensor", false)),
            _ => self.single_sensor(),
        }
    }

    pub fn concluded(&mut self, said: &mut Said) -> String {
        let at = self.below(self.words.concluded.len());
        let Procedure { name, of, .. } = self.words.concluded[at].clone();
        if of { format!("{name} of {}", self.concluded_subject(said)) } else { name }
    }

    fn permission(&mut self, said: &mut Said) -> String {
        let doing: Vec<String> = self.words.operations.iter().filter_map(|operation| operation.doing.clone()).collect();
        let part = match self.that(said, "part") {
            Some(that) => that,
            None => self.single_part(),
        };
        let zones = self.words.zones.clone();
        let zone = if self.once_in(3) { format!(" in {}", self.one(&zones)) } else { String::new() };
        format!("{} of {part}{zone}", self.one(&doing))
    }

    /// A condition as far as which something goes: joined by `and`, or in brackets.
    fn limit_of(&mut self, said: &mut Said) -> String {
        let condition = self.condition(said, 1);
        format!("({condition})")
    }
}
