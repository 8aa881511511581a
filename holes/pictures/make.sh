#!/usr/bin/env bash
# Makes the README's pictures of the book and the phone page anew: three of the
# nine holes, for the round in examples/round.toml. Needs poppler-utils and what
# the browser test needs.
set -euo pipefail
cd "$(dirname "$0")/../.."

made=target/browser
mkdir -p "$made"
cargo run --release -- book holes/course.geojson --hole 2 --hole 6 --hole 7 \
    --log examples/logs/twelve-shots.csv --round examples/round.toml \
    --out "$made/book.pdf" --also phone --with balls,landscape
[ -d tests/browser/node_modules ] || npm ci --prefix tests/browser --no-audit --no-fund
node tests/browser/run.mjs "$made"
# A cover, a page and a green for each hole, two pictures of each, the winds, the round.
page() { pdftoppm -r 100 -f "$2" -l "$2" -singlefile -png "$made/book.pdf" "holes/pictures/$1"; }
page green 3
page balls 10
page landscape 11
page turns 14
page round 15
cp "$made/phone-light.png" holes/pictures/phone.png
