#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Runs the accuracy sweep and writes docs/accuracy.md. Images and each program's reports of them are made once, in the bank (tests/bank/bank.h)
# in PERISCLERA_CACHE (default ~/.cache/perisclera); stopped and started again it goes on where it was. About ten minutes on two cores the first time.
#   bash tests/accuracy.sh [--patients N] [--seed N] [--shard I/N | --only K] [--out FILE]
# Shards may run side by side and print their part; a run without --shard then finds all in the bank and writes the whole document.
# With real heads (one folder each, without explants) elements are put into their series instead, and docs/accuracy_real_heads.md is written:
#   bash tests/accuracy.sh --real-heads FOLDER [the same options]
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
case " $* " in
    *" --shard "* | *" --only "*) whole=() ;;
    *) whole=(--out "$source_folder/docs/accuracy.md") ;;
esac
"$build/tests/accuracy_sweep" "${whole[@]}" "$@"
