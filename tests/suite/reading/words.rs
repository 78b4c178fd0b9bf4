//! The words of a generated file: declarations of every class, and of sources.

use super::pen::Pen;

/// A term and how it may be written.
#[derive(Clone, Default)]
pub struct Thing {
    /// Its name and aliases.
    pub written: Vec<String>,
    /// Its members, where it has sides.
    pub sides: Vec<String>,
}

/// An operation with its other forms.
#[derive(Clone)]
pub struct Operation {
    pub name: String,
    pub doing: Option<String>,
    pub on_the_way: Option<String>,
}

/// A measure, in millimetres.
#[derive(Clone)]
pub struct Measure {
    pub name: String,
    pub of: bool,
    pub signed: bool,
}

/// A procedure.
#[derive(Clone)]
pub struct Procedure {
    pub name: String,
    pub of: bool,
    pub ends: Vec<String>,
}

/// A source, and whether citing it needs no section.
#[derive(Clone)]
pub struct Cited {
    pub name: String,
    pub of: String,
    /// Sentences in words of its own.
    pub own: Vec<String>,
}

/// Everything declared.
#[derive(Default)]
pub struct Words {
    pub makers: Vec<(String, Vec<String>)>,
    pub parts: Vec<Thing>,
    pub sensors: Vec<Thing>,
    pub systems: Vec<String>,
    pub modules: Vec<String>,
    pub options: Vec<String>,
    /// Kinds of sensors, and of modules.
    pub sensor_kinds: Vec<String>,
    pub module_kinds: Vec<String>,
    pub operations: Vec<Operation>,
    pub findings: Vec<String>,
    /// Events of the car, and of parts.
    pub events: Vec<String>,
    pub part_events: Vec<String>,
    /// States and procedures rules ask about, and those they conclude: what rests on its absence is refused.
    pub states: Vec<String>,
    pub concluded_states: Vec<String>,
    pub procedures: Vec<Procedure>,
    pub concluded: Vec<Procedure>,
    pub measures: Vec<Measure>,
    pub conditions: Vec<(String, bool)>,
    pub choices: Vec<(String, Vec<String>)>,
    /// A choice of places: its name, its places, its values.
    pub placed_choice: (String, Vec<String>, Vec<String>),
    /// A measure that rules set, of a procedure that rules conclude.
    pub set_measure: String,
    pub qualities: Vec<String>,
    pub zones: Vec<String>,
    /// A line with its places.
    pub lines: Vec<(String, Vec<String>)>,
    pub relations: Vec<String>,
    pub sources: Vec<Cited>,
}

impl Words {
    /// The names of the parts that have sides.
    pub fn sided_parts(&self) -> Vec<String> {
        self.parts.iter().filter(|part| !part.sides.is_empty()).map(|part| part.written[0].clone()).collect()
    }
}

impl Pen {
    /// Declarations of all classes, relations at the end at times: they are read first all the same.
    pub fn declarations(&mut self) {
        let relations = self.relations();
        let late = self.once_in(3);
        if !late {
            self.out.push_str(&relations);
        }
        self.makers();
        self.systems_and_modules();
        for _ in 0..3 + self.below(3) {
            self.declare_part();
        }
        for _ in 0..2 + self.below(2) {
            self.sensor();
        }
        self.kinds();
        self.operations();
        self.happenings();
        self.states_and_procedures();
        self.measures();
        self.conditions_and_choices();
        self.zones_and_lines();
        if late {
            self.out.push_str(&relations);
        }
    }

    fn relations(&mut self) -> String {
        let mut out = String::new();
        for _ in 0..2 {
            let name = format!("{} {}", self.word(), self.pick(&["on", "behind", "by", "from"]));
            let of = self.pick(&["", " of part to part", " of sensor to part"]);
            let more = self.pick(&["", ", passes along", ", passes disturbance", ", passes along, passes disturbance"]);
            out.push_str(&format!("relation {name}{of}{more}\n"));
            self.words.relations.push(name);
        }
        out
    }

