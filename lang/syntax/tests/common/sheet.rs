//! Writing tokens in any layout a person could give them.

use super::Chance;

/// Names; none begins with a word that counts as the first of a line.
const NAMES: &[&str] = &[
    "front fascia",
    "radar bracket",
    "left headlamp",
    "B-07",
    "driver's seat",
    "km/h sign",
    "Träger vorn",
    "rear test plate",
    "lower sensor part",
    "Front RULE bar",
    "column 2",
    "wide title plate",
    "grille",
    "door trim",
    "fascia given part for job",
    "very long name some person once wrote out so nobody could mistake it for anything else",
];
const TEXTS: &[&str] = &[
    "\"\"",
    "\"a\"",
    "\"2.4\"",
    "\"front bumper cover\"",
    "\"# no comment, {no} (block); | no bar\"",
    "\"Öl  und\tmehr\"",
    "\"the cover carries the bracket that sets the beam direction, so that the radar looks where the car drives\"",
];
const DATES: &[&str] = &["2026-02-11", "2024-03-01", "1999-12-31"];
const COMMENTS: &[&str] =
    &["#", "# a note", "#note without a space  ", "# rule \"no rule\"", "# `when` a | b, (c) {d}"];
/// A text in the making.
pub struct Sheet<'c> {
    pub chance: &'c mut Chance,
    pub text: String,
    pub begins_line: bool,
}

impl Sheet<'_> {
    pub fn put(&mut self, token: &str) {
        let blanks = ["", " ", "  ", "\t", "      "];
        if self.begins_line {
            let blank = self.chance.pick(&blanks);
            self.text.push_str(blank);
        } else {
            let blank = if self.chance.once_in(6) { self.chance.pick(&blanks[1..]) } else { " " };
            self.text.push_str(blank);
        }
        self.begins_line = false;
        if self.chance.once_in(12) && !token.starts_with('"') && token.is_ascii() {
            // Capitals do not matter to what a token is.
            self.text.push_str(&token.to_ascii_uppercase());
        } else {
            self.text.push_str(token);
        }
    }

    /// A mark that needs no space before it.
    pub fn mark(&mut self, mark: &str) {
        if !self.begins_line && !self.chance.once_in(5) {
            self.text.push_str(mark);
        } else {
            self.put(mark);
        }
    }

    pub fn phrase(&mut self, words: &str) {
        for word in words.split(' ') {
            self.put(word);
        }
    }

    /// One token made of several words.
    pub fn several(&mut self, words: &str) {
        for (number, word) in words.split(' ').enumerate() {
            if number > 0 && self.chance.once_in(4) {
                let blank = self.chance.pick(&["  ", "\t", " \t "]);
                self.text.push_str(blank);
                self.text.push_str(word);
            } else {
                self.put(word);
            }
        }
    }

    pub fn break_line(&mut self) {
        let end = self.chance.pick(&["\n", "\n", "\n", "\r\n", "\r", " \n"]);
        self.text.push_str(end);
        self.begins_line = true;
    }

    /// The end of a line, perhaps with a comment, blank lines, and comments of their own.
    pub fn line(&mut self) {
        if !self.begins_line && self.chance.once_in(6) {
            self.text.push_str(self.chance.pick(&["", " ", "    "]));
            self.text.push_str(self.chance.pick(COMMENTS));
        }
        if !self.begins_line {
            self.break_line();
        }
        self.comments(8);
    }

    pub fn comments(&mut self, seldom: usize) {
        while self.chance.once_in(seldom + 2) {
            if self.chance.once_in(2) {
                self.text.push_str(self.chance.pick(&["", "  ", "\t"]));
                self.text.push_str(self.chance.pick(COMMENTS));
            }
            self.break_line();
        }
    }

    /// A place where a line may end within an item.
    pub fn may_break(&mut self) {
        if self.chance.once_in(9) {
            self.line();
        }
    }

    pub fn comma(&mut self) {
        self.mark(",");
        if self.chance.once_in(4) {
            self.line();
        }
    }

    pub fn list(&mut self, most: usize, mut one: impl FnMut(&mut Self)) {
        let count = if self.chance.once_in(10) { 12 } else { 1 + self.chance.below(most) };
        for number in 0..count {
            if number > 0 {
                self.comma();
            }
            one(self);
        }
    }

    pub fn text(&mut self) {
        self.may_break();
        let text = self.chance.pick(TEXTS);
        self.put(text);
    }

    pub fn name(&mut self) {
        let name = self.chance.pick(NAMES);
        self.phrase(name);
    }

    pub fn date(&mut self) {
        self.may_break();
        let date = self.chance.pick(DATES);
        self.put(date);
    }
}
