#!/usr/bin/env bash
# The same input and seed give the same bytes from unoptimised code as from optimised code, at one
# thread as at two. (That 1, 2 and 8 threads agree is a test of its own: tests/known_hostile/same.rs.)
#
#     tests/same_answer.sh          # our own code unoptimised, with its assertions; a minute's build
#     tests/same_answer.sh debug    # `cargo build`: all code unoptimised, the libraries too
#
# Prints a line for each output and ends with an error at the first that differs.
set -euo pipefail
cd "$(dirname "$0")/.."
target=${CARGO_TARGET_DIR:-target}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

if [ "${1:-}" = debug ]; then
    cargo build
    cp "$target/debug/bendline" "$work/plain"
else
    # The libraries stay as the release build has them, so that none is built again; what is
    # generic in them is compiled into our code, and unoptimised too.
    cargo build --release --bin bendline \
        --config profile.release.package.bendline.opt-level=0 \
        --config profile.release.package.bendline.debug-assertions=true
    cp "$target/release/bendline" "$work/plain"
fi
cargo build --release --bin bendline
cp "$target/release/bendline" "$work/fast"

# A player of one club keeps the time of unoptimised code within reason.
cat >"$work/me.json" <<'JSON'
{"handedness": "right", "handicap": 9, "clubs": [{"club": "driver", "shape": "draw",
 "carry_m": 210, "dof": 7, "mishit_share": 0.01, "centre": [66, 12, 2, 2600, -5],
 "spread": [1.5, 1, 2, 200, 4]}]}
JSON
cp holes/02-kestrel.geojson examples/logs/strong-draw.csv "$work"

run() { # program, threads
    mkdir "$work/of-$1"
    cd "$work/of-$1"
    "$work/$1" plan ../02-kestrel.geojson --player ../me.json --wind 12mph@240 --for points \
        --threads "$2" --also geojson,md,pdf >plan.txt 2>/dev/null
    "$work/$1" book ../02-kestrel.geojson --player ../me.json --no-turns --worth table \
        --threads "$2" --also phone --out book.pdf >book.txt 2>/dev/null
    "$work/$1" shape ../strong-draw.csv --handicap 6 --out me.json --draw me.svg \
        >shape.txt 2>/dev/null
    "$work/$1" practice ../02-kestrel.geojson --player ../me.json \
        --threads "$2" >practice.txt 2>/dev/null
    mv out/* .
    rmdir out
    cd - >/dev/null
}

time run fast 2
time run plain 1
for file in "$work/of-fast"/*; do
    name=$(basename "$file")
    if ! cmp "$file" "$work/of-plain/$name"; then
        echo "$name differs between optimised code with 2 threads and unoptimised code with 1" >&2
        exit 1
    fi
    echo "$name: the same $(stat -c %s "$file") bytes"
done
