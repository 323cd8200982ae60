// SPDX-License-Identifier: Apache-2.0
#include "perisclera/segmentation/voxel_pieces.h"

#include <itkConnectedComponentImageFilter.h>
#include <itkRelabelComponentImageFilter.h>

#include <algorithm>
#include <cstdint>

namespace perisclera {

VoxelMask pieces_of_at_least(std::size_t least, const VoxelMask& mask) {
    VoxelMask large = mask;
    if (mask.count() == 0) return large;
    using Filled = itk::Image<std::uint8_t, 3>;
    using Labels = itk::Image<std::uint32_t, 3>;
    Filled::SizeType size;
    for (unsigned k = 0; k < 3; ++k) size[k] = static_cast<itk::SizeValueType>(mask.size[k]);
    const auto filled = Filled::New();
    filled->SetRegions(size);
    filled->Allocate();
    std::copy(mask.filled.begin(), mask.filled.end(), filled->GetBufferPointer());
    const auto pieces = itk::ConnectedComponentImageFilter<Filled, Labels>::New();
    pieces->SetInput(filled);
    pieces->SetNumberOfWorkUnits(1);
    const auto kept = itk::RelabelComponentImageFilter<Labels, Labels>::New();
    kept->SetInput(pieces->GetOutput());
    kept->SetMinimumObjectSize(least);
    kept->SetNumberOfWorkUnits(1);
    kept->Update();
    const auto* label = kept->GetOutput()->GetBufferPointer();
    std::transform(label, label + large.filled.size(), large.filled.begin(), [](std::uint32_t piece) { return static_cast<std::uint8_t>(piece != 0); });
    return large;
}

}  // namespace perisclera
