//! Work for the widest registers that the machine has.
//!
//! A binary is built for the least of its kind of machine. What is asked for millions of
//! times is built for wider ones, too, and which of them runs is decided when it does.
//! Nothing is contracted or reordered: the sums are the same to the last bit.

use pulp::{Arch, Simd, WithSimd};

/// Does the work in the version of it that suits this machine best; what it calls only
/// belongs to that where it is inlined.
#[inline]
pub(crate) fn widest<R>(work: impl FnOnce() -> R) -> R {
    Arch::new().dispatch(Work(work))
}

struct Work<F>(F);

impl<R, F: FnOnce() -> R> WithSimd for Work<F> {
    type Output = R;

    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) -> R {
        (self.0)()
    }
}
