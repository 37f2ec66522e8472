//! Invented fits: sizes in ten-thousandths of an inch.

use benchleaf::report::{FitGroup, FitLine, Marker};

/// New tight end, new loose end, loosest in service.
type Limits = (i64, i64, i64);

struct Found {
    code: &'static str,
    place: &'static str,
    label: &'static str,
    why: &'static str,
    shaft: (i64, i64),
    bore: (i64, i64),
    state: &'static str,
    solid: bool,
}

pub fn groups() -> Vec<FitGroup> {
    vec![
        group("Crankshaft main journal in main bearing", (15, 40, 55), &MAINS),
        noted(group("Camshaft in crankcase", (10, 35, 50), &CAMS)),
        group("Tappet in guide", (10, 28, 40), &TAPPETS),
        group("Piston pin in connecting rod bush", (3, 10, 18), &PINS),
        group("Piston pin in piston", (-2, 6, 12), &PISTONS),
        group(
            "Piston skirt in barrel, judged across the pin and at one height",
            (120, 145, 180),
            &SKIRTS,
        ),
        group("Oil pump drive gear shaft in gear case cover", (10, 25, 40), &PUMP),
        group("Tachometer drive housing in gear case cover", (-20, -7, -3), &HOUSING),
    ]
}

fn noted(mut group: FitGroup) -> FitGroup {
    group.note = Some(
        "OM-4 page 72-11, table 3; published fit narrower than the parts, by selective assembly; \
         agreed by the maker's letter of 2025-02-03"
            .to_string(),
    );
    group
}

fn group(title: &str, (tight, loose, service): Limits, rows: &[Found]) -> FitGroup {
    let scale = scale(tight, service);
    FitGroup {
        title: title.to_string(),
        note: None,
        ticks: [tight, loose, service].map(|at| (fit(at), scale(at))).to_vec(),
        new: Some((scale(tight), scale(loose))),
        service: (scale(tight), scale(service)),
        rows: rows.iter().map(|row| line(row, service, &scale)).collect(),
    }
}

/// The limits take the middle two thirds of the bar.
fn scale(low: i64, high: i64) -> impl Fn(i64) -> i64 {
    move |at| 170_000 + (at - low) * 660_000 / (high - low)
}

fn line(row: &Found, service: i64, scale: &impl Fn(i64) -> i64) -> FitLine {
    let tightest = row.bore.0 - row.shaft.0;
    let loosest = row.bore.1 - row.shaft.1;
    FitLine {
        code: row.code.to_string(),
        place: row.place.to_string(),
        label: row.label.to_string(),
        why: row.why.to_string(),
        shaft: (size(row.shaft.0), size(row.shaft.1)),
        bore: (size(row.bore.0), size(row.bore.1)),
        also: Vec::new(),
        tightest: fit(tightest),
        loosest: fit(loosest),
        marker: Some(Marker { from: scale(tightest), to: scale(loosest), solid: row.solid }),
        margin: if loosest > service { "none".to_string() } else { size(service - loosest) },
        state: row.state.to_string(),
        bold: row.state.starts_with("out") || row.state.starts_with("query"),
    }
}

fn size(tenths: i64) -> String {
    format!("{}.{:04}", tenths / 10_000, tenths % 10_000)
}

fn fit(tenths: i64) -> String {
    let letter = match tenths {
        0 => "",
        1.. => " L",
        _ => " T",
    };
    format!("{}{letter}", size(tenths.abs()))
}

const fn found(
    code: &'static str,
    place: &'static str,
    shaft: (i64, i64),
    bore: (i64, i64),
    state: &'static str,
) -> Found {
    Found { code, place, label: "", why: "", shaft, bore, state, solid: true }
}

const fn hollow(row: Found, label: &'static str, why: &'static str) -> Found {
    Found { label, why, solid: false, ..row }
}

const fn left(row: Found, label: &'static str, why: &'static str) -> Found {
    Found { label, why, ..row }
}

