//! A report made by hand, with what is hard to lay out: long names, three
//! alphabets, tables over pages, a row taller than a page. All of it invented.

use benchleaf::model::job::Paper;
use benchleaf::record::Status;
use benchleaf::report::{Cell, Column, Piece, Report, Section};
use benchleaf::sheet::Head;

use super::fit_rows;

pub const LONG: &str = "Oil pressure relief valve plunger, spring, seat, cap and locking plate of the \
    gear case cover, including the passage drilled from the pump's delivery side to the main gallery \
    of the left crankcase half, blown out";

pub fn report(status: Status, paper: Paper) -> Report {
    Report {
        title: "Inspection report".to_string(),
        status,
        head: head(paper),
        set: "7F3K-92QD".to_string(),
        arithmetic: false,
        disclaimer: "This report records what was measured and looked at, held against the limits \
            cited. It is not a release: approval for return to service is given separately, by an \
            authorised person, on a form of their own."
            .to_string(),
        date: "2025-03-28".to_string(),
        sections: vec![
            exceptions(),
            engine(),
            section("Gauges and people", false, vec![gauges(), people()]),
            fits(),
            readings(),
            looked_over(),
            sign_off(),
        ],
    }
}

/// Many exceptions and long names.
pub fn crowded() -> Report {
    let mut report = report(Status::Incomplete, Paper::A4);
    if let Some(Piece::Table { rows, .. }) = report.sections[0].pieces.first_mut() {
        *rows = rows.iter().cycle().take(29).cloned().collect();
    }
    report.sections[1].title = LONG.to_string();
    if let Some(Piece::Fits(groups)) = report.sections[3].pieces.first_mut() {
        let ticks = [
            ("0.0038 L", 400_000),
            ("0.0089 L", 480_000),
            ("0.0102 L", 520_000),
            ("0.0127 L", 540_000),
        ];
        groups[0].ticks = ticks.map(|(text, at)| (text.to_string(), at)).to_vec();
        groups[0].rows[0].place = LONG.to_string();
        groups[0].rows[0].state = LONG.to_string();
        groups[0].title = LONG.to_string();
    }
    report.head.engine = LONG.to_string();
    report.head.shop = LONG.to_string();
    report.head.document = "Overhaul manual of the four-cylinder series, OM-4".to_string();
    report
}

fn head(paper: Paper) -> Head {
    Head {
        job: "0417".to_string(),
        scope: "to service limits".to_string(),
        engine: "Tarnwick Motor Works TW4-H8".to_string(),
        serial: "TW4-00317".to_string(),
        limits: "L-07".to_string(),
        document: "Overhaul manual OM-4".to_string(),
        revision: "7".to_string(),
        unit: "inch".to_string(),
        decimals: 4,
        shop: "Cold Fen Engine Bench".to_string(),
        certificate: Some("DEMO-0000".to_string()),
        paper,
        second_person: true,
        rule: "simple acceptance, as the trade works".to_string(),
        copy: None,
        blind: false,
    }
}

pub fn section(title: &str, new_page: bool, pieces: Vec<Piece>) -> Section {
    Section { title: title.to_string(), text: None, pieces, new_page }
}

pub fn table(columns: &[(&str, u16, bool)], rows: Vec<Vec<Cell>>) -> Piece {
    let column = |(head, share, figures): &(&str, u16, bool)| Column {
        head: head.to_string(),
        share: *share,
        figures: *figures,
    };
    Piece::Table { columns: columns.iter().map(column).collect(), rows }
}

pub fn row(texts: &[&str]) -> Vec<Cell> {
    let cell = |text: &&str| match text.strip_prefix('!') {
        Some(text) => Cell::bold(text),
        None => Cell::plain(*text),
    };
    texts.iter().map(cell).collect()
}

