//! Where a figure comes from, and how well it is known.

/// How a figure came into the tables.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum HowKnown {
    /// Read in the document named.
    Read,
    /// Read in another document that quotes the one named.
    SecondHand,
    /// From memory: to be confirmed before it becomes a hard rule.
    Memory,
    /// Common practice of the trade, without a document.
    Practice,
    /// Computed for this project; the place says how.
    Derived,
}

impl HowKnown {
    /// In words, for a source note.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::SecondHand => "as quoted elsewhere",
            Self::Memory => "from memory, to be confirmed",
            Self::Practice => "common practice",
            Self::Derived => "computed here",
        }
    }
}

/// A document, and where in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Source {
    /// The document's name or number.
    pub document: &'static str,
    /// Its edition or year; empty when not known.
    pub edition: &'static str,
    /// Clause, table or page; for a computed figure how it was computed.
    pub place: &'static str,
    /// How well it is known.
    pub how_known: HowKnown,
}

impl Source {
    /// A source with all its parts.
    #[must_use]
    pub const fn new(
        document: &'static str,
        edition: &'static str,
        place: &'static str,
        how_known: HowKnown,
    ) -> Self {
        Self { document, edition, place, how_known }
    }

    /// Common practice, in the words given.
    #[must_use]
    pub const fn practice(place: &'static str) -> Self {
        Self::new("common practice", "", place, HowKnown::Practice)
    }
}

impl std::fmt::Display for Source {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.document)?;
        if !self.edition.is_empty() {
            write!(f, " ({})", self.edition)?;
        }
        if !self.place.is_empty() {
            write!(f, ", {}", self.place)?;
        }
        match self.how_known {
            HowKnown::Read | HowKnown::Practice => Ok(()),
            other => write!(f, " [{}]", other.words()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_source_reads_like_a_note() {
        let source = Source::new("EN 1264-2", "2008", "Table A.2", HowKnown::Memory);
        assert_eq!(
            source.to_string(),
            "EN 1264-2 (2008), Table A.2 [from memory, to be confirmed]"
        );
        assert_eq!(Source::practice("ties at 3 ft").to_string(), "common practice, ties at 3 ft");
    }
}
