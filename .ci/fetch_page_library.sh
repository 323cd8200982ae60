#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Fetches the WebGL library that the report page brings along: the npm package regl 2.1.1 (MIT licence).
#   fetch_page_library.sh FOLDER    leaves FOLDER/dist/regl.min.js and FOLDER/LICENSE; a second call does nothing
set -euo pipefail
folder=${1:?usage: fetch_page_library.sh FOLDER}
sha512=f88386af1977159f1933d8b1096419cc5462467ed1ce7f5bbb78851f083fcb3e2d94e51081b3b83c72e01bed594fad3370857cb6279fe90ae6ca5f2a72824fd2
exec bash "$(dirname "${BASH_SOURCE[0]}")/fetch_npm_archive.sh" regl 2.1.1 "$sha512" "$folder" dist/regl.min.js LICENSE
