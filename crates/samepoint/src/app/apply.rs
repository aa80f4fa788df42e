//! What each action and each command does, or which room does it; and how a fact is added.

use crate::bench::signing::why_closed;
use crate::shell::refusals::Refusal;
use record::ReadingUnit;
use record::fact::{Body, Purpose, RoundReason, Seq};
use record::station::Shows;
use solver::Channel;
use solver::optics::ShimEnds;

use super::App;
use super::action::Action;
use super::available::unavailable;
use crate::bench::entry::EntryField;
use crate::bench::session::OpenSession;
use crate::bench::views::View;
use crate::own_shop::form::KeptKind;
use crate::places::Place;
use crate::sheets::Sheet;
use crate::sheets::commands::CommandSheet;
use crate::sheets::own_remedy::OwnRemedySheet;
use crate::sheets::pedals::PedalSheet;
use crate::shell::held::Held;
use crate::shell::layout_size::Tab;
use crate::shell::of_shop::OfShop;
use crate::ui_command::{Scope, UiCommand};
use crate::waiting::Leaving;

impl App {
    /// Does what was asked, in order.
    pub(crate) fn apply(&mut self, actions: Vec<Action>) {
        let any = !actions.is_empty();
        for action in actions {
            self.apply_one(action);
        }
        if any {
            self.rescue_waiting(false);
            self.follow_unit();
            self.refresh_checklist();
            self.rank_remedies();
        }
    }

    pub(crate) fn apply_one(&mut self, action: Action) {
        let lets_go_of = self.lets_go_of(&action);
        if !lets_go_of.is_empty()
            && !self.may_leave(&lets_go_of, Leaving::Do(Box::new(action.clone())))
        {
            return;
        }
        match action {
            Action::Do(command) => self.command(command),
            Action::Run(command) => {
                // The list has done its work; what it stood before comes back.
                self.uncover();
                if self.front == Sheet::Clear {
                    self.entry.focus = Some(EntryField::X);
                }
                self.apply_one(Action::Do(command));
            }
            Action::Select(selected) => {
                self.selected = selected;
                self.redraw();
            }
            Action::Show(tab) => {
                self.tab = tab;
                self.entry.focus = Some(EntryField::X);
            }
            Action::TakeSetUp => self.take_set_up(),
            Action::PreviewPaste => self.preview_paste(),
            Action::ReadCsv => self.read_csv(),
            Action::ReadPicture(path) => self.read_picture(&path),
            Action::TakeCameraCommand => self.take_camera_command(),
            Action::LogBlock => self.log_block(),
            Action::OpenPath(path) => {
                if let Err(why) = self.open_path(&path) {
                    let offers = self.to_salvage.is_some();
                    match &mut self.front {
                        // What it offers stands in the window, not on the sheet.
                        Sheet::Open(_) if offers => {
                            self.put_away();
                            self.shell.warnings.push(why.to_string());
                        }
                        Sheet::Open(sheet) => sheet.refused = Some(why.to_string()),
                        _ => self.shell.warnings.push(why.to_string()),
                    }
                }
            }
            Action::KeepCopyTo(path) => self.keep_copy(&path),
            Action::ReportTo(path) => self.write_report(&path),
            Action::LabelTo(path) => self.write_label(&path),
            Action::AskPath => self.ask_path(),
            Action::AskKey(fingerprint) => self.ask_key(&fingerprint),
            Action::LogBox(inside) => self.log_seen(Some(inside)),
            Action::WithdrawNow => self.withdraw_now(),
            Action::OpenRound => self.open_round_on_sheet(),
            Action::NoteRemedy => self.note_remedy(),
            Action::Try(channel, towards) => self.try_at(channel, towards),
            Action::TryRings(rings) => self.try_rings(rings),
            Action::ChooseNow => self.choose_now(),
            Action::SavePictureTo(path) => self.save_picture(&path),
            Action::Hand(hand) => {
                hand.trim().clone_into(&mut self.shell.preferences.hand);
                self.named_on_sheet(&hand);
            }
            Action::Day(action) => self.day_action(action),
            Action::Ask(check) => self.ask_for(check),
            Action::Consider(index) => self.consider(index),
            // Every action refreshes it.
            Action::RefreshChecklist => {}
            Action::LookedNow => self.looked_now(),
            Action::SignNow => self.sign_now(),
            Action::SealNow => self.seal_now(),
            Action::LetGo(pedal) => self.let_go_of(pedal),
            Action::SetReadBack(wish) => self.set_read_back(wish),
            Action::TrySpeech => self.try_speech(),
            Action::Checks(action) => self.check_action(action),
            Action::Unit(action) => self.unit_action(action),
            Action::Practice(action) => self.practice_action(action),
            Action::Explore(action) => {
                let effects = self.places.explore.apply(action);
                self.follow_or_warn(effects);
            }
            Action::Own(action) => self.own_action(action),
            Action::Study(action) => self.study_action(action),
            Action::Shop(action) => self.shop_action(action),
            Action::Review(action) => self.review_action(action),
            Action::Shelf(action) => self.shelf_action(action),
            Action::Continue => self.show_continue_sheet(Held::Session, None),
            Action::Waiting(action) => self.waiting_action(action),
            Action::SetEndAside => self.set_end_aside(),
            Action::Salvage => self.salvage(),
            Action::SalvageUnread => self.salvage_unread(),
            Action::Understood => {
                self.to_salvage = None;
                self.shell.warnings.clear();
                self.to_agree = None;
            }
            Action::Agree => {
                if let Some((action, _)) = self.to_agree.take() {
                    self.agreed = true;
                    self.apply_one(action);
                    self.agreed = false;
                } else if let Some(session) = &mut self.session
                    && let Err(why) = session.file_mut().agree()
                {
                    self.shell.warnings.push(why.to_string());
                }
            }
            Action::Retry => {
                if let Some(session) = &mut self.session {
                    session.file_mut().try_again();
                }
                self.shell.warnings.clear();
            }
        }
    }

