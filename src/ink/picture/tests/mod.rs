//! Tests of reading pictures: what comes out, what is told, and what stops in time.

mod drawings;

use super::*;
use ::png as png_library;
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};
use proptest::prelude::*;
use resvg::tiny_skia::Color;

/// A JPEG of 16 by 8 dots: a red square, and a white one to its right.
const TWO_SQUARES: &[u8] = &[
    0xFF, 0xD8, 0xFF, 0xE0, 0x00, 0x10, 0x4A, 0x46, 0x49, 0x46, 0x00, 0x01, 0x01, 0x00, 0x00, 0x01,
    0x00, 0x01, 0x00, 0x00, 0xFF, 0xDB, 0x00, 0x43, 0x00, 0x0D, 0x09, 0x0A, 0x0B, 0x0A, 0x08, 0x0D,
    0x0B, 0x0A, 0x0B, 0x0E, 0x0E, 0x0D, 0x0F, 0x13, 0x20, 0x15, 0x13, 0x12, 0x12, 0x13, 0x27, 0x1C,
    0x1E, 0x17, 0x20, 0x2E, 0x29, 0x31, 0x30, 0x2E, 0x29, 0x2D, 0x2C, 0x33, 0x3A, 0x4A, 0x3E, 0x33,
    0x36, 0x46, 0x37, 0x2C, 0x2D, 0x40, 0x57, 0x41, 0x46, 0x4C, 0x4E, 0x52, 0x53, 0x52, 0x32, 0x3E,
    0x5A, 0x61, 0x5A, 0x50, 0x60, 0x4A, 0x51, 0x52, 0x4F, 0xFF, 0xDB, 0x00, 0x43, 0x01, 0x0E, 0x0E,
    0x0E, 0x13, 0x11, 0x13, 0x26, 0x15, 0x15, 0x26, 0x4F, 0x35, 0x2D, 0x35, 0x4F, 0x4F, 0x4F, 0x4F,
    0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F,
    0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F,
    0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0x4F, 0xFF, 0xC0,
    0x00, 0x11, 0x08, 0x00, 0x08, 0x00, 0x10, 0x03, 0x01, 0x22, 0x00, 0x02, 0x11, 0x01, 0x03, 0x11,
    0x01, 0xFF, 0xC4, 0x00, 0x16, 0x00, 0x01, 0x01, 0x01, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00,
    0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x05, 0x07, 0xFF, 0xC4, 0x00, 0x14, 0x10, 0x01, 0x00,
    0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0xFF,
    0xC4, 0x00, 0x15, 0x01, 0x01, 0x01, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00,
    0x00, 0x00, 0x00, 0x00, 0x04, 0x05, 0xFF, 0xC4, 0x00, 0x1A, 0x11, 0x00, 0x01, 0x05, 0x01, 0x00,
    0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x00, 0x04, 0x05, 0x41, 0x42,
    0x81, 0xC1, 0xFF, 0xDA, 0x00, 0x0C, 0x03, 0x01, 0x00, 0x02, 0x11, 0x03, 0x11, 0x00, 0x3F, 0x00,
    0x84, 0xDA, 0xC0, 0x74, 0xF2, 0x58, 0x76, 0xA6, 0xF0, 0xFF, 0xD9,
];

fn read_one(bytes: &[u8]) -> Result<Raster, PictureError> {
    read(bytes, &mut Budget::default())
}

/// A picture as large as it may be on a page.
fn on_page(bytes: &[u8]) -> Picture {
    read_one(bytes).unwrap().printed(pt(468.0), pt(390.0))
}

fn trouble(bytes: &[u8]) -> PictureError {
    read_one(bytes).unwrap_err()
}

fn svg(inner: &str) -> Vec<u8> {
    let head = r#"<svg xmlns="http://www.w3.org/2000/svg" width="96" height="96">"#;
    format!("{head}{inner}</svg>").into_bytes()
}

/// A PNG of a size and kind whose samples are given row by row.
fn png_of(
    (columns, rows): (u32, u32),
    kind: (png_library::ColorType, png_library::BitDepth),
    prepare: impl FnOnce(&mut png_library::Encoder<'_, &mut Vec<u8>>),
    samples: &[u8],
) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = png_library::Encoder::new(&mut bytes, columns, rows);
    encoder.set_color(kind.0);
    encoder.set_depth(kind.1);
    prepare(&mut encoder);
    let mut writer = encoder.write_header().unwrap();
    writer.write_image_data(samples).unwrap();
    writer.finish().unwrap();
    bytes
}

