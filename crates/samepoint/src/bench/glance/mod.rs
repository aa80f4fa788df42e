//! Bench mode: what a hand at the unit must see from two metres, chosen from the pictures that were made
//! when the facts changed. Nothing is solved here. [`ui`]: how large.

pub(crate) mod ui;

use paper::words::capital;
use record::Typed;
use record::fact::Purpose;
use record::practice::WITHHELD;
use record::station::Shows;
use solver::angle::turn_deg;
use solver::{Channel, Turn};

use super::confirm::{CheckLine, Confirming};
use super::log::callout::callouts;
use super::session::OpenSession;
use crate::app::App;
use crate::shell::kept_file::Saved;
use crate::views::log::LogRow;
use crate::views::round::{RingGuidance, Target, TurnWords};
use crate::views::targets::turn_words;
use crate::widgets::Tone;

/// What is seen from two metres.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Glance {
    /// Whose ring is turned, or whose crosshair is read.
    pub channel: Channel,
    /// What the large words are, after the channel's name: `ring to`.
    pub head: &'static str,
    /// What to turn it to.
    pub aim: Aim,
    /// The other ring, in a line.
    pub other: Option<String>,
    /// How far the last reading lies off.
    pub off: Option<Off>,
    /// Where it stands: at most three sentences, what must be seen first.
    pub state: Vec<(Tone, String)>,
    /// What to do next, in a sentence.
    pub next: String,
}

/// What a ring is turned to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Aim {
    /// This place.
    Place {
        /// A ring angle, or x and y of what is read there: a line each.
        lines: Vec<String>,
        /// Which way and how far; `None` where the ring's place is not known.
        turn: Option<TurnWords>,
        /// How well it is known, and what will be read there.
        beside: String,
    },
    /// None, and why.
    None(String),
}

/// How far the last reading lies from where it should.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Off {
    /// Which reading, off what.
    pub name: String,
    /// x and y, with half the width of the 95 % interval where that is known.
    pub xy: [String; 2],
    /// Whether it lies farther off than is explained.
    pub tone: Tone,
}

impl App {
    /// Whether bench mode is on.
    #[must_use]
    pub const fn bench_mode(&self) -> bool {
        self.bench_mode
    }

    /// What it shows.
    #[must_use]
    pub fn glance(&self) -> Glance {
        let channel = self.entry.channel;
        let none = |why: &str, next: &str| Glance {
            channel,
            head: "channel",
            aim: Aim::None(why.to_owned()),
            other: None,
            off: None,
            state: Vec::new(),
            next: next.to_owned(),
        };
        let Some(session) = &self.session else {
            return none("No session is open", "Start one (Ctrl+N), or open one (Ctrl+O).");
        };
        let mut glance = if let Some(closed) = self.closed() {
            none(&closed, "Start the next unit (Ctrl+N).")
        } else if !session.is_writable() {
            none("Read only", "Nothing can be logged here: Esc goes back.")
        } else {
            match self.entry.purpose {
                _ if self.is_meeting() => self.meeting_glance(session),
                Purpose::AsFound => as_found(channel, session),
                Purpose::Log => self.logging(session),
                Purpose::Confirm => confirming(channel, session, &self.confirming),
            }
        };
        if session.aside().rested {
            glance.next =
                "Say first whether anything but a ring was touched: nothing (Alt+J), something \
                           (Alt+Shift+J)."
                    .to_owned();
        }
        let mut first: Vec<(Tone, String)> = Vec::new();
        if let Some((_, why)) = &self.entry.refused {
            first.push((Tone::Look, why.clone()));
        }
        if let Saved::No(words) = session.saved()
            && session.is_writable()
        {
            first.push((Tone::Look, format!("{}.", capital(&words))));
        }
        let now = self.shell.services.clock.now();
        // What is said of the station stands in the bar.
        let pointed =
            callouts(session, self.selected, None, now).into_iter().find(|it| !it.is_of_station);
        first.extend(pointed.map(|callout| (callout.tone, callout.text)));
        first.append(&mut glance.state);
        first.truncate(3);
        Glance { state: first, ..glance }
    }

