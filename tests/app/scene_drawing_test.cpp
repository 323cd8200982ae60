// SPDX-License-Identifier: Apache-2.0
// What the drawing program draws, against closed forms of projection and light; and that nothing it may do harms whoever asks for it or
// is left behind.
#include "src/app/scene_drawing.h"

#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cmath>
#include <csignal>
#include <cstdlib>

#include <gtest/gtest.h>

#include "tests/support/test_folder.h"

namespace perisclera::test {

namespace {

namespace fs = std::filesystem;
using scene::Scene;
using scene::Surface;

constexpr int pixels = 200;
constexpr double half_width = 10.0;   // mm: ten pixels a millimetre

/// A square of 2 `half` mm a side in the plane at z, its front towards +z, turned about y by `turn`.
Surface square(double half, double z, double lightness, double opacity, double turn = 0.0) {
    Surface out{lightness, opacity, false, {}, {{0, 1, 2}, {0, 2, 3}}};
    for (const auto& [x, y] : {std::pair{-half, -half}, std::pair{half, -half}, std::pair{half, half}, std::pair{-half, half}})
        out.corners.push_back({static_cast<float>(x * std::cos(turn) + z * std::sin(turn)), static_cast<float>(y), static_cast<float>(z * std::cos(turn) - x * std::sin(turn))});
    return out;
}

std::vector<scene::GreyPicture> drawn(const std::vector<Scene>& scenes, const fs::path& program = PERISCLERA_SCENE_PROGRAM) { return app::SceneDrawing(scenes, program).pictures(); }

int grey_at(const scene::GreyPicture& picture, int x, int y) { return picture.bytes[static_cast<std::size_t>(y * picture.width + x)]; }

/// Of a surface that faces the viewer at this angle: three tenths from all round, the rest by Lambert's cosine.
double lambert(double lightness, double angle) { return 255.0 * lightness * (0.3 + 0.7 * std::cos(angle)); }

/// Orphans come to this process while it lives, so that what was left running is found.
class SceneDrawing : public ::testing::Test {
protected:
    void SetUp() override { ASSERT_EQ(::prctl(PR_SET_CHILD_SUBREAPER, 1), 0); }
    void TearDown() override {
        // What was ended is taken note of here; what still runs would do so for minutes.
        pid_t process = 0;
        for (int look = 0; look < 500 && (process = ::waitpid(-1, nullptr, WNOHANG)) >= 0; ++look) ::usleep(10'000);
        EXPECT_EQ(process, -1) << "a process is left";
        EXPECT_EQ(errno, ECHILD);
    }
    /// A stand-in for the drawing program.
    fs::path stand_in(const std::string& shell_words) const {
        const fs::path file = folder_.path() / "stand-in";
        write_bytes(file, "#!/bin/sh\n" + shell_words + "\n");
        fs::permissions(file, fs::perms::owner_all);
        return file;
    }
    TestFolder folder_;
};

const std::vector<Scene>& plain_scenes() {
    static const std::vector<Scene> scenes{{pixels, half_width, {0, 0, 1}, {square(3.0, 1.0, 0.5, 1.0)}}};
    return scenes;
}

}  // namespace

TEST_F(SceneDrawing, a_square_lies_where_its_corners_are_projected_and_is_as_light_as_its_angle_says) {
    for (const double turn : {0.0, 0.6, -1.0}) {
        // Seen along z: the square's sides at x = z sin(turn) +- 3 cos(turn) and y = +- 3.
        const auto pictures = drawn({{pixels, half_width, {0, 0, 1}, {square(3.0, 2.0, 0.5, 1.0, turn)}}});
        ASSERT_EQ(pictures.size(), 1u);
        const scene::GreyPicture& picture = pictures[0];
        ASSERT_EQ(picture.width, pixels);
        ASSERT_EQ(picture.height, pixels);
        const double scale = pixels / (2.0 * half_width), left = 100.0 + scale * (2.0 * std::sin(turn) - 3.0 * std::cos(turn)), right = left + scale * 6.0 * std::cos(turn);
        for (int y = 0; y < pixels; ++y)
            for (int x = 0; x < pixels; ++x) {
                const double inside = std::min({x + 0.5 - left, right - x - 0.5, y + 0.5 - 70.0, 130.0 - y - 0.5});
                if (std::abs(inside) <= 1.0) continue;
                const double expected = inside > 0.0 ? lambert(0.5, turn) : 255.0;
                ASSERT_NEAR(grey_at(picture, x, y), expected, 2.0) << x << " " << y << " turned by " << turn;   // rounding of the driver
            }
    }
}

TEST_F(SceneDrawing, a_place_seen_aslant_lies_where_labels_are_put) {
    // A small square facing the viewer round a place; labels are put by on_picture(), which has closed-form tests of its own.
    const double turn = 0.9;
    Scene scene{pixels, half_width, {std::sin(turn), 0.5, std::cos(turn)}, {}};
    scene.surfaces.push_back(square(0.6, 5.0, 0.2, 1.0, turn));
    const auto at = on_picture(scene, {5.0 * std::sin(turn), 0.0, 5.0 * std::cos(turn)});
    const auto pictures = drawn({scene});
    ASSERT_EQ(pictures.size(), 1u);
    double sum_x = 0.0, sum_y = 0.0, dark = 0.0;
    for (int y = 0; y < pixels; ++y)
        for (int x = 0; x < pixels; ++x)
            if (grey_at(pictures[0], x, y) < 128) sum_x += x + 0.5, sum_y += y + 0.5, ++dark;
    ASSERT_GT(dark, 20.0);
    EXPECT_NEAR(sum_x / dark, at.x, 0.5);
    EXPECT_NEAR(sum_y / dark, at.y, 0.5);
}

TEST_F(SceneDrawing, what_lies_behind_shines_through_by_what_the_front_lets_pass) {
    const auto pictures = drawn({{pixels, half_width, {0, 0, 1}, {square(2.0, 1.0, 0.5, 1.0), square(5.0, 3.0, 1.0, 0.72)}}});
    ASSERT_EQ(pictures.size(), 1u);
    EXPECT_NEAR(grey_at(pictures[0], 100, 100), 0.72 * 255.0 + 0.28 * lambert(0.5, 0.0), 2.0);
    EXPECT_NEAR(grey_at(pictures[0], 140, 100), 255, 1.0);
}

TEST_F(SceneDrawing, a_back_is_not_drawn) {
    Surface back = square(3.0, 0.0, 0.5, 1.0);
    for (auto& t : back.triangles) std::swap(t[1], t[2]);
    const auto pictures = drawn({{pixels, half_width, {0, 0, 1}, {back, square(1.0, -1.0, 0.5, 1.0)}}});
    ASSERT_EQ(pictures.size(), 1u);
    EXPECT_EQ(grey_at(pictures[0], 120, 100), 255);
    EXPECT_LT(grey_at(pictures[0], 100, 100), 140);
}

TEST_F(SceneDrawing, lines_are_darker_at_the_clock_hours_and_nowhere_between) {
    // A plane across the axis, seen from the front: hour h lies at 30 h degrees from y towards x.
    Surface plane = square(8.0, 4.0, 1.0, 1.0);
    plane.ruled = true;
    const auto pictures = drawn({{pixels, half_width, {0, 0, 1}, {plane}}});
    ASSERT_EQ(pictures.size(), 1u);
    for (int half = 0; half < 24; ++half) {
        const double angle = half * 3.14159265358979 / 12.0, x = 100.0 + 60.0 * std::sin(angle), y = 100.0 - 60.0 * std::cos(angle);
        int darkest = 255;
        for (int j = -2; j <= 2; ++j)
            for (int i = -2; i <= 2; ++i) darkest = std::min(darkest, grey_at(pictures[0], static_cast<int>(x) + i, static_cast<int>(y) + j));
        // 1.8 pixels wide: a pixel may hold some of what is beside.
        EXPECT_NEAR(darkest, half % 2 == 0 ? 0.55 * 255.0 : 255.0, half % 2 == 0 ? 40.0 : 2.0) << half << " half hours";
    }
}

TEST_F(SceneDrawing, the_same_scenes_give_the_same_bytes_each_in_its_place) {
    const std::vector<Scene> scenes{plain_scenes()[0], {120, half_width, {1, 1, 1}, {square(3.0, 1.0, 0.2, 1.0)}}};
    const auto once = drawn(scenes), again = drawn(scenes);
    ASSERT_EQ(once.size(), 2u);
    ASSERT_EQ(again.size(), 2u);
    for (std::size_t k = 0; k < 2; ++k) EXPECT_EQ(once[k].bytes, again[k].bytes);
    EXPECT_EQ(once[1].width, 120);
    EXPECT_EQ(once[0].bytes, drawn(plain_scenes()).at(0).bytes) << "what is drawn beside it matters not";
}

TEST_F(SceneDrawing, nobody_elses_display_is_asked) {
    ASSERT_EQ(::setenv("DISPLAY", ":4711", 1), 0);   // there is none
    EXPECT_EQ(drawn(plain_scenes()).size(), 1u);
}

TEST_F(SceneDrawing, without_the_display_program_there_is_no_picture) {
    const std::string path = std::getenv("PATH");
    for (const char* poor : {"", "/nonexistent", "Xvfb"}) {
        ASSERT_EQ(::setenv("PATH", poor, 1), 0);
        EXPECT_TRUE(drawn(plain_scenes()).empty()) << poor;
    }
    ::setenv("PATH", path.c_str(), 1);
}

TEST_F(SceneDrawing, a_display_program_that_ends_or_tells_nonsense_costs_the_picture_only) {
    const std::string path = std::getenv("PATH");
    ASSERT_EQ(::setenv("PATH", folder_.path().c_str(), 1), 0);
    for (const char* words : {"exit 1", "echo nonsense >&3; exit 0", "echo 4711 >&3; exec sleep 600"}) {
        fs::rename(stand_in(words), folder_.path() / "Xvfb");
        EXPECT_TRUE(drawn(plain_scenes()).empty()) << words;
    }
    ::setenv("PATH", path.c_str(), 1);
}

TEST_F(SceneDrawing, a_drawing_program_that_is_not_there_or_dies_or_tells_rubbish_costs_the_picture_only) {
    EXPECT_TRUE(drawn(plain_scenes(), "").empty());
    EXPECT_TRUE(drawn(plain_scenes(), folder_.path() / "nowhere").empty());
    for (const char* words : {"exit 0", "exit 3", "kill -9 $$", "kill -SEGV $$", "echo rubbish", "printf 'P5\\n200 200\\n255\\n'", "cat", "head -c 90000000 /dev/zero"})
        EXPECT_TRUE(drawn(plain_scenes(), stand_in(words)).empty()) << words;
}

// What hangs tells by a file that it began: on a busy machine the display alone may take longer than a short limit, which is then doubled.
TEST_F(SceneDrawing, a_drawing_program_that_hangs_is_ended_at_the_time_limit) {
    const fs::path begun = folder_.path() / "begun";
    const fs::path program = stand_in("trap '' TERM; touch '" + begun.string() + "'; while :; do sleep 600; done");
    for (std::chrono::seconds limit{2}; !fs::exists(begun) && limit.count() <= 64; limit *= 2) EXPECT_TRUE(app::SceneDrawing(plain_scenes(), program, limit).pictures().empty());
    EXPECT_TRUE(fs::exists(begun));
}

TEST_F(SceneDrawing, where_nothing_can_be_written_there_is_no_picture) {
    std::signal(SIGXFSZ, SIG_IGN);   // as the program does
    struct rlimit before {};
    ASSERT_EQ(::getrlimit(RLIMIT_FSIZE, &before), 0);
    const struct rlimit none{0, before.rlim_max};
    ASSERT_EQ(::setrlimit(RLIMIT_FSIZE, &none), 0);
    const bool empty = drawn(plain_scenes()).empty();
    ::setrlimit(RLIMIT_FSIZE, &before);
    EXPECT_TRUE(empty);
}

}  // namespace perisclera::test
