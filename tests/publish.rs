//! The whole trip in memory: written gardens become sites, without a disk or a clock.

#[path = "support/garden.rs"]
mod garden;

#[path = "publish/calendar_reasons.rs"]
mod calendar_reasons;
#[path = "publish/data_page.rs"]
mod data_page;
#[path = "publish/dried.rs"]
mod dried;
#[path = "publish/first_things.rs"]
mod first_things;
#[path = "publish/gardens.rs"]
mod gardens;
#[path = "publish/histories.rs"]
mod histories;
#[path = "publish/journal.rs"]
mod journal;
#[path = "publish/labels.rs"]
mod labels;
#[path = "publish/menu.rs"]
mod menu;
#[path = "publish/mixes.rs"]
mod mixes;
#[path = "publish/names.rs"]
mod names;
#[path = "publish/neighbours.rs"]
mod neighbours;
#[path = "publish/nothing_lost.rs"]
mod nothing_lost;
#[path = "publish/own_experience.rs"]
mod own_experience;
#[path = "publish/photos.rs"]
mod photos;
#[path = "publish/place_following.rs"]
mod place_following;
#[path = "publish/place_room.rs"]
mod place_room;
#[path = "publish/place_rotation.rs"]
mod place_rotation;
#[path = "publish/placed.rs"]
mod placed;
#[path = "publish/policy.rs"]
mod policy;
#[path = "publish/private.rs"]
mod private;
#[path = "publish/review.rs"]
mod review;
#[path = "publish/same_bytes.rs"]
mod same_bytes;
#[path = "publish/shopping.rs"]
mod shopping;
#[path = "publish/stopped.rs"]
mod stopped;
#[path = "publish/stranger.rs"]
mod stranger;
#[path = "publish/waiting.rs"]
mod waiting;
