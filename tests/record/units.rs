//! Roundness in another unit than its boxes, and a feature that two lines
//! measure, through the files of a job. Figures worked by hand; an inch is
//! 25.4 mm (international yard and pound agreement, 1959).

use super::Job;
use benchleaf::analysis::wear;
use benchleaf::analysis::whatif::shelf;
use benchleaf::diag::Diags;
use benchleaf::load;
use benchleaf::report::{FitLine, Piece};

fn first() -> Job {
    Job::of("demo/readings-first.toml")
}

/// 0.0023 in out of round, 0.05842 mm, beside a limit of 0.012 mm.
#[test]
fn inches_never_pass_as_millimetres() {
    let inches = "feature = \"main-journal\"\nnew-max = 0.0005\nservice-max = 0.0010";
    let millimetres = "feature = \"main-journal\"\nunit = \"mm\"\nresolution = \"0.001\"\n\
                       new-max = 0.012\nservice-max = 0.025";
    let job = first().with("limits", inches, millimetres).printed();
    job.clone().row("M1.shaft", "[2.2490, 2.2467]").judge().is("MR1", "out, over by 0.03342");
    let found = job.judge();
    found.is("MR1", "within new limits").says("MR1", "held in mm, 1 in is 25.4 mm exactly");
}

const SIZE: &str = "[[line]]\nref = \"CS\"\nname = \"camshaft journal, size\"\nkind = \"size\"\n\
                    group = \"intake\"\n                    feature = \"cam-journal\"\nnew = [1.3725, 1.3735]\nservice-min = 1.3715\n\n";

/// The same journal on a sheet of its own, worn past its limit there.
fn twice(job: Job, cs1: &str) -> Job {
    on_two_sheets(job, SIZE, [cs1, "[1.3719, 1.3717]", "[1.3728, 1.3727]"])
}

/// The same, that sheet in millimetres.
fn twice_in_mm(job: Job, cs1: &str) -> Job {
    let size = SIZE
        .replace("kind", "unit = \"mm\"\nresolution = \"0.0001\"\nkind")
        .replace("[1.3725, 1.3735]", "[34.8615, 34.8869]")
        .replace("1.3715", "34.8361");
    on_two_sheets(job, &size, [cs1, "[34.8463, 34.8412]", "[34.8691, 34.8666]"])
}

fn on_two_sheets(job: Job, size: &str, [cs1, cs2, cs3]: [&str; 3]) -> Job {
    let sheet = format!(
        "read = {{ by = \"RW\", on = 2026-03-02, gauge = \"MIC-2\", zero = \"vv\" }}\n\
         CS1.read = {cs1}\nCS2.read = {cs2}\nCS3.read = {cs3}\n14 = \"v\"\nwork  ="
    );
    let line = "[[line]]\nref  = \"EC\"";
    job.with("limits", line, &format!("{size}{line}")).sheet("IP", "work  =", &sheet).printed()
}

#[test]
fn what_one_sheet_finds_worn_is_worn_on_all() {
    twice(first(), "[1.3731, 1.3729]")
        .judge()
        .is("C1", "within new limits")
        .is("CS1", "within new limits")
        .is("CR1", "within new limits")
        .says("C1", "shaft also read in row CS1: 1.3731, 1.3729 in");
    twice(first(), "[1.3714, 1.3730]")
        .judge()
        .is("CS1", "out, small by 0.0001")
        .is("C1", "out, shaft small by 0.0001")
        // 1.3731 less 1.3730 on sheet C, 1.3730 less 1.3714 on the other.
        .is("CR1", "out, over by 0.0006");
    // The other way: the fit's readings are the size line's too.
    let found = twice(first().row("C1.shaft", "[1.3730, 1.3714]"), "[1.3731, 1.3729]").judge();
    found.is("CS1", "out, small by 0.0001");
}

/// The final record has another camshaft in: what the size line read was of
/// the old one.
#[test]
fn readings_of_the_part_that_has_gone_are_not_seen() {
    let found = twice(Job::unprinted(), "[1.3714, 1.3730]").judge();
    let found = found.is("C1", "within new limits").silent("C1", "also read in row");
    assert!(!found.row("CS1").state.passes(), "{}", found.said("CS1"));
}

