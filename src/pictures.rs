//! Photographs: what is read of one, and what is published of it. The published files are made of the pixels alone:
//! where and when a picture was taken, by whom and with what, stays at home.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::PngEncoder;
use image::imageops::FilterType;
use image::{DynamicImage, ImageDecoder, ImageEncoder, ImageFormat, ImageReader, Limits, RgbImage};
use moxcms::{ColorProfile, DataColorSpace, Layout, TransformOptions};

/// A file above this size is no photograph, in bytes.
pub const LARGEST_FILE: u64 = 64 * 1024 * 1024;

/// More than telephones take unless told to; a small file can claim far more, and would fill the memory.
pub const MOST_PIXELS: u64 = 64_000_000;

/// Widths that are published, in pixels, as far as the photograph is that wide.
const WIDTHS: [u32; 3] = [480, 960, 1600];

/// The folder of the site.
const FOLDER: &str = "photos";

/// Of 100; below 75 skies show bands, above 85 files grow and nobody sees why.
const JPEG_QUALITY: u8 = 78;

/// A published file: its path from the root of the site, and its bytes.
pub type Published = (String, Vec<u8>);

/// A photograph as it is published.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// Of the file as it was taken, so that a photograph that did not change keeps its names.
    digest: String,
    /// Of the widest published file, in pixels, the right way up.
    pub width: u32,
    /// Of the widest published file, in pixels.
    pub height: u32,
    /// Its mean colour: red, green, blue.
    pub ground: [u8; 3],
}

/// Why a file cannot be shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unusable {
    /// The machine would not let us read it; its reason.
    Unreadable(String),
    /// Its size in bytes.
    LargeFile(u64),
    /// Its width and height in pixels.
    ManyPixels(u32, u32),
    /// None of the kinds that are read.
    NotAPicture,
    /// It begins like a picture, and ends too soon or makes no sense.
    Broken,
}

impl fmt::Display for Unusable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Unusable::Unreadable(reason) => write!(f, "it cannot be read: {reason}"),
            Unusable::LargeFile(size) => write!(f, "the file has {} MB", size / 1_000_000),
            Unusable::ManyPixels(width, height) => write!(f, "it has {width} × {height} pixels"),
            Unusable::NotAPicture => write!(f, "it is not a JPEG, PNG or WebP picture"),
            Unusable::Broken => write!(f, "it is damaged or cut short"),
        }
    }
}

