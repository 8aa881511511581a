//! Seeded, low-discrepancy random points.
//!
//! Every shot is one point of the unit cube with [`DIMENSIONS`] coordinates;
//! each coordinate has one fixed meaning, so that two aims, two clubs or two
//! holes compared on the same point are compared on the same luck (common
//! random numbers). Points come from Owen-scrambled Sobol sequences (Burley,
//! *Practical Hash-based Owen Scrambling*, JCGT 2020; crate `sobol_burley`).

/// Coordinates 0..5: the launch (see `player::LaunchModel`).
pub const LAUNCH: usize = 0;
/// Coordinate 5: the common stretch of a heavy-tailed launch.
pub const TAIL: usize = 5;
/// Coordinate 6: is it a mishit?
pub const MISHIT: usize = 6;
/// Coordinate 7: how bad a mishit.
pub const MISHIT_SIZE: usize = 7;
/// Coordinate 8: luck in the trees.
pub const TREES: usize = 8;
/// Coordinates 9 and 10: gusts, along and across the wind.
pub const GUST: usize = 9;
/// How many coordinates a point has.
pub const DIMENSIONS: usize = 11;

/// One point of the unit cube, every coordinate strictly between 0 and 1.
pub type Point = [f64; DIMENSIONS];

/// `count` points of the scrambled sequence that belongs to `seed`.
///
/// Different seeds give statistically independent scrambles, so the spread of
/// an estimate over several seeds is an honest standard error.
#[must_use]
pub fn points(seed: u32, count: usize) -> Vec<Point> {
    (0..count)
        .map(|index| {
            std::array::from_fn(|dimension| {
                let u = sobol_burley::sample(
                    u32::try_from(index).expect("fewer than 2^16 points a seed"),
                    u32::try_from(dimension).expect("few dimensions"),
                    seed,
                );
                // The crate gives [0, 1) on a lattice of 2^-24 or finer: keep clear of 0.
                (f64::from(u)).clamp(1.0e-7, 1.0 - 1.0e-7)
            })
        })
        .collect()
}

/// The standard normal quantile, by Wichura's algorithm AS 241 (PPND16),
/// *Applied Statistics* 37 (1988) 477–484; relative error about 1e-16.
#[must_use]
pub fn normal_quantile(p: f64) -> f64 {
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180_625 - q * q;
        return q * ratio(
            r,
            [
                3.387_132_872_796_366_5,
                133.141_667_891_784_38,
                1_971.590_950_306_551_3,
                13_731.693_765_509_46,
                45_921.953_931_549_87,
                67_265.770_927_008_7,
                33_430.575_583_588_13,
                2_509.080_928_730_122_7,
            ],
            [
                1.0,
                42.313_330_701_600_91,
                687.187_007_492_057_9,
                5_394.196_021_424_751,
                21_213.794_301_586_597,
                39_307.895_800_092_71,
                28_729.085_735_721_943,
                5_226.495_278_852_545,
            ],
        );
    }
    let tail = if q < 0.0 { p } else { 1.0 - p };
    let r = (-tail.ln()).sqrt();
    let z = if r <= 5.0 {
        ratio(
            r - 1.6,
            [
                1.423_437_110_749_683_5,
                4.630_337_846_156_546,
                5.769_497_221_460_691,
                3.647_848_324_763_204_5,
                1.270_458_252_452_368_4,
                0.241_780_725_177_450_6,
                0.022_723_844_989_269_184,
                7.745_450_142_783_414e-4,
            ],
            [
                1.0,
                2.053_191_626_637_759,
                1.676_384_830_183_803_8,
                0.689_767_334_985_1,
                0.148_103_976_427_480_08,
                0.015_198_666_563_616_457,
                5.475_938_084_995_345e-4,
                1.050_750_071_644_416_9e-9,
            ],
        )
    } else {
        ratio(
            r - 5.0,
            [
                6.657_904_643_501_103,
                5.463_784_911_164_114,
                1.784_826_539_917_291_3,
                0.296_560_571_828_504_87,
                0.026_532_189_526_576_124,
                0.001_242_660_947_388_078_4,
                2.711_555_568_743_487_6e-5,
                2.010_334_399_292_288_1e-7,
            ],
            [
                1.0,
                0.599_832_206_555_888,
                0.136_929_880_922_735_8,
                0.014_875_361_290_850_615,
                7.868_691_311_456_133e-4,
                1.846_318_317_510_054_8e-5,
                1.421_511_758_316_446e-7,
                2.044_263_103_389_939_8e-15,
            ],
        )
    };
    if q < 0.0 { -z } else { z }
}

fn ratio(x: f64, above: [f64; 8], below: [f64; 8]) -> f64 {
    let horner = |c: [f64; 8]| c.iter().rev().fold(0.0, |sum, k| sum * x + k);
    horner(above) / horner(below)
}
