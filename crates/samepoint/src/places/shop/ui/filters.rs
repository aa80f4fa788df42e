//! What is asked of the table of sessions.

use egui::accesskit::Role;
use egui::{Button, ComboBox, Id, Response, TextEdit, Ui, WidgetInfo, vec2};
use record::fact::Verdict;

use crate::places::shop::{SessionNames, ShopAction, Surveying};
use crate::theme::TARGET;
use crate::widgets::Tell;

/// The field that words are typed into.
pub(crate) fn words_id() -> Id {
    Id::unique("shop words")
}

const VERDICTS: [Verdict; 4] =
    [Verdict::Pass, Verdict::Fail, Verdict::Undecided, Verdict::NotMeasured];

const OF_ONE_SHOP: &str = "Only sessions that lie in this shop’s folder, of all that are seen as one. A session that two \
    folders have stands in the table once for each.";

pub(crate) fn filters_ui(ui: &mut Ui, shop: &mut Surveying, actions: &mut Vec<ShopAction>) {
    let mut changed = false;
    let SessionNames { housings, stations, hands } = &shop.named;
    let filter = &mut shop.filter;
    ui.horizontal_wrapped(|ui| {
        let name = ui.label("Search");
        let edit = TextEdit::singleline(&mut filter.words)
            .id(words_id())
            .hint_text("unit, tube, hand, day…")
            .desired_width(200.0)
            .min_size(vec2(0.0, TARGET))
            .align(egui::Align2::LEFT_CENTER);
        changed |= ui.add(edit).labelled_by(name.id).changed();
        let several = &shop.together.names;
        if !several.is_empty() || shop.only_shop.is_some() {
            let (picked, asked) = pick_ui(ui, "Shop", several, &mut shop.only_shop);
            picked.on_hover_text(OF_ONE_SHOP);
            changed |= asked;
        }
        changed |= pick_ui(ui, "Housing", housings, &mut filter.housing).1;
        changed |= pick_ui(ui, "Station", stations, &mut filter.station).1;
        changed |= pick_ui(ui, "Hand", hands, &mut filter.hand).1;
        let mut verdict = filter.verdict.map(|verdict| verdict.word().to_owned());
        let words = VERDICTS.map(|verdict| verdict.word().to_owned());
        if pick_ui(ui, "Verdict", &words, &mut verdict).1 {
            filter.verdict =
                VERDICTS.into_iter().find(|known| verdict.as_deref() == Some(known.word()));
            changed = true;
        }
        for (name, text) in [("From day", &mut shop.from), ("To day", &mut shop.to)] {
            let label = ui.tell(name);
            let edit = TextEdit::singleline(text)
                .id(Id::unique(("shop", name)))
                .hint_text("2026-01-31")
                .char_limit(10)
                .desired_width(104.0)
                .min_size(vec2(0.0, TARGET))
                .align(egui::Align2::LEFT_CENTER);
            changed |= ui.add(edit).labelled_by(label.id).changed();
        }
        for (text, on) in [
            ("Only to look at", &mut filter.only_troubled),
            ("Practice too", &mut filter.with_practice),
        ] {
            if ui.add(Button::selectable(*on, text).min_size(vec2(0.0, TARGET))).clicked() {
                *on = !*on;
                changed = true;
            }
        }
    });
    for (name, typed) in [("From day", &shop.from), ("To day", &shop.to)] {
        let typed = typed.trim();
        if !typed.is_empty() && typed.parse::<jiff::civil::Date>().is_err() {
            ui.tell(format!(
                "{name}: “{typed}” is not a day like 2026-01-31; it is not asked for."
            ));
        }
    }
    if let Some(wanted) = shop.only_shop.as_ref()
        && shop.together.place(wanted).is_none()
    {
        ui.tell(format!("“{wanted}” is not looked at now, so no session of it is here."));
    }
    if changed {
        actions.push(ShopAction::Filter);
    }
}

/// One of these, or any; and whether another was picked.
fn pick_ui(
    ui: &mut Ui,
    name: &str,
    offered: &[String],
    picked: &mut Option<String>,
) -> (Response, bool) {
    let before = picked.clone();
    let text = picked.clone().unwrap_or_else(|| format!("any {}", name.to_lowercase()));
    let shown =
        ComboBox::from_id_salt(("shop", name)).selected_text(&text).truncate().show_ui(ui, |ui| {
            let any = Button::selectable(picked.is_none(), "any").min_size(vec2(140.0, TARGET));
            if ui.add(any).clicked() {
                *picked = None;
            }
            for one in offered {
                let chosen = picked.as_ref() == Some(one);
                if ui.add(Button::selectable(chosen, one).min_size(vec2(140.0, TARGET))).clicked() {
                    *picked = Some(one.clone());
                }
            }
        });
    shown.response.widget_info(|| WidgetInfo {
        label: Some(name.to_owned()),
        current_text_value: Some(text.clone()),
        ..WidgetInfo::new(Role::ComboBox)
    });
    (shown.response, *picked != before)
}
