//! Photographs: three widths, the right way up, and nothing of what the camera wrote beside them.

use image::codecs::jpeg::JpegEncoder;
use image::{Rgb, RgbImage};
use trug::diagnostics::codes::Code;
use trug::publish::publish;
use trug::render::sink::{Error, MemorySink, Sink};
use trug::render::site_path::SitePath;

use crate::support::garden::{Site, Written};

/// A JPEG file as a telephone writes it, held on its side: red above, green below once it is turned. Its Exif segment (CIPA
/// DC-008, section 4.6) has the orientation 6, a name and the words of a position.
pub(crate) fn taken(width: u32, height: u32) -> Vec<u8> {
    let pixel = |x: u32, _| if x < width / 2 { Rgb([200, 30, 30]) } else { Rgb([30, 160, 40]) };
    let mut plain = Vec::new();
    let image = RgbImage::from_fn(width, height, pixel);
    image.write_with_encoder(JpegEncoder::new_with_quality(&mut plain, 90)).expect("a JPEG file");
    let mut tiff = b"II*\0\x08\0\0\0\x02\0".to_vec();
    // 0x010f, the maker: ASCII, 16 bytes at 38. 0x0112, the orientation: one SHORT.
    tiff.extend([0x0f, 0x01, 2, 0, 16, 0, 0, 0, 38, 0, 0, 0]);
    tiff.extend([0x12, 0x01, 3, 0, 1, 0, 0, 0, 6, 0, 0, 0]);
    tiff.extend([0, 0, 0, 0]);
    tiff.extend(b"qzgps 50N 14E  \0");
    let mut file = plain[..2].to_vec();
    file.extend([0xff, 0xe1]);
    file.extend(((tiff.len() + 8) as u16).to_be_bytes());
    file.extend(b"Exif\0\0");
    file.extend(tiff);
    file.extend(&plain[2..]);
    file
}

fn told(front: &str) -> Written {
    Written::new().entry(
        "2026-04-02",
        &format!(
            "title: Up\nplantings: [{{id: tom-26, crop: tomato, sown: 12, place: Pot}}]\n{front}"
        ),
        "They are up.",
    )
}

fn published(site: &Site) -> Vec<&str> {
    let paths = site.files.keys().map(String::as_str);
    paths.filter(|path| path.starts_with("photos/")).collect()
}

#[test]
fn three_widths_the_right_way_up_and_without_a_position() {
    let bytes = taken(2400, 1200);
    assert!(bytes.windows(5).any(|some| some == b"qzgps"), "the test's own file has one");
    let site = told("photos: [{file: up.jpg, shows: Two rows of seedlings}]")
        .photo("photos/up.jpg", bytes)
        .site();
    let found = published(&site);
    assert_eq!(found.len(), 3, "{found:?}");
    for (path, width) in found.iter().zip([1200, 480, 960]) {
        assert!(path.ends_with(&format!("-{width}.jpg")), "{path}");
        let image = image::load_from_memory(&site.files[*path]).expect("a picture").to_rgb8();
        assert_eq!(image.dimensions(), (width, width * 2));
        let (above, below) =
            (image.get_pixel(width / 2, 9), image.get_pixel(width / 2, width * 2 - 9));
        assert!(above[0] > 150 && above[1] < 80 && below[1] > 120 && below[0] < 80);
    }
    assert_eq!(site.holding("qzgps"), Vec::<&str>::new());
    assert_eq!(site.holding("Exif"), Vec::<&str>::new());
    for page in ["journal/2026/04/02-up/index.html", "index.html", "plantings/tom-26/index.html"] {
        let page = String::from_utf8_lossy(&site.files[page]);
        let words = ["alt=\"Two rows of seedlings\"", "width=\"1200\"", "height=\"2400\"", " 480w"];
        assert!(words.iter().all(|word| page.contains(word)), "{page}");
    }
}

#[test]
fn a_small_one_is_not_blown_up_and_one_of_two_names_is_published_once() {
    let front = "photos: [{file: a.jpg, shows: One}, {file: b.jpg, shows: The same}]";
    let garden = told(front).photo("journal/a.jpg", taken(40, 30));
    let site = garden.photo("photos/b.jpg", taken(40, 30)).site();
    let found = published(&site);
    assert!(found.len() == 1 && found[0].ends_with("-30.jpg"), "{found:?}");
}

#[test]
fn what_is_no_picture_is_told_with_its_line() {
    let whole = taken(600, 400);
    let cut = whole[..whole.len() / 2].to_vec();
    for bytes in [b"no picture".to_vec(), Vec::new(), whole[..40].to_vec(), cut] {
        let garden = told("photos: [{file: up.jpg, shows: Seedlings}]");
        let inputs = garden.photo("photos/up.jpg", bytes.clone()).inputs();
        let mut sink = trug::render::sink::MemorySink::new();
        let published = trug::publish::publish(&inputs, &mut sink).expect("room in memory");
        let codes: Vec<Code> = published.problems.iter().map(|problem| problem.code).collect();
        assert!(codes.contains(&Code::PhotoUnusable), "{} bytes: {codes:?}", bytes.len());
        assert!(!published.is_complete);
    }
}

/// A page without a photograph has the season as its picture, of the size that programs ask for; where nobody knows
/// the site's address, there is none.
#[test]
fn the_preview_card_is_the_season_in_lines() {
    let garden = told("").also_set("site-address: https://kiln-lane.example/");
    let site = garden.site();
    let tag = "<meta property=\"og:image\" content=\"https://kiln-lane.example/card.png\">";
    for page in ["index.html", "crops/tomato/index.html", "plantings/tom-26/index.html"] {
        assert_eq!(site.text(page).matches("og:image\"").count(), 1, "{page}");
        assert!(site.text(page).contains(tag), "{page}");
    }
    let card = image::load_from_memory(&site.files["card.png"]).expect("a picture").to_rgb8();
    assert_eq!((card.width(), card.height()), (1200, 630));
    // Sown on 2 April and growing on 20 June: the line of the one crop is in the middle, green from April on.
    let at = |day: u32| card.get_pixel(60 + day * 1080 / 365, 315).0;
    assert_eq!((at(30), at(130)), ([0xe5, 0xe2, 0xd8], [0x25, 0x6c, 0x4e]));
    assert_eq!(site.files["card.png"], garden.site().files["card.png"]);
    assert!(!told("").site().files.contains_key("card.png"));
}

/// A sink that remembers how far the photographs were.
struct Listening {
    kept: MemorySink,
    heard: Vec<(usize, usize)>,
}

impl Sink for Listening {
    fn put(&mut self, path: &SitePath, bytes: Vec<u8>) -> Result<(), Error> {
        self.kept.put(path, bytes)
    }

    fn photographs_made(&mut self, made: usize, of: usize) {
        self.heard.push((made, of));
    }
}

#[test]
fn somebody_who_waits_hears_how_far_the_photographs_are() {
    let garden = told("photos: [{file: a.jpg, shows: One}, {file: b.jpg, shows: Another}]")
        .photo("journal/a.jpg", taken(500, 400))
        .photo("journal/b.jpg", taken(600, 400));
    let mut sink = Listening { kept: MemorySink::new(), heard: Vec::new() };
    assert!(publish(&garden.inputs(), &mut sink).unwrap().is_complete);
    assert_eq!(sink.heard.last(), Some(&(2, 2)), "{:?}", sink.heard);
    assert!(sink.heard.is_sorted());
}
