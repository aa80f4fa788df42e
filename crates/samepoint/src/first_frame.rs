//! The first frame, shown before anything is opened: the window is there at once, however large the shop and slow the
//! disk.

use std::path::PathBuf;

use egui::{CentralPanel, Frame, RichText, Ui};

use crate::app::App;
use crate::services::Services;
use crate::widgets::Tell as _;

/// The window, and what it opens once it was seen.
pub struct FirstFrame {
    app: App,
    to_open: Option<ToOpen>,
}

struct ToOpen {
    path: Option<PathBuf>,
    /// Whether a frame was shown before it.
    seen: bool,
}

impl FirstFrame {
    /// A window in the colours and the size that are preferred, in which nothing is open yet. `path`: as for
    /// [`App::new`].
    #[must_use]
    pub fn new(ctx: &egui::Context, services: Services, path: Option<PathBuf>) -> Self {
        let to_open = Some(ToOpen { path, seen: false });
        Self { app: App::with_nothing_open(ctx, services), to_open }
    }

    /// The window's own; `None` before the first frame was shown.
    #[must_use]
    pub fn opened(&self) -> Option<&App> {
        self.to_open.is_none().then_some(&self.app)
    }
}

impl eframe::App for FirstFrame {
    fn raw_input_hook(&mut self, ctx: &egui::Context, input: &mut egui::RawInput) {
        if self.to_open.is_some() {
            // What is typed before there is a field to type in waits for one.
            self.app.held_events.append(&mut input.events);
        } else {
            self.app.raw_input_hook(ctx, input);
        }
    }

    fn logic(&mut self, ctx: &egui::Context, frame: &mut eframe::Frame) {
        if let Some(now) = self.to_open.take_if(|to_open| to_open.seen) {
            self.app.open_first(now.path);
            ctx.request_repaint();
        }
        if self.to_open.is_none() {
            self.app.logic(ctx, frame);
        }
    }

    fn ui(&mut self, ui: &mut Ui, frame: &mut eframe::Frame) {
        let Some(to_open) = &mut self.to_open else { return self.app.ui(ui, frame) };
        let palette = self.app.preferences().lighting.palette();
        let ground = Frame::new().fill(palette.ground).inner_margin(24);
        let what = to_open.path.as_ref().map(|path| record::shown::path(path));
        let said = what.map_or_else(|| "Opening …".to_owned(), |what| format!("Opening {what} …"));
        CentralPanel::default().frame(ground).show(ui, |ui| {
            ui.tell(RichText::new(said).color(palette.quiet));
        });
        to_open.seen = true;
        ui.request_repaint();
    }

    fn on_exit(&mut self, gl: Option<&eframe::glow::Context>) {
        self.app.on_exit(gl);
    }
}
