#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Fetches what drives the browser in the tests of the report page: the npm package puppeteer-core 24.22.0 (Apache-2.0), by its one file that needs no other package.
#   fetch_browser_driver.sh FOLDER    leaves FOLDER/lib/es5-iife/puppeteer-core-browser.js; a second call does nothing
set -euo pipefail
folder=${1:?usage: fetch_browser_driver.sh FOLDER}
sha512=a14796948834a4ccfc60ce69bb4baa6a433e702c98c97907071c7d762f4e5042eef57f7e018acd18644b2bdb4d304dd67cddc9186a90207ddbe3f13d2c67a4ff
exec bash "$(dirname "${BASH_SOURCE[0]}")/fetch_npm_archive.sh" puppeteer-core 24.22.0 "$sha512" "$folder" lib/es5-iife/puppeteer-core-browser.js
