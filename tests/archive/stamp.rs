//! Time stamps through files, by openssl's own authority.

use benchleaf::sign::{StampError, attach_reply, request, signatures};

use super::build::*;

/// An authority in a folder's files, and its reply to a request.
pub fn reply(name: &str, request: &[u8]) -> Vec<u8> {
    reply_naming(name, request, "sha256")
}

/// The same, its certificate named in what it signs by a digest of that kind.
fn reply_naming(name: &str, request: &[u8], naming: &str) -> Vec<u8> {
    let usage = "keyUsage=critical,digitalSignature\nextendedKeyUsage=critical,timeStamping";
    let span = ("20200101000000Z", "20400101000000Z");
    authority();
    let issuer = Some(("ca.pem", "ca.key"));
    certify(name, Of::Rsa, "/CN=Stamp authority", span, usage, issuer);
    let reply = answered(name, "ca.pem", request, naming);
    let [query, out] = ["tsq", "tsr"].map(|end| format!("{name}.{end}"));
    openssl(&["ts", "-verify", "-queryfile", &query, "-in", &out, "-CAfile", "ca.pem"]);
    reply
}

/// The reply `NAME.tsr` to the request `NAME.tsq` of an authority whose
/// certificate is there, with those between it and an anchor.
pub fn answered(name: &str, chain: &str, request: &[u8], naming: &str) -> Vec<u8> {
    let [key, certificate, query, out, settings, serial] =
        ["key", "pem", "tsq", "tsr", "tscnf", "tsserial"].map(|end| format!("{name}.{end}"));
    keep(&serial, b"01");
    keep(&query, request);
    keep(
        &settings,
        format!(
            "[tsa]\ndefault_tsa=own\n[own]\nserial={serial}\ncrypto_device=builtin\n\
             signer_digest=sha256\ndefault_policy=1.2.3.4.1\nother_policies=1.2.3.4.1\n\
             digests=sha256\naccuracy=secs:1\nordering=yes\ntsa_name=yes\n\
             ess_cert_id_chain=yes\ness_cert_id_alg={naming}\n"
        )
        .as_bytes(),
    );
    openssl(&[
        "ts",
        "-reply",
        "-config",
        &settings,
        "-section",
        "own",
        "-queryfile",
        &query,
        "-signer",
        &certificate,
        "-inkey",
        &key,
        "-chain",
        chain,
        "-out",
        &out,
    ]);
    join(&[&out])
}

#[test]
fn a_stamp_by_files_proves_a_time() {
    let once = signed(&report(1), ada(), ASCII, 0);
    let asked = request(&once, [0x81; 8]).expect("a request");
    let stamped = attach_reply(&once, &reply("tsa", &asked)).expect("stamped");
    keep("stamped.pdf", &stamped);
    assert_eq!(stamped.len(), once.len());
    let found = signatures(&stamped, &[]).expect("readable").remove(0);
    let stamp = found.stamp.as_ref().expect("a stamp");
    assert_eq!(stamp.fault, None);
    // The machine's clock, which openssl took: after these tests were written.
    assert!(stamp.time.is_some_and(|t| t.seconds > 1_760_000_000), "{stamp:?}");
    assert_eq!(stamp.by.as_ref().map(|p| p.name.as_str()), Some("Stamp authority"));
    assert!(found.good(), "{found:#?}");
    assert!(found.lines().join("\n").contains("by Stamp authority"));

    // A second person signs behind the stamp, and is stamped too.
    let twice = signed(&stamped, ivan(), CYRILLIC, 1);
    let asked = request(&twice, [1; 8]).expect("a request");
    let twice = attach_reply(&twice, &reply("tsa2", &asked)).expect("stamped");
    keep("stamped-two.pdf", &twice);
    let found = signatures(&twice, &[]).expect("readable");
    assert!(found.iter().all(|s| s.good() && s.stamp.is_some()), "{found:#?}");

    assert_eq!(request(&stamped, [0; 8]), Err(StampError::AlreadyStamped));
    assert_eq!(request(&report(1), [0; 8]), Err(StampError::NotLast));
    changed(&stamped);
}

/// No digit of the stamp can be turned unseen. This authority names all of its
/// certificates in what it signs; with one that names only its own, a byte of
/// the others may turn, which nothing protects and nothing rests on.
fn changed(stamped: &[u8]) {
    let start = stamped.windows(11).position(|w| w == b"/Contents <").expect("there") + 10;
    let end = start + stamped[start..].iter().position(|b| *b == b'>').expect("there");
    let zeros = stamped[start..end].iter().rev().take_while(|b| **b == b'0').count();
    for at in (start..end - zeros).step_by(3) {
        let mut altered = stamped.to_vec();
        altered[at] ^= [1, 2, 0x20][at % 9 / 3];
        let passes = signatures(&altered, &[]).is_ok_and(|s| s.iter().all(|s| s.good()));
        assert!(!passes, "byte {} of {} turned passes", at - start, end - zeros - start);
    }
}

#[test]
fn a_stamp_for_another_signature_is_refused() {
    let once = signed(&report(1), ada(), ASCII, 0);
    let other = signed(&report(2), ada(), ASCII, 0);
    let asked = request(&other, [9; 8]).expect("a request");
    let answer = reply("tsa3", &asked);
    let why = "it is for another signature";
    assert_eq!(attach_reply(&once, &answer), Err(StampError::Unfit { why }));
    assert_eq!(attach_reply(&once, b"\x30\x03\x02\x01\x02"), Err(StampError::Reply));
    // Status 2, rejection, without a token (RFC 3161, 2.4.2).
    let refused = attach_reply(&once, b"\x30\x05\x30\x03\x02\x01\x02");
    assert!(matches!(refused, Err(StampError::Refused { status: 2, .. })), "{refused:?}");
}

/// Authorities of before RFC 5816 name their certificate by SHA-1 (RFC 2634, 5.4;
/// RFC 3161, 2.4.2). The name is no proof: the signature over it is.
#[test]
fn a_stamp_may_name_its_certificate_by_sha_1() {
    let once = signed(&report(1), ada(), ASCII, 0);
    let asked = request(&once, [0x17; 8]).expect("a request");
    let answer = reply_naming("tsa4", &asked, "sha1");
    // 1.2.840.113549.1.9.16.2.12 names the old attribute, 47 the new one.
    let attribute = |last: u8| [0x2A, 0x86, 0x48, 0x86, 0xF7, 0x0D, 1, 9, 16, 2, last];
    let has = |last: u8| answer.windows(11).any(|bytes| bytes == attribute(last));
    assert!(has(12) && !has(47));
    let stamped = attach_reply(&once, &answer).expect("stamped");
    let found = signatures(&stamped, &[]).expect("readable").remove(0);
    assert_eq!(found.stamp.as_ref().map(|stamp| &stamp.fault), Some(&None), "{found:#?}");
    assert!(found.good(), "{found:#?}");
    // Of another certificate: a byte of the digest turned.
    let at = answer.windows(11).position(|bytes| bytes == attribute(12)).expect("there");
    let mut other = answer.clone();
    other[at + 11 + 10] ^= 1;
    assert!(attach_reply(&once, &other).is_err());
}
