// SPDX-License-Identifier: Apache-2.0
// A scene by VTK: looks, light and lines are those of src/report/page/scene.js, so that the still picture and the one that turns agree.
#include "render.h"

#include <cmath>

#include <vtkActor.h>
#include <vtkCamera.h>
#include <vtkCellArray.h>
#include <vtkFloatArray.h>
#include <vtkLight.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkOpenGLPolyDataMapper.h>
#include <vtkOpenGLVertexBufferObject.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>
#include <vtkProperty.h>
#include <vtkRenderWindow.h>
#include <vtkRenderer.h>
#include <vtkShaderProperty.h>
#include <vtkUnsignedCharArray.h>

namespace perisclera::renderer {

namespace {

/// Drawn this much larger each way and averaged: edges are smooth whether or not the driver can do it.
constexpr int finer = 2;

/// At each corner the mean of the triangles that meet there, each by its area.
vtkNew<vtkFloatArray> normals_of(const scene::Surface& surface) {
    std::vector<std::array<double, 3>> sums(surface.corners.size(), {0.0, 0.0, 0.0});
    for (const auto& t : surface.triangles) {
        double u[3], v[3];
        for (std::size_t k = 0; k < 3; ++k) {
            u[k] = static_cast<double>(surface.corners[t[1]][k] - surface.corners[t[0]][k]);
            v[k] = static_cast<double>(surface.corners[t[2]][k] - surface.corners[t[0]][k]);
        }
        const double n[3]{u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]};
        for (const std::uint32_t corner : t)
            for (std::size_t k = 0; k < 3; ++k) sums[corner][k] += n[k];
    }
    vtkNew<vtkFloatArray> out;
    out->SetNumberOfComponents(3);
    for (const auto& n : sums) {
        const double length = std::sqrt(n[0] * n[0] + n[1] * n[1] + n[2] * n[2]), scale = length > 0.0 ? 1.0 / length : 0.0;
        out->InsertNextTuple3(n[0] * scale, n[1] * scale, n[2] * scale);
    }
    return out;
}

/// Darker where a place on the surface lies beside a line of the dial or the equator.
void rule(vtkActor& actor) {
    vtkShaderProperty& shader = *actor.GetShaderProperty();
    shader.AddVertexShaderReplacement("//VTK::Normal::Dec", true, "//VTK::Normal::Dec\nout vec3 placeVSOutput;\n", false);
    shader.AddVertexShaderReplacement("//VTK::Normal::Impl", true, "//VTK::Normal::Impl\nplaceVSOutput = vertexMC.xyz;\n", false);
    shader.AddFragmentShaderReplacement("//VTK::Normal::Dec", true, "//VTK::Normal::Dec\nin vec3 placeVSOutput;\n", false);
    shader.AddFragmentShaderReplacement("//VTK::Light::Impl", true,
                                        "//VTK::Light::Impl\n"
                                        "vec3 p = placeVSOutput;\n"
                                        "float hour = atan(p.x, p.y) * 6.0 / 3.14159265, off = abs(hour - floor(hour + 0.5)) * 3.14159265 / 6.0 * length(p.xy);\n"
                                        "if (off < 0.09 || abs(p.z) < 0.16) fragOutput0.rgb *= 0.55;\n",
                                        false);
}

vtkNew<vtkActor> actor_of(const scene::Surface& surface) {
    vtkNew<vtkPoints> points;
    for (const auto& c : surface.corners) points->InsertNextPoint(c.data());
    vtkNew<vtkCellArray> triangles;
    for (const auto& t : surface.triangles) {
        const vtkIdType corners[3]{t[0], t[1], t[2]};
        triangles->InsertNextCell(3, corners);
    }
    vtkNew<vtkPolyData> data;
    data->SetPoints(points);
    data->SetPolys(triangles);
    data->GetPointData()->SetNormals(normals_of(surface));
    vtkNew<vtkOpenGLPolyDataMapper> mapper;
    mapper->SetInputData(data);
    mapper->SetVBOShiftScaleMethod(vtkOpenGLVertexBufferObject::DISABLE_SHIFT_SCALE);   // else the shader below would see corners moved and scaled
    vtkNew<vtkActor> actor;
    actor->SetMapper(mapper);
    vtkProperty& look = *actor->GetProperty();
    look.SetColor(surface.lightness, surface.lightness, surface.lightness);
    look.SetAmbient(0.3);
    look.SetDiffuse(0.7);
    look.SetSpecular(0.0);
    look.SetInterpolationToPhong();
    look.SetOpacity(surface.opacity);
    look.BackfaceCullingOn();
    if (surface.ruled) rule(*actor);
    return actor;
}

/// The mean of each block of pixels; the library's rows run upwards.
scene::GreyPicture averaged(vtkUnsignedCharArray& rgb, int pixels) {
    scene::GreyPicture picture{pixels, pixels, {}};
    for (int y = 0; y < pixels; ++y)
        for (int x = 0; x < pixels; ++x) {
            int sum = 0;
            for (int j = 0; j < finer; ++j)
                for (int i = 0; i < finer; ++i) {
                    const vtkIdType row = finer * (pixels - 1 - y) + j, column = finer * x + i;
                    sum += rgb.GetValue(3 * (row * finer * pixels + column));
                }
            picture.bytes.push_back(static_cast<std::uint8_t>((sum + finer * finer / 2) / (finer * finer)));
        }
    return picture;
}

void look_from(vtkRenderer& renderer, const scene::Scene& scene) {
    vtkCamera& camera = *renderer.GetActiveCamera();
    const double far_off = 20.0 * scene.half_width / std::hypot(scene.towards[0], scene.towards[1], scene.towards[2]);
    camera.ParallelProjectionOn();
    camera.SetParallelScale(scene.half_width);
    camera.SetFocalPoint(0.0, 0.0, 0.0);
    camera.SetPosition(far_off * scene.towards[0], far_off * scene.towards[1], far_off * scene.towards[2]);
    camera.SetViewUp(0.0, 1.0, 0.0);
    renderer.ResetCameraClippingRange();
}

}  // namespace

std::vector<scene::GreyPicture> render(const std::vector<scene::Scene>& scenes) {
    // One window for all: opening it and compiling for it takes longer than drawing.
    vtkNew<vtkRenderWindow> window;
    window->SetOffScreenRendering(1);
    window->SetMultiSamples(0);
    std::vector<scene::GreyPicture> pictures;
    for (const scene::Scene& scene : scenes) {
        vtkNew<vtkRenderer> renderer;
        renderer->SetBackground(1.0, 1.0, 1.0);
        renderer->AutomaticLightCreationOff();
        vtkNew<vtkLight> light;
        light->SetLightTypeToHeadlight();
        renderer->AddLight(light);
        for (const scene::Surface& surface : scene.surfaces) renderer->AddActor(actor_of(surface));
        look_from(*renderer, scene);
        const int size = finer * scene.pixels;
        window->SetSize(size, size);
        window->AddRenderer(renderer);
        window->Render();
        vtkNew<vtkUnsignedCharArray> rgb;
        window->GetPixelData(0, 0, size - 1, size - 1, 0, rgb);
        pictures.push_back(averaged(*rgb, scene.pixels));
        window->RemoveRenderer(renderer);
    }
    return pictures;
}

}  // namespace perisclera::renderer
