// A cell that the given shape turns inside out.
#pragma once
#include "geometry/vec3.hpp"
#include <stdexcept>

namespace raybend {

/// The reference shape has no positive volume at `logical`, in a cell with `tag`: the shape's parameters
/// contradict one another there.
struct FoldedCell : std::runtime_error {
  FoldedCell(const Vec3 &logical_, unsigned tag_)
      : std::runtime_error("the shape turns a cell of the mesh inside out"), logical(logical_), tag(tag_) {}
  Vec3 logical;
  unsigned tag;
};

} // namespace raybend
