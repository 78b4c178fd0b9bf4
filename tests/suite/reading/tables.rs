//! Generated rules with a table: columns in any order, and rows of every kind.

use super::conditions::Said;
use super::pen::Pen;

impl Pen {
    /// A rule whose rows are rules of their own.
    pub fn rule_with_table(&mut self) {
        let name = format!("table {}", self.word());
        self.item(&format!("rule \"{name}\""));
        let cites = format!("cites {}", self.reference());
        self.line(&cites);
        let mut common = Said::default();
        if self.once_in(4) {
            let when = self.condition(&mut common, 1);
            self.line(&format!("when {when}"));
        }
        if self.once_in(4) {
            let mut hidden = Said { hidden: true, given: common.given, ..Said::default() };
            let unless = self.condition(&mut hidden, 1);
            common.given = hidden.given;
            self.line(&format!("unless {unless}"));
        }
        if self.once_in(3) {
            let text = self.text();
            self.line(&format!("says {text}"));
        }
        if !self.rules.is_empty() && self.once_in(4) {
            let others = self.rules.clone();
            let other = others[self.below(others.len())].clone();
            self.line(&format!("gives way to \"{other}\""));
        }
        self.line("table");
        // A head for each column, with what it holds; `due` has its duty in the head.
        // It points at nothing: a row may name another of the class.
        let mut hidden = Said { hidden: true, given: common.given, ..Said::default() };
        let due = self.concluded(&mut hidden);
        common.given = hidden.given;
        let due_head = format!("then {due}");
        let mut heads = vec!["when", "unless", "then", "section", "says", "because", "without it", "row"];
        if self.once_in(2) {
            heads.push("part");
        }
        if self.once_in(2) {
            heads.push(&due_head);
        }
        self.numbers.shuffle(&mut heads);
        // Side by side they read as a sentence; anywhere they are one.
        if let Some(at) = heads.iter().position(|head| *head == "part") {
            heads.insert(at + 1, "work");
        }
        let row = format!("| {} |", heads.join(" | "));
        self.line(&row);
        let rows = 1 + self.below(3);
        // Another row's duty is of what that row names, and so is its case, if it points back.
        let (mut asked, mut pointed) = (false, false);
        for number in 1..=rows {
            let mut said = Said { pointed: false, ..common.clone() };
            let is_other = number > 1 && number == rows && !pointed && self.once_in(3);
            // The day tells the rows apart.
            let when = if is_other {
                "other".to_string()
            } else {
                format!("({}) and dated from 2011-11-1{number}", self.condition(&mut said, 1))
            };
            let mut inner = Said { hidden: true, ..said };
            let has_part = !is_other && self.once_in(2);
            let mut cells = Vec::new();
            for head in &heads {
                cells.push(match *head {
                    "when" => when.clone(),
                    "unless" if self.once_in(3) => self.condition(&mut inner, 0),
                    "then" => {
                        let gap = number == rows && asked && !pointed && self.once_in(2);
                        let (text, is_duty) = self.conclusion(&mut inner, false);
                        asked |= is_duty;
                        if gap { "gap as printed".to_string() } else { text }
                    }
                    "part" if has_part => self.single_part(),
                    "work" if has_part && self.once_in(2) => format!("{} or {}", self.happening(), self.happening()),
                    "work" if has_part => self.happening(),
                    "row" if self.once_in(2) => format!("\"{number}{}\"", self.pick(&["a", "b"])),
                    "section" | "says" | "because" | "without it" if self.once_in(3) => self.text(),
                    head if head.starts_with("then ") => match self.below(5) {
                        0 => format!("require{}", self.strength()),
                        1 => format!("advise{}", self.strength()),
                        2 => "waive".to_string(),
                        3 => "gap as printed".to_string(),
                        _ => String::new(),
                    },
                    _ => String::new(),
                });
            }
            let row = format!("| {} |", cells.join(" | "));
            self.line(&row);
            pointed |= inner.pointed || inner.given > common.given;
        }
    }
}
