//! Who is at the bench: asking, answering, and what waits for the answer.

use egui::{Context, Event};
use record::{Hands, is_nobody, shown};

use super::who::Who;
use crate::app::App;
use crate::bench::entry::Field;
use crate::sheets::Front;
use crate::shell::refusals::NO_HAND;

/// Said where something was to be added before anybody answered.
const FIRST: &str = "Say first who you are, above: what you typed stays.";

impl App {
    /// Who is at the bench.
    #[must_use]
    pub const fn who(&self) -> &Who {
        &self.who
    }

    /// Whether nobody said yet who is at the bench.
    pub(crate) const fn asks_who(&self) -> bool {
        self.who.asks()
    }

    /// Notes that a hand did something; after a pause it may be another's. Called before anything of the
    /// frame is done.
    pub(crate) fn heed_input(&mut self, ctx: &Context) {
        let by_hand =
            |event: &Event| !matches!(event, Event::WindowFocused(_) | Event::PointerGone);
        if !ctx.input(|input| input.events.iter().any(by_hand)) {
            return;
        }
        let now = self.services.clock.now();
        let pause_ms = 60_000 * i64::from(self.preferences.ask_after_minutes);
        let paused = self.who.last_input.is_some_and(|last| {
            now.unix_milliseconds().saturating_sub(last.unix_milliseconds()) >= pause_ms
        });
        self.who.last_input = Some(now);
        if paused && pause_ms > 0 && !self.who.asks() {
            self.ask_who();
        }
    }

    /// Asks; initials that were offered on sheets and not typed there are taken out of them.
    pub(crate) fn ask_who(&mut self) {
        let hand = self.preferences.hand.clone();
        self.who.ask(&hand);
        for field in self.hands_on_sheets().filter(|field| field.trim() == hand) {
            field.clear();
        }
    }

    /// Asks because a hand wants to be asked: another takes over.
    pub(crate) fn change_who(&mut self) {
        self.ask_who();
        self.who.take_keyboard = true;
    }

    /// Nothing bears anybody's initials before it was said whose they are.
    ///
    /// # Errors
    /// What to do first; the keyboard goes there.
    pub(crate) fn who_first(&mut self) -> Result<(), String> {
        if !self.who.asks() {
            return Ok(());
        }
        self.who.take_keyboard = true;
        Err(FIRST.to_owned())
    }

    /// Initials typed on a sheet of their own answer as well.
    pub(crate) fn named_on_sheet(&mut self, hand: &str) {
        if self.who.asks() && !is_nobody(hand) {
            self.is_at_bench(hand.trim());
        }
    }

    /// Takes an answer.
    pub(crate) fn answer_who(&mut self, hand: &str) {
        let day = self.services.clock.now().date();
        let hands = self.shop.shop().map(|shop| &shop.hands);
        match checked(hand, hands, day) {
            Err(why) => {
                self.who.refused = Some(why);
                self.who.take_keyboard = true;
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
        hand.clone_into(&mut self.preferences.hand);
        for field in self.hands_on_sheets().filter(|field| field.trim().is_empty()) {
            hand.clone_into(field);
        }
        self.who.answered();
        self.tell_session();
    }

    /// Turns from the question to where the keyboard was; whether it had it.
    pub(crate) const fn leave_who(&mut self) -> bool {
        if self.who.has_keyboard {
            self.who.give_back = true;
        }
        self.who.has_keyboard
    }

    /// Puts the keyboard back where it was before the question, or to the entry row.
    pub(crate) fn give_keyboard_back(&mut self, ctx: &Context) {
        if !std::mem::take(&mut self.who.give_back) {
            return;
        }
        match self.who.before.take() {
            Some(before) => ctx.memory_mut(|memory| memory.request_focus(before)),
            // What is typed whole waits for its Enter.
            None if self.entry.y.is_empty() => self.entry.focus = Some(Field::X),
            None => self.entry.focus = Some(Field::Y),
        }
    }

    /// The initials last given; empty while nobody said who is at the bench.
    pub(crate) fn known_hand(&self) -> &str {
        if self.who.asks() { "" } else { &self.preferences.hand }
    }

    /// The hands in force today, as the shop lists them.
    pub(crate) fn hands_in_force(&self) -> Vec<String> {
        let day = self.services.clock.now().date();
        let hands = self.shop.shop().map(|shop| shop.hands.known.as_slice()).unwrap_or_default();
        let in_force = hands.iter().filter(|kept| kept.value.in_force(day));
        in_force.map(|kept| kept.value.initials.clone()).take(MOST_OFFERED).collect()
    }

    /// The fields of sheets that hold initials.
    fn hands_on_sheets(&mut self) -> impl Iterator<Item = &mut String> {
        let sheets =
            std::iter::once(&mut self.front).chain(&mut self.behind).chain(&mut self.laid_by);
        sheets.filter_map(|front| match front {
            Front::SetUp(sheet) => Some(&mut sheet.hand),
            Front::Check(sheet) => Some(&mut sheet.hand),
            Front::Sign(sheet) if !sheet.signed => Some(&mut sheet.hand),
            _ => None,
        })
    }
}

/// More are typed.
const MOST_OFFERED: usize = 12;

/// Whether initials may be taken; `true`: the shop lists hands, and these are none in force.
fn checked(hand: &str, hands: Option<&Hands>, day: jiff::civil::Date) -> Result<bool, String> {
    if is_nobody(hand) {
        return Err(NO_HAND.to_owned());
    }
    let Some(hands) = hands.filter(|hands| hands.lists_anybody()) else { return Ok(false) };
    if let Some(other) = hands.looks_like(hand) {
        return Err(format!(
            "“{}” looks like {}, whom this shop lists: write it as the shop does.",
            shown::one_line(hand.trim()),
            other.initials
        ));
    }
    Ok(!hands.hand(hand).is_some_and(|hand| hand.in_force(day)))
}
