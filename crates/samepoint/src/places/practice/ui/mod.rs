//! Practice: invented units to solve, and how it went.
//!
//! [`chart`]: scores over time.

pub(crate) mod chart;

use egui::{
    Align, Button, Grid, Id, Key, Layout, RichText, Stroke, TextEdit, Ui, WidgetInfo,
    accesskit::Role, vec2,
};
use paper::words::capital;
use record::practice::{Formula, Grade, Lesson, Series};

use super::{PracticeAction, Practising};
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::views::course::{AttemptLine, CourseView};
use crate::widgets::{
    LONGEST_NUMBER, Label, Tell, TellOnHover, Tone, keyboard_ring, message_ui, page_ui, select_all,
    switch_ui, told_as_number,
};
use chart::course_ui;

/// From this width on what to begin stands beside how it went, points.
const ABREAST: f32 = 900.0;

/// Shows it.
pub(crate) fn practice_ui(
    ui: &mut Ui,
    palette: &Palette,
    practising: &mut Practising,
    hand: &str,
    actions: &mut Vec<PracticeAction>,
) {
    page_ui(ui, "practice", |ui| {
        if ui.available_width() < ABREAST {
            begin_ui(ui, palette, practising, hand, actions);
            ui.separator();
            went_ui(ui, palette, practising, actions);
            instructor_ui(ui, palette, practising, actions);
            ui.separator();
            formula_ui(ui, palette);
            return;
        }
        ui.spacing_mut().item_spacing.x = GAP;
        ui.columns_const(|[begin, went]: &mut [Ui; 2]| {
            column(begin, |ui| {
                begin_ui(ui, palette, practising, hand, actions);
                ui.add_space(10.0);
                formula_ui(ui, palette);
            });
            column(went, |ui| {
                went_ui(ui, palette, practising, actions);
                instructor_ui(ui, palette, practising, actions);
            });
        });
    });
}

/// Width of the verdict and its hand, points.
const SIGNED: f32 = 132.0;
/// Between two columns, points.
const GAP: f32 = 28.0;

/// A column whose words and buttons keep their own width.
fn column(ui: &mut Ui, add: impl FnOnce(&mut Ui)) {
    ui.with_layout(Layout::top_down(Align::Min), |ui| {
        ui.spacing_mut().item_spacing.x = 8.0;
        add(ui);
    });
}

fn head(text: &str) -> RichText {
    RichText::new(text).font(theme::bold(16.0))
}

fn quiet(ui: &mut Ui, palette: &Palette, text: &str) {
    ui.add(Label::new(RichText::new(text).color(palette.quiet)).wrap());
}

