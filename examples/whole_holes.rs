//! Every demo hole solved by the player's own game, with times, and played with
//! the policy: does the value hold?
//!
//!     cargo run --release --example whole_holes                  every hole, 100 000 times
//!     cargo run --release --example whole_holes -- 20000 5 9     these, 20 000 times
//!
//! Exit code 1 where value and mean differ by more than three standard errors.

mod demo;

use std::process::ExitCode;
use std::time::Instant;

use bendline::strategy::whole::simulation::{Game, play};
use bendline::strategy::whole::{Options, Whole};

fn main() -> ExitCode {
    let numbers: Vec<usize> = std::env::args()
        .skip(1)
        .filter_map(|a| a.parse().ok())
        .collect();
    let (times, wanted) = numbers.split_first().unwrap_or((&100_000, &[]));
    let player = demo::player();
    let env = |name: &str, usual: f64| -> f64 {
        std::env::var(name)
            .ok()
            .and_then(|v| v.parse().ok())
            .unwrap_or(usual)
    };
    let day = demo::day(env("WIND", 0.0), 250.0);
    let mut options = Options::default();
    options.fineness.cell_m = env("CELL", options.fineness.cell_m);
    options.fineness.balls = env("BALLS", options.fineness.balls as f64) as usize;
    options.fineness.seed = env("SEED", f64::from(options.fineness.seed)) as u32;
    options.fineness.choices = env("CHOICES", options.fineness.choices as f64) as usize;
    let course = demo::course();
    let mut holds = true;
    for (number, hole) in (1..).zip(&course.holes) {
        if !wanted.is_empty() && !wanted.contains(&number) {
            continue;
        }
        let tee = hole.tee(None).expect("a tee");
        let start = tee.peg(tee.width_m() / 2.0, 0.1);
        let begun = Instant::now();
        let cpu = cpu_s();
        let whole = Whole::of(hole, &player, &day, start, &options, None);
        println!(
            "{number} {:.0} m par {}: {} states, {} choices, {} ways, {} sweeps; {} states told; \
             {:.3} s, processor {:.2} s",
            hole.length_m,
            hole.par,
            whole.explicit.states().len(),
            whole.explicit.kernel().actions(),
            whole.explicit.kernel().transition_count(),
            whole.optimum.sweeps,
            whole.evaluated.states().len(),
            begun.elapsed().as_secs_f64(),
            cpu_s() - cpu,
        );
        let game = Game {
            hole,
            player: &player,
            day: &day,
            policy: whole.evaluating(),
            decides: whole.choosing(),
        };
        let begun = Instant::now();
        let played = play(&game, *times, 7);
        let evaluated = whole.worth.start;
        let off = played.mean - evaluated;
        let errors = off / played.standard_error;
        println!(
            "  optimum on its own balls {:.4}, the policy on them {:.4}, evaluated {evaluated:.4}, played {:.4} \
             ± {:.4}: {off:+.4}, {errors:+.1} standard errors ({:.1} s)",
            whole.optimum.start,
            whole.chosen.start,
            played.mean,
            played.standard_error,
            begun.elapsed().as_secs_f64(),
        );
        holds &= errors.abs() <= 3.0;
    }
    if holds {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}

/// Processor time of this program so far, s, where the system tells it in hundredths.
fn cpu_s() -> f64 {
    let told = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let after_name = told.rsplit(')').next().unwrap_or_default();
    let fields: Vec<&str> = after_name.split_whitespace().collect();
    let ticks = |k: usize| fields.get(k).and_then(|f| f.parse::<f64>().ok());
    (ticks(11).unwrap_or(0.0) + ticks(12).unwrap_or(0.0)) / 100.0
}
