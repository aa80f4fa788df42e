//! Colours by what they mean, for three kinds of room.

use egui::Color32;
use serde::{Deserialize, Serialize};

/// Colours by what they mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Palette {
    /// Whether text is lighter than its ground.
    pub dark: bool,
    /// How far what stands back may fade towards the ground, from 0 to 1: less where contrast is
    /// scarce.
    pub fade: f32,
    /// Behind the field plot.
    pub field: Color32,
    /// Behind panels.
    pub ground: Color32,
    /// Cards and fields raised from the ground.
    pub raised: Color32,
    /// Where text is typed.
    pub well: Color32,
    /// Lines between things.
    pub line: Color32,
    /// Lines round what can be operated (3:1 on the ground; WCAG 2.2, 1.4.11).
    pub edge: Color32,
    /// Text.
    pub text: Color32,
    /// Text that serves other text.
    pub quiet: Color32,
    /// The left channel.
    pub left: Color32,
    /// The right channel.
    pub right: Color32,
    /// The channels' lines and marks on the plot, left and right: as what is written of them, but where
    /// only brightness is left to tell them apart, and writing must not be dim.
    pub drawn: [Color32; 2],
    /// Behind what is selected.
    pub selected: Color32,
    /// Here.
    pub here: Color32,
    /// Inside the window; saved.
    pub inside: Color32,
    /// Look at this.
    pub look: Color32,
    /// The brightest pixel of a camera's picture: what the room bears of a large area.
    pub picture: Color32,
    /// What is drawn over such a picture (3:1 on its brightest pixel; WCAG 2.2, 1.4.11).
    pub on_picture: Color32,
}

/// The room the bench stands in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Lighting {
    /// A dim room.
    #[default]
    Dim,
    /// A dark room, eyes adapted to it.
    DeepRed,
    /// An office.
    Office,
}

impl Lighting {
    /// All of them, in the order they are gone through.
    pub const ALL: [Self; 3] = [Self::Dim, Self::DeepRed, Self::Office];

    /// The one after it.
    #[must_use]
    pub const fn next(self) -> Self {
        match self {
            Self::Dim => Self::DeepRed,
            Self::DeepRed => Self::Office,
            Self::Office => Self::Dim,
        }
    }

    /// What it is for, in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Dim => "Colours for a dim room.",
            Self::DeepRed => "Deep red, for eyes that are adapted to the dark.",
            Self::Office => "Light colours, for the office.",
        }
    }

    /// Its colours.
    #[must_use]
    pub const fn palette(self) -> &'static Palette {
        match self {
            Self::Dim => &DIM,
            Self::DeepRed => &DEEP_RED,
            Self::Office => &OFFICE,
        }
    }
}

const DIM: Palette = Palette {
    dark: true,
    fade: 1.0,
    field: Color32::from_rgb(0x0d, 0x10, 0x12),
    ground: Color32::from_rgb(0x16, 0x19, 0x1d),
    raised: Color32::from_rgb(0x1e, 0x23, 0x28),
    well: Color32::from_rgb(0x0b, 0x0d, 0x0f),
    line: Color32::from_rgb(0x2c, 0x33, 0x3a),
    edge: Color32::from_rgb(0x6f, 0x7a, 0x85),
    text: Color32::from_rgb(0xe8, 0xea, 0xec),
    quiet: Color32::from_rgb(0x9d, 0xa6, 0xae),
    left: Color32::from_rgb(0xf3, 0xb5, 0x4a),
    right: Color32::from_rgb(0x62, 0xc6, 0xdd),
    drawn: [Color32::from_rgb(0xf3, 0xb5, 0x4a), Color32::from_rgb(0x62, 0xc6, 0xdd)],
    selected: Color32::from_rgb(0x57, 0x59, 0x5c),
    here: Color32::WHITE,
    inside: Color32::from_rgb(0x97, 0xd6, 0xa0),
    look: Color32::from_rgb(0xf0, 0x9c, 0x80),
    picture: Color32::from_rgb(0x90, 0x90, 0x90),
    on_picture: Color32::WHITE,
};

/// Hue is gone: there is red and nothing else, so no eye that is adapted to the dark is spoiled by green
/// or blue. Pure red is 5.25:1 on black at most: what is read lies between 4.5:1 and that, and tells
/// apart by words, marks and shapes. The lines of the plot need 3:1 only, which leaves room for a left
/// channel that is plainly brighter than the right.
const DEEP_RED: Palette = Palette {
    dark: true,
    fade: 0.12,
    field: red(0x04),
    ground: red(0x08),
    raised: red(0x0e),
    well: red(0x02),
    line: red(0x36),
    edge: red(0xc4),
    text: red(0xfa),
    quiet: red(0xee),
    left: red(0xff),
    right: red(0xee),
    drawn: [red(0xff), red(0xc8)],
    selected: red(0x36),
    here: red(0xff),
    inside: red(0xff),
    look: red(0xff),
    picture: red(0x70),
    on_picture: red(0xff),
};

const fn red(red: u8) -> Color32 {
    Color32::from_rgb(red, 0, 0)
}

const OFFICE: Palette = Palette {
    dark: false,
    fade: 0.45,
    field: Color32::WHITE,
    ground: Color32::from_rgb(0xf3, 0xf5, 0xf7),
    raised: Color32::from_rgb(0xfc, 0xfd, 0xfe),
    well: Color32::WHITE,
    line: Color32::from_rgb(0xd4, 0xd9, 0xde),
    edge: Color32::from_rgb(0x6e, 0x76, 0x7e),
    text: Color32::from_rgb(0x18, 0x1c, 0x20),
    quiet: Color32::from_rgb(0x4e, 0x56, 0x5e),
    left: Color32::from_rgb(0x8c, 0x50, 0x00),
    right: Color32::from_rgb(0x00, 0x5c, 0x78),
    drawn: [Color32::from_rgb(0x8c, 0x50, 0x00), Color32::from_rgb(0x00, 0x5c, 0x78)],
    selected: Color32::from_rgb(0xaf, 0xb0, 0xb2),
    here: Color32::BLACK,
    inside: Color32::from_rgb(0x14, 0x5c, 0x30),
    look: Color32::from_rgb(0x9c, 0x32, 0x18),
    picture: Color32::from_rgb(0x90, 0x90, 0x90),
    on_picture: Color32::WHITE,
};
