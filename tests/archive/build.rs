//! Reports to sign and throw-away keys to sign them with, for the tests.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use benchleaf::layout::length::Len;
use benchleaf::layout::mark::{Align, Area, Bookmark, Document, Face, Mark, Page, Point, Run};
use benchleaf::pdf::document::draw;
use benchleaf::pdf::{Attachment, Relationship, conform, prepare};
use benchleaf::sign::key::Passphrase;
use benchleaf::sign::verify::{Unaccounted, report_within, signatures_behind};
use benchleaf::sign::{Moment, Placement, Places, Signer, Signing, SigningKey, sign};

pub const ASCII: &str = "Ada Miller";
pub const CYRILLIC: &str = "Иван Жуков";
pub const PASS: &str = "throw-away ключ";

/// 2025-03-09 14:30 UTC, as the tests' signers claim.
pub const CLAIMED: Moment = Moment { seconds: 1_741_530_600, offset: 0 };

/// A report of some pages that carries a record and its verdicts.
pub fn report(pages: usize) -> Vec<u8> {
    report_with("C1.shaft = [1.3731, 1.3730]\n", pages)
}

pub fn report_with(record: &str, pages: usize) -> Vec<u8> {
    let run = |text: String, y: f64| {
        Mark::Run(Run {
            at: Point { x: Len::mm(20.0), y: Len::mm(y) },
            text: text.into(),
            face: Face::Regular,
            size: Len::pt(10.0),
            align: Align::Left,
            white: false,
            turn: 0,
        })
    };
    let page = |n: usize| Page {
        width: Len::mm(210.0),
        height: Len::mm(297.0),
        marks: vec![
            run(format!("Page {n}: front main journal"), 20.0),
            run(format!("as measured {}", record.trim()), 28.0),
        ],
        label: format!("{n}"),
    };
    let document = Document {
        title: "Measuring record".to_string(),
        subject: "a report for the tests".to_string(),
        author: "The shop".to_string(),
        language: "en".to_string(),
        date: "2025-03-09".to_string(),
        pages: (1..=pages).map(page).collect(),
        bookmarks: vec![Bookmark { level: 0, title: "Fits".to_string(), page: 0 }],
    };
    let file = |name: &str, bytes: &[u8], mime: &str, relationship| Attachment {
        name: name.to_string(),
        bytes: bytes.to_vec().into(),
        mime: mime.to_string(),
        relationship,
        description: "for the tests".to_string(),
    };
    let carried = [
        file("readings.toml", record.as_bytes(), "application/toml", Relationship::Provenance),
        file("Ø.toml", b"bore = 1.3750\n", "application/toml", Relationship::Provenance),
        file("verdicts.json", b"{\"C1\":\"within\"}", "application/json", Relationship::Data),
    ];
    let pdf = draw(&document).expect("drawable");
    conform(pdf, &document, carried.map(prepare).into()).expect("fit for the archive")
}

/// A folder for this test program's files, made anew.
pub fn folder() -> &'static Path {
    static FOLDER: OnceLock<PathBuf> = OnceLock::new();
    FOLDER.get_or_init(|| {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/out/archive");
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(&folder).expect("a folder for what the tests make");
        folder
    })
}

pub fn keep(name: &str, bytes: &[u8]) {
    std::fs::write(folder().join(name), bytes).expect("written");
}

/// Runs openssl in the folder of the tests.
pub fn openssl(arguments: &[&str]) {
    let run = Command::new("openssl")
        .args(arguments)
        .current_dir(folder())
        .output()
        .expect("openssl is installed");
    let errors = String::from_utf8_lossy(&run.stderr).into_owned();
    assert!(run.status.success(), "openssl {arguments:?}: {errors}");
}

/// How to make a key, by openssl.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Of {
    P256,
    Rsa,
}

impl Of {
    pub fn arguments(self) -> [&'static str; 4] {
        match self {
            Of::P256 => ["-algorithm", "EC", "-pkeyopt", "ec_paramgen_curve:P-256"],
            Of::Rsa => ["-algorithm", "RSA", "-pkeyopt", "rsa_keygen_bits:2048"],
        }
    }
}

