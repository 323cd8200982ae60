#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Installs what is missing, builds, runs every test, and fuzzes for a minute. A second run does only what changed.
#   bash tests/run.sh               release build in build/
#   bash tests/run.sh --sanitize    with address and undefined-behaviour sanitizers in build-sanitize/
# PERISCLERA_BUILD names another build folder. Needs Debian 12 and, for what is missing, root or sudo.
set -euo pipefail
source_folder=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
build=${PERISCLERA_BUILD:-$source_folder/build}
options=(-DPERISCLERA_SANITIZE=OFF)
case "${1:-}" in
    "") ;;
    --sanitize)
        build=${PERISCLERA_BUILD:-$source_folder/build-sanitize}
        options=(-DPERISCLERA_SANITIZE=ON)
        # Leaks are not looked for: font and rendering libraries keep caches until the process ends.
        export ASAN_OPTIONS=detect_leaks=0 UBSAN_OPTIONS=print_stacktrace=1
        ;;
    *) echo "usage: bash tests/run.sh [--sanitize]" >&2; exit 2 ;;
esac

bash "$source_folder/.ci/install_packages.sh" program tests
mkdir -p "$build"
build=$(cd "$build" && pwd)
bash "$source_folder/.ci/fetch_test_data.sh" "$build/test_data"
bash "$source_folder/.ci/fetch_fhir_validator.sh" "$build/test_data"
bash "$source_folder/.ci/fetch_dcmjs.sh" "$build/test_data"
export PERISCLERA_TEST_DATA=$build/test_data
export PERISCLERA_REQUIRE_TEST_DATA=1    # from here on a test without these images fails instead of skipping
export PERISCLERA_SHARED_DATA=${PERISCLERA_SHARED_DATA:-$source_folder/../shared/data}
[ -d "$PERISCLERA_SHARED_DATA" ] || echo "No folder $PERISCLERA_SHARED_DATA: the tests on its heads and cases will be skipped."
# A locale that writes decimals with a comma, for the test that no number depends on it.
export LOCPATH=$build/test_data/locale
mkdir -p "$LOCPATH"
[ -d "$LOCPATH/de_DE.UTF-8" ] || localedef -i de_DE -f UTF-8 "$LOCPATH/de_DE.UTF-8"

cmake -G Ninja -S "$source_folder" -B "$build" -DCMAKE_BUILD_TYPE=Release -DPERISCLERA_TESTS=ON "${options[@]}" --log-level=NOTICE
ninja -C "$build" -j2
status=0
ctest --test-dir "$build" -j2 --output-on-failure --no-tests=error || status=$?
# ctest names the tests that skipped; why they did stands in its log.
grep -A1 -h ': Skipped$' "$build/Testing/Temporary/LastTest.log" | grep -v -e ': Skipped$' -e '^--$' | sort | uniq -c | sed 's/^ *\([0-9]*\) /skipped (\1): /' || true
# A minute of fuzzing in three parts; longer by hand.
[ "${1:-}" = --sanitize ] || PERISCLERA_FUZZ_BUILD=$build-fuzz bash "$source_folder/tests/fuzz/run.sh" 20 || status=1
# Once more at the end, where it is found first: what the tests that failed said.
[ "$status" = 0 ] || grep -A8 -h -e ': Failure$' -e 'AddressSanitizer' -e 'runtime error:' "$build/Testing/Temporary/LastTest.log" | head -80 || true
exit "$status"
