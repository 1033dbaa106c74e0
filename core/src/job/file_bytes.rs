//! A small file kept whole inside the job: base64 text in the job's file, one shared allocation
//! in memory.
//!
//! The text is that of RFC 4648, section 4: the standard alphabet, padded, on one line. Reading
//! refuses everything else, so that one file has one spelling. Limit: [`MOST_BYTES`], which as
//! text leaves the rest of a job room within the largest job file that is read.

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::sync::Arc;

/// The most bytes that are kept inside a job.
pub const MOST_BYTES: usize = 8_000_000;

/// Bytes of a file; none when it lies beside the job. Copies share one allocation, and comparing
/// a copy with what it was copied from costs nothing.
#[derive(Clone, Default)]
pub struct FileBytes(Arc<[u8]>);

impl FileBytes {
    /// These bytes; `None` when they are more than a job may hold.
    #[must_use]
    pub fn new(bytes: &[u8]) -> Option<Self> {
        (bytes.len() <= MOST_BYTES).then(|| Self(Arc::from(bytes)))
    }

    /// The bytes.
    #[must_use]
    pub fn bytes(&self) -> &[u8] {
        &self.0
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The same bytes for another thread to read, without a copy.
    #[must_use]
    pub fn shared(&self) -> Arc<[u8]> {
        Arc::clone(&self.0)
    }
}

impl PartialEq for FileBytes {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0) || self.0 == other.0
    }
}

impl Eq for FileBytes {}

impl std::fmt::Debug for FileBytes {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(formatter, "FileBytes({} bytes)", self.0.len())
    }
}

impl Serialize for FileBytes {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&base64_of(&self.0))
    }
}

impl<'de> Deserialize<'de> for FileBytes {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        let bytes = bytes_of(&text)
            .ok_or_else(|| D::Error::custom("This is no base64 text of a file, or it was cut"))?;
        Self::new(&bytes).ok_or_else(|| {
            D::Error::custom(format!(
                "The file kept here is larger than {} megabytes: keep it beside the job",
                MOST_BYTES / 1_000_000
            ))
        })
    }
}

/// The letter of six bits.
fn letter(six: u8) -> char {
    char::from(match six & 63 {
        upper @ 0..=25 => b'A' + upper,
        lower @ 26..=51 => b'a' + (lower - 26),
        figure @ 52..=61 => b'0' + (figure - 52),
        62 => b'+',
        _ => b'/',
    })
}

/// The six bits of a letter.
fn six_of(letter: u8) -> Option<u8> {
    Some(match letter {
        b'A'..=b'Z' => letter - b'A',
        b'a'..=b'z' => letter - b'a' + 26,
        b'0'..=b'9' => letter - b'0' + 52,
        b'+' => 62,
        b'/' => 63,
        _ => return None,
    })
}

fn base64_of(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let byte = |place: usize| u32::from(three.get(place).copied().unwrap_or(0));
        let bits = byte(0) << 16 | byte(1) << 8 | byte(2);
        for (place, shift) in [18, 12, 6, 0].into_iter().enumerate() {
            let is_given = place <= three.len();
            text.push(if is_given { letter((bits >> shift) as u8) } else { '=' });
        }
    }
    text
}

/// The bytes of base64 text; `None` when it is not the one spelling of any bytes.
fn bytes_of(text: &str) -> Option<Vec<u8>> {
    if !text.len().is_multiple_of(4) {
        return None;
    }
    let letters = text.trim_end_matches('=');
    if text.len() - letters.len() > 2 {
        return None;
    }
    let mut bytes = Vec::with_capacity(text.len() / 4 * 3);
    for four in letters.as_bytes().chunks(4) {
        let mut bits = 0_u32;
        for place in 0..4 {
            let six = four.get(place).map_or(Some(0), |letter| six_of(*letter))?;
            bits = bits << 6 | u32::from(six);
        }
        let [_, all @ ..] = bits.to_be_bytes();
        // Two letters hold one byte, three hold two; the bits over must be zero.
        let count = match four.len() {
            2 => 1,
            3 => 2,
            4 => 3,
            _ => return None,
        };
        let (kept, over) = all.split_at_checked(count)?;
        if over.iter().any(|byte| *byte != 0) {
            return None;
        }
        bytes.extend_from_slice(kept);
    }
    Some(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 4648, section 10.
    const PUBLISHED: [(&str, &str); 7] = [
        ("", ""),
        ("f", "Zg=="),
        ("fo", "Zm8="),
        ("foo", "Zm9v"),
        ("foob", "Zm9vYg=="),
        ("fooba", "Zm9vYmE="),
        ("foobar", "Zm9vYmFy"),
    ];

    #[test]
    fn the_published_vectors_hold_both_ways() {
        for (plain, text) in PUBLISHED {
            assert_eq!(base64_of(plain.as_bytes()), text);
            assert_eq!(bytes_of(text).unwrap(), plain.as_bytes());
        }
    }

    #[test]
    fn every_byte_comes_back_at_every_place_in_a_group() {
        for lead in 0..3 {
            let bytes: Vec<u8> = std::iter::repeat_n(7, lead).chain(0..=255).collect();
            assert_eq!(bytes_of(&base64_of(&bytes)).unwrap(), bytes);
        }
    }

    #[test]
    fn other_spellings_are_refused() {
        for wrong in ["Zg", "Zg=", "Z===", "Zh==", "Zm9=", "Zm 9", "Zm9_", "====", "Zg==Zg=="] {
            assert_eq!(bytes_of(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn more_than_a_job_may_hold_is_refused() {
        assert!(FileBytes::new(&vec![0; MOST_BYTES]).is_some());
        assert!(FileBytes::new(&vec![0; MOST_BYTES + 1]).is_none());
        let text = base64_of(&vec![0; MOST_BYTES]);
        assert!(text.len() < crate::job::file::LARGEST_FILE * 3 / 4);
    }
}
