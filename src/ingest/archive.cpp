// SPDX-License-Identifier: Apache-2.0
#include "archive.h"

#include <zip.h>

#include "inflate.h"
#include "perisclera/core/limits.h"

namespace perisclera {

namespace {

constexpr const char* hint = "unpack the archive and give the folder";

struct CloseFile {
    void operator()(zip_file_t* file) const { ::zip_fclose(file); }
};

}  // namespace

struct Archive::State {
    struct Discard {
        void operator()(zip_t* archive) const { ::zip_discard(archive); }
    };
    std::unique_ptr<zip_t, Discard> archive;

    [[nodiscard]] bool stat(std::uint64_t index, zip_stat_t& out) const {
        constexpr zip_uint64_t needed = ZIP_STAT_NAME | ZIP_STAT_SIZE | ZIP_STAT_COMP_SIZE | ZIP_STAT_ENCRYPTION_METHOD;
        return ::zip_stat_index(archive.get(), index, ZIP_FL_ENC_RAW, &out) == 0 && (out.valid & needed) == needed;
    }
};

Archive::Archive(std::unique_ptr<State> state) : state_(std::move(state)) {}
Archive::Archive(Archive&&) noexcept = default;
Archive& Archive::operator=(Archive&&) noexcept = default;
Archive::~Archive() = default;

Result<Archive> Archive::open(const std::filesystem::path& path, const std::string& where) {
    auto state = std::make_unique<State>();
    int problem = 0;
    state->archive.reset(::zip_open(path.c_str(), ZIP_RDONLY, &problem));
    if (!state->archive) return Error{ErrorCode::decode_failed, "is a damaged or unreadable zip archive", where, "copy or export the archive again"};
    Archive archive(std::move(state));
    const zip_int64_t count = ::zip_get_num_entries(archive.state_->archive.get(), 0);
    std::uint64_t total = 0;
    for (zip_int64_t i = 0; i < count; ++i) {
        zip_stat_t member;
        if (!archive.state_->stat(static_cast<std::uint64_t>(i), member))
            return Error{ErrorCode::decode_failed, "is a damaged zip archive", where, "copy or export the archive again"};
        const std::string name = member.name;
        if (name.ends_with('/')) continue;
        if (member.size > limits::archive_bytes - total)
            return Error{ErrorCode::inflates_too_large, "the archive's files become more than " + std::to_string(limits::archive_bytes) + " bytes", where, hint};
        total += member.size;
        archive.members_.push_back({static_cast<std::uint64_t>(i), name, member.size});
    }
    return archive;
}

Result<std::vector<unsigned char>> Archive::read(std::uint64_t index, const std::string& where) const {
    const Error damaged{ErrorCode::decode_failed, "is damaged inside its archive", where, "copy or export the archive again"};
    zip_stat_t member;
    if (!state_->stat(index, member)) return damaged;
    if (member.encryption_method != ZIP_EM_NONE) return Error{ErrorCode::unsupported_encoding, "is encrypted inside its archive", where, hint};
    if (member.size > most_inflated_bytes(member.comp_size))
        return Error{ErrorCode::inflates_too_large, "becomes too large when it is taken from its archive (" + std::to_string(member.size) + " bytes)", where, hint};
    const std::unique_ptr<zip_file_t, CloseFile> file(::zip_fopen_index(state_->archive.get(), index, 0));
    if (!file) {
        const bool other_method = ::zip_error_code_zip(::zip_get_error(state_->archive.get())) == ZIP_ER_COMPNOTSUPP;
        return other_method ? Error{ErrorCode::unsupported_encoding, "is compressed inside its archive in a way that is not read", where, hint} : damaged;
    }
    std::vector<unsigned char> bytes(member.size);
    for (std::size_t done = 0; done < bytes.size();) {
        const zip_int64_t got = ::zip_fread(file.get(), bytes.data() + done, bytes.size() - done);
        if (got <= 0) return damaged;
        done += static_cast<std::size_t>(got);
    }
    // The checksum is held against the content when its end is met.
    unsigned char beyond = 0;
    if (::zip_fread(file.get(), &beyond, 1) != 0) return damaged;
    return bytes;
}

}  // namespace perisclera
