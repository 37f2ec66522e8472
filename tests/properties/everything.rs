//! An engine with a part of every kind and a line of every way, for what the
//! forms and the lists of kinds say of engines unlike the job's own.

use benchleaf::diag::{Diags, Sources};
use benchleaf::load;
use benchleaf::sheet::expand;
use std::fmt::Write;

/// The sheets of the job's engine with a part of every kind, each in a group of
/// its own, and a line of every way; the messages alone where it cannot be read.
pub fn sheets(files: &Sources) -> String {
    let text = |name: &str| files.get(name).map_or(String::new(), |text| text.to_string());
    let kinds = text("forms/kinds.toml");
    let named = |table: &str| -> Vec<String> {
        let heads = kinds.lines().filter_map(|line| line.strip_prefix(table)?.strip_suffix(']'));
        heads.map(str::to_owned).collect()
    };
    let (mut engine, mut limits) = (text("engine.toml"), text("limits.toml"));
    for (n, kind) in named("[kinds.").iter().enumerate() {
        let _ = write!(
            engine,
            "\n[parts.of-{kind}]\nkinds = \"{kind}\"\n[groups.of-{kind}]\nletter = \"Y{n}\"\n\
             title = \"{kind}\"\nparts = [\"of-{kind}\"]\n"
        );
        let _ = write!(
            limits,
            "\n[[line]]\nref = \"YK{n}\"\nname = \"{kind}\"\nkind = \"recorded\"\n\
             part = \"of-{kind}\"\nlabels = [\"A\"]\n"
        );
    }
    for (n, way) in named("[ways.").iter().enumerate() {
        let _ = write!(
            engine,
            "\n[parts.by-{way}]\n[groups.by-{way}]\nletter = \"W{n}\"\ntitle = \"{way}\"\n\
             parts = [\"by-{way}\"]\n"
        );
        let own = kinds.split(&format!("[ways.{way}]")).nth(1).unwrap_or_default();
        let own = own.split("\n[").next().unwrap_or_default();
        let kind = own.lines().find_map(|line| line.strip_prefix("lines")?.split('"').nth(1));
        let kind = match kind {
            Some("fit" | "size" | "spread" | "feeler") | None => "recorded",
            Some(kind) => kind,
        };
        let _ = write!(
            limits,
            "\n[[line]]\nref = \"YW{n}\"\nname = \"{way}\"\nkind = \"{kind}\"\nway = \"{way}\"\n\
             part = \"by-{way}\"\nlabels = [\"A\"]\n{}",
            if kind == "reading" { "new-max = 0.0010\n" } else { "" }
        );
    }
    let mut all = files.clone();
    all.put("engine.toml", engine);
    all.put("limits.toml", limits);
    let mut out = Diags::new();
    let set = load::blank(&all, &mut out).case().and_then(|case| expand(case, &mut out));
    format!("{:?}\n{:?}", out.plain(&all), set.map(|set| (set.sheets, set.left_out)))
}

/// The engine reads, and what only it has is on its sheets: without that no
/// change of the lists would ever be seen there.
#[test]
fn an_engine_of_every_kind_has_sheets() {
    let job = crate::record::Job::last();
    let usual = sheets(job.files());
    let seen = |file: &str, from: &str, to: &str| {
        let mut files = job.files().clone();
        let text = files.get(file).expect("a file of the job").to_string();
        assert!(text.contains(from), "{from} in {file}");
        files.put(file, text.replacen(from, to, 1));
        sheets(&files) != usual
    };
    for words in ["vanes: no nicks, cracks or rubbing", "push hard each way", "heel to nose"] {
        assert!(usual.contains(words), "{words} on no sheet");
    }
    assert!(seen("forms/kinds.toml", "vanes: no nicks", "vanes: no nick"));
    assert!(seen("forms/kinds.toml", "heel to nose", "heel to toe"));
    assert!(seen("forms/assembly-case.toml", "link rods by number", "link rods by numbers"));
    assert!(!seen("forms/kinds.toml", "# ---- bearings", "# ---- all bearings"));
}
