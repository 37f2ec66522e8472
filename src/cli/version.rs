//! Which program this is: version, revision of its source, set of its forms.

use super::built_in;
use crate::sheet::short_number;
use std::sync::LazyLock;

/// `0.1.0 (revision 3f2a91c, forms 7F3K)`. The forms have a number as a
/// sheet has, of every standard form's text: a shop can tell by it
/// whether two machines print the same.
pub fn version() -> &'static str {
    static VERSION: LazyLock<String> = LazyLock::new(|| {
        let forms = built_in::forms().into_iter();
        let forms: String = forms.flat_map(|(name, text)| [name, "\n", text]).collect();
        format!(
            "{} (revision {}, forms {})",
            env!("CARGO_PKG_VERSION"),
            env!("BENCHLEAF_REVISION"),
            short_number(&forms)
        )
    });
    &VERSION
}