fn exceptions() -> Section {
    let columns = [
        ("row", 2, false),
        ("what", 7, false),
        ("found", 4, true),
        ("limit", 4, true),
        ("state and outcome", 8, false),
    ];
    let rows = vec![
        row(&[
            "C2",
            "camshaft in crankcase, centre",
            "0.0052 L",
            "0.0050 L",
            "!out, loose by 0.0002; new camshaft, 0.0036 L as left",
        ]),
        row(&[
            "C3",
            "camshaft in crankcase, accessory end",
            "0.0280 L",
            "0.0050 L",
            "query, a sleeve turn in the bore; measured again, 0.0030 L",
        ]),
        row(&[
            "Q4",
            "piston pin in piston, cylinder 4",
            "0.0003 T",
            "0.0002 T",
            "!out, tight by 0.0001, not wear",
        ]),
        row(&[
            "Y2X",
            "tappet leak-down, 2 exhaust",
            "9.8 s",
            "12 s",
            "!out; hydraulic unit renewed, 21.4 s",
        ]),
        row(&[
            "K4",
            "piston skirt in barrel, cylinder 4",
            "0.0295 L",
            "0.0180 L",
            "!out, loose by 0.0115",
        ]),
    ];
    let limits = vec![
        row(&[
            "M2",
            "crankshaft main journal, centre",
            "0.0055 L",
            "0.0055 L",
            "within service limits, at limit",
        ]),
        row(&[
            "T3X",
            "tappet in guide, 3 exhaust",
            "0.0040 L",
            "0.0040 L",
            "within service limits, at limit",
        ]),
    ];
    Section {
        text: Some("Two rows are out and not accepted, none is in query, on hold or open.".to_string()),
        ..section(
            "Exceptions",
            true,
            vec![
                table(&columns, rows),
                Piece::Heading("At a limit or close to one".to_string()),
                table(&columns, limits),
                Piece::Heading("Renewed".to_string()),
                Piece::Paragraph("Camshaft, part 4-1102, serial K-0093, by release document D-5518 of 2025-03-17. Hydraulic unit of tappet 2 exhaust. Intake pipe 3. All parts of the list that is always renewed, with numbers in section 6.".to_string()),
                Piece::Heading("Superseded readings".to_string()),
                Piece::Paragraph("C3 bore 1.4007, replaced by 1.3757 because measured again (T. Dovrin, telescoping gauge G-14 and micrometer G-02, 2025-03-12).".to_string()),
            ],
        )
    }
}

fn engine() -> Section {
    let pair = |caption: &str, value: &str| (caption.to_string(), value.to_string());
    let pairs = vec![
        pair("hours since new", "1,894.6"),
        pair("received", "2025-03-03"),
        pair("propeller strike told", "none"),
        pair("overspeed told", "none"),
        pair("parts missing at receipt", "oil filler cap, one rocker cover screw"),
        pair("manual current on", "2025-03-03"),
        pair("decision rule", "simple acceptance, as the trade works"),
        pair("owner", "Жуков и сыновья, Ελευσίνα, Łódź, Çeşme"),
        pair("what was asked for", LONG),
    ];
    section(
        "Engine and work order",
        true,
        vec![
            Piece::Pairs(pairs),
            Piece::Heading("Directives and bulletins".to_string()),
            Piece::Paragraph(format!("{LONG}. ").repeat(3)),
        ],
    )
}

fn gauges() -> Piece {
    let columns = [
        ("gauge", 3, false),
        ("what", 8, false),
        ("serial", 4, false),
        ("range, in", 4, true),
        ("uncertainty, in", 4, true),
        ("due", 4, false),
    ];
    let rows = vec![
        row(&["G-01", "outside micrometer", "11873", "0 to 1", "0.0001", "2025-09-30"]),
        row(&["G-02", "outside micrometer", "11874", "1 to 2", "0.0001", "2025-09-30"]),
        row(&[
            "G-14",
            "telescoping gauges, set of six",
            "T-402",
            "0.3125 to 6",
            "0.0003",
            "2025-06-30",
        ]),
        row(&["G-21", "spring tester", "0092", "0 to 150 lbf", "0.5 lbf", "2025-12-31"]),
    ];
    table(&columns, rows)
}

