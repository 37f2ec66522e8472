//! Places in the tables of an engine and of a limits file, from 0: each names
//! its own table, so that one cannot be taken for another.

macro_rules! id {
    ($name:ident) => {
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub usize);
    };
}

/// Beside what a table holds: its ids, and no others, look it up.
macro_rules! table {
    ($of:ty, $id:ty) => {
        impl std::ops::Index<$id> for Vec<$of> {
            type Output = $of;

            fn index(&self, id: $id) -> &$of {
                &self[id.0]
            }
        }
    };
}

pub(super) use table;

id!(FeatureId);
id!(LineId);
id!(PartId);
