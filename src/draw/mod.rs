//! Plan to SVG.
//!
//! # What the golfer does next with this page
//! They stand on the tee, glove on, rain on the paper, a page of 108 × 178 mm in one
//! hand, perhaps a grey photocopy. They have a minute, and ask in this order:
//!
//! 1. **What to hit.** The club in the largest type, below it a card with five rows in
//!    fixed places: where to peg, where to aim, what the ball does, where to miss, what
//!    comes then.
//! 2. **Where the ball comes down.** A plate at a round scale with the aim straight up:
//!    a ruled line to a ring (the aim), the bend of the flight, a full dot (the usual
//!    ball), the regions of half and of nine in ten balls. Only these carry the accent
//!    colour. Every number stands in a column on the side of what it measures, tied to
//!    it by a hair line with one elbow.
//! 3. **Where that is on the hole.** A strip with the whole hole beside it, green at the
//!    top, with a frame where the plate lies.
//! 4. **How exact the aim has to be.** An axis below the plate and to its scale: the
//!    stretch that costs next to nothing, and the named aims with what they cost.
//! 5. **Where to peg.** A picture of the ground at their feet: two markers, the ball,
//!    the feet on the side on which this player stands. The markers are drawn at their
//!    true angle to the aim, because markers set crooked pull a set-up with them.
//!
//! What another club costs is for the night before: it is there, at the foot. Land runs
//! to the neat line of a map; another hole's is tinted and has no edge. Rough is left as
//! paper: white is what the eye rests on. Nothing is shown by colour alone: penalty areas
//! and out of bounds carry stakes of different shape and a letter, woods are crowns, sand
//! is stippled, so that the page survives grey print and colour blindness.
//!
//! # How it is made
//! [`page`] gathers, [`frame`] turns the plane to paper, [`plate`] lays out the two maps,
//! [`ground`], [`shot`], [`measures`], [`hazards`] and [`next_shot`] draw the land and
//! the ball, [`columns`] places the plate's labels and [`labels`] those of every other
//! map, [`card`], [`aim_cost`], [`panel`], [`tee`] and [`numbers`] draw what stands round
//! them, [`svg`] writes the bytes. [`view`] is a picture of its own: what is seen from the tee;
//! [`large`] is the page for eyes that need it, [`practice`] the one to practise by; [`two_aims`],
//! [`flower`], [`landscape`], [`ladders`] and [`fan`] are the other pictures, on paper of [`sheet`].
//! [`scene`] holds what is drawn, [`text`] how wide it is.
//! Lengths on paper are tenths of a millimetre, x to the right and y down.

pub mod aim_cost;
pub mod book;
pub mod card;
pub mod columns;
pub mod fan;
pub mod flight;
pub mod flower;
pub mod frame;
pub mod ground;
pub mod hazards;
pub mod labels;
pub mod ladders;
pub mod landscape;
pub mod large;
pub mod measures;
pub mod next_shot;
pub mod numbers;
pub mod page;
pub mod panel;
pub mod pdf;
mod pen;
pub mod phone;
pub mod plate;
#[cfg(feature = "png")]
pub mod png;
pub mod practice;
pub mod review;
pub mod scene;
pub mod shape;
pub mod sheet;
pub mod shot;
pub mod svg;
pub mod tee;
pub mod text;
pub mod two_aims;
pub mod view;