fn people() -> Piece {
    let columns = [
        ("initials", 2, false),
        ("name", 5, false),
        ("role", 5, false),
        ("certificate number", 5, false),
    ];
    let rows = vec![
        row(&["RW", "Rosalind Wexcombe", "mechanic", "–"]),
        row(&["TD", "Tomas Dovrin", "mechanic", "–"]),
        row(&["JA", "Jelena Ardmoor", "inspector", "DEMO-I-07"]),
    ];
    table(&columns, rows)
}

fn fits() -> Section {
    Section {
        text: Some(
            "33 rows of 8 lines. As found: 4 out, 1 in query. As left: 2 out, 2 at limit."
                .to_string(),
        ),
        ..section("Fits, as found and as left", true, vec![Piece::Fits(fit_rows::groups())])
    }
}

fn readings() -> Section {
    let columns = [
        ("row", 3, false),
        ("what", 10, false),
        ("readings", 5, true),
        ("least", 3, true),
        ("greatest", 4, true),
        ("gauge", 3, false),
        ("by", 2, false),
        ("state", 6, false),
    ];
    let mut rows = Vec::new();
    for n in 1..=110_u32 {
        let code = format!("X{n}");
        let reading = format!("{}.{:04}", n * 7 % 12, n * 137 % 10_000);
        let what = match n {
            17 => LONG,
            40 => "зазор поршневого кольца, цилиндр 3, διάκενο δακτυλίου",
            n if n % 5 == 0 => "barrel, taper between skirt plane and top plane",
            _ => "ring gap, cylinder 2, second ring",
        };
        let long_state = "within service limits, at limit, close";
        let state = if n % 9 == 0 { long_state } else { "within new limits" };
        let limits = if n % 4 == 0 { ["–", "0.0300"] } else { ["0.0120", "12.5000"] };
        rows.push(row(&[&code, what, &reading, limits[0], limits[1], "G-02", "RW", state]));
    }
    section("Sizes, readings and counts", false, vec![table(&columns, rows)])
}

fn looked_over() -> Section {
    let columns = [("no.", 1, true), ("item", 8, false), ("found", 8, false), ("by", 1, false)];
    let history = (1..=90).map(|n| {
        format!("{n}. Seam bolt {n} nicked, stoned down, looked over again by lamp and glass.")
    });
    let history: Vec<String> = history.collect();
    let name: String = "Kolbenbolzenaugenbohrung".repeat(9);
    let rows = vec![
        row(&["8", "stud L6", "nut binds: thread stretched; stud renewed", "RW"]),
        row(&["9", "pump driven gear, tooth 9", "a burr, stoned", "TD"]),
        row(&["10", &name[..200], "ok", "TD"]),
        row(&["11", "parting faces of both halves, every bolt hole", &history.join("\n"), "JA"]),
        row(&["112", "intake pipe 3", "!cracked at the flange, renewed", "RW"]),
    ];
    section(
        "Looked over",
        false,
        vec![
            table(&columns, rows),
            Piece::Heading("Outside work".to_string()),
            table(&[("what", 2, false), ("certificate", 2, false)], Vec::new()),
        ],
    )
}

fn sign_off() -> Section {
    let person = |name: &str, role: &str, number: &str, what: &str| {
        (name.to_string(), role.to_string(), number.to_string(), what.to_string())
    };
    section(
        "Signatures",
        false,
        vec![Piece::SignOff(vec![
            person(
                "Rosalind Wexcombe",
                "mechanic",
                "",
                "the readings with initials RW, written down as the gauges showed them",
            ),
            person("Jelena Ardmoor", "inspector", "DEMO-I-07", LONG),
            person("", "quality manager", "", ""),
        ])],
    )
}
