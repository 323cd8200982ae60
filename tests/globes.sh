#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Runs the globe sweep and writes docs/globes.md. Images are made once, in the bank (tests/bank/bank.h) in PERISCLERA_CACHE (default ~/.cache/perisclera); stopped
# and started again it goes on where it was. The first time forty minutes on two shared cores, then a minute. Shards may run side by side and print their part; a run
# without --shard then finds all images in the bank and writes the whole document.
#   bash tests/globes.sh [--patients N] [--seed N] [--shard I/N | --only K] [--out FILE]
set -euo pipefail
source_folder=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
build=${PERISCLERA_BUILD:-$source_folder/build}
bash "$source_folder/.ci/install_packages.sh" program tests
cmake -G Ninja -S "$source_folder" -B "$build" -DCMAKE_BUILD_TYPE=Release -DPERISCLERA_TESTS=ON --log-level=NOTICE
ninja -C "$build" -j2 globe_sweep
case " $* " in
    *" --shard "* | *" --only "*) whole=() ;;
    *) whole=(--out "$source_folder/docs/globes.md") ;;
esac
"$build/tests/globe_sweep" "${whole[@]}" "$@"
