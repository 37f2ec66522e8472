//! The glyphs a document uses, numbered in the order of their first use. The
//! numbers are the codes in the content and the glyph indices of the subsets.

use std::collections::BTreeMap;

use sha2::{Digest, Sha256};
use subsetter::GlyphRemapper;

use super::undrawable::Undrawable;
use crate::layout::font::{Glyph, fonts};
use crate::layout::mark::{Face, Mark};

pub const FACES: [Face; 4] = [Face::Regular, Face::Bold, Face::Italic, Face::Code];

/// Latin, Greek, Cyrillic, punctuation and arrows lie below.
const LOW: usize = 0x2400;

/// The name of a face in the resources of a page.
pub fn resource(face: Face) -> &'static str {
    match face {
        Face::Regular => "R",
        Face::Bold => "B",
        Face::Italic => "I",
        Face::Code => "C",
    }
}

/// The subset of one face.
pub struct Subset {
    /// PostScript name behind six capitals and a plus (ISO 32000-1, 9.6.4).
    pub name: String,
    pub bytes: Vec<u8>,
    /// Code of each character used.
    pub codes: BTreeMap<u32, u16>,
    /// Advance of each code, in thousandths.
    pub advances: BTreeMap<u16, u16>,
}

/// Codes given out so far, for each face.
#[derive(Default)]
pub struct GlyphCodes {
    used: [Used; 4],
}

#[derive(Default)]
struct Used {
    mapper: GlyphRemapper,
    /// Code by character, for the low ones; 0 where it is not used yet.
    codes: Vec<u16>,
    letters: BTreeMap<char, u16>,
    advances: BTreeMap<u16, u16>,
}

impl GlyphCodes {
    /// Gives a code to each character of a mark that has none yet, in the order
    /// of the text.
    ///
    /// # Errors
    /// [`Undrawable::Letter`] where the face lacks one.
    pub fn assign(&mut self, mark: &Mark) -> Result<(), Undrawable> {
        match mark {
            Mark::Run(run) => {
                let used = &mut self.used[run.face as usize];
                for letter in run.text.chars() {
                    if used.code(letter).is_some() {
                        continue;
                    }
                    let Some(glyph) = fonts().glyph(run.face, letter) else {
                        return Err(Undrawable::Letter { letter, text: run.text.to_string() });
                    };
                    used.add(glyph, letter);
                }
            }
            Mark::Stamp { stamp, .. } => {
                stamp.marks.iter().try_for_each(|mark| self.assign(mark))?;
            }
            Mark::Line { .. } | Mark::Rect { .. } | Mark::Hatch { .. } | Mark::Path { .. } => {}
            Mark::Field { .. } => {}
        }
        Ok(())
    }

    /// Code and advance of a character that has one.
    pub fn code(&self, face: Face, letter: char) -> Option<(u16, u16)> {
        let code = self.used[face as usize].code(letter)?;
        Some((code, fonts().glyph(face, letter)?.advance))
    }

    /// The subsets of the faces that were used, in the order of [`FACES`].
    pub fn subsets(&self) -> Result<Vec<(Face, Subset)>, Undrawable> {
        let mut subsets = Vec::new();
        for face in FACES {
            let used = &self.used[face as usize];
            if !used.letters.is_empty() {
                subsets.push((face, used.subset(face)?));
            }
        }
        Ok(subsets)
    }
}

impl Used {
    fn code(&self, letter: char) -> Option<u16> {
        match self.codes.get(letter as usize) {
            Some(&code) if code != 0 => Some(code),
            _ => self.letters.get(&letter).copied(),
        }
    }

    fn add(&mut self, glyph: Glyph, letter: char) {
        let code = self.mapper.remap(glyph.id);
        if (letter as usize) < LOW {
            self.codes.resize(LOW, 0);
            self.codes[letter as usize] = code;
        }
        self.letters.insert(letter, code);
        self.advances.insert(code, glyph.advance);
    }

    fn subset(&self, face: Face) -> Result<Subset, Undrawable> {
        let (name, file) = fonts().file(face);
        let bytes =
            subsetter::subset(file, 0, &self.mapper).map_err(|_| Undrawable::Face { name })?;
        Ok(Subset {
            name: format!("{}+{name}", tag(&bytes)),
            bytes,
            codes: self.codes_by_letter(),
            advances: self.advances.clone(),
        })
    }

    /// Two characters may share a glyph, which has one meaning when copied
    /// back: the lower code point's, so that the letter Ø comes before the
    /// diameter sign.
    fn codes_by_letter(&self) -> BTreeMap<u32, u16> {
        let mut taken = BTreeMap::new();
        for (letter, code) in &self.letters {
            taken.entry(*code).or_insert(*letter as u32);
        }
        taken.into_iter().map(|(code, at)| (at, code)).collect()
    }
}

/// Six capitals from the content of the subset.
pub fn tag(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    let capitals = digest.iter().take(6);
    capitals.map(|b| char::from(b'A' + b % 26)).collect()
}