impl Picture {
    /// The photographs whose published files all stand in a site, by digest; `paths` are its files.
    pub fn standing<'a>(paths: impl IntoIterator<Item = &'a str>) -> BTreeMap<String, Picture> {
        let mut widths: BTreeMap<String, (Picture, BTreeSet<u32>)> = BTreeMap::new();
        for (picture, width) in paths.into_iter().filter_map(Picture::of_path) {
            let of = widths.entry(picture.digest.clone());
            of.or_insert_with(|| (picture, BTreeSet::new())).1.insert(width);
        }
        let whole = widths.into_iter().filter(|(_, (picture, found))| {
            picture.widths().iter().all(|width| found.contains(width))
        });
        whole.map(|(digest, (picture, _))| (digest, picture)).collect()
    }

    /// The widths of its published files, narrowest first.
    pub fn widths(&self) -> Vec<u32> {
        let narrower = WIDTHS.into_iter().filter(|width| *width < self.width);
        narrower.chain([self.width]).collect()
    }

    /// Where the published file of one of its widths lies, from the root of the site.
    pub fn path(&self, width: u32) -> String {
        let Picture { digest, width: full, height, ground: [red, green, blue] } = self;
        format!("{FOLDER}/{digest}-{full}x{height}-{red:02x}{green:02x}{blue:02x}-{width}.jpg")
    }

    fn of_path(path: &str) -> Option<(Picture, u32)> {
        let name = path.strip_prefix(FOLDER)?.strip_prefix('/')?.strip_suffix(".jpg")?;
        let [digest, size, ground, width] = name.split('-').collect::<Vec<_>>().try_into().ok()?;
        let (full, height) = size.split_once('x')?;
        let ground = u32::from_str_radix(ground, 16).ok()?.to_be_bytes();
        let picture = Picture {
            digest: digest.to_owned(),
            width: full.parse().ok()?,
            height: height.parse().ok()?,
            ground: [ground[1], ground[2], ground[3]],
        };
        let width = width.parse().ok()?;
        (picture.path(width) == path).then_some((picture, width))
    }

    /// The published files of a photograph: the path and the bytes of each width.
    ///
    /// # Errors
    /// If it is not a picture, too large or broken.
    pub fn make(bytes: &[u8]) -> Result<(Picture, Vec<Published>), Unusable> {
        let (mut image, to_srgb) = decoded(bytes)?;
        let mut made = Vec::new();
        let full = image.width().min(WIDTHS[WIDTHS.len() - 1]);
        let mut picture = Picture {
            digest: digest(bytes),
            width: full,
            height: height_at(&image, full),
            ground: [0; 3],
        };
        let mut encoded = Vec::new();
        for width in picture.widths().into_iter().rev() {
            if width != image.width() {
                let height = height_at(&image, width);
                // Each from the next wider one, which is as good to the eye and a tenth of the work.
                image = image.resize_exact(width, height, FilterType::CatmullRom);
            }
            let mut pixels = image.to_rgb8();
            to_srgb(&mut pixels);
            let mut jpeg = Vec::new();
            let encoder = JpegEncoder::new_with_quality(&mut jpeg, JPEG_QUALITY);
            pixels.write_with_encoder(encoder).map_err(|_| Unusable::Broken)?;
            picture.ground = mean(&pixels);
            encoded.push((width, jpeg));
        }
        for (width, jpeg) in encoded {
            made.push((picture.path(width), jpeg));
        }
        Ok((picture, made))
    }
}

/// What the name of a photograph's published files begins with.
pub fn digest(bytes: &[u8]) -> String {
    blake3::hash(bytes).to_hex()[..16].to_owned()
}

/// How many pixels a picture has, as its head says.
///
/// # Errors
/// If it is not a picture, or has too many.
pub fn pixels(bytes: &[u8]) -> Result<u64, Unusable> {
    let (width, height) = reader(bytes)?.into_dimensions().map_err(|_| Unusable::Broken)?;
    let pixels = u64::from(width) * u64::from(height);
    match pixels {
        0 => Err(Unusable::Broken),
        1..=MOST_PIXELS => Ok(pixels),
        _ => Err(Unusable::ManyPixels(width, height)),
    }
}

fn reader(bytes: &[u8]) -> Result<ImageReader<Cursor<&[u8]>>, Unusable> {
    if bytes.len() as u64 > LARGEST_FILE {
        return Err(Unusable::LargeFile(bytes.len() as u64));
    }
    let reader = ImageReader::new(Cursor::new(bytes)).with_guessed_format();
    let mut reader = reader.map_err(|_| Unusable::NotAPicture)?;
    match reader.format() {
        Some(ImageFormat::Jpeg | ImageFormat::Png | ImageFormat::WebP) => {}
        _ => return Err(Unusable::NotAPicture),
    }
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_PIXELS * 8);
    reader.limits(limits);
    Ok(reader)
}

type ToSrgb = Box<dyn Fn(&mut RgbImage)>;