const RGB: (png_library::ColorType, png_library::BitDepth) =
    (png_library::ColorType::Rgb, png_library::BitDepth::Eight);

/// A JPEG of four squares, 16 dots each: red and green over blue and white.
fn four_squares(prepare: impl FnOnce(&mut Encoder<&mut Vec<u8>>)) -> Vec<u8> {
    let dots = (0..32_u32).flat_map(|y| (0..32_u32).map(move |x| (x < 16, y < 16)));
    let dots = dots.flat_map(|place| match place {
        (true, true) => [255, 0, 0],
        (false, true) => [0, 255, 0],
        (true, false) => [0, 0, 255],
        (false, false) => [255; 3],
    });
    jpeg_of(32, 32, &dots.collect::<Vec<u8>>(), ColorType::Rgb, prepare)
}

fn jpeg_of(
    columns: u16,
    rows: u16,
    samples: &[u8],
    kind: ColorType,
    prepare: impl FnOnce(&mut Encoder<&mut Vec<u8>>),
) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, 95);
    encoder.set_sampling_factor(SamplingFactor::F_1_1);
    prepare(&mut encoder);
    encoder.encode(samples, columns, rows, kind).unwrap();
    bytes
}

/// Exif data that says how the camera was held, and where, in words.
fn exif_data(orientation: u8) -> Vec<u8> {
    let mut exif = b"MM\0\x2A\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0".to_vec();
    exif.extend([orientation, 0, 0, 0, 0, 0, 0]);
    exif.extend(b"GPS 53.55 N 9.99 E");
    exif
}

/// The dots that a picture has on paper, whatever it is packed as.
fn dots(picture: &Picture) -> Sheet {
    match &picture.data {
        PictureData::Dots(dots) => {
            Sheet { columns: picture.columns, rows: picture.rows, dots: dots.to_vec() }
        }
        PictureData::Jpeg { bytes, .. } => read_one(bytes).unwrap().sheet,
    }
}

/// The colours of the corners of a sheet, roughly: each part 0, 1 or 2.
fn corners(sheet: &Sheet) -> [[u8; 3]; 4] {
    let (right, low) = (sheet.columns - 3, sheet.rows - 3);
    [(2, 2), (right, 2), (2, low), (right, low)].map(|(x, y)| {
        let at = (y * sheet.columns + x) as usize * 3;
        [0, 1, 2].map(|part| sheet.dots[at + part].saturating_add(40) / 110)
    })
}

const RED: [u8; 3] = [2, 0, 0];
const GREEN: [u8; 3] = [0, 2, 0];
const BLUE: [u8; 3] = [0, 0, 2];
const WHITE: [u8; 3] = [2, 2, 2];

fn holds(bytes: &[u8], words: &[u8]) -> bool {
    bytes.windows(words.len()).any(|window| window == words)
}

#[test]
fn a_png_comes_back_and_lies_on_white() {
    let mut map = Pixmap::new(2, 1).unwrap();
    map.pixels_mut()[0] = Color::BLACK.premultiply().to_color_u8();
    let picture = on_page(&map.encode_png().unwrap());
    assert_eq!((picture.columns, picture.rows), (2, 1));
    assert_eq!((picture.width, picture.height), (pt(1.5), pt(0.75)));
    assert_eq!(picture.data, PictureData::Dots([0, 0, 0, 255, 255, 255].into()));
    let again = encoded(2, 1, picture.data.bytes()).unwrap();
    assert_eq!(on_page(&again), picture);
}

