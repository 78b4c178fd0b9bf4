//! What follows from how procedures end, in people's words.

use knockon_text::markup::{Markup, Tag};

use crate::answer::{Answer, Branch};

/// All branches, each with what follows from it.
pub fn branches(out: &mut Markup, answer: &Answer) {
    if answer.branches.is_empty() {
        return;
    }
    out.line();
    out.push(Tag::Heading, "WHAT FOLLOWS FROM HOW IT ENDS");
    out.line();
    for found in &answer.branches {
        branch(out, found, 1);
    }
}

fn branch(out: &mut Markup, branch: &Branch, depth: usize) {
    let indent = "  ".repeat(depth);
    out.plain(format!("{indent}if {}", branch.name));
    out.line();
    for follows in &branch.follows {
        let tag = match follows.verdict {
            "required" | "forbidden" => Tag::Required,
            "conflict" => Tag::Conflict,
            "open" => Tag::Open,
            "advised" => Tag::Advised,
            _ => Tag::Warning,
        };
        out.plain(format!("{indent}  "));
        out.push(tag, follows.verdict);
        out.plain(format!(": {}", follows.name));
        if !follows.on.is_empty() {
            let joins = if follows.verdict == "held" { "until" } else { "turns on" };
            out.plain(format!(", {joins} {}", follows.on.join(", ")));
        }
        out.line();
        for (rule, citation) in &follows.by {
            out.push(Tag::Source, format!("{indent}    by \"{rule}\", {citation}"));
            out.line();
        }
    }
    for then in &branch.then {
        self::branch(out, then, depth + 1);
    }
}
