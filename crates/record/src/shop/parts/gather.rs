//! Every circle of a shop's sessions that counts, and why others do not.

use std::collections::BTreeMap;
use std::num::NonZeroUsize;

use solver::remedy::shim::{ShimEffect, TriedShim};

use super::known::Types;
use super::seen::{PodSeen, pods_seen};
use crate::error::Error;
use crate::file::{plain, scan};
use crate::fold::fold;
use crate::remedies::tried_shims;
use crate::shop::Shop;
use crate::shop::survey::{GoOn, SessionSummary, Survey, SurveyOptions, survey_by};

/// What a shop's sessions tell of parts.
#[derive(Clone, Debug, Default)]
pub struct Gathered {
    /// Circles, by session.
    pub seen: Vec<PodSeen>,
    /// Housing types and what shims do in them.
    pub types: Types,
    /// Sessions that were looked at.
    pub sessions: usize,
    /// Sessions that could not be read, or were left out, and why, in sentences.
    pub left_out: Vec<String>,
}

/// Looks at every session of a shop, while `go_on` says so; else `None`.
///
/// # Errors
/// As [`survey_by`].
pub fn gather(
    shop: &Shop,
    workers: NonZeroUsize,
    go_on: GoOn<'_>,
) -> Result<Option<Gathered>, Error> {
    let looking = SurveyOptions { go_on, ..SurveyOptions::whole(workers) };
    let Some(Survey { sessions, skipped, .. }) = survey_by(&shop.folder, &looking)? else {
        return Ok(None);
    };
    let mut gathered = Gathered::default();
    gathered.left_out.extend(skipped.iter().map(|why| format!("passed over: {why}")));
    let mut tried: Vec<(String, TriedShim)> = Vec::new();
    let mut not_relied_on: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for summary in sessions.iter().filter(|summary| summary.counts()) {
        if let Some(why) = left_out(summary) {
            not_relied_on.entry(why).or_default().push(summary.file.clone());
            continue;
        }
        if !go_on() {
            return Ok(None);
        }
        let path = shop.folder.join("sessions").join(&summary.file);
        let read = plain::open(&path).map_err(|why| Error::io("open", &path, why));
        let session = match read.and_then(|bytes| scan(&path, bytes)) {
            Ok(scanned) => fold(&scanned.facts),
            Err(why) => {
                gathered.left_out.push(format!("passed over: {why}"));
                continue;
            }
        };
        gathered.sessions += 1;
        if let Some(housing) = session.housing() {
            tried.extend(tried_shims(&session).into_iter().map(|one| (housing.name.clone(), one)));
        }
        gathered.seen.extend(pods_seen(&summary.file, &session));
    }
    for (why, files) in not_relied_on {
        let named = files.iter().take(NAMED).cloned().collect::<Vec<_>>().join(", ");
        let more = match files.len().saturating_sub(NAMED) {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        gathered.left_out.push(format!("not relied on, {why}: {named}{more}"));
    }
    for kept in &shop.housings {
        let housing = &kept.value;
        let own: Vec<TriedShim> =
            tried.iter().filter(|(name, _)| *name == housing.name).map(|(_, one)| *one).collect();
        let model = || housing.optics().ok().map(ShimEffect::Model);
        let effect = ShimEffect::measured(&own).or_else(model);
        gathered.types.known.insert(housing.name.clone(), (housing.clone(), effect));
    }
    Ok(Some(gathered))
}

/// Files named of those that are left out for one reason.
const NAMED: usize = 3;

/// Why a session's circles tell nothing that can be relied on of its parts.
fn left_out(summary: &SessionSummary) -> Option<&'static str> {
    if summary.follows == Some(false) {
        Some("since what was signed does not follow from the readings")
    } else if summary.recall.is_some() {
        Some("since it was read while the station's zero was off")
    } else {
        None
    }
}
