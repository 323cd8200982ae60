#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Times reading against other readers, globes and alignment against a stock registration, and writes docs/benchmark.md. Some five minutes on an idle machine, and 200 MB of
# temporary files.
#   bash tests/benchmark.sh [--rounds N]
set -euo pipefail
source_folder=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
build=${PERISCLERA_BUILD:-$source_folder/build}
bash "$source_folder/.ci/install_packages.sh" program tests
cmake -G Ninja -S "$source_folder" -B "$build" -DCMAKE_BUILD_TYPE=Release -DPERISCLERA_TESTS=ON --log-level=NOTICE
ninja -C "$build" -j2 benchmark
"$build/tests/benchmark" --table "$source_folder/docs/benchmark.md" "$@"
