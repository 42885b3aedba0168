// Pictures made by VTK without a screen: plane drawings as PNG and SVG, 3D windows as PNG. Needs a Display.
#include "postprocess/canvas/canvas.hpp"
#include "postprocess/text/file_write.hpp"
#include <filesystem>
#include <fstream>
#include <iterator>
#include <stdexcept>
#include <vtkAutoInit.h>
#include <vtkContextActor.h>
#include <vtkContextItem.h>
#include <vtkContextScene.h>
#include <vtkNew.h>
#include <vtkObjectFactory.h>
#include <vtkPNGWriter.h>
#include <vtkRenderWindow.h>
#include <vtkRenderer.h>
#include <vtkSVGExporter.h>
#include <vtkUnsignedCharArray.h>
#include <vtkWindowToImageFilter.h>

VTK_MODULE_INIT(vtkRenderingOpenGL2)
VTK_MODULE_INIT(vtkRenderingContextOpenGL2)
VTK_MODULE_INIT(vtkRenderingFreeType)

namespace raybend {

namespace {

/// Runs a Drawing when VTK paints the scene.
class DrawingItem : public vtkContextItem {
public:
  static DrawingItem *New();
  vtkTypeMacro(DrawingItem, vtkContextItem);

  Drawing drawing;
  double width = 0, height = 0, scale = 1;
  std::vector<Label> *labels = nullptr;

  bool Paint(vtkContext2D *context) override {
    Painter painter(context, width, height, scale);
    drawing(painter);
    if (labels != nullptr)
      *labels = painter.labels();
    return true;
  }
};
vtkStandardNewMacro(DrawingItem)

    void prepare(vtkRenderWindow *window, int width, int height, int scale) {
  window->SetOffScreenRendering(1);
  window->SetMultiSamples(4);
  window->SetDPI(72); // a font of size n is n pixels high
  window->SetSize(width * scale, height * scale);
}

void overlay(vtkRenderWindow *window, const Drawing &drawing, int width, int height, int scale,
             std::vector<Label> *labels) {
  vtkNew<DrawingItem> item;
  item->drawing = drawing;
  item->width = width;
  item->height = height;
  item->scale = scale;
  item->labels = labels;
  vtkNew<vtkContextActor> actor;
  actor->GetScene()->AddItem(item);
  vtkNew<vtkRenderer> renderer;
  renderer->SetLayer(1);
  renderer->InteractiveOff();
  renderer->AddActor(actor);
  actor->GetScene()->SetRenderer(renderer);
  window->SetNumberOfLayers(2);
  window->AddRenderer(renderer);
}

} // namespace

void prepare_window(vtkRenderWindow *window, int width, int height) {
  prepare(window, width, height, png_scale);
}

void add_overlay(vtkRenderWindow *window, const Drawing &drawing, int width, int height,
                 std::vector<Label> *labels) {
  overlay(window, drawing, width, height, png_scale, labels);
}

void write_window(vtkRenderWindow *window, const std::string &path) {
  window->Render();
  vtkNew<vtkWindowToImageFilter> image;
  image->SetInput(window);
  image->SetInputBufferTypeToRGB();
  image->ReadFrontBufferOff();
  image->ShouldRerenderOff();
  vtkNew<vtkPNGWriter> writer;
  writer->SetInputConnection(image->GetOutputPort());
  writer->WriteToMemoryOn();
  writer->Write();
  const vtkUnsignedCharArray *bytes = writer->GetResult();
  if (bytes == nullptr || bytes->GetNumberOfValues() == 0)
    throw std::runtime_error("VTK gave no picture for " + path);
  auto *data = const_cast<vtkUnsignedCharArray *>(bytes)->GetPointer(0);
  write_file(path, std::string(reinterpret_cast<const char *>(data), bytes->GetNumberOfValues()));
}

std::vector<Label> write_png(const Drawing &drawing, int width, int height, const std::string &path) {
  std::vector<Label> labels;
  vtkNew<vtkRenderWindow> window;
  prepare_window(window, width, height);
  vtkNew<vtkRenderer> page;
  page->SetBackground(1, 1, 1);
  window->AddRenderer(page);
  add_overlay(window, drawing, width, height, &labels);
  write_window(window, path);
  return labels;
}

std::vector<Label> write_svg(const Drawing &drawing, int width, int height, const std::string &path) {
  std::vector<Label> labels;
  vtkNew<vtkRenderWindow> window;
  vtkNew<vtkRenderer> page;
  page->SetBackground(1, 1, 1);
  window->AddRenderer(page);
  prepare(window, width, height, 1);
  const Drawing on_white = [&](Painter &p) { // the exporter leaves the window's own background transparent
    p.box(0, 0, p.width(), p.height(), Colour{255, 255, 255}, {});
    drawing(p);
  };
  overlay(window, on_white, width, height, 1, &labels);
  window->Render();

  vtkNew<vtkSVGExporter> exporter;
  exporter->SetRenderWindow(window);
  exporter->SetFileName(path.c_str());
  exporter->SetTitle("");
  exporter->SetDescription("");
  exporter->Write();

  // The exporter does not say whether the disk took everything: read it back and flush it.
  std::ifstream file(path);
  const std::string text((std::istreambuf_iterator<char>(file)), std::istreambuf_iterator<char>());
  if (text.find("</svg>") == std::string::npos) {
    std::error_code ignored;
    std::filesystem::remove(path, ignored);
    throw std::runtime_error("could not write " + path + "; is the disk full?");
  }
  flush_to_disk(path);
  return labels;
}

} // namespace raybend
