//! The metadata packet (ISO 16684-1), with the same values as the document
//! information dictionary and the claim to PDF/A-3b (ISO 19005-3, 6.6).

use super::text::{Day, plain};
use crate::layout::mark::Document;

/// The packet, as it stands uncompressed in the file.
pub fn packet(document: &Document, day: Option<Day<'_>>, tool: &str, producer: &str) -> String {
    let mut lines = vec![
        "<?xpacket begin=\"\u{FEFF}\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>".to_string(),
        "<x:xmpmeta xmlns:x=\"adobe:ns:meta/\">".to_string(),
        "<rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">".to_string(),
        description("pdfaid", "http://www.aiim.org/pdfa/ns/id/"),
        element("pdfaid:part", "3"),
        element("pdfaid:conformance", "B"),
        END.to_string(),
        description("dc", "http://purl.org/dc/elements/1.1/"),
        alternatives("dc:title", &document.title),
        alternatives("dc:description", &document.subject),
        list("dc:creator", "Seq", &document.author),
        list("dc:language", "Bag", &document.language),
        END.to_string(),
        description("pdf", "http://ns.adobe.com/pdf/1.3/"),
        element("pdf:Producer", producer),
        END.to_string(),
        description("xmp", "http://ns.adobe.com/xap/1.0/"),
        element("xmp:CreatorTool", tool),
    ];
    if let Some(day) = day {
        lines.push(element("xmp:CreateDate", &day.xmp()));
        lines.push(element("xmp:ModifyDate", &day.xmp()));
    }
    lines.push(END.to_string());
    lines.push("</rdf:RDF>\n</x:xmpmeta>\n<?xpacket end=\"r\"?>".to_string());
    lines.retain(|line| !line.is_empty());
    lines.join("\n")
}

const END: &str = "</rdf:Description>";

fn description(prefix: &str, name: &str) -> String {
    format!("<rdf:Description rdf:about=\"\" xmlns:{prefix}=\"{name}\">")
}

fn element(name: &str, value: &str) -> String {
    format!("<{name}>{}</{name}>", escaped(value))
}

/// Nothing for an empty value: the dictionary leaves it out too.
fn alternatives(name: &str, value: &str) -> String {
    if value.is_empty() {
        return String::new();
    }
    let value = escaped(value);
    format!("<{name}><rdf:Alt><rdf:li xml:lang=\"x-default\">{value}</rdf:li></rdf:Alt></{name}>")
}

fn list(name: &str, kind: &str, value: &str) -> String {
    if value.is_empty() {
        return String::new();
    }
    let value = escaped(value);
    format!("<{name}><rdf:{kind}><rdf:li>{value}</rdf:li></rdf:{kind}></{name}>")
}

fn escaped(value: &str) -> String {
    let value = plain(value).replace('&', "&amp;");
    value.replace('<', "&lt;").replace('>', "&gt;")
}
