#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Runs the accuracy sweep and writes docs/accuracy.md. Images are synthesised once into PERISCLERA_CACHE (default ~/.cache/perisclera)
# and used again; stopped and started again it goes on where it was. About ten minutes on two cores the first time.
#   bash tests/accuracy.sh [--patients N] [--seed N] [--shard I/N] [--only K]
# With real heads (one folder each, without explants) elements are put into their series instead, and docs/accuracy_real_heads.md is written:
#   bash tests/accuracy.sh --real-heads FOLDER [--patients N] [--seed N] [--only K]
set -euo pipefail
source_folder=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
build=${PERISCLERA_BUILD:-$source_folder/build}
bash "$source_folder/.ci/install_packages.sh" program tests
cmake -G Ninja -S "$source_folder" -B "$build" -DCMAKE_BUILD_TYPE=Release -DPERISCLERA_TESTS=ON --log-level=NOTICE
if [ "${1:-}" = --real-heads ]; then
    ninja -C "$build" -j2 real_anatomy_sweep
    exec "$build/tests/real_anatomy_sweep" "$2" --out "$source_folder/docs/accuracy_real_heads.md" "${@:3}"
fi
ninja -C "$build" -j2 accuracy_sweep
"$build/tests/accuracy_sweep" --out "$source_folder/docs/accuracy.md" "$@"
