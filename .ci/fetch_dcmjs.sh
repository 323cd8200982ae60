#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Fetches dcmjs 0.33.0 (MIT), which reads DICOM in JavaScript, for the tests. It and what it needs are held to the SHA-512 of .ci/dcmjs/package-lock.json;
# scripts that come with the packages are not run.
#   fetch_dcmjs.sh FOLDER    leaves FOLDER/dcmjs/node_modules; a second call does nothing
set -euo pipefail
folder=${1:?usage: fetch_dcmjs.sh FOLDER}
here=$(dirname "${BASH_SOURCE[0]}")

cmp --silent "$here/dcmjs/package-lock.json" "$folder/dcmjs/package-lock.json" && exit 0
mkdir -p "$folder"
work=$(mktemp -d "$folder/fetch.XXXXXX")
trap 'rm -rf "$work"' EXIT
cp "$here/dcmjs/package.json" "$here/dcmjs/package-lock.json" "$work"
tries=0
until (cd "$work" && npm ci --ignore-scripts --no-audit --no-fund --silent >/dev/null); do
    tries=$((tries + 1))
    [ "$tries" -lt 3 ] || { echo "fetch_dcmjs.sh: npm could not fetch dcmjs" >&2; exit 1; }
    sleep 5
done
chmod 755 "$work"
rm -rf "$folder/dcmjs"
mv "$work" "$folder/dcmjs"
