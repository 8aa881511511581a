//! Areas at random, the same on every machine.

use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::{Rng, SeedableRng};

use super::added_hazards::Area;

/// One to three areas.
pub fn areas(numbers: &mut Pcg64Mcg) -> Vec<Area> {
    let count = 1 + [0, 0, 0, 1, 1, 2][below(numbers, 6)];
    (0..count).map(|_| area(numbers)).collect()
}

/// The random numbers of a seed.
pub fn numbers(seed: u64) -> Pcg64Mcg {
    Pcg64Mcg::seed_from_u64(seed)
}

/// One of so many.
pub fn below(numbers: &mut Pcg64Mcg, count: usize) -> usize {
    numbers.next_u32() as usize % count
}

fn area(numbers: &mut Pcg64Mcg) -> Area {
    let [bytes @ .., _] = numbers.next_u64().to_le_bytes();
    Area::of(&bytes)
}
