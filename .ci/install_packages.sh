#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Installs the Debian packages that are missing; does nothing, and needs neither network nor rights, when none is.
#   install_packages.sh program          what building and running the program takes
#   install_packages.sh program tests    the tests' needs as well; fuzz: those of the fuzzers
set -euo pipefail
source "$(dirname "${BASH_SOURCE[0]}")/packages.sh"

wanted=()
for purpose in "$@"; do
    case "$purpose" in
        program) wanted+=("${program_packages[@]}") ;;
        tests) wanted+=("${test_packages[@]}") ;;
        fuzz) wanted+=("${fuzz_packages[@]}") ;;
        *) echo "install_packages.sh: unknown purpose '$purpose' (program, tests, fuzz)" >&2; exit 2 ;;
    esac
done

installed=$(dpkg-query -W -f='${db:Status-Status} ${Package}\n' "${wanted[@]}" 2>/dev/null | sed -n 's/^installed //p' || true)
missing=()
for package in "${wanted[@]}"; do
    grep -qxF -- "$package" <<<"$installed" || missing+=("$package")
done
[ ${#missing[@]} -eq 0 ] && exit 0

as_root=()
if [ "$(id -u)" -ne 0 ]; then
    command -v sudo >/dev/null || { echo "These packages are missing; install them as root: ${missing[*]}" >&2; exit 1; }
    as_root=(sudo)
fi
echo "Installing: ${missing[*]}"
apt_get() {
    "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive \
        apt-get -o DPkg::Lock::Timeout=600 -o Acquire::Retries=3 -o Dpkg::Use-Pty=0 -qq -y "$@" </dev/null
}
apt_get update
log=$(mktemp)
trap 'rm -f "$log"' EXIT
if ! apt_get --no-install-recommends install "${missing[@]}" >"$log" 2>&1; then
    tail -n 40 "$log" >&2
    exit 1
fi
