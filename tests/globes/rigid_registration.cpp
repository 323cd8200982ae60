// SPDX-License-Identifier: Apache-2.0
#include "rigid_registration.h"

#include <algorithm>

#include <itkCenteredTransformInitializer.h>
#include <itkImage.h>
#include <itkImageRegistrationMethodv4.h>
#include <itkMattesMutualInformationImageToImageMetricv4.h>
#include <itkMultiThreaderBase.h>
#include <itkRegistrationParameterScalesFromPhysicalShift.h>
#include <itkRegularStepGradientDescentOptimizerv4.h>
#include <itkVersorRigid3DTransform.h>

namespace perisclera::globes {

namespace {

using Image = itk::Image<float, 3>;
using Transform = itk::VersorRigid3DTransform<double>;
using Metric = itk::MattesMutualInformationImageToImageMetricv4<Image, Image>;
using Optimizer = itk::RegularStepGradientDescentOptimizerv4<double>;
using Registration = itk::ImageRegistrationMethodv4<Image, Image, Transform>;
using Scales = itk::RegistrationParameterScalesFromPhysicalShift<Metric>;

/// Both have patient coordinates in the DICOM sense.
Image::Pointer itk_image(const VoxelGrid& grid) {
    const VolumeGeometry& g = grid.geometry();
    const auto image = Image::New();
    Image::SizeType size;
    Image::SpacingType spacing;
    Image::PointType origin;
    Image::DirectionType direction;
    const std::array<PatientVector, 3> axes{g.row(), g.column(), unit(g.slice_step())};
    for (unsigned a = 0; a < 3; ++a) {
        size[a] = static_cast<Image::SizeValueType>(g.size()[a]);
        spacing[a] = g.spacing_mm()[a];
        direction(0, a) = axes[a].x, direction(1, a) = axes[a].y, direction(2, a) = axes[a].z;
    }
    origin[0] = g.origin().x, origin[1] = g.origin().y, origin[2] = g.origin().z;
    image->SetRegions(size);
    image->SetSpacing(spacing);
    image->SetOrigin(origin);
    image->SetDirection(direction);
    image->Allocate();
    std::copy(grid.values().begin(), grid.values().end(), image->GetBufferPointer());
    return image;
}

}  // namespace

std::optional<Mapping> rigid_registration(const VoxelGrid& first, const VoxelGrid& second) try {
    itk::MultiThreaderBase::SetGlobalMaximumNumberOfThreads(1);
    const Image::Pointer fixed = itk_image(first), moving = itk_image(second);

    const auto transform = Transform::New();
    const auto initializer = itk::CenteredTransformInitializer<Transform, Image, Image>::New();
    initializer->SetTransform(transform);
    initializer->SetFixedImage(fixed);
    initializer->SetMovingImage(moving);
    initializer->GeometryOn();
    initializer->InitializeTransform();

    const auto metric = Metric::New();
    metric->SetNumberOfHistogramBins(50);
    metric->SetUseMovingImageGradientFilter(false);
    metric->SetUseFixedImageGradientFilter(false);

    const auto scales = Scales::New();
    scales->SetMetric(metric);
    const auto optimizer = Optimizer::New();
    optimizer->SetScalesEstimator(scales);
    optimizer->SetLearningRate(1.0);
    optimizer->SetMinimumStepLength(1e-3);
    optimizer->SetNumberOfIterations(200);
    optimizer->SetReturnBestParametersAndValue(true);

    constexpr unsigned levels = 3;
    Registration::ShrinkFactorsArrayType shrink(levels);
    Registration::SmoothingSigmasArrayType smoothing(levels);
    shrink[0] = 4, shrink[1] = 2, shrink[2] = 1;
    smoothing[0] = 2, smoothing[1] = 1, smoothing[2] = 0;
    const auto registration = Registration::New();
    registration->SetFixedImage(fixed);
    registration->SetMovingImage(moving);
    registration->SetMetric(metric);
    registration->SetOptimizer(optimizer);
    registration->SetNumberOfLevels(levels);
    registration->SetShrinkFactorsPerLevel(shrink);
    registration->SetSmoothingSigmasPerLevel(smoothing);
    registration->SmoothingSigmasAreSpecifiedInPhysicalUnitsOn();
    registration->SetMetricSamplingStrategy(Registration::MetricSamplingStrategyEnum::RANDOM);
    registration->SetMetricSamplingPercentage(0.05);
    registration->MetricSamplingReinitializeSeed(1);
    registration->SetInitialTransform(transform);
    registration->InPlaceOn();
    registration->Update();

    return [transform](PatientPoint p) {
        Transform::InputPointType from;
        from[0] = p.x, from[1] = p.y, from[2] = p.z;
        const auto to = transform->TransformPoint(from);
        return PatientPoint{to[0], to[1], to[2]};
    };
} catch (const itk::ExceptionObject&) {
    return std::nullopt;
}

}  // namespace perisclera::globes
