//! Generated texts about procedures: what carrying them out takes, and as what they are carried out.

use super::conditions::Said;
use super::pen::Pen;
use super::words::Procedure;

impl Pen {
    /// `carrying out`, of a procedure no rule concludes: what it brings about could else take it away.
    pub fn carrying_out(&mut self) {
        self.one_figure = true;
        let at = self.below(self.words.procedures.len());
        let Procedure { name, of, .. } = self.words.procedures[at].clone();
        let mut said = Said::default();
        let of = match (of, self.below(3)) {
            (false, _) => String::new(),
            (true, 0) => format!(" of {}", self.single_sensor()),
            (true, _) => format!(" of any {}", self.class_and_more(&mut said, "sensor", true)),
        };
        self.item(&format!("carrying out {name}{of}"));
        said.hidden = true;
        let cites = format!("cites {}", self.reference());
        let mut clauses = vec![cites];
        for _ in 0..1 + self.below(4) {
            let clause = match self.below(2) {
                0 => format!("involves {}", self.list(3, |pen| pen.involved(&mut said))),
                _ => self.instruction(&mut said),
            };
            let when = if self.once_in(2) { format!(" when {}", self.condition(&mut said, 1)) } else { String::new() };
            clauses.push(format!("{clause}{when}"));
        }
        for _ in 0..self.below(3) {
            let says = self.text();
            clauses.push(format!("says {says}"));
        }
        self.one_figure = false;
        self.numbers.shuffle(&mut clauses);
        for clause in clauses {
            self.line(&clause);
        }
    }

    /// One thing told to whoever does it.
    fn instruction(&mut self, said: &mut Said) -> String {
        let word = self.pick(&["ready when", "good when", "throughout", "step", "takes", "wait", "if shown"]);
        match word {
            "step" => format!("step {}", self.text()),
            "takes" => format!("takes {} {}", 1 + self.below(90), self.pick(&["min", "s", "h"])),
            "wait" => format!("wait at least {} min after {}", 1 + self.below(9), self.text()),
            "if shown" => format!("if shown {} check {}", self.text(), self.list(3, |pen| pen.text())),
            word => format!("{word} {}", self.condition(said, 1)),
        }
    }

    /// One thing that happens by it.
    fn involved(&mut self, said: &mut Said) -> String {
        if self.once_in(3) {
            return self.event();
        }
        let part = match self.that(said, "sensor") {
            Some(that) if self.once_in(2) => that,
            _ => self.single_part(),
        };
        let mut all: Vec<String> = self.words.operations.iter().map(|operation| operation.name.clone()).collect();
        all.extend(self.words.part_events.iter().cloned());
        let zones = self.words.zones.clone();
        let place = match self.pick(&["", "", "in", "touching", "outside"]) {
            "" => String::new(),
            placing => format!(" {placing} {}", self.one(&zones)),
        };
        format!("{part} {}{place}", self.one(&all))
    }

    /// A procedure and the ways of it.
    pub fn carried_out_as(&mut self) -> String {
        let is_of = |of: bool| move |procedure: &&Procedure| procedure.of == of;
        let of = self.words.procedures.iter().filter(is_of(true)).count() > 0
            && self.words.concluded.iter().filter(is_of(true)).count() > 0;
        let named = |list: &[Procedure]| -> Vec<String> {
            list.iter().filter(is_of(of)).map(|procedure| procedure.name.clone()).collect()
        };
        let (general, ways) = (named(&self.words.concluded), named(&self.words.procedures));
        if general.is_empty() || ways.is_empty() {
            return self.has();
        }
        let kinds = self.words.sensor_kinds.clone();
        let whose = match (of, self.below(4)) {
            (false, _) | (true, 0) => String::new(),
            (true, 1) => format!(" of {}", self.single_sensor()),
            (true, 2) => format!(" of any {}", self.one(&kinds)),
            (true, _) => format!(" of any {}", self.pick(&["sensor", "part"])),
        };
        format!("{}{whose} is carried out as {}", self.one(&general), self.list(2, |pen| pen.one(&ways)))
    }
}
