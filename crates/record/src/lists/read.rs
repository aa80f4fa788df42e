//! From the bytes of a file to the rows of a list.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::{ListError, ListKind, ListRow, Listed, RowRefusal, ShopList};
use crate::csv_cell;
use crate::hands::{Hand, HandRole};
use crate::import_csv::{checked_text, line_just_read};
use crate::shown::is_hidden;
use crate::unit::{Eyepiece, Tube, Unit};
use crate::units_waiting::WaitingUnit;
use crate::validate::Checked as _;
use solver::PerChannel;

/// Rows that are looked at: a shop's whole stock of units fits.
pub const LONGEST_LIST: usize = 2_000;

/// Letters of a field.
const LONGEST_FIELD: usize = 200;

/// Reads a list. `today`: from when a hand is in force where its row does not say.
///
/// # Errors
/// Why the list as a whole cannot be read; what is wrong with a row stands in that row.
///
/// ```
/// use record::lists::{ListKind, parse_list};
/// let list = parse_list("unit;due;for\n0147;2026-12-01;\"Harbour rescue; job 7\"\n".as_bytes(), "2026-11-25".parse()?)?;
/// assert_eq!(list.kind, ListKind::Sessions);
/// assert_eq!(list.rows[0].listed.as_ref().unwrap().words(), "0147: due 2026-12-01 · for Harbour rescue; job 7");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn parse_list(bytes: &[u8], today: Date) -> Result<ShopList, ListError> {
    let text = checked_text(bytes)?;
    let mut lines = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter_of(text))
        // Carriage returns are taken off with the blanks round a field, so that each line feed counts as one line.
        .terminator(csv::Terminator::Any(b'\n'))
        .from_reader(text.as_bytes());
    let mut record = csv::StringRecord::new();
    let mut header: Option<(u64, ListHeader)> = None;
    let mut rows: Vec<ListRow> = Vec::new();
    let mut first: BTreeMap<String, u64> = BTreeMap::new();
    while lines.read_record(&mut record)? {
        let breaks = record.iter().map(|field| field.matches('\n').count() as u64).sum::<u64>();
        // A quote that never closes takes the last line feed with it.
        let open = record.iter().next_back().is_some_and(|field| field.ends_with('\n'));
        let now = lines.position();
        let last = if open { now.line() } else { line_just_read(text, now) };
        let line = last.saturating_sub(breaks).max(1);
        let fields: Vec<&str> = record.iter().map(str::trim).collect();
        let is_comment = fields.first().is_some_and(|field| field.starts_with('#'));
        if is_comment || fields.iter().all(|field| field.is_empty()) {
            continue;
        }
        let Some((_, header)) = &header else {
            header = Some((line, ListHeader::of(line, &fields)?));
            continue;
        };
        if rows.len() == LONGEST_LIST {
            return Err(ListError::TooLong { most: LONGEST_LIST });
        }
        let listed = header.row(&fields, today).and_then(|listed| {
            let name = listed.name().to_lowercase();
            match first.get(&name) {
                Some(&line) => Err(RowRefusal::Twice { name: listed.name().to_owned(), line }),
                None => {
                    first.insert(name, line);
                    Ok(listed)
                }
            }
        });
        rows.push(ListRow { line, listed });
    }
    match header {
        None => Err(ListError::Empty),
        Some((line, _)) if rows.is_empty() => Err(ListError::NoRows { line }),
        Some((_, header)) => Ok(ShopList { kind: header.kind, rows }),
    }
}

/// The mark that parts the columns of the first row that says something.
fn delimiter_of(text: &str) -> u8 {
    let says = |line: &&str| !line.trim().is_empty() && !line.trim_start().starts_with('#');
    let header = text.lines().find(says).unwrap_or_default();
    [b'\t', b';'].into_iter().find(|mark| header.contains(char::from(*mark))).unwrap_or(b',')
}

/// The first row: of what the list is, and which of its columns stands where.
struct ListHeader {
    kind: ListKind,
    places: Vec<&'static str>,
}

impl ListHeader {
    fn of(line: u64, fields: &[&str]) -> Result<Self, ListError> {
        let named = fields.get(..says(fields)).unwrap_or(fields);
        let named: Vec<String> = named.iter().map(|name| plain(name).to_lowercase()).collect();
        let has = |name: &str| named.iter().any(|field| field == name);
        let kind = if has("initials") {
            ListKind::Hands
        } else if !has("unit") {
            return Err(ListError::NotNamed { line });
        } else if ["due", "for", "condition"].into_iter().any(has) {
            ListKind::Sessions
        } else {
            ListKind::Units
        };
        let mut places: Vec<&'static str> = Vec::new();
        for (place, name) in named.iter().enumerate() {
            let column = place + 1;
            let known = kind.columns().iter().find(|known| *known == name);
            let Some(known) = known else {
                return Err(ListError::Column { line, column, name: name.clone(), kind });
            };
            if places.contains(known) {
                return Err(ListError::ColumnTwice { line, column, name: name.clone() });
            }
            places.push(known);
        }
        let needed = kind.columns().iter().take(kind.needed());
        match needed.copied().find(|name| !places.contains(name)) {
            Some(name) => Err(ListError::Missing { line, name }),
            None => Ok(Self { kind, places }),
        }
    }

