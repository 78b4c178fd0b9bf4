//! Sources, scopes and facts of a generated file.

use super::pen::Pen;
use super::words::Cited;

impl Pen {
    /// Sources, each later than those before it, which it may replace, carry over, or prevail over.
    pub fn sources(&mut self) {
        for at in 0..3 + self.below(2) {
            self.blank();
            let name = format!("{}-{at}", self.word().to_uppercase());
            self.item(&format!("source {name}"));
            if self.once_in(2) {
                let text = self.text();
                self.line(&format!("title {text}"));
            }
            let maker = self.words.makers[0].0.clone();
            self.line(&format!("issuer {maker}"));
            let rank = self.pick(&["maker statement", "workshop text"]);
            self.line(&format!("rank {rank}"));
            let issued = format!("201{at}-0{}-11", 1 + self.below(9));
            self.line(&format!("issued {issued}"));
            let mut of = issued;
            if self.once_in(2) {
                of = format!("201{at}-1{}-11", self.below(3));
                self.line(&format!("revised {of}"));
            }
            if self.once_in(3) {
                self.line(&format!("in force from 202{at}-01-01"));
            }
            self.of_others(at);
            let own = self.own_words();
            self.how_it_was_read();
            self.words.sources.push(Cited { name, of, own });
        }
    }

    /// Words of the text's own: sentences of a rule that cites it, in those words.
    fn own_words(&mut self) -> Vec<String> {
        if !self.once_in(2) {
            return Vec::new();
        }
        let sensor = self.single_sensor();
        let (one, two) = (self.words.operations[0].name.clone(), self.words.findings[0].clone());
        let state = self.words.states[0].clone();
        self.line(&format!("in it \"the {sensor}\" means {sensor}"));
        self.line(&format!("in it \"Disturbed\" means {one} or {two}"));
        self.line(&format!("in it \"bad way\" means {state}"));
        // None that a rule could point at: what it points at stays its own.
        vec![
            format!("\"the {sensor}\" \"disturbed\""),
            "no part \"disturbed\"".to_string(),
            format!("\"the {sensor}\" is \"Bad  way\""),
        ]
    }

    fn of_others(&mut self, at: usize) {
        let before: Vec<String> = self.words.sources.iter().take(at).map(|source| source.name.clone()).collect();
        for other in &before {
            if self.once_in(3) {
                let word = self.pick(&["replaces", "carries over"]);
                let portion = self.portion(other);
                self.line(&format!("{word} {portion}"));
            }
        }
        if !before.is_empty() && self.once_in(2) {
            let over = self.list(2, |pen| pen.one(&before));
            self.line(&format!("prevails over {over}"));
        }
        if self.once_in(4) {
            let order = self.pick(&[
                "prevails over workshop text issued before it",
                "defers to maker statement issued after it",
                "prevails over common practice",
                "prevails over workshop text issued before it, maker statement issued before it",
            ]);
            self.line(order);
        }
        if self.once_in(2) {
            let seen = self.list(3, |pen| match pen.below(3) {
                0 => pen.sensor_or_group(),
                1 => format!("\"{}\"", pen.part_or_group()),
                _ => pen.part_or_group(),
            });
            self.line(&format!("takes no view on {seen}"));
        }
    }

    /// Another source, whole or in part, perhaps for some cars.
    fn portion(&mut self, other: &str) -> String {
        let sections = match self.below(3) {
            0 => String::new(),
            1 => format!(" section {}", self.section()),
            _ => format!(" except section {}, \"9\"", self.section()),
        };
        let cars = match self.below(3) {
            0 => format!(" for {}", self.cars(false)),
            1 => format!(" for cars equipped with {}", self.equipment()),
            _ => String::new(),
        };
        format!("{other}{sections}{cars}")
    }

    fn how_it_was_read(&mut self) {
        if self.once_in(2) {
            let checked = self.pick(&["", ", checked 2026-01-20"]);
            self.line(&format!("review every 12 months{checked}"));
        }
        if self.once_in(5) {
            self.line("read in part");
        }
        if self.once_in(5) {
            self.line("read from \"pages 1 to 4\"");
        }
        if self.once_in(5) {
            self.line("borrowed from another car");
        }
        if !self.once_in(4) {
            let second = self.pick(&["", ", second reading by \"B\""]);
            self.line(&format!("encoded by \"A\"{second}"));
        }
    }

    /// `SOURCE of DATE section "..."`.
    pub fn reference(&mut self) -> String {
        let at = self.below(self.words.sources.len());
        let Cited { name, of, .. } = self.words.sources[at].clone();
        let of = if self.once_in(2) { format!(" of {of}") } else { String::new() };
        format!("{name}{of} section {}", self.section())
    }

    fn per(&mut self) -> String {
        if self.once_in(2) { format!(", per {}", self.reference()) } else { String::new() }
    }

    fn maker_and_models(&mut self, most: usize) -> String {
        let at = self.below(self.words.makers.len());
        let (maker, models) = self.words.makers[at].clone();
        let some: Vec<String> = models.into_iter().take(self.below(most + 1)).collect();
        format!("{maker} {}", some.join(" or ")).trim_end().to_string()
    }

