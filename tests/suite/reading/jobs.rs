//! Generated jobs and tests: every line, every expectation, and tables.

use super::pen::Pen;
use super::words::Procedure;

const CLOCK: &[&str] = &["", " 08:05", " 10:40"];

impl Pen {
    /// A job with lines of every sort.
    pub fn job(&mut self) {
        let dated = if self.once_in(2) { format!(" dated {}", self.date()) } else { String::new() };
        let name = self.word();
        self.item(&format!("job \"{name}\"{dated}"));
        for _ in 0..3 + self.below(10) {
            let (word, entry) = self.entry();
            if entry.is_empty() {
                self.line(word);
                continue;
            }
            let mut text = format!("{word} {entry}");
            if self.once_in(4) {
                // Several entries on one line, where they begin alike.
                let (other, more) = self.entry();
                if other == word {
                    text.push_str(&format!("; {more}"));
                }
            }
            self.line(&text);
        }
    }

    /// The word of a line, and what stands after it.
    fn entry(&mut self) -> (&'static str, String) {
        match self.below(28) {
            0 => ("vehicle", self.vehicle()),
            1 => ("equipped with", self.list(3, Pen::sensor_or_group)),
            2 => ("not equipped with", self.list(2, Pen::equipment)),
            3 => {
                (self.pick(&["equipment is complete", "equipment is complete, per looking at the car"]), String::new())
            }
            4..=6 => ("work", self.work()),
            7 => ("also", self.work()),
            8 => ("found", self.found()),
            9 => {
                let events = self.words.part_events.clone();
                let of_part = format!("{} {}", self.single_part(), self.one(&events));
                ("happened", if self.once_in(2) { of_part } else { self.event() } + &self.at())
            }
            10 => {
                let of_part = format!("{} {}", self.single_part(), self.happening());
                ("not happened", if self.once_in(2) { of_part } else { self.event() })
            }
            11 => (self.pick(&["nothing else came off", "work is complete"]), String::new()),
            12 => {
                let end = self.pick(&[", nothing found", ", nothing else found", " nothing found"]);
                ("looked over", format!("{}{end}", self.list(3, Pen::part_or_group)))
            }
            13 => ("looked over", "everything, nothing else found".to_string()),
            14 => ("measured", self.measured_line()),
            15 | 16 => ("given", self.given()),
            17 => ("judged", self.judged()),
            18 => (self.pick(&["new", "old"]), self.quality_line()),
            19 => ("done", self.done_line()),
            20 | 21 => ("scan", self.scan()),
            22 => ("equipped with", "nothing".to_string()),
            23 => ("in hand", self.duty_of()),
            24 => {
                let (measure, of) = (self.words.set_measure.clone(), self.duty_of());
                ("measured", format!("{measure} of {of} {}", self.reading()))
            }
            _ => ("work", self.work()),
        }
    }

    fn vehicle(&mut self) -> String {
        let (maker, models) = self.words.makers[0].clone();
        let model = if self.once_in(4) { String::new() } else { format!(" {}", models[0]) };
        let year = if self.once_in(3) { String::new() } else { format!(" {}", self.year()) };
        let built = if self.once_in(3) { format!(", built {}", self.date()) } else { String::new() };
        let vin = if self.once_in(5) { ", vin \"1M8GDM9AXKP042788\"" } else { "" };
        format!("{maker}{model}{year}{built}{vin}")
    }

    fn at(&mut self) -> String {
        if self.once_in(3) { format!(" at {}{}", self.date(), self.pick(CLOCK)) } else { String::new() }
    }

    fn work(&mut self) -> String {
        let operations: Vec<String> = self.words.operations.iter().map(|operation| operation.name.clone()).collect();
        let (part, operation) = (self.single_part(), self.one(&operations));
        let first = if self.once_in(2) { format!("{operation} {part}") } else { format!("{part} {operation}") };
        let because = if self.once_in(4) { format!(" because of {}", self.reason()) } else { String::new() };
        format!("{first}{}{because}{}", self.where_and_how_large(), self.at())
    }

    fn found(&mut self) -> String {
        let findings = self.words.findings.clone();
        format!("{} {}{}", self.single_part(), self.one(&findings), self.where_and_how_large())
    }

    fn where_and_how_large(&mut self) -> String {
        let mut text = String::new();
        if self.once_in(4) {
            let zones = self.words.zones.clone();
            let placing = self.pick(&["in", "touching", "outside"]);
            text.push_str(&format!(" {placing} {}", self.one(&zones)));
        }
        if self.once_in(5) {
            let measure = self.words.measures[2].name.clone();
            let joint = self.pick(&[",", " with"]);
            text.push_str(&format!("{joint} {measure} {}", self.reading()));
        }
        text
    }

