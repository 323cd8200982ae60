#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Fetches the WebGL library that the report page brings along: the npm package regl 2.1.1 (MIT licence).
#   fetch_page_library.sh FOLDER    leaves FOLDER/regl.min.js and FOLDER/LICENSE; a second call does nothing
set -euo pipefail
folder=${1:?usage: fetch_page_library.sh FOLDER}
package=regl@2.1.1
# As published by the registry (dist.integrity), in hexadecimal.
sha512=f88386af1977159f1933d8b1096419cc5462467ed1ce7f5bbb78851f083fcb3e2d94e51081b3b83c72e01bed594fad3370857cb6279fe90ae6ca5f2a72824fd2

[ -f "$folder/LICENSE" ] && exit 0
mkdir -p "$folder"
work=$(mktemp -d "$folder/fetch.XXXXXX")
trap 'rm -rf "$work"' EXIT
tries=0
until (cd "$work" && npm pack --silent "$package" >/dev/null); do
    tries=$((tries + 1))
    [ "$tries" -lt 3 ] || { echo "fetch_page_library.sh: npm could not fetch $package" >&2; exit 1; }
    sleep 5
done
echo "$sha512  $work/regl-2.1.1.tgz" | sha512sum --check --quiet || { echo "fetch_page_library.sh: $package is not the expected archive" >&2; exit 1; }
tar -xzf "$work/regl-2.1.1.tgz" -C "$work" package/dist/regl.min.js package/LICENSE
mv "$work/package/dist/regl.min.js" "$folder/regl.min.js"
mv "$work/package/LICENSE" "$folder/LICENSE"
