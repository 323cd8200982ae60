// SPDX-License-Identifier: Apache-2.0
// What is no DICOM file, cannot be read, or pretends to be something else.
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

#include <cstring>

#include "tests/bad_input/bad_input.h"
#include "tests/support/outside_tools.h"

namespace perisclera::test {

namespace fs = std::filesystem;

PERISCLERA_BAD_INPUT(1, a_folder_without_images, "a folder that is missing, empty, or holds no image", "refused; the message counts the files looked at", "NO_IMAGES", "3") {
    fs::remove(in());
    expect_refused(identify(), "NO_IMAGES");
    clear();
    expect_refused(identify(), "NO_IMAGES");
    write_bytes(in() / "notes.txt", "nothing of interest\n");
    write_bytes(in() / "numbers.bin", std::string(4096, '\7'));
    const Told told = identify();
    expect_refused(told, "NO_IMAGES");
    EXPECT_NE(told.ended.error_text.find("2 files looked at, 2 not DICOM"), std::string::npos) << told.ended.error_text;
}

PERISCLERA_BAD_INPUT(2, a_file_that_is_no_dicom, "an empty file, a hundred zeros, a text, all under a DICOM file's name", "the file is refused", "NOT_DICOM", "3, 0") {
    for (const std::string& bytes : {std::string(), std::string(100, '\0'), std::string("this is text\n")}) expect_file_refused(bytes, "NOT_DICOM");
}

PERISCLERA_BAD_INPUT(3, what_is_no_regular_file, "a pipe, a socket, a device, a link that leads back to its own folder", "passed by without waiting, counted and told; given alone, refused", "NOT_A_FILE", "3, 0") {
    ASSERT_EQ(::mkfifo((folder() / "pipe").c_str(), 0600), 0);
    for (const fs::path& alone : {folder() / "pipe", fs::path("/dev/zero")}) expect_refused(run({PERISCLERA_PROGRAM, "survey", alone.string()}), "NOT_A_FILE");

    write_series(in(), ct_series(5));
    fs::rename(folder() / "pipe", in() / "pipe");
    fs::create_symlink("/dev/zero", in() / "device");
    fs::create_directory_symlink(in(), in() / "loop");
    const int socket = ::socket(AF_UNIX, SOCK_STREAM, 0);
    ASSERT_GE(socket, 0);
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    std::strncpy(address.sun_path, (in() / "socket").c_str(), sizeof address.sun_path - 1);
    ASSERT_EQ(::bind(socket, reinterpret_cast<const sockaddr*>(&address), sizeof address), 0);
    const Told told = survey();
    ::close(socket);
    expect_warned(told, "NOT_A_FILE");
    EXPECT_EQ(told.json["not_files"], 4);
    EXPECT_EQ(told.json["images"], 5);
}

PERISCLERA_BAD_INPUT(4, a_file_that_may_not_be_read, "a file without the right to read it", "the file is refused with the system's reason", "CANNOT_READ", "3, 0") {
    // The super-user reads everything, unless without the powers that go beyond an owner's rights.
    const auto survey_as_owner = [&] {
        std::vector<std::string> words{PERISCLERA_PROGRAM, "survey", in().string(), "--json"};
        if (::geteuid() == 0) words.insert(words.begin(), {"/usr/bin/setpriv", "--bounding-set=-all", "--inh-caps=-all"});
        return run(words);
    };
    write_slice(in() / "one.dcm", ct_series(5)[4]);
    fs::permissions(in() / "one.dcm", fs::perms::none);
    const Told alone = survey_as_owner();
    expect_refused(alone, "CANNOT_READ");
    EXPECT_NE(alone.ended.error_text.find("Permission denied"), std::string::npos);
    write_series(in(), ct_series(4));
    expect_warned(survey_as_owner(), "CANNOT_READ");
}

PERISCLERA_BAD_INPUT(42, a_preamble_of_another_format, "an image whose first bytes are those of a program, a script or an archive", "read, with a warning; our own objects begin with zeros",
                     "SUSPICIOUS_PREAMBLE", "0") {
    for (const std::string beginning : {"MZ\x90", "\x7f" "ELF", "#!/bin/sh\n", "PK\x03\x04"}) {
        clear();
        write_series(in(), ct_series(5));
        std::string bytes = read_bytes(in() / "CT_0002");
        write_bytes(in() / "CT_0002", bytes.replace(0, beginning.size(), beginning));
        const Told told = survey();
        expect_warned(told, "SUSPICIOUS_PREAMBLE");
        EXPECT_EQ(told.json["images"], 5);
    }
    give_phantom();
    std::string own(128, '\0');
    own += "DICM";
    for (const auto& [path, bytes] : contents_of(in())) EXPECT_EQ(bytes.substr(0, 132), own);
}

PERISCLERA_BAD_INPUT(43, a_directory_that_leads_astray, "a DICOMDIR that loops, points outside its folder, and lists missing files",
                     "its folder is searched instead, so loops lead nowhere; outside files are not followed and missing ones are counted", "CANNOT_READ", "0") {
    fs::create_directories(in() / "SUB");
    auto slices = ct_series(6);
    for (std::size_t i = 0; i < slices.size(); ++i) {
        slices[i].text[{0x0008, 0x0030}] = "120000";
        slices[i].text[{0x0020, 0x0010}] = slices[i].text[{0x0020, 0x0011}] = "1";
        write_slice(in() / "SUB" / ("IM" + std::to_string(i)), slices[i]);
    }
    run_tool({"dcmmkdir", "--invent", "--no-consistency-check", "+r", "+id", in().string(), "+D", (in() / "DICOMDIR").string()});
    fs::remove(in() / "SUB" / "IM5");                                 // listed, not there
    fs::rename(in() / "SUB" / "IM0", folder() / "IM0");                // there, outside
    std::string bytes = read_bytes(in() / "DICOMDIR");
    bytes.replace(bytes.find("SUB\\IM0 "), 8, "..\\IM0  ");
    const std::string next_record("\x04\x00\x00\x14UL\x04\x00", 8), first_record("\x04\x00\x00\x12UL\x04\x00", 8);
    const std::string first = bytes.substr(bytes.find(first_record) + 8, 4);
    int loops = 0;
    for (std::size_t at = bytes.find(next_record); at != std::string::npos; at = bytes.find(next_record, at + 1), ++loops) bytes.replace(at + 8, 4, first);
    ASSERT_GT(loops, 3);
    write_bytes(in() / "DICOMDIR", bytes);
    const Told told = run({PERISCLERA_PROGRAM, "survey", (in() / "DICOMDIR").string(), "--json"});
    expect_warned(told, "CANNOT_READ");
    EXPECT_EQ(told.json["images"], 4);
    const std::string warnings = told.json["warnings"].dump();
    EXPECT_NE(warnings.find("the directory lists 6 files, missing of them 1, outside its folder and not followed 1"), std::string::npos) << warnings;
}

}  // namespace perisclera::test