    fn reading(&mut self) -> String {
        let sign = self.pick(&["", "", "-"]);
        let doubt = self.pick(&["", "", " ± 1 um", " +/- 0.5 mm"]);
        format!("{sign}{}{doubt}", self.length())
    }

    fn measured_line(&mut self) -> String {
        let at = self.below(self.words.measures.len());
        let measure = self.words.measures[at].clone();
        let change = self.pick(&["", "change in "]);
        let of = if measure.of { format!(" of {}", self.single_part()) } else { String::new() };
        format!("{change}{}{of} {}", measure.name, self.reading())
    }

    fn condition_named(&mut self) -> String {
        let at = self.below(self.words.conditions.len());
        let (condition, of) = self.words.conditions[at].clone();
        if of { format!("{condition} of {}", self.single_part()) } else { condition }
    }

    fn given(&mut self) -> String {
        let zones = self.words.zones.clone();
        let operations: Vec<String> = self.words.operations.iter().map(|operation| operation.name.clone()).collect();
        let not = self.pick(&["", "not "]);
        match self.below(7) {
            0 => format!("{not}{}", self.condition_named()),
            1 => {
                let (choice, values) = self.words.choices[0].clone();
                format!("{not}{choice} is {}", self.one(&values))
            }
            5 => {
                let (choice, places, values) = self.words.placed_choice.clone();
                format!("{not}{choice} of {} is {}", self.one(&places), self.one(&values))
            }
            2 => format!("{} {} outside {}", self.single_part(), self.one(&operations), self.one(&zones)),
            3 => format!("{} {} because of {}", self.single_part(), self.one(&operations), self.reason()),
            4 => format!(
                "{} {} in {} because of {}",
                self.single_part(),
                self.one(&operations),
                self.one(&zones),
                self.reason()
            ),
            _ => format!("{}equipped with {}", not, self.equipment()),
        }
    }

    fn judged(&mut self) -> String {
        let answer = self.pick(&["yes", "no", "cannot tell"]);
        let by = self.pick(&["", " by \"R. A.\""]);
        let because = self.pick(&["", " because \"under paint\""]);
        format!("{} {answer}{by}{because}", self.condition_named())
    }

    fn quality_line(&mut self) -> String {
        let qualities = self.words.qualities.clone();
        let is = self.pick(&["is", "is not"]);
        format!("{} {is} {}", self.single_part(), self.one(&qualities))
    }

    fn done_line(&mut self) -> String {
        let (duty, end) = self.carried_out();
        format!("{duty}{end}{}", self.at())
    }

    /// A procedure of one thing, and how it ended, at times.
    fn carried_out(&mut self) -> (String, String) {
        let all: Vec<Procedure> = self.words.procedures.iter().chain(&self.words.concluded).cloned().collect();
        let Procedure { name, of, ends } = all[self.below(all.len())].clone();
        let of = if of { format!(" of {}", self.single_sensor()) } else { String::new() };
        let end =
            if ends.is_empty() || self.once_in(2) { String::new() } else { format!(" ended in {}", self.one(&ends)) };
        (format!("{name}{of}"), end)
    }

    fn scan(&mut self) -> String {
        let when = self.pick(&["", "on arrival ", "after work "]);
        let at = self.at();
        let at = if at.is_empty() { at } else { format!("{} ", at.trim_start()) };
        let modules = self.words.modules.clone();
        let tested = self.pick(&["", ", tests run", ", tests not run"]);
        let of = self.pick(&["every module", "one", "both"]);
        let module = self.one(&modules);
        let (of, inside) = match of {
            "one" => (module, String::new()),
            "both" => (modules.join(", "), format!(" in {module}")),
            _ => ("every module".to_string(), format!(" in {module}")),
        };
        if self.once_in(3) {
            return format!("{when}{at}of {of}, no codes{tested}");
        }
        let codes = self.list(3, |pen| {
            let more = pen.pick(&["", " pending", " status 0x2F", " status 0x09"]);
            format!("{}{more}{inside}", pen.code())
        });
        format!("{when}{at}of {of}, codes {codes}{tested}")
    }

    /// A test of one case.
    pub fn test(&mut self) {
        let name = self.word();
        self.item(&format!("test \"{name}\""));
        for _ in 0..1 + self.below(4) {
            let all = if self.once_in(3) { self.two_supposed() } else { self.supposed() };
            self.line(&format!("suppose {all}"));
        }
        for _ in 0..1 + self.below(6) {
            let expected = self.expected();
            let ending = if self.once_in(8) { self.ending() } else { String::new() };
            self.line(&format!("expect {expected}{ending}"));
        }
    }

    /// `if` and how a procedure ends.
    fn ending(&mut self) -> String {
        let (duty, end) = self.carried_out();
        let end = if end.is_empty() { " done".to_string() } else { end };
        format!(" if {duty}{end}")
    }