    fn makers(&mut self) {
        for _ in 0..1 + self.below(2) {
            let maker = self.name();
            let models: Vec<String> = (0..1 + self.below(3)).map(|_| self.name()).collect();
            let makes = self.pick(&[" ", "\n  "]);
            self.item(&format!("maker {maker}{makes}makes {}", models.join(", ")));
            self.words.makers.push((maker, models));
        }
    }

    fn systems_and_modules(&mut self) {
        for _ in 0..1 + self.below(2) {
            let system = self.name();
            self.item(&format!("system {system}"));
            self.words.systems.push(system);
        }
        for _ in 0..2 {
            let module = format!("{} module", self.word());
            self.item(&format!("module {module}"));
            self.words.modules.push(module);
        }
        let option = self.name();
        self.item(&format!("option {option}"));
        self.words.options.push(option);
    }

    /// Other writings, in quotes, as a clause.
    fn aliases(&mut self, written: &mut Vec<String>) {
        if !self.once_in(3) {
            return;
        }
        let aliases: Vec<String> = (0..1 + self.below(2)).map(|_| self.word()).collect();
        let quoted: Vec<String> = aliases.iter().map(|alias| format!("\"{alias}\"")).collect();
        self.line(&format!("also written {}", quoted.join(", ")));
        written.extend(aliases);
    }

    /// Ties to what was declared before.
    fn ties(&mut self, sided: bool, has_sides: bool) -> String {
        let mut text = String::new();
        for at in 0..self.below(3) {
            let relation = self.words.relations.get(at).cloned().unwrap_or_default();
            let target = if sided && self.once_in(2) {
                self.words.sided_parts().into_iter().next()
            } else {
                Some(self.single_part())
            };
            let Some(target) = target.filter(|target| !target.is_empty()) else { continue };
            let comma = if has_sides || !text.is_empty() || self.once_in(3) { "," } else { "" };
            text.push_str(&format!("{comma} {relation} {target}"));
            if self.once_in(3) {
                text.push_str(&format!(", {}", self.single_part()));
            }
        }
        text
    }

    /// A part, perhaps with sides, aliases and ties.
    pub fn declare_part(&mut self) {
        let mut name = self.name();
        if self.once_in(8) {
            // Words that begin something else where they stand first on a line.
            name = format!("{} {name}", self.pick(&["sensor", "work", "table", "line", "found"]));
        }
        let mut thing = Thing { written: vec![name.clone()], sides: Vec::new() };
        let sided = self.once_in(3);
        let mut head = format!("part {name}");
        if sided {
            head.push_str(" on left, right");
            thing.sides = ["left", "right"].iter().map(|side| format!("{side} {name}")).collect();
        }
        if !self.words.parts.is_empty() {
            let ties = self.ties(sided, sided);
            head.push_str(&ties);
        }
        self.item(&head);
        self.aliases(&mut thing.written);
        self.words.parts.push(thing);
    }

    fn sensor(&mut self) {
        let name = self.name();
        let sided = self.once_in(3);
        let mut thing = Thing { written: vec![name.clone()], sides: Vec::new() };
        let mut head = format!("sensor {name}");
        if sided {
            head.push_str(" on left, right, rear");
            thing.sides = ["left", "right", "rear"].iter().map(|side| format!("{side} {name}")).collect();
        }
        let ties = self.ties(false, sided);
        head.push_str(&ties);
        self.item(&head);
        if self.once_in(2) {
            let systems = self.words.systems.clone();
            let systems = self.list(2, |pen| pen.one(&systems));
            self.line(&format!("serves {systems}"));
        }
        self.aliases(&mut thing.written);
        self.words.sensors.push(thing);
    }

