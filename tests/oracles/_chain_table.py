"""The chains of chains.py: how each is made, and what three judges say of it.

A row says whether benchleaf, `openssl verify -purpose any -x509_strict` and
pyHanko take the chain; where they differ it says why, and where benchleaf
refuses, which words must be in its reason. `of` is the class of the rule, by
which faults are planted."""

from dataclasses import dataclass, field

YES, NO = True, False
# Reasons for differences that several rows share.
ANY = "-purpose any asks for no use of the key, pyHanko for none beyond keyUsage unless told"
ANCHOR = "pyHanko takes an anchor as a name and a key (RFC 5280, 6.1.1 d), benchleaf holds it to what it says of itself (RFC 5937)"
PARTIAL = "openssl ends at a self-made certificate only, unless -partial_chain is given"
KINDS = "benchleaf knows P-256 and RSA of 2048 bits and more with PKCS #1 version 1.5, and says so"
STRENGTH = "openssl verify asks for no strength of digest and key unless -auth_level is given"
WORDS = "RFC 5280, 4.2.1.4 has a critical policy refused whose qualifier cannot be interpreted; the two others pass over it"
# Policies of one, 1.2.3.5, with a qualifier of kind 1.2.3.4 that is NULL.
STRANGE_WORD = "3012301006032A03053009300706032A03040500"
REPUDIATION = "pyHanko asks for nonRepudiation where keyUsage is there; RFC 5280, 4.2.1.3 lets either bit stand for signing"


@dataclass
class Made:
    """One certificate: `by` is the row's name for its issuer, None for itself."""

    name: str
    by: str | None = None
    subject: str | None = None
    ext: dict = field(default_factory=dict)
    kind: str = "ec"
    digest: str = "sha256"
    days: tuple = (-400, 4000)
    key: str | None = None
    mask: str = "utf8only"
    pss: bool = False
    version1: bool = False


@dataclass
class Row:
    what: str
    of: str
    made: list
    ours: bool
    openssl: bool
    hanko: bool
    words: str = ""
    why: str = ""
    anchor: str = "root"
    left_out: tuple = ()


def root(**more):
    return Made("root", subject="/CN=Root", **more)


def mid(name="mid", by="root", **more):
    return Made(name, by, subject=more.pop("subject", f"/O=Shop/CN={name.title()}"), **more)


def leaf(by="root", **more):
    return Made("leaf", by, subject=more.pop("subject", "/O=Shop/OU=Bench/CN=Ada Miller"), **more)


def ca(most=None):
    return {"basicConstraints": "critical,CA:TRUE" + ("" if most is None else f",pathlen:{most}")}


def limits(text, critical=True):
    """Name constraints; `dir:` names a section that chains.py writes."""
    return {"nameConstraints": ("critical," if critical else "") + text}


def eku(text):
    return {"extendedKeyUsage": text}


def two(ext=None, below=None, **more):
    """Root, one between, signer; parts for the one between and the signer."""
    return [root(), mid(ext=ext or {}, **more), leaf("mid", ext=below or {})]


