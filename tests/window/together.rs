//! Where a line of a text ends: never between a number and its unit, nor between ± and its number.

use std::sync::Arc;

use egui::{Galley, Key, Modifiers, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use samepoint::testing::{Label, Lighting, Tell as _, Tone, message_ui};

use crate::bench::Bench;
use crate::confirm::{confirm_all, confirming};
use crate::session::{log_eight, start};

/// Units that stand behind a number with a space between, as the International System's brochure (2019,
/// 5.4.3) has them stand; D, Δ, mil and div are the trade's.
const UNITS: [&str; 9] = ["%", "mm", "m", "D", "Δ", "mil", "mrad", "px", "div"];

/// The text of each row, as it was broken.
fn rows(galley: &Galley) -> Vec<String> {
    galley.rows.iter().map(|row| row.row.glyphs.iter().map(|glyph| glyph.chr).collect()).collect()
}

/// Rows that end where none may.
fn torn(galley: &Galley) -> Vec<String> {
    let rows = rows(galley);
    let pairs = rows.windows(2).filter_map(|pair| {
        let [row, next] = pair else { return None };
        let first = next.split_whitespace().next().unwrap_or_default();
        let unit = first.trim_end_matches(['.', ',', ';', ':', ')', '”']);
        let number = row.trim_end().ends_with(|c: char| c.is_ascii_digit());
        let of_number = number && (UNITS.contains(&unit) || unit == "±");
        (row.trim_end().ends_with('±') || of_number).then(|| format!("{row:?} {next:?}"))
    });
    pairs.collect()
}

fn galleys(window: &egui::FullOutput) -> Vec<Arc<Galley>> {
    let mut found = Vec::new();
    let mut shapes: Vec<_> = window.shapes.iter().map(|clipped| &clipped.shape).collect();
    while let Some(shape) = shapes.pop() {
        match shape {
            egui::Shape::Vec(inner) => shapes.extend(inner),
            egui::Shape::Text(text) => found.push(Arc::clone(&text.galley)),
            _ => {}
        }
    }
    found
}

#[track_caller]
fn nothing_torn(window: &egui::FullOutput, what: &str) {
    for galley in galleys(window) {
        assert_eq!(torn(&galley), Vec::<String>::new(), "{what}");
    }
}

const SENTENCE: &str = "It uses 65 % of the window, 0.05 mm of shim, 14.3′ ± 0.3′ and 0.25 ± 0.08 mm; \
                        1.5 mil, 12 mrad or 0.5 D (3 %).";

/// At whatever width: a label, a message, a text of several colours.
#[test]
fn a_label_of_any_width_keeps_numbers_with_their_units() {
    // Narrower than the longest of what belongs together, nothing can be promised.
    let mut broken = 0;
    for width in (200..520).step_by(5) {
        let mut window = Harness::builder()
            .with_size(vec2(width as f32, 4000.0))
            .with_context_setup(samepoint::testing::theme::install)
            .build_ui(|ui| {
                ui.tell(SENTENCE);
                ui.add(Label::new(egui::RichText::new(SENTENCE).small()).wrap());
                ui.horizontal_wrapped(|ui| ui.tell(SENTENCE));
                message_ui(ui, Lighting::default().palette(), Tone::Plain, SENTENCE, true);
                let mut job = egui::text::LayoutJob::default();
                for (part, size) in [("It is 12", 14.0), (" % of ", 18.0), ("0.05 mm", 12.0)] {
                    let font = egui::FontId::proportional(size);
                    job.append(part, 0.0, egui::TextFormat::simple(font, egui::Color32::RED));
                }
                ui.tell(job);
            });
        window.run();
        nothing_torn(window.output(), &format!("{width} points"));
        let sections = |galley: &&Arc<Galley>| galley.job.sections.len() == 3;
        let all = galleys(window.output());
        let several = all.iter().find(sections).unwrap();
        let sizes = several.job.sections.iter().map(|section| {
            let range = section.byte_range.start.0..section.byte_range.end.0;
            several.job.text[range].replace('\u{a0}', " ")
        });
        assert_eq!(sizes.collect::<Vec<_>>(), ["It is 12", " % of ", "0.05 mm"]);
        broken += all.iter().map(|galley| galley.rows.len() - 1).sum::<usize>();
        // A reader is told the words as they were said.
        assert!(window.query_all_by_label(SENTENCE).count() >= 3);
    }
    assert!(broken > 500, "only {broken} lines ended");
}

/// The real window where it has most to say, at the sizes we promise.
#[test]
fn no_screen_tears_a_number_from_its_unit() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    log_eight(&mut bench);
    for size in [vec2(1280.0, 800.0), vec2(640.0, 480.0), vec2(640.0, 400.0)] {
        bench.window.set_size(size);
        let look = |bench: &mut Bench, what: &str| {
            bench.rest();
            nothing_torn(bench.window.output(), &format!("{what} at {size:?}"));
        };
        for _ in 0..3 {
            bench.key(Key::F10);
            look(&mut bench, "a tab");
        }
        for (key, what) in [
            (Key::Num2, "glass"),
            (Key::Num3, "ring map"),
            (Key::Num4, "swing"),
            (Key::Num5, "sources"),
            (Key::Num1, "field"),
            (Key::R, "remedies"),
            (Key::V, "review"),
            (Key::E, "explore"),
            (Key::P, "practice"),
            (Key::B, "bench"),
        ] {
            bench.keys(Modifiers::ALT, key);
            look(&mut bench, what);
        }
    }
    let home = tempfile::tempdir().unwrap();
    let mut bench = confirming(home.path());
    confirm_all(&mut bench);
    for size in [vec2(1280.0, 800.0), vec2(640.0, 480.0)] {
        bench.window.set_size(size);
        for key in [Key::F10, Key::F10, Key::F12, Key::Escape] {
            bench.key(key);
            nothing_torn(bench.window.output(), &format!("confirming at {size:?}"));
        }
    }
}
