//! The look of the program: the only place that names a screen colour.
//!
//! - [`palettes`]: the colours for a dim room, for dark-adapted eyes, for the office.
//!
//! One accent per channel, white for *here*, green only for inside, clay for *look at this*,
//! greys for the rest. Every text colour keeps at least 4.5:1 on every ground it stands on
//! (WCAG 2.2, 1.4.3 level AA); a test below holds it to that.

mod palettes;

use egui::epaint::text::{FontData, FontDefinitions, FontFamily};
use egui::{Color32, CornerRadius, FontId, Margin, Stroke, Style, TextStyle, Theme, Visuals};
use paper::Role;
use paper::letters::{Face, RIGHT_TO_LEFT, RIGHT_TO_LEFT_BOLD};
use solver::Channel;

pub use palettes::Lighting;
pub(crate) use palettes::Palette;

impl Palette {
    /// A channel's accent.
    #[must_use]
    pub const fn channel(&self, channel: Channel) -> Color32 {
        match channel {
            Channel::Left => self.left,
            Channel::Right => self.right,
        }
    }

    /// A channel's lines and marks on the plot.
    #[must_use]
    pub const fn drawn(&self, channel: Channel) -> Color32 {
        let [left, right] = self.drawn;
        match channel {
            Channel::Left => left,
            Channel::Right => right,
        }
    }

    /// The colour of a picture's role.
    #[must_use]
    pub fn role(&self, role: Role) -> Color32 {
        match role {
            Role::Circle(channel)
            | Role::Centre(channel)
            | Role::Reading(channel)
            | Role::Confirm(channel)
            | Role::Now(channel)
            | Role::DoubtfulCircle(channel) => self.drawn(channel),
            Role::AsFound(channel) | Role::Residual(channel) => {
                self.faded(self.drawn(channel), 0.25)
            }
            Role::Path(channel) => self.faded(self.drawn(channel), 0.45),
            Role::Swing(channel) => self.faded(self.drawn(channel), 0.35),
            Role::Ghost(channel) => self.faded(self.drawn(channel), 0.5),
            Role::Band(channel) => self.drawn(channel).gamma_multiply(0.22),
            Role::Selected(_) | Role::Trial(_) | Role::Here | Role::Window | Role::Measure => {
                self.here
            }
            Role::Ellipse | Role::Guard => self.faded(self.here, 0.25),
            Role::Elsewhere | Role::SwingShared | Role::GhostCrossing => self.quiet,
            Role::Limit => self.faded(self.quiet, 0.35),
            Role::Boresight => self.faded(self.quiet, 0.15),
        }
    }

    /// A colour that stands back, as far as this palette's contrast lets it.
    fn faded(&self, colour: Color32, share: f32) -> Color32 {
        blend(colour, self.field, share * self.fade)
    }

    /// A quiet ground for a message of a colour.
    #[must_use]
    pub fn wash(&self, colour: Color32) -> Color32 {
        blend(colour, self.ground, 0.86)
    }

    /// A quiet line round such a message.
    #[must_use]
    pub fn wash_edge(&self, colour: Color32) -> Color32 {
        blend(colour, self.ground, 0.55)
    }
}

/// `share` of the second colour in the first, in sRGB.
fn blend(a: Color32, b: Color32, share: f32) -> Color32 {
    let mix = |a: u8, b: u8| (f32::from(a) + (f32::from(b) - f32::from(a)) * share).round() as u8;
    Color32::from_rgb(mix(a.r(), b.r()), mix(a.g(), b.g()), mix(a.b(), b.b()))
}

/// The bold family's name.
pub(crate) const BOLD: &str = "bold";

/// The names of the faces for letters from right to left.
const RIGHT: &str = "right to left";
const RIGHT_BOLD: &str = "right to left, bold";

