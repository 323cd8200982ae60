// SPDX-License-Identifier: Apache-2.0
// Validates FHIR R4 bundles against HL7's structure definitions: cardinality, types, fixed values and invariants of the bundle and of every resource in it.
// usage: validate_fhir.cjs FOLDER BUNDLE...    FOLDER as .ci/fetch_fhir_validator.sh leaves it
// Exit status 0: all valid; 1: one is not (printed); 2: cannot be read. A warning that a urn:uuid reference names no type is none: it names an entry.
const fs = require('fs'), path = require('path');
globalThis.WebSocket ??= class {};  // the library names it when it is loaded, and this one does not use it
const folder = process.argv[2];
let failed = 0;
try {
    const {indexStructureDefinitionBundle, validateResource} = require(path.join(folder, 'index.cjs'));
    for (const file of ['profiles-types.json', 'profiles-resources.json']) indexStructureDefinitionBundle(JSON.parse(fs.readFileSync(path.join(folder, file), 'utf8')));
    for (const file of process.argv.slice(3)) {
        const bundle = JSON.parse(fs.readFileSync(file, 'utf8'));
        for (const resource of [bundle, ...(bundle.entry ?? []).map(entry => entry.resource)]) {
            try {
                validateResource(resource);
            } catch (error) {
                if (!error.outcome) throw error;
                for (const issue of error.outcome.issue.filter(i => i.severity !== 'warning').slice(0, 3)) console.log(resource.resourceType, issue.expression, issue.details?.text);
                failed = 1;
            }
        }
    }
} catch (error) {
    console.log('unusable:', String(error).slice(0, 300));
    failed = 2;
}
process.exit(failed);
