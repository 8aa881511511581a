//! How well the intervals hold that a review learns: invented players with known course play.
//!
//!     cargo run --release --example review_calibration           200 players, four rounds each
//!     cargo run --release --example review_calibration -- 50 16  so many players and rounds

#[path = "../tests/review_made_up/mod.rs"]
mod review_made_up;

use review_made_up::calibrate;

const UNKNOWNS: [&str; 5] = [
    "driver, direction",
    "driver, distance",
    "others, direction",
    "others, distance",
    "more mishits",
];

fn main() {
    let mut arguments = std::env::args().skip(1).filter_map(|a| a.parse().ok());
    let (players, rounds) = (
        arguments.next().unwrap_or(200),
        arguments.next().unwrap_or(4),
    );
    let holds = calibrate(players, rounds, 1);
    let n = holds.players as f64;
    println!(
        "{players} players, {rounds} rounds each: of 100 intervals of 80 % so many hold the truth"
    );
    let error = 100.0 * (0.16 / n).sqrt();
    for (k, name) in UNKNOWNS.iter().enumerate() {
        println!(
            "{name:<18} {:5.1} ± {error:.1}; log of truth over median {:+.3}, before {:+.3}; width {:.2} \
             of that before",
            100.0 * holds.held[k] as f64 / n,
            holds.off[k] / n,
            holds.drawn[k] / n,
            holds.narrowed[k] / n
        );
    }
}
