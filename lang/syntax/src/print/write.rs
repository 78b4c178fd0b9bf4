//! Writing a laid-out text: tokens, comments, blank lines, and the breaks that keep the meaning.

use super::plan::{Before, Plan, Seam};
use crate::space::{push_token, space_before};
use crate::token::{Tok, Tokens};

/// The text, laid out.
pub fn write(text: &str, tokens: &Tokens, plan: &Plan) -> String {
    let mut writer = Writer { text, tokens, out: String::with_capacity(text.len() + text.len() / 8), next_comment: 0 };
    for (index, before) in (0..tokens.len()).zip(&plan.before) {
        let deeper = plan.deeper.get(index as usize).copied().unwrap_or(0);
        writer.token(index, *before, deeper);
    }
    writer.seam(tokens.len(), plan.last);
    writer.out
}

struct Writer<'t> {
    text: &'t str,
    tokens: &'t Tokens,
    out: String,
    /// The first comment not written yet.
    next_comment: usize,
}

/// A comment between two tokens.
struct Comment<'t> {
    text: &'t str,
    /// Whether a blank line stands before it.
    blank_before: bool,
}

impl<'t> Writer<'t> {
    fn token(&mut self, index: u32, before: Before, deeper: usize) {
        match before {
            Before::Item(seam) => {
                self.seam(index, seam);
                self.indent(seam.indent);
            }
            Before::Line(indent) => self.line(index, indent),
            Before::Neighbour | Before::Spaces(_) if self.must_begin_line(index) => self.line(index, deeper),
            Before::Neighbour => {
                if space_before(self.tokens, index) {
                    self.out.push(' ');
                }
            }
            Before::Spaces(count) => self.indent(count),
        }
        push_token(&mut self.out, self.text, self.tokens, index);
    }

    /// Ends the line before token `index`, with the comments that stand there, and indents.
    fn line(&mut self, index: u32, indent: usize) {
        self.comment_on_line(index);
        self.end_line();
        while let Some(comment) = self.comment(index) {
            self.indent(indent);
            self.out.push_str(comment.text);
            self.end_line();
        }
        self.indent(indent);
    }

    /// Ends the item above token `index`, with the comments and blank lines that stand there.
    fn seam(&mut self, index: u32, seam: Seam) {
        self.comment_on_line(index);
        self.end_line();
        let mut comments = Vec::new();
        while let Some(comment) = self.comment(index) {
            comments.push(comment);
        }
        // A blank line before each comment and before what follows; none where the file or block begins.
        let begins = self.out.is_empty() || self.tokens.kind(index.wrapping_sub(1)) == Some(Tok::OpenBlock);
        let mut blanks: Vec<bool> = comments.iter().map(|comment| comment.blank_before).collect();
        blanks.push(self.blank_before_token(index));
        if begins && let Some(first) = blanks.first_mut() {
            *first = false;
        }
        if seam.closes
            && let Some(last) = blanks.last_mut()
        {
            *last = false;
        }
        if seam.apart
            && !blanks.contains(&true)
            && let Some(first) = blanks.first_mut()
        {
            *first = true;
        }
        // Comments right below an item of several lines are its own, if a blank line parts them from
        // what follows or nothing follows.
        let own = match blanks.iter().position(|&blank| blank) {
            Some(0) => 0,
            Some(position) => position,
            None if seam.closes => comments.len(),
            None => 0,
        };
        for (position, (comment, blank)) in comments.iter().zip(&blanks).enumerate() {
            if *blank {
                self.out.push('\n');
            }
            let indent = match seam.comments_above {
                Some(indent) if position < own => indent,
                _ => seam.comments,
            };
            self.indent(indent);
            self.out.push_str(comment.text);
            self.end_line();
        }
        if blanks.last() == Some(&true) {
            self.out.push('\n');
        }
    }

    /// Whether a token must begin a line though the layout does not ask for it: after a comment; where a
    /// word counts only as the first of its line; where it would grow together with the words before it.
    fn must_begin_line(&self, index: u32) -> bool {
        let comment = self.tokens.comments.get(self.next_comment);
        comment.is_some_and(|&(_, _, before)| before == index)
            || self.tokens.kind(index).is_some_and(Tok::only_first_on_line)
            || self.begins_line_in_text(index) && self.grows_together(index)
    }

    fn begins_line_in_text(&self, index: u32) -> bool {
        self.tokens.line_starts.binary_search(&index).is_ok()
    }

