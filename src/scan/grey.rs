//! Pictures of all kinds to shades of grey.

use std::io::Cursor;

use fax::decoder::{decode_g4, pels};
use png::{ColorType, Transformations};
use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::bytestream::ZCursor;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

use crate::pdf::Samples;

/// Dots of one picture: A4 at 800 dots an inch.
pub const MOST_DOTS: u64 = 64 << 20;
/// Dots of a JPEG picture times its parts: ten parts of A4 at 600 dots an inch.
const MOST_GONE_OVER: u64 = 384 << 20;
/// Packed bytes of one fax page.
const MOST_FAX: usize = 8 << 20;

/// Rows of dots, 0 black and 255 white.
pub struct Grey {
    pub width: usize,
    pub height: usize,
    pub dots: Vec<u8>,
}

impl Grey {
    /// The dot that a place lies on, or the nearest of the picture.
    pub fn nearest(&self, x: f64, y: f64) -> u8 {
        // NaN comes out as the first dot.
        let within = |at: f64, count: usize| (at + 0.5).clamp(0.0, (count - 1) as f64) as usize;
        self.dots[within(y, self.height) * self.width + within(x, self.width)]
    }

    /// The grey between four dots, whose middles lie at whole numbers.
    pub fn between(&self, x: f64, y: f64) -> f64 {
        let split = |at: f64, count: usize| {
            let at = at.clamp(0.0, (count - 1) as f64);
            let low = at as usize;
            (low, (low + 1).min(count - 1), at - at.floor())
        };
        let (left, right, part_x) = split(x, self.width);
        let (top, bottom, part_y) = split(y, self.height);
        let row = |y: usize| {
            let dot = |x: usize| f64::from(self.dots[y * self.width + x]);
            dot(left) + (dot(right) - dot(left)) * part_x
        };
        row(top) + (row(bottom) - row(top)) * part_y
    }

    /// The same; `None` outside the picture.
    pub fn within(&self, x: f64, y: f64) -> Option<f64> {
        let inside = |at: f64, count: usize| at >= 0.0 && at < (count - 1) as f64;
        (inside(x, self.width) && inside(y, self.height)).then(|| self.between(x, y))
    }
}

/// Asked before memory is taken for a picture of a width and a height.
pub type Allow<'a> = &'a mut dyn FnMut((u32, u32)) -> Result<(), String>;

pub fn jpeg(bytes: &[u8], allow: Allow<'_>) -> Result<Grey, String> {
    let broken = |error| format!("a damaged JPEG picture: {}", first_line(&format!("{error:?}")));
    let options = DecoderOptions::new_safe()
        .set_max_width(65_535)
        .set_max_height(65_535)
        .jpeg_set_out_colorspace(ColorSpace::Luma);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    decoder.decode_headers().map_err(broken)?;
    let size = decoder.info().map(|info| (u32::from(info.width), u32::from(info.height)));
    let (width, height) = size.ok_or("a JPEG picture without a size")?;
    allow((width, height))?;
    // A scan of a picture in parts goes over all of it (ITU-T T.81, G.1).
    let parts = bytes.windows(2).filter(|pair| *pair == [0xFF, 0xDA]).count() as u64;
    if parts * u64::from(width) * u64::from(height) > MOST_GONE_OVER {
        return Err("a JPEG picture in too many parts; save it anew, not progressive".to_owned());
    }
    // Inks and unusual spaces cannot be asked for as grey.
    let colours = match decoder.input_colorspace() {
        Some(ColorSpace::YCbCr | ColorSpace::Luma) => 1,
        _ => {
            let options = options.jpeg_set_out_colorspace(ColorSpace::RGB);
            decoder.set_options(options);
            3
        }
    };
    let dots = decoder.decode().map_err(broken)?;
    let (width, height) = (width as usize, height as usize);
    if dots.len() < width * height * colours {
        return Err("a JPEG picture that is cut short".to_owned());
    }
    let dots = match colours {
        1 => dots,
        _ => dots.chunks_exact(3).map(|c| luminance([c[0], c[1], c[2]])).collect(),
    };
    Ok(Grey { width, height, dots })
}

