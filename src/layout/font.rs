//! The four typefaces, parsed once: a flat table of glyphs and advances, no
//! shaping. Without kerning or ligatures the width of a text is the sum of its
//! letters, and every glyph on paper is one character when copied back.

use std::sync::LazyLock;

use super::length::Len;
use super::mark::{Align, Face, Mark, Run};

const FILES: [(Face, &str, &[u8]); 4] = [
    (
        Face::Regular,
        "SourceSans3-Regular",
        include_bytes!("../../forms/fonts/SourceSans3-Regular.ttf"),
    ),
    (Face::Bold, "SourceSans3-Bold", include_bytes!("../../forms/fonts/SourceSans3-Bold.ttf")),
    (Face::Italic, "SourceSans3-It", include_bytes!("../../forms/fonts/SourceSans3-It.ttf")),
    (
        Face::Code,
        "SourceCodePro-Regular",
        include_bytes!("../../forms/fonts/SourceCodePro-Regular.ttf"),
    ),
];

/// Code points below this, to the end of Cyrillic, are looked up by index; those
/// above are searched.
const FLAT: usize = 0x0530;

/// The diameter sign and the letter that stands in for it: no face has U+2300.
const STAND_IN: (char, char) = ('\u{2300}', 'Ø');

/// One letter of a face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Glyph {
    /// Index in the font file.
    pub id: u16,
    /// Thousandths of the type size.
    pub advance: u16,
}

/// Measures of a face, in thousandths of the type size.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Metrics {
    pub ascent: i16,
    /// Negative: below the baseline.
    pub descent: i16,
    pub cap_height: i16,
    /// Left, bottom, right and top of the box that holds every glyph.
    pub bounds: [i16; 4],
    /// Degrees anticlockwise from upright: negative for an italic.
    pub slant: i16,
    /// 400 for regular, 700 for bold.
    pub weight: u16,
}

struct Table {
    name: &'static str,
    bytes: &'static [u8],
    metrics: Metrics,
    flat: Vec<Option<Glyph>>,
    /// Sorted by character.
    rest: Vec<(char, Glyph)>,
}

/// The four typefaces.
pub struct Fonts {
    tables: [Table; 4],
}

static FONTS: LazyLock<Fonts> = LazyLock::new(|| Fonts { tables: FILES.map(table) });

/// The typefaces that are built into the program, read once.
pub fn fonts() -> &'static Fonts {
    &FONTS
}

impl Fonts {
    /// The glyph of a character, or `None` where the face lacks it.
    pub fn glyph(&self, face: Face, letter: char) -> Option<Glyph> {
        let table = self.table(face);
        let at = letter as usize;
        if let Some(glyph) = table.flat.get(at) {
            return *glyph;
        }
        let found = table.rest.binary_search_by_key(&letter, |(c, _)| *c);
        found.ok().map(|i| table.rest[i].1)
    }

    /// The characters of the text that the face lacks. Control characters count
    /// as lacking.
    pub fn lacking(&self, face: Face, text: &str) -> impl Iterator<Item = char> {
        text.chars().filter(move |c| self.glyph(face, *c).is_none())
    }

    /// The first of them.
    pub fn missing(&self, face: Face, text: &str) -> Option<char> {
        self.lacking(face, text).next()
    }

    /// Width of one line of text. A character that the face lacks has none:
    /// ask [`Fonts::missing`] first.
    pub fn width(&self, face: Face, size: Len, text: &str) -> Len {
        let units =
            text.chars().filter_map(|c| self.glyph(face, c)).map(|g| i64::from(g.advance)).sum();
        thousandths(size, units)
    }

    /// Breaks a text into lines of at most `width`: at spaces, at line ends in
    /// the text, and within a word only where the word alone is too long.
    /// Nothing but the spaces at the breaks is left out. An empty text is one
    /// empty line.
    pub fn wrap(&self, face: Face, size: Len, text: &str, width: Len) -> Vec<String> {
        let mut lines = Vec::new();
        for paragraph in text.split('\n') {
            self.wrap_paragraph(face, size, paragraph, width, &mut lines);
        }
        lines
    }

    /// Height of the face above the baseline.
    pub fn ascent(&self, face: Face, size: Len) -> Len {
        thousandths(size, i64::from(self.table(face).metrics.ascent))
    }

    /// Depth of the face below the baseline, as a positive length.
    pub fn descent(&self, face: Face, size: Len) -> Len {
        thousandths(size, -i64::from(self.table(face).metrics.descent))
    }

    /// Height of a capital letter; figures are a little lower.
    pub fn cap_height(&self, face: Face, size: Len) -> Len {
        thousandths(size, i64::from(self.table(face).metrics.cap_height))
    }

    pub fn metrics(&self, face: Face) -> Metrics {
        self.table(face).metrics
    }

    /// PostScript name and file of a face, for embedding.
    pub fn file(&self, face: Face) -> (&'static str, &'static [u8]) {
        let table = self.table(face);
        (table.name, table.bytes)
    }

    fn table(&self, face: Face) -> &Table {
        &self.tables[face as usize]
    }

