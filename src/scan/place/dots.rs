//! Between the dots of a picture.

use crate::scan::Grey;

/// Between dots; `None` outside the picture.
pub fn dot(picture: &Grey, x: f64, y: f64) -> Option<f64> {
    if !(x >= 0.0 && y >= 0.0) {
        return None;
    }
    let (left, top) = (x as usize, y as usize);
    if left + 1 >= picture.width || top + 1 >= picture.height {
        return None;
    }
    let (right, down) = (x - left as f64, y - top as f64);
    let at = top * picture.width + left;
    let value = |n: usize| f64::from(picture.dots[n]);
    let upper = value(at) * (1.0 - right) + value(at + 1) * right;
    let at = at + picture.width;
    let lower = value(at) * (1.0 - right) + value(at + 1) * right;
    Some(upper * (1.0 - down) + lower * down)
}
