#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# The whole way on an invented patient: installs what is missing, builds the program, synthesises CT, T1 and T2 of two
# dates with a swelling hydrogel explant in the upper nasal quadrant of the right eye, and asks for the change.
#   bash phantoms/demo.sh [FOLDER]    results in FOLDER (default: demo/ in the build folder)
# PERISCLERA_BUILD names another build folder. Needs Debian 12 and, for what is missing, root or sudo.
set -euo pipefail
source_folder=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
build=${PERISCLERA_BUILD:-$source_folder/build}
results=${1:-$build/demo}

bash "$source_folder/.ci/install_packages.sh" program
# The tests stay out of a folder that has never been configured with them, so that this needs the program's packages only.
[ -f "$build/build.ninja" ] || cmake -G Ninja -S "$source_folder" -B "$build" -DCMAKE_BUILD_TYPE=Release -DPERISCLERA_TESTS=OFF --log-level=NOTICE
ninja -C "$build" -j2 perisclera

mkdir -p "$results"
"$build/perisclera" phantom "$source_folder/phantoms/demo_scenario.json" --out "$results/images" --force
"$build/perisclera" track "$results/images" --out "$results/report" --force