/// The certificate of a made-up authority, `ca.pem`.
pub fn authority() -> &'static str {
    static MADE: OnceLock<()> = OnceLock::new();
    MADE.get_or_init(|| {
        let vouching = "basicConstraints=critical,CA:TRUE\nkeyUsage=critical,keyCertSign,cRLSign";
        let span = ("20200101000000Z", "20400101000000Z");
        certify("ca", Of::P256, "/CN=Shop authority", span, vouching, None);
    });
    "ca.pem"
}

/// Makes `NAME.key` and `NAME.pem`, issued by the authority, with a start and
/// an end.
pub fn issue(file: &str, of: Of, name: &str, from: &str, until: &str, extensions: &[&str]) {
    authority();
    let subject = format!("/O=Bench shop/CN={name}");
    let extensions = ["basicConstraints=critical,CA:FALSE"].iter().chain(extensions).copied();
    let extensions: Vec<&str> = extensions.collect();
    let issuer = Some(("ca.pem", "ca.key"));
    certify(file, of, &subject, (from, until), &extensions.join("\n"), issuer);
}

/// A key and a certificate, by `openssl ca`, which takes any span of time.
/// Without an issuer the certificate is made by the key itself.
pub fn certify(
    file: &str,
    of: Of,
    subject: &str,
    (from, until): (&str, &str),
    extensions: &str,
    issuer: Option<(&str, &str)>,
) {
    let [a, b, c, d] = of.arguments();
    let [key, request, certificate, index, configuration] =
        ["key", "csr", "pem", "index", "cnf"].map(|end| format!("{file}.{end}"));
    let settings = format!(
        "[ca]\ndefault_ca=own\n[own]\ndatabase={index}\nnew_certs_dir=.\nrand_serial=yes\n\
         default_md=sha256\npolicy=any\nunique_subject=no\nstring_mask=utf8only\n\
         x509_extensions=parts\n[any]\norganizationName=optional\ncommonName=supplied\n\
         [req]\ndistinguished_name=dn\nstring_mask=utf8only\n[dn]\n[parts]\n{extensions}\n"
    );
    keep(&index, b"");
    keep(&configuration, settings.as_bytes());
    openssl(&["genpkey", a, b, c, d, "-out", &key]);
    openssl(&[
        "req",
        "-new",
        "-utf8",
        "-config",
        &configuration,
        "-key",
        &key,
        "-subj",
        subject,
        "-out",
        &request,
    ]);
    let mut arguments = vec![
        "ca",
        "-batch",
        "-notext",
        "-utf8",
        "-config",
        &configuration,
        "-in",
        &request,
        "-out",
        &certificate,
        "-startdate",
        from,
        "-enddate",
        until,
    ];
    match issuer {
        Some((issuer, secret)) => arguments.extend(["-cert", issuer, "-keyfile", secret]),
        None => arguments.extend(["-selfsign", "-keyfile", &key]),
    }
    openssl(&arguments);
}

/// `NAME.pem`, made by the key that is there for itself.
pub fn own_certificate(file: &str, subject: &str, extensions: &str) {
    let settings = format!("[req]\ndistinguished_name=dn\n[dn]\n[parts]\n{extensions}\n");
    keep(&format!("{file}.cnf"), settings.as_bytes());
    let [key, pem, settings] = ["key", "pem", "cnf"].map(|end| format!("{file}.{end}"));
    openssl(&[
        "req",
        "-x509",
        "-new",
        "-utf8",
        "-key",
        &key,
        "-config",
        &settings,
        "-extensions",
        "parts",
        "-subj",
        subject,
        "-days",
        "20000",
        "-set_serial",
        "1",
        "-out",
        &pem,
    ]);
}

pub const SIGNING: [&str; 1] = ["keyUsage=critical,digitalSignature,nonRepudiation"];

/// A person's key with its certificate and the authority's, as one PEM file
/// without a lock.
pub fn pem(file: &str, of: Of, name: &str) -> Vec<u8> {
    issue(file, of, name, "20240101000000Z", "20300101000000Z", &SIGNING);
    join(&[&format!("{file}.key"), &format!("{file}.pem"), "ca.pem"])
}

