//! The words of the prompt: one table, read by the prompt itself, by `help`, and by completion.

use knockon_lang::text::suggest::nearest;

/// A word of the prompt.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Word {
    /// The whole answer.
    What,
    /// Why one verdict stands.
    Why,
    /// What is to be asked.
    Ask,
    /// Help.
    Help,
    /// Takes back the last lines.
    Undo,
    /// The session so far.
    Lines,
    /// Writes the session into a file.
    Save,
    /// Goes on with a file.
    Load,
    /// The sentence forms.
    Forms,
    /// A code explained.
    Explain,
    /// Ends.
    Leave,
}

/// What may stand after a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Takes {
    Nothing,
    /// Words, at least one.
    Words,
    /// At most one word.
    OneOrNone,
    /// One word.
    One,
    /// A text in quotes.
    Text,
}

/// One word, as `help` shows it and the prompt takes it.
pub struct WordEntry {
    /// Which.
    pub word: Word,
    /// As typed.
    pub name: &'static str,
    /// What stands after it, for people.
    pub arguments: &'static str,
    takes: Takes,
    /// What it does, one sentence.
    pub summary: &'static str,
}

/// Every word, in the order `help` shows them.
pub const WORDS: &[WordEntry] = &[
    WordEntry {
        word: Word::What,
        name: "what",
        arguments: "",
        takes: Takes::Nothing,
        summary: "shows the whole answer so far",
    },
    WordEntry {
        word: Word::Why,
        name: "why",
        arguments: "DUTY",
        takes: Takes::Words,
        summary: "shows why a duty, a silent sensor or an operation stands as it does, down to the lines of the job",
    },
    WordEntry {
        word: Word::Ask,
        name: "ask",
        arguments: "",
        takes: Takes::Nothing,
        summary: "lists what is to be asked, and how each answer is typed",
    },
    WordEntry {
        word: Word::Undo,
        name: "undo",
        arguments: "",
        takes: Takes::Nothing,
        summary: "takes back what was typed last",
    },
    WordEntry {
        word: Word::Lines,
        name: "lines",
        arguments: "",
        takes: Takes::Nothing,
        summary: "shows everything taken so far, as a file would hold it",
    },
    WordEntry {
        word: Word::Save,
        name: "save",
        arguments: "\"FILE\"",
        takes: Takes::Text,
        summary: "writes it into a file that `knockon decide` runs again",
    },
    WordEntry {
        word: Word::Load,
        name: "load",
        arguments: "\"FILE\"",
        takes: Takes::Text,
        summary: "goes on with what a file holds, in place of what was taken so far",
    },
    WordEntry {
        word: Word::Forms,
        name: "forms",
        arguments: "",
        takes: Takes::Nothing,
        summary: "lists the forms of sentences, each with an example",
    },
    WordEntry {
        word: Word::Explain,
        name: "explain",
        arguments: "CODE",
        takes: Takes::One,
        summary: "explains a code such as K0301",
    },
    WordEntry {
        word: Word::Help,
        name: "help",
        arguments: "[sentences | words | CODE]",
        takes: Takes::OneOrNone,
        summary: "shows this; the forms of sentences; the words declared; or a code",
    },
    WordEntry { word: Word::Leave, name: "leave", arguments: "", takes: Takes::Nothing, summary: "ends the session" },
];

/// A word with what stands after it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Said<'t> {
    /// The word.
    pub word: Word,
    /// What stands after it, quotes taken off.
    pub rest: &'t str,
}

/// The word a line says, if it says one and what follows fits.
pub fn read(line: &str) -> Option<Said<'_>> {
    let line = line.trim();
    let (name, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
    let rest = rest.trim();
    let entry = WORDS.iter().find(|entry| entry.name.eq_ignore_ascii_case(name))?;
    let one = !rest.is_empty() && !rest.contains(char::is_whitespace);
    let said = |rest| Some(Said { word: entry.word, rest });
    match entry.takes {
        Takes::Nothing if rest.is_empty() => said(rest),
        Takes::Words if !rest.is_empty() => said(rest),
        Takes::OneOrNone if rest.is_empty() || one => said(rest),
        Takes::One if one => said(rest),
        Takes::Text => {
            let text = rest.strip_prefix('"').and_then(|text| text.strip_suffix('"'));
            said(text.filter(|text| !text.is_empty() && !text.contains('"'))?)
        }
        _ => None,
    }
}

/// Whether a line says a word of the prompt.
pub fn fits(line: &str) -> bool {
    read(line).is_some()
}

/// The word a line begins with although what follows does not fit it.
pub fn misused(line: &str) -> Option<&'static WordEntry> {
    let first = line.split_whitespace().next()?;
    let entry = WORDS.iter().find(|entry| entry.name.eq_ignore_ascii_case(first))?;
    (!fits(line)).then_some(entry)
}

/// The word a line that is not understood may have been meant to be: a slip, and what follows fits.
pub fn nearly(line: &str) -> Option<&'static str> {
    let line = line.trim();
    let (first, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
    let first = first.to_lowercase();
    let near = nearest(&first, WORDS.iter().map(|entry| entry.name)).into_iter().next()?;
    fits(&format!("{near} {rest}")).then_some(near)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_has_a_name_of_its_own_and_a_sentence() {
        for (index, entry) in WORDS.iter().enumerate() {
            assert!(WORDS.iter().skip(index + 1).all(|other| other.name != entry.name && other.word != entry.word));
            assert!(entry.summary.len() > 10 && !entry.summary.ends_with('.'), "{}", entry.name);
            assert_eq!(entry.arguments.is_empty(), entry.takes == Takes::Nothing, "{}", entry.name);
        }
    }

    #[test]
    fn a_word_is_read_with_what_it_takes() {
        let read = |line| read(line).map(|said| (said.word, said.rest));
        assert_eq!(read("  what "), Some((Word::What, "")));
        assert_eq!(
            read("why static calibration of front radar"),
            Some((Word::Why, "static calibration of front radar"))
        );
        assert_eq!(read("save \"a b.knock\""), Some((Word::Save, "a b.knock")));
        assert_eq!(read("HELP K0301"), Some((Word::Help, "K0301")));
    }

    #[test]
    fn a_slip_in_a_word_is_seen_where_what_follows_fits() {
        assert_eq!(nearly("leav"), Some("leave"));
        assert_eq!(nearly("hlep words"), Some("help"));
        assert_eq!(nearly("whyy static calibration"), Some("why"));
        assert_eq!(nearly("leav the seat"), None);
        assert_eq!(nearly("left headlamp replaced"), None);
    }

    #[test]
    fn a_word_with_something_that_does_not_fit_is_none() {
        for line in
            ["why", "what else", "save a.knock", "save \"\"", "save \"a\" \"b\"", "leave open x", "explain", "help a b"]
        {
            assert_eq!(read(line), None, "{line}");
            assert!(misused(line).is_some(), "{line}");
        }
        assert!(misused("left headlamp replaced").is_none());
    }
}