/// Which unit to begin.
fn begin_ui(
    ui: &mut Ui,
    palette: &Palette,
    practising: &mut Practising,
    hand: &str,
    actions: &mut Vec<PracticeAction>,
) {
    ui.tell(head("An invented unit to solve"));
    quiet(
        ui,
        palette,
        "Its errors are hidden until you sign. Readings and seatings scatter, rings have play and locks turn \
         them as the grade says. Turn its virtual rings, read the graticule through the \
         glass, log, choose, remedy, confirm and sign as at the bench. The same grade and number is the \
         same unit everywhere.",
    );
    ui.add_space(4.0);
    for grade in Grade::ALL {
        let chosen = practising.grade == grade;
        let edge = if chosen { palette.here } else { palette.edge };
        let button = Button::new(RichText::new(capital(grade.word())).font(theme::bold(14.5)))
            .selected(chosen)
            .fill(if chosen { palette.line } else { palette.raised })
            .stroke(Stroke::new(if chosen { 2.0 } else { 1.0 }, edge))
            .min_size(vec2(130.0, TARGET));
        let shown = ui.add(button);
        keyboard_ring(ui, palette, &shown);
        if shown.clicked() {
            actions.push(PracticeAction::Grade(grade));
        }
        quiet(ui, palette, grade.asks());
    }
    ui.add_space(4.0);
    ui.horizontal_wrapped(|ui| {
        let name = ui.label(RichText::new("Unit number").color(palette.quiet));
        let edit = field(&mut practising.number, Id::unique("practice unit number"), 84.0);
        let response = ui.add(edit).labelled_by(name.id);
        told_as_number(&response, "Unit number", &practising.number);
        let taking = std::mem::take(&mut practising.take_keyboard);
        if taking {
            response.request_focus();
        }
        if std::mem::take(&mut practising.offered) || taking {
            select_all(ui.ctx(), response.id);
        }
        if response.changed() {
            practising.number_typed = true;
            practising.refused = None;
        }
        let entered = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
        if entered {
            // It may be refused: the keyboard stays until the bench comes.
            response.request_focus();
        }
        let name = ui.label(RichText::new("Hand").color(palette.quiet));
        let mut initials = hand.to_owned();
        let edit = field(&mut initials, Id::unique("practice initials"), 84.0);
        let named = ui.add(edit).labelled_by(name.id);
        let entered =
            entered || (named.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)));
        if named.changed() {
            actions.push(PracticeAction::Hand(initials));
        }
        let text = RichText::new("Start unit").font(theme::bold(14.5));
        let start = ui.add(Button::new(text).min_size(vec2(110.0, TARGET)));
        if start.clicked() || entered {
            actions.push(PracticeAction::Start);
        }
    });
    quiet(ui, palette, "The number offered is the first of the grade not begun yet.");
    ui.horizontal_wrapped(|ui| {
        let telling = "As an examination";
        if switch_ui(ui, palette, practising.exam, telling, telling).clicked() {
            practising.exam = !practising.exam;
            practising.refused = None;
        }
        if practising.exam {
            let name = ui.label(RichText::new("Time limit, min").color(palette.quiet));
            let edit = field(&mut practising.minutes, Id::unique("practice minutes"), 64.0);
            let response = ui.add(edit).labelled_by(name.id);
            told_as_number(&response, "Time limit, minutes", &practising.minutes);
        }
    });
    let number = practising.number.trim().parse().unwrap_or(0);
    if practising.exam {
        quiet(
            ui,
            palette,
            "Crossings, targets, ring map, swing, remedies, checklist, what stands out and the verdict are withheld \
             until you sign, and no reading is told. What you read is shown, and a circle through it. Remedy and \
             verdict are yours to give. It takes a unit that you have not met.",
        );
    } else if let Some(lesson) = Lesson::of(practising.grade, number) {
        let teaches = format!("Unit {number} teaches one thing. {}", lesson.teaches());
        message_ui(ui, palette, Tone::Plain, &teaches, false);
    }
    if let Some(why) = &practising.refused {
        message_ui(ui, palette, Tone::Look, why, false);
    }
    ui.horizontal_wrapped(|ui| {
        let explore = Button::new("Explore the optics first").min_size(vec2(0.0, TARGET));
        if ui.add(explore).tell_on_hover(UiCommand::ToExplore.tip()).clicked() {
            actions.push(PracticeAction::Do(UiCommand::ToExplore));
        }
        let words = Button::new(UiCommand::Glossary.text()).min_size(vec2(0.0, TARGET));
        if ui.add(words).on_hover_text(UiCommand::Glossary.tip()).clicked() {
            actions.push(PracticeAction::Do(UiCommand::Glossary));
        }
    });
}

fn field(text: &mut String, id: Id, width: f32) -> TextEdit<'_> {
    TextEdit::singleline(text)
        .id(id)
        .char_limit(LONGEST_NUMBER)
        .min_size(vec2(width, TARGET))
        .desired_width(width - 8.0)
        .align(egui::Align2::LEFT_CENTER)
}