pub fn png(bytes: &[u8], allow: Allow<'_>) -> Result<Grey, String> {
    let broken = |error: png::DecodingError| {
        format!("a damaged PNG picture: {}", first_line(&error.to_string()))
    };
    let limits = png::Limits { bytes: MOST_DOTS as usize * 4 };
    let mut decoder = png::Decoder::new_with_limits(Cursor::new(bytes), limits);
    decoder.set_transformations(Transformations::EXPAND | Transformations::STRIP_16);
    let mut reader = decoder.read_info().map_err(broken)?;
    let (width, height) = (reader.info().width, reader.info().height);
    allow((width, height))?;
    let size = reader.output_buffer_size().ok_or("a PNG picture that is too large")?;
    let mut out = vec![0; size];
    let frame = reader.next_frame(&mut out).map_err(broken)?;
    let (width, height) = (width as usize, height as usize);
    let grey = |grey: u8, seen: u8| 255 - ((u16::from(255 - grey) * u16::from(seen)) / 255) as u8;
    let dots: Vec<u8> = match frame.color_type {
        ColorType::Grayscale => out,
        ColorType::GrayscaleAlpha => out.chunks_exact(2).map(|c| grey(c[0], c[1])).collect(),
        ColorType::Rgb => out.chunks_exact(3).map(|c| luminance([c[0], c[1], c[2]])).collect(),
        ColorType::Rgba => {
            out.chunks_exact(4).map(|c| grey(luminance([c[0], c[1], c[2]]), c[3])).collect()
        }
        ColorType::Indexed => return Err("a PNG picture of an unusual kind".to_owned()),
    };
    whole(width, height, dots)
}

pub fn samples(samples: &Samples, allow: Allow<'_>) -> Result<Grey, String> {
    allow((samples.width, samples.height))?;
    let (width, height) = (samples.width as usize, samples.height as usize);
    let (bits, colours) = (samples.bits as usize, samples.colours as usize);
    let row = (width * bits * colours).div_ceil(8);
    let highest = (1_u32 << bits.min(8)) - 1;
    let mut dots = Vec::with_capacity(width * height);
    for line in samples.bytes.chunks_exact(row.max(1)).take(height) {
        for x in 0..width {
            let sample = |nth: usize| sample(line, (x * colours + nth) * bits, bits);
            let scaled = |nth: usize| (u32::from(sample(nth)) * 255 / highest) as u8;
            let grey = match (&samples.palette, colours) {
                (Some(palette), _) => {
                    palette.get(usize::from(sample(0))).map_or(255, |rgb| luminance(*rgb))
                }
                (None, 3) => luminance([scaled(0), scaled(1), scaled(2)]),
                (None, 4) => inks([scaled(0), scaled(1), scaled(2), scaled(3)]),
                (None, _) => scaled(0),
            };
            dots.push(if samples.inverted { 255 - grey } else { grey });
        }
    }
    whole(width, height, dots)
}

/// One sample, its upper eight bits where it has sixteen.
fn sample(line: &[u8], bit: usize, bits: usize) -> u8 {
    let byte = line.get(bit / 8).copied().unwrap_or(255);
    match bits {
        8 | 16 => byte,
        _ => (byte >> (8 - bits - bit % 8)) & ((1_u8 << bits) - 1),
    }
}

pub fn fax(
    (width, height): (u32, u32),
    inverted: bool,
    packed: &[u8],
    allow: Allow<'_>,
) -> Result<Grey, String> {
    if packed.len() > MOST_FAX {
        return Err("a fax page that is too large".to_owned());
    }
    allow((width, height))?;
    let most = width as usize * height as usize;
    let mut dots = Vec::with_capacity(most);
    let (ink, paper) = if inverted { (255, 0) } else { (0, 255) };
    // A page that breaks off is judged by what came before.
    let _ = decode_g4(packed.iter().copied(), width, Some(height), |line| {
        if dots.len() < most {
            let colours = pels(line, width);
            dots.extend(
                colours.map(|colour| if colour == fax::Color::Black { ink } else { paper }),
            );
        }
    });
    dots.resize(most, paper);
    whole(width as usize, height as usize, dots)
}

fn whole(width: usize, height: usize, dots: Vec<u8>) -> Result<Grey, String> {
    if width == 0 || dots.len() != width * height {
        return Err("a picture that is cut short".to_owned());
    }
    Ok(Grey { width, height, dots })
}

/// ITU-R BT.601, in whole numbers.
fn luminance([r, g, b]: [u8; 3]) -> u8 {
    ((u32::from(r) * 299 + u32::from(g) * 587 + u32::from(b) * 114) / 1000) as u8
}

fn inks([c, m, y, k]: [u8; 4]) -> u8 {
    let light = |ink: u8| ((255 - u16::from(ink)) * (255 - u16::from(k)) / 255) as u8;
    luminance([light(c), light(m), light(y)])
}

fn first_line(text: &str) -> String {
    let line = text.lines().next().unwrap_or_default().chars().take(80);
    line.map(|c| if c.is_ascii_graphic() || c == ' ' { c } else { '?' }).collect()
}