pub fn join(files: &[&str]) -> Vec<u8> {
    let read = |file: &&str| std::fs::read(folder().join(file)).expect("made before");
    files.iter().flat_map(read).collect()
}

pub fn key(file: &str, of: Of, name: &str) -> SigningKey {
    SigningKey::from_pem(&pem(file, of, name), None).expect("a key")
}

/// One key of each kind, made once.
pub fn ada() -> &'static SigningKey {
    static KEY: OnceLock<SigningKey> = OnceLock::new();
    KEY.get_or_init(|| key("ada", Of::P256, ASCII))
}

pub fn ivan() -> &'static SigningKey {
    static KEY: OnceLock<SigningKey> = OnceLock::new();
    KEY.get_or_init(|| key("ivan", Of::Rsa, CYRILLIC))
}

pub fn passphrase(text: &str) -> Passphrase {
    Passphrase::new(text.as_bytes().to_vec())
}

pub fn who(name: &str) -> Signer<'_> {
    Signer {
        name,
        role: "inspector",
        certificate_number: "4471",
        claimed: CLAIMED,
        what_for: "measured and recorded as listed",
    }
}

/// The places of two persons on a page.
pub const fn places(page: usize) -> [Placement; 2] {
    const fn place(page: usize, y: f64) -> Placement {
        Placement {
            page,
            area: Area { x: Len::mm(20.0), y: Len::mm(y), w: Len::mm(80.0), h: Len::mm(24.0) },
        }
    }
    [place(page, 200.0), place(page, 230.0)]
}

/// The first or the second person's place on the first page, the other left
/// for later.
pub fn block(place: usize) -> Places<'static> {
    static PLACES: [Placement; 2] = places(0);
    Places { own: PLACES[place], later: &PLACES[1 - place..2 - place] }
}

pub fn signed(pdf: &[u8], key: &SigningKey, name: &str, place: usize) -> Vec<u8> {
    sign(pdf, key, &who(name), &block(place), [7; 32]).expect("signed")
}

/// Who may sign a report of these tests: Ada in the first place, Ivan in the
/// second.
pub fn signings() -> [Signing<'static>; 2] {
    [
        Signing { signer: who(ASCII), places: block(0) },
        Signing { signer: who(CYRILLIC), places: block(1) },
    ]
}

/// How many signatures stand behind a report, every byte accounted for.
pub fn behind(file: &[u8], report: &[u8]) -> Result<usize, Unaccounted> {
    let end = report_within(file, report)?.end;
    signatures_behind(file, end, &signings())
}

/// Appends objects, each written out with its number, behind the end of a
/// file, and a table for them.
pub fn append<T: AsRef<[u8]>>(pdf: &[u8], objects: &[(u32, T)], size: u32) -> Vec<u8> {
    let text = String::from_utf8_lossy(pdf);
    let before = text.rfind("startxref").map(|at| &text[at + 9..]);
    let before = before.and_then(|t| t.split_whitespace().next()).expect("a table");
    let root = text.rfind("/Root ").map(|at| &text[at + 6..]).expect("a root");
    let root: String = root.chars().take_while(char::is_ascii_digit).collect();
    let info = text.rfind("/Info ").map(|at| &text[at + 6..]).expect("titles");
    let info: String = info.chars().take_while(char::is_ascii_digit).collect();
    let mut out = pdf.to_vec();
    let mut places = Vec::new();
    out.push(b'\n');
    for (number, written) in objects {
        places.push((*number, out.len()));
        out.extend(format!("{number} 0 obj\n").bytes());
        out.extend(written.as_ref());
        out.extend(b"\nendobj\n");
    }
    let table = out.len();
    out.extend(b"xref\n");
    for (number, at) in places {
        out.extend(format!("{number} 1\n{at:010} 00000 n \n").bytes());
    }
    let trailer =
        format!("trailer\n<</Size {size}/Root {root} 0 R/Info {info} 0 R/Prev {before}>>\n");
    out.extend(trailer.bytes());
    out.extend(format!("startxref\n{table}\n%%EOF").bytes());
    out
}
