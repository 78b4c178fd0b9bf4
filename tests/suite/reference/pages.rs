//! The pages of the reference, with their fenced blocks.

use crate::shelf::root;

/// What a fenced block is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A file of the language that is in order.
    Knock,
    /// What is printed for the one job of the block before it.
    Answer,
    /// A file with a mistake of this code.
    Wrong(String),
    /// Anything else.
    Other,
}

/// A fenced block.
#[derive(Clone, Debug)]
pub struct Block {
    /// What it is.
    pub kind: Kind,
    /// What stands in it.
    pub text: String,
    /// The line of the page its fence stands on.
    pub line: usize,
}

/// A page.
#[derive(Clone, Debug)]
pub struct Page {
    /// Its name from the top of the repository.
    pub path: String,
    /// All of it.
    pub text: String,
    /// Its blocks.
    pub blocks: Vec<Block>,
}

impl Page {
    /// Reads a page.
    pub fn new(path: &str, text: String) -> Page {
        let mut blocks: Vec<Block> = Vec::new();
        let mut open = false;
        for (number, line) in text.lines().enumerate() {
            match (line.strip_prefix("```"), open) {
                (Some(_), true) => open = false,
                (Some(tag), false) => {
                    open = true;
                    let kind = match tag.split_whitespace().collect::<Vec<_>>().as_slice() {
                        ["knock"] => Kind::Knock,
                        ["answer"] => Kind::Answer,
                        ["wrong", code] => Kind::Wrong((*code).to_string()),
                        _ => Kind::Other,
                    };
                    blocks.push(Block { kind, text: String::new(), line: number + 1 });
                }
                (None, true) => {
                    if let Some(block) = blocks.last_mut() {
                        block.text.push_str(line);
                        block.text.push('\n');
                    }
                }
                (None, false) => {}
            }
        }
        Page { path: path.to_string(), text, blocks }
    }

    /// The page with other texts in some of its blocks.
    pub fn with(&self, texts: &[(&Block, String)]) -> String {
        let mut out = String::new();
        let mut inside: Option<usize> = None;
        for (number, line) in self.text.lines().enumerate() {
            let fence = line.starts_with("```");
            if inside.is_none() {
                out.push_str(line);
                out.push('\n');
                if fence {
                    inside = Some(number + 1);
                    if let Some((_, text)) = texts.iter().find(|(block, _)| block.line == number + 1) {
                        out.push_str(text);
                    }
                }
                continue;
            }
            let replaced = texts.iter().any(|(block, _)| Some(block.line) == inside);
            if fence || !replaced {
                out.push_str(line);
                out.push('\n');
            }
            if fence {
                inside = None;
            }
        }
        out
    }

    /// Its name: the heading.
    pub fn title(&self) -> &str {
        self.text.lines().next().unwrap_or("").trim_start_matches("# ")
    }

    /// The file's name without its folder and ending.
    pub fn stem(&self) -> &str {
        self.path.rsplit('/').next().unwrap_or("").trim_end_matches(".md")
    }

    /// The first sentence under the heading, on one line.
    pub fn first_sentence(&self) -> String {
        let lines = self.text.lines().skip(1).skip_while(|line| line.is_empty()).take_while(|line| !line.is_empty());
        let paragraph = lines.collect::<Vec<_>>().join(" ");
        match paragraph.split_once(". ") {
            Some((first, _)) => format!("{first}."),
            None => paragraph,
        }
    }

    /// What stands under `## Form`, without its indent.
    pub fn form(&self) -> String {
        let section = self.text.split("\n## Form\n").nth(1).unwrap_or("").split("\n## ").next().unwrap_or("");
        section.lines().filter_map(|line| line.strip_prefix("    ")).map(|line| format!("{line}\n")).collect()
    }
}

/// All pages of the reference, in the order of their names.
pub fn all_pages() -> Vec<Page> {
    let mut found = Vec::new();
    let mut open = vec!["lang/reference".to_string()];
    while let Some(folder) = open.pop() {
        for entry in std::fs::read_dir(root().join(&folder)).unwrap().flatten() {
            let path = format!("{folder}/{}", entry.file_name().to_string_lossy());
            if entry.path().is_dir() {
                open.push(path);
            } else if path.ends_with(".md") {
                found.push(path);
            }
        }
    }
    found.sort();
    found.into_iter().map(|path| Page::new(&path, std::fs::read_to_string(root().join(&path)).unwrap())).collect()
}