    /// While logging: the target once there is one that holds, else the place to read next.
    fn logging(&self, session: &OpenSession) -> Glance {
        let channel = self.entry.channel;
        let picture = session.picture();
        let examined = session.state().withholds();
        let mut state = Vec::new();
        if examined {
            state.push((Tone::Plain, WITHHELD.to_owned()));
        } else {
            state.push((picture.verdict.tone, picture.verdict.text.clone()));
        }
        if !examined && let Some(misfit) = misfit(session) {
            let next = "Look for a reading misread, of a wrong sign or of the other channel; read it again or \
                        withdraw it.";
            return Glance {
                channel,
                head: "ring",
                aim: Aim::None(misfit),
                other: None,
                off: None,
                state,
                next: next.to_owned(),
            };
        }
        let ring = &picture.rings[channel];
        if matches!(ring.target, Target::Missing(_)) {
            return self.next_place(session, state, examined);
        }
        let turned = |channel: Channel| turned(&picture.rings[channel]);
        let next = match (turned(channel), turned(channel.other())) {
            (Some(true), Some(true)) => {
                "Both rings stand where they should: choose the setting (Ctrl+Enter) and confirm (Ctrl+6)."
                    .to_owned()
            }
            (Some(true), _) => {
                let other = channel.other();
                format!("The {channel} ring is there. {} turns to the {other} ring.", letter(other))
            }
            _ => format!("Turn the {channel} ring there, then read its crosshair, or confirm (Ctrl+6)."),
        };
        Glance {
            channel,
            head: if picture.trying { "ring, on trial, to" } else { "ring to" },
            aim: aim(ring),
            other: Some(in_a_line(channel.other(), &picture.rings[channel.other()])),
            off: off_target(channel, ring),
            state,
            next,
        }
    }

    /// While there is no target: the place to read next, as the entry row has it.
    fn next_place(
        &self,
        session: &OpenSession,
        mut state: Vec<(Tone, String)>,
        examined: bool,
    ) -> Glance {
        let channel = self.entry.channel;
        let picture = session.picture();
        let typed = Typed::by_hand(&self.entry.ring[channel]).ok().map(|typed| typed.value());
        let now = picture.place[channel].and_then(|place| place.ring_deg);
        let turn = now.zip(typed).map(|(now, next)| {
            let clockwise_deg = turn_deg(now, next);
            let turn = Turn { clockwise_deg, of_ring: true, from_rad: 0.0, sweep_rad: 0.0 };
            turn_words(turn, session.ring_step_deg())
        });
        let aim = match typed {
            Some(deg) => Aim::Place {
                lines: vec![paper::words::degrees(deg, deg)],
                turn,
                beside: "the place to read next, as the entry row has it".to_owned(),
            },
            None => Aim::None("Turn it on a little".to_owned()),
        };
        let solution = picture.solution.as_ref().filter(|_| !examined);
        let known =
            |channel: Channel| solution.is_some_and(|solution| solution.fits[channel].is_ok());
        let other = channel.other();
        let next = match (session.shows(), known(channel), known(other)) {
            (Shows::Box, ..) => "Say what the station shows: I in the box, O outside.".to_owned(),
            (Shows::Relative, ..) => {
                format!("Turn the {channel} ring there, read both at one look, type Δx and Δy.")
            }
            (_, true, false) => format!(
                "The {channel} circle is known. {} turns to the {other} channel: read it, too.",
                letter(other)
            ),
            _ => format!("Turn the {channel} ring there, read its crosshair, type x and y, Enter."),
        };
        if let Target::Missing(why) = &picture.rings[channel].target
            && !examined
            && state.first().is_some_and(|(tone, _)| *tone == Tone::Plain)
            && session.shows() == Shows::Direction
        {
            state = vec![(Tone::Plain, format!("No target yet: {why}."))];
        }
        let log = session.log();
        let counts = |row: &LogRow| row.purpose == Purpose::Log && row.withdrawn.is_none();
        let off = log.rows(channel).rev().find(counts);
        let last = off.map(|row| Off {
            name: format!("{channel} reading {}", row.number),
            xy: [
                format!("{} {}", row.x, row.unit.sign()),
                format!("{} {}", row.y, row.unit.sign()),
            ],
            tone: Tone::Plain,
        });
        Glance { channel, head: "ring to", aim, other: None, off: last, state, next }
    }
}

/// What is said where the readings do not fit: there is no target as if they did.
pub(crate) fn misfit(session: &OpenSession) -> Option<String> {
    let solution = session.picture().solution.as_ref()?;
    let channel = solution.misfits().next()?;
    Some(format!("No target: the {channel} readings do not fit"))
}

