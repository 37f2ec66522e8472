//! Keys from files, and the faults of keys.

use benchleaf::sign::key::KeyError;
use benchleaf::sign::{Moment, Places, SignError, Signer, SigningKey, sign};

use super::build::*;

#[test]
fn every_usual_file_gives_the_same_signature() {
    let report = report(1);
    let secret = &format!("pass:{PASS}");
    for (of, file) in [(Of::P256, "every-p256"), (Of::Rsa, "every-rsa")] {
        let plain = pem(file, of, ASCII);
        let expected = signed(&report, &SigningKey::read(&plain, None).expect("plain"), ASCII, 0);
        let (key, certificate) = (format!("{file}.key"), format!("{file}.pem"));
        let check = |made: Vec<u8>, what: &str| {
            let key = SigningKey::read(&made, Some(&passphrase(PASS)));
            let key = key.unwrap_or_else(|why| panic!("{file} {what}: {why}"));
            assert!(!key.without_checksum || what == "no mac");
            assert_eq!(signed(&report, &key, ASCII, 0), expected, "{file} {what}");
        };
        let locked = &format!("{file}-locked.key");
        for cipher in ["aes-256-cbc", "aes-128-cbc"] {
            openssl(&[
                "pkcs8", "-topk8", "-v2", cipher, "-in", &key, "-out", locked, "-passout", secret,
            ]);
            check(join(&[&certificate, "ca.pem", locked]), cipher);
        }
        openssl(&["pkcs8", "-topk8", "-scrypt", "-in", &key, "-out", locked, "-passout", secret]);
        check(join(&[&certificate, "ca.pem", locked]), "scrypt");
        let old = &format!("{file}-old.key");
        openssl(&["pkey", "-traditional", "-in", &key, "-out", old]);
        check(join(&[old, &certificate, "ca.pem"]), "the older PEM");

        let p12 = &format!("{file}.p12");
        let ways: [(&str, &[&str]); 5] = [
            ("now", &[]),
            (
                "triple DES",
                &["-keypbe", "PBE-SHA1-3DES", "-certpbe", "PBE-SHA1-3DES", "-macalg", "sha1"],
            ),
            ("RC2", &["-legacy"]),
            ("sha512", &["-macalg", "sha512"]),
            ("no mac", &["-nomac"]),
        ];
        for (what, more) in ways {
            let mut arguments = vec![
                "pkcs12",
                "-export",
                "-inkey",
                &key,
                "-in",
                &certificate,
                "-certfile",
                "ca.pem",
                "-out",
                p12,
                "-passout",
                secret,
            ];
            arguments.extend(more);
            openssl(&arguments);
            check(join(&[p12]), what);
        }
        // A chain file that begins with the signer's own certificate again.
        check(join(&[&key, &certificate, &certificate, "ca.pem", "ca.pem"]), "doubles");
    }
}

#[test]
fn a_wrong_or_missing_passphrase_is_said() {
    let secret = &format!("pass:{PASS}");
    pem("shut", Of::P256, ASCII);
    openssl(&["pkcs8", "-topk8", "-in", "shut.key", "-out", "shut-locked.key", "-passout", secret]);
    let locked = join(&["shut-locked.key", "shut.pem"]);
    let (wrong, empty) = (passphrase("wrong"), passphrase(""));
    let read = |file: &[u8], pass| SigningKey::read(file, pass).map(|_| ());
    assert_eq!(read(&locked, None), Err(KeyError::NeedsPassphrase));
    assert_eq!(read(&locked, Some(&wrong)), Err(KeyError::WrongPassphrase));
    for more in [
        &["-out", "shut.p12"][..],
        &["-out", "shut.p12", "-nomac"],
        &["-out", "shut.p12", "-legacy"],
    ] {
        let mut arguments =
            vec!["pkcs12", "-export", "-inkey", "shut.key", "-in", "shut.pem", "-passout", secret];
        arguments.extend(more);
        openssl(&arguments);
        let file = join(&["shut.p12"]);
        assert_eq!(read(&file, None), Err(KeyError::NeedsPassphrase));
        assert_eq!(read(&file, Some(&wrong)), Err(KeyError::WrongPassphrase), "{more:?}");
        assert_eq!(read(&file, Some(&empty)), Err(KeyError::WrongPassphrase));
    }
}

