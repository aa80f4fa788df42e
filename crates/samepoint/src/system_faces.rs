//! The faces of the system, for what the program's own lack: names in Chinese, Japanese, Korean and other scripts, on
//! screen and on paper. They are looked through when the first such character is met, not before.

use std::sync::{Arc, OnceLock};

use egui::FontFamily;
use egui::epaint::text::{FallbackRequest, FontInsert, FontProvider};
use egui_system_font_provider::SystemFontProvider;
use paper::letters::{FaceSource, FoundFace};

/// The thread that asks for a face.
const ASKING: &str = "faces of the system";

/// The threads in which a search for faces runs: where a system has none at all the library that looks for them panics,
/// and then there is none.
const MAY_FAIL: [&str; 2] = [ASKING, "egui_system_font_provider"];

static SYSTEM: SystemFaces = SystemFaces(OnceLock::new());

/// Lets everything that this program puts on paper use the faces of the system.
pub fn put_on_paper() {
    let usual = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |info| {
        if !may_fail_here() {
            usual(info);
        }
    }));
    paper::letters::search_further(Box::new(OfSystem));
}

/// Lets the window use them.
pub(crate) fn put_on_screen(ctx: &egui::Context) {
    ctx.add_font_provider(Arc::new(OfSystem));
}

/// Whether a panic in this thread means no more than that a face is not there.
pub(crate) fn may_fail_here() -> bool {
    std::thread::current().name().is_some_and(|name| MAY_FAIL.contains(&name))
}

/// The system's faces; empty until one is asked for.
struct SystemFaces(OnceLock<SystemFontProvider>);

impl SystemFaces {
    fn face(&self, asked: &FallbackRequest<'_>) -> Option<FontInsert> {
        let ask = || self.0.get_or_init(SystemFontProvider::new).font_for(asked);
        crate::jobs::answer_of(ASKING, ask).flatten()
    }
}

/// Whoever asks for a face of the system.
struct OfSystem;

impl FontProvider for OfSystem {
    fn font_for(&self, request: &FallbackRequest<'_>) -> Option<FontInsert> {
        SYSTEM.face(request)
    }
}

impl FaceSource for OfSystem {
    fn face_with(&self, character: char) -> Option<FoundFace> {
        let cluster = character.to_string();
        let asked = FallbackRequest { cluster: &cluster, family: &FontFamily::Proportional };
        let face = SYSTEM.face(&asked)?.data;
        Some(FoundFace { bytes: face.font, index: face.index })
    }
}
