//! Whole files that resolve, made by chance from a seed: one function a construct, in layouts a person could give them.

use std::collections::BTreeMap;

use super::words::Words;
use crate::shelf::Numbers;

/// One load: `own.knock`, and at times `used.knock` with the words.
pub fn file(seed: u64) -> BTreeMap<String, String> {
    let mut pen = Pen::new(seed);
    let apart = pen.once_in(4);
    let mut texts = BTreeMap::new();
    pen.declarations();
    if apart {
        let used = std::mem::take(&mut pen.out);
        texts.insert("used.knock".to_string(), used);
        pen.out.push_str("use \"used\"\n");
        if pen.once_in(2) {
            // A file may add words to those it uses.
            pen.declare_part();
        }
    }
    pen.sources();
    let mut order: Vec<usize> = (0..6 + pen.below(6)).collect();
    pen.numbers.shuffle(&mut order);
    for item in order {
        pen.blank();
        match item {
            0 => pen.job(),
            1 | 6 => pen.test(),
            2 => pen.table_test(),
            3 | 7 => pen.scope(0),
            4 if pen.once_in(4) => pen.instead(),
            4 => pen.facts(),
            8 => pen.rule_with_table(),
            9 => pen.carrying_out(),
            _ => pen.rule(),
        }
    }
    texts.insert("own.knock".to_string(), pen.out);
    texts
}

/// What writes: numbers, the text so far, and the words declared.
pub struct Pen {
    pub numbers: Numbers,
    pub out: String,
    pub words: Words,
    /// How many names were given, so that each is another.
    pub given: usize,
    /// The rules written so far, whom later ones may name.
    pub rules: Vec<String>,
    /// Where a second printed figure stands for nothing: outside of rules.
    pub one_figure: bool,
}