    fn kinds(&mut self) {
        let kind = self.name();
        let members = self.list(3, |pen| pen.sensor_or_group());
        self.item(&format!("kind {kind} of sensor {members}"));
        if self.once_in(3) {
            // Whose class is not named, and which no `that sensor` points at.
            let (kind, members) = (self.name(), self.list(3, Pen::sensor_or_group));
            self.item(&format!("kind {kind} of {members}"));
        }
        self.words.sensor_kinds.push(kind);
        let kind = self.name();
        let members = self.words.modules.join(", ");
        self.item(&format!("kind {kind} of module {members}"));
        self.words.module_kinds.push(kind);
    }

    fn operations(&mut self) {
        for at in 0..4 {
            let name = self.name();
            let (mut doing, mut on_the_way) = (None, None);
            let of = self.pick(&["", "", " of part"]);
            self.item(&format!("operation {name}{of}"));
            if at == 0 || !self.once_in(4) {
                let form = format!("{}ing", self.word());
                self.line(&format!("doing \"{form}\""));
                doing = Some(form);
            }
            if at == 0 || self.once_in(2) {
                let verb = format!("{} off", self.word());
                self.line(&format!("on the way \"{verb}\""));
                on_the_way = Some(verb);
            }
            if at == 1 || self.once_in(4) {
                self.line("puts on another part");
            }
            if at > 0 && self.once_in(2) {
                let all: Vec<String> = self.words.operations.iter().map(|operation| operation.name.clone()).collect();
                let milder = self.list(2, |pen| pen.one(&all));
                self.line(&format!("counts as {milder}"));
            }
            if self.once_in(5) {
                self.line("disturbs nothing");
            }
            self.words.operations.push(Operation { name, doing, on_the_way });
        }
    }

    fn happenings(&mut self) {
        for _ in 0..2 {
            let name = self.name();
            let more = self.pick(&["", ", disturbs nothing", " of part", " of part, disturbs nothing"]);
            self.item(&format!("finding {name}{more}"));
            self.words.findings.push(name);
        }
        for of in ["", "", " of part"] {
            let name = self.name();
            let asked = if self.once_in(2) { " asked as \"Was it so?\"" } else { "" };
            self.item(&format!("event {name}{of}{asked}"));
            if of.is_empty() { &mut self.words.events } else { &mut self.words.part_events }.push(name);
        }
    }

    fn states_and_procedures(&mut self) {
        for concluded in [false, true] {
            let name = self.name();
            let of = self.pick(&[" of part", " of sensor", ""]);
            self.item(&format!("state {name}{of}"));
            if concluded { &mut self.words.concluded_states } else { &mut self.words.states }.push(name);
        }
        for (concluded, of) in [(false, true), (false, false), (true, true), (true, true), (true, false)] {
            let name = self.name();
            let ends: Vec<String> = if self.once_in(3) { Vec::new() } else { vec!["passed".into(), "failed".into()] };
            let text = if of { self.pick(&[" of sensor", " of part"]) } else { "" };
            let outcomes = if ends.is_empty() { String::new() } else { format!(" ends in {}", ends.join(", ")) };
            let operations: Vec<String> =
                self.words.operations.iter().map(|operation| operation.name.clone()).collect();
            let work = if of && self.once_in(3) {
                format!(", carried out by {}", self.one(&operations))
            } else {
                String::new()
            };
            let concerns = if self.once_in(3) && !self.words.sensors.is_empty() {
                format!(", concerns {}", self.single_sensor())
            } else {
                String::new()
            };
            self.item(&format!("procedure {name}{text}{outcomes}{work}{concerns}"));
            let procedure = Procedure { name, of, ends };
            if concluded { &mut self.words.concluded } else { &mut self.words.procedures }.push(procedure);
        }
    }

    fn measures(&mut self) {
        for (of, signed) in [(true, false), (true, true), (false, false)] {
            let name = self.name();
            let text = if of { " of part" } else { "" };
            let unit = self.pick(&["mm", "um"]);
            self.item(&format!("measure {name} in {unit}{text}"));
            if signed {
                self.line("positive \"to the left\"");
            }
            if self.once_in(3) {
                let limit = self.limit(true);
                self.line(&format!("disturbs when changed {limit}"));
            }
            self.words.measures.push(Measure { name, of, signed });
        }
        let name = self.name();
        self.item(&format!("measure {name} in mm of procedure"));
        self.words.set_measure = name;
    }

