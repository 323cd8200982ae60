// SPDX-License-Identifier: Apache-2.0
#include "table_rows.h"

#include <cstdlib>
#include <map>

#include <nlohmann/json.hpp>

namespace perisclera {

namespace {

struct Table {
    std::string version;
    std::map<std::string, Expected, std::less<>> rows;
    std::map<std::string, Curve, std::less<>> curves;
};

const Table& table() {
    static const Table read = [] {
        const auto file = nlohmann::json::parse(materials_file());
        Table out{file["version"].get<std::string>(), {}, {}};
        for (const auto& r : file["rows"]) {
            const auto id = r["id"].get<std::string>();
            if (r.contains("points"))
                out.curves[id] = r["points"].get<Curve>();
            else
                out.rows[id] = {r["mean"].get<double>(), r["spread"].get<double>()};
        }
        return out;
    }();
    return read;
}

template <class Map>
const auto& found(const Map& map, std::string_view id) {
    const auto it = map.find(id);
    if (it == map.end()) std::abort();
    return it->second;
}

}  // namespace

Expected row(std::string_view id) { return found(table().rows, id); }
const Curve& curve(std::string_view id) { return found(table().curves, id); }
std::string_view table_version() { return table().version; }

double interpolated(const Curve& points, double x) {
    if (x <= points.front()[0]) return points.front()[1];
    for (std::size_t k = 1; k < points.size(); ++k)
        if (x <= points[k][0]) return points[k - 1][1] + (points[k][1] - points[k - 1][1]) * (x - points[k - 1][0]) / (points[k][0] - points[k - 1][0]);
    return points.back()[1];
}

}  // namespace perisclera
