//! Stub.
use super::patch::Patch;
pub type Answer = [i32; 12];
pub fn look(_: &Patch) -> [Answer; 2] {
    [[0; 12]; 2]
}
