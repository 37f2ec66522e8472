//! Marks to a PDF. The only file that names printpdf.
//!
//! printpdf holds the document, its pages, typefaces and forms. The content of
//! pages and forms comes ready-made from `content.rs`: written operator by
//! operator it would cost more than all the rest. What printpdf leaves short of
//! PDF/A is mended by [`super::finish::conform`].

use std::collections::BTreeMap;
use std::sync::Arc;

use printpdf::{
    DictItem, ExternalStream, ExternalXObject, FontId, FontMetrics, FontType, Op, ParsedFont,
    PdfDocument, PdfFont, PdfFontHandle, PdfFontMetricsStub, PdfPage, PdfSaveOptions, Pt, Rect,
    TextItem, XObject, XObjectId,
};

use super::Pdf;
use super::appearance::UNIT;
use super::content::ContentStream;
use super::glyphs::{GlyphCodes, Subset, resource};
use super::undrawable::Undrawable;
use crate::layout::font::{Metrics, fonts};
use crate::layout::length::Len;
use crate::layout::mark::{Document, Mark, Page, Stamp};

/// How far a form may draw past its origin, in units: past any sheet of paper,
/// since the size of a stamp is for laying out and not for clipping.
const REACH: i64 = 10_000;

/// Draws a document. Equal documents give equal files: nothing comes from the
/// clock or by chance. Text is read out in the order of the marks.
///
/// # Errors
/// [`Undrawable`] where a character has no glyph or two stamps share a name.
pub fn draw(document: &Document) -> Result<Pdf, Undrawable> {
    let mut writer = PageWriter { codes: GlyphCodes::default(), stamps: BTreeMap::new() };
    let mut marks = document.pages.iter().flat_map(|page| &page.marks);
    marks.try_for_each(|mark| writer.meet(mark))?;
    let mut pdf = PdfDocument::new("");
    for page in &document.pages {
        pdf.pages.push(sheet(page, vec![ready(writer.page(page)?)]));
    }
    for (form, stamp) in writer.stamps.values() {
        let object = XObject::External(form_object(writer.form(stamp)?));
        pdf.resources.xobjects.map.insert(XObjectId(form.clone()), object);
    }
    let mut specimen = Vec::new();
    for (face, subset) in writer.codes.subsets()? {
        let id = FontId(resource(face).to_string());
        specimen.extend(show_all(&id, &subset));
        let parsed = embedded(subset, fonts().metrics(face));
        pdf.resources.fonts.map.insert(id, PdfFont::new(parsed));
    }
    pdf.pages.push(PdfPage { ops: specimen, ..blank(Len::ZERO, Len::ZERO) });
    let options = PdfSaveOptions {
        optimize: false,
        subset_fonts: false,
        secure: false,
        image_optimization: None,
    };
    Ok(Pdf::with_specimen(pdf.to_lopdf_document(&options, &mut Vec::new())))
}

/// Letters that a mark takes.
const ABOUT: usize = 60;

/// What the pages of a document share: the codes of letters and the names of
/// forms, given in the order in which they are met. Then pages are drawn apart.
struct PageWriter<'a> {
    codes: GlyphCodes,
    /// Each form by the name of its stamp.
    stamps: BTreeMap<&'a str, (String, &'a Arc<Stamp>)>,
}

impl<'a> PageWriter<'a> {
    fn meet(&mut self, mark: &'a Mark) -> Result<(), Undrawable> {
        if let Mark::Stamp { stamp, .. } = mark {
            match self.stamps.get(stamp.name.as_str()) {
                Some((_, known)) if Arc::ptr_eq(known, stamp) || *known == stamp => return Ok(()),
                Some(_) => return Err(Undrawable::Stamp { name: stamp.name.clone() }),
                None => {
                    let form = format!("S{}", self.stamps.len() + 1);
                    self.stamps.insert(&stamp.name, (form, stamp));
                }
            }
        }
        self.codes.assign(mark)
    }

