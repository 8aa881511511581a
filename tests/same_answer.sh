#!/usr/bin/env bash
# The same input and seed give the same bytes: at 1, 2 and 8 threads, and from a debug build as from
# a release build. Takes some minutes, most of them to build PROJ once more for the debug build.
#
#     tests/same_answer.sh
#
# Prints a line for each output and ends with an error at the first that differs.
set -euo pipefail
cd "$(dirname "$0")/.."
cargo build --release
cargo build
target=${CARGO_TARGET_DIR:-target}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# A player of one club keeps the debug build's time within reason.
cat >"$work/me.json" <<'JSON'
{"handedness": "right", "handicap": 9, "clubs": [{"club": "driver", "shape": "draw",
 "carry_m": 210, "dof": 7, "mishit_share": 0.01, "centre": [66, 12, 2, 2600, -5],
 "spread": [1.5, 1, 2, 200, 4]}]}
JSON

run() { # profile, threads
    local program=$target/$1/bendline out=$work/$1-$2
    mkdir -p "$out"
    "$program" plan holes/02-kestrel.geojson --player "$work/me.json" --wind 12mph@240 \
        --threads "$2" --also geojson,md,pdf --out "$out" >"$out/plan.txt" 2>/dev/null
    "$program" book holes/02-kestrel.geojson --player "$work/me.json" --no-turns \
        --threads "$2" --out "$out/book.pdf" >/dev/null 2>&1
    "$program" shape examples/logs/strong-draw.csv --handicap 6 --out "$out/me.json" \
        --draw "$out/me.svg" >"$out/shape.txt" 2>/dev/null
    # The reports name the files they wrote, and each run has a folder of its own.
    sed -i '/^wrote /d' "$out/plan.txt" "$out/shape.txt"
}

run release 1
for other in "release 2" "release 8" "debug 1" "debug 8"; do
    read -r profile threads <<<"$other"
    run "$profile" "$threads"
    for file in "$work/release-1"/*; do
        name=$(basename "$file")
        if ! cmp -s "$file" "$work/$profile-$threads/$name"; then
            echo "$name differs between release with 1 thread and $profile with $threads" >&2
            exit 1
        fi
    done
    echo "$profile, $threads threads: $(ls "$work/release-1" | wc -l) outputs are the same bytes"
done