    pub(crate) fn command(&mut self, command: UiCommand) {
        if self.place == Place::Explore && command.scope() == Scope::BenchAndExplore {
            // What was moved there is taken back, and not a fact of the session.
            match command {
                UiCommand::Undo => self.places.explore.undo(),
                _ => self.places.explore.redo(),
            };
            return;
        }
        if self.about_meant(command) {
            return;
        }
        if let Some(why) = unavailable(command, self.session.as_ref()) {
            self.say(why);
            return;
        }
        if !self.place.lists(command) {
            self.go(Place::Bench);
        }
        match command {
            UiCommand::ToBench => self.go(Place::Bench),
            UiCommand::ToPractice => self.go(Place::Practice),
            UiCommand::ToExplore => self.go(Place::Explore),
            UiCommand::ToStudy => self.go(Place::Study),
            UiCommand::ToShop => self.go(Place::Shop),
            UiCommand::ToReview => self.go(Place::Review),
            UiCommand::ToShelf => self.go(Place::Shelf),
            UiCommand::New => self.show_new_sheet(),
            UiCommand::BeginShop => self.show_begin_sheet(),
            UiCommand::AddHand => self.show_form(KeptKind::Hand, None),
            UiCommand::FindMap => self.find_map(),
            UiCommand::ImportList => self.show_list_sheet(),
            UiCommand::AddStation => self.show_form(KeptKind::Station, None),
            UiCommand::AddWindow => self.show_form(KeptKind::Window, None),
            UiCommand::AddHousing => self.show_form(KeptKind::Housing, None),
            UiCommand::AddCamera => self.show_form(KeptKind::Camera, None),
            UiCommand::Keeps => self.show_keeps(),
            UiCommand::Open => self.show_open_sheet(),
            UiCommand::SetUp => self.show_set_up_sheet(),
            UiCommand::KeepCopy => self.show_copy_sheet(),
            UiCommand::Paste => self.show_paste_sheet(String::new()),
            UiCommand::Import => self.show_import_sheet(),
            UiCommand::ReadPicture => self.show_read_picture_sheet(),
            UiCommand::PictureBackground => self.take_background(),
            UiCommand::OtherCrosshair => self.take_other_crosshair(),
            UiCommand::Camera => self.turn_camera(),
            UiCommand::CameraCommand => self.show_camera_sheet(),
            UiCommand::Freeze => self.freeze(),
            UiCommand::Sweep => self.turn_sweep(),
            UiCommand::Meeting => self.turn_meeting(),
            UiCommand::Withdraw => self.show_withdraw_sheet(),
            UiCommand::NewRound => self.show_round_sheet(),
            UiCommand::OwnRemedy => self.bring(Sheet::OwnRemedy(OwnRemedySheet::default())),
            UiCommand::CheckStation => self.check_station(),
            UiCommand::Due => self.show_due(),
            UiCommand::Who => self.change_who(),
            UiCommand::Handover => self.show_handover_sheet(),
            UiCommand::Receive => self.show_receiving_sheet(),
            UiCommand::UnitsWaiting => self.show_units(),
            UiCommand::HandoverRead => self.handover_read(),
            UiCommand::Touched => self.touched(),
            UiCommand::Untouched => self.untouched(),
            UiCommand::Keys => self.bring(Sheet::Keys),
            UiCommand::Glossary => self.bring(Sheet::Glossary),
            UiCommand::About => self.bring(Sheet::About),
            UiCommand::Commands => self.bring(Sheet::Commands(CommandSheet::default())),
            UiCommand::Cautions => {
                self.bring(Sheet::Cautions);
                self.shell.preferences.cautions_read = true;
                self.save_preferences();
            }
            UiCommand::Unsaved => self.show_unsaved(),
            UiCommand::Back => self.back(),
            UiCommand::Report => self.show_report_sheet(),
            UiCommand::CaseLabel => self.show_label_sheet(),
            UiCommand::RecallList => {
                let effects = self.places.shop.ask_recall_list(&mut self.shell);
                self.follow_or_warn(effects);
            }
            UiCommand::ShopTable => self.ask_of_shop(OfShop::Table),
            UiCommand::MonthReport => self.ask_of_shop(OfShop::Month),
            UiCommand::AuditPack => self.ask_of_shop(OfShop::Audit),
            UiCommand::Log => self.log_reading(),
            UiCommand::ReadAgain => self.read_again(),
            UiCommand::LeaveOut => self.leave_out(),
            UiCommand::NextPlace => self.take_next_place(),
            UiCommand::Undo => self.undo(),
            UiCommand::Redo => self.redo(),
            UiCommand::BenchMode => {
                self.bench_mode = !self.bench_mode;
                self.camera.meeting = false;
                self.entry.focus = Some(EntryField::X);
            }
            UiCommand::OtherChannel => self.entry.turn_to(self.entry.channel.other()),
            UiCommand::NextField => {
                let shows = self.session.as_ref().map_or(Shows::Direction, OpenSession::shows);
                self.entry.next_field(shows);
            }
            UiCommand::Keypad => self.bring(Sheet::Keypad),
            UiCommand::Pedals => self.bring(Sheet::Pedals(PedalSheet::default())),
            UiCommand::Left => self.entry.turn_to(Channel::Left),
            UiCommand::Right => self.entry.turn_to(Channel::Right),
            UiCommand::Purpose => self.turn_to(match self.entry.purpose {
                Purpose::AsFound | Purpose::Confirm => Purpose::Log,
                Purpose::Log => Purpose::AsFound,
            }),
            UiCommand::AsFound => self.turn_to(Purpose::AsFound),
            UiCommand::Logging => self.turn_to(Purpose::Log),
            UiCommand::Meet => self.meet(),
            UiCommand::Approach => self.entry.next_approach(),
            UiCommand::RingStep => self.entry.next_step(),
            UiCommand::Unit => {
                self.entry.unit = match self.entry.unit {
                    ReadingUnit::Divisions => ReadingUnit::Arcmin,
                    _ => ReadingUnit::Divisions,
                };
                self.redraw();
            }
            UiCommand::Reseated => self.open_round(RoundReason::Reseated, String::new()),
            UiCommand::DioptreMoved => self.open_round(RoundReason::Dioptre, String::new()),
            UiCommand::EyepieceOut => self.open_round(RoundReason::EyepieceOut, String::new()),
            UiCommand::StationZeroed => self.open_round(RoundReason::StationZeroed, String::new()),
            UiCommand::Remedies => self.show_remedies(),
            UiCommand::NextRemedy => self.consider_next(false),
            UiCommand::LastRemedy => self.consider_next(true),
            UiCommand::TakeRemedy => self.take_remedy(ShimEnds::Front),
            UiCommand::TakeRemedyAtRear => self.take_remedy(ShimEnds::Rear),
            UiCommand::Confirm => self.turn_to_confirm(),
            UiCommand::NextCheck => self.next_check(),
            UiCommand::ConfirmLock if self.turn_virtual_locks() => {}
            UiCommand::ConfirmLock
            | UiCommand::ConfirmReseated
            | UiCommand::SwingStop
            | UiCommand::DioptresZero => self.confirm_condition(command),
            UiCommand::Look => self.show_looking_sheet(),
            UiCommand::Sign => self.show_sign_sheet(),
            UiCommand::Seal => self.show_seal_sheet(),
            UiCommand::Fit => self.view.fit(),
            UiCommand::Closer => self.view.zoom(1.25),
            UiCommand::Farther => self.view.zoom(0.8),
            UiCommand::NextTab => self.tab = self.tab.next(),
            UiCommand::Larger => self.scale_to(self.shell.preferences.scale + SCALE_STEP),
            UiCommand::Smaller => self.scale_to(self.shell.preferences.scale - SCALE_STEP),
            UiCommand::RoomLight => {
                self.shell.preferences.lighting = self.shell.preferences.lighting.next();
                self.say(self.shell.preferences.lighting.words());
            }
            UiCommand::UsualSize => self.scale_to(1.0),
            UiCommand::TryOn => self.turn_or_try(1.0),
            UiCommand::TryBack => self.turn_or_try(-1.0),
            UiCommand::TryOnTen => self.turn_or_try(10.0),
            UiCommand::TryBackTen => self.turn_or_try(-10.0),
            UiCommand::TurnByStep => self.turn_by_step(),
            UiCommand::Hidden => self.tell_hidden(),
            UiCommand::EndTrial => {
                self.end_trial();
            }
            UiCommand::Choose => self.choose_setting(),
            UiCommand::ViewField => self.show_view(View::Field),
            UiCommand::ViewGlass => self.show_view(View::Glass),
            UiCommand::ViewRingMap => self.show_view(View::RingMap),
            UiCommand::ViewSources => self.show_view(View::Sources),
            UiCommand::ViewSwing => self.show_view(View::Swing),
            UiCommand::Measure => self.view.turn_measuring(),
            UiCommand::ToPlot => self.view.take_keyboard(),
            UiCommand::CopySvg => self.copy_svg(),
            UiCommand::CopyPng => self.copy_png(),
            UiCommand::SavePicture => self.show_picture_sheet(),
        }
    }

