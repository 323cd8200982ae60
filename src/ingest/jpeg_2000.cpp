// SPDX-License-Identifier: Apache-2.0
#include "jpeg_2000.h"

#include <openjpeg.h>

#include <algorithm>
#include <cstring>
#include <memory>

namespace perisclera {

namespace {

struct Source {
    std::span<const unsigned char> bytes;
    std::size_t at = 0;
};

OPJ_SIZE_T read(void* out, OPJ_SIZE_T count, void* user) {
    auto& source = *static_cast<Source*>(user);
    const std::size_t left = source.bytes.size() - source.at;
    if (left == 0) return static_cast<OPJ_SIZE_T>(-1);
    const std::size_t got = std::min<std::size_t>(count, left);
    std::memcpy(out, source.bytes.data() + source.at, got);
    source.at += got;
    return got;
}

OPJ_OFF_T skip(OPJ_OFF_T count, void* user) {
    auto& source = *static_cast<Source*>(user);
    if (count < 0) return -1;
    const std::size_t passed = std::min(static_cast<std::size_t>(count), source.bytes.size() - source.at);
    source.at += passed;
    return static_cast<OPJ_OFF_T>(passed);
}

OPJ_BOOL seek(OPJ_OFF_T place, void* user) {
    auto& source = *static_cast<Source*>(user);
    if (place < 0 || static_cast<std::size_t>(place) > source.bytes.size()) return OPJ_FALSE;
    source.at = static_cast<std::size_t>(place);
    return OPJ_TRUE;
}

template <auto destroy>
struct Destroy {
    template <class T>
    void operator()(T* object) const {
        destroy(object);
    }
};
using Stream = std::unique_ptr<opj_stream_t, Destroy<[](opj_stream_t* s) { opj_stream_destroy(s); }>>;
using Codec = std::unique_ptr<opj_codec_t, Destroy<[](opj_codec_t* c) { opj_destroy_codec(c); }>>;
using Image = std::unique_ptr<opj_image_t, Destroy<[](opj_image_t* i) { opj_image_destroy(i); }>>;

}  // namespace

std::optional<GreyCodestream> decode_jpeg_2000(std::span<const unsigned char> bytes, int most_rows, int most_columns) {
    Source source{bytes};
    const Stream stream(opj_stream_default_create(OPJ_TRUE));
    const Codec codec(opj_create_decompress(OPJ_CODEC_J2K));
    if (!stream || !codec) return std::nullopt;
    opj_stream_set_user_data(stream.get(), &source, nullptr);
    opj_stream_set_user_data_length(stream.get(), bytes.size());
    opj_stream_set_read_function(stream.get(), read);
    opj_stream_set_skip_function(stream.get(), skip);
    opj_stream_set_seek_function(stream.get(), seek);
    opj_dparameters_t parameters;
    opj_set_default_decoder_parameters(&parameters);
    if (!opj_setup_decoder(codec.get(), &parameters) || !opj_decoder_set_strict_mode(codec.get(), OPJ_TRUE)) return std::nullopt;

    opj_image_t* header = nullptr;
    const bool has_header = opj_read_header(stream.get(), codec.get(), &header);
    const Image image(header);
    if (!has_header || !image || image->numcomps != 1) return std::nullopt;
    // Before anything of that size is allocated.
    if (image->x1 - image->x0 > static_cast<OPJ_UINT32>(most_columns) || image->y1 - image->y0 > static_cast<OPJ_UINT32>(most_rows)) return std::nullopt;
    if (!opj_decode(codec.get(), stream.get(), image.get()) || !opj_end_decompress(codec.get(), stream.get())) return std::nullopt;
    const opj_image_comp_t& component = image->comps[0];
    if (component.data == nullptr || component.dx != 1 || component.dy != 1) return std::nullopt;
    const std::size_t count = static_cast<std::size_t>(component.w) * component.h;
    return GreyCodestream{static_cast<int>(component.h), static_cast<int>(component.w), component.sgnd != 0, {component.data, component.data + count}};
}

}  // namespace perisclera