/// The figures of the Arabic block, a face each: of the script's other letters they would be turned round with whatever
/// figure stands beside them.
const FIGURES: [&[u8]; 10] = [
    include_bytes!("../../../../assets/fonts/figures/0.ttf"),
    include_bytes!("../../../../assets/fonts/figures/1.ttf"),
    include_bytes!("../../../../assets/fonts/figures/2.ttf"),
    include_bytes!("../../../../assets/fonts/figures/3.ttf"),
    include_bytes!("../../../../assets/fonts/figures/4.ttf"),
    include_bytes!("../../../../assets/fonts/figures/5.ttf"),
    include_bytes!("../../../../assets/fonts/figures/6.ttf"),
    include_bytes!("../../../../assets/fonts/figures/7.ttf"),
    include_bytes!("../../../../assets/fonts/figures/8.ttf"),
    include_bytes!("../../../../assets/fonts/figures/9.ttf"),
];

/// A bold face of a size.
#[must_use]
pub(crate) fn bold(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name(BOLD.into()))
}

/// A face whose digits are all one width.
#[must_use]
pub(crate) fn mono(size: f32) -> FontId {
    FontId::monospace(size)
}

fn fonts() -> FontDefinitions {
    let mut fonts = FontDefinitions::empty();
    for (name, bytes) in [
        ("sans", Face::Plain.bytes()),
        (BOLD, Face::Bold.bytes()),
        ("mono", Face::Mono.bytes()),
        // Whoever sets a line parts it by faces and turns a whole part round: letters from right to left stand in
        // faces of their own, so that no figure is turned with them.
        (RIGHT, RIGHT_TO_LEFT),
        (RIGHT_BOLD, RIGHT_TO_LEFT_BOLD),
    ] {
        fonts.font_data.insert(name.to_owned(), FontData::from_static(bytes).into());
    }
    let figures: Vec<String> =
        (0..FIGURES.len()).map(|figure| format!("figure {figure}")).collect();
    for (name, bytes) in figures.iter().zip(FIGURES) {
        fonts.font_data.insert(name.clone(), FontData::from_static(bytes).into());
    }
    for (family, order) in [
        (FontFamily::Proportional, ["sans", "mono", RIGHT]),
        (FontFamily::Monospace, ["mono", "sans", RIGHT]),
        (FontFamily::Name(BOLD.into()), [BOLD, "sans", RIGHT_BOLD]),
    ] {
        let [first, second, right] = order.map(str::to_owned);
        let figures = figures.iter().cloned();
        let order = [first, second].into_iter().chain(figures).chain([right]);
        fonts.families.insert(family, order.collect());
    }
    fonts
}

/// Size of ordinary words, points.
pub(crate) const BODY: f32 = 14.5;

/// Height of anything that can be pressed, points: a gloved finger's.
pub(crate) const TARGET: f32 = 32.0;

/// Puts fonts, colours and sizes in force. Call once before the first frame.
pub fn install(ctx: &egui::Context) {
    ctx.set_fonts(fonts());
    ctx.set_theme(Theme::Dark);
    light(ctx, Lighting::default());
    ctx.options_mut(|options| options.zoom_with_keyboard = false);
}

/// Puts the colours for a room in force, from the next frame on.
pub(crate) fn light(ctx: &egui::Context, lighting: Lighting) {
    // One slot of the toolkit holds whichever is in force: its own idea of light and dark has no part.
    ctx.set_style_of(Theme::Dark, style(lighting.palette()));
}

fn style(palette: &Palette) -> Style {
    let mut style = Style { visuals: visuals(palette), ..Style::default() };
    style.text_styles = [
        (TextStyle::Small, FontId::proportional(12.5)),
        (TextStyle::Body, FontId::proportional(BODY)),
        (TextStyle::Button, FontId::proportional(BODY)),
        (TextStyle::Heading, bold(17.0)),
        (TextStyle::Monospace, mono(14.0)),
    ]
    .into();
    style.spacing.item_spacing = egui::vec2(8.0, 6.0);
    style.spacing.button_padding = egui::vec2(10.0, 4.0);
    style.spacing.interact_size = egui::vec2(44.0, TARGET);
    style.spacing.menu_margin = Margin::same(8);
    style.spacing.scroll = egui::style::ScrollStyle::thin();
    style.interaction.selectable_labels = false;
    style.animation_time = 0.0;
    style.scroll_animation = egui::style::ScrollAnimation::none();
    style
}

