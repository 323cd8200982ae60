#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Sends DICOM files to a storage server (dcmqrscp of Debian's dcmtk), started here on a free port of the loopback interface, and fetches the studies back.
#   store_and_fetch.sh FOLDER FILE...    what comes back lies in FOLDER/fetched
set -euo pipefail
folder=$1
shift
mkdir -p "$folder/archive" "$folder/fetched"
export TCP_NODELAY=1    # DCMTK's own switch: without it either side waits for the other's acknowledgement
port=$(/usr/bin/python3 -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])')
cat >"$folder/server.cfg" <<CONFIGURATION
NetworkTCPPort  = $port
MaxPDUSize      = 16384
MaxAssociations = 4
HostTable BEGIN
HostTable END
VendorTable BEGIN
VendorTable END
AETable BEGIN
ARCHIVE $folder/archive RW (100, 1024mb) ANY
AETable END
CONFIGURATION
/usr/bin/dcmqrscp --config "$folder/server.cfg" &
server=$!
trap 'kill "$server" 2>/dev/null; wait "$server" 2>/dev/null || true' EXIT
tries=0
until /usr/bin/echoscu -aec ARCHIVE 127.0.0.1 "$port" 2>/dev/null; do
    tries=$((tries + 1))
    [ "$tries" -lt 100 ] || { echo "store_and_fetch.sh: the server does not answer" >&2; exit 1; }
    sleep 0.1
done
/usr/bin/storescu -aec ARCHIVE --required 127.0.0.1 "$port" "$@"
for study in $(for file in "$@"; do /usr/bin/dcmdump +P StudyInstanceUID "$file" | sed -n 's/^(0020,000d)[^[]*\[\([^]]*\)\].*/\1/p'; done | sort -u); do
    /usr/bin/getscu --study -aec ARCHIVE -od "$folder/fetched" -k QueryRetrieveLevel=STUDY -k "StudyInstanceUID=$study" 127.0.0.1 "$port"
done
