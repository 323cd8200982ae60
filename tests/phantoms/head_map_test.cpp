// SPDX-License-Identifier: Apache-2.0
// A map of a head against the head itself, which knows of no cubes.
#include <gtest/gtest.h>

#include <random>

#include "phantoms/drawn_anatomy.h"
#include "phantoms/head_map.h"
#include "phantoms/interpolation.h"

namespace perisclera::phantoms {
namespace {

TEST(HeadMap, todo) {}

}  // namespace
}  // namespace perisclera::phantoms