def rows():
    table = []

    def row(what, of, made, ours, openssl, hanko, words="", why="", **more):
        table.append(Row(what, of, made, ours, openssl, hanko, words, why, **more))

    # Chains that are in order.
    row("root and signer", "plain", [root(), leaf()], YES, YES, YES)
    row("one between", "plain", two(), YES, YES, YES)
    three = [root(), mid("a"), mid("b", "a"), mid("c", "b"), leaf("c")]
    row("three between", "plain", three, YES, YES, YES)
    row("an RSA root", "plain", [root(kind="rsa"), leaf()], YES, YES, YES)
    row("RSA over SHA-384", "plain", [root(kind="rsa"), leaf(digest="sha384")], YES, YES, YES)
    row("RSA over SHA-512", "plain", [root(kind="rsa"), leaf(digest="sha512")], YES, YES, YES)
    row("ECDSA over SHA-512", "plain", [root(), leaf(digest="sha512")], YES, YES, YES)

    # Extended key usage (RFC 5280, 4.2.1.12; RFC 9336).
    for use in ("emailProtection", "1.3.6.1.5.5.7.3.36", "anyExtendedKeyUsage", "serverAuth,emailProtection"):
        row(f"signer's key for {use}", "eku", [root(), leaf(ext=eku(use))], YES, YES, YES)
    other = "meant for another use"
    for use in ("serverAuth", "critical,timeStamping", "codeSigning"):
        row(f"signer's key for {use} alone", "eku", [root(), leaf(ext=eku(use))], NO, YES, YES, other, ANY)
    row("one between for emailProtection", "eku", two(eku("emailProtection")), YES, YES, YES)
    row("one between for serverAuth alone", "eku", two(eku("serverAuth")), NO, YES, YES, other,
        ANY + "; that an authority's uses bind those below it is common practice, no source")
    row("an anchor for serverAuth alone", "eku", [root(ext=eku("serverAuth")), leaf()], NO, YES, YES, other, ANY + "; " + ANCHOR)

    # Key usage (4.2.1.3, 6.1.4 n).
    row("signer's key for agreement alone", "usage", [root(), leaf(ext={"keyUsage": "critical,keyAgreement"})], NO, YES, NO, "not for signing", ANY)
    row("signer's key for digitalSignature alone", "usage", [root(), leaf(ext={"keyUsage": "critical,digitalSignature"})], YES, YES, NO, why=REPUDIATION)
    row("signer's key for nonRepudiation alone", "usage", [root(), leaf(ext={"keyUsage": "critical,nonRepudiation"})], YES, YES, YES)
    row("signer's key without a usage", "usage", [root(), leaf(ext={"keyUsage": None})], YES, YES, NO, why=REPUDIATION + "; without keyUsage every use stands open (4.2.1.3)")
    row("one between whose key signs no certificates", "usage", two({"keyUsage": "critical,digitalSignature"}), NO, NO, NO, "not for signing certificates")
    row("an anchor whose key signs no certificates", "usage", [root(ext={"keyUsage": "critical,cRLSign"}), leaf()], NO, NO, YES, "not for signing certificates", ANCHOR)

    # Authorities (4.2.1.9, 6.1.4 k).
    row("one between that is no authority", "authority", two({"basicConstraints": "critical,CA:FALSE", "keyUsage": None}), NO, NO, NO, "is no authority")
    row("one between that does not say it is one", "authority", two({"basicConstraints": None, "keyUsage": None}), NO, NO, NO, "is no authority")
    row("an anchor that is no authority", "authority", [root(ext={"basicConstraints": "critical,CA:FALSE", "keyUsage": None}), leaf()], NO, NO, YES, "is no authority", ANCHOR)
    row("an anchor of version 1", "authority", [root(version1=True), leaf(ext={"authorityKeyIdentifier": None})], NO, NO, YES, "is no authority", ANCHOR)

    # Path length (4.2.1.9, 6.1.4 l and m).
    long = "fewer authorities"
    row("none allowed, one between", "length", [root(ext=ca(0)), mid(), leaf("mid")], NO, NO, YES, long, ANCHOR)
    row("none allowed, none between", "length", [root(ext=ca(0)), leaf()], YES, YES, YES)
    row("none allowed below the one between", "length", two(ca(0)), YES, YES, YES)
    pair = [mid("a"), mid("b", "a"), leaf("b")]
    row("one allowed, two between", "length", [root(ext=ca(1)), *pair], NO, NO, YES, long, ANCHOR)
    row("two allowed, two between", "length", [root(ext=ca(2)), *pair], YES, YES, YES)
    row("none allowed below the first of two", "length", [root(), mid("a", ext=ca(0)), mid("b", "a"), leaf("b")], NO, NO, NO, long)
    renewed = [root(ext=ca(1)), mid("a"), mid("b", "a", subject="/O=Shop/CN=A"), leaf("b")]
    row("one allowed, one between with its key renewed", "length", renewed, YES, YES, YES)

    # Names (4.2.1.10, 6.1.3 b and c, 7.1).
    mail = {"subjectAltName": "email:ada@bench.example"}
    outside = "does not allow a name"
    row("within a permitted organisation", "names", two(limits("permitted;dirName:shop")), YES, YES, YES)
    row("outside a permitted organisation", "names", two(limits("permitted;dirName:other")), NO, NO, NO, outside)
    row("in an excluded organisation", "names", two(limits("excluded;dirName:shop")), NO, NO, NO, "forbids a name")
    row("in an excluded organisation in capitals", "names", two(limits("excluded;dirName:loud")), NO, NO, NO, "forbids a name")
    row("in no excluded organisation", "names", two(limits("excluded;dirName:other")), YES, YES, YES)
    row("outside by a condition that is not critical", "names", two(limits("permitted;dirName:other", False)), NO, NO, NO, outside)
    bound = [root(ext=limits("permitted;dirName:other")), leaf()]
    row("outside what an anchor permits", "names", bound, NO, NO, YES, outside, ANCHOR)
    loose = [root(ext=limits("permitted;dirName:other", False)), leaf()]
    row("outside what an anchor permits, not critical", "names", loose, NO, NO, YES, outside, ANCHOR)
    far = [root(), mid("a", ext=limits("permitted;dirName:other")), mid("b", "a", subject="/O=Other/CN=B"), leaf("b")]
    row("outside what the one but next permits", "names", far, NO, NO, NO, outside)
    row("an address in a permitted host", "names", two(limits("permitted;email:bench.example"), mail), YES, YES, YES)
    row("an address outside a permitted host", "names", two(limits("permitted;email:other.example"), mail), NO, NO, NO, outside)
    several = {"subjectAltName": "email:ada@bench.example,email:ada@other.example"}
    row("several names, one of them outside", "names", two(limits("permitted;email:bench.example"), several), NO, NO, NO, outside)
    row("several names, one of them excluded", "names", two(limits("excluded;email:other.example"), several), NO, NO, NO, "forbids a name")
    host = {"subjectAltName": "DNS:pc.bench.example"}
    row("a host below a permitted one", "names", two(limits("permitted;DNS:bench.example"), host), YES, YES, YES)
    row("a host below an excluded one", "names", two(limits("excluded;DNS:bench.example"), host), NO, NO, NO, "forbids a name")
    row("a number outside a permitted net", "names", two(limits("permitted;IP:192.0.2.0/255.255.255.0"), {"subjectAltName": "IP:198.51.100.7"}), NO, NO, NO, outside)
    row("a number in a permitted net", "names", two(limits("permitted;IP:192.0.2.0/255.255.255.0"), {"subjectAltName": "IP:192.0.2.7"}), YES, YES, NO, why="pyHanko knows no conditions on numbers and refuses them all")
    row("a page outside a permitted host", "names", two(limits("permitted;URI:bench.example"), {"subjectAltName": "URI:https:" + "//other.example/ada"}), NO, NO, NO, outside)
    upn = {"subjectAltName": "otherName:1.3.6.1.4.1.311.20.2.3;UTF8:ada@bench.example"}
    kind = limits("permitted;otherName:1.3.6.1.4.1.311.20.2.3;UTF8:bench.example")
    row("a condition on names of an unknown kind", "names", two(kind, upn), NO, NO, NO, "kind that is not known")
    row("a condition on names that nobody has", "names", two(limits("permitted;DNS:bench.example"), mail), YES, YES, YES)

    # What is not understood (4.2).
    strange = "critical condition that is not known"
    row("a strange critical condition on the signer's", "critical", [root(), leaf(ext={"1.2.3.4": "critical,ASN1:NULL"})], NO, NO, NO, strange)
    row("a strange critical condition between", "critical", two({"1.2.3.4": "critical,ASN1:NULL"}), NO, NO, NO, strange)
    row("a strange critical condition on an anchor", "critical", [root(ext={"1.2.3.4": "critical,ASN1:NULL"}), leaf()], NO, NO, YES, strange, ANCHOR)
    row("a strange condition that is not critical", "critical", two({"1.2.3.4": "ASN1:NULL"}), YES, YES, YES)
    row("critical policies", "critical", two({"certificatePolicies": "critical,1.2.3.5"}, {"certificatePolicies": "critical,1.2.3.5"}), YES, YES, YES)
    policy = "benchleaf works out no policies and refuses what asks for them (RFC 5280, 4.2: an unknown critical condition)"
    row("a policy asked for and there", "critical", two({"certificatePolicies": "1.2.3.5", "policyConstraints": "critical,requireExplicitPolicy:0"}, {"certificatePolicies": "1.2.3.5"}), NO, YES, YES, strange, policy)
    row("a policy asked for and not there", "critical", two({"policyConstraints": "critical,requireExplicitPolicy:0"}), NO, YES, NO, strange, policy + "; openssl looks at policies only under -policy_check")
    row("any policy forbidden", "critical", two({"inhibitAnyPolicy": "critical,0"}), NO, YES, YES, strange, policy)
    row("any policy forbidden and the only one there", "critical", two({"inhibitAnyPolicy": "critical,0"}, {"certificatePolicies": "2.5.29.32.0"}), NO, YES, YES, strange, policy)
    row("any policy forbidden, not critical", "critical", two({"inhibitAnyPolicy": "0"}), YES, YES, YES)
    row("any policy forbidden by an anchor", "critical", [root(ext={"inhibitAnyPolicy": "critical,0"}), leaf()], NO, YES, YES, strange, policy)
    row("mapping of policies forbidden", "critical", two({"policyConstraints": "critical,inhibitPolicyMapping:0"}), NO, YES, YES, strange, policy)
    row("mapping of policies forbidden, not critical", "critical", two({"policyConstraints": "inhibitPolicyMapping:0"}), YES, YES, YES)
    mapped = {"certificatePolicies": "1.2.3.5", "policyMappings": "critical,1.2.3.5:1.2.3.6"}
    row("policies mapped", "critical", two(mapped, {"certificatePolicies": "1.2.3.6"}), NO, YES, YES, strange, policy)
    row("policies mapped, not critical", "critical", two({**mapped, "policyMappings": "1.2.3.5:1.2.3.6"}, {"certificatePolicies": "1.2.3.6"}), YES, YES, YES)
    row("a policy asked for by the signer's own", "critical", [root(), leaf(ext={"policyConstraints": "critical,requireExplicitPolicy:0"})], NO, YES, NO, strange, policy)
    asked = "asks for policies, which are not worked out"
    row("a policy asked for and not there, not critical", "policy", two({"policyConstraints": "requireExplicitPolicy:0"}), NO, YES, NO, asked, policy)
    row("a policy asked for by an anchor, not critical", "policy", [root(ext={"policyConstraints": "requireExplicitPolicy:0"}), leaf()], NO, YES, YES, asked, ANCHOR)
    row("a policy asked for and there, not critical", "policy", two({"certificatePolicies": "1.2.3.5", "policyConstraints": "requireExplicitPolicy:0"}, {"certificatePolicies": "1.2.3.5"}), NO, YES, YES, asked, policy)
    cps = {"certificatePolicies": "critical,@said"}
    row("a critical policy with where its practice is written", "policy", two(cps), YES, YES, YES)
    row("a critical policy with a word of a strange kind", "policy", two({"certificatePolicies": "critical,DER:" + STRANGE_WORD}), NO, YES, YES, "words that are not known", WORDS)
    row("a policy with a word of a strange kind, not critical", "policy", two({"certificatePolicies": "DER:" + STRANGE_WORD}), YES, YES, YES)
    row("critical policies that cannot be read", "policy", two({"certificatePolicies": "critical,DER:3003060100"}), NO, YES, NO, "cannot be read", "openssl verify reads policies only under -policy_check")

    # Time (4.1.2.5, 6.1.3 a 2).
    then = "did not hold when it was signed"
    row("one between that has ended", "time", two(days=(-400, -10)), NO, NO, NO, then)
    row("one between that has not begun", "time", two(days=(10, 400)), NO, NO, NO, then)
    row("an anchor that has ended", "time", [root(days=(-400, -10)), leaf()], NO, NO, YES, then, ANCHOR)
    row("a signer's that has ended", "time", [root(), leaf(days=(-400, -10))], NO, NO, NO, "had ended by that time")
    row("a signer's that has not begun", "time", [root(), leaf(days=(10, 400))], NO, NO, NO, "had not begun at that time")

    # Digests, keys and ways of signing.
    row("a signer's over SHA-1", "digest", [root(), leaf(digest="sha1")], NO, YES, NO, "over SHA-1, which can be forged", STRENGTH)
    row("one between over SHA-1", "digest", two(digest="sha1"), NO, YES, NO, "over SHA-1, which can be forged", STRENGTH)
    row("a root that signed itself over SHA-1", "digest", [root(digest="sha1"), leaf()], YES, YES, YES)
    row("one between with a P-384 key", "digest", two(kind="p384"), NO, YES, YES, "kind that is not known", KINDS)
    row("an Ed25519 root", "digest", [root(kind="ed25519"), leaf()], NO, YES, YES, "kind that is not known", KINDS)
    row("RSA-PSS", "digest", [root(kind="rsa"), leaf(pss=True)], NO, YES, YES, "way that is not known", KINDS)
    row("one between with RSA of 1024 bits", "digest", two(kind="rsa1024"), NO, YES, NO, "kind that is not known", STRENGTH)
    row("a root with the key of RFC 9500", "digest", [root(key="rfc9500"), leaf()], NO, YES, YES, "a key that everyone has", "only benchleaf knows keys whose private half is published")

    # Who made it.
    false = [root(), Made("other", subject="/CN=Root"), leaf("other")]
    row("made by another under the root's name", "issuer", false, NO, NO, NO, "false issuer", left_out=("other",))
    row("the one between is missing", "issuer", two(), NO, NO, NO, "unknown issuer", left_out=("mid",))
    row("made by itself, not given", "issuer", [root(), Made("leaf", subject="/CN=Ada Miller", ext={"basicConstraints": "critical,CA:FALSE", "keyUsage": "critical,nonRepudiation"})], NO, NO, NO, "nobody vouches")
    alone = [Made("leaf", subject="/CN=Ada Miller", ext={"basicConstraints": "critical,CA:FALSE", "keyUsage": "critical,nonRepudiation"})]
    row("made by itself, and given", "issuer", alone, YES, YES, YES, anchor="leaf")
    row("the one between is the anchor", "issuer", two(), YES, NO, YES, why=PARTIAL, anchor="mid")
    row("the signer's is the anchor", "issuer", two(), YES, NO, YES, why=PARTIAL, anchor="leaf")
    twin = [root(), mid(days=(-400, -10)), Made("twin", "root", subject="/O=Shop/CN=Mid", key="mid"), leaf("mid")]
    row("two of one name and key, one ended", "issuer", twin, YES, YES, YES)
    rival = [root(), mid(), Made("rival", "root", subject="/O=Shop/CN=Mid"), leaf("mid")]
    row("two of one name and two keys", "issuer", rival, YES, YES, YES)
    printed = [root(), mid(), Made("twin", "root", subject="/O=Shop/CN=Mid", key="mid", mask="default"), leaf("mid")]
    row("the issuer's name in another kind of string", "issuer", printed, YES, YES, YES, left_out=("mid",))
    return table
