// SPDX-License-Identifier: Apache-2.0
#include "drawn_secret.h"

#include <random>

namespace perisclera::app {

std::array<unsigned char, 32> drawn_secret() {
    std::random_device device;
    std::array<unsigned char, 32> secret;
    for (unsigned char& byte : secret) byte = static_cast<unsigned char>(device() & 0xFFu);
    return secret;
}

}  // namespace perisclera::app