fn visuals(palette: &Palette) -> Visuals {
    let mut visuals = if palette.dark { Visuals::dark() } else { Visuals::light() };
    visuals.override_text_color = None;
    visuals.weak_text_color = Some(palette.quiet);
    visuals.panel_fill = palette.ground;
    visuals.window_fill = palette.raised;
    visuals.window_stroke = Stroke::new(1.0, palette.edge);
    visuals.extreme_bg_color = palette.well;
    visuals.text_edit_bg_color = Some(palette.well);
    visuals.faint_bg_color = palette.raised;
    visuals.code_bg_color = palette.well;
    visuals.hyperlink_color = palette.right;
    visuals.warn_fg_color = palette.look;
    visuals.error_fg_color = palette.look;
    visuals.selection.bg_fill = palette.selected;
    visuals.selection.stroke = Stroke::new(1.0, palette.here);
    // A blinking caret repaints for ever; a steady one costs nothing.
    visuals.text_cursor.blink = false;
    visuals.text_cursor.stroke = Stroke::new(2.0, palette.here);
    let corner = CornerRadius::same(5);
    let widgets = &mut visuals.widgets;
    for (state, fill, edge, text) in [
        (&mut widgets.noninteractive, palette.ground, palette.line, palette.text),
        (&mut widgets.inactive, palette.raised, palette.edge, palette.text),
        (&mut widgets.hovered, palette.line, palette.text, palette.here),
        (&mut widgets.active, palette.line, palette.here, palette.here),
        (&mut widgets.open, palette.raised, palette.text, palette.here),
    ] {
        state.bg_fill = fill;
        state.weak_bg_fill = fill;
        state.bg_stroke = Stroke::new(1.0, edge);
        state.fg_stroke = Stroke::new(1.0, text);
        state.corner_radius = corner;
        state.expansion = 0.0;
    }
    visuals
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance, WCAG 2.2 glossary.
    fn luminance(colour: Color32) -> f64 {
        let part = |value: u8| {
            let value = f64::from(value) / 255.0;
            if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * part(colour.r()) + 0.7152 * part(colour.g()) + 0.0722 * part(colour.b())
    }

    fn contrast(a: Color32, b: Color32) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    /// The measure itself: black on white is 21:1, #767676 on white just passes (WCAG 2.2, G18).
    #[test]
    fn contrast_is_measured_as_the_guideline_does() {
        assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-9);
        let grey = contrast(Color32::from_rgb(0x76, 0x76, 0x76), Color32::WHITE);
        assert!((4.5..4.6).contains(&grey), "{grey}");
    }

    /// Text that is read keeps 4.5:1 on every ground (WCAG 2.2, 1.4.3 level AA), edges 3:1 (1.4.11).
    #[test]
    fn text_keeps_its_contrast_on_every_ground() {
        for lighting in Lighting::ALL {
            let p = lighting.palette();
            for ground in [p.field, p.ground, p.raised, p.well] {
                for text in [p.text, p.quiet, p.left, p.right, p.here, p.inside, p.look] {
                    let ratio = contrast(text, ground);
                    assert!(ratio >= 4.5, "{lighting:?}: {text:?} on {ground:?}: {ratio:.2}");
                }
                assert!(contrast(p.edge, ground) >= 3.0, "{lighting:?}: edge on {ground:?}");
            }
            for colour in [p.look, p.inside] {
                let wash = p.wash(colour);
                for text in [colour, p.text] {
                    let ratio = contrast(text, wash);
                    assert!(
                        ratio >= 4.5,
                        "{lighting:?}: {text:?} on the wash {wash:?}: {ratio:.2}"
                    );
                }
            }
        }
    }

    /// What the plot draws must be seen on its ground (WCAG 2.2, 1.4.11: 3:1).
    #[test]
    fn roles_keep_their_contrast_on_the_field() {
        for (lighting, channel) in
            Lighting::ALL.into_iter().flat_map(|l| Channel::BOTH.map(|channel| (l, channel)))
        {
            let palette = lighting.palette();
            for role in [
                Role::Circle(channel),
                Role::Reading(channel),
                Role::AsFound(channel),
                Role::Residual(channel),
                Role::Path(channel),
                Role::Confirm(channel),
                Role::Swing(channel),
                Role::Ghost(channel),
                Role::Trial(channel),
                Role::SwingShared,
                Role::GhostCrossing,
                Role::Ellipse,
                Role::Guard,
                Role::Measure,
                Role::Here,
                Role::Elsewhere,
                Role::Window,
                Role::Limit,
                Role::Boresight,
            ] {
                let ratio = contrast(palette.role(role), palette.field);
                assert!(ratio >= 3.0, "{lighting:?} {role:?}: {ratio:.2}");
            }
        }
    }

    /// What is drawn over a picture is seen on its brightest pixel (WCAG 2.2, 1.4.11), and the picture is dimmer than
    /// any text: it fills more of the screen.
    #[test]
    fn a_picture_is_no_brighter_than_what_is_drawn_over_it_bears() {
        for lighting in Lighting::ALL {
            let p = lighting.palette();
            let ratio = contrast(p.on_picture, p.picture);
            assert!(ratio >= 3.0, "{lighting:?}: {ratio:.2}");
            if p.dark {
                assert!(luminance(p.picture) < luminance(p.quiet), "{lighting:?}");
            }
        }
    }

    /// Green and blue of a colour: none at all, or, where something must be laid over them, at most
    /// this (8 % of full).
    const NO_LIGHT: u8 = 20;

    /// In deep red hue says nothing: no light but red, in the palette, in every role and in all that the
    /// toolkit draws by itself. What it makes of these by fading them stays red.
    #[test]
    fn deep_red_spares_dark_adapted_eyes() {
        let p = Lighting::DeepRed.palette();
        let mut colours = vec![
            p.field,
            p.ground,
            p.raised,
            p.well,
            p.line,
            p.edge,
            p.text,
            p.quiet,
            p.left,
            p.right,
            p.here,
            p.inside,
            p.look,
            p.selected,
            p.picture,
            p.on_picture,
        ];
        for channel in Channel::BOTH {
            colours.push(p.drawn(channel));
            colours.extend([
                p.role(Role::AsFound(channel)),
                p.role(Role::Band(channel)),
                p.role(Role::Ghost(channel)),
            ]);
        }
        for colour in [p.look, p.inside] {
            colours.extend([p.wash(colour), p.wash_edge(colour)]);
        }
        let v = visuals(p);
        colours.extend([
            v.weak_text_color(),
            v.strong_text_color(),
            v.text_color(),
            v.hyperlink_color,
            v.faint_bg_color,
            v.extreme_bg_color,
            v.code_bg_color,
            v.text_edit_bg_color(),
            v.warn_fg_color,
            v.error_fg_color,
            v.window_fill,
            v.window_stroke.color,
            v.panel_fill,
            v.selection.bg_fill,
            v.selection.stroke.color,
            v.text_cursor.stroke.color,
            v.window_shadow.color,
            v.popup_shadow.color,
        ]);
        let w = &v.widgets;
        for state in [&w.noninteractive, &w.inactive, &w.hovered, &w.active, &w.open] {
            colours.extend([
                state.bg_fill,
                state.weak_bg_fill,
                state.bg_stroke.color,
                state.fg_stroke.color,
            ]);
        }
        for colour in colours {
            assert!(colour.g() <= NO_LIGHT && colour.b() <= NO_LIGHT, "{colour:?}");
        }
    }

    /// Brightness tells the channels apart where hue cannot (line style and marker do so everywhere): as far
    /// as it can where they are written, which takes 4.5:1 of the 5.25:1 there are, plainly where they
    /// are drawn.
    #[test]
    fn the_left_channel_is_the_brighter_one_in_deep_red() {
        let p = Lighting::DeepRed.palette();
        let [left, right] = Channel::BOTH.map(|channel| luminance(p.role(Role::Circle(channel))));
        assert!(left > 1.6 * right, "{}", left / right);
        assert!(luminance(p.left) > 1.15 * luminance(p.right));
    }

    /// What is selected, and what the pointer is over, can still be read (WCAG 2.2, 1.4.3).
    #[test]
    fn text_keeps_its_contrast_on_what_is_selected() {
        for lighting in Lighting::ALL {
            let p = lighting.palette();
            for ground in [p.selected, p.line] {
                let ratio = contrast(p.here, ground);
                assert!(ratio >= 4.5, "{lighting:?} on {ground:?}: {ratio:.2}");
            }
        }
    }
}