    fn conditions_and_choices(&mut self) {
        for of in [false, true] {
            let name = self.name();
            let text = if of { " of part" } else { "" };
            let judged = self.pick(&["", " judged by a person", " judged by a person, asked as \"Is it so?\""]);
            self.item(&format!("condition {name}{text}{judged}"));
            self.words.conditions.push((name, of));
        }
        let name = self.name();
        let values: Vec<String> = (0..2 + self.below(2)).map(|_| self.name()).collect();
        let asked = if self.once_in(2) { ", asked as \"Which?\"" } else { "" };
        self.item(&format!("choice {name} one of {}{asked}", values.join(", ")));
        self.words.choices.push((name, values));
        let name = self.name();
        let places = vec![self.single_part(), self.single_sensor()];
        let values: Vec<String> = (0..2).map(|_| self.name()).collect();
        self.item(&format!("choice {name} of {} one of {}", places.join(", "), values.join(", ")));
        self.words.placed_choice = (name, places, values);
        let quality = self.name();
        self.item(&format!("quality {quality} of part"));
        self.words.qualities.push(quality);
    }

    fn zones_and_lines(&mut self) {
        let zone = self.name();
        let part = self.single_part();
        self.item(&format!("zone {zone} of {part}"));
        self.words.zones.push(zone);
        let name = self.name();
        let places: Vec<String> = self.words.parts.iter().take(3).map(|part| part.written[0].clone()).collect();
        self.item(&format!("line {name} of {}", places.join(", ")));
        self.words.lines.push((name, places));
    }

    /// A part that is no group: a side where it has sides.
    pub fn single_part(&mut self) -> String {
        let parts = self.words.parts.clone();
        self.single(&parts)
    }

    /// Two parts that are not the same, whatever they are written.
    pub fn two_parts(&mut self) -> (String, String) {
        let parts = self.words.parts.clone();
        let (one, two) = (self.below(parts.len()), self.below(parts.len().max(2) - 1));
        let two = if two >= one { two + 1 } else { two };
        let name = |pen: &mut Pen, at: usize| {
            parts.get(at).map_or_else(String::new, |part| pen.single(std::slice::from_ref(part)))
        };
        (name(self, one), name(self, two))
    }

    pub fn single_sensor(&mut self) -> String {
        let sensors = self.words.sensors.clone();
        self.single(&sensors)
    }

    fn single(&mut self, things: &[Thing]) -> String {
        let at = self.below(things.len());
        let Some(thing) = things.get(at) else { return String::new() };
        if thing.sides.is_empty() { self.one(&thing.written) } else { self.one(&thing.sides) }
    }

    /// A part, or a name of several.
    pub fn part_or_group(&mut self) -> String {
        let all: Vec<String> = self.words.parts.iter().flat_map(|part| part.written.clone()).collect();
        if self.once_in(3) { self.one(&all) } else { self.single_part() }
    }

    pub fn sensor_or_group(&mut self) -> String {
        let all: Vec<String> = self.words.sensors.iter().flat_map(|sensor| sensor.written.clone()).collect();
        if self.once_in(3) { self.one(&all) } else { self.single_sensor() }
    }

    /// What a car may have, no group.
    pub fn equipment(&mut self) -> String {
        let (modules, options, systems) =
            (self.words.modules.clone(), self.words.options.clone(), self.words.systems.clone());
        match self.below(5) {
            0 => self.one(&modules),
            1 => self.one(&options),
            2 => self.one(&systems),
            _ => self.single_sensor(),
        }
    }

    pub fn relation(&mut self) -> String {
        let relations = self.words.relations.clone();
        self.one(&relations)
    }
}
