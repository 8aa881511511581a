#!/usr/bin/env bash
# The finished book in two PDF viewers that share no code with its writer:
# poppler (poppler-utils) and MuPDF (mupdf-tools). Every page is drawn without
# a complaint, its text can be selected, and every font is embedded.
#
#     tests/paper/viewers.sh BOOK.pdf…
set -euo pipefail

fail() { echo "FAIL  $1" >&2; exit 1; }
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

for book in "$@"; do
    name=$(basename "$book")
    # Whatever a viewer complains of goes to its standard error.
    pages=$(pdfinfo "$book" 2>"$work/complaints" | awk '/^Pages:/ {print $2}')
    [ "${pages:-0}" -gt 0 ] || fail "$name: pdfinfo finds no pages"
    # Columns: name, type, encoding, emb, sub, uni, object; the type has blanks.
    pdffonts "$book" 2>>"$work/complaints" | tail -n +3 >"$work/fonts"
    [ -s "$work/fonts" ] || fail "$name: no fonts"
    while read -r line; do
        set -- $(echo "$line" | awk '{print $(NF-4), $(NF-3), $(NF-2)}')
        [ "$1 $2 $3" = "yes yes yes" ] || fail "$name: not embedded, subset and mapped: $line"
    done <"$work/fonts"
    pdftotext -layout "$book" "$work/poppler.txt" 2>>"$work/complaints"
    pdftoppm -r 72 -png "$book" "$work/poppler" 2>>"$work/complaints"
    # Debian builds MuPDF without colour management and says so: -N asks for none.
    mutool info "$book" >"$work/info" 2>>"$work/complaints"
    mutool draw -q -N -r 72 -o "$work/mupdf-%02d.png" "$book" 2>>"$work/complaints"
    mutool draw -q -N -F txt -o "$work/mupdf.txt" "$book" 2>>"$work/complaints"
    [ ! -s "$work/complaints" ] || fail "$name: $(cat "$work/complaints")"
    for viewer in poppler mupdf; do
        drawn=$(find "$work" -name "$viewer-*.png" -size +2k | wc -l)
        [ "$drawn" -eq "$pages" ] || fail "$name: $viewer drew $drawn of $pages pages"
        for words in "Rule 4.3a" "If the wind turns" "How to read it" "The green" "ENDS"; do
            grep -qF "$words" "$work/$viewer.txt" || fail "$name: $viewer finds no \"$words\""
        done
    done
    rm -f "$work"/*
    echo "ok    $name in poppler and MuPDF: $pages pages"
done
