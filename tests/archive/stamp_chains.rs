//! Who vouches for a time-stamp authority (RFC 3161, 2.3; RFC 5280, 4.2.1.9,
//! 4.2.1.10, 4.2.1.12 and 6.1): chains made by openssl and judged by
//! `openssl ts -verify` beside. Where the two differ, the row says why.

use std::process::Command;

use benchleaf::sign::verify::{Anchor, Chain};
use benchleaf::sign::{StampError, attach_reply, request, signatures};

use super::build::*;
use super::seals::stamped_anyway;
use super::stamp::answered;

const CA: &str = "basicConstraints=critical,CA:TRUE\nkeyUsage=critical,keyCertSign";
const SPAN: (&str, &str) = ("20200101000000Z", "20400101000000Z");
const ENDED: (&str, &str) = ("20200101000000Z", "20210101000000Z");
const NAMES: &str = "[shop]\nO=Shop\n[other]\nO=Other";
const USE: &str = "openssl looks at the uses of the authority's own key and of none above it; that \
                   they bind those below is common practice, no source";

struct Row {
    what: &'static str,
    /// What the anchor and the one between say beyond that they vouch.
    root: &'static str,
    mid: &'static str,
    span: (&'static str, &'static str),
    /// Why the chain is refused, the certificate's name before it; `None` where
    /// it is taken.
    ours: Option<&'static str>,
    openssl: bool,
    why: &'static str,
}

impl Row {
    const fn new(what: &'static str, root: &'static str, mid: &'static str) -> Row {
        Row { what, root, mid, span: SPAN, ours: None, openssl: true, why: "" }
    }

    const fn refused(self, ours: &'static str) -> Row {
        Row { ours: Some(ours), openssl: false, ..self }
    }

    const fn openssl_takes_it(self, why: &'static str) -> Row {
        Row { openssl: true, why, ..self }
    }
}

const OTHER_USE: &str = "is meant for another use (extended key usage)";
const OUTSIDE: &str = "does not allow a name of those below it";
const ROWS: [Row; 14] = [
    Row::new("nothing more is said", "", ""),
    Row::new("between for stamps", "", "extendedKeyUsage=timeStamping"),
    Row::new("between for any use", "", "extendedKeyUsage=anyExtendedKeyUsage"),
    Row::new("between for several", "", "extendedKeyUsage=emailProtection,timeStamping"),
    Row::new("between for mail", "", "extendedKeyUsage=emailProtection")
        .refused(OTHER_USE)
        .openssl_takes_it(USE),
    Row::new("anchor for servers", "extendedKeyUsage=serverAuth", "")
        .refused(OTHER_USE)
        .openssl_takes_it(USE),
    Row::new("within what is permitted", "", "nameConstraints=critical,permitted;dirName:shop"),
    Row::new("outside it", "", "nameConstraints=critical,permitted;dirName:other").refused(OUTSIDE),
    Row::new("outside, not critical", "", "nameConstraints=permitted;dirName:other")
        .refused(OUTSIDE),
    Row::new("outside by the anchor", "nameConstraints=critical,permitted;dirName:other", "")
        .refused(OUTSIDE),
    Row::new("excluded", "", "nameConstraints=critical,excluded;dirName:shop")
        .refused("forbids a name of those below it"),
    Row::new("another excluded", "", "nameConstraints=critical,excluded;dirName:other"),
    Row::new("strange and critical", "", "1.2.3.4=critical,ASN1:NULL")
        .refused("has a critical condition that is not known here"),
    Row {
        span: ENDED,
        ..Row::new("between ended", "", "").refused("did not hold when it was signed")
    },
];

/// `NAME-root`, `NAME-mid` and the authority `NAME`, whose key is for stamps.
fn issued(name: &str, row: &Row) {
    let [root, mid] = ["root", "mid"].map(|part| format!("{name}-{part}"));
    let by = |name: &str| [format!("{name}.pem"), format!("{name}.key")];
    let own = format!("{CA}\n{}\n{NAMES}", row.root);
    certify(&root, Of::P256, "/O=Root/CN=Root", SPAN, &own, None);
    let [pem, key] = by(&root);
    let own = format!("{CA}\n{}\n{NAMES}", row.mid);
    certify(&mid, Of::P256, "/O=Shop/CN=Mid", row.span, &own, Some((&pem, &key)));
    let [pem, key] = by(&mid);
    let own = "keyUsage=critical,digitalSignature\nextendedKeyUsage=critical,timeStamping";
    certify(name, Of::P256, "/O=Shop/CN=Stamps", SPAN, own, Some((&pem, &key)));
}

fn by_openssl(name: &str) -> (bool, String) {
    let [query, reply, root, mid] =
        [".tsq", ".tsr", "-root.pem", "-mid.pem"].map(|end| format!("{name}{end}"));
    let run = Command::new("openssl")
        .args(["ts", "-verify", "-queryfile", &query, "-in", &reply])
        .args(["-CAfile", &root, "-untrusted", &mid])
        .current_dir(folder())
        .output()
        .expect("openssl is installed");
    (run.status.success(), String::from_utf8_lossy(&run.stderr).into_owned())
}

#[test]
fn an_authority_is_followed_to_its_anchor_by_the_same_rules() {
    let once = signed(&report(1), ada(), ASCII, 0);
    for (n, row) in ROWS.iter().enumerate() {
        let name = format!("tsa-row-{n}");
        issued(&name, row);
        let asked = request(&once, [n as u8; 8]).expect("a request");
        let reply = answered(&name, &format!("{name}-mid.pem"), &asked, "sha256");
        let (taken, said) = by_openssl(&name);
        assert_eq!(taken, row.openssl, "{}: openssl: {said}", row.what);
        assert!(row.ours.is_none() == taken || !row.why.is_empty(), "{}", row.what);

        let anchors = Anchor::read(&join(&[&format!("{name}-root.pem")])).expect("an anchor");
        let stamped = stamped_anyway(&once, &reply);
        let found = signatures(&stamped, &anchors).expect("readable").remove(0);
        let stamp = found.stamp.as_ref().expect("a stamp");
        let said = found.lines().join("\n");
        match row.ours {
            None => {
                let chain = Some(Chain::To { anchor: "Root".to_owned() });
                assert_eq!(stamp.chain, chain, "{}", row.what);
                assert!(found.good(), "{}: {said}", row.what);
                // By hand or by the program, it is the same file.
                assert!(attach_reply(&once, &reply) == Ok(stamped), "{}", row.what);
                assert!(said.contains("the stamp's certificate: issued under Root"), "{said}");
            }
            Some(why) => {
                let Some(Chain::Broken { why: told }) = &stamp.chain else {
                    panic!("{}: {:?}", row.what, stamp.chain);
                };
                assert!(told.ends_with(why), "{}: {told}", row.what);
                assert!(!stamp.sound() && !found.good(), "{}: {said}", row.what);
                assert!(said.contains("its certificates are not in order"), "{said}");
                // Without anchors only those that came with it are looked at.
                let attached = attach_reply(&once, &reply).map(|_| ());
                let why = "its certificates are not in order";
                let refused = Err(StampError::Unfit { why });
                let wanted = if row.root.is_empty() { refused } else { Ok(()) };
                assert_eq!(attached, wanted, "{}", row.what);
            }
        }
    }
}
