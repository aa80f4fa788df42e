//! Who is at the bench: asking, answering, and what waits for the answer.

use egui::{Context, Event};
use record::{Hands, is_nobody, shown};

use crate::app::App;
use crate::bench::entry::EntryField;
use crate::sheets::Sheet;
use crate::shell::refusals::Refusal;
use crate::shell::who::Who;

impl App {
    /// Who is at the bench.
    #[must_use]
    pub const fn who(&self) -> &Who {
        &self.shell.who
    }

    /// Notes that a hand did something; after a pause it may be another's. Called before anything of the
    /// frame is done.
    pub(crate) fn heed_input(&mut self, ctx: &Context) {
        let by_hand =
            |event: &Event| !matches!(event, Event::WindowFocused(_) | Event::PointerGone);
        if !ctx.input(|input| input.events.iter().any(by_hand)) {
            return;
        }
        let now = self.shell.services.clock.now();
        let pause_ms = 60_000 * i64::from(self.shell.preferences.ask_after_minutes);
        let paused = self.shell.who.last_input.is_some_and(|last| {
            now.unix_milliseconds().saturating_sub(last.unix_milliseconds()) >= pause_ms
        });
        self.shell.who.last_input = Some(now);
        if paused && pause_ms > 0 && !self.shell.who.asks() {
            self.ask_who();
        }
    }

    /// Asks; initials that were offered on sheets and not typed there are taken out of them.
    pub(crate) fn ask_who(&mut self) {
        let hand = self.shell.preferences.hand.clone();
        self.shell.who.ask(&hand);
        for field in self.hands_on_sheets().filter(|field| field.trim() == hand) {
            field.clear();
        }
    }

    /// Asks because a hand wants to be asked: another takes over.
    pub(crate) fn change_who(&mut self) {
        self.ask_who();
        self.shell.who.take_keyboard = true;
    }

    /// Initials typed on a sheet of their own answer as well.
    pub(crate) fn named_on_sheet(&mut self, hand: &str) {
        if self.shell.who.asks() && !is_nobody(hand) {
            self.is_at_bench(hand.trim());
        }
    }

    /// Takes an answer.
    pub(crate) fn answer_who(&mut self, hand: &str) {
        let day = self.shell.services.clock.now().date();
        let hands = self.shell.shop.shop().map(|shop| &shop.hands);
        match checked(hand, hands, day) {
            Err(why) => {
                self.shell.who.refused = Some(why.to_string());
                self.shell.who.take_keyboard = true;
            }
            Ok(unknown) => {
                let hand = hand.trim().to_owned();
                self.is_at_bench(&hand);
                self.say(if unknown {
                    format!(
                        "{} is at the bench, who is not among the hands in force here: what that hand \
                         signs has no authority.",
                        shown::one_line(&hand)
                    )
                } else {
                    format!("{} is at the bench.", shown::one_line(&hand))
                });
            }
        }
    }

    fn is_at_bench(&mut self, hand: &str) {
        hand.clone_into(&mut self.shell.preferences.hand);
        for field in self.hands_on_sheets().filter(|field| field.trim().is_empty()) {
            hand.clone_into(field);
        }
        self.shell.who.answered();
        self.tell_session();
    }

    /// Turns from the question to where the keyboard was; whether it had it.
    pub(crate) const fn leave_who(&mut self) -> bool {
        if self.shell.who.has_keyboard {
            self.shell.who.give_back = true;
        }
        self.shell.who.has_keyboard
    }

    /// Puts the keyboard back where it was before the question, or to the entry row.
    pub(crate) fn give_keyboard_back(&mut self, ctx: &Context) {
        if !std::mem::take(&mut self.shell.who.give_back) {
            return;
        }
        match self.shell.who.before.take() {
            Some(before) => ctx.memory_mut(|memory| memory.request_focus(before)),
            // What is typed whole waits for its Enter.
            None if self.entry.y.is_empty() => self.entry.focus = Some(EntryField::X),
            None => self.entry.focus = Some(EntryField::Y),
        }
    }

    /// The hands in force today, as the shop lists them.
    pub(crate) fn hands_in_force(&self) -> Vec<String> {
        let day = self.shell.services.clock.now().date();
        let hands =
            self.shell.shop.shop().map(|shop| shop.hands.known.as_slice()).unwrap_or_default();
        let in_force = hands.iter().filter(|kept| kept.value.in_force(day));
        in_force.map(|kept| kept.value.initials.clone()).take(MOST_OFFERED).collect()
    }

    /// The fields of sheets that hold initials.
    fn hands_on_sheets(&mut self) -> impl Iterator<Item = &mut String> {
        let sheets =
            std::iter::once(&mut self.front).chain(&mut self.behind).chain(&mut self.laid_by);
        sheets.filter_map(|front| match front {
            Sheet::SetUp(sheet) => Some(&mut sheet.hand),
            Sheet::Check(sheet) => Some(&mut sheet.hand),
            Sheet::Sign(sheet) if !sheet.signed => Some(&mut sheet.hand),
            _ => None,
        })
    }
}

/// More are typed.
const MOST_OFFERED: usize = 12;

/// Whether initials may be taken; `true`: the shop lists hands, and these are none in force.
fn checked(hand: &str, hands: Option<&Hands>, day: jiff::civil::Date) -> Result<bool, Refusal> {
    if is_nobody(hand) {
        return Err(Refusal::NoHand);
    }
    let Some(hands) = hands.filter(|hands| hands.lists_anybody()) else { return Ok(false) };
    if let Some(other) = hands.looks_like(hand) {
        return Err(Refusal::LooksLike {
            typed: shown::one_line(hand.trim()).into_owned(),
            other: other.initials.clone(),
        });
    }
    Ok(!hands.hand(hand).is_some_and(|hand| hand.in_force(day)))
}
