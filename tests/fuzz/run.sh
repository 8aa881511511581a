#!/usr/bin/env bash
# Fuzzes every target in turn, each for a number of seconds or of runs, and adds up the executions.
#
#     cargo install cargo-fuzz --locked
#     tests/fuzz/run.sh 600                # ten minutes each
#     tests/fuzz/run.sh 60 plan hole       # a minute each of two of them
#
# Works on stable Rust: nothing here is unsafe, so no sanitizer is needed. An input that crashes,
# takes over 5 s or needs over 1 GB stops its target and is kept under artifacts/; make a test of it.
# What is learnt goes to work/, which is not kept; corpus/ holds a small start for each. To take over
# what was learnt, run a target's program with -set_cover_merge=1 -use_counters=0 FOLDER work/TARGET.
set -euo pipefail
cd "$(dirname "$0")"
seconds=${1:-60}
shift || true
targets=("$@")
[ "${#targets[@]}" -gt 0 ] || targets=(round log player raster hole drawn_hole shape plan hazards)
mkdir -p artifacts work
total=0
for target in "${targets[@]}"; do
    mkdir -p "work/$target"
    words=()
    [ -f "words/$target.txt" ] && words=("-dict=words/$target.txt")
    cargo fuzz run --fuzz-dir . --sanitizer none "$target" "work/$target" "corpus/$target" -- \
        "${words[@]}" -max_total_time="$seconds" -max_len=4096 -timeout=5 -rss_limit_mb=1024 \
        -print_final_stats=1 2>"work/$target.log" || { tail -40 "work/$target.log" >&2; exit 1; }
    runs=$(sed -n 's/^stat::number_of_executed_units: *//p' "work/$target.log" | tail -1)
    echo "$target: $runs executions"
    total=$((total + runs))
done
echo "$total executions in all, nothing found"
