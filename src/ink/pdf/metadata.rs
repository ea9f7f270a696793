//! What the file says about itself: title, author, language, and that it is PDF/UA-1.

use super::strings::{dictionary, name, words};
use crate::ink::document::Document;
use crate::ink::markup::escaped;
use lopdf::{Dictionary, Stream};

const PRODUCER: &str = concat!(env!("CARGO_PKG_NAME"), " ", env!("CARGO_PKG_VERSION"));

/// The document's language; English where it doesn't say.
pub(super) fn language(document: &Document) -> &str {
    if document.language.is_empty() { "en" } else { &document.language }
}

/// The information dictionary (ISO 32000-1, 14.3.3). It has no dates: the same lesson gives the
/// same bytes.
pub(super) fn information(document: &Document) -> Dictionary {
    let mut entries =
        dictionary([("Title", words(&document.title)), ("Producer", words(PRODUCER))]);
    if !document.author.is_empty() {
        entries.set("Author", words(&document.author));
    }
    entries
}

/// The same as XMP (ISO 16684-1).
pub(super) fn stream(document: &Document) -> Stream {
    let title = escaped(&document.title);
    let language = escaped(language(document));
    let creator = match escaped(&document.author) {
        author if author.is_empty() => String::new(),
        author => {
            format!("<dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>\n")
        }
    };
    let packet = format!(
        r#"<?xpacket begin="{mark}" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
{creator}<dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>
<pdf:Producer>{PRODUCER}</pdf:Producer>
<pdfuaid:part>1</pdfuaid:part>
</rdf:Description></rdf:RDF></x:xmpmeta>
<?xpacket end="r"?>"#,
        mark = '\u{FEFF}'
    );
    let entries = dictionary([("Type", name("Metadata")), ("Subtype", name("XML"))]);
    // Left as it is, so that any program may read it.
    Stream::new(entries, packet.into_bytes()).with_compression(false)
}