#[test]
fn a_file_without_what_is_needed_is_said() {
    pem("lone", Of::P256, ASCII);
    pem("other", Of::P256, ASCII);
    let read = |files: &[&str]| SigningKey::read(&join(files), None).map(|_| ());
    assert_eq!(read(&["lone.key"]), Err(KeyError::NoCertificate));
    assert_eq!(read(&["lone.pem"]), Err(KeyError::NoKey));
    assert_eq!(read(&["lone.key", "other.key", "lone.pem"]), Err(KeyError::SeveralKeys));
    assert_eq!(read(&["lone.key", "other.pem", "ca.pem"]), Err(KeyError::DoesNotFit));

    openssl(&[
        "genpkey",
        "-algorithm",
        "EC",
        "-pkeyopt",
        "ec_paramgen_curve:P-384",
        "-out",
        "p384.key",
    ]);
    openssl(&[
        "genpkey",
        "-algorithm",
        "RSA",
        "-pkeyopt",
        "rsa_keygen_bits:1024",
        "-out",
        "short.key",
    ]);
    openssl(&["genpkey", "-algorithm", "ED25519", "-out", "ed.key"]);
    for file in ["p384.key", "short.key", "ed.key"] {
        let found = read(&[file, "lone.pem"]);
        assert!(matches!(found, Err(KeyError::Kind { .. })), "{file}: {found:?}");
    }
    openssl(&[
        "rsa",
        "-traditional",
        "-aes128",
        "-in",
        "short.key",
        "-out",
        "old.key",
        "-passout",
        "pass:abcd",
    ]);
    assert!(matches!(read(&["old.key", "lone.pem"]), Err(KeyError::Locking { .. })));
    what_is_said_of_an_old_lock_mends_it();
    for junk in [&b""[..], b"\x30\x82", b"not a key", &[0xFF; 400]] {
        let found = SigningKey::read(junk, Some(&passphrase("x"))).map(|_| ());
        assert!(matches!(found, Err(KeyError::Unreadable { .. })), "{found:?}");
    }
}

#[test]
fn a_certificate_that_is_not_fit_for_it_signs_nothing() {
    let report = report(1);
    let try_with = |file: &str, from: &str, until: &str, usage: &str, name: &str| {
        issue(file, Of::P256, ASCII, from, until, &[usage]);
        let key = SigningKey::read(&join(&[&format!("{file}.key"), &format!("{file}.pem")]), None);
        let key = key.expect("a key");
        sign(&report, &key, &who(name), &block(0), [0; 32]).map(|_| ())
    };
    let (from, until, usage) = ("20240101000000Z", "20300101000000Z", SIGNING[0]);
    let ended = try_with("ended", "20200101000000Z", "20241231235959Z", usage, ASCII);
    let end = Moment::utc(1_735_689_599);
    assert_eq!(ended, Err(SignError::Expired { until: end }));
    let early = try_with("early", "20260101000000Z", until, usage, ASCII);
    assert!(matches!(early, Err(SignError::NotYet { .. })), "{early:?}");
    let other = try_with("name", from, until, usage, "Ada Millar");
    assert!(matches!(other, Err(SignError::OtherName { .. })), "{other:?}");
    assert_eq!(try_with("spaces", from, until, usage, " ada  MILLER"), Ok(()));
    let use_of = "keyUsage=critical,keyAgreement";
    assert_eq!(
        try_with("usage", from, until, use_of, ASCII),
        Err(SignError::NotForSigning { why: "has a key that is not for signing" })
    );
}

#[test]
fn what_cannot_be_shown_is_not_signed() {
    let report = report(1);
    let far = Places { own: places(9)[0], later: &[] };
    let wide = sign(&report, ada(), &who(ASCII), &far, [0; 32]);
    assert_eq!(wide, Err(SignError::Page { page: 9, pages: 1 }));
    let mut person = who(ASCII);
    person.role = "検査";
    let letter = sign(&report, ada(), &person, &block(0), [0; 32]);
    assert!(matches!(letter, Err(SignError::Letter { .. })), "{letter:?}");
    let long = "as listed ".repeat(60);
    person.role = "inspector";
    person.what_for = &long;
    let room = sign(&report, ada(), &person, &block(0), [0; 32]);
    assert_eq!(room, Err(SignError::NoRoom));
}

/// A machine's clock may be wrong or a demonstration old.
#[test]
fn the_throw_away_keys_hold_at_any_time() {
    let report = report(1);
    for (initials, name) in [("JA", "Judith Ashcombe"), ("RW", "Rosalind Wray")] {
        let path = format!("{}/demo/throw-away-{initials}.pem", env!("CARGO_MANIFEST_DIR"));
        let key = std::fs::read(path).expect("with the project");
        let key = SigningKey::read(&key, None).expect("a key");
        // The first days of 2001 and of 2090, in seconds.
        for seconds in [978_307_200, 3_786_912_000] {
            let claimed = Moment { seconds, offset: 0 };
            let signer = Signer { claimed, ..who(name) };
            let made = sign(&report, &key, &signer, &block(0), [7; 32]);
            assert!(made.is_ok(), "{name} {seconds}: {made:?}");
        }
    }
}

/// The command of the message, run by openssl itself.
fn what_is_said_of_an_old_lock_mends_it() {
    let secret = &format!("pass:{PASS}");
    let lock = ["-aes256", "-in", "lone.key", "-out", "OLD", "-passout", secret];
    openssl(&[&["ec"][..], &lock].concat());
    let old = join(&["OLD", "lone.pem"]);
    assert!(String::from_utf8_lossy(&old).contains("Proc-Type: 4,ENCRYPTED"), "locked as before");
    let why = SigningKey::read(&old, Some(&passphrase(PASS))).map(|_| ()).expect_err("not read");
    let why = why.to_string();
    let command = why.split('`').nth(1).expect("a command");
    let mut words: Vec<&str> = command.split(' ').skip(1).collect();
    words.extend(["-passin", secret, "-passout", secret]);
    openssl(&words);
    let new = join(&["NEW", "lone.pem"]);
    SigningKey::read(&new, Some(&passphrase(PASS))).expect("as the message says");
}