/// The picture the right way up, without transparency, and what makes its colours those of the web.
fn decoded(bytes: &[u8]) -> Result<(DynamicImage, ToSrgb), Unusable> {
    pixels(bytes)?;
    if is_jpeg_cut_short(bytes) {
        return Err(Unusable::Broken);
    }
    let mut decoder = reader(bytes)?.into_decoder().map_err(|_| Unusable::Broken)?;
    let orientation = decoder.orientation().map_err(|_| Unusable::Broken)?;
    // A profile that cannot be read is as good as none.
    let profile = decoder.icc_profile().ok().flatten();
    let mut image = DynamicImage::from_decoder(decoder).map_err(|_| Unusable::Broken)?;
    image.apply_orientation(orientation);
    let image = if image.color().has_alpha() { on_white(&image) } else { image };
    Ok((DynamicImage::ImageRgb8(image.to_rgb8()), to_srgb(profile.as_deref())))
}

/// Whether a JPEG file has no end of image (marker FFD9) behind the start of its scan (FFDA): decoders fill what is
/// missing with grey, and say nothing.
fn is_jpeg_cut_short(bytes: &[u8]) -> bool {
    let mut at = 2;
    while let Some(&[0xff, marker, high, low]) = bytes.get(at..at + 4) {
        if marker == 0xda {
            return !bytes[at..].windows(2).any(|pair| pair == [0xff, 0xd9]);
        }
        at += 2 + usize::from(u16::from_be_bytes([high, low]));
    }
    false
}

fn on_white(image: &DynamicImage) -> DynamicImage {
    let mut white = RgbImage::from_pixel(image.width(), image.height(), image::Rgb([255; 3]));
    for (below, above) in white.pixels_mut().zip(image.to_rgba8().pixels()) {
        let [red, green, blue, alpha] = above.0.map(u32::from);
        let over = |colour: u32| ((colour * alpha + 255 * (255 - alpha) + 127) / 255) as u8;
        below.0 = [over(red), over(green), over(blue)];
    }
    white.into()
}

fn to_srgb(profile: Option<&[u8]>) -> ToSrgb {
    let transform = || {
        let from = ColorProfile::new_from_slice(profile?).ok()?;
        if from.color_space != DataColorSpace::Rgb {
            return None;
        }
        let options = TransformOptions::default();
        from.create_transform_8bit(Layout::Rgb, &ColorProfile::new_srgb(), Layout::Rgb, options)
            .ok()
    };
    match transform() {
        None => Box::new(|_| {}),
        Some(transform) => Box::new(move |pixels| {
            let before = pixels.clone();
            // It fails only where the two differ in length.
            if transform.transform(&before, pixels).is_err() {
                *pixels = before;
            }
        }),
    }
}

fn height_at(image: &DynamicImage, width: u32) -> u32 {
    let exact = u64::from(image.height()) * u64::from(width);
    ((exact + u64::from(image.width()) / 2) / u64::from(image.width())).max(1) as u32
}

fn mean(pixels: &RgbImage) -> [u8; 3] {
    let mut sums = [0u64; 3];
    for pixel in pixels.pixels() {
        for (sum, value) in sums.iter_mut().zip(pixel.0) {
            *sum += u64::from(value);
        }
    }
    let number = u64::from(pixels.width()) * u64::from(pixels.height());
    sums.map(|sum| (sum / number.max(1)) as u8)
}

/// A picture of plain rectangles on a ground, as PNG: left and right end, upper and lower end, colour; nothing if one
/// lies outside.
pub fn painted(
    [width, height]: [u32; 2],
    ground: [u8; 3],
    blocks: impl Iterator<Item = ([u32; 2], [u32; 2], [u8; 3])>,
) -> Option<Vec<u8>> {
    let mut picture = RgbImage::from_pixel(width, height, image::Rgb(ground));
    for (x, y, colour) in blocks {
        for (row, column) in (y[0]..y[1]).flat_map(|row| (x[0]..x[1]).map(move |x| (row, x))) {
            *picture.get_pixel_mut_checked(column, row)? = image::Rgb(colour);
        }
    }
    let mut bytes = Vec::new();
    let encoder = PngEncoder::new(&mut bytes);
    encoder.write_image(picture.as_raw(), width, height, image::ExtendedColorType::Rgb8).ok()?;
    Some(bytes)
}
