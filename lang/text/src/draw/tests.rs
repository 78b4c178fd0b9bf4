//! Places agree with the line table, nothing panics, nothing of a user's text escapes.

use super::*;
use crate::codes::Code;
use crate::neutral::is_hidden;
use crate::source::Span;

fn sources_of(texts: &[(&str, &str)]) -> Sources {
    let mut sources = Sources::new();
    for (name, text) in texts {
        sources.add(*name, *text);
    }
    sources
}

/// The span of `words` in text `file`, which must hold them.
fn span_of(sources: &Sources, file: u32, words: &str) -> Span {
    let text = sources.get(FileId(file)).map_or("", |source| source.text());
    let start = text.find(words);
    assert!(start.is_some(), "{words:?} is not in the text");
    let start = start.unwrap_or(0) as u32;
    Span::new(FileId(file), start, start + words.len() as u32)
}

fn check(problems: &[Problem], sources: &Sources, expected: &str) {
    let drawn = draw(problems, sources, false);
    assert_eq!(drawn.trim_end(), expected.trim(), "\n{drawn}");
}

#[test]
fn umlauts_degrees_and_pictures_before_the_error_leave_its_place_right() {
    let sources = sources_of(&[("é.knock", "# Aufhängung 5 ° 🚗\r\nrule \"ä°🚗\" when frnt is removed\r\n")]);
    let problem = Problem::at(
        Code::UnknownPhrase,
        span_of(&sources, 0, "frnt"),
        "`frnt` is nothing anybody declared",
        "no such phrase",
    )
    .context(span_of(&sources, 0, "\"ä°🚗\""), "in this rule")
    .help("did you mean `front`?");
    check(
        &[problem],
        &sources,
        r#"
error[K0301]: `frnt` is nothing anybody declared
   ╭─[ é.knock:2:17 ]
   │
 2 │ rule "ä°🚗" when frnt is removed
   │      ┬─────      ┬───
   │      ╰───────────────── in this rule
   │                  │
   │                  ╰───── no such phrase
───╯
  help: did you mean `front`?
"#,
    );
}

#[test]
fn labels_in_two_texts_have_a_box_each_with_its_own_place() {
    let sources = sources_of(&[("a.knock", "ééé part b\n"), ("c.knock", "\n\n°°°° part b\n")]);
    let problem = Problem::at(Code::DeclaredTwice, span_of(&sources, 1, "part b"), "`b` is declared twice", "again")
        .context(span_of(&sources, 0, "part b"), "first here");
    check(
        &[problem],
        &sources,
        r#"
error[K0303]: `b` is declared twice
   ╭─[ c.knock:3:6 ]
   │
 3 │ °°°° part b
   │      ┬─────
   │      ╰─────── again
   │
   ├─[ a.knock:1:5 ]
   │
 1 │ ééé part b
   │     ┬─────
   │     ╰─────── first here
───╯
"#,
    );
}

#[test]
fn a_context_of_many_lines_is_named_by_its_first() {
    let sources = sources_of(&[("a", "rule \"x\"\n  when frnt is removed\n  then stop\n")]);
    let whole = Span::new(FileId(0), 0, 43);
    let problem = Problem::at(Code::UnknownPhrase, span_of(&sources, 0, "frnt"), "message", "here")
        .context(whole, "in this rule");
    check(
        &[problem],
        &sources,
        r#"
error[K0301]: message
   ╭─[ a:2:8 ]
   │
 1 │ rule "x"
   │ ┬───────
   │ ╰───────── in this rule
 2 │   when frnt is removed
   │        ┬───
   │        ╰───── here
───╯
"#,
    );
}

#[test]
fn an_empty_span_at_the_end_of_the_text_is_drawn_there() {
    let sources = sources_of(&[("a", "one\n"), ("b", ""), ("c", "one")]);
    for (file, length, place) in [(0, 4, "a:2:1"), (1, 0, "b:1:1"), (2, 3, "c:1:4")] {
        for start in [length, length + 9, u32::MAX] {
            let problem = Problem::at(Code::BlockNotClosed, Span::new(FileId(file), start, start), "message", "here");
            let drawn = draw(std::slice::from_ref(&problem), &sources, false);
            assert!(drawn.contains(&format!("╭─[ {place} ]")), "{drawn}");
            assert!(drawn.contains("── here"), "{drawn}");
            assert_eq!(draw_plain_line(&problem, &sources), format!("{place}: error[K0204]: message"));
        }
    }
}

#[test]
fn a_problem_without_a_place_still_says_its_message_and_help() {
    let problem = Problem::nowhere(Code::FileNotRead, "`a.knock` cannot be read").help("is it there?\nmay it be read?");
    let drawn = draw(std::slice::from_ref(&problem), &Sources::new(), false);
    assert_eq!(drawn, "error[K0901]: `a.knock` cannot be read\n  help: is it there?\n        may it be read?\n");
    assert_eq!(
        draw_plain_line(&problem, &Sources::new()),
        "error[K0901]: `a.knock` cannot be read (is it there? may it be read?)"
    );
}