    fn page(&self, page: &Page) -> Result<String, Undrawable> {
        let mut stream = ContentStream::new(page.height);
        stream.out.reserve(ABOUT * page.marks.len());
        stream.out.push_str(UNIT);
        for mark in &page.marks {
            match mark {
                Mark::Stamp { at, stamp } => {
                    if let Some((form, _)) = self.stamps.get(stamp.name.as_str()) {
                        stream.form(form, *at);
                    }
                }
                mark => stream.mark(mark, &self.codes)?,
            }
        }
        Ok(stream.finish())
    }

    fn form(&self, stamp: &Stamp) -> Result<String, Undrawable> {
        let mut stream = ContentStream::new(Len::ZERO);
        stamp.marks.iter().try_for_each(|mark| stream.mark(mark, &self.codes))?;
        Ok(stream.finish())
    }
}

fn form_object(content: String) -> ExternalXObject {
    let name = |text: &str| DictItem::Name(text.as_bytes().to_vec());
    let reach = [-REACH, -REACH, REACH, REACH].map(DictItem::Int).to_vec();
    let dict =
        [("Type", name("XObject")), ("Subtype", name("Form")), ("BBox", DictItem::Array(reach))];
    ExternalXObject {
        stream: ExternalStream {
            dict: dict.map(|(key, item)| (key.to_string(), item)).into(),
            content: content.into_bytes(),
            compress: true,
        },
        width: None,
        height: None,
        dpi: None,
    }
}

/// Content that is written out as it is. printpdf copies the operators that it
/// does not know, and never looks inside.
fn ready(content: String) -> Op {
    Op::Unknown { key: content, value: Vec::new() }
}

fn sheet(page: &Page, ops: Vec<Op>) -> PdfPage {
    PdfPage { ops, ..blank(page.width, page.height) }
}

fn blank(width: Len, height: Len) -> PdfPage {
    let edge = Rect::from_wh(Pt(width.to_pt() as f32), Pt(height.to_pt() as f32));
    PdfPage { media_box: edge.clone(), trim_box: edge.clone(), crop_box: edge, ops: Vec::new() }
}

/// Shows every letter of a face. printpdf embeds what its own operators show,
/// so they stand on a last page that is taken off again.
fn show_all(id: &FontId, subset: &Subset) -> Vec<Op> {
    let letters = subset.codes.keys().filter_map(|c| char::from_u32(*c));
    vec![
        Op::SetFont { font: PdfFontHandle::External(id.clone()), size: Pt(1.0) },
        Op::ShowText { items: vec![TextItem::Text(letters.collect())] },
    ]
}

