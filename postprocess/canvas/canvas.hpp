// Pictures made by VTK without a screen: plane drawings as PNG and SVG, 3D windows as PNG. Needs a Display.
#pragma once
#include "postprocess/canvas/painter.hpp"
#include <functional>
#include <string>
#include <vector>

class vtkRenderWindow;

namespace raybend {

using Drawing = std::function<void(Painter &)>;

/// Pixels a picture point takes in a PNG.
constexpr int png_scale = 2;

/// White page of the given size in points; the PNG has png_scale times as many pixels. Returns the words
/// drawn. Throws std::runtime_error if it cannot be written.
std::vector<Label> write_png(const Drawing &drawing, int width, int height, const std::string &path);

/// The same drawing as vectors, its words as outlines.
std::vector<Label> write_svg(const Drawing &drawing, int width, int height, const std::string &path);

/// Prepares an offscreen window of that many points.
void prepare_window(vtkRenderWindow *window, int width, int height);

/// Draws over everything already in the window, in points of the window. `labels`, where given, must live as
/// long as the window and holds the words drawn once it is written.
void add_overlay(vtkRenderWindow *window, const Drawing &drawing, int width, int height,
                 std::vector<Label> *labels = nullptr);

/// Renders and writes.
void write_window(vtkRenderWindow *window, const std::string &path);

} // namespace raybend