#[test]
fn every_kind_of_png_has_its_colours() {
    use png_library::{BitDepth, ColorType as Kind};
    let nothing = |_: &mut png_library::Encoder<'_, &mut Vec<u8>>| {};
    let palette = |encoder: &mut png_library::Encoder<'_, &mut Vec<u8>>| {
        encoder.set_palette(&[255, 0, 0, 0, 0, 0][..]);
        encoder.set_trns(&[255, 0][..]);
    };
    for (name, bytes) in [
        (
            "sixteen bits",
            png_of(
                (2, 1),
                (Kind::Rgb, BitDepth::Sixteen),
                nothing,
                &[255, 255, 0, 0, 0, 0, 255, 255, 255, 255, 255, 255],
            ),
        ),
        (
            "a palette, one of it clear",
            png_of((2, 1), (Kind::Indexed, BitDepth::One), palette, &[0x40]),
        ),
        (
            "colours that cover in part",
            png_of((2, 1), (Kind::Rgba, BitDepth::Eight), nothing, &[255, 0, 0, 255, 9, 9, 9, 0]),
        ),
        (
            "a clear colour",
            png_of(
                (2, 1),
                RGB,
                |encoder| encoder.set_trns(&[0, 9, 0, 9, 0, 9][..]),
                &[255, 0, 0, 9, 9, 9],
            ),
        ),
    ] {
        let read = read_one(&bytes).unwrap().sheet;
        assert_eq!(read.dots, [255, 0, 0, 255, 255, 255], "{name}");
    }
    let shades = png_of((4, 1), (Kind::Grayscale, BitDepth::Two), nothing, &[0b0001_1011]);
    let greys: Vec<u8> = [0, 85, 170, 255].iter().flat_map(|&grey| [grey; 3]).collect();
    assert_eq!(read_one(&shades).unwrap().sheet.dots, greys);
}

/// Two by two dots, interlaced (ISO 15948, 8.2): 10 and 20 over 30 and 40.
const INTERLACED: &[u8] = &[
    0x89, 0x50, 0x4E, 0x47, 0x0D, 0x0A, 0x1A, 0x0A, 0x00, 0x00, 0x00, 0x0D, 0x49, 0x48, 0x44, 0x52,
    0x00, 0x00, 0x00, 0x02, 0x00, 0x00, 0x00, 0x02, 0x08, 0x00, 0x00, 0x00, 0x01, 0x20, 0xDA, 0x62,
    0x6E, 0x00, 0x00, 0x00, 0x0F, 0x49, 0x44, 0x41, 0x54, 0x78, 0x9C, 0x63, 0xE0, 0x62, 0x10, 0x61,
    0x90, 0xD3, 0x00, 0x00, 0x00, 0xF7, 0x00, 0x65, 0x9F, 0x55, 0xB2, 0x05, 0x00, 0x00, 0x00, 0x00,
    0x49, 0x45, 0x4E, 0x44, 0xAE, 0x42, 0x60, 0x82,
];

#[test]
fn an_interlaced_png_is_put_together() {
    let greys: Vec<u8> = [10, 20, 30, 40].iter().flat_map(|&grey| [grey; 3]).collect();
    assert_eq!(read_one(INTERLACED).unwrap().sheet.dots, greys);
}

#[test]
fn a_jpeg_is_read_and_kept_as_it_is() {
    let picture = on_page(TWO_SQUARES);
    assert_eq!((picture.columns, picture.rows), (16, 8));
    let sheet = dots(&picture);
    assert!(sheet.dots[0] > 150 && sheet.dots[1] < 90, "{:?}", &sheet.dots[..3]);
    assert!(sheet.dots.last().is_some_and(|&blue| blue > 240));
    assert_eq!(picture.data, PictureData::Jpeg { bytes: TWO_SQUARES.into(), grey: false });
}

#[test]
fn what_does_not_show_of_a_photograph_stays_behind() {
    let private = |encoder: &mut Encoder<&mut Vec<u8>>| {
        encoder.add_exif_metadata(&exif_data(1)).unwrap();
        encoder
            .add_app_segment(1, b"http://ns.adobe.com/xap/1.0/\0a description".to_vec())
            .unwrap();
        encoder.add_app_segment(13, b"Photoshop 3.0\0a description".to_vec()).unwrap();
    };
    let mut bytes = four_squares(private);
    // A remark, and a film behind the end, as telephones put it there.
    bytes.splice(2..2, *b"\xFF\xFE\0\x0Fa description");
    bytes.extend(b"a description");
    assert!(holds(&bytes, b"GPS") && holds(&bytes, b"a description"));
    let picture = on_page(&bytes);
    let PictureData::Jpeg { bytes: kept, .. } = &picture.data else { panic!("no JPEG") };
    assert!(!holds(kept, b"GPS") && !holds(kept, b"a description") && !holds(kept, b"Exif"));
    assert_eq!(corners(&dots(&picture)), [RED, GREEN, BLUE, WHITE]);
    assert!(kept.len() < bytes.len());
}

