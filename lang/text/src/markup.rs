//! Tagged text: what a stage hands back for people, before a terminal paints it.

use crate::neutral::neutralise;

/// What a run of text is, never how it looks: a terminal, a page and a plain file decide that.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Tag {
    /// Nothing in particular.
    Plain,
    /// A heading of an answer or a page.
    Heading,
    /// A declared term, such as a sensor or a part.
    Term,
    /// A source: a maker's statement and its place.
    Source,
    /// Words quoted from a source.
    Quote,
    /// A fact of the job.
    Fact,
    /// Something that matters less.
    Faint,
    /// The status of a duty: required.
    Required,
    /// The status of a duty: sources conflict.
    Conflict,
    /// The status of a duty: open, something is unknown.
    Open,
    /// The status of a duty: advised.
    Advised,
    /// The status of a duty: a source says it is not needed.
    NotNeeded,
    /// The status of a duty: no source says anything.
    Silent,
    /// A warning.
    Warning,
    /// A command the person can type.
    Command,
    /// A word of the language.
    Keyword,
    /// A quoted text of the language.
    Text,
    /// A number or quantity.
    Number,
    /// A comment of the language.
    Comment,
}

/// A text in tagged runs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Markup {
    // INVARIANT: no run is empty, no two neighbours have the same tag, no run holds a hidden character.
    runs: Vec<(Tag, String)>,
}

impl Markup {
    /// No text yet.
    pub fn new() -> Markup {
        Markup::default()
    }

    /// Adds a run; hidden characters become visible escapes, an equal neighbour is lengthened.
    pub fn push(&mut self, tag: Tag, text: impl AsRef<str>) -> &mut Markup {
        let text = neutralise(text.as_ref());
        if text.is_empty() {
            return self;
        }
        match self.runs.last_mut() {
            Some((last, run)) if *last == tag => run.push_str(&text),
            _ => self.runs.push((tag, text.into_owned())),
        }
        self
    }

    /// Adds a run that is nothing in particular.
    pub fn plain(&mut self, text: impl AsRef<str>) -> &mut Markup {
        self.push(Tag::Plain, text)
    }

    /// Ends the line.
    pub fn line(&mut self) -> &mut Markup {
        self.plain("\n")
    }

    /// Adds the runs of another text.
    pub fn append(&mut self, other: Markup) -> &mut Markup {
        for (tag, text) in other.runs {
            self.push(tag, text);
        }
        self
    }

    /// Whether there is no text.
    pub fn is_empty(&self) -> bool {
        self.runs.is_empty()
    }

    /// The runs in order.
    pub fn runs(&self) -> &[(Tag, String)] {
        &self.runs
    }

    /// The text without its tags.
    pub fn to_plain(&self) -> String {
        self.runs.iter().map(|(_, text)| text.as_str()).collect()
    }
}

#[cfg(test)]
mod tests;
