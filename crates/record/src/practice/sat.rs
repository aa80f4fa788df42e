//! What an examination withholds until it is signed, what it shows, and what nobody can withhold: for the
//! window and the certificate alike. Whether one is sat, [`Session::withholds`](crate::Session::withholds) says;
//! what solves, judges and compares asks there, so a view has nothing to show unless it may.

/// What stands where answers would.
pub const WITHHELD: &str = "Examination: answers and guidance are withheld until you sign.";

/// What is shown while it is sat.
pub const SHOWN: [&str; 5] = [
    "the graticule with its loupe, the virtual rings, locks and dioptres",
    "the readings as typed, in the log and on the plot",
    "an offset circle through each channel’s readings, its centre and radius",
    "the tolerance window’s limits, the housing’s seats and shims, a ruler on the plot",
    "what the unit looks like at a far point",
];

/// What is withheld while it is sat.
pub const NOT_SHOWN: [&str; 9] = [
    "where the circles cross, the recommended setting, and each ring’s target, turn and expected reading",
    "misalignment, window use, slack and verdict, as found, tried, predicted or measured",
    "the ring map, the swing and where errors come from",
    "the list of remedies with what each would give: a remedy was the trainee’s own",
    "what stands out, what a reading leaves over, and whether a round closes",
    "which reading would tell most, the checklist, how far a lock turned its ring",
    "any reading told in words",
    "review, report and a copy of the open file, here and by the command line",
    "the truth",
];

/// What no program of this kind can withhold.
pub const NOT_WITHHELD: [&str; 4] = [
    "readings that somebody types into `samepoint solve` or works out by other means",
    "another unit, or Explore, beside it",
    "the truth of this unit, by its grade and number, to whoever works it under other initials or in another \
     shop, or signs a copy of the file",
    "help from somebody else, and what the computer’s clock was set to",
];