const NEW: &str = "within new limits";
const SERVICE: &str = "within service limits";
const LIMIT: &str = "within service limits, at limit";

const MAINS: [Found; 3] = [
    found("M1", "propeller end", (22478, 22477), (22512, 22514), NEW),
    found(
        "M2",
        "centre, reached through a cylinder opening",
        (22469, 22465),
        (22519, 22520),
        LIMIT,
    ),
    found("M3", "accessory end", (22483, 22482), (22510, 22511), NEW),
];

const CAMS: [Found; 8] = [
    hollow(found("C1", "propeller end", (13731, 13730), (13752, 13753), NEW), "as found", ""),
    left(
        found("C1", "propeller end", (13733, 13733), (13752, 13753), NEW),
        "as left",
        "new camshaft",
    ),
    hollow(
        found("C2", "centre", (13718, 13716), (13767, 13768), "out, loose by 0.0002, close"),
        "as found",
        "",
    ),
    hollow(
        found("C2", "centre", (13717, 13716), (13767, 13768), "out, loose by 0.0002, close"),
        "measured again",
        "JA, other micrometer",
    ),
    left(found("C2", "centre", (13732, 13732), (13767, 13768), SERVICE), "as left", "new camshaft"),
    hollow(
        found(
            "C3",
            "accessory end",
            (13728, 13727),
            (13755, 14007),
            "query, a sleeve turn in the bore",
        ),
        "as found",
        "",
    ),
    hollow(found("C3", "accessory end", (13728, 13727), (13755, 13757), NEW), "measured again", ""),
    left(
        found("C3", "accessory end", (13731, 13731), (13755, 13757), NEW),
        "as left",
        "new camshaft",
    ),
];

const TAPPETS: [Found; 8] = [
    found("T1IN", "1 intake", (8736, 8735), (8754, 8755), NEW),
    found("T1X", "1 exhaust", (8735, 8735), (8756, 8757), NEW),
    found("T2IN", "2 intake", (8737, 8736), (8753, 8755), NEW),
    found("T2X", "2 exhaust", (8734, 8733), (8757, 8758), NEW),
    found("T3IN", "3 intake", (8736, 8736), (8755, 8755), NEW),
    found("T3X", "3 exhaust", (8730, 8728), (8766, 8768), LIMIT),
    found("T4IN", "4 intake", (8735, 8734), (8756, 8756), NEW),
    found("T4X", "4 exhaust", (8733, 8732), (8758, 8759), NEW),
];

const PINS: [Found; 4] = [
    found("N1", "cylinder 1", (7968, 7968), (7973, 7973), NEW),
    found("N2", "cylinder 2", (7968, 7967), (7974, 7975), NEW),
    found("N3", "cylinder 3", (7968, 7968), (7978, 7978), NEW),
    found("N4", "cylinder 4", (7966, 7966), (7977, 7978), SERVICE),
];

const PISTONS: [Found; 4] = [
    found("Q1", "cylinder 1", (7968, 7968), (7968, 7969), NEW),
    found("Q2", "cylinder 2", (7968, 7968), (7966, 7966), NEW),
    found("Q3", "cylinder 3", (7968, 7968), (7974, 7974), NEW),
    found("Q4", "cylinder 4", (7966, 7966), (7963, 7963), "out, tight by 0.0001, not wear"),
];

const SKIRTS: [Found; 4] = [
    found("K1", "cylinder 1", (43615, 43614), (43745, 43746), NEW),
    found("K2", "cylinder 2", (43615, 43614), (43746, 43748), NEW),
    found("K3", "cylinder 3", (43604, 43602), (43765, 43766), SERVICE),
    found("K4", "cylinder 4", (43615, 43614), (43902, 43909), "out, loose by 0.0115"),
];

const PUMP: [Found; 1] = [found("P", "", (4987, 4986), (5008, 5009), NEW)];

const HOUSING: [Found; 1] = [found("H", "accessory drive", (10006, 10006), (9994, 9995), NEW)];
