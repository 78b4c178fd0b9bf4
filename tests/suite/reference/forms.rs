//! The forms of the grammar page, read into pieces.

use std::collections::BTreeMap;

/// A piece of a form.
#[derive(Clone, Debug)]
pub enum Node {
    /// One after the other.
    All(Vec<Node>),
    /// One of them.
    One(Vec<Node>),
    /// Perhaps.
    Maybe(Box<Node>),
    /// Any number of times.
    Many(Box<Node>),
    /// What another form says.
    Form(String),
    /// A token of the language.
    Kept(String),
    /// An ordinary word read so in its place.
    Word(String),
    /// A sort of token, or the beginning of a line.
    Sort(String),
}

/// The pieces of a form as texts: quoted words with their first quote, names, marks.
fn pieces(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut letters = text.chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            '"' | '\'' => {
                let word: String = letters.by_ref().take_while(|&next| next != letter).collect();
                found.push(format!("{letter}{word}"));
            }
            letter if letter.is_alphabetic() => {
                let mut name = String::from(letter);
                while let Some(next) = letters.next_if(|next| next.is_alphanumeric() || *next == '-') {
                    name.push(next);
                }
                found.push(name);
            }
            letter if letter.is_whitespace() => {}
            letter => found.push(letter.to_string()),
        }
    }
    found
}

/// Reads alternatives up to a closing mark or the end.
fn alternatives(pieces: &[String], at: &mut usize) -> Node {
    let mut all = vec![Vec::new()];
    while let Some(piece) = pieces.get(*at) {
        *at += 1;
        let inner = |at: &mut usize, close: &str| {
            let node = alternatives(pieces, at);
            assert_eq!(pieces.get(*at).map(String::as_str), Some(close), "before piece {at}: {pieces:?}");
            *at += 1;
            node
        };
        let node = match piece.as_str() {
            "|" => {
                all.push(Vec::new());
                continue;
            }
            "]" | "}" | ")" => {
                *at -= 1;
                break;
            }
            "[" => Node::Maybe(Box::new(inner(at, "]"))),
            "{" => Node::Many(Box::new(inner(at, "}"))),
            "(" => inner(at, ")"),
            other => match (other.strip_prefix('"'), other.strip_prefix('\'')) {
                (Some(kept), _) => Node::Kept(kept.to_string()),
                (_, Some(word)) => Node::Word(word.to_string()),
                _ if other.chars().all(char::is_uppercase) => Node::Sort(other.to_string()),
                _ if other.starts_with(char::is_lowercase) => Node::Form(other.to_string()),
                _ => panic!("`{other}` means nothing in a form"),
            },
        };
        if let Some(last) = all.last_mut() {
            last.push(node);
        }
    }
    Node::One(all.into_iter().map(Node::All).collect())
}

/// The forms of the page by their names.
pub fn grammar(text: &str) -> BTreeMap<String, Node> {
    let blocks: String = text.split("```ebnf\n").skip(1).filter_map(|block| block.split("```").next()).collect();
    let mut forms: Vec<(String, String)> = Vec::new();
    for line in blocks.lines() {
        match line.split_once('=').filter(|_| line.starts_with(char::is_lowercase)) {
            Some((name, form)) => forms.push((name.trim().to_string(), form.to_string())),
            None => {
                if let Some((_, form)) = forms.last_mut() {
                    form.push('\n');
                    form.push_str(line);
                }
            }
        }
    }
    let mut grammar = BTreeMap::new();
    for (name, form) in forms {
        let pieces = pieces(&form);
        let mut at = 0;
        let node = alternatives(&pieces, &mut at);
        assert_eq!(at, pieces.len(), "`{name}` closes what it did not open");
        assert!(grammar.insert(name.clone(), node).is_none(), "`{name}` stands twice");
    }
    grammar
}

/// Every piece of every form.
pub fn visit(node: &Node, see: &mut impl FnMut(&Node)) {
    see(node);
    match node {
        Node::All(parts) | Node::One(parts) => parts.iter().for_each(|part| visit(part, see)),
        Node::Maybe(inner) | Node::Many(inner) => visit(inner, see),
        Node::Form(_) | Node::Kept(_) | Node::Word(_) | Node::Sort(_) => {}
    }
}
