//! Where in the text of a job each number stands, by the path of its field.
//!
//! The reader of the file's grammar tells the place of what it cannot read, but a number that it
//! reads and that no slab can have (`NaN`, `1e300`) is only found afterwards, by its field. This
//! walks over the text once more, follows the fields and list positions it is in, and gives the
//! place of every number. It knows just enough of the grammar for that: fields, lists, maps,
//! strings and comments.

/// A number of the text.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct NumberPlace {
    /// Its field, as `outline.sides[2].start`; parts of a pair share the field of the pair.
    pub(super) field: String,
    /// The character at which it starts, from 0.
    pub(super) at: usize,
    /// Its value; not finite when written so.
    pub(super) value: f64,
}

/// One level of nesting.
enum Level {
    /// In round brackets, at a field or at none.
    Round(Option<String>),
    /// In a list, at this position.
    List(usize),
    /// In a map, at this key.
    Map(Option<String>),
}

/// Every number of the text in order.
pub(super) fn numbers(text: &str) -> Vec<NumberPlace> {
    let characters: Vec<char> = text.chars().collect();
    let mut walker = Walker { characters: &characters, at: 0, levels: Vec::new() };
    let mut found = Vec::new();
    while let Some(next) = walker.peek() {
        walker.step(next, &mut found);
    }
    found
}

struct Walker<'text> {
    characters: &'text [char],
    at: usize,
    levels: Vec<Level>,
}

impl Walker<'_> {
    fn peek(&self) -> Option<char> {
        self.characters.get(self.at).copied()
    }

    fn ahead(&self, places: usize) -> Option<char> {
        self.characters.get(self.at + places).copied()
    }

    fn step(&mut self, next: char, found: &mut Vec<NumberPlace>) {
        match next {
            '(' => self.open(Level::Round(None)),
            '[' => self.open(Level::List(0)),
            '{' => self.open(Level::Map(None)),
            ')' | ']' | '}' => {
                self.levels.pop();
                self.at += 1;
            }
            ',' => {
                match self.levels.last_mut() {
                    Some(Level::Round(field)) => *field = None,
                    Some(Level::List(position)) => *position += 1,
                    Some(Level::Map(key)) => *key = None,
                    None => {}
                }
                self.at += 1;
            }
            '"' => self.skip_string(),
            '/' if self.ahead(1) == Some('/') => {
                while self.peek().is_some_and(|next| next != '\n') {
                    self.at += 1;
                }
            }
            '/' if self.ahead(1) == Some('*') => self.skip_comment(),
            letter if letter.is_alphabetic() || letter == '_' => self.word(found),
            digit if digit.is_ascii_digit() || "+-.".contains(digit) => self.number(found),
            _ => self.at += 1,
        }
    }

    fn open(&mut self, level: Level) {
        self.levels.push(level);
        self.at += 1;
    }

    fn skip_string(&mut self) {
        self.at += 1;
        while let Some(next) = self.peek() {
            self.at += if next == '\\' { 2 } else { 1 };
            if next == '"' {
                break;
            }
        }
    }

    fn skip_comment(&mut self) {
        self.at += 2;
        while self.peek().is_some() && !(self.peek() == Some('*') && self.ahead(1) == Some('/')) {
            self.at += 1;
        }
        self.at += 2;
    }

    fn take(&mut self, is_wanted: impl Fn(char) -> bool) -> String {
        let here = self.characters.iter().skip(self.at).copied();
        let taken: String = here.take_while(|&next| is_wanted(next)).collect();
        self.at += taken.chars().count();
        taken
    }

    /// Whether a colon follows, blanks aside: then what stood here names a field or key.
    fn is_before_colon(&self) -> bool {
        let mut after =
            self.characters.iter().skip(self.at).skip_while(|next| next.is_whitespace());
        after.next() == Some(&':')
    }

    fn word(&mut self, found: &mut Vec<NumberPlace>) {
        let start = self.at;
        let word = self.take(|next| next.is_alphanumeric() || next == '_');
        // A raw string, r"…" or r#"…"#, holds no numbers: read over it.
        if word == "r" && matches!(self.peek(), Some('"' | '#')) {
            let hashes = self.take(|next| next == '#').chars().count();
            self.at += 1;
            while self.peek().is_some() {
                let is_end = self.peek() == Some('"')
                    && (1..=hashes).all(|place| self.ahead(place) == Some('#'));
                self.at += 1;
                if is_end {
                    self.at += hashes;
                    break;
                }
            }
        } else if self.is_before_colon() {
            if let Some(Level::Round(field)) = self.levels.last_mut() {
                *field = Some(word);
            }
        } else if matches!(word.as_str(), "NaN" | "inf") {
            found.push(NumberPlace { field: self.field(), at: start, value: f64::NAN });
        }
    }

    fn number(&mut self, found: &mut Vec<NumberPlace>) {
        let start = self.at;
        self.at += 1;
        let first = self.characters.get(start).copied().unwrap_or('0');
        if "+-".contains(first) && self.peek().is_some_and(char::is_alphabetic) {
            return; // The word of -inf follows.
        }
        let mut text = String::from(first);
        while let Some(next) = self.peek() {
            let is_exponent_sign = "+-".contains(next) && text.ends_with(['e', 'E']);
            if next.is_alphanumeric() || matches!(next, '.' | '_') || is_exponent_sign {
                text.push(next);
                self.at += 1;
            } else {
                break;
            }
        }
        if self.is_before_colon() {
            if let Some(Level::Map(key)) = self.levels.last_mut() {
                *key = Some(text);
            }
            return;
        }
        let value = text.replace('_', "").parse().unwrap_or(0.0);
        found.push(NumberPlace { field: self.field(), at: start, value });
    }

    fn field(&self) -> String {
        let mut path = String::new();
        for level in &self.levels {
            match level {
                Level::Round(Some(field)) => {
                    if !path.is_empty() {
                        path.push('.');
                    }
                    path.push_str(field);
                }
                Level::List(position) => path.push_str(&format!("[{position}]")),
                Level::Map(Some(key)) => path.push_str(&format!("[{key}]")),
                Level::Round(None) | Level::Map(None) => {}
            }
        }
        path
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_their_fields_and_places() {
        let text = "( schema: 1, // 99\n a: [(x: (2.0, -NaN)), (x: (3.5, 1e300))], /* 7 */\n\
             s: \"a 12 \\\" 13\", r: r#\"5 \" 6\"#, m: { 4: Thick((d: 8_0)) }, b: inf)";
        let found = numbers(text);
        let seen: Vec<(&str, f64)> =
            found.iter().map(|number| (number.field.as_str(), number.value)).collect();
        assert_eq!(seen[0], ("schema", 1.0));
        assert_eq!(seen[1], ("a[0].x", 2.0));
        assert!(seen[2].0 == "a[0].x" && seen[2].1.is_nan());
        assert_eq!(seen[3], ("a[1].x", 3.5));
        assert_eq!(seen[4], ("a[1].x", 1e300));
        assert_eq!(seen[5], ("m[4].d", 80.0));
        assert!(seen[6].0 == "b" && seen[6].1.is_nan());
        assert_eq!(seen.len(), 7);
        assert_eq!(text.chars().nth(found[3].at), Some('3'));
    }
}
