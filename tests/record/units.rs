//! Roundness in another unit than its boxes, and a feature that two lines
//! measure, through the files of a job. Figures worked by hand; an inch is
//! 25.4 mm (international yard and pound agreement, 1959).

use super::Job;

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
                    feature = \"cam-journal\"\nnew = [1.3725, 1.3735]\nservice-min = 1.3715\n\n";

/// The same journal on a sheet of its own, worn past its limit there.
fn twice(job: Job, cs1: &str) -> Job {
    let sheet = format!(
        "\n[Z]\nnumber = \"0000\"\n\
         read = {{ by = \"RW\", on = 2026-03-02, gauge = \"MIC-2\", zero = \"vv\" }}\n\
         check = {{ by = \"JA\", on = 2026-03-05 }}\n\
         CS1.read = {cs1}\nCS2.read = [1.3719, 1.3717]\nCS3.read = [1.3728, 1.3727]\n\n[C] "
    );
    let line = "[[line]]\nref  = \"EC\"";
    job.with("limits", line, &format!("{SIZE}{line}")).typed("\n[C] ", &sheet).printed()
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
