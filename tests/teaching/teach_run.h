// SPDX-License-Identifier: Apache-2.0
#pragma once
// The small phantom at two dates, three series each, with a word, a number and a date of its own in every attribute (planting.h), part of it in an archive and a report among it, identified and made into
// a teaching file once for all tests of a process.
#include <filesystem>
#include <stdexcept>
#include <string>
#include <vector>

#include "tests/support/child_process.h"
#include "tests/support/small_phantom.h"
#include "tests/support/test_folder.h"
#include "tests/teaching/planting.h"

namespace perisclera::test {

inline Ended run_program(std::vector<std::string> arguments) {
    arguments.insert(arguments.begin(), PERISCLERA_PROGRAM);
    return run_child(arguments);
}

/// What identify writes of the small phantom: made once for all tests of a process, which copy it.
inline const std::filesystem::path& result_of_small_phantom() {
    static const TestFolder folder;
    static const std::filesystem::path made = [] {
        const Ended ended = run_program({"identify", small_phantom().string(), "--out", (folder.path() / "result").string(), "--quiet"});
        if (ended.status != 0) throw std::runtime_error("no result: " + ended.error_text);
        return folder.path() / "result";
    }();
    return made;
}

/// Puts the images one year later, under new identifiers of study and series.
inline void make_later(const std::filesystem::path& file) {
    DcmFileFormat format;
    must(format.loadFile(file.c_str()));
    must(format.loadAllDataIntoMemory());
    DcmDataset& d = *format.getDataset();
    for (const DcmTagKey& tag : {DCM_StudyDate, DCM_SeriesDate, DCM_AcquisitionDate, DCM_ContentDate}) must(d.putAndInsertString(tag, "20210312"));
    for (const DcmTagKey& tag : {DCM_SOPInstanceUID, DCM_StudyInstanceUID, DCM_SeriesInstanceUID}) {
        OFString uid;
        must(d.findAndGetOFString(tag, uid));
        must(d.putAndInsertString(tag, (uid + ".1").c_str()));
    }
    must(format.saveFile(file.c_str(), EXS_LittleEndianExplicit));
}

/// Another series of the same images.
inline void make_series(const std::filesystem::path& file, const std::string& suffix) {
    DcmFileFormat format;
    must(format.loadFile(file.c_str()));
    must(format.loadAllDataIntoMemory());
    for (const DcmTagKey& tag : {DCM_SOPInstanceUID, DCM_SeriesInstanceUID}) {
        OFString uid;
        must(format.getDataset()->findAndGetOFString(tag, uid));
        must(format.getDataset()->putAndInsertString(tag, (uid + suffix.c_str()).c_str()));
    }
    must(format.saveFile(file.c_str(), EXS_LittleEndianExplicit));
}

/// `change` every file below, and name it anew.
template <class Change>
void for_images(const std::filesystem::path& folder, const std::string& name, Change change) {
    std::vector<std::filesystem::path> files;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(folder))
        if (entry.is_regular_file()) files.push_back(entry.path());
    for (std::size_t k = 0; k < files.size(); ++k) {
        change(files[k]);
        std::filesystem::rename(files[k], files[k].parent_path() / (name + std::to_string(k)));
    }
}

inline std::filesystem::path any_image(const std::filesystem::path& folder) { return folder / contents_of(folder).begin()->first; }

struct TeachRun {
    Planted planted;
    TestFolder folder;
    std::filesystem::path in = folder.path() / (planted.letters + "folderw"), result = folder.path() / "result", out = folder.path() / "taught", key = folder.path() / "key.json";
    Ended identified, taught;

    /// `whole`: three series at two dates; otherwise one series at one.
    TeachRun(Planted what, bool whole) : planted(std::move(what)) {
        namespace fs = std::filesystem;
        fs::create_directories(in);
        const std::string name = planted.letters + "filew";
        for (const bool later : {false, true})
            for (const char* suffix : {"", ".2", ".3"}) {
                if (!whole && (later || *suffix != 0)) continue;
                const fs::path series = in / ((later ? "second" : "first") + std::string(suffix));
                fs::copy(small_phantom(), series, fs::copy_options::recursive);
                for_images(series, name, [&](const fs::path& file) {
                    if (later) make_later(file);
                    if (*suffix != 0) make_series(file, suffix);
                    plant(file, planted);
                });
            }
        const fs::path archived = in / "second.3";
        write_report(any_image(in / "first"), in / (planted.letters + "reportw.dcm"), planted);
        const Ended zipped = !whole ? Ended() : run_child({"/bin/sh", "-c", "cd '" + archived.string() + "' && zip -q -r '" + (in / (planted.letters + "zipw.zip")).string() + "' ."});
        if (whole && zipped.status == 0) fs::remove_all(archived);
        identified = run_program({"identify", in.string(), "--out", result.string(), "--quiet"});
        taught = run_program({"teach", result.string(), in.string(), "--out", out.string(), "--key", key.string(), "--seed", "7", "--drop-overlays", "--quiet"});
    }
};

inline const TeachRun& teach_run() {
    static const TeachRun* const run = new TeachRun(Planted(), true);
    return *run;
}

}  // namespace perisclera::test
