//! What a shop wants printed: added to what every report says, and in place of nothing.

use record::shown::in_lines;
use record::{Account, Wording};

use super::block::TextLook;
use super::flow::Flow;

/// What the shop of a session wants printed.
pub(super) fn of(account: &Account) -> Option<&Wording> {
    account.beside.as_ref()?.wording.as_ref()
}

/// The shop's paragraph above the signatures.
pub(super) fn above_signatures(account: &Account, flow: &mut Flow<'_>) {
    let text = of(account).map_or("", |wording| wording.above_signatures.trim());
    if !text.is_empty() {
        flow.paragraph(&in_lines(text), TextLook::BODY);
        flow.gap(3.0);
    }
}
