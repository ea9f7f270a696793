//! A score as a FLAC file (RFC 9639): 44.1 kHz, 16 bit, stereo, packed without loss and written frame by frame as it
//! is made.

use super::Score;
use super::render::render;
use super::strings::RATE;
use flacenc::bitsink::ByteSink;
use flacenc::component::{BitRepr, Frame, Stream, StreamInfo};
use flacenc::config;
use flacenc::encode_fixed_size_frame;
use flacenc::error::{Verified, Verify};
use flacenc::source::{Context, Fill, FrameBuf};
use std::fmt::Debug;
use std::io::{self, BufWriter, Seek, SeekFrom, Write};

/// The samples of a frame, but for the last.
const FRAME: usize = 4096;
/// Left and right.
const SIDES: usize = 2;
/// The bits of a sample.
const BITS: usize = 16;

/// Plays a score into a FLAC file, with the A above middle C at `pitch` Hz. `progress` is told of each piece how
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
    let mut packer = Packer::new(BufWriter::new(to))?;
    render(score, pitch, &mut |samples| {
        packer.take(samples)?;
        progress(samples.len() as u64);
        Ok::<(), io::Error>(())
    })?;
    packer.end()
}

/// Packs samples into frames.
struct Packer<W> {
    to: W,
    config: Verified<config::Encoder>,
    /// What stands at the head of the file, known only at its end.
    info: StreamInfo,
    digest: Context,
    frame: FrameBuf,
    waiting: Vec<i32>,
}

impl<W: Write + Seek> Packer<W> {
    /// Leaves room for the head.
    fn new(mut to: W) -> io::Result<Packer<W>> {
        let info = StreamInfo::new(RATE as usize, SIDES, BITS).map_err(failed)?;
        to.write_all(&head(&info)?)?;
        Ok(Packer {
            to,
            config: settings().into_verified().map_err(failed)?,
            info,
            digest: Context::new(BITS, SIDES),
            frame: FrameBuf::with_size(SIDES, FRAME).map_err(failed)?,
            waiting: Vec::with_capacity(SIDES * FRAME),
        })
    }

    fn take(&mut self, samples: &[[i16; 2]]) -> io::Result<()> {
        for sides in samples {
            self.waiting.extend(sides.map(i32::from));
            if self.waiting.len() >= SIDES * FRAME {
                self.pack()?;
            }
        }
        Ok(())
    }

    /// Packs what waits as a frame.
    fn pack(&mut self) -> io::Result<()> {
        self.digest.fill_interleaved(&self.waiting).map_err(failed)?;
        self.frame.fill_interleaved(&self.waiting).map_err(failed)?;
        self.waiting.clear();
        let number = self.digest.current_frame_number().unwrap_or_default();
        let frame: Frame = encode_fixed_size_frame(&self.config, &self.frame, number, &self.info)
            .map_err(failed)?;
        self.info.update_frame_info(&frame);
        self.to.write_all(&bytes(&frame)?)
    }

    /// Packs the rest, and writes the head.
    fn end(mut self) -> io::Result<()> {
        if !self.waiting.is_empty() {
            self.pack()?;
        }
        self.info.set_block_sizes(FRAME, FRAME).map_err(failed)?;
        self.info.set_md5_digest(&self.digest.md5_digest());
        self.to.seek(SeekFrom::Start(0))?;
        self.to.write_all(&head(&self.info)?)?;
        self.to.flush()
    }
}

/// How frames are packed: by differences of whole numbers alone, so that the bytes are the same on every machine.
fn settings() -> config::Encoder {
    let mut settings = config::Encoder::default();
    settings.subframe_coding.use_lpc = false;
    settings.subframe_coding.fixed.order_sel = config::OrderSel::BitCount;
    settings
}

fn head(info: &StreamInfo) -> io::Result<Vec<u8>> {
    bytes(&Stream::with_stream_info(info.clone()))
}

fn bytes(what: &impl BitRepr) -> io::Result<Vec<u8>> {
    let mut sink = ByteSink::with_capacity(what.count_bits());
    what.write(&mut sink).map_err(failed)?;
    Ok(sink.into_inner())
}

fn failed(error: impl Debug) -> io::Error {
    io::Error::other(format!("{error:?}"))
}
