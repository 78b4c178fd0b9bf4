//! A reader of JSON for tests: apart from the writer, and it keeps the order of keys.

use std::iter::Peekable;
use std::str::Chars;

/// A value.
#[derive(Clone, Debug, PartialEq)]
pub enum Json {
    /// A text.
    Text(String),
    /// A number, `true`, `false` or `null`, as written.
    Other(String),
    /// A list.
    List(Vec<Json>),
    /// Keys with values, in their order.
    Keys(Vec<(String, Json)>),
}

static NULL: Json = Json::Other(String::new());

impl Json {
    /// Reads one document that fills the whole text.
    pub fn read(text: &str) -> Result<Json, String> {
        let mut reader = Reader(text.chars().peekable());
        let value = reader.value()?;
        reader.blanks();
        match reader.0.next() {
            None => Ok(value),
            Some(more) => Err(format!("`{more}` after the end")),
        }
    }

    /// The value of a key; a value of its own kind where there is none.
    pub fn at(&self, key: &str) -> &Json {
        match self {
            Json::Keys(keys) => keys.iter().find(|(known, _)| known == key).map_or(&NULL, |(_, value)| value),
            _ => &NULL,
        }
    }

    /// The keys in order.
    pub fn keys(&self) -> Vec<&str> {
        match self {
            Json::Keys(keys) => keys.iter().map(|(key, _)| key.as_str()).collect(),
            _ => Vec::new(),
        }
    }

    /// The values of a list.
    pub fn list(&self) -> &[Json] {
        match self {
            Json::List(list) => list,
            _ => &[],
        }
    }

    /// All keys anywhere in it.
    pub fn all_keys(&self, out: &mut Vec<String>) {
        match self {
            Json::Keys(keys) => {
                for (key, value) in keys {
                    out.push(key.clone());
                    value.all_keys(out);
                }
            }
            Json::List(list) => list.iter().for_each(|value| value.all_keys(out)),
            _ => {}
        }
    }
}

struct Reader<'t>(Peekable<Chars<'t>>);

impl Reader<'_> {
    fn blanks(&mut self) {
        while self.0.next_if(|letter| letter.is_ascii_whitespace()).is_some() {}
    }

    fn expect(&mut self, wanted: char) -> Result<(), String> {
        self.blanks();
        match self.0.next() {
            Some(letter) if letter == wanted => Ok(()),
            other => Err(format!("{other:?} where `{wanted}` belongs")),
        }
    }

    fn value(&mut self) -> Result<Json, String> {
        self.blanks();
        match self.0.peek() {
            Some('"') => self.text().map(Json::Text),
            Some('[') => self.several('[', ']', Reader::value).map(Json::List),
            Some('{') => self
                .several('{', '}', |reader| {
                    reader.blanks();
                    let key = reader.text()?;
                    reader.expect(':')?;
                    Ok((key, reader.value()?))
                })
                .map(Json::Keys),
            _ => {
                let mut word = String::new();
                while let Some(letter) = self.0.next_if(|letter| letter.is_alphanumeric() || "-+.".contains(*letter)) {
                    word.push(letter);
                }
                let number = word.parse::<f64>().is_ok();
                if number || ["true", "false", "null"].contains(&word.as_str()) {
                    Ok(Json::Other(word))
                } else {
                    Err(format!("`{word}` is no value"))
                }
            }
        }
    }

    fn several<T>(
        &mut self,
        open: char,
        close: char,
        one: impl Fn(&mut Self) -> Result<T, String>,
    ) -> Result<Vec<T>, String> {
        self.expect(open)?;
        let mut all = Vec::new();
        self.blanks();
        if self.0.next_if_eq(&close).is_some() {
            return Ok(all);
        }
        loop {
            all.push(one(self)?);
            self.blanks();
            match self.0.next() {
                Some(',') => {}
                Some(letter) if letter == close => return Ok(all),
                other => return Err(format!("{other:?} in a list")),
            }
        }
    }

    fn text(&mut self) -> Result<String, String> {
        self.expect('"')?;
        let mut text = String::new();
        loop {
            match self.0.next().ok_or("a text that is not closed")? {
                '"' => return Ok(text),
                '\\' => match self.0.next().ok_or("a text that is not closed")? {
                    'n' => text.push('\n'),
                    't' => text.push('\t'),
                    'r' => text.push('\r'),
                    'u' => {
                        let digits: String = (0..4).filter_map(|_| self.0.next()).collect();
                        let code = u32::from_str_radix(&digits, 16).map_err(|error| error.to_string())?;
                        text.push(char::from_u32(code).unwrap_or('\u{fffd}'));
                    }
                    letter => text.push(letter),
                },
                letter if letter < ' ' => return Err("a line break inside a text".to_string()),
                letter => text.push(letter),
            }
        }
    }
}

#[test]
fn the_reader_keeps_order_and_refuses_what_is_no_json() {
    let value = Json::read("{\"b\": [1, \"x\\n\\u00b5\", null], \"a\": {}}").unwrap();
    assert_eq!(value.keys(), ["b", "a"]);
    assert_eq!(value.at("b").list()[1], Json::Text("x\nµ".to_string()));
    for wrong in ["{", "[1,]", "{\"a\" 1}", "nul", "\"open", "1 2", "{\"a\":1,}"] {
        assert!(Json::read(wrong).is_err(), "{wrong}");
    }
}
