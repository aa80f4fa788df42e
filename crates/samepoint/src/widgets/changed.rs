//! Whether something is another than when last drawn, so that a list follows it once and stays
//! where a hand scrolls it to.

use egui::{Id, Ui};

/// How a value drawn again compares with the one drawn before under the same name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Changed {
    /// Nothing was drawn before.
    First,
    /// It is another one.
    Yes,
    /// It is the same.
    No,
}

/// Remembers a value under a name and says whether it changed.
pub(crate) fn changed<T>(ui: &Ui, name: &str, value: T) -> Changed
where
    T: Clone + PartialEq + Send + Sync + 'static,
{
    let id = Id::unique(("changed", name));
    ui.data_mut(|data| {
        let before = data.get_temp::<T>(id);
        let changed = match &before {
            None => Changed::First,
            Some(before) if *before == value => return Changed::No,
            Some(_) => Changed::Yes,
        };
        data.insert_temp(id, value);
        changed
    })
}
