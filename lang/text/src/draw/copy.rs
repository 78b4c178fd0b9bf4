//! The copy of a text that is drawn in its place.

use crate::neutral::is_hidden;
use crate::source::{Place, Source};

/// A text for drawing.
pub(super) struct TextCopy {
    // INVARIANT: character for character as long as the text plus one final line end, with the same
    // number of lines and the same number of characters in each.
    text: ariadne::Source<String>,
}

impl TextCopy {
    pub(super) fn new(source: &Source) -> TextCopy {
        let mut drawn = String::with_capacity(source.text().len() + 1);
        let mut characters = source.text().chars().peekable();
        while let Some(character) = characters.next() {
            drawn.push(match character {
                '\r' if characters.peek() == Some(&'\n') => '\r',
                // Ends a line for us, and would for ariadne join a `\n` we add.
                '\r' => '\n',
                // Would break a line, turn the direction or vanish.
                hidden if is_hidden(hidden) => char::REPLACEMENT_CHARACTER,
                shown => shown,
            });
        }
        // ariadne knows no empty last line, and a mark at the end of a text needs a character.
        drawn.push('\n');
        TextCopy { text: ariadne::Source::from(drawn) }
    }

    pub(super) fn text(&self) -> &ariadne::Source<String> {
        &self.text
    }

    /// The number of characters of a line, its end included.
    pub(super) fn line_length(&self, line: u32) -> usize {
        self.line(line).map_or(0, |line| line.len())
    }

    /// How many characters stand before a place.
    pub(super) fn offset_of(&self, place: Place) -> usize {
        self.line(place.line).map_or(0, |line| line.offset() + place.column.saturating_sub(1) as usize)
    }

    /// How many characters stand before the end of a line, blanks at its end left out.
    pub(super) fn end_of_line(&self, line: u32) -> usize {
        self.line(line).map_or(0, |line| {
            let text = self.text.get_line_text(line).unwrap_or("");
            line.offset() + text.trim_end().chars().count()
        })
    }

    fn line(&self, line: u32) -> Option<ariadne::Line> {
        self.text.line(line.checked_sub(1)? as usize)
    }
}
