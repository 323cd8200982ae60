#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Builds the fuzzers with clang and runs each from generated seeds, one after another.
#   bash tests/fuzz/run.sh [SECONDS for each, 60]
# Findings lie in build-fuzz/findings; build-fuzz/tests/fuzz/<target> <file> shows one again. PERISCLERA_FUZZ_BUILD names another build folder.
set -euo pipefail
source_folder=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)
build=${PERISCLERA_FUZZ_BUILD:-$source_folder/build-fuzz}
seconds=${1:-60}

bash "$source_folder/.ci/install_packages.sh" program tests fuzz
cmake -G Ninja -S "$source_folder" -B "$build" -DCMAKE_C_COMPILER=clang -DCMAKE_CXX_COMPILER=clang++ -DCMAKE_BUILD_TYPE=Release -DPERISCLERA_FUZZ=ON --log-level=NOTICE
ninja -C "$build" -j2 fuzz
rm -rf "$build/seeds" "$build/corpus"
mkdir -p "$build/seeds" "$build/findings"
"$build/tests/fuzz/fuzz_seeds" "$build/seeds"

status=0
run() { # target, kind of seeds, most bytes of an input, further options
    local target=$1 log=$build/findings/$1.log
    mkdir -p "$build/corpus/$target"
    if "$build/tests/fuzz/$target" -seed=1 -max_total_time="$seconds" -timeout=10 -malloc_limit_mb=64 -rss_limit_mb=1024 -max_len="$3" \
        -artifact_prefix="$build/findings/$target-" -print_final_stats=1 -verbosity=0 "${@:4}" "$build/corpus/$target" "$build/seeds/$2" >"$log" 2>&1; then
        echo "$target: $(sed -n 's/^stat::number_of_executed_units: *//p' "$log") inputs, nothing found"
    else
        status=1
        echo "$target: found something, see $log" >&2
        tail -n 40 "$log" >&2
    fi
}
dictionary=-dict=$source_folder/tests/fuzz/dicom.dict
run fuzz_preflight dicom 8192 "$dictionary"
run fuzz_dicom_file dicom 8192 "$dictionary"
run fuzz_slice_stack stack 768
exit "$status"