#[test]
fn a_label_in_a_text_nobody_added_is_written_without_a_place() {
    let sources = sources_of(&[("a", "one")]);
    let problem = Problem::at(Code::PlaceMismatch, Span::new(FileId(9), 0, 3), "message", "lost")
        .context(Span::new(FileId(0), 0, 3), "found");
    let drawn = draw(std::slice::from_ref(&problem), &sources, false);
    assert!(drawn.contains("[ a:1:1 ]") && drawn.contains("at: a text that is not there: lost"), "{drawn}");
    assert_eq!(draw_plain_line(&problem, &sources), "a:1:1: warning[K0511]: message");
}

#[test]
fn context_alone_is_drawn_too() {
    let sources = sources_of(&[("a", "one two")]);
    let problem = Problem::nowhere(Code::NoJob, "message").context(span_of(&sources, 0, "two"), "here");
    let drawn = draw(&[problem], &sources, false);
    assert!(drawn.contains("[ a:1:5 ]") && drawn.contains("here"), "{drawn}");
}

#[test]
fn a_very_long_line_is_named_but_not_shown() {
    let text = format!("{}°x", "a".repeat(100_000));
    let sources = sources_of(&[("a", &text)]);
    let problem = Problem::at(Code::UnknownCharacter, span_of(&sources, 0, "x"), "message", "here");
    assert_eq!(draw(&[problem], &sources, false), "error[K0101]: message\n  at: a:1:100002: here\n");
}

#[test]
fn a_main_label_over_a_whole_library_shows_its_first_line() {
    let text = "rule\n".repeat(200_000);
    let sources = sources_of(&[("a", &text)]);
    let whole = Span::new(FileId(0), 0, u32::MAX);
    let drawn = draw(&[Problem::at(Code::TooDeep, whole, "message", "here")], &sources, false);
    assert_eq!(drawn.lines().count(), 7, "{drawn}");
    assert!(drawn.contains("[ a:1:1 ]") && drawn.contains(" 1 │ rule\n"), "{drawn}");
}

#[test]
fn a_main_label_over_a_few_lines_is_bracketed() {
    let sources = sources_of(&[("a", "for x {\n  °\n}\n")]);
    let problem = Problem::at(Code::BlockNotClosed, Span::new(FileId(0), 0, 14), "message", "here");
    let drawn = draw(&[problem], &sources, false);
    assert!(drawn.contains("╭─▶ for x {") && drawn.contains("├─▶ }"), "{drawn}");
}

#[test]
fn problems_are_drawn_in_their_order_with_an_empty_line_between() {
    let sources = sources_of(&[("a", "one two")]);
    let problems = ["two", "one"].map(|word| Problem::at(Code::PlaceMismatch, span_of(&sources, 0, word), word, ""));
    let drawn = draw(&problems, &sources, false);
    let second = drawn.find("\n\nwarning[K0511]: one\n");
    assert!(drawn.starts_with("warning[K0511]: two\n") && second.is_some(), "{drawn}");
    assert_eq!(draw(&[], &sources, false), "");
}

#[test]
fn text_of_a_user_begins_no_line_and_sends_nothing_to_the_terminal() {
    let sources = sources_of(&[("na\u{202e}me\n\u{1b}[2J", "te\u{1b}xt\u{2028}\u{200b}\u{b}more\n")]);
    let evil = "x\nerror[K0101]: forged\u{1b}[2J\u{202e}\r";
    let span = Span::new(FileId(0), 12, 16);
    let problem = Problem::at(Code::UnknownPhrase, span, evil, evil).context(span, evil).help(evil);
    let drawn = draw(std::slice::from_ref(&problem), &sources, false);
    let plain = draw_plain_line(&problem, &sources);
    assert!(!drawn.chars().any(is_hidden), "{drawn:?}");
    assert!(!plain.chars().any(is_hidden) && !plain.contains('\n'), "{plain:?}");
    assert!(!drawn.lines().any(|line| line.starts_with("error[K0101]")), "{drawn}");
    assert!(plain.starts_with("na\\u{202e}me\\n\\u{1b}[2J:1:9: error[K0301]: x\\nerror"), "{plain}");
}

#[test]
fn separators_that_ariadne_counts_as_lines_do_not_move_the_place() {
    let sources = sources_of(&[("a", "a\u{2028}b\u{2029}c\u{85}d\u{b}e\u{c}f\rg wrong\n")]);
    let problem = Problem::at(Code::UnknownPhrase, span_of(&sources, 0, "wrong"), "message", "here");
    let drawn = draw(&[problem], &sources, false);
    assert!(drawn.contains("[ a:2:3 ]") && drawn.contains(" 2 │ g wrong\n"), "{drawn}");
}

