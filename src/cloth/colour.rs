//! Colours: as they are written and stored, and as light that can be mixed.

use std::str::FromStr;
use std::sync::LazyLock;

/// A colour of the sRGB space, as files and screens have it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Colour(pub [u8; 3]);

/// Amounts of red, green and blue light, 0 to 1. Unlike the numbers of a [`Colour`] these can be averaged.
pub type Light = [f32; 3];

impl Colour {
    /// Reads a colour: hex (`#2a3550`), a CSS name (`navy`) or a CSS function (`rgb(42, 53, 80)`). Returns `None` for
    /// anything else, and for a colour that can be seen through.
    pub fn parse(text: &str) -> Option<Self> {
        let read = svgtypes::Color::from_str(text.trim()).ok()?;
        (read.alpha == u8::MAX).then_some(Self([read.red, read.green, read.blue]))
    }

    /// Returns the light that it stands for (IEC 61966-2-1).
    pub fn light(self) -> Light {
        self.0.map(|level| LIGHT[usize::from(level)])
    }

    /// Returns the colour nearest to some light.
    #[inline]
    pub fn of([red, green, blue]: Light) -> Self {
        Self([level(red), level(green), level(blue)])
    }

    /// Returns the colour as it looks in less light (`times` below 1) or more.
    #[must_use]
    pub fn lit(self, times: f32) -> Self {
        Self::of(self.light().map(|part| (part * times).min(1.0)))
    }

    /// Returns how bright it looks, 0 to 1 (the luminance Y of ITU-R BT.709).
    pub fn brightness(self) -> f32 {
        let [r, g, b] = self.light();
        0.2126 * r + 0.7152 * g + 0.0722 * b
    }

    /// Returns it in hex: `#2a3550`.
    pub fn hex(self) -> String {
        let [r, g, b] = self.0;
        format!("#{r:02x}{g:02x}{b:02x}")
    }
}

/// The light of each level of a colour.
static LIGHT: LazyLock<[f32; 256]> = LazyLock::new(|| {
    std::array::from_fn(|level| {
        let level = level as f32 / 255.0;
        match level <= 0.040_45 {
            true => level / 12.92,
            false => ((level + 0.055) / 1.055).powf(2.4),
        }
    })
});

/// Number of steps in which light is turned into levels: fine enough that every level comes back as itself.
const STEPS: usize = 1 << 14;

/// The level of each step of light.
static LEVELS: LazyLock<Vec<u8>> = LazyLock::new(|| {
    let level = |step: usize| {
        let light = step as f32 / STEPS as f32;
        let level = match light <= 0.003_130_8 {
            true => 12.92 * light,
            false => 1.055 * light.powf(1.0 / 2.4) - 0.055,
        };
        (255.0 * level).round() as u8
    };
    (0..=STEPS).map(level).collect()
});

#[inline]
fn level(light: f32) -> u8 {
    // Half a step more, cut off: to the nearest, without a call of `round` for each pixel.
    let step = (light.clamp(0.0, 1.0) * STEPS as f32 + 0.5) as usize;
    LEVELS.get(step).copied().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colours_are_read_by_hex_and_by_name() {
        for (text, read) in [
            ("#2a3550", Some([0x2a, 0x35, 0x50])),
            (" #FFF ", Some([255, 255, 255])),
            ("navy", Some([0, 0, 128])),
            ("rgb(1, 2, 3)", Some([1, 2, 3])),
            ("rgba(1, 2, 3, 0.5)", None),
            ("nayv", None),
            ("#12345", None),
            ("", None),
        ] {
            assert_eq!(Colour::parse(text).map(|c| c.0), read, "{text}");
        }
    }

    #[test]
    fn every_level_comes_back_from_its_light() {
        for level in 0..=u8::MAX {
            let colour = Colour([level; 3]);
            assert_eq!(Colour::of(colour.light()), colour);
        }
    }
}
