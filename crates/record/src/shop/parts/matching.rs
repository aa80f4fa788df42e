//! Which parts of a shop's shelf go together best.

use std::num::NonZeroUsize;
use std::path::Path;

use solver::PerChannel;
use solver::shelf::{self, Estimate, Match, MatchPlan, STEPS, Shelf, ShelfEyepiece, ShelfTube};

use super::foretold::{Foretold, foretold};
use super::gather::{Gathered, gather};
use super::known::{KnownParts, PartsAsked};
use super::page::{PartKnown, parts};
use super::stock::{SHELF_FILE, Stock, StockEyepiece, StockHousing, StockTube};
use super::words;
use crate::error::Error;
use crate::shop::Shop;
use crate::shop::survey::GoOn;
use crate::unit::{self, Unit};
use crate::window::NamedWindow;

/// The plan, in the shop's names, and all that is to be said beside it.
#[derive(Clone, Debug)]
pub struct Matching {
    /// The window that units are to come inside.
    pub window: NamedWindow,
    /// The interpupillary distance they are set up at, mm, if they are judged over the swing from there.
    pub ipd_mm: Option<f64>,
    /// The housings on the shelf; the plan counts them in this order.
    pub housings: Vec<StockHousing>,
    /// The tubes.
    pub tubes: Vec<StockTube>,
    /// The eyepieces.
    pub eyepieces: Vec<StockEyepiece>,
    /// What is known of them, numbered alike.
    pub known: KnownParts,
    /// Which go together.
    pub plan: MatchPlan,
    /// What is not known, and which reading would tell, in sentences.
    pub unknown: Vec<String>,
    /// What else is worth saying: stated values that cannot be used, readings that disagree, housings that
    /// do not say how they swing, parts that were seen elsewhere last.
    pub remarks: Vec<String>,
    /// Sessions that were looked at.
    pub sessions: usize,
    /// Sessions that were left out, and why.
    pub left_out: Vec<String>,
    /// Units that were built since of parts that were known before, the newest first.
    pub foretold: Vec<Foretold>,
    /// Every part that the list names, by itself.
    pub parts: Vec<PartKnown>,
}

impl Matching {
    /// A match as the unit that is to be built: what a session of it is begun with.
    #[must_use]
    pub fn unit(&self, one: &Match) -> Unit {
        let names = self.names(one);
        Unit {
            name: names.unit.to_owned(),
            housing: names.housing.to_owned(),
            tubes: PerChannel::from_fn(|channel| unit::Tube {
                serial: names.tubes[channel].to_owned(),
                turned_deg: if one.turned[channel] { 180.0 } else { 0.0 },
            }),
            eyepieces: names.eyepieces.map(|serial| unit::Eyepiece {
                serial: serial.to_owned(),
                ..unit::Eyepiece::default()
            }),
            shims: one.shims.as_ref().map(|shim| {
                let laid = shim.as_ref().map(|shim| unit::Shim {
                    clock_deg: shim.clock_deg,
                    leaves_mm: shim.leaves_mm.clone(),
                    ends: shim.ends,
                });
                laid.into_iter().collect()
            }),
            note: String::new(),
        }
    }
}

/// What became of matching.
#[derive(Clone, Debug)]
pub enum Matched {
    /// It was done; where it was stopped in the search for the best plan, the plan says that it is not proved.
    Done(Box<Matching>),
    /// It was stopped before there was anything to choose from.
    Stopped,
    /// The shop has no `shelf.ron`.
    NoShelf,
}

/// Matches what `shelf.ron` lists by all that the shop's sessions tell.
///
/// # Errors
/// As [`gather`]; [`Error::ShopValue`] where there is no such file, or it names a window or a housing type
/// that the shop does not have; as the solver's own plan for a shelf that is too large.
pub fn match_shelf(folder: &Path, workers: NonZeroUsize) -> Result<Matching, Error> {
    match match_shelf_while(folder, workers, &|| true)? {
        Matched::Done(matching) => Ok(*matching),
        Matched::Stopped | Matched::NoShelf => {
            Err(Error::ShopValue { path: folder.join(SHELF_FILE), what: NO_FILE.to_owned() })
        }
    }
}

