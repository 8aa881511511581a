//! One shape or two: what the test of the two says of heaps that are known to be one.

use bendline::player::cluster::parting;

use super::known_player_made_up::Luck;

/// One heap, heavy-tailed or not, straight or skewed, small or large, is hardly ever called two:
/// when in doubt, one.
#[test]
fn one_heap_is_hardly_ever_called_two() {
    let logs = 400;
    for dof in [3.5, 6.0, 1e4] {
        // The last is strongly skewed (skewness 1.2): at most 3 in 100; the others 1 in 100.
        for (skew, most) in [(0.0, 4), (0.1, 4), (0.25, 12)] {
            for shots in [24, 60, 250, 1000] {
                let mut luck = Luck(shots as u64 * 31 + dof as u64);
                let mut two = 0;
                for _ in 0..logs {
                    let tilts: Vec<f64> = (0..shots)
                        .map(|_| {
                            let (z, w) = (luck.normal(), chi_square_over_dof(&mut luck, dof));
                            let z = z + skew * (z * z - 1.0);
                            -4.0 + 5.0 * z / w.sqrt()
                        })
                        .collect();
                    two += usize::from(parting(&tilts).is_some());
                }
                assert!(
                    two <= most,
                    "tails {dof}, skew {skew}, {shots} shots: {two} of {logs} called two"
                );
            }
        }
    }
}

/// χ²/dof by Wilson and Hilferty (1931): near enough to make a heavy tail.
fn chi_square_over_dof(luck: &mut Luck, dof: f64) -> f64 {
    let c = 2.0 / (9.0 * dof);
    (1.0 - c + c.sqrt() * luck.normal()).powi(3).max(0.05)
}

/// Two heaps well apart are found from a few dozen balls on.
#[test]
fn two_heaps_well_apart_are_found() {
    let mut found = 0;
    let mut luck = Luck(77);
    for _ in 0..200 {
        let tilts: Vec<f64> = (0..60)
            .map(|i| if i % 5 < 3 { -7.0 } else { 7.0 } + 2.0 * luck.normal())
            .collect();
        found += usize::from(parting(&tilts).is_some_and(|at| at.abs() < 2.5));
    }
    assert!(found >= 190, "{found} of 200");
}
