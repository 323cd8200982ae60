#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Makes the ready teaching set of five invented cases: synthesises each patient of phantoms/teaching, identifies, makes a teaching file, and of all of them a set.
#   bash phantoms/teaching_cases.sh [FOLDER]      results in FOLDER (default: teaching/ in the build folder); steps that are done are passed over when run again
#   bash phantoms/teaching_cases.sh --docs        the same, then docs/teaching anew: the set without full reports and slides, which are large
# PERISCLERA_BUILD names another build folder; its program must be built.
set -euo pipefail
source_folder=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
build=${PERISCLERA_BUILD:-$source_folder/build}
program=$build/perisclera
[ -x "$program" ] || { echo "build the program first: see DEVELOPERS.md" >&2; exit 2; }
docs=
if [ "${1:-}" = --docs ]; then docs=$source_folder/docs/teaching; shift; fi
results=${1:-$build/teaching}
mkdir -p "$results"

cases=()
for scenario in "$source_folder"/phantoms/teaching/case-*.json; do
    number=$(basename "$scenario" .json)
    work=$results/$number
    # Every step's output appears whole or not at all.
    [ -d "$work/images" ] || "$program" phantom "$scenario" --out "$work/images"
    [ -d "$work/result" ] || "$program" identify "$work/images" --out "$work/result"
    [ -d "$work/case" ] || "$program" teach "$work/result" "$work/images" --history "${scenario%.json}.txt" --out "$work/case" --seed "${number#case-}"
    cases+=("$work/case")
done
rm -rf "$results/set"
"$program" teach --set "${cases[@]}" --out "$results/set" --small

[ -n "$docs" ] || exit 0
for number in "$results"/set/teacher/case-*; do
    rm "$number/report.html" "$number/report.pdf"
    sed -i '/href="report.html"/c <p>The full report is left out here; <code>bash phantoms/teaching_cases.sh</code> makes it.</p>' "$number/answer.html"
    ! grep -q 'report\.html' "$number/answer.html"
done
rm "$results"/set/*/case-*/*slide-*.png
sed -i -E 's#<br>[^<]*(<a href="[^"]*slide-[0-9]+\.png">[0-9]+</a> ?)+##g' "$results"/set/*/index.html
! grep -q 'slide-' "$results"/set/*/index.html
mkdir -p "$docs"
rm -rf "$docs/student" "$docs/teacher"
cp -r "$results/set/student" "$results/set/teacher" "$docs/"
