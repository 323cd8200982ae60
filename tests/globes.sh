#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Runs the globe sweep and writes docs/globes.md. Images are made once, in the bank (tests/bank/bank.h) in PERISCLERA_CACHE (default ~/.cache/perisclera); stopped
# and started again it goes on where it was.
#   bash tests/globes.sh [--patients N] [--seed N] [--shard I/N | --only K] [--out FILE]
set -euo pipefail
source_folder=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
build=${PERISCLERA_BUILD:-$source_folder/build}
bash "$source_folder/.ci/install_packages.sh" program tests
cmake -G Ninja -S "$source_folder" -B "$build" -DCMAKE_BUILD_TYPE=Release -DPERISCLERA_TESTS=ON --log-level=NOTICE
ninja -C "$build" -j2 globe_sweep
"$build/tests/globe_sweep" --out "$source_folder/docs/globes.md" "$@"
