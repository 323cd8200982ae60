#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Makes docs/worked_examples.md and its pictures anew: synthesises each patient of phantoms/worked_examples, identifies with the options that its .txt names, and writes
# the page from report.json, so that no number on it is typed by hand.
#   bash phantoms/worked_examples.sh [FOLDER]     results in FOLDER (default: worked_examples/ in the build folder); images are kept, reports made anew
# PERISCLERA_BUILD names another build folder; its program must be built. Needs python3.
set -euo pipefail
source_folder=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
build=${PERISCLERA_BUILD:-$source_folder/build}
program=$build/perisclera
[ -x "$program" ] || { echo "build the program first: see DEVELOPERS.md" >&2; exit 2; }
results=${1:-$build/worked_examples}
mkdir -p "$results"
for scenario in "$source_folder"/phantoms/worked_examples/*.json; do
    name=$(basename "$scenario" .json)
    # Every step's output appears whole or not at all.
    [ -d "$results/$name/images" ] || "$program" phantom "$scenario" --out "$results/$name/images"
    rm -rf "$results/$name/result"
    read -ra options <<< "$(sed -n 's/^options://p' "${scenario%.json}.txt")"
    "$program" identify "$results/$name/images" --out "$results/$name/result" --quiet "${options[@]}"
done
python3 "$source_folder/phantoms/worked_examples.py" "$source_folder" "$results"