    /// Turns the invented unit's ring while it is in the glass; else tries the setting.
    fn turn_or_try(&mut self, steps: f64) {
        let step_deg = self.session.as_ref().map_or(1.0, OpenSession::ring_step_deg);
        if !self.turn_virtual(steps * step_deg) {
            self.try_step(steps);
        }
    }

    /// Puts a view in the middle; in a small window the middle comes into sight.
    pub(crate) fn show_view(&mut self, view: View) {
        self.middle = view;
        self.tab = Tab::Plot;
    }

    pub(crate) fn redraw(&mut self) {
        if let Some(session) = &mut self.session {
            session.redraw(self.entry.unit, self.selected);
        }
    }

    /// Draws everything this much larger from the next frame on.
    fn scale_to(&mut self, scale: f32) {
        // Steps of a tenth add up to whole tenths again.
        let scale = (scale * 10.0).round() / 10.0;
        self.shell.preferences.scale =
            scale.clamp(*crate::preferences::SCALES.start(), *crate::preferences::SCALES.end());
        let percent = paper::words::percent(f64::from(self.shell.preferences.scale));
        self.say(format!("Everything at {percent} of its usual size."));
    }

    /// Adds a fact; what refuses it is said.
    pub(crate) fn append(&mut self, body: Body) -> Result<Seq, Refusal> {
        let touches_record = matches!(
            body,
            Body::Reading(_) | Body::Withdrawn(_) | Body::LookingTest(_) | Body::SettingChosen(_)
        );
        let closed = self.session.as_ref().and_then(|open| why_closed(open.state()));
        let closed = closed.filter(|_| touches_record).map_or(Ok(()), Err);
        if let Err(why) = closed.and_then(|()| self.may_add(&body)) {
            self.say(why.to_string());
            return Err(why);
        }
        let now = self.shell.services.clock.now();
        let hand = self.shell.hand();
        let unit = self.entry.unit;
        let Some(session) = &mut self.session else {
            return Err(Refusal::NoSession);
        };
        let added = session.append(body, now, &hand, unit).map_err(Refusal::Record);
        if let Err(why) = &added {
            self.say(why.to_string());
        }
        self.selected = None;
        added
    }

    /// Whether a hand is known that a fact can bear, and a reading can belong to the open round. A session
    /// on which nobody worked today hears with its first reading how its station stands.
    fn may_add(&mut self, body: &Body) -> Result<(), Refusal> {
        self.shell.who_first()?;
        if matches!(body, Body::Reading(_)) {
            self.rested_first()?;
            self.tell_of_check();
        }
        Ok(())
    }
}

/// One step of text size.
const SCALE_STEP: f32 = 0.1;
