#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Runs the material sweep and writes docs/material.md. Images and each program's reports of them are made once, in the bank (tests/bank/bank.h) in PERISCLERA_CACHE
# (default ~/.cache/perisclera); stopped and started again it goes on where it was. Shards may run side by side and print their part; a run without --shard then
# finds all in the bank, judges the measurements and writes the whole document.
#   bash tests/material.sh [--patients N] [--measurements N | --measurements-alone] [--seed N] [--shard I/N | --only K] [--out FILE]
set -euo pipefail
source_folder=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
build=${PERISCLERA_BUILD:-$source_folder/build}
bash "$source_folder/.ci/install_packages.sh" program tests
cmake -G Ninja -S "$source_folder" -B "$build" -DCMAKE_BUILD_TYPE=Release -DPERISCLERA_TESTS=ON --log-level=NOTICE
ninja -C "$build" -j2 material_sweep
case " $* " in
    *" --shard "* | *" --only "* | *" --measurements-alone "*) whole=() ;;
    *) whole=(--out "$source_folder/docs/material.md") ;;
esac
"$build/tests/material_sweep" "${whole[@]}" "$@"
