//! Why a file from outside is not read.

use std::fmt;

/// The bounds within which a file from outside is read. One table, so that
/// they can be seen together. Common practice, no source.
#[derive(Clone, Copy, Debug)]
pub struct Bounds {
    /// Bytes of the file.
    pub file: usize,
    /// Lists and dictionaries within each other.
    pub depth: usize,
    /// Values in one object.
    pub values: usize,
    /// Objects in the file's table.
    pub objects: usize,
    /// Bytes of all that is inflated from the file together.
    pub inflated: usize,
    /// Bytes read over and over: for each byte of the file, and in any case.
    pub rereading: (usize, usize),
    /// Sections of the table, one for each time that the file was added to.
    pub sections: usize,
    /// Bytes of the samples of one picture.
    pub picture: usize,
    /// Files carried inside.
    pub carried: usize,
    /// Bytes of the name of a carried file, as UTF-8.
    pub name: usize,
    /// Signature fields.
    pub signatures: usize,
    /// Bytes of a signature's contents.
    pub contents: usize,
}

pub const BOUNDS: Bounds = Bounds {
    file: 512 << 20,
    depth: 48,
    values: 1_000_000,
    objects: 400_000,
    inflated: 256 << 20,
    rereading: (16, 256 << 20),
    sections: 256,
    picture: 256 << 20,
    carried: 4_096,
    name: 200,
    signatures: 64,
    contents: 256 << 10,
};

/// Why a file is not read. Nothing of it was used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// It does not begin as a PDF does.
    NotPdf,
    /// Something breaks the rules of the format; where, in bytes from the
    /// start.
    Broken { what: &'static str, at: usize },
    /// The same thing is said twice, and programs differ in which they take.
    Ambiguous { what: &'static str, at: usize },
    /// Over one of the [`BOUNDS`].
    Bound { what: &'static str, most: usize },
    /// An object that leads back to itself.
    Cycle { object: u32 },
    /// It can only be read with a password.
    Encrypted,
    /// A way of packing that is not read here.
    Filter { name: String },
    /// A carried file whose name could lead out of a folder or upset a
    /// system.
    Name { name: String, why: &'static str },
    /// Two carried files that one folder could not hold.
    TwiceNamed { name: String },
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Refusal::NotPdf => write!(f, "not a PDF: it does not begin with %PDF-"),
            Refusal::Broken { what, at } => write!(f, "damaged PDF: {what}, at byte {at}"),
            Refusal::Ambiguous { what, at } => {
                write!(f, "the PDF can be read in two ways: {what}, at byte {at}; not read")
            }
            Refusal::Bound { what, most } => {
                write!(f, "the PDF has too much of it: {what}, at most {most}")
            }
            Refusal::Cycle { object } => {
                write!(f, "damaged PDF: object {object} leads back to itself")
            }
            Refusal::Encrypted => write!(f, "the PDF is encrypted: ask for it without a password"),
            Refusal::Filter { name } => {
                write!(f, "a part of the PDF is packed with {name}, not read here")
            }
            Refusal::Name { name, why } => {
                write!(f, "a carried file is named `{name}`: {why}; not unpacked")
            }
            Refusal::TwiceNamed { name } => {
                write!(f, "two carried files are named `{name}`: not unpacked")
            }
        }
    }
}

impl std::error::Error for Refusal {}
