//! What would bring a row in. The figures for C2 are the design's check
//! values, worked out by hand in exact decimals.

use super::planted;
use crate::cli::Script;
use crate::record::Job;
use benchleaf::analysis::whatif::what_if;

#[test]
fn every_way_for_c2_and_what_it_reopens() {
    let job = Script::first();
    let ran = job.run("whatif job").status(1);
    // 1.3716 + 0.0050 and 1.3768 - 0.0050.
    let ran = ran.says(
        "largest bore that would bring it in with this shaft: 1.3766 (from 1.3728 to 1.3766)",
    );
    let ran = ran.says("smallest shaft that would bring it in with this bore: 1.3718");
    let ran = ran.says("new crankcase: bore from 1.3745 to 1.3760");
    let ran =
        ran.says_on_a_line(&["new camshaft: shaft from 1.3725 to 1.3735", "by: camshaft changed"]);
    ran.says_on_a_line(&[
        "camshaft changed reopens:",
        "C1 C2 C3 camshaft in crankcase",
        "EC camshaft end play",
        "BG gear backlash",
        "Tappet bodies",
    ])
    // The bores stand: the case is not disturbed.
    .never_says("M1");
    let kept = job.keep("job/readings.toml");
    job.run("whatif job").status(1);
    kept.unchanged();
    Script::demo().run("whatif job").status(0).says("nothing is out");
}

/// Wear limits 1.3715 and 1.3770.
#[test]
fn a_part_out_by_itself_is_named_and_two_are_brought_in_each() {
    let job = Script::first();
    let text = job.read("job/readings.toml");
    let bore = ("C", "C2.bore = [1.3767, 1.3768]", "C2.bore = [1.3771, 1.3772]");
    job.write("job/readings.toml", planted(&text, &[bore]));
    job.run("whatif job")
        .status(1)
        .says("no shaft serves with this bore as it is (crankcase)")
        .never_says("each has to be brought in");
    let shaft = ("C", "C2.shaft = [1.3718, 1.3716]", "C2.shaft = [1.3713, 1.3711]");
    job.write("job/readings.toml", planted(&text, &[bore, shaft]));
    job.run("whatif job")
        .status(1)
        .says("no bore serves with this shaft as it is (camshaft)")
        .says_on_a_line(&[
            "shaft and bore are out by themselves",
            "new camshaft: shaft from 1.3725 to 1.3735",
            "new crankcase: bore from 1.3745 to 1.3760",
            "by: camshaft changed",
        ]);
    job.run("check job").status(1).says("a new shaft from 1.3725 to 1.3735 and a new bore");
}

/// The ways of one row in words.
fn ways(job: &Job, code: &str) -> Vec<String> {
    let (case, set) = job.expanded();
    let all = what_if(&case, &set, &job.judge().judged);
    let row = all.into_iter().find(|row| row.code == code).expect("a row that is out");
    row.ways.into_iter().map(|way| way.words).collect()
}

/// A document that says only `replace`: no used part is looked for in the place
/// of one, no work on it is advised, and no mate helps it.
#[test]
fn only_a_new_part_is_a_way_where_the_document_says_replace() {
    let cam = "new = [1.3725, 1.3735], wear = 1.3715 }";
    let replaced = "new = [1.3725, 1.3735], service = \"replace\" }";
    let said = ways(&Job::first().with("limits", cam, replaced).printed(), "C2");
    assert_eq!(
        said,
        [
            "no bore serves with this shaft as it is (camshaft)",
            "new camshaft: shaft from 1.3725 to 1.3735"
        ]
    );
    // Work on a spring that is out makes it no new one.
    let service = "new  = [9.0, 10.0]\nservice-min = 8.5\n";
    let work = "[reworks.spring-set]\nname = \"spring set\"\npart = \"relief-valve-spring\"\n\
                reopens = [\"line SR\"]\n\n[reworks.nick-stoned]";
    let spring = |limits: &str| {
        let job = Job::last().with("limits", service, limits);
        let job = job.with("engine", "[reworks.nick-stoned]", work).printed();
        ways(&job.row("SR.read", "[8.2]"), "SR")
    };
    let part = "pressure relief valve spring";
    let usual = ["a reading inside: ", "another of the ", "work on the "];
    let found = spring(service);
    assert!(found.iter().zip(usual).all(|(way, word)| way.starts_with(word)), "{found:?}");
    assert_eq!(found.len(), 3);
    assert_eq!(
        spring("new  = [9.0, 10.0]\nservice = \"replace\"\n"),
        [
            "a new part that reads inside: new 9.0 to 10.0 lbf, service: replace".to_owned(),
            format!("another of the {part}")
        ]
    );
}

/// Weights of 890 g to 898 g where 7 g are allowed: no reading is out, their
/// spread is, by less than the root of twice the balance's 1 g squared.
#[test]
fn what_is_worked_out_is_never_called_a_reading() {
    let balance =
        ("name        = \"balance\"\n", "name = \"balance\"\nunit = \"g\"\nuncertainty = 1\n");
    let job = Job::last().with("job", balance.0, balance.1).printed();
    let job = job.row("WP.read", "[896, 898, 890, 897]");
    assert_eq!(ways(&job, "WP")[0], "a spread inside: new 7 g max");
    let judged = job.judge();
    let said =
        "out by less than the uncertainty of the spread: measure again before a part is scrapped";
    assert_eq!(judged.row("WP").last().expect("a step").verdict.notes, [said]);
}