#[test]
fn colour_appears_only_when_asked_for() {
    let sources = sources_of(&[("a", "one two")]);
    let problem = Problem::at(Code::UnknownPhrase, span_of(&sources, 0, "two"), "m", "l").help("h");
    let warning = Problem::at(Code::PlaceMismatch, span_of(&sources, 0, "two"), "m", "l");
    assert!(!draw(&[problem.clone(), warning.clone()], &sources, false).contains('\u{1b}'));
    assert!(draw(&[problem], &sources, true).contains("\u{1b}[31m"));
    assert!(draw(&[warning], &sources, true).contains("\u{1b}[33m"));
}

/// Numbers that look random and are the same every time (xorshift, from memory).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % limit.max(1)
    }

    fn one_of<'a>(&mut self, pieces: &[&'a str]) -> &'a str {
        pieces.get(self.below(pieces.len() as u64) as usize).copied().unwrap_or("")
    }

    fn text(&mut self, longest: u64) -> String {
        const PIECES: [&str; 18] = [
            "a", "rule ", "\n", "\r\n", "\r", "\t", "é", "°", "🚗", "e\u{301}", "\u{2028}", "\u{85}", "\u{b}", "\u{c}",
            "\u{202e}", "中", " ", "\0",
        ];
        (0..self.below(longest)).map(|_| self.one_of(&PIECES)).collect()
    }

    /// Mostly inside the text, now and then reversed, past its end, or in no text.
    fn span(&mut self, sources: &Sources) -> Span {
        let file = FileId(self.below(4) as u32);
        let length = u64::from(sources.get(file).map_or(3, |source| source.len()));
        let start = self.below(length + 3) as u32;
        let end = match self.below(8) {
            0 => start,
            1 => self.below(u64::from(u32::MAX)) as u32,
            2 => self.below(length + 1) as u32,
            _ => start.saturating_add(self.below(6) as u32),
        };
        // Not `Span::new`: the fields are open, so a reversed span can reach the drawing.
        Span { file, start, end }
    }
}

#[test]
fn no_span_whatever_makes_drawing_panic_or_name_another_place() {
    let mut numbers = Numbers(0x9e37_79b9_7f4a_7c15);
    for round in 0..4000 {
        let mut sources = Sources::new();
        for name in ["a", "b", "c"] {
            let text = numbers.text(40);
            sources.add(name, text);
        }
        let main = numbers.span(&sources);
        let label = numbers.text(4);
        let mut problem = Problem::at(Code::UnknownPhrase, main, numbers.text(6), label);
        for _ in 0..numbers.below(5) {
            let span = numbers.span(&sources);
            problem = problem.context(span, numbers.text(3));
        }
        if numbers.below(6) == 0 {
            problem.main = None;
        }
        let drawn = draw(std::slice::from_ref(&problem), &sources, false);
        assert!(!drawn.chars().any(is_hidden), "round {round}: {drawn:?}");
        let first = problem.main.iter().chain(&problem.context).find(|label| sources.get(label.span.file).is_some());
        if let Some(label) = first {
            let name = sources.get(label.span.file).map_or("", |source| source.name());
            let place = sources.place(label.span);
            let expected = format!("╭─[ {name}:{}:{} ]", place.line, place.column);
            assert!(drawn.contains(&expected), "round {round}: {expected} not in\n{drawn}");
            let plain = draw_plain_line(&problem, &sources);
            assert!(plain.starts_with(&format!("{name}:{}:{}: error[K0301]: ", place.line, place.column)), "{plain}");
        }
        draw(std::slice::from_ref(&problem), &sources, true);
    }
}

#[test]
fn only_the_texts_that_problems_touch_are_copied() {
    let sources = sources_of(&[("a", "one"), ("b", "two")]);
    let mut copies = Copies { sources: &sources, of_file: BTreeMap::new() };
    let problem = Problem::at(Code::UnknownPhrase, Span::new(FileId(1), 0, 3), "m", "l");
    draw_one(&problem, &mut copies, false);
    draw_one(&problem, &mut copies, false);
    assert_eq!(copies.of_file.keys().copied().collect::<Vec<_>>(), [FileId(1)]);
}

#[test]
fn a_copy_has_the_lines_and_places_of_its_text() {
    let mut numbers = Numbers(7);
    for _ in 0..500 {
        let mut sources = Sources::new();
        let file = sources.add("a", numbers.text(30));
        let Some(source) = sources.get(file) else {
            continue;
        };
        let copy = TextCopy::new(source);
        assert_eq!(copy.text().lines().len(), source.line_count() as usize, "{:?}", source.text());
        let ends = [source.len()].into_iter();
        let bytes = source.text().char_indices().map(|(byte, _)| byte as u32).chain(ends);
        for (characters, byte) in bytes.enumerate() {
            assert_eq!(copy.offset_of(source.place_at(byte)), characters, "{:?}", source.text());
        }
    }
}
