//! Well-formed files of every construct, in any layout a person could give them.

use super::Chance;
use super::sheet::Sheet;

const VERBS: &[&str] = &["removed", "replaced", "Loosened", "refinished", "found tight", "cracked"];

/// One file.
pub fn file(chance: &mut Chance) -> String {
    let mut sheet = Sheet { chance, text: String::new(), begins_line: true };
    sheet.comments(1);
    for _ in 0..1 + sheet.chance.below(6) {
        sheet.item(0);
    }
    if sheet.chance.once_in(3) {
        sheet.line();
    }
    sheet.text
}

impl Sheet<'_> {
    fn item(&mut self, depth: usize) {
        self.line();
        self.comments(2);
        match self.chance.below(if depth < 3 { 10 } else { 9 }) {
            0 => {
                self.put("use");
                self.text();
            }
            1..=3 => self.declaration(),
            4 => self.source(),
            5 | 6 => self.fact(),
            7 if self.chance.once_in(5) => self.carrying_out(),
            7 => self.rule(),
            8 if depth == 0 && self.chance.once_in(2) => self.job(),
            8 => self.test(),
            _ => self.scope(depth),
        }
    }

    fn declaration(&mut self) {
        let class = [
            "maker",
            "part",
            "sensor",
            "system",
            "module",
            "option",
            "kind",
            "operation",
            "event",
            "finding",
            "state",
            "procedure",
            "measure",
            "condition",
            "choice",
            "zone",
            "relation",
            "quality",
            "line",
        ];
        let class = self.chance.pick(&class);
        self.put(class);
        self.list(3, |sheet| {
            sheet.name();
            if sheet.chance.once_in(3) {
                sheet.may_break();
                let joint = sheet.chance.pick(&["of", "on", "in", "to", "with", "at", "by"]);
                sheet.put(joint);
                sheet.name();
            }
        });
        for _ in 0..self.chance.below(4) {
            if self.chance.once_in(3) {
                self.comma();
            } else if self.chance.once_in(2) {
                self.line();
            }
            self.declaration_clause();
        }
    }

    fn declaration_clause(&mut self) {
        match self.chance.below(16) {
            0 => {
                self.several("also written");
                self.list(4, Self::text);
            }
            1 => {
                self.several("counts as");
                self.list(4, Self::name);
            }
            2 => self.several("disturbs nothing"),
            3 => self.several("passes along"),
            4 => self.several("passes disturbance"),
            5 => {
                self.put("serves");
                self.list(4, Self::name);
            }
            6 => {
                self.several("asked as");
                self.text();
            }
            7 => self.several("judged by a person"),
            8 => {
                match self.chance.below(4) {
                    0 => self.several("carried out by"),
                    1 => self.put("concerns"),
                    _ => self.several("ends in"),
                }
                self.list(4, Self::name);
            }
            9 => {
                self.several("one of");
                self.list(4, Self::name);
            }
            10 => {
                self.put("doing");
                self.text();
            }
            11 => {
                self.several("on the way");
                self.text();
            }
            13 => self.several("puts on another part"),
            14 => {
                self.several("disturbs when changed");
                self.phrase("over 5 mm either way");
            }
            12 => {
                self.put("positive");
                self.text();
            }
            _ => {
                self.put("makes");
                self.list(4, Self::name);
            }
        }
    }

    fn source(&mut self) {
        self.put("source");
        self.name();
        for _ in 0..self.chance.below(8) {
            match self.chance.below(13) {
                0 => self.clause("title", Self::text),
                1 => self.clause("issuer", Self::name),
                2 => self.clause("rank", |sheet| sheet.phrase("maker statement")),
                3 => self.clause("issued", Self::date),
                4 => self.clause("revised", Self::date),
                5 => self.clause("in force from", Self::date),
                6 => self.clause("replaces", |sheet| {
                    sheet.name();
                    sheet.section();
                }),
                7 => self.clause("review every", |sheet| {
                    sheet.phrase("12 months");
                    sheet.comma();
                    sheet.put("checked");
                    sheet.date();
                }),
                8 => self.clause("read in part", |_| {}),
                9 => self.clause("read from", Self::text),
                10 => self.clause("borrowed from", Self::name),
                11 => self.clause("encoded by", |sheet| {
                    sheet.text();
                    if sheet.chance.once_in(2) {
                        sheet.comma();
                        sheet.several("second reading by");
                        sheet.text();
                    }
                }),
                _ => self.clause("takes no view on", Self::text),
            }
        }
    }

    /// A clause that counts only as the first words of a line.
    fn clause(&mut self, words: &str, inside: impl FnOnce(&mut Self)) {
        self.line();
        self.several(words);
        inside(self);
    }

    fn section(&mut self) {
        if self.chance.once_in(2) {
            self.may_break();
            self.put("section");
            self.text();
        }
    }

    fn reference(&mut self) {
        self.name();
        if self.chance.once_in(2) {
            self.may_break();
            self.put("of");
            self.date();
        }
        self.section();
    }

    fn fact(&mut self) {
        match self.chance.below(5) {
            4 => {
                self.name();
                self.may_break();
                self.several("says nothing of");
                self.name();
                self.verb();
                self.put(",");
                self.put("for");
                self.name();
                return;
            }
            0 => {
                self.put("every");
                self.phrase("car has");
                self.list(3, Self::name);
            }
            1 => {
                self.put("no");
                self.phrase("car has");
                self.name();
            }
            2 => {
                self.phrase("replacing");
                self.name();
                self.phrase("usually takes off");
                self.list(5, Self::name);
            }
            _ => {
                self.name();
                self.may_break();
                self.put("is");
                self.phrase("mounted");
                self.may_break();
                self.put("on");
                self.name();
            }
        }
        if self.chance.once_in(2) {
            if self.chance.once_in(4) {
                self.may_break();
            } else {
                self.comma();
            }
            self.put("per");
            self.reference();
        }
    }

    fn scope(&mut self, depth: usize) {
        self.put("for");
        self.phrase("Brindle Sedge 2021");
        self.may_break();
        self.put("to");
        self.put("2023");
        if self.chance.once_in(3) {
            self.may_break();
            self.several("equipped with");
            self.name();
        }
        self.put("{");
        for _ in 0..self.chance.below(5) {
            self.item(depth + 1);
        }
        // A brace may stand on the line of what it closes.
        if self.chance.once_in(4) {
            self.put("}");
        } else {
            self.line();
            self.put("}");
        }
    }

    fn rule(&mut self) {
        self.put("rule");
        self.text();
        for _ in 0..1 + self.chance.below(6) {
            match self.chance.below(11) {
                0 | 1 => self.rule_clause("cites", Self::reference),
                2 => self.clause("says", Self::text),
                3 | 4 => {
                    let word = self.chance.pick(&["when", "unless"]);
                    self.rule_clause(word, |sheet| sheet.condition(0));
                }
                5 => self.rule_clause("then", |sheet| {
                    for number in 0..1 + sheet.chance.below(4) {
                        if number > 0 {
                            sheet.may_break();
                            sheet.put("and");
                        }
                        sheet.conclusion();
                    }
                }),
                6 => {
                    let word = self.chance.pick(&["because", "without it"]);
                    self.rule_clause(word, Self::text);
                }
                7 => self.rule_clause("gives way to", |sheet| sheet.list(3, Self::text)),
                8 => {
                    let verb = self.chance.pick(&["could also be read as when", "could also be read as unless"]);
                    self.rule_clause(verb, |sheet| sheet.condition(0));
                }
                9 => self.rule_clause("could also be read as then", Self::conclusion),
                _ => self.rule_clause("read as", |sheet| {
                    sheet.text();
                    sheet.may_break();
                    sheet.put("because");
                    sheet.text();
                }),
            }
        }
        if self.chance.once_in(5) {
            self.rule_table();
        }
    }

    /// A table at the end of a rule: its first column holds conditions, its last conclusions.
    fn rule_table(&mut self) {
        self.clause("table", |sheet| {
            let heads = sheet.chance.pick(&["| when | section | then |", "| unless | section | then |"]);
            sheet.line();
            sheet.several(heads);
        });
        for _ in 0..1 + self.chance.below(3) {
            self.line();
            self.put("|");
            self.condition(0);
            self.put("|");
            if self.chance.once_in(2) {
                self.text();
            }
            self.put("|");
            self.conclusion();
            self.put("|");
        }
    }

    fn carrying_out(&mut self) {
        self.several("carrying out");
        self.name();
        if self.chance.once_in(2) {
            self.put("of");
            self.name();
        }
        for _ in 0..self.chance.below(5) {
            match self.chance.below(9) {
                0 => self.rule_clause("cites", Self::reference),
                1 => self.clause("says", Self::text),
                2 => self.clause("step", Self::text),
                3 => self.clause("ready when", |sheet| sheet.condition(0)),
                4 => self.clause("throughout", |sheet| sheet.condition(0)),
                5 => self.clause("wait at least", |sheet| {
                    sheet.put("4");
                    sheet.put("min");
                    sheet.put("after");
                    sheet.text();
                }),
                6 => self.clause("if shown", |sheet| {
                    sheet.text();
                    sheet.put("check");
                    sheet.list(3, Self::text);
                }),
                _ => self.clause("involves", |sheet| {
                    sheet.list(3, Self::name);
                    if sheet.chance.once_in(2) {
                        sheet.rule_clause("when", |sheet| sheet.condition(0));
                    }
                }),
            }
        }
    }

    /// A clause that may stand anywhere on a line.
    fn rule_clause(&mut self, words: &str, inside: impl FnOnce(&mut Self)) {
        if !self.chance.once_in(5) {
            self.line();
        }
        self.several(words);
        inside(self);
    }

    fn condition(&mut self, depth: usize) {
        for number in 0..1 + self.chance.below(4) {
            if number > 0 {
                self.may_break();
                let joint = self.chance.pick(&["and", "and", "or"]);
                self.put(joint);
            }
            self.limb(depth);
        }
    }

    fn limb(&mut self, depth: usize) {
        while self.chance.once_in(6) {
            self.may_break();
            self.put("not");
        }
        if depth < 4 && self.chance.once_in(5) {
            self.may_break();
            self.put("(");
            self.condition(depth + 1);
            self.may_break();
            self.mark(")");
        } else {
            self.sentence();
        }
    }

    fn sentence(&mut self) {
        match self.chance.below(7) {
            0 => {
                self.name();
                self.verb();
                self.may_break();
                self.put("in");
                self.phrase("radar window");
                self.put("with");
                self.phrase("crack length over 20 mm");
            }
            1 => {
                self.put("any");
                self.phrase("sensor behind");
                self.name();
                self.may_break();
                self.put("is");
                self.put("touched");
            }
            2 => {
                self.several("equipped with");
                self.name();
            }
            3 => self.phrase("film thickness over -3.5"),
            4 => {
                self.phrase("slope");
                self.phrase("within 1");
                self.mark("%");
                self.put("to");
                self.put("20");
                self.mark("%");
            }
            5 => self.several("work is complete"),
            _ => {
                self.name();
                self.verb();
            }
        }
    }

    fn verb(&mut self) {
        let verb = self.chance.pick(VERBS);
        self.phrase(verb);
    }

    fn conclusion(&mut self) {
        match self.chance.below(9) {
            0 | 1 => {
                let either = self.chance.once_in(3);
                if either {
                    let verb = self.chance.pick(&["require either", "advise either"]);
                    self.several(verb);
                    self.duty();
                    self.may_break();
                    self.put("or");
                } else {
                    let verb = self.chance.pick(&["require", "advise"]);
                    self.put(verb);
                }
                self.duty();
                if !either && self.chance.once_in(3) {
                    self.put(",");
                    self.name();
                    self.may_break();
                    self.put("and");
                    self.several("others not listed");
                }
                if self.chance.once_in(2) {
                    self.may_break();
                    self.several("in the words");
                    self.text();
                }
            }
            2 => {
                self.put("waive");
                self.duty();
                self.may_break();
                self.put("after");
                self.name();
                self.verb();
            }
            3 => {
                if self.chance.once_in(3) {
                    self.several("leave open");
                    self.duty();
                    self.may_break();
                    self.put("because");
                    self.text();
                } else if self.chance.once_in(3) {
                    let verb = self.chance.pick(&["forbid", "allow"]);
                    self.put(verb);
                    self.duty();
                } else {
                    let verb = self.chance.pick(&["allow", "allow only"]);
                    self.several(verb);
                    self.duty();
                    self.may_break();
                    self.put("where");
                    self.sentence();
                }
            }
            4 => {
                self.put("hold");
                self.duty();
                self.may_break();
                self.put("until");
                self.sentence();
                if self.chance.once_in(2) {
                    self.may_break();
                    self.put("and");
                    self.put("(");
                    self.condition(2);
                    self.mark(")");
                }
            }
            5 => {
                self.phrase("static calibration before road check");
            }
            6 => {
                self.put("ask");
                self.text();
            }
            7 => {
                self.put("warn");
                self.text();
            }
            _ => {
                self.several("until then");
                self.phrase("adaptive cruise");
                self.put("is");
                self.phrase("off");
            }
        }
    }

    fn duty(&mut self) {
        self.phrase("static calibration");
        self.may_break();
        self.put("of");
        self.name();
    }

    fn job(&mut self) {
        self.put("job");
        self.text();
        if self.chance.once_in(2) {
            self.may_break();
            self.put("dated");
            self.date();
        }
        for _ in 0..self.chance.below(8) {
            let words = [
                "vehicle",
                "equipped with",
                "not equipped with",
                "equipment is complete",
                "work",
                "work is complete",
                "also",
                "nothing else came off",
                "found",
                "looked over",
                "happened",
                "not happened",
                "measured",
                "given",
                "judged",
                "done",
            ];
            let word = self.chance.pick(&words);
            self.clause(word, |sheet| {
                if word.ends_with("complete") || word.ends_with("off") {
                    return;
                }
                sheet.entry();
                while sheet.chance.once_in(3) {
                    sheet.mark(";");
                    sheet.entry();
                }
                if sheet.chance.once_in(9) {
                    sheet.mark(";");
                }
            });
        }
    }

    fn entry(&mut self) {
        match self.chance.below(5) {
            0 => {
                self.phrase("film thickness 142 um");
                let sign = self.chance.pick(&["±", "+/-"]);
                self.put(sign);
                self.phrase("6 um");
            }
            1 => {
                self.phrase("road check ended in passed at 2026-02-11 10:40");
            }
            2 => {
                self.verb();
                self.list(3, Self::name);
            }
            3 => {
                self.phrase("damage more than cosmetic cannot tell by");
                self.text();
                self.put("because");
                self.text();
            }
            _ => self.name(),
        }
    }

    fn test(&mut self) {
        self.put("test");
        self.text();
        for _ in 0..self.chance.below(5) {
            match self.chance.below(3) {
                0 => self.clause("suppose", |sheet| {
                    sheet.entry();
                    while sheet.chance.once_in(3) {
                        sheet.mark(";");
                        if sheet.chance.once_in(3) {
                            sheet.line();
                            sheet.several("work is complete");
                        } else {
                            sheet.entry();
                        }
                    }
                }),
                1 => self.clause("expect", |sheet| {
                    sheet.duty();
                    sheet.phrase("required");
                    sheet.may_break();
                    sheet.put("by");
                    sheet.list(3, Self::text);
                }),
                _ => {
                    self.clause("table", |_| {});
                    for _ in 0..1 + self.chance.below(4) {
                        self.row();
                    }
                }
            }
        }
    }

    fn row(&mut self) {
        self.line();
        self.put("|");
        for _ in 0..1 + self.chance.below(4) {
            if !self.chance.once_in(5) {
                self.entry();
            }
            self.put("|");
        }
        if self.chance.once_in(6) {
            self.name();
        }
    }
}