    fn wrap_paragraph(
        &self,
        face: Face,
        size: Len,
        text: &str,
        width: Len,
        lines: &mut Vec<String>,
    ) {
        // Most texts are short; the rest would come to the same.
        if !text.starts_with(' ') && self.width(face, size, text) <= width {
            lines.push(text.to_owned());
            return;
        }
        let mut line = String::new();
        // A figure and its unit that are wider than a line are broken there.
        let fits = |word: &str| self.width(face, size, word) <= width;
        let parts = |word| if fits(word) { vec![word] } else { word.split(' ').collect() };
        for word in unbroken(text).into_iter().flat_map(parts) {
            let candidate =
                if line.is_empty() { word.to_string() } else { format!("{line} {word}") };
            if self.width(face, size, &candidate) <= width {
                line = candidate;
                continue;
            }
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            line = self.break_word(face, size, word, width, lines);
        }
        lines.push(line);
    }

    /// Puts full lines of a word that is longer than a line, at least a letter
    /// each, and gives back what is left of it.
    fn break_word(
        &self,
        face: Face,
        size: Len,
        word: &str,
        width: Len,
        lines: &mut Vec<String>,
    ) -> String {
        let mut line = String::new();
        for letter in word.chars() {
            line.push(letter);
            if line.chars().nth(1).is_some() && self.width(face, size, &line) > width {
                line.pop();
                lines.push(std::mem::take(&mut line));
                line.push(letter);
            }
        }
        line
    }
}

/// Units as they stand after a figure in the steps of forms and engines, and
/// the letters of loose and tight.
const UNITS: &[&str] = &[
    "L", "T", "in", "mm", "N·m", "Nm", "lbf", "lbf·in", "lbf·ft", "in·lbf", "ft·lbf", "N", "kN",
    "psi", "bar", "kPa", "MPa", "°C", "°F", "K", "g", "kg", "oz", "lb", "s", "min", "h", "%",
];

/// The words of a paragraph, a figure together with its unit.
fn unbroken(text: &str) -> Vec<&str> {
    let mut words = Vec::new();
    let (mut start, mut last) = (0, 0);
    for (at, _) in text.match_indices(' ') {
        let next = text[at + 1..].split(' ').next().unwrap_or_default();
        let unit = next.trim_end_matches([',', '.', ';', ':', ')']);
        let figure = text[last..at].trim_start_matches(['(', '±', '+', '−', '-', '≤', '≥']);
        let is_figure = figure.starts_with(|c: char| c.is_ascii_digit())
            && figure.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '–' | '-'));
        if !(is_figure && UNITS.contains(&unit)) {
            words.push(&text[start..at]);
            start = at + 1;
        }
        last = at + 1;
    }
    words.push(&text[start..]);
    words
}

fn thousandths(size: Len, units: i64) -> Len {
    let um = i64::from(size.um()) * units;
    Len::mm(um as f64 / 1_000_000.0)
}

/// A file that cannot be read, which only a wrong build brings about, gives a
/// face that lacks every letter: no text is printed in it.
fn table((_, name, bytes): (Face, &'static str, &'static [u8])) -> Table {
    let lacking =
        || Table { name, bytes, metrics: Metrics::default(), flat: Vec::new(), rest: Vec::new() };
    read(name, bytes).unwrap_or_else(lacking)
}

/// `None` where the file is not a TrueType font of 1000 units an em.
fn read(name: &'static str, bytes: &'static [u8]) -> Option<Table> {
    let face = ttf_parser::Face::parse(bytes, 0).ok()?;
    if face.units_per_em() != 1000 {
        return None;
    }
    // The tables are sorted, the one with the most characters last.
    let unicode = face.tables().cmap?.subtables.into_iter();
    let unicode = unicode.filter(|s| s.is_unicode()).last()?;
    let mut letters = Vec::new();
    unicode.codepoints(|code| {
        let id = unicode.glyph_index(code);
        letters.extend(char::from_u32(code).and_then(|c| Some((c, glyph(&face, c, id?)?))));
    });
    let (sign, letter) = STAND_IN;
    let id = unicode.glyph_index(letter as u32)?;
    letters.extend(glyph(&face, sign, id).map(|g| (sign, g)));
    letters.sort_by_key(|(c, _)| *c);
    letters.dedup_by_key(|(c, _)| *c);

    let mut flat = vec![None; FLAT];
    let mut rest = Vec::new();
    for (c, g) in letters {
        match flat.get_mut(c as usize) {
            Some(place) => *place = Some(g),
            None => rest.push((c, g)),
        }
    }
    Some(Table { name, bytes, metrics: metrics(&face), flat, rest })
}

/// The code points of control characters have empty glyphs: no text should
/// hold them, so they count as lacking.
fn glyph(face: &ttf_parser::Face<'_>, letter: char, id: ttf_parser::GlyphId) -> Option<Glyph> {
    let advance = face.glyph_hor_advance(id)?;
    (!letter.is_control()).then_some(Glyph { id: id.0, advance })
}

