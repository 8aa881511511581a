//! Plans of random holes, players and days, planned as `bendline plan` does, every row held to
//! independent rollouts: does the plan hold what it says?
//!
//!     cargo run --release --example audit -- 0 100         so many, from this seed on
//!     cargo run --release --example audit -- 0 100 plain   without other seeds, mirrors and winds
//!
//! Exit code 1 where a row is off, a row beats its choice, or something else does not hold.

#[path = "../tests/audit/mod.rs"]
mod audit;
#[path = "../tests/common/mod.rs"]
mod common;
#[path = "../tests/whole_made_up/mod.rs"]
mod whole_made_up;

use std::process::ExitCode;
use std::time::Instant;

use audit::holes::Setting;
use audit::{Rolls, Row, hold, rms};

const ROLLOUTS: usize = 20_000;
/// Rows that are shown at the end.
const WORST: usize = 10;
/// A score spreads by less than this on an ordinary hole, strokes.
const WIDE: f64 = 2.0;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let numbers: Vec<u64> = arguments.iter().filter_map(|a| a.parse().ok()).collect();
    let (from, count) = match numbers[..] {
        [from, count, ..] => (from, count),
        _ => (0, 100),
    };
    let effort = Rolls {
        rollouts: ROLLOUTS,
        others: !arguments.iter().any(|a| a == "plain"),
    };
    let (mut planned, mut refused, mut wide, mut faulty, mut repriced) = (0, 0, 0, 0, 0);
    let (mut mirrors, mut winds) = (Vec::new(), Vec::new());
    let mut rows: Vec<(u64, Row)> = Vec::new();
    for seed in from..from + count {
        let setting = Setting::of(seed);
        let begun = Instant::now();
        let held = hold(seed, &setting, effort);
        let seconds = begun.elapsed().as_secs_f64();
        let held = match held {
            Ok(held) => held,
            Err(why) => {
                refused += 1;
                println!("{seed}: {}: {why}; {seconds:.1} s", setting.words);
                continue;
            }
        };
        planned += 1;
        wide += usize::from(held.spread >= WIDE);
        faulty += held.faults.len();
        mirrors.extend(held.mirror);
        winds.extend(held.wind);
        let choice = &held.rows[0];
        let own = held.rows.iter().filter(|row| row.is_repriced).count();
        repriced += usize::from(own > 0);
        println!(
            "{seed}: {}: {} {:.4}, played {:.4} ± {:.4}, spread {:.2}{}; {seconds:.1} s",
            setting.words,
            choice.words,
            choice.evaluated,
            choice.played,
            choice.played_error,
            held.spread,
            if own > 0 {
                format!(", {own} rows re-priced")
            } else {
                String::new()
            },
        );
        for fault in &held.faults {
            println!("  FAULT {seed}: {fault}");
        }
        rows.extend(held.rows.into_iter().map(|row| (seed, row)));
    }
    let z = |wanted: &dyn Fn(&Row) -> bool| {
        let these: Vec<&Row> = rows
            .iter()
            .map(|(_, row)| row)
            .filter(|row| wanted(row))
            .collect();
        let mean = these.iter().map(|row| row.off()).sum::<f64>() / these.len().max(1) as f64;
        let (z, off) = (
            rms(these.iter().map(|r| r.z())),
            rms(these.iter().map(|r| r.off())),
        );
        format!(
            "{} rows, z {z:.2}, off {off:.4} in the root mean square, {mean:+.4} on average",
            these.len()
        )
    };
    println!("{planned} planned, {refused} refused; {repriced} plans with re-priced rows");
    println!("choices: {}", z(&|row| row.is_choice));
    println!("contending: {}", z(&|row| row.contends()));
    println!("others: {}", z(&|row| !row.contends()));
    for (name, values) in [("mirror images", &mirrors), ("other winds", &winds)] {
        let most = values.iter().fold(0.0_f64, |most, v| most.max(v.abs()));
        println!(
            "{name}: {}, apart {:.4} in the root mean square, {most:.4} at most",
            values.len(),
            rms(values.iter().copied())
        );
    }
    println!("{wide} with a spread of {WIDE} or more; {faulty} faults");
    rows.sort_by(|a, b| b.1.z().abs().total_cmp(&a.1.z().abs()));
    for (seed, row) in rows.iter().take(WORST) {
        println!(
            "worst: seed {seed}, {}, costs {:.3}: {:.4} ± {:.4}, played {:.4} ± {:.4}: {:+.1}",
            row.words,
            row.costs,
            row.evaluated,
            row.evaluated_error,
            row.played,
            row.played_error,
            row.z()
        );
    }
    if faulty == 0 {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}
