//! Where the time of a plan goes: fitting, reading, pricing one shot, deciding.

use bendline::flight::Firmness;
use bendline::flight::air::{Air, Weather, Wind};
use bendline::flight::ball::Ball;
use bendline::hole::read_course;
use bendline::outcome::{Day, Volley, play};
use bendline::player::fit::{FitOptions, fit};
use bendline::player::shotlog;
use bendline::sample::points;
use bendline::strategy::finish::StrokesToGo;
use bendline::strategy::rules::{Price, Rules};
use bendline::strategy::{Question, decide};
use criterion::{BatchSize, Criterion, Throughput, criterion_group, criterion_main};
use std::hint::black_box;

const HOLE: &str = include_str!("../../holes/01-sickle.geojson");
const LOG: &str = include_str!("../../examples/logs/strong-draw.csv");

fn plan(c: &mut Criterion) {
    let weather = Weather::at_altitude(0.0);
    let options = FitOptions {
        handedness: bendline::player::Handedness::Right,
        handicap: Some(6.0),
        weather,
        firmness: Firmness::Medium,
    };
    let read_log = || shotlog::read("log", LOG.as_bytes()).expect("the demo log reads");
    let player = fit(&read_log(), &options).expect("the demo log fits");
    let course = read_course("hole", HOLE.as_bytes(), None).expect("the demo hole reads");
    let hole = &course.holes[0];
    let tee = hole.tee(None).expect("a tee");
    let day = Day {
        air: Air::of(&weather, 0.03),
        wind: Wind {
            speed_m_s: 4.0,
            from_deg: 240.0,
            gust_share: 0.1,
        },
        ball: Ball::modern(),
        firmness: Firmness::Medium,
    };

    c.bench_function("read the demo hole", |b| {
        b.iter(|| read_course("hole", black_box(HOLE.as_bytes()), None));
    });
    c.bench_function("read and fit the demo log", |b| {
        b.iter(|| fit(&read_log(), &options))
    });

    const BALLS: usize = 1024;
    let aim = 16.0;
    let points = points(1, BALLS);
    let fly = || Volley::fly(&player.clubs[0], &points, &day, [aim, aim], -2.0);
    let volley = fly();
    let peg = tee.peg(tee.width_m() / 2.0, 0.5);
    let rests = play(hole, &volley.toward(aim), peg);
    let to_go = StrokesToGo::for_handicap(player.handicap);
    let rules = Rules::new(hole, &to_go, player.club_length_m);

    let mut group = c.benchmark_group("a driver, per ball");
    group.throughput(Throughput::Elements(BALLS as u64));
    group.bench_function("draw and fly", |b| b.iter(fly));
    group.bench_function("turn", |b| {
        b.iter(|| volley.toward(black_box(aim)).flights())
    });
    // What the first time finds out on level ground is known the next time.
    group.bench_function("come to rest", |b| {
        b.iter_batched(
            fly,
            |volley| play(hole, &volley.toward(aim), black_box(peg)),
            BatchSize::LargeInput,
        );
    });
    group.bench_function("come to rest again", |b| {
        b.iter(|| play(hole, &volley.toward(aim), black_box(peg)));
    });
    group.bench_function("price", |b| {
        b.iter(|| {
            let worths: Vec<_> = rests.iter().map(|r| rules.worth(black_box(r))).collect();
            Price::of(&worths)
        });
    });
    group.finish();

    let mut group = c.benchmark_group("whole");
    group.sample_size(10);
    group.bench_function("decide, 13 clubs in wind", |b| {
        let question = Question {
            hole,
            tee,
            player: &player,
            day: &day,
            seed: 1,
        };
        b.iter(|| decide(black_box(&question), &|_| {}));
    });
    group.finish();
}

criterion_group!(benches, plan);
criterion_main!(benches);
