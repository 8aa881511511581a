//! A few plans of random holes held to rollouts (`examples/audit.rs` holds many, and to more of them).

use super::audit::holes::Setting;
use super::audit::{Effort, hold, rms};

/// What the plan says of its rows is what playing on from them comes to: truth is the play, by code
/// that shares with the solver nothing but the outcome of a stroke and the policy.
#[test]
fn random_plans_are_what_they_play() {
    const EFFORT: Effort = Effort {
        rollouts: 8_000,
        others: false,
    };
    let (mut z, mut faults) = (Vec::new(), Vec::new());
    for seed in [1, 2, 3, 5, 8, 13] {
        let setting = Setting::of(seed);
        let held = match hold(seed, &setting, EFFORT) {
            Ok(held) => held,
            Err(why) => {
                println!("{seed}: {}: {why}", setting.words);
                continue;
            }
        };
        z.extend(
            held.rows
                .iter()
                .filter(|row| row.contends())
                .map(|row| row.z()),
        );
        let faulty = held.faults.iter();
        faults.extend(faulty.map(|fault| format!("{seed}: {}: {fault}", setting.words)));
    }
    let spread = rms(z.iter().copied());
    println!("{} contending rows, z {spread:.2}", z.len());
    assert!(faults.is_empty(), "{faults:#?}");
    assert!(z.len() > 12, "{} rows", z.len());
    assert!(spread < 1.6, "z {spread}");
}
