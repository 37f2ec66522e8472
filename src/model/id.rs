//! Places in the tables of an engine and of a limits file, from 0: each names
//! its own table, so that one cannot be taken for another.

use super::engine::{Feature, Part};
use super::line::Line;
use std::ops::Index;

macro_rules! id {
    ($name:ident, $of:ty) => {
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub usize);

        impl Index<$name> for Vec<$of> {
            type Output = $of;

            fn index(&self, id: $name) -> &$of {
                &self[id.0]
            }
        }
    };
}

id!(FeatureId, Feature);
id!(LineId, Line);
id!(PartId, Part);
