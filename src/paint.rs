//! Paints tagged text for a terminal, and decides whether to. The only place that names owo-colors.

use std::io::IsTerminal;

use knockon_lang::text::{Markup, Tag};
use owo_colors::Style;

/// When to use colour.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Colour {
    /// On a terminal that can, unless `NO_COLOR` is set.
    #[default]
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

impl Colour {
    /// Whether to paint what goes to `stream`.
    pub fn wanted(self, stream: &impl IsTerminal) -> bool {
        let set = |name: &str| std::env::var_os(name);
        match self {
            Colour::Always => true,
            Colour::Never => false,
            Colour::Auto => {
                set("NO_COLOR").is_none_or(|value| value.is_empty())
                    && set("TERM").is_none_or(|term| term != "dumb")
                    && stream.is_terminal()
            }
        }
    }
}

/// The text as it goes to the screen.
pub fn paint(text: &Markup, colour: bool) -> String {
    if !colour {
        return text.to_plain();
    }
    let mut painted = String::new();
    for (tag, run) in text.runs() {
        let style = style(*tag);
        // Line by line: a colour that runs on over a line end fills the rest of the line on some terminals.
        for (index, line) in run.split('\n').enumerate() {
            if index > 0 {
                painted.push('\n');
            }
            if !line.is_empty() {
                painted.push_str(&style.style(line).to_string());
            }
        }
    }
    painted
}

fn style(tag: Tag) -> Style {
    let style = Style::new();
    match tag {
        Tag::Plain | Tag::Term => style,
        Tag::Heading => style.bold(),
        Tag::Source => style.cyan(),
        Tag::Quote | Tag::Text => style.green(),
        Tag::Fact => style.bold(),
        Tag::Faint | Tag::Comment => style.dimmed(),
        Tag::Required => style.bold().red(),
        Tag::Conflict => style.bold().magenta(),
        Tag::Open | Tag::Warning => style.yellow(),
        Tag::Advised => style.blue(),
        Tag::NotNeeded => style.green(),
        Tag::Silent => style.bold().yellow(),
        Tag::Command => style.bold(),
        Tag::Keyword => style.blue(),
        Tag::Number => style.cyan(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_colour_the_text_is_bare_and_with_it_only_escapes_are_added() {
        let mut text = Markup::new();
        text.push(Tag::Required, "REQUIRED\n").plain("front radar");
        assert_eq!(paint(&text, false), "REQUIRED\nfront radar");
        let painted = paint(&text, true);
        assert!(painted.contains("\u{1b}["));
        let mut bare = String::new();
        let mut rest = painted.as_str();
        while let Some(at) = rest.find('\u{1b}') {
            bare.push_str(&rest[..at]);
            rest = &rest[at..];
            rest = &rest[rest.find('m').unwrap() + 1..];
        }
        bare.push_str(rest);
        assert_eq!(bare, "REQUIRED\nfront radar");
    }
}
