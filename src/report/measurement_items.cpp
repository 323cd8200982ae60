// SPDX-License-Identifier: Apache-2.0
#include "src/report/measurement_items.h"

namespace perisclera::report {

void put_interval(ContentTree& tree, const Stated& number, const Code& unit, int decimals) {
    tree.number(Relation::properties, codes::lower_range, rounded(number.value - number.low, decimals), unit);
    tree.number(Relation::properties, codes::upper_range, rounded(number.high - number.value, decimals), unit);
}

void put_missing(ContentTree& tree, Relation relation, const Code& about, bool attempted, const std::string& why, const ContentTree::Children& more) {
    tree.no_number(relation, about, attempted ? codes::value_unknown : codes::measurement_not_attempted, [&] {
        if (more) more();
        tree.text(Relation::properties, own("Why there is no value"), why);
    });
}

}  // namespace perisclera::report
