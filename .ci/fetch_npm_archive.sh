#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Fetches one npm package, checks it and unpacks some of its files. No code of it is run.
#   fetch_npm_archive.sh NAME VERSION SHA512 FOLDER PATH...    leaves FOLDER/PATH...; a second call does nothing
# SHA512 is that of the registry (dist.integrity), in hexadecimal.
set -euo pipefail
name=$1 version=$2 sha512=$3 folder=$4
shift 4
mark=$folder/.$name-$version
[ -f "$mark" ] && exit 0
mkdir -p "$folder"
work=$(mktemp -d "$folder/fetch.XXXXXX")
trap 'rm -rf "$work"' EXIT
tries=0
until (cd "$work" && npm pack --silent "$name@$version" >/dev/null); do
    tries=$((tries + 1))
    [ "$tries" -lt 3 ] || { echo "fetch_npm_archive.sh: npm could not fetch $name@$version" >&2; exit 1; }
    sleep 5
done
echo "$sha512  $work/$name-$version.tgz" | sha512sum --check --quiet || { echo "fetch_npm_archive.sh: $name@$version is not the expected archive" >&2; exit 1; }
tar -xzf "$work/$name-$version.tgz" -C "$folder" --strip-components=1 "${@/#/package/}"
touch "$mark"