fn embedded(subset: Subset, metrics: Metrics) -> ParsedFont {
    let [x_min, y_min, x_max, y_max] = metrics.bounds;
    let slant = f64::from(-metrics.slant).to_radians().tan();
    ParsedFont {
        original_bytes: subset.bytes,
        font_index: 0,
        font_name: Some(subset.name),
        codepoint_to_glyph: subset.codes,
        glyph_widths: subset.advances,
        units_per_em: 1000,
        font_metrics: FontMetrics { ascent: metrics.ascent, descent: metrics.descent },
        font_type: FontType::TrueType,
        pdf_font_metrics: PdfFontMetricsStub {
            units_per_em: 1000,
            x_min,
            y_min,
            x_max,
            y_max,
            caret_slope_rise: 1000,
            caret_slope_run: (slant * 1000.0).round() as i16,
            us_weight_class: metrics.weight,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::mark::{Align, Area, Bookmark, Face, Point, Run};
    use crate::pdf::attachments::{Attachment, Relationship, prepare};
    use crate::pdf::finish::{Unfit, conform};

    fn run(text: &str) -> Mark {
        Mark::Run(Run {
            at: Point::default(),
            text: text.into(),
            face: Face::Regular,
            size: Len::pt(8.0),
            align: Align::Left,
            white: false,
            turn: 0,
        })
    }

    fn comb(width: f64) -> Mark {
        let area = Area { w: Len::mm(width), h: Len::mm(8.6), ..Area::default() };
        let cell = Mark::Hatch { area };
        Mark::Stamp {
            at: Point::default(),
            stamp: Arc::new(Stamp {
                name: "comb".to_string(),
                size: (area.w, area.h),
                marks: vec![cell, run("shaft A")],
            }),
        }
    }

    fn document(marks: Vec<Mark>) -> Document {
        let page = |label: &str, marks| Page {
            width: Len::mm(210.0),
            height: Len::mm(297.0),
            marks,
            label: label.to_string(),
        };
        Document {
            title: "A & B <x>".to_string(),
            subject: String::new(),
            author: "Ø & Co".to_string(),
            language: "en".to_string(),
            date: "2025-03-09".to_string(),
            pages: vec![page("1", marks), page("2", Vec::new())],
            bookmarks: vec![Bookmark { level: 0, title: "Record".to_string(), page: 1 }],
        }
    }

    fn file(document: &Document, carried: &[Attachment]) -> Vec<u8> {
        let pdf = draw(document).expect("drawable");
        conform(pdf, document, carried.iter().cloned().map(prepare).collect()).expect("fit")
    }

    fn count(bytes: &[u8], part: &str) -> usize {
        let windows = bytes.windows(part.len());
        windows.filter(|w| *w == part.as_bytes()).count()
    }

    #[test]
    fn equal_documents_give_equal_bytes_in_one_thread_and_in_eight() {
        let document = document(vec![run("Жуков µ 1.3731"), comb(5.6)]);
        let one = file(&document, &[]);
        std::thread::scope(|scope| {
            let threads: Vec<_> = (0..8).map(|_| scope.spawn(|| file(&document, &[]))).collect();
            for thread in threads {
                assert!(thread.join().expect("drawn") == one);
            }
        });
    }

    #[test]
    fn another_text_is_another_file() {
        let id = |text| {
            let bytes = file(&document(vec![run(text)]), &[]);
            let from = bytes.windows(4).rposition(|w| w == b"/ID[");
            bytes[from.expect("an identity")..].to_vec()
        };
        assert_ne!(id("1.3731"), id("1.3732"));
    }

    #[test]
    fn equal_stamps_are_one_form_and_unequal_ones_of_a_name_are_refused() {
        let bytes = file(&document(vec![comb(5.6), comb(5.6), comb(5.6)]), &[]);
        assert_eq!(count(&bytes, "/Subtype/Form"), 1);
        let found = draw(&document(vec![comb(5.6), comb(5.8)]));
        let name = "comb".to_string();
        assert_eq!(found.err(), Some(Undrawable::Stamp { name }));
    }

    #[test]
    fn a_letter_that_no_typeface_has_is_named() {
        let found = draw(&document(vec![run("漢 1")]));
        let message = found.err().map(|e| e.to_string()).unwrap_or_default();
        assert!(message.contains("'漢' (U+6F22)"), "{message}");
    }

    #[test]
    fn the_archive_has_what_pdf_a_3b_asks_for() {
        let carried = |name: &str| Attachment {
            name: name.to_string(),
            bytes: b"a = 1".as_slice().into(),
            mime: "application/toml".to_string(),
            relationship: Relationship::Provenance,
            description: String::new(),
        };
        let document = document(vec![run("1")]);
        let bytes = file(&document, &[carried("Ø.toml"), carried("a.toml")]);
        assert!(bytes.starts_with(b"%PDF-1.7\n%"));
        for (part, times) in [
            ("<pdfaid:part>3</pdfaid:part>", 1),
            ("A &amp; B &lt;x&gt;", 1),
            ("/AFRelationship/Source", 2),
            ("/Subtype/application#2Ftoml", 2),
            ("<FEFF00D8002E0074006F006D006C>", 3),
            ("<<>>", 0),
            ("/PrintScaling/None", 1),
        ] {
            assert_eq!(count(&bytes, part), times, "{part}");
        }
        let twice = [carried("a.toml"), carried("a.toml")].map(prepare);
        let pdf = draw(&document).expect("drawable");
        let name = "a.toml".to_string();
        assert_eq!(conform(pdf, &document, twice.into()), Err(Unfit::TwiceNamed { name }));
    }
}
