#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Damages files, 10,000 flipped bits and every cut at 512 bytes, and writes docs/damage.md. Four minutes on one core; stopped and started again it
# goes on where it was (delete PERISCLERA_CACHE/damage, by default in ~/.cache/perisclera, after a change to the program).
#   bash tests/damage.sh [--seed N] [--flips N] [--shard I/N]
set -euo pipefail
source_folder=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
build=${PERISCLERA_BUILD:-$source_folder/build}
bash "$source_folder/.ci/install_packages.sh" program tests
cmake -G Ninja -S "$source_folder" -B "$build" -DCMAKE_BUILD_TYPE=Release -DPERISCLERA_TESTS=ON --log-level=NOTICE
ninja -C "$build" -j2 damage_sweep
work=${PERISCLERA_CACHE:-$HOME/.cache/perisclera}/damage
"$build/tests/damage_sweep" --work "$work" --table "$source_folder/docs/damage.md" "$@"
