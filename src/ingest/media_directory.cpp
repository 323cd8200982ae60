// SPDX-License-Identifier: Apache-2.0
#include "media_directory.h"

#include <algorithm>
#include <filesystem>
#include <system_error>

#include "dataset.h"
#include "perisclera/ingest/dicom_values.h"
#include "tags.h"

namespace perisclera {

std::vector<ListedFile> listed_files(InputFile& file, const FileLayout& layout) {
    std::vector<ListedFile> listed;
    if (!layout.directory_sound) return listed;
    std::vector<unsigned char> bytes(layout.header_bytes - layout.dataset_offset);
    if (!file.read(layout.dataset_offset, bytes)) return listed;
    const auto data = Dataset::parse(bytes, layout.encoding);
    if (!data) return listed;
    for (const AttributeSet& record : data->top_level().items(tags::directory_records))
        if (ListedFile parts = split_values(record.text(tags::referenced_file)); !parts.empty()) listed.push_back(std::move(parts));
    return listed;
}

bool stays_inside(const ListedFile& listed) {
    return std::none_of(listed.begin(), listed.end(), [](const std::string& part) { return part.empty() || part == "." || part == ".." || part.find('/') != std::string::npos; });
}

bool is_there(const std::filesystem::path& folder, const ListedFile& listed) {
    std::filesystem::path as_written = folder, lower = folder;
    for (std::string part : listed) {
        as_written /= part;
        std::transform(part.begin(), part.end(), part.begin(), [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
        lower /= part;
    }
    std::error_code ignored;
    return std::filesystem::exists(as_written, ignored) || std::filesystem::exists(lower, ignored);
}

}  // namespace perisclera