/// Progress and earlier attempts.
fn went_ui(
    ui: &mut Ui,
    palette: &Palette,
    practising: &Practising,
    actions: &mut Vec<PracticeAction>,
) {
    ui.tell(head("How it went"));
    let course = match &practising.course {
        None => {
            quiet(ui, palette, "Reading earlier attempts…");
            return;
        }
        Some(Err(why)) => {
            message_ui(ui, palette, Tone::Look, &why.to_string(), false);
            let again = Button::new("Read them again").min_size(vec2(0.0, TARGET));
            if ui.add(again).on_hover_text("Read earlier attempts from the shop.").clicked() {
                actions.push(PracticeAction::Again);
            }
            return;
        }
        Some(Ok(course)) => course,
    };
    hands_ui(ui, course, actions);
    for course in &course.courses {
        course_ui(ui, palette, course);
    }
    for skipped in &course.skipped {
        message_ui(ui, palette, Tone::Look, &format!("Passed over: {skipped}"), false);
    }
    if course.attempts.is_empty() {
        quiet(
            ui,
            palette,
            "No unit was begun in this shop yet: choose a grade and press Start unit. Each is kept as a session of \
             its own.",
        );
        return;
    }
    attempts_ui(ui, palette, course, actions);
    ui.horizontal_wrapped(|ui| {
        let csv = Button::new("Write CSV…").min_size(vec2(0.0, TARGET));
        let about = "One line for each signed unit, every part of its score.";
        if ui.add(csv).tell_on_hover(about).clicked() {
            actions.push(PracticeAction::AskCsv);
        }
        ui.tell(RichText::new(&practising.notice).color(palette.quiet));
    });
}

fn attempts_ui(
    ui: &mut Ui,
    palette: &Palette,
    course: &CourseView,
    actions: &mut Vec<PracticeAction>,
) {
    ui.add_space(4.0);
    let head = |text: &str| RichText::new(text).small().color(palette.quiet);
    Grid::new("attempts").num_columns(5).spacing([10.0, 4.0]).show(ui, |ui| {
        for text in ["day", "unit", "score", "signed", ""] {
            ui.tell(head(text));
        }
        ui.end_row();
        for attempt in &course.attempts {
            attempt_ui(ui, palette, attempt, actions);
            ui.end_row();
        }
    });
}

fn attempt_ui(
    ui: &mut Ui,
    palette: &Palette,
    attempt: &AttemptLine,
    actions: &mut Vec<PracticeAction>,
) {
    ui.tell(RichText::new(&attempt.day).font(theme::mono(13.0)));
    let open = ui.add(Button::new(&attempt.unit).min_size(vec2(160.0, TARGET)));
    let telling = format!("Open {}", attempt.telling);
    open.widget_info(|| WidgetInfo::labeled(Role::Button, true, &telling));
    if open.tell_on_hover(record::shown::path(&attempt.path)).clicked() {
        actions.push(PracticeAction::Open(attempt.path.clone()));
    }
    ui.tell(RichText::new(&attempt.score).font(theme::mono(14.0)));
    let colour = if attempt.signed { palette.text } else { palette.quiet };
    ui.allocate_ui(vec2(SIGNED, TARGET), |ui| {
        ui.set_max_width(SIGNED);
        ui.add(Label::new(RichText::new(&attempt.verdict).color(colour)).wrap());
    });
    if attempt.signed {
        let hidden = ui.add(Button::new("Hidden").min_size(vec2(0.0, TARGET)));
        let telling = format!("What was hidden in {}", attempt.telling);
        hidden.widget_info(|| WidgetInfo::labeled(Role::Button, true, &telling));
        if hidden.tell_on_hover(UiCommand::Hidden.tip()).clicked() {
            actions.push(PracticeAction::OpenHidden(attempt.path.clone()));
        }
    } else {
        ui.label("");
    }
}

