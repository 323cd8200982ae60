# SPDX-License-Identifier: Apache-2.0
# The Debian 12 packages, named in this one place. Sourced by install_packages.sh; one array per purpose.

# To build and run the program.
program_packages=(
    g++ cmake ninja-build ccache pkg-config
    libinsighttoolkit5-dev libfftw3-dev uuid-dev   # ITK's headers name fftw3 and uuid, its package only recommends them
    libvtk9-dev
    libdcmtk-dev
    libopenjp2-7-dev zlib1g-dev libzip-dev
    nlohmann-json3-dev
    libxrl-dev
    libsqlite3-dev
    libcli11-dev
    libcairo2-dev libpango1.0-dev fonts-dejavu-core
    xvfb libgl1-mesa-dri                           # a display in memory and drawing by software, for the still picture; a report does without
)

# To build and run the tests as well: GoogleTest, and the outside validators the tests compare with.
test_packages=(
    libgtest-dev
    dcmtk dicom3tools
    libgdcm-dev libgdcm-tools python3-pydicom python3-numpy
    poppler-utils
    chromium                                       # the browser that the page is tried in
    zip
    python3-jsonschema
    locales
    libssl-dev                                     # digests; libdcmtk-dev brings it too
    ca-certificates
)
# npm fetches the page's WebGL library, the test images and readers that node runs. Some machines have both from elsewhere, in a form that Debian's packages conflict with.
command -v npm >/dev/null || program_packages+=(npm)

# To build and run the fuzzers: the fuzzing library comes with clang only.
fuzz_packages=(clang libclang-rt-14-dev)