    /// A test with a row for each case, at times with two tables.
    pub fn table_test(&mut self) {
        let name = self.word();
        self.item(&format!("test \"{name}\""));
        let common = self.supposed();
        self.line(&format!("suppose {common}"));
        if self.once_in(2) {
            let expected = self.expected();
            self.line(&format!("expect {expected}"));
        }
        for _ in 0..1 + self.below(2) {
            self.line("table");
            let duty = self.duty_named();
            let sensor = self.single_sensor();
            let mut heads = vec!["suppose".to_string(), format!("expect {duty}"), format!("expect {sensor}")];
            if self.once_in(2) {
                heads.push("suppose".to_string());
            }
            self.line(&format!("| {} |", heads.join(" | ")));
            for _ in 0..1 + self.below(3) {
                let mut cells = vec![self.supposed(), self.duty_verdict(), self.sensor_verdict()];
                if heads.len() > 3 {
                    cells.push(self.two_supposed());
                }
                let empty = self.below(9);
                if let Some(cell) = cells.get_mut(empty) {
                    cell.clear();
                }
                self.line(&format!("| {} |", cells.join(" | ")));
            }
        }
    }

    /// Two lines, but for a line whose word would go on over the second.
    fn two_supposed(&mut self) -> String {
        let (first, second) = (self.supposed(), self.supposed());
        let goes_on = ["also", "work", "found", "happened", "not happened"].iter().any(|word| first.starts_with(word));
        if goes_on { first } else { format!("{first}; {second}") }
    }

    /// A line, with or without its first word, or a bare sentence.
    fn supposed(&mut self) -> String {
        match self.below(8) {
            0 => {
                let vehicle = self.vehicle();
                match self.below(3) {
                    0 => format!("{vehicle}, only equipped with {}", self.sensor_or_group()),
                    1 => format!("{vehicle}, not equipped with {}", self.equipment()),
                    _ => vehicle,
                }
            }
            1 => format!("only equipped with {}", self.list(2, Pen::sensor_or_group)),
            2 => format!("dated {}", self.date()),
            3 => format!("{} {}", self.single_part(), self.happening()),
            4 => self.event(),
            5 => {
                let not = self.pick(&["", "not "]);
                format!("{not}{}", self.condition_named())
            }
            6 => self.measured_line(),
            _ => {
                let (word, entry) = self.entry();
                format!("{word} {entry}").trim_end().to_string()
            }
        }
    }

    /// A procedure rules conclude, of one thing.
    pub fn duty_of(&mut self) -> String {
        let at = self.below(self.words.concluded.len());
        let Procedure { name, of, .. } = self.words.concluded[at].clone();
        if of { format!("{name} of {}", self.single_sensor()) } else { name }
    }

    fn duty_named(&mut self) -> String {
        if self.once_in(4) { format!("{} or {}", self.duty_of(), self.duty_of()) } else { self.duty_of() }
    }

    fn duty_verdict(&mut self) -> String {
        if self.once_in(6) {
            return self
                .pick(&["met", "not met", "held", "not held", "not met, held", "ready", "not ready", "perhaps ready"])
                .to_string();
        }
        let mut text = match self.below(7) {
            0 => "conflict".to_string(),
            1 => "advised".to_string(),
            2 => "not needed".to_string(),
            3 => "absent".to_string(),
            4 => "open".to_string(),
            5 => format!("open on {}", self.list(3, Pen::fact_name)),
            _ => "required".to_string(),
        };
        let mut tails = [self.by_rules(), self.because_of(), " in the words \"should\"".to_string()];
        self.numbers.shuffle(&mut tails);
        for tail in tails {
            if self.once_in(4) {
                text.push_str(&tail);
            }
        }
        if self.once_in(6) {
            text.push_str(self.pick(&[", not met", ", held", ", met, not held"]));
        }
        text
    }

    fn by_rules(&mut self) -> String {
        let names = self.list(2, |pen| format!("\"rule {}\"", pen.pick(&["one", "two", "three"])));
        format!(" by {names}")
    }

    fn because_of(&mut self) -> String {
        let of_part = format!("{} {}", self.single_part(), self.happening());
        format!(" because of {}", if self.once_in(2) { of_part } else { self.event() })
    }

    fn sensor_verdict(&mut self) -> String {
        match self.below(4) {
            0 => {
                let because = self.because_of();
                let at = self.below(self.words.sources.len());
                let name = self.words.sources[at].name.clone();
                let read = if self.once_in(2) { format!(" in {name}") } else { String::new() };
                format!("silent{because}{read}")
            }
            1 => "not silent".to_string(),
            2 => "touched".to_string(),
            _ => self.pick(&["silent", "not touched"]).to_string(),
        }
    }

