//! A hand's file: `(format: 1, hand: (initials: "RB", roles: [technician], from: "2026-01-05", …))`; and
//! what a shop demands, `shop.ron`: `(format: 1, shop: (seals: required))`; and whose it is, `letterhead.ron`:
//! `(format: 1, letterhead: (name: "…", address: "…"))`; which picture stands beside that, `letterhead-picture.ron`;
//! and what it wants printed, `wording.ron`.

use serde::{Deserialize, Serialize};

use super::hand;
use super::role::HandRole;
use crate::file::bad_field::BadField;
use crate::file::v1::wire::{Wire, wire_enum, wire_struct};
use crate::shop::head_picture::HeadPicture;
use crate::shop::letterhead::Letterhead;
use crate::shop::rules::{SealRule, ShopRules};
use crate::shop::wording::Wording;
use crate::validate::Checked;

wire_struct!(HandWords for hand::Hand {
    initials: String,
    #[serde(default)]
    name: String,
    roles: Vec<RoleWord>,
    from: String,
    #[serde(default)]
    until: Option<String>,
    #[serde(default)]
    keys: Vec<KeyWords>,
    #[serde(default)]
    revoked: Vec<String>,
    #[serde(default)]
    note: String,
});
wire_enum!(RoleWord for HandRole { Trainee, Technician, Supervisor });
wire_struct!(KeyWords for hand::HandKey {
    line: String,
    #[serde(default)]
    from: Option<String>,
    #[serde(default)]
    until: Option<String>,
});

wire_struct!(RulesWords for ShopRules { seals: SealWord });
wire_enum!(SealWord for SealRule { Optional, Required });

wire_struct!(LetterheadWords for Letterhead {
    name: String,
    #[serde(default)]
    address: String,
});

wire_struct!(HeadPictureWords for HeadPicture {
    sha256: Option<String>,
});

wire_struct!(WordingWords for Wording {
    #[serde(default)]
    above_signatures: String,
    #[serde(default)]
    caution: String,
    #[serde(default)]
    footer: String,
});

/// A file of the shop in its words.
macro_rules! file {
    ($name:ident, $field:ident: $words:ident for $of:path) => {
        #[derive(Debug, Deserialize, Serialize)]
        #[serde(deny_unknown_fields)]
        pub(crate) struct $name {
            pub(crate) format: u32,
            $field: $words,
        }

        impl Wire<$of> for $name {
            fn write(from: &$of) -> Self {
                Self { format: 1, $field: Wire::write(from) }
            }
            fn read(self) -> Result<$of, BadField> {
                let value: $of =
                    self.$field.read().map_err(|bad| bad.within(stringify!($field)))?;
                value.check().map_err(BadField::new)?;
                Ok(value)
            }
        }
    };
}
file!(HandFile, hand: HandWords for hand::Hand);
file!(RulesFile, shop: RulesWords for ShopRules);
file!(LetterheadFile, letterhead: LetterheadWords for Letterhead);
file!(HeadPictureFile, letterhead_picture: HeadPictureWords for HeadPicture);
file!(WordingFile, wording: WordingWords for Wording);
