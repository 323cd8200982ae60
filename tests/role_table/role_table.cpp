// SPDX-License-Identifier: Apache-2.0
#include "tests/role_table/role_table.h"

#include <algorithm>
#include <sstream>
#include <stdexcept>

#include "perisclera/assemble/catalogue.h"
#include "tests/support/enhanced_image.h"
#include "tests/support/test_folder.h"

namespace perisclera::test {

namespace {

std::string number(double value) {
    std::ostringstream text;
    text << value;
    return text.str();
}

bool is_ct(const SeriesKind& kind) { return kind.sequence == "CT"; }

std::string uid_of(std::size_t place) { return "1.2.7." + std::to_string(place + 1); }

void write_classic(const std::filesystem::path& file, const SeriesKind& kind, const std::string& uid) {
    DicomSlice slice;
    slice.modality = is_ct(kind) ? "CT" : "MR";
    slice.series_uid = uid;
    slice.sop_uid = uid + ".1";
    slice.text[{0x0008, 0x0008}] = kind.image_type;
    const auto put = [&](TagNumber tag, const std::string& value) {
        if (value.empty())
            slice.absent.push_back(tag);
        else
            slice.text[tag] = value;
    };
    const auto put_number = [&](TagNumber tag, double value) { put(tag, value > 0 ? number(value) : ""); };
    if (!is_ct(kind)) {
        put({0x0018, 0x0020}, kind.sequence);
        put({0x0018, 0x0021}, kind.variant);
        put_number({0x0018, 0x0080}, kind.repetition);
        put_number({0x0018, 0x0081}, kind.echo);
    }
    put({0x0018, 0x0022}, kind.options);
    put_number({0x0018, 0x0082}, kind.inversion);
    put_number({0x0018, 0x1314}, kind.flip);
    put_number({0x0018, 0x0091}, kind.train);
    put({0x0008, 0x103E}, kind.description);
    put({0x0018, 0x0010}, kind.agent);
    for (const auto& [tag, value] : kind.more) put(tag, value);
    slice.typed = kind.secret;
    if (kind.implicit) slice.compression = Compression::implicit_little;
    write_slice(file, slice);
}

void write_enhanced_kind(const std::filesystem::path& file, const SeriesKind& kind, const std::string& uid) {
    EnhancedImage image;
    image.ct = is_ct(kind);
    image.series_uid = uid;
    image.sop_uid = uid + ".1";
    image.acquisition_contrast = kind.contrast;
    image.frames = frames_of(1, {0, 0, 0}, {0, 0, 1});
    image.frames.front().frame_type = kind.image_type;
    image.frames.front().echo_time = kind.echo;
    image.frames.front().b_value = kind.b_value;
    image.top_level = kind.more;
    // Of an enhanced CT the kernel stands in the reconstruction's own group.
    if (auto kernel = image.top_level.extract(TagNumber{0x0018, 0x1210})) image.kernel = kernel.mapped();
    image.top_level[{0x0008, 0x103E}] = kind.description;
    if (!kind.agent.empty()) image.top_level[{0x0018, 0x0010}] = kind.agent;
    image.timing = {{{0x0018, 0x0080}, number(kind.repetition)}, {{0x0018, 0x1314}, number(kind.flip)}};
    image.modifier = kind.modifier;
    image.modifier.try_emplace({0x0018, 0x9025}, "NONE");
    write_enhanced(file, image);
}

bool is_enhanced(const SeriesKind& kind) { return !kind.contrast.empty(); }

std::string header_in_words(const SeriesKind& kind) {
    std::string text;
    const auto add = [&](const std::string& name, const std::string& value) {
        if (!value.empty()) text += (text.empty() ? "" : ", ") + (name.empty() ? value : name + " " + value);
    };
    const auto add_number = [&](const std::string& name, double value) { add(name, value > 0 ? number(value) : ""); };
    add("", is_enhanced(kind) ? "enhanced" : "");
    add("contrast", is_enhanced(kind) && kind.contrast != "VOLUME" ? kind.contrast : "");
    add("", kind.sequence);
    add("variant", kind.variant);
    add("options", kind.options);
    add_number("TR", kind.repetition);
    add_number("TE", kind.echo);
    add_number("TI", kind.inversion);
    add_number("flip", kind.flip);
    add_number("train", kind.train);
    add_number("b", kind.b_value);
    add("type", kind.image_type == "ORIGINAL\\PRIMARY\\M" ? "" : kind.image_type);
    add("agent", kind.agent.empty() ? "" : "\"" + kind.agent + "\"");
    for (const auto* values : {&kind.more, &kind.modifier})
        for (const auto& [tag, value] : *values) add("", value);
    for (const auto& [tag, value] : kind.secret) add("", value.second);
    add("named", kind.description.empty() ? "" : "\"" + kind.description + "\"");
    // Backslashes and stars mean something in Markdown.
    std::string escaped;
    for (const char c : text) escaped += c == '\\' ? std::string("/") : c == '*' ? std::string("\\*") : c == '_' ? std::string("\\_") : std::string(1, c);
    return escaped;
}

}  // namespace

const std::vector<SeriesKind>& series_kinds() {
    static const std::vector<SeriesKind> all = [] {
        std::vector<SeriesKind> kinds;
        for (const auto& part : {spin_echo_kinds(), gradient_echo_kinds(), other_mr_kinds(), enhanced_kinds(), ct_kinds()}) kinds.insert(kinds.end(), part.begin(), part.end());
        return kinds;
    }();
    return all;
}

const std::vector<ToldRole>& told_roles() {
    static const std::vector<ToldRole> all = [] {
        const TestFolder folder;
        for (std::size_t i = 0; i < series_kinds().size(); ++i) {
            const SeriesKind& kind = series_kinds()[i];
            (is_enhanced(kind) ? write_enhanced_kind : write_classic)(folder.path() / std::to_string(i), kind, uid_of(i));
        }
        const auto files = scan_inputs({folder.path()});
        if (!files) throw std::runtime_error(one_line(files.error()));
        const auto listed = catalogue(files.value());
        if (!listed) throw std::runtime_error(one_line(listed.error()));
        std::map<std::string, ToldRole> by_uid;
        for (const CataloguePatient& patient : listed.value().patients)
            for (const CatalogueStudy& study : patient.studies)
                for (const CatalogueSeries& series : study.series) {
                    const SeriesDescription& d = series.description;
                    by_uid[d.series_uid] = {std::string(name(d.role)), std::string(name(d.confidence)), d.why};
                }
        std::vector<ToldRole> told;
        for (std::size_t i = 0; i < series_kinds().size(); ++i) told.push_back(by_uid[uid_of(i)]);
        return told;
    }();
    return all;
}

std::string role_table() {
    const auto& kinds = series_kinds();
    const auto& told = told_roles();
    std::size_t wrong = 0, unknown = 0;
    for (std::size_t i = 0; i < kinds.size(); ++i) {
        unknown += told[i].role == "unknown";
        wrong += told[i].role != "unknown" && told[i].role != kinds[i].expected;
    }
    std::ostringstream table;
    table << "# Roles of series\n\n"
             "Which role a series gets from its header, for kinds of series that head studies hold. Each row is written as a DICOM file and read as the program reads\n"
             "it; the expected role is stated by hand, `unknown` is allowed instead. Times are in ms, flip angles in degrees, b in s/mm². Series of role `unknown` are\n"
             "never measured.\n"
             "This page is written by `role_table_tests --table docs/role_table.md`, and a test holds it against the program.\n\n"
          << kinds.size() << " kinds: " << wrong << " wrong, " << unknown << " unknown.\n\n"
          << "| # | kind | header | expected | told | confidence | why | parameters from |\n|---|---|---|---|---|---|---|---|\n";
    for (std::size_t i = 0; i < kinds.size(); ++i)
        table << "| " << i + 1 << " | " << kinds[i].what << " | " << header_in_words(kinds[i]) << " | " << kinds[i].expected << " | "
              << (told[i].role == kinds[i].expected || told[i].role == "unknown" ? told[i].role : "**" + told[i].role + "**") << " | " << told[i].confidence << " | " << told[i].why << " | " << kinds[i].source << " |\n";
    table << "\nSources: Westbrook and Talbot, MRI in Practice, 5th ed. 2019, table of parameters for 1.5 and 3 T; Alfaro-Almagro et al. 2018, doi 10.1016/j.neuroimage.2017.10.034,\n"
             "table 1 (3 T); PS3.3: defined terms of the DICOM standard. \"No source\": values as they are commonly met.\n";
    return table.str();
}

}  // namespace perisclera::test
