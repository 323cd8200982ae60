// SPDX-License-Identifier: Apache-2.0
#pragma once
// Everything that bytes may hold in other clothes: text in two bytes a letter, escapes of JSON, HTML and URLs, base64, the deflated streams of PDF, PNG and archives. Inflated by zlib, a library of its own.
#include <zlib.h>

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>
#include <vector>

namespace perisclera::test {

/// One look at the bytes. `dense`: packed or random bytes, among which short words stand by chance.
struct View {
    std::string how, bytes;
    bool dense;
};

/// From `from` on, as a zlib or gzip stream; empty where it is none.
inline std::string inflated(std::string_view bytes, std::size_t from) {
    z_stream stream{};
    if (::inflateInit2(&stream, MAX_WBITS + 32) != Z_OK) return {};
    std::string out;
    std::vector<char> room(1 << 16);
    stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(bytes.data() + from));
    stream.avail_in = static_cast<uInt>(bytes.size() - from);
    int status = Z_OK;
    while (status == Z_OK && out.size() < (64u << 20)) {
        stream.next_out = reinterpret_cast<Bytef*>(room.data());
        stream.avail_out = static_cast<uInt>(room.size());
        status = ::inflate(&stream, Z_NO_FLUSH);
        if (status == Z_OK || status == Z_STREAM_END) out.append(room.data(), room.size() - stream.avail_out);
    }
    ::inflateEnd(&stream);
    return status == Z_STREAM_END ? out : std::string();
}

inline std::uint32_t big_endian(std::string_view bytes, std::size_t at) {
    std::uint32_t value = 0;
    for (std::size_t k = 0; k < 4; ++k) value = value << 8 | static_cast<unsigned char>(bytes[at + k]);
    return value;
}

inline constexpr std::string_view png_signature = "\x89PNG\r\n\x1a\n";

/// A picture's pixels, its IDAT chunks put together, and all its other chunks, those of compressed text opened.
inline void open_png(std::string_view png, const std::string& how, std::vector<View>& views) {
    std::string pixels, rest;
    for (std::size_t at = png_signature.size(); at + 12 <= png.size();) {
        const std::size_t length = big_endian(png, at);
        const std::string_view kind = png.substr(at + 4, 4), body = png.substr(at + 8, length);
        if (kind == "IDAT")
            pixels += body;
        else
            rest += std::string(kind) + std::string(body) + "\n";
        if (kind == "zTXt" || kind == "iTXt")
            for (std::size_t k = 0; k < body.size(); ++k) rest += inflated(body, k);
        at += 12 + length;
    }
    views.push_back({how + " > chunks of a picture", rest, false});
    views.push_back({how + " > pixels of a picture", inflated(pixels, 0), true});
}

/// Each deflated stream.
inline void open_streams(std::string_view bytes, const std::string& how, std::vector<View>& views) {
    for (std::size_t at = 0; at + 2 < bytes.size(); ++at) {
        const auto first = static_cast<unsigned char>(bytes[at]), second = static_cast<unsigned char>(bytes[at + 1]);
        const bool zlib = first == 0x78 && (first * 256 + second) % 31 == 0, gzip = first == 0x1f && second == 0x8b;
        if (!zlib && !gzip) continue;
        if (std::string out = inflated(bytes, at); !out.empty()) views.push_back({how + " > inflated", std::move(out), true});
    }
}

inline std::string without_zeros(std::string_view bytes) {
    std::string out;
    for (const char c : bytes)
        if (c != '\0') out += c;
    return out;
}

/// \u0051, &#81;, &#x51; and %51 as the letter they stand for.
inline std::string unescaped(std::string_view bytes) {
    std::string out;
    for (std::size_t at = 0; at < bytes.size(); ++at) {
        const auto number = [&](std::size_t from, std::size_t length, int base) {
            const std::string digits(bytes.substr(from, length));
            char* end = nullptr;
            const long value = std::strtol(digits.c_str(), &end, base);
            return end != digits.c_str() && value > 0 && value < 128 ? static_cast<char>(value) : '\0';
        };
        char letter = '\0';
        std::size_t taken = 1;
        if (bytes.substr(at, 2) == "\\u")
            letter = number(at + 2, 4, 16), taken = 6;
        else if (bytes[at] == '%')
            letter = number(at + 1, 2, 16), taken = 3;
        else if (bytes.substr(at, 2) == "&#") {
            const std::size_t end = bytes.find(';', at);
            const bool hexadecimal = bytes.substr(at + 2, 1) == "x";
            if (end != std::string_view::npos && end < at + 8) letter = number(at + (hexadecimal ? 3 : 2), end - at - (hexadecimal ? 3 : 2), hexadecimal ? 16 : 10), taken = end - at + 1;
        }
        out += letter != '\0' ? letter : bytes[at];
        if (letter != '\0') at += taken - 1;
    }
    return out;
}

/// The text, and apart from it what stands in it by base64: no word of the pages is a hundred letters long.
inline void open_base64(std::string_view text, const std::string& how, std::vector<View>& views) {
    constexpr std::string_view digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    constexpr std::size_t shortest = 100;
    std::string plain;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find_first_not_of(digits, at), text.size());
        if (end - at < shortest) {
            const std::size_t next = std::min(end + 1, text.size());
            plain.append(text, at, next - at);
            at = next;
            continue;
        }
        std::string decoded;
        unsigned bits = 0;
        for (std::size_t k = at; k < end; ++k) {
            bits = bits << 6 | static_cast<unsigned>(digits.find(text[k]));
            const std::size_t held = 6 * (k - at + 1);
            if (held % 8 < 6) decoded += static_cast<char>(bits >> held % 8 & 0xFFu);
        }
        if (decoded.starts_with(png_signature)) open_png(decoded, how + " > base64", views);
        open_streams(decoded, how + " > base64", views);
        views.push_back({how + " > base64", std::move(decoded), true});
        at = end;
    }
    views.push_back({how + " > text", plain, false});
    views.push_back({how + " > text without escapes", unescaped(plain), false});
}

inline std::vector<View> opened(const std::string& name, const std::string& bytes) {
    std::vector<View> views;
    const bool dense = name.ends_with(".png") || name.ends_with(".pdf") || name.ends_with(".dcm");
    if (bytes.starts_with(png_signature)) open_png(bytes, name, views);
    if (dense) {
        views.push_back({name, bytes, true});
        open_streams(bytes, name, views);
    } else {
        open_base64(bytes, name, views);
    }
    views.push_back({name + " > one byte a letter", without_zeros(bytes), dense || name.ends_with(".html")});
    return views;
}

}  // namespace perisclera::test
