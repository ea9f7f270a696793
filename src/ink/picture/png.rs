//! PNG (ISO 15948) in all its kinds.

use super::colour::{Said, Samples, ToPaper};
use super::sheet::{Reducer, within};
use super::{Budget, LONGEST_SIDE, PictureError, Raster, exif};
use png::{ColorType, Decoder, DecodingError, Info, Limits, Reader, Transformations};
use std::io::{Cursor, ErrorKind};

/// How much room its tables and two of its lines may take, in bytes.
const ROOM: usize = 16 << 20;

/// Reads a PNG.
pub(super) fn read(bytes: &[u8], budget: &mut Budget) -> Result<Raster, PictureError> {
    let mut decoder = Decoder::new_with_limits(Cursor::new(bytes), Limits { bytes: ROOM });
    decoder.set_ignore_text_chunk(true);
    decoder.set_transformations(Transformations::normalize_to_color8());
    let header = decoder.read_header_info().map_err(damaged)?;
    let size = (header.width, header.height);
    let work = budget.check_size(size.0, size.1)?;
    budget.spend(work)?;
    let mut reader = decoder.read_info().map_err(damaged)?;
    let samples = match reader.output_color_type().0 {
        ColorType::Grayscale => Samples::Grey,
        ColorType::GrayscaleAlpha => Samples::GreyAlpha,
        ColorType::Rgba => Samples::Rgba,
        ColorType::Rgb | ColorType::Indexed => Samples::Rgb,
    };
    let to_paper = ToPaper::new(samples, &said(reader.info()));
    let mut reducer = Reducer::new(size, within(size, (LONGEST_SIDE, LONGEST_SIDE)));
    let mut line = Vec::new();
    rows(&mut reader, samples, |row| {
        to_paper.put(row, &mut line);
        reducer.take(&line);
    })?;
    // What stands behind the dots tells whether the file is whole.
    reader.finish().map_err(damaged)?;
    let orientation = exif::orientation(reader.info().exif_metadata.as_deref());
    let size = if orientation > 4 { (size.1, size.0) } else { size };
    Ok(Raster::of_dots(size, reducer.sheet().turned(orientation)))
}

/// Hands out the rows from the top.
fn rows(
    reader: &mut Reader<Cursor<&[u8]>>,
    samples: Samples,
    mut take: impl FnMut(&[u8]),
) -> Result<(), PictureError> {
    if !reader.info().interlaced {
        while let Some(row) = reader.next_row().map_err(damaged)? {
            take(row.data());
        }
        return Ok(());
    }
    let width = reader.info().width as usize * samples.count();
    let mut dots = vec![0; reader.output_buffer_size().ok_or(PictureError::Damaged)?];
    reader.next_frame(&mut dots).map_err(damaged)?;
    dots.chunks_exact(width.max(1)).for_each(take);
    Ok(())
}

fn said<'a>(info: &'a Info<'_>) -> Said<'a> {
    // A chunk that says sRGB counts before a profile, and either before a gamma (11.3.3).
    if info.srgb.is_some() {
        return Said::default();
    }
    let gamma = info.gama_chunk.map(png::ScaledFloat::into_value);
    Said { profile: info.icc_profile.as_deref(), gamma }
}

#[allow(clippy::needless_pass_by_value)] // Handed to `map_err`.
fn damaged(error: DecodingError) -> PictureError {
    match error {
        DecodingError::IoError(error) if error.kind() == ErrorKind::UnexpectedEof => {
            PictureError::BreaksOff
        }
        DecodingError::LimitsExceeded => PictureError::Size,
        _ => PictureError::Damaged,
    }
}