/// The row whose readings went with the old part is of the new one, and waits
/// for it: what another row reads of the new journal is seen there already. New,
/// it must meet its new limits: 1.3725 - 1.3720 = 0.0005.
#[test]
fn a_row_that_waits_for_the_new_part_sees_what_others_read_of_it() {
    let found = twice(Job::unprinted(), "[1.3731, 1.3729]").judge();
    found.is("CS1", "open").says("CS1", "read also read in row C1: 1.3733, 1.3733 in");
    let rest = "by = \"NB\"; on = 2026-03-13; gauge = \"MIC-2\"; zero = \"vv\"";
    let worn = twice(Job::unprinted(), "[1.3731, 1.3729]").again(
        "C1",
        "shaft",
        "[1.3720, 1.3721]",
        "measured again",
        rest,
    );
    let found = worn.judge();
    let verdict = &found.row("CS1").last().expect("a step").verdict;
    assert_eq!(verdict.state.to_string(), "out, small by 0.0005", "{}", found.said("CS1"));
}

/// Work that names one of two lines parts no journal from itself: it is read
/// again on the one, and the other sees it.
#[test]
fn work_that_names_one_line_hides_nothing_from_the_other() {
    let work = "[reworks.nick-stoned]";
    let dressed = "[reworks.bores-dressed]\nname = \"cam bores dressed\"\npart = \
                   \"crankcase\"\nreopens = [\"line C\"]\n\n";
    let change = "[[change]]\npart = \"crankcase\"\nrework = \"bores-dressed\"\nwhy = \
                  \"reworked\"\nwhat = \"burrs taken off\"\ndata = \"OM-4\"\nby = \"TD\"\non = \
                  2026-03-06\n";
    let rest = "by = \"RW\"; on = 2026-03-07; gauge = \"MIC-2\"; zero = \"vv\"";
    let job = first().with("engine", work, &format!("{dressed}{work}")).add(change);
    let job = twice(job, "[1.3731, 1.3729]");
    let found = job.again("C1", "shaft", "[1.3730, 1.3714]", "reworked", rest).judge();
    let verdict = &found.row("CS1").last().expect("a step").verdict;
    assert_eq!(verdict.state.to_string(), "out, small by 0.0001", "{}", found.said("CS1"));
}

/// A later reading of the other side leaves what the shaft's other row says.
#[test]
fn roundness_sees_both_rows_after_the_bore_was_measured_again() {
    let job = twice(first(), "[1.3714, 1.3730]").again(
        "C1",
        "bore 1",
        "1.3752",
        "measured again",
        "by = \"TD\"; on = 2026-03-06; gauge = [\"TEL-1\", \"MIC-2\"]; zero = \"vv\"",
    );
    job.judge().is("CR1", "out, over by 0.0006").is("C1", "out, shaft small by 0.0001");
}

/// The gauge's uncertainty is turned with the readings: 0.0001 in twice is
/// 0.0036 mm, so that out by 0.0033 mm asks for a repeat and by 0.0056 does not.
#[test]
fn an_out_in_millimetres_is_near_by_millimetres() {
    let inches = "feature = \"main-journal\"\nnew-max = 0.0005\nservice-max = 0.0010";
    let limits = |least: &str| {
        format!(
            "feature = \"main-journal\"\nunit = \"mm\"\nresolution = \"0.0001\"\nnew-max = {least}"
        )
    };
    let out = |least: &str| {
        let job = first().with("limits", inches, &limits(least)).printed();
        job.row("M1.shaft", "[2.2480, 2.2477]").judge()
    };
    let asks = "measure again before a part is scrapped";
    out("0.0043").is("MR1", "out, over by 0.00332").says("MR1", asks);
    out("0.0020").is("MR1", "out, over by 0.00562").silent("MR1", asks);
}

