// Surfaces of the bones for pictures.
#include "solver/forefoot/surfaces.hpp"
#include "geometry/logical_frame.hpp"
#include "meshing/tags.hpp"
#include "solver/operator/small_tensors.hpp"
#include <deal.II/base/mpi.h>
#include <deal.II/fe/fe_values.h>
#include <map>

namespace raybend {

using namespace dealii;
using namespace logical;

void extract_bones(const ForefootState &state, unsigned number, const Vector &u, DesignResult &result) {
  const Level &level = *state.levels[number];
  std::vector<Point<3>> points;
  for (const double z : {0.0, 0.5, 1.0})
    for (const double y : {0.0, 0.5, 1.0})
      for (const double x : {0.0, 0.5, 1.0})
        points.emplace_back(x, y, z);
  const Quadrature<3> nodes(points, std::vector<double>(27, 1.0));
  FEValues<3> values(*level.mapping, level.fe, nodes,
                     update_gradients | update_values | update_quadrature_points);
  const FEValuesExtractors::Vector displacement(0);
  std::vector<Tensor<2, 3>> gradient(27);
  std::vector<Tensor<1, 3>> value(27);

  // A face node: logical place (3), deformed place (3), stress, ray; nine in a row make a face.
  std::vector<double> own;
  u.update_ghost_values();
  for (const auto &cell : level.dofs.active_cell_iterators()) {
    const unsigned tag = cell->material_id();
    if (!cell->is_locally_owned() || (tag != tag_cortical && tag != tag_trabecular))
      continue;
    const Vec3 middle = Level::logical_point(cell, Point<3>(0.5, 0.5, 0.5));
    const int ray = ray_of(middle[1]);
    bool ready = false;
    for (unsigned axis = 0; axis < 3; ++axis)
      for (unsigned side = 0; side < 2; ++side) {
        Point<3> centre(0.5, 0.5, 0.5);
        centre[axis] = side;
        const Vec3 l = Level::logical_point(cell, centre);
        const bool outside = axis == 0 ? l[0] < 1e-9 || std::abs(l[0] - pole_station) < 1e-9
                                       : std::abs(tile_radius(l[1], l[2], ray) - cortex_radius) < 1e-9;
        if (!outside)
          continue;
        if (!ready) {
          values.reinit(cell);
          values[displacement].get_function_gradients(u, gradient);
          values[displacement].get_function_values(u, value);
          ready = true;
        }
        for (unsigned q = 0; q < 27; ++q) {
          if (std::abs(points[q][axis] - side) > 1e-9)
            continue;
          const Vec3 p = Level::logical_point(cell, points[q]);
          const Tensor2 f = deformation(gradient[q]);
          const Tensor<1, 3> t = tensor(state.shape.axis_tangent(ray, p[0]));
          const double stress =
              t * (state.problem->materials[state.problem->material_at(middle, tag)]->stress(f) * t);
          const Point<3> x = values.quadrature_point(q) + value[q];
          own.insert(own.end(), {p[0], p[1], p[2], x[0], x[1], x[2], stress, double(ray)});
        }
      }
  }
  u.zero_out_ghost_values();

  result.bones.clear();
  std::map<std::array<long, 3>, std::array<double, 2>> mean; // stress sum, count
  const auto key = [](const double *p) {
    return std::array<long, 3>{std::lround(p[0] * 1e6), std::lround(p[1] * 1e6), std::lround(p[2] * 1e6)};
  };
  const auto all = Utilities::MPI::gather(level.comm, own);
  for (const auto &list : all)
    for (std::size_t i = 0; i < list.size(); i += 8) {
      auto &m = mean[key(&list[i])];
      m[0] += list[i + 6];
      m[1] += 1;
    }
  for (const auto &list : all)
    for (std::size_t face = 0; face < list.size(); face += 72)
      for (const unsigned corner : {0u, 1u, 3u, 4u}) {
        const unsigned order[4] = {corner, corner + 1, corner + 4, corner + 3};
        Patch patch;
        for (unsigned k = 0; k < 4; ++k) {
          const double *node = &list[face + 8 * order[k]];
          patch.corner[k] = {node[3], node[4], node[5]};
          const auto &m = mean[key(node)];
          patch.value[k] = m[0] / m[1];
        }
        patch.ray = static_cast<int>(list[face + 7]);
        result.bones.push_back(patch);
      }
}

} // namespace raybend