    /// Whether the words before `index` and those from it on would be read as one token of several words
    /// if they stood on one line: `ends` at the end of a line and `in` on the next.
    fn grows_together(&self, index: u32) -> bool {
        let words = |from: u32, to: u32| -> Vec<String> {
            (from..to)
                .flat_map(|token| self.tokens.text(self.text, token).split([' ', '\t']))
                .filter(|word| !word.is_empty())
                .map(str::to_ascii_lowercase)
                .collect()
        };
        let before = words(index.saturating_sub(LONGEST), index);
        let after = words(index, index.saturating_add(LONGEST).min(self.tokens.len()));
        Tok::SEVERAL_WORDS.iter().any(|phrase| {
            let phrase: Vec<&str> = phrase.split(' ').collect();
            (1..phrase.len()).any(|cut| {
                let (left, right) = phrase.split_at(cut.min(phrase.len()));
                before.iter().rev().zip(left.iter().rev()).filter(|(word, wanted)| word == *wanted).count()
                    == left.len()
                    && after.iter().zip(right).filter(|(word, wanted)| word == *wanted).count() == right.len()
            })
        })
    }

    /// Writes the comment that ends the line of the token before `index`, if there is one, with the lines
    /// right below it that begin under it and so go on with it.
    fn comment_on_line(&mut self, index: u32) {
        let Some(&(start, end, before)) = self.tokens.comments.get(self.next_comment) else {
            return;
        };
        if before != index || index == 0 {
            return;
        }
        let (_, above) = self.tokens.span(index - 1);
        if self.slice(above, start).contains(['\n', '\r']) {
            return;
        }
        self.next_comment += 1;
        self.out.push_str("  ");
        let indent = last_line(&self.out).chars().count();
        self.out.push_str(self.slice(start, end).trim_end());
        let text = self.text;
        let column = |start: u32| last_line(text.get(..start as usize).unwrap_or("")).chars().count();
        let under = column(start);
        while let Some(&(start, end, before)) = self.tokens.comments.get(self.next_comment) {
            let goes_on = before == index
                && column(start) == under
                && !has_blank_line(self.slice(self.end_before(start, index), start));
            if !goes_on {
                return;
            }
            self.next_comment += 1;
            self.end_line();
            self.indent(indent);
            self.out.push_str(self.slice(start, end).trim_end());
        }
    }

    /// The next comment, if it stands before token `index`.
    fn comment(&mut self, index: u32) -> Option<Comment<'t>> {
        let &(start, end, _) =
            self.tokens.comments.get(self.next_comment).filter(|&&(_, _, before)| before <= index)?;
        let above = self.end_before(start, index);
        self.next_comment += 1;
        Some(Comment {
            text: self.slice(start, end).trim_end(),
            blank_before: has_blank_line(self.slice(above, start)),
        })
    }

    /// Where the token or comment before byte `start`, which stands before token `index`, ends.
    fn end_before(&self, start: u32, index: u32) -> u32 {
        let token = if index == 0 { 0 } else { self.tokens.span(index - 1).1 };
        let comment = self.next_comment.checked_sub(1).and_then(|at| self.tokens.comments.get(at));
        let comment = comment.map_or(0, |&(_, end, _)| end);
        token.max(comment).min(start)
    }

    fn blank_before_token(&self, index: u32) -> bool {
        let (start, _) = self.tokens.span(index);
        let start = if index < self.tokens.len() { start } else { self.text.len() as u32 };
        has_blank_line(self.slice(self.end_before(start, index), start))
    }

    fn slice(&self, start: u32, end: u32) -> &'t str {
        self.text.get(start as usize..end as usize).unwrap_or("")
    }

    fn end_line(&mut self) {
        if !self.out.is_empty() && !self.out.ends_with('\n') {
            self.out.push('\n');
        }
    }

    fn indent(&mut self, count: usize) {
        self.out.extend(std::iter::repeat_n(' ', count));
    }
}

fn last_line(text: &str) -> &str {
    text.rsplit(['\n', '\r']).next().unwrap_or("")
}

/// No token of several words has more.
const LONGEST: u32 = 5;

/// Whether what stands between two tokens holds an empty line.
fn has_blank_line(between: &str) -> bool {
    let breaks = between.matches('\n').count() + between.matches('\r').count() - between.matches("\r\n").count();
    breaks >= 2
}
