//! A whole hole by fineness: building its kernel, solving it, evaluating it on fresh
//! samples; and the value of a transition beside the memory access it cannot do without.

use bendline::flight::Firmness;
use bendline::flight::air::{Air, Weather, Wind};
use bendline::flight::ball::Ball;
use bendline::hole::read_course;
use bendline::mdp::{ActionId, StateId};
use bendline::outcome::Day;
use bendline::player::fit::{FitOptions, fit};
use bendline::player::{Handedness, shotlog};
use bendline::strategy::whole::{Explicit, Options, Whole};
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use std::hint::black_box;

const HOLE: &str = include_str!("../../holes/05-two-bites.geojson");
const LOG: &str = include_str!("../../examples/logs/strong-draw.csv");

fn whole(c: &mut Criterion) {
    let weather = Weather::at_altitude(0.0);
    let options = FitOptions {
        handedness: Handedness::Right,
        handicap: Some(6.0),
        weather,
        firmness: Firmness::Medium,
    };
    let log = shotlog::read("log", LOG.as_bytes()).expect("the demo log reads");
    let player = fit(&log, &options).expect("the demo log fits");
    let course = read_course("hole", HOLE.as_bytes(), None).expect("the demo hole reads");
    let hole = &course.holes[0];
    let tee = hole.tee(None).expect("a tee");
    let start = tee.peg(tee.width_m() / 2.0, 0.1);
    let day = Day {
        air: Air::of(&weather, 0.03),
        wind: Wind {
            speed_m_s: 0.0,
            from_deg: 0.0,
            gust_share: 0.0,
        },
        ball: Ball::modern(),
        firmness: Firmness::Medium,
    };

    let mut group = c.benchmark_group("a par 5");
    group.sample_size(10);
    for cell_m in [4.0, 2.0, 1.0] {
        let mut options = Options::default();
        options.fineness.cell_m = cell_m;
        group.bench_function(format!("{cell_m} m, from the hole to what is told"), |b| {
            b.iter(|| Whole::of(hole, &player, &day, start, &options, None));
        });
        let written = Explicit::with(hole, &player, &day, start, &options, None);
        let sweeps = written.solve(1.0e-6).sweeps + 1;
        group.throughput(Throughput::Elements(
            (written.kernel().transition_count() * sweeps) as u64,
        ));
        group.bench_function(
            format!("{cell_m} m, solved, a transition in a sweep"),
            |b| {
                b.iter(|| written.solve(1.0e-6));
            },
        );
    }
    group.finish();

    // The least a sweep can do: for every transition read its state and probability, in order,
    // and the state's value, wherever it stands.
    let written = Explicit::with(hole, &player, &day, start, &Options::default(), None);
    let solution = written.solve(1.0e-6);
    let kernel = written.kernel();
    let transitions: Vec<(StateId, f32)> = (0..kernel.actions() as u32)
        .flat_map(|action| kernel.transitions(ActionId(action)).states())
        .copied()
        .collect();
    let mut group = c.benchmark_group("memory");
    group.throughput(Throughput::Elements(transitions.len() as u64));
    group.bench_function("shares times values, nothing else", |b| {
        b.iter(|| {
            transitions
                .iter()
                .map(|(state, share)| f64::from(*share) * solution.value[state.index()])
                .sum::<f64>()
        });
    });
    group.finish();
    black_box(solution);
}

criterion_group!(benches, whole);
criterion_main!(benches);
