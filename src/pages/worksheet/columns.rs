//! Items together in one block, and columns by their shares of the width.

use crate::layout::canvas::mm;
use crate::layout::length::Len;
use crate::layout::paginate::Block;

/// The tallest block that is made of several items.
const TALL: Len = mm(120.0);

/// Draws items together, at most so many at a time and fewer where that grows
/// tall, never fewer than `least` on purpose.
pub fn parcels<T>(
    mut items: &[T],
    most: usize,
    least: usize,
    draw: impl Fn(&[T]) -> Block,
) -> Vec<(&[T], Block)> {
    let mut parcels = Vec::new();
    while !items.is_empty() {
        let mut count = most.min(items.len());
        let mut block = draw(&items[..count]);
        while block.height > TALL && count > least {
            count = (count / 2).max(least);
            block = draw(&items[..count]);
        }
        parcels.push((&items[..count], block));
        items = &items[count..];
    }
    parcels
}

/// Left edge and width of each column.
pub fn shares<const N: usize>(shares: [i32; N], width: Len) -> [(Len, Len); N] {
    let total: i32 = shares.iter().sum();
    let mut x = Len::ZERO;
    shares.map(|share| {
        let wide = width * share / total;
        x += wide;
        (x - wide, wide)
    })
}
