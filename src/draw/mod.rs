//! Plan to SVG.
//!
//! # What the golfer does next with this page
//! They stand on the tee, glove on, rain on the paper, a page of 108 × 178 mm
//! in one hand, perhaps a grey photocopy. They have a minute. They look down
//! before they look up, so the page is read from the bottom upwards, in the
//! order in which things are done:
//!
//! 1. **Where to peg.** A picture of the ground at their feet: two markers,
//!    the ball, how far in, how far back, and the feet, on the side on which
//!    this player stands. The markers are drawn at their true angle to the
//!    aim, because markers set crooked pull a set-up with them.
//! 2. **What to hit.** The club in the largest type on the page; beside it the
//!    one sentence.
//! 3. **Where to set up, where it starts, where it finishes.** Three things
//!    which are three marks: a ruled line to a ring (the aim), the bend of the
//!    flight, a full dot (the finish). Only these carry the accent colour.
//! 4. **What to carry, where not to be.** Each number beside the edge it
//!    measures, tied to it by a hair line; the share of balls that end there.
//! 5. **What is left, and where to miss.** From the dot to the front, the pin
//!    and the back; and the room in the aim on either side.
//!
//! What it costs to do otherwise is for the night before: it is there, small.
//! Rough is left as paper: white is what the eye rests on and where the numbers
//! stand. Nothing is told by colour alone: penalty areas and out of bounds
//! carry stakes of different shape and a letter, woods are crowns, sand is
//! stippled, so that the page survives grey print and colour blindness.
//!
//! # How it is made
//! [`page`] gathers, [`frame`] turns the plane to paper, [`ground`], [`shot`],
//! [`measures`], [`hazards`] and [`next_shot`] draw the land and the ball, [`labels`] finds room for every
//! number on the map, [`panel`], [`tee`] and [`numbers`] draw what stands round
//! it, [`svg`] writes the bytes. [`scene`] holds what is drawn, [`text`] how
//! wide it is. Lengths on paper are tenths of a
//! millimetre, x to the right and y down.

pub mod aim_cost;
pub mod book;
pub mod card;
pub mod columns;
pub mod flight;
pub mod frame;
pub mod ground;
pub mod hazards;
pub mod labels;
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
pub mod scene;
pub mod shape;
pub mod shot;
pub mod svg;
pub mod tee;
pub mod text;