fn as_found(channel: Channel, session: &OpenSession) -> Glance {
    let next = if session.shows() == Shows::Direction {
        format!("Read the {channel} crosshair as it was found: type x and y, Enter.")
    } else {
        "Read what the station shows, as it was found.".to_owned()
    };
    Glance {
        channel,
        head: "crosshair, as found",
        aim: Aim::None("Touch no ring, lock or dioptre yet".to_owned()),
        other: None,
        off: None,
        state: Vec::new(),
        next,
    }
}

/// While confirming: where the ring is to stand, how far the last reading lies off, what it comes to.
fn confirming(channel: Channel, session: &OpenSession, confirming: &Confirming) -> Glance {
    let (confirm, picture) = (session.confirm(), session.picture());
    let examined = session.state().withholds();
    let mut state = Vec::new();
    if let Some(mark) = confirm.marks.first() {
        state.push((if examined { Tone::Plain } else { Tone::Look }, mark.clone()));
    }
    if !examined {
        let rests = match confirm.rests_on.as_str() {
            "" => String::new(),
            rests_on => format!(" · rests on {rests_on}"),
        };
        let verdict = format!("{}{rests}", capital(confirm.verdict));
        state.push((confirm.tone, verdict));
    }
    let said = [confirming.lock_words(), confirming.seating_words(), confirming.stop_words()];
    let asked = confirming.lines.iter().find(|line| line.check == confirming.check);
    let count = asked.map(CheckLine::progress).filter(|count| !count.is_empty());
    let count = count.map_or_else(String::new, |count| format!(" · {count}"));
    state.push((Tone::Plain, format!("{}{count}", capital(&said.join(", ")))));
    let misfit = misfit(session).filter(|_| !examined);
    let ring = &picture.rings[channel];
    let aim = match (misfit, examined) {
        (_, true) => Aim::None(WITHHELD.to_owned()),
        (Some(why), _) => Aim::None(why),
        _ => aim(ring),
    };
    let held = matches!(aim, Aim::Place { .. });
    let last = confirm.off_by.last().filter(|_| held);
    let off = last.map(|line| Off {
        name: format!("{} reading off by", capital(line.channel.word())),
        xy: line.xy.clone(),
        tone: line.tone,
    });
    Glance {
        channel,
        head: "ring stands at",
        aim,
        other: held.then(|| in_a_line(channel.other(), &picture.rings[channel.other()])),
        off: off.or_else(|| off_target(channel, ring).filter(|_| held)),
        state,
        next: confirming.asks().to_owned(),
    }
}

fn off_target(channel: Channel, ring: &RingGuidance) -> Option<Off> {
    let name = format!("last {channel} reading off target by");
    ring.off.clone().map(|xy| Off { name, xy, tone: Tone::Plain })
}

fn aim(ring: &RingGuidance) -> Aim {
    let lines = match &ring.target {
        Target::Ring(ring) => vec![ring.clone()],
        Target::Reads(reads) => {
            let [x, y] = ["x", "y"];
            match reads.split_once(", ") {
                Some((first, second)) => vec![format!("{x} {first}"), format!("{y} {second}")],
                None => vec![reads.clone()],
            }
        }
        Target::Missing(why) => return Aim::None(capital(why)),
    };
    let known_to = ring.known_to.iter().map(String::as_str);
    let reads = ring.will_read.iter().filter(|_| matches!(ring.target, Target::Ring(_)));
    let reads: Vec<String> = reads.map(|reads| format!("will read {reads}")).collect();
    let beside: Vec<&str> = known_to.chain(reads.iter().map(String::as_str)).collect();
    Aim::Place { lines, turn: ring.turn.clone(), beside: beside.join(" · ") }
}

/// Whether a ring stands at its target; `None` where its place is not known.
fn turned(ring: &RingGuidance) -> Option<bool> {
    ring.turn.as_ref().map(|turn| turn.way.is_empty())
}

fn in_a_line(channel: Channel, ring: &RingGuidance) -> String {
    let turn = ring.turn.as_ref().map_or_else(String::new, |turn| format!(", {}", turn.amount));
    let name = capital(channel.word());
    match &ring.target {
        Target::Ring(to) => format!("{name} ring to {to}{turn}"),
        Target::Reads(reads) => format!("{name} ring until it reads {reads}{turn}"),
        Target::Missing(why) => format!("{name} ring: {why}"),
    }
}

const fn letter(channel: Channel) -> &'static str {
    match channel {
        Channel::Left => "L",
        Channel::Right => "R",
    }
}
