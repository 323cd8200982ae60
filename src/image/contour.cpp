// SPDX-License-Identifier: Apache-2.0
#include "perisclera/image/contour.h"

#include <algorithm>
#include <cassert>

#include <vtkCellArray.h>
#include <vtkFloatArray.h>
#include <vtkFlyingEdges2D.h>
#include <vtkIdList.h>
#include <vtkImageData.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkPolyData.h>
#include <vtkStripper.h>

namespace perisclera {

std::vector<Contour> contours(const std::vector<float>& values, std::size_t width, std::size_t height, double level) {
    assert(values.size() == width * height);
    vtkNew<vtkImageData> picture;
    picture->SetDimensions(static_cast<int>(width), static_cast<int>(height), 1);
    picture->AllocateScalars(VTK_FLOAT, 1);
    std::copy(values.begin(), values.end(), static_cast<float*>(picture->GetScalarPointer()));
    vtkNew<vtkFlyingEdges2D> edges;
    edges->SetInputData(picture);
    edges->SetValue(0, level);
    vtkNew<vtkStripper> strips;
    strips->SetInputConnection(edges->GetOutputPort());
    strips->JoinContiguousSegmentsOn();
    strips->Update();
    std::vector<Contour> lines;
    vtkPolyData* result = strips->GetOutput();
    vtkNew<vtkIdList> ids;
    vtkCellArray* cells = result->GetLines();
    for (cells->InitTraversal(); cells->GetNextCell(ids) != 0;) {
        Contour line;
        for (vtkIdType k = 0; k < ids->GetNumberOfIds(); ++k) {
            double p[3];
            result->GetPoint(ids->GetId(k), p);
            line.push_back({p[0], p[1]});
        }
        lines.push_back(std::move(line));
    }
    return lines;
}

}  // namespace perisclera
