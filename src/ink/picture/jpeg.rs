//! JPEG (ITU-T T.81): photographs, read, stripped of all that doesn't show, and packed.

use super::colour::{Said, Samples, ToPaper};
use super::sheet::{Reducer, Sheet, within};
use super::{Budget, Embedded, LONGEST_SIDE, PictureError, Raster, exif};
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};
use std::borrow::Cow;
use std::sync::Arc;
use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::bytestream::ZCursor;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

/// How well photographs are packed that can't stay as they are, of 100: what is lost isn't seen.
const QUALITY: u8 = 92;

/// Over so many dots a file's scans may go, as a multiple of its size: cameras and editors that save
/// a picture in ever finer scans make ten or so. Each takes about a quarter of the work of a file
/// with one.
const SCANS_A_SIZE: u64 = 4;

/// Reads a photograph.
pub(super) fn read(bytes: &[u8], budget: &mut Budget) -> Result<Raster, PictureError> {
    let stripped = stripped(bytes).ok_or(PictureError::BreaksOff)?;
    let headers = decoder(bytes, ColorSpace::RGB)?;
    let info = headers.info().ok_or(PictureError::Damaged)?;
    let (columns, rows) = (u32::from(info.width), u32::from(info.height));
    let work = budget.check_size(columns, rows)?;
    budget.spend(work * stripped.scans.div_ceil(SCANS_A_SIZE).max(1))?;
    let samples = match info.components {
        1 => Samples::Grey,
        3 => Samples::Rgb,
        4 => Samples::Cmyk,
        _ => return Err(PictureError::Damaged),
    };
    let said = headers.icc_profile();
    let said = Said { profile: said.as_deref(), gamma: None };
    let to_paper = ToPaper::new(samples, &said);
    let inks = Inks { ycck: stripped.adobe == Some(2), inverted: stripped.adobe.is_some() };
    let dots = decoded(bytes, samples, inks)?;
    let mut reducer =
        Reducer::new((columns, rows), within((columns, rows), (LONGEST_SIDE, LONGEST_SIDE)));
    let mut line = Vec::new();
    for row in dots.chunks_exact((columns as usize * samples.count()).max(1)) {
        to_paper.put(&inks.straight(samples, row), &mut line);
        reducer.take(&line);
    }
    let orientation = exif::orientation(info.exif_data.as_deref());
    let sheet = reducer.sheet().turned(orientation);
    let as_it_is = orientation == 1 && to_paper.is_plain() && stripped.is_usual();
    let file = as_it_is.then(|| Embedded {
        columns,
        rows,
        grey: samples == Samples::Grey,
        bytes: Arc::from(stripped.bytes),
    });
    let size = if orientation > 4 { (rows, columns) } else { (columns, rows) };
    Ok(Raster::of_photograph(size, sheet, file))
}

/// A decoder that has read the headers.
fn decoder(bytes: &[u8], space: ColorSpace) -> Result<JpegDecoder<ZCursor<&[u8]>>, PictureError> {
    let longest = usize::from(u16::MAX);
    let options = DecoderOptions::default()
        .jpeg_set_out_colorspace(space)
        .set_max_width(longest)
        .set_max_height(longest)
        .set_strict_mode(true);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    decoder.decode_headers().map_err(|_| PictureError::Damaged)?;
    Ok(decoder)
}

fn decoded(bytes: &[u8], samples: Samples, inks: Inks) -> Result<Vec<u8>, PictureError> {
    let space = match samples {
        Samples::Grey => ColorSpace::Luma,
        Samples::Cmyk if inks.ycck => ColorSpace::YCCK,
        Samples::Cmyk => ColorSpace::CMYK,
        _ => ColorSpace::RGB,
    };
    decoder(bytes, space)?.decode().map_err(|_| PictureError::Damaged)
}

/// How a file of four inks stores them.
#[derive(Debug, Clone, Copy)]
struct Inks {
    /// The first three as luma and chroma.
    ycck: bool,
    /// 255 is none of an ink, as Adobe's files have it.
    inverted: bool,
}

impl Inks {
    /// A row with 255 for a full ink; of other samples as it is.
    fn straight<'a>(&self, samples: Samples, row: &'a [u8]) -> Cow<'a, [u8]> {
        if samples != Samples::Cmyk {
            return row.into();
        }
        let dots = row.as_chunks::<4>().0.iter();
        dots.flat_map(|&dot| {
            let dot = if self.ycck { from_luma(dot) } else { dot };
            if self.inverted { dot.map(|ink| u8::MAX - ink) } else { dot }
        })
        .collect()
    }
}

/// Luma and chroma as inks (ITU-T T.871, section 7, whose red is 255 less the cyan).
fn from_luma([luma, blue, red, black]: [u8; 4]) -> [u8; 4] {
    let (luma, blue, red) = (f32::from(luma), f32::from(blue) - 128.0, f32::from(red) - 128.0);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    // Casts stay within 0 to 255.
    let ink = |light: f32| (255.0 - light).round() as u8;
    [
        ink(luma + 1.402 * red),
        ink(luma - 0.344_136 * blue - 0.714_136 * red),
        ink(luma + 1.772 * blue),
        black,
    ]
}