#[test]
fn a_photograph_is_upright_however_the_camera_was_held() {
    for (orientation, seen) in [
        (1, [RED, GREEN, BLUE, WHITE]),
        (3, [WHITE, BLUE, GREEN, RED]),
        (6, [BLUE, RED, WHITE, GREEN]),
        (8, [GREEN, WHITE, RED, BLUE]),
    ] {
        let bytes =
            four_squares(|encoder| encoder.add_exif_metadata(&exif_data(orientation)).unwrap());
        let picture = on_page(&bytes);
        assert_eq!(corners(&dots(&picture)), seen, "JPEG {orientation}");
        assert!(!holds(picture.data.bytes(), b"GPS"));
    }
    let exif = exif_data(6);
    let info = |encoder: &mut png_library::Encoder<'_, &mut Vec<u8>>| {
        encoder.add_text_chunk("Comment".into(), "a description".into()).unwrap();
    };
    let mut bytes = png_of((1, 2), RGB, info, &[1, 1, 1, 2, 2, 2]);
    // Before the dots (ISO 15948, 11.3).
    let at = bytes.windows(4).position(|window| window == b"IDAT").unwrap() - 4;
    bytes.splice(at..at, chunk(b"eXIf", &exif));
    let picture = on_page(&bytes);
    assert_eq!((picture.columns, picture.rows), (2, 1));
    assert_eq!(*picture.data.bytes().to_vec(), [2, 2, 2, 1, 1, 1]);
}

/// A chunk of a PNG (ISO 15948, 5.3).
fn chunk(kind: &[u8; 4], data: &[u8]) -> Vec<u8> {
    let mut sum = flate2::Crc::new();
    sum.update(kind);
    sum.update(data);
    let length = u32::try_from(data.len()).unwrap().to_be_bytes();
    [&length[..], kind, data, &sum.sum().to_be_bytes()].concat()
}

#[test]
fn a_colour_profile_is_followed() {
    let wide = moxcms::ColorProfile::new_display_p3().encode().unwrap();
    let plain = moxcms::ColorProfile::new_srgb().encode().unwrap();
    let green = [100, 200, 100].repeat(64);
    let photograph = |profile: &[u8]| {
        jpeg_of(8, 8, &green, ColorType::Rgb, |encoder| encoder.add_icc_profile(profile).unwrap())
    };
    // Display P3 is wider than sRGB: the same numbers are a purer green.
    let seen = dots(&on_page(&photograph(&wide))).dots;
    assert!(seen[0] < 90 && seen[1] > 200, "{:?}", &seen[..3]);
    let picture = on_page(&photograph(&plain));
    let seen = dots(&picture).dots;
    assert!(seen[0].abs_diff(100) <= 3 && seen[1].abs_diff(200) <= 3, "{:?}", &seen[..3]);
    // In a PNG the same.
    let mut packed = flate2::write::ZlibEncoder::new(Vec::new(), flate2::Compression::fast());
    std::io::Write::write_all(&mut packed, &wide).unwrap();
    let mut bytes = png_of((8, 8), RGB, |_| {}, &green);
    let data = [b"wide\0\0".to_vec(), packed.finish().unwrap()].concat();
    bytes.splice(33..33, chunk(b"iCCP", &data));
    let seen = read_one(&bytes).unwrap().sheet.dots;
    assert!(seen[0] < 90 && seen[1] > 200, "{:?}", &seen[..3]);
}

#[test]
fn every_kind_of_jpeg_has_its_colours() {
    let squares = [RED, GREEN, BLUE, WHITE];
    let progressive = four_squares(|encoder| encoder.set_progressive(true));
    assert_eq!(corners(&dots(&on_page(&progressive))), squares, "progressive");
    let restarts = four_squares(|encoder| encoder.set_restart_interval(1));
    assert_eq!(corners(&dots(&on_page(&restarts))), squares, "with restarts");
    let grey = jpeg_of(8, 8, &[100; 64], ColorType::Luma, |_| {});
    let picture = on_page(&grey);
    assert!(matches!(picture.data, PictureData::Jpeg { grey: true, .. }));
    assert!(dots(&picture).dots.iter().all(|&part| part.abs_diff(100) <= 2));
    // Cyan; the encoder stores it as Adobe does, 0 for a full ink.
    let inks = [255, 0, 0, 0].repeat(64);
    for kind in [ColorType::Cmyk, ColorType::CmykAsYcck] {
        let four_inks = jpeg_of(8, 8, &inks, kind, |_| {});
        let seen = dots(&on_page(&four_inks)).dots;
        assert!(seen[0] <= 4 && seen[1] >= 250 && seen[2] >= 250, "{kind:?}: {:?}", &seen[..3]);
    }
}