/// A job in inches, then one in millimetres. 34.8800 less 1.3731 in, 34.87674,
/// is 0.00326; 0.0001 in twice is 0.0036 mm, which explains it.
#[test]
fn wear_is_held_against_the_uncertainty_of_both_in_one_unit() {
    let jobs = [twice(first(), "[1.3731, 1.3731]"), twice_in_mm(first(), "[34.8800, 34.8800]")];
    let [one, other] = jobs.map(|job| (job.expanded(), job.judge().judged));
    let [one, other] = [&one, &other].map(|((case, set), judged)| wear::Job { case, set, judged });
    let history = wear::wear(one, other).expect("one engine");
    let worn = history.worn.iter().find(|worn| worn.name == "CS1 read").expect("CS1");
    assert_eq!(worn.wear.to_string(), "-0.00326");
    let grown = worn.grown.as_ref().expect("larger");
    assert!(!grown.asked && grown.words.contains("within the uncertainty"), "{}", grown.words);
}

/// Its other row in millimetres, C1 is held in them: 1.3730 in is 34.8742 mm.
/// Its mark stands where it stood, and what is left is as many millimetres:
/// 0.1270 less 34.93262 and 34.8742.
#[test]
fn the_bar_of_a_fit_and_its_figures_are_in_one_unit() {
    let row = |job: Job| -> FitLine {
        let pieces = job.report().sections.into_iter().flat_map(|section| section.pieces);
        let fits = pieces.filter_map(|piece| match piece {
            Piece::Fits(groups) => Some(groups),
            _ => None,
        });
        let mut rows = fits.flatten().flat_map(|group| group.rows);
        rows.find(|row| row.code == "C1").expect("C1")
    };
    let (inches, mm) = (row(first().printed()), row(twice_in_mm(first(), "[34.8742, 34.8742]")));
    assert_eq!((inches.margin.as_str(), mm.margin.as_str()), ("0.0027", "0.06858"));
    assert_eq!(format!("{:?}", inches.marker), format!("{:?}", mm.marker));
}

/// The sheets first read a tappet in millimetres, so that a list of them does.
/// 0.8768 in is 22.27072; less 22.1890 that is 0.08172, of 0.1016: 0.01988 is
/// left, 0.0007827 in. Guarded, with 0.0003 and twice 0.0001 in, 0.00842 mm are
/// kept: 22.24786 less 22.1545 leaves 0.00824, less 22.1548 0.00854.
#[test]
fn spares_are_in_the_unit_that_the_sheets_read() {
    let fit = "[[line]]\nref   = \"T\"";
    let size = "[[line]]\nref = \"TS\"\nname = \"tappet, size\"\nkind = \"size\"\nunit = \"mm\"\n\
                resolution = \"0.0001\"\nfeature = \"tappet-body\"\nservice-min = 22.1000\n\n";
    let with = |job: Job, row: &str, out: &str, read: &str| {
        let job = job.with("limits", fit, &format!("{size}{fit}"));
        let job = job.row(&format!("{row}.shaft"), out).printed();
        let ((case, set), judged) = (job.expanded(), job.judge().judged);
        let mut files = job.files().clone();
        let list = "[[spare]]\nid = \"S-1\"\nfeature = \"tappet-body\"\nread = ";
        files.put("spares.toml", format!("{list}[{read}, {read}]\n"));
        let mut out = Diags::new();
        let spares = load::spares(&files, "spares.toml", &case, &mut out);
        let shelves = shelf(&case, &set, &judged, &spares.expect("a spare"));
        let mut places = shelves.into_iter().flat_map(|shelf| shelf.places);
        places.find(|place| place.code == row).expect("out").spare.map(|spare| spare.2)
    };
    let margin = with(first(), "T3EX", "[0.8725, 0.8724]", "22.1890");
    assert_eq!(margin.as_deref(), Some("0.0007827"));
    let guarded = |read| {
        let job = first().with("job", "rule          = \"simple\"", "rule = \"guarded\"");
        with(job, "T4EX", "[0.8717, 0.8716]", read).is_some()
    };
    assert!(!guarded("22.1545") && guarded("22.1548"));
}
