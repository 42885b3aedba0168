// From joined patches to something VTK draws; used by the pictures only.
#include "postprocess/pictures/surface_actor.hpp"
#include <algorithm>
#include <cmath>
#include <vtkActor.h>
#include <vtkCellArray.h>
#include <vtkCellData.h>
#include <vtkDoubleArray.h>
#include <vtkLookupTable.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>
#include <vtkPolyDataMapper.h>
#include <vtkPolyDataNormals.h>
#include <vtkProperty.h>
#include <vtkRenderer.h>
#include <vtkUnsignedCharArray.h>

namespace raybend {

namespace {

void fill(vtkPolyData *data, const PatchMesh &mesh) {
  vtkNew<vtkPoints> points;
  points->SetDataTypeToDouble();
  vtkNew<vtkDoubleArray> values;
  for (std::size_t i = 0; i < mesh.point.size(); ++i) {
    points->InsertNextPoint(mesh.point[i].data());
    values->InsertNextValue(mesh.value[i]);
  }
  vtkNew<vtkCellArray> cells;
  for (const auto &quad : mesh.quad) {
    vtkIdType corners[4];
    for (int k = 0; k < 4; ++k)
      corners[k] = static_cast<vtkIdType>(quad[k]);
    cells->InsertNextCell(4, corners);
  }
  data->SetPoints(points);
  data->SetPolys(cells);
  data->GetPointData()->SetScalars(values);
}

} // namespace

void add_surface(vtkRenderer *renderer, const PatchMesh &mesh, const ValueScale &scale, bool shaded) {
  vtkNew<vtkPolyData> data;
  fill(data, mesh);
  vtkNew<vtkPolyDataMapper> mapper;
  vtkNew<vtkActor> actor;
  vtkProperty *look = actor->GetProperty();
  if (shaded) {
    constexpr int steps = 256;
    vtkNew<vtkLookupTable> table;
    table->SetNumberOfTableValues(steps);
    table->SetTableRange(scale.low, scale.high);
    for (int i = 0; i < steps; ++i) {
      const Colour c = scale.colour(i / (steps - 1.0));
      table->SetTableValue(i, c.r / 255.0, c.g / 255.0, c.b / 255.0);
    }
    vtkNew<vtkPolyDataNormals> normals;
    normals->SetInputData(data);
    normals->SplittingOff();
    normals->ConsistencyOn();
    normals->Update();
    mapper->SetInputData(normals->GetOutput());
    mapper->SetLookupTable(table);
    mapper->UseLookupTableScalarRangeOn();
    mapper->InterpolateScalarsBeforeMappingOn();
    look->SetInterpolationToPhong();
    look->SetAmbient(0.35);
    look->SetDiffuse(0.7);
    look->SetSpecular(0.12);
    look->SetSpecularPower(20);
  } else {
    vtkNew<vtkUnsignedCharArray> colours; // exact, so that a limit in the scale is met to the last facet
    colours->SetNumberOfComponents(3);
    for (double v : mesh.facet) {
      const double t = (v - scale.low) / (scale.high - scale.low);
      const Colour c = scale.colour(std::isfinite(t) ? std::clamp(t, 0.0, 1.0) : 0);
      const unsigned char rgb[3] = {c.r, c.g, c.b};
      colours->InsertNextTypedTuple(rgb);
    }
    data->GetCellData()->SetScalars(colours);
    mapper->SetInputData(data);
    mapper->SetScalarModeToUseCellData();
    look->LightingOff();
  }
  actor->SetMapper(mapper);
  renderer->AddActor(actor);
}

void add_outline(vtkRenderer *renderer, const PatchMesh &mesh, Colour colour, double width, double lift) {
  std::vector<std::array<Vec3, 2>> lines;
  for (const auto &edge : mesh.outline)
    lines.push_back({mesh.point[edge[0]], mesh.point[edge[1]]});
  add_lines(renderer, lines, colour, width, {0, 0, lift});
}

void add_lines(vtkRenderer *renderer, const std::vector<std::array<Vec3, 2>> &segments, Colour colour,
               double width, const Vec3 &lift) {
  vtkNew<vtkPoints> points;
  points->SetDataTypeToDouble();
  vtkNew<vtkCellArray> lines;
  for (const auto &segment : segments) {
    vtkIdType ends[2];
    for (int k = 0; k < 2; ++k) {
      const Vec3 x = segment[k] + lift;
      ends[k] = points->InsertNextPoint(x.data());
    }
    lines->InsertNextCell(2, ends);
  }
  vtkNew<vtkPolyData> data;
  data->SetPoints(points);
  data->SetLines(lines);
  vtkNew<vtkPolyDataMapper> mapper;
  mapper->SetInputData(data);
  vtkNew<vtkActor> actor;
  actor->SetMapper(mapper);
  actor->GetProperty()->SetColor(colour.r / 255.0, colour.g / 255.0, colour.b / 255.0);
  actor->GetProperty()->SetLineWidth(static_cast<float>(width));
  actor->GetProperty()->LightingOff();
  renderer->AddActor(actor);
}

} // namespace raybend
