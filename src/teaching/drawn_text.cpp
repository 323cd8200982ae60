// SPDX-License-Identifier: Apache-2.0
#include "perisclera/teaching/drawn_text.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <vector>

#include "perisclera/core/shared_work.h"

namespace perisclera::teaching {

namespace {

/// One slice, row by row.
struct Picture {
    int width, height;
    const float* values;
    [[nodiscard]] int size() const { return width * height; }
};

// How many letters make a row. In 2,300 slices of heads without any text the longest chance rows had 5 of one value, 3 bright and 4 dark ones.
constexpr std::size_t flat_letters = 7, bright_letters = 5, dark_letters = 6, repeated_letters = 3;
constexpr int smallest_height = 5, greatest_height = 64;    // of a letter, pixels
constexpr int widest_stroke = 8;                            // pixels; thicker is no stroke
constexpr float contrast = 0.15f, one_colour = 0.02f;       // shares of the range of the series
constexpr int widest_gap = 2;                               // between letters, in heights: room for marks that stand off the base line
constexpr int shortest_line = 24, fewest_slices = 5;

/// Pixels that hang together.
struct Mark {
    int left, right, top, bottom;  ///< inclusive
    int pixels;
    float colour;
    [[nodiscard]] int wide() const { return right - left + 1; }
    [[nodiscard]] int high() const { return bottom - top + 1; }
};

bool may_be_letter(const Mark& m) {
    if (m.high() < smallest_height || m.high() > greatest_height || m.wide() > 2 * m.high() || m.pixels < m.high()) return false;
    const bool filled = 10 * m.pixels > 8 * m.wide() * m.high(), upright = m.wide() <= std::max(3, m.high() / 3);
    return upright || !filled;
}

/// What is drawn, joined over the eight neighbours where `same` says so. `colour(a, b)`: of two pixels' values that of the stroke.
template <class Drawn, class Same, class Colour>
std::vector<Mark> letters(const Picture& p, Drawn drawn, Same same, Colour colour) {
    std::vector<char> seen(static_cast<std::size_t>(p.size()), 0);
    std::vector<Mark> found;
    std::vector<int> members;
    for (int start = 0; start < p.size(); ++start) {
        if (seen[static_cast<std::size_t>(start)] != 0 || !drawn(start)) continue;
        seen[static_cast<std::size_t>(start)] = 1;
        members.assign(1, start);
        Mark mark{p.width, -1, p.height, -1, 0, p.values[start]};
        for (std::size_t k = 0; k < members.size(); ++k) {
            const int at = members[k], x = at % p.width, y = at / p.width;
            mark.left = std::min(mark.left, x), mark.right = std::max(mark.right, x);
            mark.top = std::min(mark.top, y), mark.bottom = std::max(mark.bottom, y);
            mark.colour = colour(mark.colour, p.values[at]);
            for (int v = std::max(0, y - 1); v <= std::min(p.height - 1, y + 1); ++v)
                for (int u = std::max(0, x - 1); u <= std::min(p.width - 1, x + 1); ++u) {
                    const int next = v * p.width + u;
                    if (seen[static_cast<std::size_t>(next)] != 0 || !drawn(next) || !same(at, next)) continue;
                    seen[static_cast<std::size_t>(next)] = 1;
                    members.push_back(next);
                }
        }
        mark.pixels = static_cast<int>(members.size());
        if (may_be_letter(mark)) found.push_back(mark);
    }
    return found;
}

/// On one base line, of like height, each near the one before, and of one colour.
bool stand_in_a_row(std::vector<Mark> marks, float spread, std::size_t wanted) {
    std::sort(marks.begin(), marks.end(), [](const Mark& a, const Mark& b) { return a.left != b.left ? a.left < b.left : a.top < b.top; });
    for (std::size_t first = 0; first < marks.size(); ++first) {
        const Mark& seed = marks[first];
        Mark last = seed;
        std::size_t count = 1;
        for (std::size_t k = first + 1; k < marks.size() && marks[k].left <= last.right + widest_gap * seed.high(); ++k) {
            const Mark& m = marks[k];
            const bool level = std::abs(m.bottom - seed.bottom) <= std::max(1, seed.high() / 10), alike = 10 * m.high() >= 6 * seed.high() && 10 * m.high() <= 13 * seed.high();
            if (m.left <= last.right || !level || !alike || std::abs(m.colour - seed.colour) > spread) continue;
            last = m;
            ++count;
        }
        if (count >= wanted) return true;
    }
    return false;
}

/// Each value replaced by the least, or greatest, of its neighbourhood along lines of pixels `step` apart.
template <class Better>
void spread_along(std::vector<float>& values, int count, int step, int lines, int line_step, Better better) {
    constexpr int reach = widest_stroke / 2;  // nine pixels with the one in the middle
    std::vector<float> line(static_cast<std::size_t>(count + 2 * reach));
    for (int l = 0; l < lines; ++l) {
        const auto at = [&](int i) -> float& { return values[static_cast<std::size_t>(l * line_step + i * step)]; };
        for (int i = -reach; i < count + reach; ++i) line[static_cast<std::size_t>(i + reach)] = at(std::clamp(i, 0, count - 1));
        // From each place on the best of two, of four, of eight, of nine.
        for (const std::size_t further : {1u, 2u, 4u, 1u})
            for (std::size_t i = 0; i + further < line.size(); ++i) line[i] = better(line[i], line[i + further]);
        for (int i = 0; i < count; ++i) at(i) = line[static_cast<std::size_t>(i)];
    }
}

constexpr auto lesser = [](float a, float b) { return std::min(a, b); };
constexpr auto greater = [](float a, float b) { return std::max(a, b); };

/// What the picture is without its strokes: bright ones eroded and grown again (first lesser, then greater), dark ones the other way.
template <class First, class Second>
std::vector<float> without_strokes(const Picture& p, First first, Second second) {
    std::vector<float> v(p.values, p.values + p.size());
    spread_along(v, p.width, 1, p.height, p.width, first), spread_along(v, p.height, p.width, p.width, 1, first);
    spread_along(v, p.width, 1, p.height, p.width, second), spread_along(v, p.height, p.width, p.width, 1, second);
    return v;
}

bool holds_writing(const Picture& p, float range) {
    const auto always = [](int, int) { return true; };
    const auto first = [](float a, float) { return a; };
    if (stand_in_a_row(letters(p, [](int) { return true; }, [&](int a, int b) { return p.values[a] == p.values[b]; }, first), 0.0f, flat_letters)) return true;
    const std::vector<float> below = without_strokes(p, lesser, greater);
    const auto bright = [&](int i) { return p.values[i] - below[static_cast<std::size_t>(i)] > contrast * range; };
    if (stand_in_a_row(letters(p, bright, always, greater), one_colour * range, bright_letters)) return true;
    const std::vector<float> above = without_strokes(p, greater, lesser);
    const auto dark = [&](int i) { return above[static_cast<std::size_t>(i)] - p.values[i] > contrast * range; };
    return stand_in_a_row(letters(p, dark, always, lesser), one_colour * range, dark_letters);
}

/// A straight run of one value along the rows or columns, no thicker than three pixels, that stands out on both sides alike.
bool holds_line(const Picture& p, float range) {
    const auto along = [&](int count, int step, int lines, int line_step) {
        for (int l = 3; l + 3 < lines; ++l)
            for (int i = 0, start = 0, out = 0; i < count; ++i) {
                const float* const at = p.values + l * line_step + i * step;
                if (i == 0 || *at != *(at - step)) start = i, out = 0;
                const float one = *at - *(at - 3 * line_step), other = *at - *(at + 3 * line_step);
                out += std::min(std::abs(one), std::abs(other)) > contrast * range && (one > 0) == (other > 0);
                const int length = i - start + 1;
                if (length >= shortest_line && 10 * out >= 9 * length) return true;
            }
        return false;
    };
    return along(p.width, 1, p.height, p.width) || along(p.height, p.width, p.width, 1);
}

float range_of(const std::vector<float>& values) {
    constexpr std::size_t apart = 17;
    constexpr double tail = 0.005;
    std::vector<float> some;
    for (std::size_t i = 0; i < values.size(); i += apart) some.push_back(values[i]);
    std::sort(some.begin(), some.end());
    const auto at = [&](double share) { return some[static_cast<std::size_t>(share * static_cast<double>(some.size() - 1))]; };
    return at(1.0 - tail) - at(tail);
}

/// Letters of one value that every slice has at the same place.
bool repeats_writing(const VoxelGrid& grid, const Picture& first) {
    const int slices = grid.geometry().size()[2];
    if (slices < fewest_slices) return false;
    std::vector<char> same(static_cast<std::size_t>(first.size()), 1);
    for (int z = 1; z < slices; ++z)
        for (int i = 0; i < first.size(); ++i)
            if (first.values[i] != first.values[i + z * first.size()]) same[static_cast<std::size_t>(i)] = 0;
    const auto marks = letters(first, [&](int i) { return same[static_cast<std::size_t>(i)] != 0; }, [&](int a, int b) { return first.values[a] == first.values[b]; },
                               [](float a, float) { return a; });
    return stand_in_a_row(marks, 0.0f, repeated_letters);
}

}  // namespace

std::optional<int> drawn_slice(const VoxelGrid& grid, int threads) {
    const auto n = grid.geometry().size();
    const auto picture = [&](int z) { return Picture{n[0], n[1], grid.values().data() + grid.offset(0, 0, z)}; };
    if (repeats_writing(grid, picture(0))) return 0;
    const float range = range_of(grid.values());
    if (!(range > 0.0f)) return std::nullopt;
    std::vector<char> drawn(static_cast<std::size_t>(n[2]), 0);
    share_tasks(threads, drawn.size(), [&](std::size_t k) {
        const int z = static_cast<int>(k);
        drawn[k] = holds_line(picture(z), range) || holds_writing(picture(z), range);
    });
    const auto found = std::find(drawn.begin(), drawn.end(), 1);
    return found == drawn.end() ? std::nullopt : std::optional(static_cast<int>(found - drawn.begin()));
}

}  // namespace perisclera::teaching
