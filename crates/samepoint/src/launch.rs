//! Opening the window, or saying in one line why it cannot be opened.

use std::path::PathBuf;

use crate::first_frame::FirstFrame;
use crate::services::Services;

pub use crate::system_faces::put_on_paper;

/// What a desktop calls this program; also names its desktop file.
pub const APP_ID: &str = "samepoint";

/// Commands that need no display, for the message where there is none.
const WITHOUT_DISPLAY: &str = "`samepoint solve`, `review`, `report` and `shop` need none";

/// Why the bench is not opened.
#[derive(Debug, thiserror::Error)]
pub enum NotOpened {
    /// Nowhere to show it.
    #[error("no display to open the bench on; {WITHOUT_DISPLAY}")]
    NoDisplay,
    /// What the display lacks.
    #[error("the bench cannot be opened on this display: {}; {WITHOUT_DISPLAY}", first_line(.0))]
    Display(#[source] eframe::Error),
}

fn first_line(error: &eframe::Error) -> String {
    error.to_string().lines().next().unwrap_or_default().to_owned()
}

/// Opens the bench and stays until it is closed.
///
/// # Errors
/// [`NotOpened`], one line for standard error.
pub fn open(path: Option<PathBuf>) -> Result<(), NotOpened> {
    if !has_display() {
        return Err(NotOpened::NoDisplay);
    }
    let services = Services::of_user();
    crate::crash::install(&services.folders.state);
    eframe::run_native(
        APP_ID,
        native_options(),
        Box::new(move |cc| {
            crate::system_faces::put_on_screen(&cc.egui_ctx);
            Ok(Box::new(FirstFrame::new(&cc.egui_ctx, services, path)))
        }),
    )
    .map_err(NotOpened::Display)
}

/// Says in a box why the window was not opened, where the program was started from the desktop: what is written to
/// standard error goes nowhere then.
#[cfg(windows)]
pub fn say_on_desktop(why: &NotOpened) {
    use std::os::windows::io::AsRawHandle as _;
    if std::io::stderr().as_raw_handle().is_null() {
        let said = rfd::MessageDialog::new().set_level(rfd::MessageLevel::Error);
        let _ = said.set_title("samepoint").set_description(why.to_string()).show();
    }
}

/// How the window is opened.
#[must_use]
pub fn native_options() -> eframe::NativeOptions {
    let viewport = egui::ViewportBuilder::default()
        .with_app_id(APP_ID)
        .with_title("samepoint")
        .with_inner_size([1280.0, 800.0])
        .with_min_inner_size([640.0, 480.0]);
    let viewport =
        match eframe::icon_data::from_png_bytes(include_bytes!("../../../assets/icon.png")) {
            Ok(icon) => viewport.with_icon(icon),
            Err(_) => viewport,
        };
    eframe::NativeOptions {
        viewport,
        renderer: eframe::Renderer::Glow,
        system_font_fallback: false,
        ..eframe::NativeOptions::default()
    }
}

/// Whether a display is named; elsewhere than on Linux there always is one to try.
fn has_display() -> bool {
    !cfg!(target_os = "linux")
        || ["WAYLAND_DISPLAY", "WAYLAND_SOCKET", "DISPLAY"]
            .iter()
            .any(|name| std::env::var_os(name).is_some_and(|value| !value.is_empty()))
}