fn metrics(face: &ttf_parser::Face<'_>) -> Metrics {
    let all = face.global_bounding_box();
    Metrics {
        ascent: face.ascender(),
        descent: face.descender(),
        cap_height: face.capital_height().unwrap_or(face.ascender()),
        bounds: [all.x_min, all.y_min, all.x_max, all.y_max],
        slant: face.italic_angle().round() as i16,
        weight: face.weight().to_number(),
    }
}

impl Run {
    /// Its left end and its right one.
    pub fn ends(&self) -> (Len, Len) {
        let width = fonts().width(self.face, self.size, &self.text);
        let left = match self.align {
            Align::Left => self.at.x,
            Align::Centre => self.at.x - width / 2,
            Align::Right => self.at.x - width,
        };
        (left, left + width)
    }
}

impl Mark {
    /// The characters of its text that the typefaces lack.
    pub fn lacking(&self) -> impl Iterator<Item = char> {
        self.runs().flat_map(|run| fonts().lacking(run.face, &run.text))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FACES: [Face; 4] = [Face::Regular, Face::Bold, Face::Italic, Face::Code];

    #[test]
    fn every_face_is_read() {
        for (_, name, bytes) in FILES {
            assert!(read(name, bytes).is_some_and(|table| !table.flat.is_empty()), "{name}");
            assert!(read(name, &bytes[1..]).is_none());
        }
        let lacking = table((Face::Code, "cut short", &FILES[0].2[..100]));
        assert!(lacking.flat.is_empty() && lacking.rest.is_empty());
    }

    #[test]
    fn figures_and_minus_have_one_width() {
        let fonts = fonts();
        for face in FACES {
            let zero = fonts.glyph(face, '0');
            for figure in "0123456789−".chars() {
                let advance = fonts.glyph(face, figure).map(|g| g.advance);
                assert_eq!(advance, zero.map(|g| g.advance), "{face:?} {figure}");
            }
        }
    }

    #[test]
    fn letters_of_the_trade_are_there_and_a_foreign_one_is_named() {
        let fonts = fonts();
        for face in FACES {
            let text = "Ärger Łódź çş λΔΣμ Жуков µ ⌀ Ø − · ≤ ≥ ± × ° → “ ” … – — ½ № ′ ″";
            assert_eq!(fonts.missing(face, text), None, "{face:?}");
            assert_eq!(fonts.missing(face, "bore 漢 1"), Some('漢'), "{face:?}");
            assert_eq!(fonts.missing(face, "a\tb"), Some('\t'), "{face:?}");
        }
    }

    #[test]
    fn width_is_the_sum_of_advances() {
        // 497 of 1000 units a figure (hmtx of SourceSans3-Regular 3.052, read
        // with fontTools): ten figures at 10 mm.
        let width = fonts().width(Face::Regular, Len::mm(10.0), "0123456789");
        assert_eq!(width, Len::mm(49.7));
    }

    #[test]
    fn wrap_breaks_at_spaces_and_long_words_at_letters() {
        let fonts = fonts();
        let (size, width) = (Len::pt(8.0), Len::mm(40.0));
        let word = "Kolbenbolzenauge".repeat(13);
        let text = format!("piston pin  boss {} end", &word[..200]);
        let lines = fonts.wrap(Face::Regular, size, &text, width);
        assert!(lines.len() > 5, "{lines:?}");
        for line in &lines {
            assert!(fonts.width(Face::Regular, size, line) <= width, "{line}");
        }
        let kept = lines.concat().replace(' ', "");
        assert_eq!(kept, text.replace(' ', ""));
    }

    #[test]
    fn a_figure_and_its_unit_stand_on_one_line() {
        let fonts = fonts();
        let size = Len::pt(8.0);
        let text = "seam bolts, 38 N·m, then (20 °C) at 1.430 in and 12 bolts.";
        let mut broken = 0;
        for width in 12..80 {
            let lines = fonts.wrap(Face::Regular, size, text, Len::mm(f64::from(width)));
            broken += usize::from(lines.len() > 1);
            assert_eq!(lines.join(" "), text);
            for unit in ["38 N·m", "20 °C", "1.430 in"] {
                assert!(lines.iter().any(|line| line.contains(unit)), "{width}: {lines:?}");
            }
        }
        assert!(broken > 20);
        assert_eq!(fonts.wrap(Face::Regular, size, "38 N·m", Len::mm(6.0)), ["38", "N·m"]);
    }

    #[test]
    fn only_a_figure_is_tied_to_its_unit_or_letter() {
        let text = "left (0.0036 L), −0.0012 T; row C1 in 9 places";
        let words = ["left", "(0.0036 L),", "−0.0012 T;", "row", "C1", "in", "9", "places"];
        assert_eq!(unbroken(text), words);
    }

    #[test]
    fn wrap_keeps_line_ends_and_never_stands_still() {
        let fonts = fonts();
        let wrap = |text, width| fonts.wrap(Face::Code, Len::pt(9.0), text, Len::mm(width));
        assert_eq!(wrap("", 10.0), [""]);
        assert_eq!(wrap("a\n\nb", 10.0), ["a", "", "b"]);
        assert_eq!(wrap("abc", 0.1), ["a", "b", "c"]);
    }
}