/// A file without what doesn't show: no Exif, no words, no small pictures, nothing behind its end.
struct Stripped {
    bytes: Vec<u8>,
    scans: u64,
    /// Whether it says that it is luma and chroma (ITU-T T.871).
    jfif: bool,
    /// The way of its colours in an Adobe segment: 0 as they are, 1 luma and chroma, 2 also black.
    adobe: Option<u8>,
    /// The numbers of its components.
    components: Vec<u8>,
}

impl Stripped {
    /// Whether all readers take its colours for shades, or for luma and chroma.
    fn is_usual(&self) -> bool {
        match (self.components.as_slice(), self.adobe) {
            ([_], _) | ([_, _, _], Some(1)) => true,
            ([1, 2, 3], None) => true,
            ([_, _, _], None) => self.jfif,
            _ => false,
        }
    }
}

/// Strips a file; `None` where it ends before its end is marked.
fn stripped(bytes: &[u8]) -> Option<Stripped> {
    let (bytes_kept, components) = (Vec::with_capacity(bytes.len()), Vec::new());
    let mut kept = Stripped { bytes: bytes_kept, scans: 0, jfif: false, adobe: None, components };
    kept.bytes.extend(bytes.get(..2)?);
    let mut rest = bytes.get(2..)?;
    loop {
        // A marker may stand behind any number of 0xFF (annex B.1.1.2).
        let at = rest.iter().position(|&byte| byte != 0xFF)?;
        let code = *rest.get(at)?;
        rest = rest.get(at + 1..)?;
        match code {
            0xD9 => {
                kept.bytes.extend([0xFF, 0xD9]);
                return Some(kept);
            }
            0x01 | 0xD0..=0xD8 => {}
            _ => {
                let length = usize::from(u16::from_be_bytes(*rest.first_chunk()?));
                let (segment, behind) = rest.split_at_checked(length.max(2))?;
                kept.keep(code, segment);
                rest = behind;
            }
        }
        if code == 0xDA {
            kept.scans += 1;
            let coded = end_of_scan(rest)?;
            kept.bytes.extend(rest.get(..coded)?);
            rest = rest.get(coded..)?;
        } else if rest.first() != Some(&0xFF) {
            // Some writers leave stray bytes between segments.
            rest = rest.get(rest.iter().position(|&byte| byte == 0xFF)?..)?;
        }
    }
}

impl Stripped {
    /// Keeps a segment, its length included, if it shows.
    fn keep(&mut self, code: u8, segment: &[u8]) {
        let mut segment = Cow::from(segment);
        match code {
            // Frames, tables, restarts, scans.
            0xC0..=0xCF | 0xDA..=0xDF => {}
            0xE0 if segment.get(2..7) == Some(b"JFIF\0") && segment.len() >= 16 => {
                self.jfif = true;
                let plain = segment.to_mut();
                plain.truncate(16);
                // Its own length; no small picture.
                plain.splice(0..2, [0, 16]);
                plain.splice(14..16, [0, 0]);
            }
            0xEE if segment.get(2..7) == Some(b"Adobe") => {
                self.adobe = segment.get(13).copied();
            }
            _ => return,
        }
        let is_frame = matches!(code, 0xC0..=0xCF) && !matches!(code, 0xC4 | 0xC8 | 0xCC);
        if is_frame && self.components.is_empty() {
            let numbers = segment.get(8..).unwrap_or_default().chunks(3);
            self.components = numbers.filter_map(|it| it.first()).copied().collect();
        }
        self.bytes.extend([0xFF, code]);
        self.bytes.extend(&*segment);
    }
}

/// Where the coded data of a scan ends: at a marker that is no restart.
fn end_of_scan(data: &[u8]) -> Option<usize> {
    let mut at = 0;
    loop {
        at += data.get(at..)?.iter().position(|&byte| byte == 0xFF)?;
        match data.get(at + 1)? {
            0x00 | 0xD0..=0xD7 => at += 2,
            0xFF => at += 1,
            _ => return Some(at),
        }
    }
}

/// A sheet packed as JPEG, and whether it has shades only; `None` if it has too many dots for one.
pub(super) fn packed(sheet: &Sheet) -> Option<(Vec<u8>, bool)> {
    let (columns, rows) = (u16::try_from(sheet.columns).ok()?, u16::try_from(sheet.rows).ok()?);
    let dots = sheet.dots.as_chunks::<3>().0;
    let grey = dots.iter().all(|[red, green, blue]| red == green && green == blue);
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, QUALITY);
    encoder.set_sampling_factor(SamplingFactor::F_2_2);
    if grey {
        let shades: Vec<u8> = dots.iter().map(|[shade, ..]| *shade).collect();
        encoder.encode(&shades, columns, rows, ColorType::Luma).ok()?;
    } else {
        encoder.encode(&sheet.dots, columns, rows, ColorType::Rgb).ok()?;
    }
    Some((bytes, grey))
}