    fn row(&self, fields: &[&str], today: Date) -> Result<Listed, RowRefusal> {
        let (found, named) = (says(fields), self.places.len());
        if found > named {
            return Err(RowRefusal::Columns { found, named });
        }
        let mut row = RowFields::default();
        for (column, field) in self.places.iter().copied().zip(fields) {
            let text = plain(field);
            let letters = text.chars().count();
            if letters > LONGEST_FIELD {
                return Err(RowRefusal::TooLong { column, letters, most: LONGEST_FIELD });
            }
            if text.chars().any(is_hidden) {
                return Err(RowRefusal::Hidden { column });
            }
            row.0.insert(column, text.to_owned());
        }
        match self.kind {
            ListKind::Units => row.unit(),
            ListKind::Hands => row.hand(today),
            ListKind::Sessions => row.waits(),
        }
    }
}

/// How many columns a row has: spreadsheets leave empty ones behind.
fn says(fields: &[&str]) -> usize {
    fields.iter().rposition(|field| !field.is_empty()).map_or(0, |last| last + 1)
}

/// A field without the blanks round it, and without what keeps a spreadsheet from working it out.
fn plain(field: &str) -> &str {
    csv_cell::read(field.trim()).trim()
}

/// The fields of a row by their columns.
#[derive(Default)]
struct RowFields(BTreeMap<&'static str, String>);

impl RowFields {
    fn text(&self, column: &str) -> String {
        self.0.get(column).cloned().unwrap_or_default()
    }

    fn needed(&self, column: &'static str) -> Result<String, RowRefusal> {
        let text = self.text(column);
        if text.is_empty() { Err(RowRefusal::Missing { column }) } else { Ok(text) }
    }

    fn day(&self, column: &'static str) -> Result<Option<Date>, RowRefusal> {
        let text = self.text(column);
        if text.is_empty() {
            return Ok(None);
        }
        text.parse().map(Some).map_err(|_| RowRefusal::NotADay { column, text })
    }

    fn unit(&self) -> Result<Listed, RowRefusal> {
        let tube = |column| Tube { serial: self.text(column), ..Tube::default() };
        let eyepiece = |column| Eyepiece { serial: self.text(column), ..Eyepiece::default() };
        let unit = Unit {
            name: self.needed("unit")?,
            housing: self.text("housing"),
            tubes: PerChannel { left: tube("left_tube"), right: tube("right_tube") },
            eyepieces: PerChannel {
                left: eyepiece("left_eyepiece"),
                right: eyepiece("right_eyepiece"),
            },
            note: self.text("note"),
            ..Unit::default()
        };
        unit.check()?;
        Ok(Listed::Unit(Box::new(unit)))
    }

    fn hand(&self, today: Date) -> Result<Listed, RowRefusal> {
        let initials = self.needed("initials")?;
        let words = self.needed("roles")?;
        let mut roles = Vec::new();
        for word in words.split([' ', ',', ';', '+', '/']).filter(|word| !word.is_empty()) {
            let role = match word.to_lowercase().as_str() {
                "trainee" => HandRole::Trainee,
                "technician" => HandRole::Technician,
                "supervisor" => HandRole::Supervisor,
                _ => return Err(RowRefusal::NotARole { text: word.to_owned() }),
            };
            if !roles.contains(&role) {
                roles.push(role);
            }
        }
        roles.sort_unstable();
        let from = self.day("from")?;
        let hand = Hand {
            initials,
            name: self.text("name"),
            roles,
            from: from.unwrap_or(today),
            until: self.day("until")?,
            keys: Vec::new(),
            revoked: Vec::new(),
            note: self.text("note"),
        };
        hand.check()?;
        Ok(Listed::Hand { hand: Box::new(hand), from_said: from.is_some() })
    }

    fn waits(&self) -> Result<Listed, RowRefusal> {
        Ok(Listed::Waits(WaitingUnit {
            unit: self.needed("unit")?,
            due: self.day("due")?,
            purpose: self.text("for"),
            condition: self.text("condition"),
        }))
    }
}
