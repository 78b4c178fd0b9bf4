//! How a duty is carried out, in words, below its reasons.

use knockon_text::markup::{Markup, Tag};

use super::label;
use crate::answer::{DutyVerdict, HowLine, Truth};

/// What each text tells of it.
pub(super) fn how(out: &mut Markup, duty: &DutyVerdict) {
    for how in &duty.how {
        let of = if duty.or.is_empty() { String::new() } else { format!("{}, ", how.name) };
        let perhaps = if how.certain { "" } else { "   (if the text is for this car)" };
        label(out, "how", &format!("{of}{}{perhaps}", how.citation));
        for says in &how.says {
            out.plain("             says ");
            out.push(Tag::Quote, format!("\"{says}\""));
            out.line();
        }
        for line in &how.lines {
            self::line(out, line);
        }
    }
}

fn line(out: &mut Markup, line: &HowLine) {
    out.push(Tag::Faint, format!("             {} ", line.word));
    out.plain(&line.text);
    if let Some(holds) = line.holds {
        out.plain(": ");
        let tag = if holds == Truth::Yes { Tag::Faint } else { Tag::Open };
        out.push(tag, holds.words());
    }
    if !line.readings.is_empty() {
        out.push(Tag::Faint, format!("   (measured {})", line.readings.join(", ")));
    }
    if line.word == "throughout" {
        out.push(Tag::Faint, "   (a reading before the start does not prove it)");
    }
    if let Some(condition) = &line.condition {
        out.push(Tag::Open, format!("   if {condition}"));
    }
    out.line();
}
