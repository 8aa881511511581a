//! Who keeps the ways of balls over the ground.

use arrayvec::ArrayVec;

/// Is told where balls touch the ground and roll.
pub(crate) trait Ways {
    /// This ball does here: east and north, m.
    fn touched(&mut self, ball: usize, at: [f64; 2]);
}

/// The way of one ball.
impl Ways for Vec<[f64; 2]> {
    fn touched(&mut self, _: usize, at: [f64; 2]) {
        self.push(at);
    }
}

/// Nobody keeps them.
pub(super) struct Untold;

impl Ways for Untold {
    #[inline(always)]
    fn touched(&mut self, _: usize, _: [f64; 2]) {}
}

/// The first places of a ball's way.
pub(crate) type Touches<const MOST: usize> = ArrayVec<[f32; 2], MOST>;

/// Those of some balls, as many of each as there is room for.
impl<const MOST: usize> Ways for Vec<Touches<MOST>> {
    #[inline(always)]
    fn touched(&mut self, ball: usize, at: [f64; 2]) {
        // One that has no room left is seen to be full.
        let _ = self[ball].try_push(at.map(|c| c as f32));
    }
}
