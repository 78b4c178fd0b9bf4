//! What is typed, in tagged runs: by its tokens, and by whether its words are declared.

use knockon_lang::syntax::{Tok, lex};
use knockon_lang::terms::Vocabulary;
use knockon_lang::text::neutral::hides;
use knockon_lang::text::{Markup, Tag};

use super::words;

/// The same text in tagged runs; nothing where it could not be shown as it is.
pub fn highlight(line: &str, vocabulary: &Vocabulary) -> Option<Markup> {
    if hides(line) {
        return None;
    }
    let tokens = lex(line);
    let mut tags: Vec<(u32, u32, Tag)> = Vec::new();
    let word = words::fits(line);
    let mut index = 0;
    while index < tokens.len() {
        let (start, end) = tokens.span(index);
        let Some(kind) = tokens.kind(index) else { break };
        let known = known_phrase(line, &tokens, index, vocabulary);
        let (tag, count) = match kind {
            _ if word && index == 0 => (Tag::Command, 1),
            Tok::Text => (Tag::Text, 1),
            Tok::OpenText | Tok::Bad | Tok::ThousandsNumber => (Tag::Warning, 1),
            _ if known > 0 => (Tag::Term, known),
            Tok::Number | Tok::Date | Tok::Time | Tok::PlusMinus | Tok::Percent => (Tag::Number, 1),
            Tok::Word => (Tag::Plain, 1),
            kind if kind as u8 > Tok::Bad as u8 => (Tag::Keyword, 1),
            _ => (Tag::Plain, 1),
        };
        let end = if count > 1 { tokens.span(index + count - 1).1 } else { end };
        tags.push((start, end, tag));
        index += count;
    }
    tags.extend(tokens.comments.iter().map(|&(start, end, _)| (start, end, Tag::Comment)));
    tags.sort_by_key(|&(start, ..)| start);
    let mut out = Markup::new();
    let mut at = 0_u32;
    for (start, end, tag) in tags {
        out.plain(line.get(at as usize..start as usize)?);
        out.push(tag, line.get(start as usize..end as usize)?);
        at = end;
    }
    out.plain(line.get(at as usize..)?);
    Some(out)
}

/// How many tokens from here on are a declared phrase.
fn known_phrase(line: &str, tokens: &knockon_lang::syntax::Tokens, first: u32, vocabulary: &Vocabulary) -> u32 {
    let run: Vec<_> = (first..tokens.len())
        .take_while(|&index| tokens.kind(index).is_some_and(Tok::is_wordlike))
        .map(|index| vocabulary.words.find(tokens.text(line, index)))
        .collect();
    let mut longest = 0;
    vocabulary.phrases.each(&run, |length, _| longest = longest.max(length));
    u32::try_from(longest).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_text_stays_the_same_to_the_last_blank() {
        let vocabulary = Vocabulary::default();
        for line in [
            "work  replaced left headlamp ; found x   # why",
            "  rule \"a\"\n  when (x and y",
            "\"open",
            "measured film thickness 142 um ± 6 um “",
            "",
            "why static calibration of front radar ",
        ] {
            assert_eq!(highlight(line, &vocabulary).unwrap().to_plain(), line);
        }
        assert!(highlight("a\u{202e}b", &vocabulary).is_none());
    }

    #[test]
    fn keywords_texts_and_words_of_the_prompt_are_told_apart() {
        let vocabulary = Vocabulary::default();
        let tag = |line: &str, run: &str| {
            let markup = highlight(line, &vocabulary).unwrap();
            markup.runs().iter().find(|(_, text)| text == run).map(|(tag, _)| *tag)
        };
        assert_eq!(tag("rule \"a\"", "rule"), Some(Tag::Keyword));
        assert_eq!(tag("rule \"a\"", "\"a\""), Some(Tag::Text));
        assert_eq!(tag("why x", "why"), Some(Tag::Command));
        assert_eq!(tag("work x # note", "# note"), Some(Tag::Comment));
        assert_eq!(tag("given 12 mm", "12"), Some(Tag::Number));
    }
}
