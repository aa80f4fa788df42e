//! The parts of the shop's place.

/// What is in sight.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum ShopPage {
    /// The table.
    #[default]
    Sessions,
    /// Units over the years.
    Units,
    /// What a supervisor should look at.
    Troubles,
    /// Where circles lie.
    Centres,
    /// How far from boresight units leave.
    Finishing,
    /// What passes first.
    PassRate,
    /// Why units fail, how long work takes, what waits.
    Work,
    /// Whether shims did as predicted.
    Shims,
    /// Which stations or hands differ.
    Differences,
    /// One unit on several benches.
    RoundRobin,
    /// What tightening does.
    Locks,
    /// Check charts, what is due, what wanders.
    Stations,
    /// What lies in the shop's practice.
    Practice,
    /// Other shops' folders, seen as one with this.
    OtherShops,
}

impl ShopPage {
    /// All of them, in the order of the screen.
    pub const ALL: [Self; 14] = [
        Self::Sessions,
        Self::Units,
        Self::Troubles,
        Self::Centres,
        Self::Finishing,
        Self::PassRate,
        Self::Work,
        Self::Shims,
        Self::Differences,
        Self::RoundRobin,
        Self::Locks,
        Self::Stations,
        Self::Practice,
        Self::OtherShops,
    ];

    /// Its name.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Sessions => "Sessions",
            Self::Units => "Units",
            Self::Troubles => "To look at",
            Self::Centres => "Circle centres",
            Self::Finishing => "Boresight",
            Self::PassRate => "First pass",
            Self::Work => "Work",
            Self::Shims => "Shims",
            Self::Differences => "Differences",
            Self::RoundRobin => "Round robin",
            Self::Locks => "Locks",
            Self::Stations => "Stations",
            Self::Practice => "Practice",
            Self::OtherShops => "Other shops",
        }
    }

    /// What would stand here in a shop that has no session yet, and how to get it.
    #[must_use]
    pub const fn nothing_yet(self) -> &'static str {
        match self {
            Self::Sessions => {
                "No sessions yet. Each unit that is read here gets a row: its day, housing, station, hand, window use \
                 and verdict. Begin one at the bench with Ctrl+N."
            }
            Self::Units => {
                "No unit yet. Each one that came will stand here with all its visits, how it was found and left, and \
                 whether it kept in between. Begin a session at the bench with Ctrl+N."
            }
            Self::Troubles => {
                "Nothing to look at yet. Sessions whose verdict does not follow, that are damaged, missing or \
                 answered, will stand here."
            }
            Self::Centres => {
                "No circles yet. Each round that was logged puts the centres of both offset circles here, housing \
                 by housing: how far its bores are off. Log a round at the bench (Ctrl+N begins a session)."
            }
            Self::Finishing => {
                "No confirmed unit yet. How far from boresight each was left will stand here, once units are \
                 confirmed at the bench (Ctrl+6)."
            }
            Self::PassRate => {
                "No signed unit yet. How many pass in their first round will stand here, once units are signed at \
                 the bench (F12)."
            }
            Self::Work => {
                "No work yet. Why units fail, how long they take, what waits and for how long, and which shim leaves \
                 are used up will stand here once sessions are signed (F12)."
            }
            Self::Shims => {
                "No shim yet. What each one did, beside what was predicted, will stand here once a remedy was \
                 taken (Ctrl+5) and the round after it logged."
            }
            Self::Differences => {
                "Nothing to compare yet. Stations and hands are compared by the units they read: it takes two of \
                 them, and several units each."
            }
            Self::RoundRobin => {
                "No unit was on several benches yet. Confirm one unit on two stations or more (Ctrl+6), its rings, shims \
                 and parts untouched in between, here or in other shops: what each bench measured will stand here against \
                 all others."
            }
            Self::Locks => {
                "No locks yet. What tightening them does will stand here once units were confirmed with locks open \
                 and tight (Ctrl+6)."
            }
            Self::Stations => {
                "No station yet. Each one’s calibration, its check standard day by day and what is due will stand \
                 here. “What the shop keeps…” (Alt+A) lists the stations."
            }
            Self::Practice => {
                "Nothing practised yet. Invented units worked in this shop will stand here: begin one under \
                 Practice (Alt+P)."
            }
            Self::OtherShops => {
                "No other shop yet. Add the folder of one, on this disk or on a share: every page here then shows both as \
                 one shop, a session that both have counts once, and the table says which shop each row is from."
            }
        }
    }

    /// The question it answers.
    #[must_use]
    pub const fn question(self) -> &'static str {
        match self {
            Self::Sessions => {
                "Which session? Press a row to choose it; again, or Enter, to look it over; Shift+Enter for its unit."
            }
            Self::Units => {
                "Which units come back, after how long, and did they keep as they were left?"
            }
            Self::Troubles => "What should a supervisor look at?",
            Self::Centres => "Where do the circle centres of each housing lie?",
            Self::Finishing => "How far from boresight do we finish?",
            Self::PassRate => "How many units pass in their first round?",
            Self::Work => {
                "Why do units fail, how long does work take, what waits, which leaves are used?"
            }
            Self::Shims => "Did shims do what was predicted?",
            Self::Differences => "Which stations or hands differ?",
            Self::RoundRobin => "What do several benches measure of one unit, and do they agree?",
            Self::Locks => "What does tightening the locks do, housing by housing?",
            Self::Stations => "Do the stations stand still, and what is due?",
            Self::Practice => "Who has practised, and how did it go? Press a file to look it over.",
            Self::OtherShops => "Which other shops are looked at as one with this?",
        }
    }
}
