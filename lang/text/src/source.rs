//! Texts, the files they came from, spans in them, and the one line table everybody reads.
//!
//! Offsets are bytes, lines and columns are for people. A line ends at `\r\n`, `\n` or a bare `\r`
//! and nowhere else: an editor, a report and a test log that count differently would send a person
//! to the wrong rule.

/// The number of a text in [`Sources`]; only valid there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(pub u32);

/// A run of bytes of one text, from `start` up to but without `end`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// The text.
    pub file: FileId,
    /// The first byte.
    pub start: u32,
    /// The byte after the last.
    pub end: u32,
}

impl Span {
    /// The bytes `start..end` of `file`; an `end` before `start` gives the empty span at `start`.
    pub fn new(file: FileId, start: u32, end: u32) -> Span {
        Span { file, start, end: end.max(start) }
    }

    /// The smallest span that holds both. Spans of two different texts have no common cover: `self` stays.
    #[must_use]
    pub fn cover(self, other: Span) -> Span {
        if self.file == other.file {
            Span { file: self.file, start: self.start.min(other.start), end: self.end.max(other.end) }
        } else {
            self
        }
    }

    /// The length in bytes.
    pub fn len(self) -> u32 {
        self.end.saturating_sub(self.start)
    }

    /// Whether the span holds no byte.
    pub fn is_empty(self) -> bool {
        self.len() == 0
    }
}

/// A place as people count it: the first character of a text is line 1, column 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// The line, from 1.
    pub line: u32,
    /// The column in characters (Unicode scalar values; a tab counts one), from 1.
    pub column: u32,
}

/// One text with its name and its line table.
#[derive(Clone, Debug)]
pub struct Source {
    name: String,
    text: String,
    // INVARIANT: never empty, begins with 0, strictly ascending, each a character boundary of `text`.
    line_starts: Vec<u32>,
}

impl Source {
    fn new(name: String, text: String) -> Source {
        let line_starts = starts_of_lines(&text);
        Source { name, text, line_starts }
    }

    /// The name shown to people, such as a path.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The whole text.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The length in bytes, saturating at `u32::MAX`.
    pub fn len(&self) -> u32 {
        saturated(self.text.len())
    }

    /// Whether the text holds nothing.
    pub fn is_empty(&self) -> bool {
        self.text.is_empty()
    }

    /// The number of lines: one more than the number of line ends, so at least 1.
    pub fn line_count(&self) -> u32 {
        saturated(self.line_starts.len())
    }

    /// The first byte of `line` (from 1), `None` if there is no such line.
    pub fn line_start(&self, line: u32) -> Option<u32> {
        let index = usize::try_from(line.checked_sub(1)?).ok()?;
        self.line_starts.get(index).copied()
    }

    /// The text of `line` (from 1) without its line end; `""` if there is no such line.
    pub fn line_text(&self, line: u32) -> &str {
        let Some(start) = self.line_start(line) else {
            return "";
        };
        let whole = match self.line_start(line.saturating_add(1)) {
            Some(next) => self.text.get(start as usize..next as usize),
            None => self.text.get(start as usize..),
        }
        .unwrap_or("");
        whole.strip_suffix("\r\n").or_else(|| whole.strip_suffix(['\n', '\r'])).unwrap_or(whole)
    }

    /// The place of a byte. A byte past the end counts as the end, one inside a character as that
    /// character's first.
    pub fn place_at(&self, byte: u32) -> Place {
        let mut byte = (byte as usize).min(self.text.len());
        while !self.text.is_char_boundary(byte) {
            byte -= 1; // 0 is always a boundary
        }
        let line = self.line_starts.partition_point(|start| *start as usize <= byte);
        let start = line.checked_sub(1).and_then(|index| self.line_starts.get(index)).copied().unwrap_or(0);
        let before = self.text.get(start as usize..byte).map_or(0, |text| text.chars().count());
        Place { line: saturated(line), column: saturated(before).saturating_add(1) }
    }
}

/// The texts of one session, in the order they were added. Nothing is ever taken out, so a [`FileId`]
/// stays good.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    sources: Vec<Source>,
}

impl Sources {
    /// No texts yet.
    pub fn new() -> Sources {
        Sources::default()
    }

    /// Takes a text as it is and says under which number. Spans hold 32-bit offsets: in a text of
    /// 4 GiB or more everything past the first `u32::MAX` bytes counts as one last line.
    pub fn add(&mut self, name: impl Into<String>, text: impl Into<String>) -> FileId {
        let id = FileId(saturated(self.sources.len()));
        self.sources.push(Source::new(name.into(), text.into()));
        id
    }

    /// The text of that number.
    pub fn get(&self, file: FileId) -> Option<&Source> {
        self.sources.get(file.0 as usize)
    }

    /// Every text, in the order of their numbers.
    pub fn iter(&self) -> impl Iterator<Item = (FileId, &Source)> {
        self.sources.iter().enumerate().map(|(index, source)| (FileId(saturated(index)), source))
    }

    /// The text of a span; `""` if it leaves the text, cuts a character or names no text.
    pub fn slice(&self, span: Span) -> &str {
        self.get(span.file).and_then(|source| source.text.get(span.start as usize..span.end as usize)).unwrap_or("")
    }

    /// The place of a span's start; line 1, column 1 if the span names no text.
    pub fn place(&self, span: Span) -> Place {
        self.get(span.file).map_or(Place { line: 1, column: 1 }, |source| source.place_at(span.start))
    }
}

/// Where each line of a text begins; a line ends with `\n`, `\r\n` or a bare `\r`.
pub fn starts_of_lines(text: &str) -> Vec<u32> {
    let mut starts = vec![0];
    let mut bytes = text.bytes().enumerate().peekable();
    while let Some((index, byte)) = bytes.next() {
        let ends = match byte {
            b'\n' => true,
            // The `\n` of a `\r\n` ends the line, not its `\r`.
            b'\r' => bytes.peek().is_none_or(|(_, next)| *next != b'\n'),
            _ => false,
        };
        if ends {
            match u32::try_from(index + 1) {
                Ok(start) => starts.push(start),
                Err(_) => break,
            }
        }
    }
    starts
}

fn saturated(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests;
