// SPDX-License-Identifier: Apache-2.0
#pragma once
// The layers of the project, as data: which folder may include which, and where a third-party name may appear.
// docs/architecture.md draws the same table; CMakeLists.txt links by it. A test holds the three together.
#include <array>
#include <string_view>
#include <vector>

namespace perisclera::layers {

struct Layer {
    std::string_view name;
    std::vector<std::string_view> needs;       ///< may be included; what those need may be included as well
    std::vector<std::string_view> libraries;   ///< third-party libraries whose headers its .cpp files may include
};

inline const std::vector<Layer>& table() {
    static const std::vector<Layer> layers{
        {"core", {}, {}},
        {"physics", {"core"}, {"nlohmann_json", "libxrl"}},
        {"image", {"core"}, {"VTK"}},
        {"ingest", {"core"}, {"DCMTK", "zlib", "libzip", "openjpeg", "POSIX"}},
        {"assemble", {"ingest", "image"}, {}},
        {"anatomy", {"assemble", "physics"}, {"ITK"}},
        {"alignment", {"anatomy"}, {"ITK"}},
        {"segmentation", {"alignment"}, {"ITK"}},
        {"measurement", {"segmentation"}, {"VTK"}},
        {"material", {"measurement"}, {}},
        {"timeline", {"material"}, {}},
        {"register", {"assemble"}, {"SQLite", "POSIX"}},
        {"dicom", {"image"}, {"DCMTK", "POSIX"}},
        {"scene", {}, {}},
        {"renderer", {"scene"}, {"VTK"}},
        {"report", {"timeline", "register", "dicom", "scene"}, {"nlohmann_json", "cairo", "DCMTK"}},
        {"masks", {"report"}, {"zlib"}},
        {"pipeline", {"report", "assemble"}, {}},
        {"teaching", {"report", "assemble"}, {"DCMTK", "nlohmann_json"}},
        {"phantoms", {"dicom"}, {"ITK", "nlohmann_json", "libxrl"}},
        {"app", {"pipeline", "masks", "teaching", "phantoms"}, {"CLI11", "POSIX"}},
    };
    return layers;
}

/// DCMTK's data sets are the currency inside this layer, so its headers may name them; nobody else's may name anything foreign.
inline constexpr std::string_view layer_with_dcmtk_in_headers = "dicom";

/// The only layer that prints, exits, or looks at clock, environment and locale.
inline constexpr std::string_view layer_that_talks = "app";

struct Library {
    std::string_view header_prefix;
    std::string_view name;
};
inline constexpr std::array libraries{
    Library{"itk", "ITK"},           Library{"vnl", "ITK"},     Library{"vtk", "VTK"},         Library{"dcmtk/", "DCMTK"},
    Library{"nlohmann/", "nlohmann_json"}, Library{"cairo", "cairo"}, Library{"pango", "cairo"}, Library{"CLI/", "CLI11"}, Library{"xraylib/", "libxrl"},
    Library{"zlib.h", "zlib"}, Library{"zip.h", "libzip"}, Library{"openjpeg.h", "openjpeg"}, Library{"sqlite3", "SQLite"},
    Library{"unistd.h", "POSIX"}, Library{"fcntl.h", "POSIX"}, Library{"sys/", "POSIX"}, Library{"poll.h", "POSIX"},
    Library{"malloc.h", "POSIX"},    Library{"signal.h", "POSIX"},
};

}  // namespace perisclera::layers