impl Pen {
    fn new(seed: u64) -> Pen {
        let mut numbers = Numbers(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15));
        numbers.below(2);
        Pen { numbers, out: String::new(), words: Words::default(), given: 0, rules: Vec::new(), one_figure: false }
    }

    pub fn below(&mut self, limit: usize) -> usize {
        self.numbers.below(limit)
    }

    pub fn once_in(&mut self, count: usize) -> bool {
        self.below(count) == 0
    }

    pub fn pick<'a>(&mut self, list: &[&'a str]) -> &'a str {
        let at = self.below(list.len());
        list.get(at).copied().unwrap_or_default()
    }

    /// One of several names, in capitals at times: words are compared without regard to them.
    pub fn one(&mut self, list: &[String]) -> String {
        let at = self.below(list.len());
        let name = list.get(at).cloned().unwrap_or_default();
        if self.once_in(12) { name.to_uppercase() } else { name }
    }

    /// A word nobody had before; its first letters tell its number, so that no name begins another.
    pub fn word(&mut self) -> String {
        const SYLLABLES: &[&str] = &["bra", "ske", "lor", "fen", "tiv", "gam", "nol", "pru", "wex", "dau"];
        let mut number = self.given + 10;
        self.given += 1;
        let mut word = String::new();
        while number > 0 {
            word.push_str(SYLLABLES.get(number % 10).copied().unwrap_or_default());
            number /= 10;
        }
        word
    }

    /// A name of a word or two.
    pub fn name(&mut self) -> String {
        let word = self.word();
        match self.below(6) {
            0 => format!("{word} {}", self.pick(&["cover", "B-07", "unit", "holder", "12"])),
            1 => format!("{}{}", word.get(..1).unwrap_or_default().to_uppercase(), word.get(1..).unwrap_or_default()),
            _ => word,
        }
    }

    /// Lines with what a person may put between them.
    pub fn line(&mut self, text: &str) {
        if self.once_in(25) {
            self.out.push_str("# a remark\n");
        }
        let indent = self.pick(&["", "  ", "  ", "    "]);
        self.out.push_str(&format!("{indent}{text}"));
        if self.once_in(30) {
            self.out.push_str("  # why");
        }
        self.out.push('\n');
    }

    /// A line that begins an item.
    pub fn item(&mut self, text: &str) {
        self.out.push_str(&format!("{text}\n"));
    }

    pub fn blank(&mut self) {
        if self.once_in(2) {
            self.out.push('\n');
        }
    }

    /// Several with commas.
    pub fn list(&mut self, most: usize, mut each: impl FnMut(&mut Pen) -> String) -> String {
        let mut all: Vec<String> = Vec::new();
        for _ in 0..1 + self.below(most) {
            let one = each(self);
            if !all.iter().any(|known| known.eq_ignore_ascii_case(&one)) {
                all.push(one);
            }
        }
        all.join(", ")
    }

    pub fn text(&mut self) -> String {
        let text =
            self.pick(&["as printed", "in the words of the page", "who knows?", "see page 4; it says so", "50 %"]);
        format!("\"{text}\"")
    }

    pub fn section(&mut self) -> String {
        format!("\"{}\"", self.pick(&["1", "2", "2.4", "3 (b)", "4"]))
    }

    pub fn date(&mut self) -> String {
        format!("20{:02}-{:02}-{:02}", 18 + self.below(8), 1 + self.below(12), 1 + self.below(28))
    }

    pub fn year(&mut self) -> usize {
        2015 + self.below(10)
    }

    /// `2021`, `2019 to 2022`, `from 2021` and the like.
    pub fn years(&mut self) -> String {
        let year = self.year();
        match self.below(7) {
            0 => format!("{year}"),
            1 => format!("{year} to {}", year + self.below(3)),
            2 => format!("from {year} to {}", year + self.below(3)),
            3 => format!("until {year}"),
            4 => format!("before {year}"),
            5 => format!("after {year}"),
            _ => format!("from {year}"),
        }
    }

    /// The same of days.
    pub fn dates(&mut self) -> String {
        let date = self.date();
        match self.below(7) {
            0 => date,
            1 => format!("{date} to 2026-0{}-11", 1 + self.below(9)),
            2 => format!("from {date} to 2026-10-11"),
            3 => format!("until {date}"),
            4 => format!("before {date}"),
            5 => format!("after {date}"),
            _ => format!("from {date}"),
        }
    }

    /// A number in a unit of a length.
    pub fn length(&mut self) -> String {
        let number = self.pick(&["5", "0.15", "12", "280", "1.50"]);
        let unit = self.pick(&["mm", "um", "cm", "inch", "micron"]);
        format!("{number} {unit}")
    }

    /// A limit on a length; signed ones say a side.
    pub fn limit(&mut self, signed: bool) -> String {
        if self.once_in(4) {
            let word = self.pick(&["within", "from"]);
            return format!("{word} {} mm to {} mm", self.below(4), 4 + self.below(4));
        }
        let relation = self.pick(&["over", "under", "at least", "at most"]);
        let side = if signed { self.pick(&[" either way", " upwards", " downwards"]) } else { "" };
        format!("{relation} {}{side}", self.length())
    }

    /// A limit of a text, which may print it twice.
    pub fn printed_limit(&mut self, signed: bool) -> String {
        if self.one_figure || !self.once_in(6) {
            return self.limit(signed);
        }
        let side = if signed { self.pick(&[" either way", " upwards"]) } else { "" };
        let limit = self.pick(&[
            "over 5 mm (printed 0.2 in)",
            "at most 25.0 mm (printed 1.0 inch)",
            "under 300 um(printed 0.01 inches)",
        ]);
        if self.once_in(4) {
            "within 1 mm (printed 0.04 in) to 5.0 mm (printed 0.2 in)".to_string()
        } else {
            format!("{limit}{side}")
        }
    }

    pub fn code(&mut self) -> String {
        self.pick(&["B3A17", "B3A17-54", "U0100", "C1A67", "P0562"]).to_string()
    }
}
