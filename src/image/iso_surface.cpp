// SPDX-License-Identifier: Apache-2.0
#include "perisclera/image/iso_surface.h"

#include <algorithm>
#include <cassert>

#include <vtkCellArray.h>
#include <vtkFlyingEdges3D.h>
#include <vtkIdList.h>
#include <vtkImageData.h>
#include <vtkNew.h>
#include <vtkPolyData.h>

namespace perisclera {

IsoSurface iso_surface(const std::vector<float>& values, std::array<std::size_t, 3> size, double level) {
    assert(values.size() == size[0] * size[1] * size[2]);
    vtkNew<vtkImageData> block;
    block->SetDimensions(static_cast<int>(size[0]), static_cast<int>(size[1]), static_cast<int>(size[2]));
    block->AllocateScalars(VTK_FLOAT, 1);
    std::copy(values.begin(), values.end(), static_cast<float*>(block->GetScalarPointer()));
    vtkNew<vtkFlyingEdges3D> edges;
    edges->SetInputData(block);
    edges->SetValue(0, level);
    edges->ComputeNormalsOff();
    edges->ComputeGradientsOff();
    edges->ComputeScalarsOff();
    edges->Update();
    vtkPolyData* found = edges->GetOutput();
    IsoSurface surface;
    for (vtkIdType k = 0; k < found->GetNumberOfPoints(); ++k) {
        std::array<double, 3> p{};
        found->GetPoint(k, p.data());
        surface.corners.push_back(p);
    }
    vtkNew<vtkIdList> ids;
    vtkCellArray* cells = found->GetPolys();
    for (cells->InitTraversal(); cells->GetNextCell(ids) != 0;) {
        const auto corner = [&](vtkIdType k) { return static_cast<std::uint32_t>(ids->GetId(k)); };
        surface.triangles.push_back({corner(0), corner(1), corner(2)});
    }
    return surface;
}

}  // namespace perisclera
