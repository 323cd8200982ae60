#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Runs the alignment sweep and writes docs/alignment.md. Images are made once, in the bank (tests/bank/bank.h) in PERISCLERA_CACHE (default ~/.cache/perisclera); stopped
# and started again it goes on where it was.
#   bash tests/alignment.sh [--patients N] [--seed N] [--shard I/N | --only K] [--out FILE]
set -euo pipefail
source_folder=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
build=${PERISCLERA_BUILD:-$source_folder/build}
bash "$source_folder/.ci/install_packages.sh" program tests
cmake -G Ninja -S "$source_folder" -B "$build" -DCMAKE_BUILD_TYPE=Release -DPERISCLERA_TESTS=ON --log-level=NOTICE
ninja -C "$build" -j2 alignment_sweep
"$build/tests/alignment_sweep" --out "$source_folder/docs/alignment.md" "$@"
