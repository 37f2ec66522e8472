//! Advice that is followed leads somewhere: no message sends its reader back to
//! what was typed before.

use super::cases::{base, messages};

/// The line that a size's new limits and a fit's service limit stand in.
const SIZE: &str = "new = [0.0030, 0.0080]";
const FIT: &str = "service = \"0.0050L\"";

/// The messages where `typed` stands for one figure of the limits.
fn said(place: &str, typed: &str) -> Vec<String> {
    let text = base().get("limits.toml").expect("limits").to_string();
    let with = match place {
        SIZE => format!("new = [0.0030, {typed}]"),
        _ => format!("service = {typed}"),
    };
    assert_eq!(text.matches(place).count(), 1, "{place}");
    messages("limits", &text.replacen(place, &with, 1))
}

/// What a message advises to type in this place: the figure that stands last in
/// it, or first where a fit is spoken of and one stands here.
fn advised(place: &str, message: &str) -> Option<String> {
    let right = message.rsplit_once("; ")?.1;
    let value = match right.split_once(" where it is a fit, else digits only: ") {
        Some((fit, _)) if place == FIT => fit,
        Some((_, size)) => size,
        None => right.rsplit(": ").next()?.split(" for ").next()?,
    };
    let plain = |c: char| c.is_ascii_digit() || c == '.';
    let bare = value.trim_matches('"').trim_end_matches(['L', 'T']);
    (!bare.is_empty() && bare.chars().all(plain)).then(|| value.to_owned())
}

#[test]
fn advice_never_leads_in_a_circle() {
    let figure = ["0.0090", "0.014", "+0.0090", "00.0090", "0,0090", "9e-3"];
    let behind = ["", "L", "T", "l", " L", "mm", "in", " in"];
    let (mut followed, mut circle) = (0, Vec::new());
    for place in [SIZE, FIT] {
        for (figure, behind) in figure.iter().flat_map(|f| behind.iter().map(move |b| (f, b))) {
            for quote in ["", "\"", "'"] {
                let first = format!("{quote}{figure}{behind}{quote}");
                let mut seen = vec![first.clone()];
                loop {
                    let last = seen.last().expect("one at least").clone();
                    let messages = said(place, &last);
                    let [message] = &messages[..] else { break };
                    let Some(next) = advised(place, message) else { break };
                    followed += 1;
                    if seen.contains(&next) {
                        circle.push(format!("{place}: {seen:?} then {next}: {message}"));
                        break;
                    }
                    seen.push(next);
                }
            }
        }
    }
    assert!(followed > 60, "{followed}");
    assert!(circle.is_empty(), "{}", circle.join("\n"));
}

#[test]
fn a_letter_of_a_fit_behind_a_size_is_taken_off() {
    let bare = said(SIZE, "0.014L").join("\n");
    assert!(bare.contains("\"0.014L\" where it is a fit, else digits only: 0.014"), "{bare}");
    let quoted = said(SIZE, "\"0.014L\"").join("\n");
    assert!(quoted.contains("only a fit is loose or tight"), "{quoted}");
    assert!(quoted.ends_with("digits only, without quotes: 0.014"), "{quoted}");
}
