//! The file's metadata as an XMP packet (ISO 16684-1), beside the old information dictionary.
//!
//! The same facts in both, as ISO 19005 asks of files that are kept; no conformance to it is
//! claimed. Dates come from the plan, so the same job gives the same bytes.

use super::{CREATOR, DocumentFacts};

/// The packet as text.
pub(super) fn packet(facts: &DocumentFacts) -> String {
    let mut said = String::new();
    let mut alternative = |name: &str, words: &str| {
        if !words.is_empty() {
            said.push_str(&format!(
                "<dc:{name}><rdf:Alt><rdf:li xml:lang=\"x-default\">{}</rdf:li></rdf:Alt></dc:{name}>\n",
                escaped(words)
            ));
        }
    };
    alternative("title", &facts.title);
    alternative("description", &facts.subject);
    if !facts.author.is_empty() {
        said.push_str(&format!(
            "<dc:creator><rdf:Seq><rdf:li>{}</rdf:li></rdf:Seq></dc:creator>\n",
            escaped(&facts.author)
        ));
    }
    if let Some((year, month, day)) = facts.date {
        said.push_str(&format!("<xmp:CreateDate>{year:04}-{month:02}-{day:02}</xmp:CreateDate>\n"));
    }
    format!(
        "<?xpacket begin=\"\u{feff}\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n\
         <x:xmpmeta xmlns:x=\"adobe:ns:meta/\">\n\
         <rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n\
         <rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\" \
         xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\">\n\
         <dc:format>application/pdf</dc:format>\n\
         <dc:language><rdf:Bag><rdf:li>en-US</rdf:li></rdf:Bag></dc:language>\n\
         {said}<xmp:CreatorTool>{CREATOR}</xmp:CreatorTool>\n\
         </rdf:Description>\n</rdf:RDF>\n</x:xmpmeta>\n<?xpacket end=\"r\"?>"
    )
}

/// Text for XML: marks of the language by name, characters that it does not know left out.
fn escaped(words: &str) -> String {
    let mut text = String::with_capacity(words.len());
    for character in words.chars() {
        match character {
            '&' => text.push_str("&amp;"),
            '<' => text.push_str("&lt;"),
            '>' => text.push_str("&gt;"),
            '"' => text.push_str("&quot;"),
            '\t' | '\n' => text.push(' '),
            other if other.is_control() => {}
            other => text.push(other),
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn facts_stand_in_it_escaped() {
        let facts = DocumentFacts {
            title: "Barn & <shed>".into(),
            date: Some((2026, 5, 4)),
            ..DocumentFacts::default()
        };
        let text = packet(&facts);
        assert!(text.contains("Barn &amp; &lt;shed&gt;") && text.contains("2026-05-04"));
        assert!(!text.contains("dc:creator"), "what is not known is not said");
    }
}
