//! From a file's colours to sRGB on white paper.

use moxcms::{ColorProfile, DataColorSpace, Layout, Transform8BitExecutor, TransformOptions};
use std::sync::Arc;

/// How the samples of a dot are stored, eight bits each.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Samples {
    /// A shade.
    Grey,
    /// A shade and how much it covers.
    GreyAlpha,
    /// Red, green and blue.
    Rgb,
    /// Red, green, blue and how much they cover.
    Rgba,
    /// Four inks, 255 is full.
    Cmyk,
}

impl Samples {
    /// How many there are to a dot.
    pub fn count(self) -> usize {
        match self {
            Samples::Grey => 1,
            Samples::GreyAlpha => 2,
            Samples::Rgb => 3,
            Samples::Rgba | Samples::Cmyk => 4,
        }
    }

    fn has_alpha(self) -> bool {
        matches!(self, Samples::GreyAlpha | Samples::Rgba)
    }

    fn space(self) -> DataColorSpace {
        match self {
            Samples::Grey | Samples::GreyAlpha => DataColorSpace::Gray,
            Samples::Rgb | Samples::Rgba => DataColorSpace::Rgb,
            Samples::Cmyk => DataColorSpace::Cmyk,
        }
    }

    /// How its colours alone, without what they cover, are laid out.
    fn layout(self) -> Layout {
        match self {
            Samples::Grey | Samples::GreyAlpha => Layout::Gray,
            Samples::Rgb | Samples::Rgba => Layout::Rgb,
            Samples::Cmyk => Layout::Rgba,
        }
    }
}

/// What a file says of its colours.
#[derive(Debug, Clone, Default)]
pub(super) struct Said<'a> {
    /// Its colour profile (ICC.1).
    pub profile: Option<&'a [u8]>,
    /// The exponent by which light became its samples, 1/2.2 for most (ISO 15948, 11.3.3.2).
    pub gamma: Option<f32>,
}

/// Turns samples into sRGB on white.
pub(super) struct ToPaper {
    samples: Samples,
    means: Means,
}

/// How colours become sRGB.
enum Means {
    /// They are.
    None,
    /// By a profile.
    Profile(Arc<Transform8BitExecutor>),
    /// Each sample by a curve.
    Curve(Box<[u8; 256]>),
}

impl ToPaper {
    /// The way for samples by what is said of them. A profile that can't be used is passed over, as
    /// browsers do.
    pub fn new(samples: Samples, said: &Said<'_>) -> ToPaper {
        let profile = said.profile.and_then(|profile| transform(samples, profile));
        let curve = || said.gamma.filter(|_| samples != Samples::Cmyk).and_then(curve);
        let means = match profile {
            Some(profile) if is_plain(samples, &*profile) => Means::None,
            Some(profile) => Means::Profile(profile),
            None => curve().map_or(Means::None, Means::Curve),
        };
        ToPaper { samples, means }
    }

    /// Whether the samples are sRGB, or shades of it, as they are.
    pub fn is_plain(&self) -> bool {
        matches!(self.means, Means::None) && !self.samples.has_alpha()
    }

    /// Puts a line of samples on paper; `line` becomes three bytes a dot.
    pub fn put(&self, row: &[u8], line: &mut Vec<u8>) {
        let count = self.samples.count();
        line.clear();
        if !self.samples.has_alpha() {
            return self.colours(row, line);
        }
        let colours: Vec<u8> = row
            .chunks_exact(count)
            .flat_map(|dot| dot.split_last().map_or(&[][..], |it| it.1))
            .copied()
            .collect();
        self.colours(&colours, line);
        let covers = row.chunks_exact(count).filter_map(|dot| dot.last());
        for (dot, &alpha) in line.as_chunks_mut::<3>().0.iter_mut().zip(covers) {
            *dot = dot.map(|part| on_white(part, alpha));
        }
    }

    fn colours(&self, samples: &[u8], line: &mut Vec<u8>) {
        match &self.means {
            Means::Profile(transform) => {
                line.resize(samples.len() / self.samples.layout().channels() * 3, u8::MAX);
                if transform.transform(samples, line).is_err() {
                    line.clear();
                    self.plainly(samples, |sample| sample, line);
                }
            }
            Means::None => self.plainly(samples, |sample| sample, line),
            Means::Curve(curve) => {
                let along = |sample: u8| curve.get(usize::from(sample)).copied().unwrap_or(sample);
                self.plainly(samples, along, line);
            }
        }
    }

    fn plainly(&self, samples: &[u8], along: impl Fn(u8) -> u8, line: &mut Vec<u8>) {
        match self.samples {
            Samples::Grey | Samples::GreyAlpha => {
                line.extend(samples.iter().flat_map(|&shade| [along(shade); 3]));
            }
            Samples::Rgb | Samples::Rgba => line.extend(samples.iter().map(|&part| along(part))),
            Samples::Cmyk => {
                line.extend(
                    samples.as_chunks::<4>().0.iter().flat_map(|&inks| without_profile(inks)),
                );
            }
        }
    }
}

/// Inks as light, as if each took away its own colour only.
fn without_profile([cyan, magenta, yellow, black]: [u8; 4]) -> [u8; 3] {
    [cyan, magenta, yellow].map(|ink| share(u8::MAX - ink, u8::MAX - black))
}

fn on_white(part: u8, alpha: u8) -> u8 {
    share(part, alpha).saturating_add(u8::MAX - alpha)
}

