// SPDX-License-Identifier: Apache-2.0
// Against Python's hmac module, for keys shorter than a block, of one block, and longer.
#include "perisclera/core/hmac.h"

#include <gtest/gtest.h>

#include <array>
#include <cstdio>
#include <memory>
#include <string>

namespace perisclera {

namespace {

/// Of a key of `length` letters k and a message of three times as many letters m.
std::string by_python(int length) {
    const std::string command = "python3 -c \"import hmac; print(hmac.new(b'k' * " + std::to_string(length) + ", b'm' * " + std::to_string(3 * length) + ", 'sha256').hexdigest(), end='')\"";
    const std::unique_ptr<std::FILE, int (*)(std::FILE*)> output(::popen(command.c_str(), "r"), ::pclose);
    std::array<char, 128> text{};
    return output ? std::string(text.data(), std::fread(text.data(), 1, text.size(), output.get())) : std::string();
}

}  // namespace

TEST(Hmac, gives_the_digests_that_python_gives) {
    for (const int length : {0, 1, 32, 63, 64, 65, 200}) {
        const std::string key(static_cast<std::size_t>(length), 'k');
        const auto digest = hmac_sha256({reinterpret_cast<const unsigned char*>(key.data()), key.size()}, std::string(static_cast<std::size_t>(3 * length), 'm'));
        EXPECT_EQ(hexadecimal(digest), by_python(length)) << length;
    }
}

}  // namespace perisclera
