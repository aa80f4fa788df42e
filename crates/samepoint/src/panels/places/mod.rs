//! Places beside the bench, one file each.

mod explore;
mod practice;
mod review;
mod shop;
mod study;

pub use explore::explore_ui;
pub use practice::practice_ui;
pub use review::{ReviewContext, review_ui};
pub use shop::{ShopContext, shop_ui};
pub use study::{StudyContext, study_ui};
