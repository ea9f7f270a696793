//! A score as a WAV file: 44.1 kHz, 16 bit, stereo, written as it is made.

use super::Score;
use super::render::render;
use super::strings::RATE;
use std::io::{self, BufWriter, Seek, Write};

/// Plays a score into a WAV file, with the A above middle C at `pitch` Hz. `progress` is told of each piece how
/// many samples it has; all together are [`length`](super::render::length).
///
/// # Errors
///
/// Where it can't be written to what it is written to.
pub fn write(
    score: &Score,
    pitch: f64,
    to: impl Write + Seek,
    progress: &mut dyn FnMut(u64),
) -> io::Result<()> {
    let form = hound::WavSpec {
        channels: 2,
        sample_rate: RATE,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let mut writer = hound::WavWriter::new(BufWriter::new(to), form).map_err(failed)?;
    render(score, pitch, &mut |samples| {
        let sides = samples.as_flattened();
        let mut piece = writer.get_i16_writer(u32::try_from(sides.len()).unwrap_or(u32::MAX));
        sides.iter().for_each(|side| piece.write_sample(*side));
        piece.flush().map_err(failed)?;
        progress(samples.len() as u64);
        Ok::<(), io::Error>(())
    })?;
    writer.finalize().map_err(failed)
}

fn failed(error: hound::Error) -> io::Error {
    match error {
        hound::Error::IoError(error) => error,
        other => io::Error::other(other),
    }
}
