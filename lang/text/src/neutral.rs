//! Characters that do not show or that change the reading direction, and how they are made visible.
//!
//! A rule that reads one way and means another could leave a sensor uncalibrated. The attack is
//! described in the paper "Trojan Source: Invisible Vulnerabilities" (Boucher and Anderson, 2021);
//! the direction controls are those of UAX #9, section 2, and the rest are the code points with the
//! property Default_Ignorable_Code_Point of the Unicode Character Database (ranges from memory).

use std::borrow::Cow;

/// Whether a character does not show, breaks lines where editors do not, or changes the reading
/// direction. `\n` and `\t` are not hidden; `\r` is, so a lexer takes line ends before it asks.
pub fn is_hidden(character: char) -> bool {
    // Nearly every character of a text, so asked first.
    if matches!(character, ' '..='~' | '\n' | '\t') {
        return false;
    }
    // C0, DEL and C1, the next-line U+0085 among them.
    character.is_control()
        || matches!(
         character,
         '\u{ad}' // soft hyphen
                | '\u{34f}' // combining grapheme joiner
                | '\u{61c}' // Arabic letter mark (UAX #9)
                | '\u{115f}'..='\u{1160}' // Hangul fillers
                | '\u{17b4}'..='\u{17b5}' // Khmer inherent vowels
                | '\u{180b}'..='\u{180f}' // Mongolian variation selectors and vowel separator
                | '\u{200b}'..='\u{200f}' // zero-width space and joiners, direction marks (UAX #9)
                | '\u{2028}'..='\u{2029}' // line and paragraph separator
                | '\u{202a}'..='\u{202e}' // embeddings and overrides (UAX #9)
                | '\u{2060}'..='\u{206f}' // word joiner, invisible operators, isolates (UAX #9), deprecated formats
                | '\u{3164}' // Hangul filler
                | '\u{fe00}'..='\u{fe0f}' // variation selectors
                | '\u{feff}' // zero-width no-break space, the byte order mark
                | '\u{ffa0}' // halfwidth Hangul filler
                | '\u{fff0}'..='\u{fffb}' // unassigned ignorables, interlinear annotation
                | '\u{1bca0}'..='\u{1bca3}' // shorthand formats
                | '\u{1d173}'..='\u{1d17a}' // musical formats
                | '\u{e0000}'..='\u{e0fff}' // tags and supplementary variation selectors
        )
}

/// Whether a text holds a character that [`is_hidden`].
pub fn hides(text: &str) -> bool {
    let plain = |byte: &u8| matches!(byte, b' '..=b'~' | b'\n' | b'\t');
    !text.as_bytes().iter().all(plain) && text.chars().any(is_hidden)
}

/// The text with every hidden character written as an escape such as `\u{202e}`. Text without any
/// is handed back as it is.
pub fn neutralise(text: &str) -> Cow<'_, str> {
    if !hides(text) {
        return Cow::Borrowed(text);
    }
    let mut visible = String::with_capacity(text.len() + 16);
    for character in text.chars() {
        if is_hidden(character) {
            visible.extend(character.escape_unicode());
        } else {
            visible.push(character);
        }
    }
    Cow::Owned(visible)
}

/// [`neutralise`] for a place that has room for one line only: a line break shows as `\n`, a tab as
/// a space. So no text of a user can begin a line of its own in a report.
pub fn one_line(text: &str) -> Cow<'_, str> {
    let visible = neutralise(text);
    if visible.contains(['\n', '\t']) { Cow::Owned(visible.replace('\n', "\\n").replace('\t', " ")) } else { visible }
}

#[cfg(test)]
mod tests;