#[test]
fn large_pictures_are_printed_at_300_dots_an_inch() {
    let noise: Vec<u8> =
        (0..1200_u32 * 800 * 3).map(|at| (at.wrapping_mul(2_654_435_761) >> 24) as u8).collect();
    let png = png_of((1200, 800), RGB, |_| {}, &noise);
    let jpeg = jpeg_of(1200, 800, &noise, ColorType::Rgb, |_| {});
    for bytes in [png, jpeg] {
        let raster = read_one(&bytes).unwrap();
        for (widest, columns) in [(144.0, 600), (72.0, 300)] {
            let picture = raster.printed(pt(widest), pt(500.0));
            assert!((picture.width.0 - widest).abs() < 0.01);
            assert_eq!(picture.columns, columns);
            assert_eq!(dots(&picture).columns, columns);
        }
    }
}

#[test]
fn fifty_million_dots_are_not_too_many() {
    let mut bytes = Vec::new();
    let mut encoder = png_library::Encoder::new(&mut bytes, 8660, 5774);
    encoder.set_color(png_library::ColorType::Grayscale);
    encoder.set_depth(png_library::BitDepth::One);
    let mut writer = encoder.write_header().unwrap();
    writer.write_image_data(&vec![0xFF; 1083 * 5774]).unwrap();
    writer.finish().unwrap();
    let picture = on_page(&bytes);
    assert_eq!((picture.columns, picture.rows), (1950, 1300));
    assert!(picture.data.bytes().iter().all(|&part| part == 255));
}

#[test]
fn pictures_are_made_to_fit() {
    let svg = b"<svg xmlns='http://www.w3.org/2000/svg' width='200' height='100'>\
        <rect width='100' height='100'/></svg>";
    let raster = read_one(svg).unwrap();
    for (widest, highest, size) in
        [(500.0, 500.0, (150.0, 75.0)), (60.0, 500.0, (60.0, 30.0)), (500.0, 30.0, (60.0, 30.0))]
    {
        let picture = raster.printed(pt(widest), pt(highest));
        assert_eq!((picture.width.0, picture.height.0), size);
    }
}

#[test]
fn what_cannot_be_read_says_why() {
    assert_eq!(trouble(&svg("<text>a</text>")), PictureError::Words);
    assert_eq!(
        trouble(&svg("<switch><foreignObject><p>a</p></foreignObject></switch>")),
        PictureError::Words
    );
    assert!(read_one(&svg("<text> </text>")).is_ok(), "no words, nothing lost");
    assert_eq!(trouble(b"GIF89a"), PictureError::Kind);
    assert_eq!(trouble(b""), PictureError::Kind);
    assert_eq!(trouble(b"\x89PNG\r\n\x1a\n"), PictureError::BreaksOff);
    let mut huge = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR".to_vec();
    huge.extend([0, 1, 0, 0, 0, 1, 0, 0, 8, 0, 0, 0, 0]);
    let sum = chunk(b"IHDR", &huge[16..29]).split_off(21);
    huge.extend(sum);
    assert_eq!(trouble(&huge), PictureError::Dots(65_536 * 65_536));
    assert_eq!(trouble(b"<svg"), PictureError::Damaged);
}

#[test]
fn whatever_is_cut_off_a_file_is_told() {
    let noise: Vec<u8> = (0..64_u32 * 64 * 3).map(|at| ((at * at) >> 5) as u8).collect();
    let files = [
        ("PNG", png_of((64, 64), RGB, |_| {}, &noise)),
        ("JPEG", jpeg_of(64, 64, &noise, ColorType::Rgb, |_| {})),
        ("progressive JPEG", jpeg_of(64, 64, &noise, ColorType::Rgb, |e| e.set_progressive(true))),
    ];
    for (name, bytes) in files {
        assert!(read_one(&bytes).is_ok(), "{name}");
        for length in (9..bytes.len()).step_by(bytes.len() / 50) {
            let cut = trouble(&bytes[..length]);
            assert_eq!(cut, PictureError::BreaksOff, "{name}, {length} of {}", bytes.len());
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn damaged_bytes_never_panic(at in 0..TWO_SQUARES.len(), byte in any::<u8>(), cut in 0..TWO_SQUARES.len()) {
        let mut bytes = TWO_SQUARES.to_vec();
        bytes[at] = byte;
        let _ = read_one(&bytes);
        bytes.truncate(cut);
        let _ = read_one(&bytes);
    }
}