/// A 255th part of the product of two.
fn share(a: u8, b: u8) -> u8 {
    u8::try_from((u32::from(a) * u32::from(b) + 127) / 255).unwrap_or(u8::MAX)
}

fn transform(samples: Samples, profile: &[u8]) -> Option<Arc<Transform8BitExecutor>> {
    let profile = ColorProfile::new_from_slice(profile).ok()?;
    if profile.color_space != samples.space() {
        return None;
    }
    let srgb = ColorProfile::new_srgb();
    let options = TransformOptions::default();
    profile.create_transform_8bit(samples.layout(), &srgb, Layout::Rgb, options).ok()
}

/// Whether a profile leaves colours all but as they are: it is that of sRGB, by whatever name.
fn is_plain(samples: Samples, transform: &Transform8BitExecutor) -> bool {
    const STEPS: [u8; 6] = [0, 51, 102, 153, 204, 255];
    /// What rounding may change.
    const ROUNDING: u8 = 2;
    let probes: Vec<u8> = match samples.layout() {
        Layout::Gray => STEPS.to_vec(),
        Layout::Rgb => {
            let pairs = STEPS.iter().flat_map(|red| STEPS.iter().map(move |green| (*red, *green)));
            pairs
                .flat_map(|(red, green)| STEPS.iter().flat_map(move |blue| [red, green, *blue]))
                .collect()
        }
        _ => return false,
    };
    let mut seen = vec![0; probes.len() / samples.layout().channels() * 3];
    let expected: Vec<u8> = match samples.layout() {
        Layout::Gray => probes.iter().flat_map(|&shade| [shade; 3]).collect(),
        _ => probes.clone(),
    };
    transform.transform(&probes, &mut seen).is_ok()
        && seen.iter().zip(&expected).all(|(a, b)| a.abs_diff(*b) <= ROUNDING)
}

/// The curve from samples of a gamma to those of sRGB; `None` where they are so near that no eye
/// tells them apart, or where the gamma can't be.
fn curve(gamma: f32) -> Option<Box<[u8; 256]>> {
    /// What sRGB comes to, as PNG has it (ISO 15948, 11.3.3.5), and how far from it is the same.
    const USUAL: f32 = 0.45455;
    const NEAR: f32 = 0.02;
    if !(0.1..=10.0).contains(&gamma) || (gamma - USUAL).abs() <= NEAR {
        return None;
    }
    let mut curve = Box::new([0; 256]);
    for (sample, place) in (0_u8..=255).zip(curve.iter_mut()) {
        let light = (f32::from(sample) / 255.0).powf(1.0 / gamma);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // Within 0 to 255.
        let coded = (light.powf(USUAL) * 255.0).round() as u8;
        *place = coded;
    }
    Some(curve)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn put(samples: Samples, said: &Said<'_>, row: &[u8]) -> Vec<u8> {
        let mut line = Vec::new();
        ToPaper::new(samples, said).put(row, &mut line);
        line
    }

    #[test]
    fn every_kind_of_sample_lies_on_white() {
        let said = Said::default();
        assert_eq!(put(Samples::Grey, &said, &[7, 200]), [7, 7, 7, 200, 200, 200]);
        assert_eq!(
            put(Samples::GreyAlpha, &said, &[0, 255, 0, 0, 0, 51]),
            [0, 0, 0, 255, 255, 255, 204, 204, 204]
        );
        assert_eq!(put(Samples::Rgb, &said, &[1, 2, 3]), [1, 2, 3]);
        assert_eq!(put(Samples::Rgba, &said, &[255, 0, 0, 102]), [255, 153, 153]);
        assert_eq!(
            put(Samples::Cmyk, &said, &[0, 255, 255, 0, 0, 0, 0, 255]),
            [255, 0, 0, 0, 0, 0]
        );
    }

    #[test]
    fn a_profile_is_followed_and_that_of_srgb_changes_nothing() {
        let srgb = ColorProfile::new_srgb().encode().unwrap();
        let wide = ColorProfile::new_display_p3().encode().unwrap();
        let said = |profile| Said { profile: Some(profile), gamma: None };
        assert!(ToPaper::new(Samples::Rgb, &said(&srgb)).is_plain());
        assert!(!ToPaper::new(Samples::Rgb, &said(&wide)).is_plain());
        let seen = put(Samples::Rgb, &said(&wide), &[234, 51, 35, 128, 128, 128]);
        // Display P3's (234, 51, 35) is all but the purest red of sRGB (CSS Color 4, color(display-p3)).
        assert!(seen[0] >= 253 && seen[1] <= 6 && seen[2] <= 6, "{seen:?}");
        assert!(seen[3..].iter().all(|part| part.abs_diff(128) <= 1), "{seen:?}");
        assert_eq!(put(Samples::Rgb, &said(b"no profile"), &[1, 2, 3]), [1, 2, 3]);
        assert_eq!(put(Samples::Grey, &said(&wide), &[9]), [9; 3], "a profile of another space");
    }

    #[test]
    fn a_gamma_is_followed() {
        let linear = Said { profile: None, gamma: Some(1.0) };
        assert_eq!(
            put(Samples::Grey, &linear, &[0, 55, 255]),
            [0, 0, 0, 127, 127, 127, 255, 255, 255]
        );
        let usual = Said { profile: None, gamma: Some(0.45455) };
        assert!(ToPaper::new(Samples::Grey, &usual).is_plain());
        let absurd = Said { profile: None, gamma: Some(0.0) };
        assert_eq!(put(Samples::Grey, &absurd, &[9]), [9; 3]);
    }
}
