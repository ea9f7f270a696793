//! A score as a WAV file: 44.1 kHz, 16 bit, stereo, written as it is made.

use super::Score;
use super::render::render;
use super::strings::RATE;
use std::io::{Seek, Write};

/// Plays a score into a WAV file, with the A above middle C at `pitch` Hz. `progress` is told after each piece how
/// many samples there are, of [`length`](super::render::length).
pub fn write(
    score: &Score,
    pitch: f64,
    to: impl Write + Seek,
    progress: &mut dyn FnMut(u64),
) -> Result<(), hound::Error> {
    let form = hound::WavSpec {
        channels: 2,
        sample_rate: RATE,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let mut writer = hound::WavWriter::new(to, form)?;
    let mut made = 0;
    render(score, pitch, &mut |samples| {
        for side in samples.iter().flatten() {
            writer.write_sample(*side)?;
        }
        made += samples.len() as u64;
        progress(made);
        Ok::<(), hound::Error>(())
    })?;
    writer.finalize()
}
