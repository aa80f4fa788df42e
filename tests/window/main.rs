//! The window as its user meets it: the real application, driven by keys and by the names of its
//! controls, without a display.
//!
//! - `begin`: from an empty home to a signed unit by keyboard, its keys counted;
//! - `bench`: the application under test and the gestures of a hand;
//! - `camera_map`: a camera map marked in a picture of the graticule, by keys and pointer;
//! - `session`: as found, eight readings by keyboard, guidance; withdraw, undo, redo; reopen;
//! - `finding`: a station's map found, signed and kept; `listing`: a list from a spreadsheet;
//! - `first_frame`: shown before anything is open;
//! - `counted`: how many keys a unit takes;
//! - `deep_red`: nothing but red is drawn in that theme;
//! - `differences`: stations that show only the difference, or a box;
//! - `confirm`: the checklist, the looking test, the signature;
//! - `exam`: an examination withholds what answers, whatever is opened;
//! - `explore`: the optics opened up: presets, sliders, taking back;
//! - `field`: the plot under the hand: trying, measuring, arrows, pictures;
//! - `glance`: bench mode;
//! - `remedy`: the ranked list, taking one, prediction beside measurement;
//! - `camera`: frames of a program fill the row, and whatever goes wrong with it is told of; `frozen`: how
//!   long one stays; `map_changed`: the camera map changed meanwhile;
//! - `seals`: sealing with the real `ssh-keygen`, and with ones that wait, fail or are not there;
//! - `review`: stepping through, supposing, comparing, answering;
//! - `scripts`: letters that are written from right to left;
//! - `files`: a second window is read-only; open, copy and dialogs; broken files;
//! - `waiting`: facts that could not be written: nothing drops them unasked; `rescued`: offered at the next
//!   start;
//! - `failing_disk`: a disk that fails where a test says;
//! - `jobs`: a worker that dies is told of and tried again;
//! - `hostile`: traps for preferences and paths, floods of letters, texts that mislead;
//! - `entry`: what is refused, units, typing faster than frames; `typed_numbers`: a letter in any number, `word_fields`: all others;
//!   `row_back`: undo gives the row back;
//! - `misfits`: readings that do not fit are never green;
//! - `set_up`: how a job is set up, said anew, with windows of the shop's own;
//! - `new_session`: the sheet by keyboard, at both ends of the sizes;
//! - `logging`: blocks, CSV, closure, rounds, reading again, a crosshair against its ring;
//! - `whole_unit`: a unit from set-up to signature with a shim round between;
//! - `practice`: invented units worked to their score; `practice_camera`: shown through a camera;
//! - `day`: who is at the bench, handovers, work that rested;
//! - `upkeep`: the check standard, its chart and limits; what is due;
//! - `shelf`: which parts go together, begun as a session with its prediction on record;
//! - `shop`: what is planted in the demo shop is found on screen; `supervisor`: what a supervisor does there;
//!   `other_shops`: those that are seen as one with it; `round_robin`: one unit on several benches;
//! - `of_shop`: what is written of the shop, never over anything;
//! - `station_pictures`: pictures of the station fill the row, are kept, and are read again;
//! - `sweep`: a turn of each ring before the camera, and turning until they meet;
//! - `study`: a repeatability and reproducibility study, cell by cell;
//! - `sizes`: confirming at every size of text and on a small screen;
//! - `soak`: a short working day, nothing lost and nothing slower
//! - `views`: through the glass, the ring map, over the swing;
//! - `keys`: keys act where their command is listed;
//! - `ways`: the list of commands, text size, tabs of a small window, steps;
//! - `layout`: nothing clips, nothing moves, every control has a name and a size;
//! - `together`: no line ends between a number and its unit;
//! - `long_names`: names of 120 letters where they stand in lists;
//! - `many_readings`: makes sessions of many; `many_rows`: sessions of many thousand readings;
//! - `one_hand`: the keypad, pedals, reading back;
//! - `own_shop`: a shop of one's own: begun by keyboard, never over what stands there;
//! - `pictures` (feature `snapshots`): one picture per screen and size.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests fail by panicking"
)]

mod begin;
mod bench;
mod camera;
mod camera_map;
mod confirm;
mod counted;
mod day;
mod deep_red;
mod differences;
mod entry;
mod exam;
mod explore;
#[path = "../shared/failing_disk.rs"]
mod failing_disk;
mod field;
mod files;
mod finding;
mod first_frame;
mod frozen;
mod glance;
#[cfg(unix)]
mod hostile;
#[cfg(unix)]
#[path = "../shared/hostile_texts.rs"]
mod hostile_texts;
mod jobs;
mod keys;
mod layout;
mod listing;
mod logging;
mod long_names;
#[path = "../shared/many_readings.rs"]
mod many_readings;
mod many_rows;
mod map_changed;
mod misfits;
mod new_session;
mod of_shop;
mod one_hand;
mod other_shops;
mod own_shop;
#[cfg(feature = "snapshots")]
mod pictures;
mod practice;
mod practice_camera;
#[path = "../published/aiag.rs"]
mod published_aiag;
mod remedy;
mod rescued;
mod rescued_signature;
mod review;
mod round_robin;
mod row_back;
mod scripts;
#[cfg(unix)]
mod seals;
mod session;
mod set_up;
mod shelf;
mod shop;
mod sizes;
mod soak;
mod stands;
mod station_pictures;
mod study;
mod supervisor;
mod sweep;
mod together;
#[cfg(unix)]
#[path = "../shared/told_numbers.rs"]
mod told_numbers;
mod typed_numbers;
mod upkeep;
mod views;
mod waiting;
mod ways;
mod whole_unit;
mod word_fields;
