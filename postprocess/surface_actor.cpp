#include "postprocess/surface_actor.hpp"
#include <vtkActor.h>
#include <vtkCellArray.h>
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
  constexpr int steps = 256;
  vtkNew<vtkLookupTable> table;
  table->SetNumberOfTableValues(steps);
  table->SetTableRange(scale.low, scale.high);
  for (int i = 0; i < steps; ++i) {
    const Colour c = scale.colour(i / (steps - 1.0));
    table->SetTableValue(i, c.r / 255.0, c.g / 255.0, c.b / 255.0);
  }
  vtkNew<vtkPolyData> data;
  fill(data, mesh);
  vtkNew<vtkPolyDataMapper> mapper;
  if (shaded) {
    vtkNew<vtkPolyDataNormals> normals;
    normals->SetInputData(data);
    normals->SplittingOff();
    normals->ConsistencyOn();
    normals->Update();
    mapper->SetInputData(normals->GetOutput());
  } else {
    mapper->SetInputData(data);
  }
  mapper->SetLookupTable(table);
  mapper->UseLookupTableScalarRangeOn();
  mapper->InterpolateScalarsBeforeMappingOn();
  vtkNew<vtkActor> actor;
  actor->SetMapper(mapper);
  vtkProperty *look = actor->GetProperty();
  if (shaded) {
    look->SetInterpolationToPhong();
    look->SetAmbient(0.35);
    look->SetDiffuse(0.7);
    look->SetSpecular(0.12);
    look->SetSpecularPower(20);
  } else {
    look->LightingOff();
  }
  renderer->AddActor(actor);
}

void add_outline(vtkRenderer *renderer, const PatchMesh &mesh, Colour colour, double width, double lift) {
  vtkNew<vtkPoints> points;
  points->SetDataTypeToDouble();
  for (const Vec3 &x : mesh.point)
    points->InsertNextPoint(x[0], x[1], x[2] + lift);
  vtkNew<vtkCellArray> lines;
  for (const auto &edge : mesh.outline) {
    const vtkIdType ends[2] = {static_cast<vtkIdType>(edge[0]), static_cast<vtkIdType>(edge[1])};
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
