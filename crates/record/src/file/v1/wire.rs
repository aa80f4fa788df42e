//! How a type of the program and its words on a line become each other.
//!
//! Each wire type is written out beside the type it stands for, so that a change in the program
//! that would change the format does not compile. Every number passes [`Wire::read`] for `f64`,
//! the one place that refuses what is not finite (RON itself accepts `NaN` and `inf`).

use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use smol_str::SmolStr;
use solver::{Channel, PerChannel};

use crate::file::bad_field::BadField;
use crate::file::chain::ChainHash;
use crate::number::Typed;
use crate::stamp::Stamp;

/// The words on a line for a `T`.
pub(crate) trait Wire<T>: Sized {
    /// To words.
    fn write(from: &T) -> Self;
    /// From words.
    fn read(self) -> Result<T, BadField>;
}

macro_rules! as_it_is {
    ($($kind:ty),*) => {$(
        impl Wire<$kind> for $kind {
            fn write(from: &$kind) -> Self {
                from.clone()
            }
            fn read(self) -> Result<$kind, BadField> {
                Ok(self)
            }
        }
    )*};
}
as_it_is!(String, SmolStr, bool, u64, i16);

impl Wire<f64> for f64 {
    fn write(from: &f64) -> Self {
        *from
    }
    fn read(self) -> Result<f64, BadField> {
        if self.is_finite() {
            Ok(self)
        } else {
            Err(BadField::new(format!("{self} is not a number")))
        }
    }
}

impl<T: Copy + Wire<T>, const N: usize> Wire<[T; N]> for [T; N] {
    fn write(from: &[T; N]) -> Self {
        *from
    }
    fn read(self) -> Result<[T; N], BadField> {
        for value in self {
            Wire::<T>::read(value)?;
        }
        Ok(self)
    }
}

/// Types whose words are one text.
macro_rules! as_text {
    ($kind:ty, $text:expr, $parse:expr) => {
        impl Wire<$kind> for String {
            fn write(from: &$kind) -> Self {
                let text: fn(&$kind) -> String = $text;
                text(from)
            }
            fn read(self) -> Result<$kind, BadField> {
                let parse: fn(&str) -> Result<$kind, crate::error::Error> = $parse;
                parse(&self).map_err(BadField::new)
            }
        }
    };
}
as_text!(Typed, |typed| typed.text().to_owned(), Typed::parse);
as_text!(Stamp, ToString::to_string, str::parse);
as_text!(Date, ToString::to_string, |text| text
    .parse()
    .map_err(|_| crate::error::Error::NotADate { text: text.chars().take(60).collect() }));

impl Wire<ChainHash> for String {
    fn write(from: &ChainHash) -> Self {
        from.to_string()
    }
    fn read(self) -> Result<ChainHash, BadField> {
        ChainHash::read(&self).ok_or_else(BadField::no_hash)
    }
}

impl<T, W: Wire<T>> Wire<Option<T>> for Option<W> {
    fn write(from: &Option<T>) -> Self {
        from.as_ref().map(W::write)
    }
    fn read(self) -> Result<Option<T>, BadField> {
        self.map(W::read).transpose()
    }
}

impl<T, W: Wire<T>> Wire<Box<T>> for Box<W> {
    fn write(from: &Box<T>) -> Self {
        Self::new(W::write(from))
    }
    fn read(self) -> Result<Box<T>, BadField> {
        (*self).read().map(Box::new)
    }
}

impl<T, W: Wire<T>> Wire<Vec<T>> for Vec<W> {
    fn write(from: &Vec<T>) -> Self {
        from.iter().map(W::write).collect()
    }
    fn read(self) -> Result<Vec<T>, BadField> {
        self.into_iter().map(W::read).collect()
    }
}

/// One of each for the two channels.
#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Pair<W> {
    left: W,
    right: W,
}

impl<T, W: Wire<T>> Wire<PerChannel<T>> for Pair<W> {
    fn write(from: &PerChannel<T>) -> Self {
        Self { left: W::write(&from.left), right: W::write(&from.right) }
    }
    fn read(self) -> Result<PerChannel<T>, BadField> {
        Ok(PerChannel {
            left: self.left.read().map_err(|bad| bad.within("left"))?,
            right: self.right.read().map_err(|bad| bad.within("right"))?,
        })
    }
}

/// A channel as one letter.
#[derive(Clone, Copy, Debug, Deserialize, Serialize)]
pub(crate) enum Side {
    L,
    R,
}

impl Wire<Channel> for Side {
    fn write(from: &Channel) -> Self {
        match from {
            Channel::Left => Self::L,
            Channel::Right => Self::R,
        }
    }
    fn read(self) -> Result<Channel, BadField> {
        Ok(match self {
            Self::L => Channel::Left,
            Self::R => Channel::Right,
        })
    }
}

/// A struct of words for a struct of the program, field by field.
macro_rules! wire_struct {
    ($name:ident for $of:path { $($(#[$attribute:meta])* $field:ident: $wire:ty),* $(,)? }) => {
        #[derive(Clone, Debug, serde::Deserialize, serde::Serialize)]
        #[serde(deny_unknown_fields)]
        pub(crate) struct $name { $($(#[$attribute])* $field: $wire),* }

        impl $crate::file::v1::wire::Wire<$of> for $name {
            fn write(from: &$of) -> Self {
                Self { $($field: <$wire as $crate::file::v1::wire::Wire<_>>::write(&from.$field)),* }
            }
            fn read(self) -> Result<$of, $crate::file::bad_field::BadField> {
                use $of as Of;
                Ok(Of { $(
                    $field: <$wire as $crate::file::v1::wire::Wire<_>>::read(self.$field)
                        .map_err(|bad| bad.within(stringify!($field)))?
                ),* })
            }
        }
    };
}

/// The name of a variant as it stands on a line.
pub(crate) fn as_written(variant: &str) -> String {
    let first: String = variant.chars().take(1).collect();
    variant.replacen(&first, &first.to_lowercase(), 1)
}

/// An enum of words for an enum of the program, variant by variant.
macro_rules! wire_enum {
    ($name:ident for $of:path { $($bare:ident),* $(,)? $(; $($full:ident($wire:ty)),* $(,)?)? }) => {
        #[derive(Clone, Debug, serde::Deserialize, serde::Serialize)]
        #[serde(rename_all = "camelCase", deny_unknown_fields)]
        pub(crate) enum $name { $($bare,)* $($($full($wire)),*)? }

        impl $crate::file::v1::wire::Wire<$of> for $name {
            fn write(from: &$of) -> Self {
                use $of as Of;
                match from {
                    $(Of::$bare => Self::$bare,)*
                    $($(Of::$full(held) => {
                        Self::$full(<$wire as $crate::file::v1::wire::Wire<_>>::write(held))
                    })*)?
                }
            }
            fn read(self) -> Result<$of, $crate::file::bad_field::BadField> {
                use $of as Of;
                Ok(match self {
                    $(Self::$bare => Of::$bare,)*
                    $($(Self::$full(held) => Of::$full(
                        <$wire as $crate::file::v1::wire::Wire<_>>::read(held)
                            .map_err(|bad| {
                                bad.within(&$crate::file::v1::wire::as_written(stringify!($full)))
                            })?
                    )),*)?
                })
            }
        }
    };
}

pub(crate) use {wire_enum, wire_struct};
