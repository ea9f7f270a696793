#!/usr/bin/env bash
# Presses every demo lesson and lets independent programs read what came out.
# Usage: outside-readers.sh FRETLEAF PYTHON, a Python that has the package page-validation
set -euo pipefail
fretleaf=$(realpath "$1")
python=$2
here=$(realpath "$(dirname "$0")")
lessons=$here/../lessons
out=$(mktemp -d)
trap 'rm -rf "$out"' EXIT
passed=0

fail() { printf 'outside readers: %s\n' "$*" >&2; exit 1; }

check_fonts() {
    # Behind two lines of head: the columns emb, sub and uni are the fifth to third from the right.
    pdffonts "$1" | tail -n +3 | awk '{ if ($(NF-4) != "yes" || $(NF-3) != "yes" || $(NF-2) != "yes") { print; bad = 1 } } END { exit bad }' \
        || fail "$1: a font is not embedded, subset and with Unicode"
}

check_words() {
    local title
    title=$(sed -n 's/^title: //p' "$2" | head -n 1)
    pdftotext "$1" - | tr '\n' ' ' | grep -F "$title" >/dev/null || fail "$1: pdftotext does not find the title"
    pdfinfo -struct-text "$1" 2>/dev/null | grep 'Figure' >/dev/null || fail "$1: no figure in the structure"
    [ "$(pdfinfo -struct-text "$1" 2>/dev/null | grep -c '^ *Figure')" -eq \
      "$(pdfinfo -struct "$1" 2>/dev/null | grep -c '^ *Figure')" ] || fail "$1: a figure got lost in the text"
}

for lesson in "$lessons"/*.md; do
    name=$(basename "$lesson" .md)
    "$fretleaf" proof --strict "$lesson" >"$out/report" || { cat "$out/report"; fail "$lesson has faults or doubts"; }
    mkdir -p "$out/one" "$out/two"
    "$fretleaf" press --svg --png --out "$out/one" "$lesson" 2>/dev/null
    "$fretleaf" press --svg --png --out "$out/two" "$lesson" 2>/dev/null
    pdf=$out/one/$name.pdf
    qpdf --check "$pdf" >"$out/report" 2>&1 || { cat "$out/report"; fail "qpdf finds fault with $name.pdf"; }
    check_fonts "$pdf"
    check_words "$pdf" "$lesson"
    # That a build of mutool has no colour profiles is said at every start, whatever the file.
    mutool draw -q -r 72 -o "$out/page-%d.png" "$pdf" 2>&1 \
        | { grep -v 'ICC support is not available' || true; } >"$out/report"
    [ ! -s "$out/report" ] || { cat "$out/report"; fail "mutool warns of $name.pdf"; }
    "$python" "$here/check-pdf-ua.py" "$pdf" >"$out/report" 2>&1 || { cat "$out/report"; fail "$name.pdf is not PDF/UA-1"; }
    passed=$((passed + 1))
done
diff -r "$out/one" "$out/two" || fail "two runs gave different bytes"
printf '%d passed, 0 failed\n' "$passed"
