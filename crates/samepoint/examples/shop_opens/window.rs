//! One window on a shop, which asks for the shop's table by itself and notes when that stands.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use egui::{Event, Key, Modifiers, RawInput, ViewportCommand};
use samepoint::testing::{FirstFrame, Folders, Services};

/// What one window took.
pub(crate) struct Opened {
    /// From the key that asks for the shop to the end of the frame that shows its rows.
    pub(crate) table_s: f64,
    /// The longest frame from then on.
    pub(crate) longest_frame_s: f64,
    /// How many rows it shows.
    pub(crate) rows: u64,
    /// How many sessions were read whole for it.
    pub(crate) read_whole: u64,
}

impl Opened {
    /// Of a process that opens one window; `None` where it could not.
    pub(crate) fn of_window(program: &mut Command) -> Option<Self> {
        let output = program.output().ok()?;
        let text = String::from_utf8_lossy(&output.stdout);
        let told: Vec<f64> = text.split_whitespace().filter_map(|n| n.parse().ok()).collect();
        let [table_s, longest_frame_s, rows, read_whole] = told.try_into().ok()?;
        let [rows, read_whole] = [rows, read_whole].map(|count: f64| count as u64);
        Some(Self { table_s, longest_frame_s, rows, read_whole })
    }
}

/// Opens a window on a shop, asks for its table when the session has stood so long, and prints what an [`Opened`] is of.
pub(crate) fn open_window(home: &Path, shop: PathBuf, after: Duration) {
    let services = Services { folders: Folders::below(home), ..Services::of_user() };
    let opened = eframe::run_native(
        "samepoint",
        samepoint::testing::native_options(),
        Box::new(move |cc| {
            let inner = FirstFrame::new(&cc.egui_ctx, services, Some(shop));
            let longest = Duration::ZERO;
            Ok(Box::new(Asking { inner, after, stands: None, asked: None, longest, told: false }))
        }),
    );
    opened.unwrap();
}

/// The window, and the hand that asks.
struct Asking {
    inner: FirstFrame,
    after: Duration,
    /// Since when the session stands.
    stands: Option<Instant>,
    /// Since when the shop is asked for.
    asked: Option<Instant>,
    longest: Duration,
    told: bool,
}

impl Asking {
    /// Tells what it took, once the rows are there.
    fn tell(&mut self, ctx: &egui::Context) {
        let shop = self.inner.opened().map(|app| &app.places().shop);
        let Some((shop, asked)) = shop.filter(|shop| !shop.rows.is_empty()).zip(self.asked) else {
            return;
        };
        let read_whole = shop.survey.as_ref().map_or(0, |survey| survey.read_whole);
        let (took, longest) = (asked.elapsed().as_secs_f64(), self.longest.as_secs_f64());
        println!("{took} {longest} {} {read_whole}", shop.rows.len());
        self.told = true;
        ctx.send_viewport_cmd(ViewportCommand::Close);
    }
}

impl eframe::App for Asking {
    fn logic(&mut self, ctx: &egui::Context, frame: &mut eframe::Frame) {
        self.inner.logic(ctx, frame);
    }

    fn ui(&mut self, ui: &mut egui::Ui, frame: &mut eframe::Frame) {
        let begun = Instant::now();
        self.inner.ui(ui, frame);
        if self.asked.is_some() {
            self.longest = self.longest.max(begun.elapsed());
        }
        let session = self.inner.opened().and_then(|app| app.session());
        if self.stands.is_none() && session.is_some() {
            self.stands = Some(Instant::now());
        }
        if let Some(stands) = self.stands.filter(|_| self.asked.is_none()) {
            ui.ctx().request_repaint_after(self.after.saturating_sub(stands.elapsed()));
        }
        if !self.told {
            self.tell(ui.ctx());
        }
    }

    fn raw_input_hook(&mut self, ctx: &egui::Context, input: &mut RawInput) {
        let stood = self.stands.is_some_and(|stands| stands.elapsed() >= self.after);
        if stood && self.asked.is_none() {
            let (key, modifiers) = (Key::H, Modifiers::ALT);
            let press =
                Event::Key { key, physical_key: None, pressed: true, repeat: false, modifiers };
            let held = Event::ModifiersChanged(modifiers);
            input.events.extend([held, press, Event::ModifiersChanged(Modifiers::NONE)]);
            self.asked = Some(Instant::now());
        }
        self.inner.raw_input_hook(ctx, input);
    }
}