/// Whose results are shown: by hand, or everybody's together.
fn hands_ui(ui: &mut Ui, course: &CourseView, actions: &mut Vec<PracticeAction>) {
    if course.hands.len() < 2 && course.of_hand.is_none() {
        return;
    }
    let chosen = course.of_hand.as_deref().unwrap_or("everybody");
    let menu = ui.menu_button(format!("Results of {chosen} ▾"), |ui| {
        let every = std::iter::once(None).chain(course.hands.iter().cloned().map(Some));
        for hand in every {
            let text = hand.as_deref().unwrap_or("everybody");
            if ui.add(Button::new(text).min_size(vec2(160.0, TARGET))).clicked() {
                actions.push(PracticeAction::OfHand(hand));
                ui.close();
            }
        }
    });
    menu.response.on_hover_text("Whose attempts and curves are shown.");
}

/// The instructor's page: how each trainee stands, what was assigned, and setting both.
fn instructor_ui(
    ui: &mut Ui,
    palette: &Palette,
    practising: &mut Practising,
    actions: &mut Vec<PracticeAction>,
) {
    ui.add_space(6.0);
    ui.label(head("For the instructor"));
    if let Some(Ok(course)) = &practising.course {
        for line in &course.standings {
            let tone = if line.mastered { Tone::Good } else { Tone::Plain };
            message_ui(ui, palette, tone, &line.text, false);
        }
        for line in &course.assigned {
            ui.horizontal_wrapped(|ui| {
                if !line.done {
                    let take = ui.add(Button::new("Take").min_size(vec2(56.0, TARGET)));
                    let telling = format!("Take {}", line.text);
                    take.widget_info(|| WidgetInfo::labeled(Role::Button, true, &telling));
                    if take.on_hover_text("Ask for this unit; Start unit begins it.").clicked() {
                        let taken = PracticeAction::TakeAssigned(line.assigned.clone());
                        actions.push(taken);
                    }
                }
                ui.add(Label::new(&line.text).wrap());
            });
        }
    }
    quiet(
        ui,
        palette,
        "A threshold goes for the trainee and the grade chosen: mastered is who reaches it by the mean of the last \
         three units, each worked for the first time, in time, and no failing unit passed. Assigned is the grade, \
         number and examination asked for under “An invented unit to solve”.",
    );
    ui.horizontal_wrapped(|ui| {
        let name = ui.label(RichText::new("Trainee").color(palette.quiet));
        let edit = field(&mut practising.trainee, Id::unique("practice trainee"), 84.0);
        ui.add(edit).labelled_by(name.id);
        let name = ui.label(RichText::new("Threshold, %").color(palette.quiet));
        let edit = field(&mut practising.threshold, Id::unique("practice threshold"), 56.0);
        let response = ui.add(edit).labelled_by(name.id);
        told_as_number(&response, "Threshold, per cent", &practising.threshold);
        for (text, action) in [
            ("Set threshold", PracticeAction::SetThreshold),
            ("Assign this unit", PracticeAction::Assign),
        ] {
            if ui.add(Button::new(text).min_size(vec2(0.0, TARGET))).clicked() {
                actions.push(action);
            }
        }
    });
    if let Some(why) = &practising.roster_refused {
        message_ui(ui, palette, Tone::Look, why, false);
    }
}

/// The formula of the score, in its own words.
fn formula_ui(ui: &mut Ui, palette: &Palette) {
    ui.tell(head("How it is scored"));
    quiet(
        ui,
        palette,
        "Each part earns from nothing to its weight; the total is their sum, in per cent. It is worked out \
         from the facts of the session as first signed and the truth of the unit, never from what was \
         typed after.",
    );
    let formula = Formula::of(Series::NOW);
    for (part, weight) in formula.parts() {
        let name = format!("{}, {}", capital(part.word()), paper::words::number(*weight, 0));
        ui.tell(RichText::new(name).font(theme::bold(14.5)));
        quiet(ui, palette, formula.rule(*part));
    }
}