    fn expected(&mut self) -> String {
        let systems = self.words.systems.clone();
        match self.below(16) {
            0..=3 => format!("{} {}", self.duty_named(), self.duty_verdict()),
            4 => format!("{} {}", self.single_sensor(), self.sensor_verdict()),
            5 | 6 => {
                let doing: Vec<String> =
                    self.words.operations.iter().filter_map(|operation| operation.doing.clone()).collect();
                let open_on = format!("open on {}", self.list(2, Pen::fact_name));
                let verdict = self.pick(&["forbidden", "allowed", "conflict", "open", "silent", &open_on]).to_string();
                let zones = self.words.zones.clone();
                let zone = if self.once_in(3) { format!(" in {}", self.one(&zones)) } else { String::new() };
                format!("{} of {}{zone} {verdict}", self.one(&doing), self.single_part())
            }
            7 => format!("{} before {}", self.duty_of(), self.duty_of()),
            8 => {
                let not = self.pick(&["", "not "]);
                format!("{} {not}off", self.one(&systems))
            }
            9 => {
                let not = self.pick(&["", "not "]);
                format!("{not}asked {}", self.list(3, Pen::fact_name))
            }
            10 => {
                let not = self.pick(&["", "not "]);
                format!("{not}asked {}", self.text())
            }
            11 => {
                let how = self.pick(&["", "perhaps ", "not "]);
                format!("{how}warned {}", self.text())
            }
            12 => format!("offered {}", self.list(3, Pen::single_part)),
            13 | 14 => {
                let (measure, of) = (self.words.set_measure.clone(), self.duty_of());
                format!("{measure} of {of} {}", self.value_verdict())
            }
            _ => self.pick(&["nothing else", "what came off open"]).to_string(),
        }
    }

    fn value_verdict(&mut self) -> String {
        let text = match self.below(9) {
            0 => "within".to_string(),
            1 => "outside".to_string(),
            2 => "cannot say".to_string(),
            3 => "conflict".to_string(),
            4 => "cannot be set".to_string(),
            5 => "absent".to_string(),
            6 => "open".to_string(),
            7 => format!("open on {}", self.list(2, Pen::fact_name)),
            _ => {
                let limit = self.pick(&["", ", within 3 mm", ", at least 10 mm", ", no limit given"]);
                format!("1500 mm{limit}")
            }
        };
        let by = if self.once_in(4) { self.by_rules() } else { String::new() };
        format!("{text}{by}")
    }

    /// A fact by its name.
    fn fact_name(&mut self) -> String {
        let source = {
            let at = self.below(self.words.sources.len());
            self.words.sources[at].name.clone()
        };
        let section = if self.once_in(2) { format!(" section {}", self.section()) } else { String::new() };
        let (qualities, operations) = (
            self.words.qualities.clone(),
            self.words.operations.iter().map(|operation| operation.name.clone()).collect::<Vec<_>>(),
        );
        match self.below(21) {
            0 => "model year".to_string(),
            1 => self.pick(&["built", "vin"]).to_string(),
            2 => "dated".to_string(),
            3 => "model".to_string(),
            4 => "work is complete".to_string(),
            5 => "order".to_string(),
            6 => format!("equipped with {}", self.equipment()),
            7 => self.condition_named(),
            8 => self.words.choices[0].0.clone(),
            18 => format!("which {} counts", self.words.placed_choice.0.clone()),
            19 => {
                let (choice, places, _) = self.words.placed_choice.clone();
                format!("{choice} of {}", self.one(&places))
            }
            9 => {
                let modules = self.words.modules.clone();
                format!("codes in {}", self.one(&modules))
            }
            10 => {
                let change = self.pick(&["", "change in "]);
                format!("{change}{} of {}", self.words.measures[0].name.clone(), self.single_part())
            }
            11 => {
                let zones = self.words.zones.clone();
                let zone = if self.once_in(2) { format!(" in {}", self.one(&zones)) } else { String::new() };
                format!("{} {}{zone}", self.single_part(), self.happening())
            }
            12 => {
                let age = self.pick(&["new", "old"]);
                format!("{age} {} is {}", self.single_part(), self.one(&qualities))
            }
            13 => format!("why {} was {}", self.single_part(), self.one(&operations)),
            14 => format!("{source} holds"),
            15 => format!("how {source}{section} is read"),
            16 => format!("what {source}{section} leaves open"),
            17 => {
                let relation = self.relation();
                let list = self.pick(&["access", "sensor", &relation]).to_string();
                format!("{list} list of {} is complete", self.single_part())
            }
            20 => {
                let at = self.below(self.words.procedures.len());
                let Procedure { name, of, .. } = self.words.procedures[at].clone();
                let of = if of { format!(" of {}", self.single_sensor()) } else { String::new() };
                format!("{name}{of} is to be done")
            }
            _ => self.event(),
        }
    }
}
