// SPDX-License-Identifier: Apache-2.0
// What crosses between the program and the one that draws for it.
#include "perisclera/scene/scene.h"

#include <gtest/gtest.h>

#include <cmath>

namespace perisclera::scene {
namespace {

Scene one_triangle() {
    Scene scene{8, 10.0, {0.0, 0.0, 1.0}, {}};
    scene.surfaces.push_back({0.5, 0.72, true, {{0.1f, 0.0f, 0.0f}, {1.0f, 0.0f, 0.0f}, {0.0f, 1.0f, -3.25f}}, {{0, 1, 2}}});
    return scene;
}

TEST(SceneText, what_is_read_is_what_was_written) {
    const auto read = scenes_from_text(to_text({one_triangle(), one_triangle()}));
    ASSERT_TRUE(read);
    ASSERT_EQ(read->size(), 2u);
    const Scene before = one_triangle(), &after = read->back();
    EXPECT_EQ(after.pixels, before.pixels);
    EXPECT_EQ(after.half_width, before.half_width);
    EXPECT_EQ(after.towards, before.towards);
    ASSERT_EQ(after.surfaces.size(), 1u);
    EXPECT_EQ(after.surfaces[0].lightness, 0.5);
    EXPECT_EQ(after.surfaces[0].opacity, 0.72);
    EXPECT_TRUE(after.surfaces[0].ruled);
    EXPECT_EQ(after.surfaces[0].corners, before.surfaces[0].corners);
    EXPECT_EQ(after.surfaces[0].triangles, before.surfaces[0].triangles);
}

TEST(SceneText, a_text_cut_short_anywhere_is_refused) {
    std::string text = to_text({one_triangle()});
    while (text.ends_with(' ') || text.ends_with('\n')) text.pop_back();
    ASSERT_TRUE(scenes_from_text(text));
    for (std::size_t length = 0; length < text.size(); ++length) {
        const auto read = scenes_from_text(std::string_view(text).substr(0, length));
        // Digits may be lacking from the last number alone, which here has one.
        EXPECT_FALSE(read) << length;
    }
}

TEST(SceneText, what_does_not_fit_is_refused) {
    const std::string text = to_text({one_triangle()});
    const auto with = [&](std::string_view old, std::string_view changed) {
        std::string other = text;
        const auto at = other.find(old);
        EXPECT_NE(at, std::string::npos) << old;
        return other.replace(at, old.size(), changed);
    };
    EXPECT_FALSE(scenes_from_text(text + "7"));
    EXPECT_FALSE(scenes_from_text(with("0 1 2", "0 1 3"))) << "a corner that is not there";
    EXPECT_FALSE(scenes_from_text(with("-3.25", "nan")));
    EXPECT_FALSE(scenes_from_text(with("-3.25", "-3.25x")));
    EXPECT_FALSE(scenes_from_text(with("pixels 8", "pixels 0")));
    EXPECT_FALSE(scenes_from_text(with("pixels 8", "pixels 1000000")));
    EXPECT_FALSE(scenes_from_text(with("corners 3", "corners 99999999999"))) << "more than can be";
    EXPECT_FALSE(scenes_from_text(with("towards 0 0 1", "towards 0 1 0"))) << "y would be upright nowhere";
}

// Closed form: turning the eye about the upright by the viewer's longitude and then about the level line by its latitude brings the
// viewer's direction to the front.
TEST(OnPicture, a_place_lies_where_two_turns_bring_it) {
    const double longitude = 0.7, latitude = -0.4;
    const Scene scene{640, 16.0, {5.0 * std::cos(latitude) * std::sin(longitude), 5.0 * std::sin(latitude), 5.0 * std::cos(latitude) * std::cos(longitude)}, {}};
    for (const Place& p : {Place{1, 0, 0}, Place{0, 1, 0}, Place{0, 0, 1}, Place{-3, 7, 11}}) {
        const double x = std::cos(longitude) * p[0] - std::sin(longitude) * p[2], level = std::sin(longitude) * p[0] + std::cos(longitude) * p[2];
        const double y = std::cos(latitude) * p[1] - std::sin(latitude) * level, z = std::sin(latitude) * p[1] + std::cos(latitude) * level;
        const OnPicture at = on_picture(scene, p);
        EXPECT_NEAR(at.x, 320.0 + 20.0 * x, 1e-9);   // 640 pixels over 32 mm
        EXPECT_NEAR(at.y, 320.0 - 20.0 * y, 1e-9);
        EXPECT_NEAR(at.nearer, z, 1e-9);
    }
}

TEST(Graymaps, only_as_many_pictures_of_the_size_asked_for_are_let_in) {
    const std::vector<Scene> scenes{{2, 1.0, {0, 0, 1}, {}}, {3, 1.0, {0, 0, 1}, {}}};
    const std::vector<GreyPicture> pictures{{2, 2, {1, 2, 3, 4}}, {3, 3, {0, 0, 0, 0, 255, 0, 0, 0, 0}}};
    const std::string bytes = to_graymaps(pictures);
    EXPECT_TRUE(bytes.starts_with(std::string("P5\n2 2\n255\n\1\2\3\4", 15)));   // Netpbm's description of the format
    const auto read = graymaps_of(scenes, bytes);
    ASSERT_TRUE(read);
    EXPECT_EQ((*read)[0].bytes, pictures[0].bytes);
    EXPECT_EQ((*read)[1].bytes, pictures[1].bytes);
    for (std::size_t length = 0; length < bytes.size(); ++length) EXPECT_FALSE(graymaps_of(scenes, std::string_view(bytes).substr(0, length))) << length;
    EXPECT_FALSE(graymaps_of(scenes, bytes + "x"));
    EXPECT_FALSE(graymaps_of({scenes[0]}, bytes));
    EXPECT_FALSE(graymaps_of({scenes[0]}, to_graymaps({{2, 2, {9, 9, 9, 9}}}))) << "a blank picture";
    EXPECT_FALSE(graymaps_of({scenes[0]}, "Segmentation fault"));
}

}  // namespace
}  // namespace perisclera::scene
