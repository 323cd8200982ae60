// SPDX-License-Identifier: Apache-2.0
// Scenes as text: words and numbers parted by white space, in the order
//   scenes COUNT, then for each: pixels N  half_width MM  towards X Y Z  surfaces COUNT, then for each:
//   lightness L  opacity O  ruled 0|1  corners COUNT, X Y Z for each  triangles COUNT, three corner numbers from 0 for each.
#include <algorithm>
#include <charconv>
#include <cmath>

#include "perisclera/scene/scene.h"

namespace perisclera::scene {

namespace {

constexpr std::size_t most_scenes = 16, most_surfaces = 64, most_of_a_surface = 4'000'000;
constexpr int most_pixels = 4096;

class Writer {
public:
    void word(std::string_view text) { (out_ += text) += ' '; }
    template <class Number>
    void number(Number value) {
        char digits[40];
        out_.append(digits, std::to_chars(digits, digits + sizeof digits, value).ptr) += ' ';
    }
    template <class Numbers>
    void numbers(const Numbers& values) {
        for (const auto value : values) number(value);
        out_.back() = '\n';
    }
    [[nodiscard]] const std::string& text() const { return out_; }

private:
    std::string out_;
};

/// Once something did not fit, everything after counts as unfit.
class Reader {
public:
    explicit Reader(std::string_view text) : rest_(text) {}

    void word(std::string_view expected) { fits_ = next() == expected && fits_; }
    template <class Number>
    Number number(Number least, Number most) {
        Number value = least;
        const std::string_view digits = next();
        const auto read = std::from_chars(digits.data(), digits.data() + digits.size(), value);
        fits_ = fits_ && read.ec == std::errc{} && read.ptr == digits.data() + digits.size() && value >= least && value <= most;
        return fits_ ? value : least;
    }
    std::size_t count(std::string_view of, std::size_t most) {
        word(of);
        return number<std::size_t>(0, most);
    }
    [[nodiscard]] bool fits() const { return fits_; }
    bool at_end() { return next().empty(); }

private:
    std::string_view next() {
        constexpr std::string_view white = " \n";
        rest_.remove_prefix(std::min(rest_.find_first_not_of(white), rest_.size()));
        const std::string_view found = rest_.substr(0, rest_.find_first_of(white));
        rest_.remove_prefix(found.size());
        return found;
    }
    std::string_view rest_;
    bool fits_ = true;
};

Surface surface_from(Reader& in) {
    constexpr float farthest = 1000.0f;   // mm
    Surface surface{};
    in.word("lightness");
    surface.lightness = in.number(0.0, 1.0);
    in.word("opacity");
    surface.opacity = in.number(0.0, 1.0);
    in.word("ruled");
    surface.ruled = in.number(0, 1) == 1;
    const std::size_t corners = in.count("corners", most_of_a_surface);
    for (std::size_t k = 0; k < corners && in.fits(); ++k) {
        surface.corners.emplace_back();
        for (float& v : surface.corners.back()) v = in.number(-farthest, farthest);
    }
    const std::size_t triangles = in.count("triangles", corners == 0 ? 0 : most_of_a_surface);
    for (std::size_t k = 0; k < triangles && in.fits(); ++k) {
        surface.triangles.emplace_back();
        for (std::uint32_t& v : surface.triangles.back()) v = in.number<std::uint32_t>(0, static_cast<std::uint32_t>(corners - 1));
    }
    return surface;
}

Scene scene_from(Reader& in) {
    Scene scene{};
    in.word("pixels");
    scene.pixels = in.number(1, most_pixels);
    in.word("half_width");
    scene.half_width = in.number(0.1, 1000.0);
    in.word("towards");
    for (double& v : scene.towards) v = in.number(-1000.0, 1000.0);
    const std::size_t surfaces = in.count("surfaces", most_surfaces);
    for (std::size_t k = 0; k < surfaces && in.fits(); ++k) scene.surfaces.push_back(surface_from(in));
    return scene;
}

}  // namespace

std::string to_text(const std::vector<Scene>& scenes) {
    Writer out;
    out.word("scenes");
    out.number(scenes.size());
    for (const Scene& scene : scenes) {
        out.word("\npixels");
        out.number(scene.pixels);
        out.word("half_width");
        out.number(scene.half_width);
        out.word("towards");
        out.numbers(scene.towards);
        out.word("surfaces");
        out.number(scene.surfaces.size());
        for (const Surface& surface : scene.surfaces) {
            out.word("\nlightness");
            out.number(surface.lightness);
            out.word("opacity");
            out.number(surface.opacity);
            out.word("ruled");
            out.number(surface.ruled ? 1 : 0);
            out.word("corners");
            out.number(surface.corners.size());
            for (const auto& corner : surface.corners) out.numbers(corner);
            out.word("triangles");
            out.number(surface.triangles.size());
            for (const auto& triangle : surface.triangles) out.numbers(triangle);
        }
    }
    return out.text();
}

std::optional<std::vector<Scene>> scenes_from_text(std::string_view text) {
    Reader in(text);
    std::vector<Scene> scenes;
    const std::size_t count = in.count("scenes", most_scenes);
    for (std::size_t k = 0; k < count && in.fits(); ++k) {
        scenes.push_back(scene_from(in));
        if (std::hypot(scenes.back().towards[0], scenes.back().towards[2]) < 1e-6) return std::nullopt;
    }
    if (!in.at_end() || !in.fits()) return std::nullopt;
    return scenes;
}

}  // namespace perisclera::scene