    /// Cars as in a scope.
    pub fn cars(&mut self, for_a_scope: bool) -> String {
        let mut text = self.maker_and_models(2);
        if self.once_in(2) {
            text.push_str(&format!(" {}", self.years()));
        }
        if self.once_in(4) {
            text.push_str(&format!(" built {}", self.dates()));
        }
        if for_a_scope && self.once_in(4) {
            text.push_str(self.pick(&[" vin \"abc??9*\"", ", vin \"ABC*\" or \"ABD??????????????\""]));
        }
        let narrower = self.narrower(3);
        text + &narrower
    }

    fn narrower(&mut self, rare: usize) -> String {
        let mut text = String::new();
        if self.once_in(rare) {
            let joint = self.pick(&[", ", " and "]);
            text.push_str(&format!(" equipped with {}{joint}{}", self.equipment(), self.single_sensor()));
        }
        if self.once_in(rare) {
            let (choice, values) = self.words.choices[0].clone();
            text.push_str(&format!(" where {choice} is {}", values[0]));
        }
        text
    }

    /// A scope with facts, rules and scopes in it.
    pub fn scope(&mut self, depth: usize) {
        let cars = if depth == 0 {
            self.cars(true)
        } else {
            format!("equipped with {}{}", self.equipment(), self.narrower(2))
        };
        let every = if depth == 0 { self.pick(&["", "", "every "]) } else { "" };
        self.item(&format!("for {every}{cars} {{"));
        for _ in 0..self.below(4) {
            match self.below(6) {
                5 => self.carrying_out(),
                0 if depth < 2 => self.scope(depth + 1),
                1 | 2 if self.once_in(6) => self.rule_with_table(),
                1 | 2 => self.rule(),
                3 if self.once_in(2) => self.declare_part(),
                _ => self.facts(),
            }
        }
        self.item("}");
    }

    /// Facts, a line each.
    pub fn facts(&mut self) {
        for _ in 0..1 + self.below(4) {
            if self.once_in(4) {
                let silence = self.silence();
                self.item(&silence);
                continue;
            }
            let fact = match self.below(5) {
                4 => self.carried_out_as(),
                0 => self.tie(),
                1 => self.access(),
                2 => self.has(),
                _ => self.complete(),
            };
            let per = self.per();
            self.first_on_a_line(&format!("{fact}{per}"));
        }
    }

    /// A line that begins with a name, whose first word may begin something else.
    fn first_on_a_line(&mut self, text: &str) {
        self.item(&if begins_something_else(text) { format!("the {text}") } else { text.to_string() });
    }

    fn tie(&mut self) -> String {
        // From a sensor to parts: a tie between parts could lead back to where it began.
        let part = self.sensor_or_group();
        // `the work light behind ...` without `is` could be a line that was to begin with `then`.
        let is = if self.once_in(2) && !begins_something_else(&part) { "" } else { "is " };
        format!("{part} {is}{} {}", self.relation(), self.list(2, Pen::single_part))
    }

    /// What a text was looked through for, and says nothing of.
    fn silence(&mut self) -> String {
        let who = self.reference();
        let what =
            if self.once_in(3) { self.event() } else { format!("{} {}", self.part_or_group(), self.happening()) };
        let sensors = self.list(2, Pen::single_sensor);
        format!("{who} says nothing of {what}, for {sensors}")
    }

    /// A tie that takes the place of one of more cars.
    pub fn instead(&mut self) {
        let (sensor, relation) = (self.single_sensor(), self.relation());
        let (old, new) = self.two_parts();
        self.blank();
        self.first_on_a_line(&format!("{sensor} is {relation} {old}"));
        let (cars, per) = (self.cars(true), self.reference());
        self.item(&format!("for {cars} {{"));
        self.first_on_a_line(&format!("{sensor} is {relation} {new} instead of {old}, per {per}"));
        self.item("}");
    }

    fn access(&mut self) -> String {
        let operations = self.words.operations.clone();
        let doing: Vec<String> = operations.iter().filter_map(|operation| operation.doing.clone()).collect();
        let verbs: Vec<String> = operations.iter().filter_map(|operation| operation.on_the_way.clone()).collect();
        let usually = self.pick(&["", " usually"]);
        let mut text = format!(
            "{} {}{usually} {} {}",
            self.one(&doing),
            self.part_or_group(),
            self.one(&verbs),
            self.list(3, Pen::part_or_group)
        );
        if self.once_in(3) {
            let joint = self.pick(&[",", " and"]);
            text.push_str(&format!("{joint} {} {}", self.one(&verbs), self.single_part()));
        }
        text
    }

    pub fn has(&mut self) -> String {
        let word = self.pick(&["every", "no"]);
        let cars = if self.once_in(2) { "car".to_string() } else { self.maker_and_models(2) };
        let joint = self.pick(&[", ", " and "]);
        let second = self.sensor_or_group();
        format!("{word} {cars} has {}{joint}{second}", self.equipment())
    }

    fn complete(&mut self) -> String {
        let kinds = self.words.sensor_kinds.clone();
        let list = match self.below(4) {
            0 => "access".to_string(),
            1 => self.relation(),
            2 => self.one(&kinds),
            _ => self.pick(&["sensor", "part", "system", "module"]).to_string(),
        };
        let of = if self.once_in(2) { format!(" of {}", self.single_part()) } else { String::new() };
        format!("{list} list{of} is complete")
    }
}

/// Whether the first word of a line would begin another item, or go on with the one above.
fn begins_something_else(text: &str) -> bool {
    let first = text.split(' ').next().unwrap_or_default().to_lowercase();
    ["sensor", "work", "table", "line", "found", "part", "system", "module"].contains(&first.as_str())
}
