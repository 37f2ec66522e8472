//! How many of a thing, in words.

/// `1 page`, `3 pages`; `1 box`, `2 boxes`.
pub fn count(number: usize, one: &str) -> String {
    match number {
        1 => format!("1 {one}"),
        _ if one.ends_with('x') => format!("{number} {one}es"),
        _ => format!("{number} {one}s"),
    }
}

#[cfg(test)]
mod tests {
    use super::count;

    #[test]
    fn one_and_many() {
        let said = [0, 1, 2].map(|n| [count(n, "page"), count(n, "box")].join(", "));
        assert_eq!(said, ["0 pages, 0 boxes", "1 page, 1 box", "2 pages, 2 boxes"]);
    }
}