#[test]
fn a_ground_crankshaft_is_among_the_ways_where_there_is_metal() {
    let job = Script::first();
    let text = job.read("job/readings.toml");
    // Loosest 2.2520 - 2.2461 = 0.0059, out by 0.0004; the journal passes
    // alone (wear 2.2460).
    let text =
        planted(&text, &[("M", "M2.shaft = [2.2469, 2.2465]", "M2.shaft = [2.2463, 2.2461]")]);
    job.write("job/readings.toml", text);
    let ran = job.run("whatif job").status(1);
    ran.says_on_a_line(&[
        "grade 0.006 undersize",
        "2.2420 to 2.2430",
        "2.2445 to 2.2460",
        "journals ground undersize",
    ])
    .says_on_a_line(&["journals ground undersize reopens:", "M1 M2 M3", "R1 R2 R3 R4"]);
}

/// T3EX and T4EX out; S-1 is the better for T4EX, and the only one for T3EX.
///
/// | | S-1 0.8736 | S-2 0.8728, 0.8727 |
/// |---|---|---|
/// | T3EX, bore 0.8766, 0.8768 | 0.0032 L, margin 0.0008 | 0.0041 L, out |
/// | T4EX, bore 0.8758, 0.8759 | 0.0022 L to 0.0023 L, margin 0.0012 | 0.0032 L, margin 0.0008 |
#[test]
fn the_exact_pairing_brings_in_what_the_best_first_leaves_out() {
    let job = Script::first();
    let text = job.read("job/readings.toml");
    let changes = [
        ("T", "T3EX.shaft = [0.8730, 0.8728]", "T3EX.shaft = [0.8725, 0.8724]"),
        ("T", "T4EX.shaft = [0.8733, 0.8732]", "T4EX.shaft = [0.8717, 0.8716]"),
    ];
    job.write("job/readings.toml", planted(&text, &changes));
    let spare = |id: &str, read: &str| {
        format!("[[spare]]\nid = \"{id}\"\nfeature = \"tappet-body\"\nread = [{read}]\n\n")
    };
    let shelf = spare("S-1", "0.8736, 0.8736") + &spare("S-2", "0.8728, 0.8727");
    job.write("spares.toml", &shelf);
    let ran = job.run("whatif job --spares spares.toml").status(1);
    ran.says("tappet body: 2 on the shelf, 2 out")
        .says_on_a_line(&["T3EX", "S-1", "within service limits", "margin 0.0008"])
        .says_on_a_line(&["T4EX", "S-2", "within service limits", "margin 0.0008"])
        .says("tappet bodies changed reopens: XT tappet bodies; T3EX tappet in guide");
    // One alone goes where it leaves the most margin.
    job.write("spares.toml", spare("S-1", "0.8736, 0.8736"));
    let ran = job.run("whatif job --spares spares.toml").status(1);
    ran.says_on_a_line(&["T3EX", "none left: 1 would do"])
        .says_on_a_line(&["T4EX", "S-1", "0.0012"]);
}

#[test]
fn a_list_of_spares_with_faults_is_told_by_line() {
    let job = Script::first();
    job.write(
        "spares.toml",
        "[[spare]]\nid = \"S-1\"\nfeature = \"tappet-bodies\"\nread = [0.8736, 0.8736]\n\n\
         [[spare]]\nid = \"S-2\"\nfeature = \"tappet-body\"\nread = [0.8736]\n\n\
         [[spare]]\nid = \"S-3\"\nfeature = \"cam-journal\"\nread = [1.3730, 1.3730]\n",
    );
    let ran = job.run("whatif job --spares spares.toml").status(2);
    ran.complains("spares.toml:3")
        .complains("spares.toml:9")
        .complains("one part for all its 3 places");
}

/// Bores 1.3752 1.3753, 1.3767 1.3768 and, C3 read again, 1.3755 1.3757.
/// Loosest with S-7: 1.3753 - 1.3732 = 0.0021, 1.3768 - 1.3732 = 0.0036,
/// 1.3757 - 1.3731 = 0.0026 L; with S-8 at C2 1.3768 - 1.3717 = 0.0051 L.
#[test]
fn a_spare_for_all_places_is_held_against_each_of_them() {
    let job = Script::first();
    let text = job.read("job/readings.toml").replacen("1.4007]", "1.3757]", 1);
    job.write("job/readings.toml", text);
    let spare = |id: &str, read: &str| {
        format!("[[spare]]\nid = \"{id}\"\nfeature = \"cam-journal\"\nread = [{read}]\n\n")
    };
    let shelf = spare("S-8", "[1.3730, 1.3730], [1.3718, 1.3717], [1.3729, 1.3729]")
        + &spare("S-7", "[1.3733, 1.3732], [1.3732, 1.3732], [1.3731, 1.3731]");
    job.write("spares.toml", shelf);
    let ran = job.run("whatif job --spares spares.toml").status(1);
    let ran = ran
        .says("camshaft, one part for all its places: 2 on the shelf, out: C2")
        .says("S-7: 3 of 3 fits inside")
        .says("S-8: 2 of 3 fits inside")
        // 0.0050 - 0.0036 and 0.0035 - 0.0010: the nearer end of the service fit.
        .says_on_a_line(&["C2", "within service limits, margin 0.0014"])
        .says_on_a_line(&["C2", "out, loose by 0.0001"])
        .says_on_a_line(&["camshaft changed reopens:", "C1 C2 C3", "EC", "BG"]);
    let (best, other) = (ran.out.find("S-7:"), ran.out.find("S-8:"));
    assert!(best < other, "the best first:\n{}", ran.out);
    // Two journals read of three.
    job.write("spares.toml", spare("S-7", "[1.3733, 1.3732], [1.3732, 1.3732]"));
    let ran = job.run("whatif job --spares spares.toml").status(2);
    ran.complains("camshaft is one part for all its 3 places");
}
