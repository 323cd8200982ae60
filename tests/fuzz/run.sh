#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Builds the fuzzers with clang and runs each from generated seeds, for the given number of seconds altogether.
#   bash tests/fuzz/run.sh [seconds, 60] [target, all]
# The same program with the same seeds and number of runs does the same: what is found once is found again. Findings lie in
# build-fuzz/findings; run build-fuzz/tests/fuzz/<target> <file> to see one again. PERISCLERA_FUZZ_BUILD names another build folder.
set -euo pipefail
source_folder=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)
build=${PERISCLERA_FUZZ_BUILD:-$source_folder/build-fuzz}
seconds=${1:-60}
targets=(fuzz_preflight fuzz_dicom_file fuzz_slice_stack fuzz_scenario)
[ $# -lt 2 ] || targets=("$2")

bash "$source_folder/.ci/install_packages.sh" program tests
cmake -G Ninja -S "$source_folder" -B "$build" -DCMAKE_C_COMPILER=clang -DCMAKE_CXX_COMPILER=clang++ -DCMAKE_BUILD_TYPE=Release -DPERISCLERA_FUZZ=ON --log-level=NOTICE
ninja -C "$build" -j2 fuzz
mkdir -p "$build/seeds" "$build/findings"
"$build/tests/fuzz/fuzz_seeds" "$build/seeds"

# Seeds and dictionary of each, and how many bytes an input may have.
declare -A seeds=([fuzz_preflight]=dicom [fuzz_dicom_file]=dicom [fuzz_slice_stack]=stack [fuzz_scenario]=scenario)
declare -A length=([fuzz_preflight]=8192 [fuzz_dicom_file]=8192 [fuzz_slice_stack]=768 [fuzz_scenario]=8192)
declare -A dictionary=([fuzz_preflight]=dicom.dict [fuzz_dicom_file]=dicom.dict [fuzz_scenario]=scenario.dict)
status=0
for target in "${targets[@]}"; do
    corpus=$build/corpus/$target
    rm -rf "$corpus"
    mkdir -p "$corpus"
    options=(-seed=1 -max_total_time=$((seconds / ${#targets[@]})) -timeout=10 -malloc_limit_mb=64 -rss_limit_mb=1024 -max_len="${length[$target]}"
             -artifact_prefix="$build/findings/$target-" -print_final_stats=1 -verbosity=0)
    [ -z "${dictionary[$target]:-}" ] || options+=(-dict="$source_folder/tests/fuzz/${dictionary[$target]}")
    log=$build/findings/$target.log
    if "$build/tests/fuzz/$target" "${options[@]}" "$corpus" "$build/seeds/${seeds[$target]}" >"$log" 2>&1; then
        echo "$target: $(sed -n 's/^stat::number_of_executed_units: *//p' "$log") inputs, nothing found"
    else
        status=1
        echo "$target: found something, see $log" >&2
        tail -n 40 "$log" >&2
    fi
done
exit "$status"
