// SPDX-License-Identifier: Apache-2.0
#pragma once
// How an image was acquired, as far as this program reads images.

namespace perisclera {

enum class Modality { ct, mr };

}  // namespace perisclera