/// The same while `go_on` says so, which is asked time and again.
///
/// # Errors
/// As [`match_shelf`], but that a shop without a shelf is no error.
pub fn match_shelf_while(
    folder: &Path,
    workers: NonZeroUsize,
    go_on: GoOn<'_>,
) -> Result<Matched, Error> {
    let shop = Shop::load(folder)?;
    let path = folder.join(SHELF_FILE);
    let refused = |what: String| Error::ShopValue { path: path.clone(), what };
    let Some(stock) = shop.stock()? else { return Ok(Matched::NoShelf) };
    let window = shop.windows.iter().find(|kept| kept.value.name == stock.window);
    let window = window.ok_or_else(|| {
        refused(format!("window: the shop has no tolerance window called {}", stock.window))
    })?;
    let window = window.value.clone();
    let Some(gathered) = gather(&shop, workers, go_on)? else { return Ok(Matched::Stopped) };
    for (field, housing) in named(&stock) {
        if !gathered.types.known.contains_key(housing) {
            return Err(refused(format!("{field}: the shop has no housing type called {housing}")));
        }
    }
    let housings: Vec<StockHousing> =
        stock.housings.iter().filter(|one| !one.in_use).cloned().collect();
    let tubes: Vec<StockTube> = stock.tubes.iter().filter(|one| !one.in_use).cloned().collect();
    let eyepieces: Vec<StockEyepiece> =
        stock.eyepieces.iter().filter(|one| !one.in_use).cloned().collect();
    let key = |name: &str, housing: &str| (name.to_owned(), housing.to_owned());
    let asked = PartsAsked {
        housings: housings.iter().map(|one| key(&one.unit, &one.housing)).collect(),
        tubes: tubes.iter().map(|one| key(&one.serial, &one.housing)).collect(),
        eyepieces: eyepieces.iter().map(|one| key(&one.serial, &one.housing)).collect(),
    };
    let known = KnownParts::of(&asked, &gathered.seen, &stock, &gathered.types);
    let kinds: Vec<&String> = gathered.types.known.keys().collect();
    let kind = |name: &String| kinds.iter().position(|held| *held == name).unwrap_or(usize::MAX);
    let mut remarks = known.unusable.clone();
    remarks.extend(known.widened.iter().cloned());
    let mut listed = Vec::with_capacity(housings.len());
    for one in &housings {
        let Some((housing, effect)) = gathered.types.known.get(&one.housing) else { continue };
        let swing = stock.ipd_mm.and_then(|ipd_mm| housing.swing(ipd_mm));
        if stock.ipd_mm.is_some() && swing.is_none() {
            let said = format!(
                "{} does not say enough of how its pods swing: its units are judged at rest.",
                one.housing
            );
            if !remarks.contains(&said) {
                remarks.push(said);
            }
        }
        let stays = match &one.eyepieces {
            None => None,
            Some(pair) => {
                let number = |serial: &String| {
                    let found = eyepieces
                        .iter()
                        .position(|held| held.serial == *serial && held.housing == one.housing);
                    found.ok_or_else(|| {
                        refused(format!("housings.eyepieces: {serial} is not among the eyepieces"))
                    })
                };
                Some(PerChannel { left: number(&pair.left)?, right: number(&pair.right)? })
            }
        };
        listed.push(shelf::ShelfHousing {
            kind: kind(&one.housing),
            seat: housing.shim_seat(),
            effect: *effect,
            swing,
            eyepieces: stays,
        });
    }
    let list = Shelf {
        housings: listed,
        tubes: tubes
            .iter()
            .map(|one| ShelfTube { kind: kind(&one.housing), may_turn: one.may_turn })
            .collect(),
        eyepieces: eyepieces
            .iter()
            .zip(&known.radii)
            .map(|(one, radius)| ShelfEyepiece {
                kind: kind(&one.housing),
                radius: *radius,
                // By the optics an eyepiece's ring runs about its pod's axis.
                centre: Estimate::default(),
            })
            .collect(),
        offsets: known.offsets.clone(),
        window: window.limits,
        most_leaves: usize::try_from(stock.most_leaves).unwrap_or(usize::MAX),
    };
    let plan = shelf::plan_while(&list, STEPS, &|| go_on());
    let Some(plan) = plan.map_err(|why| refused(why.to_string()))? else {
        return Ok(Matched::Stopped);
    };
    let unknown = {
        let housings: Vec<&StockHousing> = housings.iter().collect();
        let tubes: Vec<&StockTube> = tubes.iter().collect();
        let eyepieces: Vec<&StockEyepiece> = eyepieces.iter().collect();
        plan.unknown
            .iter()
            .map(|what| words::unknown(what, &housings, &tubes, &eyepieces))
            .collect()
    };
    remarks.extend(seen_elsewhere(&gathered, &housings, &tubes));
    let foretold = foretold(&gathered, &stock, &window);
    let parts = parts(&stock, &gathered);
    Ok(Matched::Done(Box::new(Matching {
        window,
        ipd_mm: stock.ipd_mm,
        housings,
        tubes,
        eyepieces,
        known,
        plan,
        unknown,
        remarks,
        sessions: gathered.sessions,
        left_out: gathered.left_out,
        foretold,
        parts,
    })))
}

fn named(stock: &Stock) -> impl Iterator<Item = (&'static str, &String)> {
    let housings = stock.housings.iter().map(|one| ("housings.housing", &one.housing));
    let tubes = stock.tubes.iter().map(|one| ("tubes.housing", &one.housing));
    let eyepieces = stock.eyepieces.iter().map(|one| ("eyepieces.housing", &one.housing));
    housings.chain(tubes).chain(eyepieces)
}

/// Tubes that the newest session which names them has in a unit whose housing is not on the shelf.
fn seen_elsewhere(
    gathered: &Gathered,
    housings: &[StockHousing],
    tubes: &[StockTube],
) -> Vec<String> {
    let mut said = Vec::new();
    for tube in tubes {
        let of = gathered
            .seen
            .iter()
            .filter(|one| one.tube == tube.serial && one.housing == tube.housing)
            .max_by_key(|one| one.time.unix_milliseconds());
        let Some(last) = of else { continue };
        let lies_here =
            housings.iter().any(|one| one.unit == last.unit && one.housing == last.housing);
        if !lies_here {
            said.push(format!(
                "Tube {} is listed on the shelf; {} had it in {} last. Is it out?",
                tube.serial, last.file, last.unit
            ));
        }
    }
    said
}

const NO_FILE: &str = "there is no such file; it lists what lies on the shelf, as (format: 1, shelf: (window: \
    \"NAME\", housings: [(unit: \"0155\", housing: \"TYPE\")], tubes: [(serial: \"T-1\", housing: \
    \"TYPE\")], eyepieces: [(serial: \"E-1\", housing: \"TYPE\")]))";
