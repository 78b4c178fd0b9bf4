//! What the tests of this crate share: the reference page's samples, and a source of chance that is
//! the same on every run.

#![allow(dead_code, reason = "each test file uses its own part")]
#![expect(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic, reason = "helpers of tests")]

pub mod generate;
pub mod sheet;

use knockon_syntax::parse::Parsed;
use knockon_syntax::{dump, parse, print};
use knockon_text::{Sources, draw};

const REFERENCE: &str = include_str!("../../../reference/language.md");

/// The indented blocks of the reference page, with the page's indent taken off. `{ ... }` stands for
/// a block whose content does not matter and becomes an empty one.
pub fn samples() -> Vec<String> {
    let mut samples = vec![String::new()];
    for line in REFERENCE.lines() {
        match line.strip_prefix("    ") {
            Some(line) => {
                let sample = samples.last_mut().unwrap();
                sample.push_str(&line.replace("{ ... }", "{ }"));
                sample.push('\n');
            }
            None if line.is_empty() => {}
            None => samples.push(String::new()),
        }
    }
    samples.retain(|sample| !sample.is_empty());
    samples
}

/// The examples in the table of sentences, section 5.
pub fn sentences() -> Vec<String> {
    let section = REFERENCE.split("## 5. Sentences").nth(1).unwrap().split("## 6.").next().unwrap();
    section
        .lines()
        .filter(|line| line.starts_with('|') && line.contains('`'))
        .flat_map(|line| {
            let cell = line.trim_end_matches('|').rsplit('|').next().unwrap();
            cell.split('`').skip(1).step_by(2).map(str::to_string).collect::<Vec<_>>()
        })
        .collect()
}

pub fn read(text: &str) -> (Sources, Parsed) {
    let mut sources = Sources::new();
    let file = sources.add("sample.knock", text);
    let parsed = parse(file, text);
    (sources, parsed)
}

/// The problems of a text as a person sees them.
pub fn drawn(text: &str) -> String {
    let (sources, parsed) = read(text);
    draw::draw(&parsed.problems, &sources, false)
}

/// Reads a text that must be in order.
pub fn read_well(text: &str) -> Parsed {
    let (sources, parsed) = read(text);
    assert!(parsed.problems.is_empty(), "{}\nin:\n{text}", draw::draw(&parsed.problems, &sources, false));
    parsed
}

/// Formats a text that must be in order, and checks what must hold of every formatted text.
pub fn format_well(text: &str) -> String {
    let parsed = read_well(text);
    let printed = print::format(text, &parsed).unwrap_or_else(|| panic!("not formatted:\n{text}"));
    let again = read_well(&printed);
    assert_eq!(dump::tree(text, &parsed), dump::tree(&printed, &again), "the tree changed:\n{text}\n--\n{printed}");
    assert_eq!(parsed.tokens.kinds, again.tokens.kinds, "the tokens changed:\n{text}\n--\n{printed}");
    assert_eq!(words(text, &parsed), words(&printed, &again), "words changed:\n{text}\n--\n{printed}");
    assert_eq!(comments(text, &parsed), comments(&printed, &again), "comments changed:\n{text}\n--\n{printed}");
    let twice = print::format(&printed, &again).unwrap_or_else(|| panic!("not formatted twice:\n{printed}"));
    assert_eq!(printed, twice, "formatting again changed something; first:\n{text}");
    assert!(printed.is_empty() || printed.ends_with('\n'), "no line end at the end");
    assert!(!printed.contains('\r') && !printed.contains("\n\n\n") && !printed.ends_with("\n\n"), "{printed:?}");
    assert!(printed.lines().all(|line| line == line.trim_end()), "blanks at the end of a line:\n{printed}");
    printed
}

/// The texts of all tokens, blanks inside them folded.
fn words(text: &str, parsed: &Parsed) -> Vec<String> {
    let tokens = &parsed.tokens;
    (0..tokens.len())
        .map(|index| {
            let token = tokens.text(text, index);
            if token.starts_with('"') {
                token.to_string()
            } else {
                token.split_whitespace().collect::<Vec<_>>().join(" ")
            }
        })
        .collect()
}

/// The comments: their text, the tokens before them, and whether they end the line of a token.
fn comments(text: &str, parsed: &Parsed) -> Vec<(String, u32, bool)> {
    let tokens = &parsed.tokens;
    let of = |&(start, end, before): &(u32, u32, u32)| {
        let line = text[..start as usize].rsplit(['\n', '\r']).next().unwrap();
        let comment = text[start as usize..end as usize].trim_end().to_string();
        (comment, before, !line.trim().is_empty())
    };
    tokens.comments.iter().map(of).collect()
}

/// The same numbers on every run: xorshift64*, Vigna, "An experimental exploration of Marsaglia's
/// xorshift generators, scrambled" (2016).
pub struct Chance(u64);

impl Chance {
    pub fn new(seed: u64) -> Chance {
        Chance(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    /// A number below `limit`.
    pub fn below(&mut self, limit: usize) -> usize {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        let number = self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 33;
        number as usize % limit.max(1)
    }

    /// True once in `times`.
    pub fn once_in(&mut self, times: usize) -> bool {
        self.below(times) == 0
    }

    pub fn pick<'a, T: ?Sized>(&mut self, list: &[&'a T]) -> &'a T {
        list[self.below(list.len())]
    }
}
