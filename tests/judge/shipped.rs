//! The limits that the program carries: clean under the proof-reader, and
//! every line says something sensible of itself.

use super::ranges::drawn;
use benchleaf::diag::{Diags, Sources};
use benchleaf::judge::{BoxKind, Context, State, check, proof};
use benchleaf::load;
use benchleaf::model::engine::Engine;
use benchleaf::model::job::{Rule, Scope};
use benchleaf::model::limits::{Kind, Limits};
use std::path::Path;

fn shipped() -> (Engine, Limits) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Sources::default();
    for name in ["demo/engine.toml", "limits/tw4-h8.toml"] {
        files.put(name, std::fs::read_to_string(root.join(name)).expect(name));
    }
    let mut out = Diags::new();
    let engine = load::engine(&files, "demo/engine.toml", &mut out).expect("engine");
    let limits = load::limits(&files, "limits/tw4-h8.toml", Some(&engine), &mut out);
    assert_eq!(out.faults(), 0, "{out:?}");
    (engine, limits.expect("limits"))
}

#[test]
fn the_shipped_limits_are_clean() {
    let (engine, limits) = shipped();
    let found = proof(&limits, &engine);
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn every_line_describes_itself() {
    let (engine, limits) = shipped();
    let leaves = super::bench::own_leaves("0.0015 0.002 0.0025 0.003 0.004 0.005 0.006 0.008");
    for scope in [Scope::New, Scope::Service] {
        let setting = Context {
            engine: &engine,
            limits: &limits,
            scope,
            rule: Rule::Simple,
            leaves: &leaves,
            gauges: &[],
            place: None,
        };
        for line in &limits.lines {
            let kind = check(line);
            let groups = kind.groups(&setting);
            assert!(!groups.is_empty(), "{}", line.reference);
            for group in &groups {
                assert!(!group.labels.is_empty(), "{}", line.reference);
                assert_eq!(group.labels.len(), group.governs.len());
                if let BoxKind::Comb { whole, .. } = group.shape {
                    assert!((1..=5).contains(&whole), "{}", line.reference);
                }
            }
            for scale in kind.limits(&setting).scales {
                assert!(!drawn(&scale).is_empty());
            }
            assert!(!kind.limits(&setting).words.is_empty());
            // Blank never passes, whatever the kind.
            let blank = kind.judge(&[], &setting);
            assert_eq!(blank.state, State::Open, "{}", line.reference);
            assert!(!matches!(line.kind, Kind::Fit(_)) || groups.len() == 2);
        }
    }
}
