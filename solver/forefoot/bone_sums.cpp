// Sums over a bone's cells from which its section resultants, surface strains and extremes follow.
#include "solver/forefoot/bone_sums.hpp"
#include "geometry/logical_frame.hpp"
#include "meshing/tags.hpp"
#include "solver/operator/mixed_cell.hpp"
#include "solver/operator/small_tensors.hpp"
#include <deal.II/base/quadrature_lib.h>
#include <deal.II/fe/fe_values.h>

namespace raybend {

using namespace dealii;
using namespace logical;

namespace {

using V = Tensor<1, 3>;
using Cell = DoFHandler<3>::active_cell_iterator;

Quadrature<3> end_planes() { // 3 x 3 Gauss points on both ends of a cell
  const QGauss<2> face(n_points_1d);
  std::vector<Point<3>> points;
  std::vector<double> weights;
  for (const double end : {0.0, 1.0})
    for (unsigned q = 0; q < face.size(); ++q) {
      points.emplace_back(end, face.point(q)[0], face.point(q)[1]);
      weights.push_back(face.weight(q));
    }
  return Quadrature<3>(points, weights);
}

Quadrature<3> end_nodes() { // the nodes of both ends
  std::vector<Point<3>> points;
  for (const double end : {0.0, 1.0})
    for (const double a : {0.0, 0.5, 1.0})
      for (const double b : {0.0, 0.5, 1.0})
        points.emplace_back(end, a, b);
  return Quadrature<3>(points, std::vector<double>(points.size(), 1.0));
}

// |grad xi_0|^2: dA = JxW |grad xi_0| on a plane xi_0 = const.
double contravariant(const DerivativeForm<1, 3, 3> &inverse_jacobian) {
  return inverse_jacobian[0] * inverse_jacobian[0];
}

// 0 dorsal, 1 plantar, 2 medial, 3 lateral surface of the bone, -1 elsewhere.
int surface_place(const Vec3 &l, int ray) {
  const double u = l[1] - axis_of(ray), v = l[2] - 2;
  const auto is = [](double a, double b) { return std::abs(a - b) < 1e-9; };
  if (is(u, 0) && is(std::abs(v), cortex_radius))
    return v > 0 ? 0 : 1;
  if (is(v, 0) && is(std::abs(u), cortex_radius))
    return u > 0 ? 2 : 3;
  return -1;
}

/// Takes up one cell after the other.
class Summing {
public:
  Summing(const ForefootState &state, unsigned level_number, const Vector &u)
      : state_(state), level_(*state.levels[level_number]), u_(u), per_station_(1 << level_number),
        ends_(*level_.mapping, level_.fe, end_planes(),
              update_values | update_JxW_values | update_inverse_jacobians | update_quadrature_points),
        nodes_(*level_.mapping, level_.fe, end_nodes(), update_gradients),
        inside_(*level_.mapping, level_.fe, QGauss<3>(n_points_1d),
                update_values | update_gradients | update_JxW_values | update_quadrature_points),
        index_(level_.fe.n_dofs_per_cell()), nodal_(index_.size()), on_bone_(index_.size()),
        on_plane_(index_.size()) {
    sums.planes = stations * per_station_ + 1;
    sums.plane.resize(5 * sums.planes);
    sums.highest.fill({-1e30, 0});
    sums.lowest.fill({1e30, 0});
  }

  void add(const Cell &cell) {
    tag_ = cell->material_id();
    bone_ = tag_ == tag_cortical || tag_ == tag_trabecular;
    middle_ = Level::logical_point(cell, Point<3>(0.5, 0.5, 0.5));
    ray_ = ray_of(middle_[1]);
    slab_ = static_cast<int>(std::floor(middle_[0] * per_station_));
    if (!find_bone_nodes(cell))
      return;
    inside_.reinit(cell);
    inside_[displacement].get_function_gradients(u_, gradient_);
    cell->get_dof_indices(index_);
    add_forces(cell);
    if (!bone_)
      return;
    add_centre(cell);
    add_turn();
    if (tag_ == tag_cortical)
      add_surface(cell);
    add_extremes(cell);
    add_head(cell);
  }

  BoneSums sums;
  std::array<double, 5> head_weight{};

private:
  const Material &material_at(const Vec3 &logical) const {
    return *state_.problem->materials[state_.problem->material_at(logical, tag_)];
  }

  // Which nodes lie on the bone, and which on the cell's proximal plane. False if none is on the bone.
  bool find_bone_nodes(const Cell &cell) {
    const auto &support = level_.fe.get_unit_support_points();
    bool touches = false;
    for (unsigned i = 0; i < index_.size(); ++i) {
      const Vec3 l = Level::logical_point(cell, support[i]);
      on_bone_[i] = bone_ || (l[2] > 1 - 1e-9 && l[0] < pole_station + 1e-9 &&
                              tile_radius(l[1], l[2], ray_) < cortex_radius + 1e-9);
      on_plane_[i] = support[i][0] < 1e-9;
      touches = touches || on_bone_[i];
    }
    return touches;
  }

  // f_i = int P : grad phi_i over this cell: what its stress exerts, with the sign turned, on the bone's nodes; of
  // a bone's cell only on those of its proximal plane.
  void find_nodal_forces(const Cell &cell) {
    std::array<Tensor2, 27> f;
    std::array<Sym2, 27> stress;
    for (unsigned q = 0; q < 27; ++q) {
      f[q] = deformation(gradient_[q]);
      stress[q] = material_at(Level::logical_point(cell, inside_.get_quadrature().point(q))).stress(f[q]);
    }
    const Material &middle = material_at(middle_);
    if (middle.mixed()) {
      std::array<Point<3>, 27> place;
      MixedCell::Values weight;
      for (unsigned q = 0; q < 27; ++q) {
        place[q] = inside_.quadrature_point(q);
        weight[q] = inside_.JxW(q);
      }
      MixedCell mixed;
      mixed.reinit(place, weight);
      project_pressure(middle, mixed, f.data(), stress.data());
    }
    std::fill(nodal_.begin(), nodal_.end(), 0.0);
    for (unsigned q = 0; q < 27; ++q) {
      const Tensor2 p = f[q] * Tensor2(stress[q]);
      for (unsigned i = 0; i < index_.size(); ++i)
        if (on_bone_[i] && (!bone_ || on_plane_[i]))
          nodal_[i] +=
              inside_.JxW(q) * (p[level_.fe.system_to_component_index(i).first] * inside_.shape_grad(i, q));
    }
  }

  void add_forces(const Cell &cell) {
    find_nodal_forces(cell);
    SectionPlane &cut = sums.at(ray_, slab_);
    for (unsigned node = 0; node < 27; ++node) {
      const bool plane_node = on_plane_[level_.fe.component_to_system_index(0, node)];
      if (bone_ && !plane_node)
        continue;
      V force, x;
      for (unsigned c = 0; c < 3; ++c) {
        const unsigned i = level_.fe.component_to_system_index(c, node);
        force[c] = -nodal_[i];
        x[c] = level_.position[index_[i]] + u_[index_[i]];
      }
      (bone_ ? cut.force : plane_node ? cut.plane_force : cut.outer_force) += force;
      (bone_ ? cut.moment : plane_node ? cut.plane_moment : cut.outer_moment) += cross_product_3d(x, force);
    }
  }

  void add_centre(const Cell &cell) {
    ends_.reinit(cell);
    ends_[displacement].get_function_values(u_, end_value_);
    SectionPlane &cut = sums.at(ray_, slab_);
    for (unsigned q = 0; q < 9; ++q) {
      const double area = ends_.JxW(q) * std::sqrt(contravariant(ends_.inverse_jacobian(q)));
      cut.area += area;
      cut.centre += area * (ends_.quadrature_point(q) + end_value_[q]);
    }
  }

  void add_turn() {
    Tensor2 sum;
    for (unsigned q = 0; q < 27; ++q)
      sum += inside_.JxW(q) * deformation(gradient_[q]);
    sums.at(ray_, slab_).deformation += sum;
    sums.at(ray_, slab_ + 1).deformation += sum;
  }

  // Strain and stress along the ray at the surface's nodes of both ends.
  void add_surface(const Cell &cell) {
    nodes_.reinit(cell);
    nodes_[displacement].get_function_gradients(u_, end_gradient_);
    for (unsigned q = 0; q < 18; ++q) {
      const Vec3 l = Level::logical_point(cell, nodes_.get_quadrature().point(q));
      const int place = surface_place(l, ray_);
      if (place < 0)
        continue;
      SectionPlane &plane = sums.at(ray_, slab_ + (q < 9 ? 0 : 1));
      const Tensor2 f = deformation(end_gradient_[q]);
      const V t = tensor(state_.shape.axis_tangent(ray_, l[0]));
      const Sym2 e = 0.5 * (symmetrize(transpose(f) * f) - unit_symmetric_tensor<3>());
      plane.strain[place] += 1e6 * (t * (e * t));
      plane.stress[place] += t * (material_at(l).stress(f) * t);
      plane.samples[place] += 1;
    }
  }

  void add_extremes(const Cell &cell) {
    const double fraction =
        state_.shape.distance(ray_, middle_[0]) / state_.shape.foot().rays[ray_ - 1].length;
    if (tag_ != tag_cortical || fraction <= 0.15 || fraction >= 0.85)
      return;
    for (unsigned q = 0; q < 27; ++q) {
      const Vec3 l = Level::logical_point(cell, inside_.get_quadrature().point(q));
      const auto principal = eigenvalues(material_at(l).stress(deformation(gradient_[q])));
      if (principal[0] > sums.highest[ray_ - 1].value)
        sums.highest[ray_ - 1] = {principal[0], fraction};
      if (principal[2] < sums.lowest[ray_ - 1].value)
        sums.lowest[ray_ - 1] = {principal[2], fraction};
    }
  }

  void add_head(const Cell &cell) {
    if (middle_[0] <= head_station - 1)
      return;
    inside_[displacement].get_function_values(u_, inner_value_);
    for (unsigned q = 0; q < 27; ++q) {
      const Vec3 l = Level::logical_point(cell, inside_.get_quadrature().point(q));
      const double w = state_.problem->ties[ray_ - 1].region(l, tag_) * inside_.JxW(q);
      sums.head[ray_ - 1] += w * (inside_.quadrature_point(q) + inner_value_[q]);
      head_weight[ray_ - 1] += w;
      SectionPlane &cut = sums.at(ray_, slab_);
      for (unsigned node = 0; node < 27; ++node) {
        const unsigned first = level_.fe.component_to_system_index(0, node);
        if (!on_plane_[first])
          continue;
        const double share = w * inside_.shape_value(first, q);
        cut.head_share += share;
        for (unsigned c = 0; c < 3; ++c) {
          const unsigned i = index_[level_.fe.component_to_system_index(c, node)];
          cut.head_place[c] += share * (level_.position[i] + u_[i]);
        }
      }
    }
  }

  const FEValuesExtractors::Vector displacement{0};
  const ForefootState &state_;
  const Level &level_;
  const Vector &u_;
  const int per_station_;
  FEValues<3> ends_, nodes_, inside_;
  std::vector<Tensor<2, 3>> gradient_ = std::vector<Tensor<2, 3>>(27),
                            end_gradient_ = std::vector<Tensor<2, 3>>(18);
  std::vector<V> end_value_ = std::vector<V>(18), inner_value_ = std::vector<V>(27);
  std::vector<types::global_dof_index> index_;
  std::vector<double> nodal_;
  std::vector<char> on_bone_, on_plane_;
  // Of the cell at hand: it lies between the planes `slab_` and `slab_` + 1.
  unsigned tag_ = 0;
  bool bone_ = false;
  Vec3 middle_{};
  int ray_ = 1, slab_ = 0;
};

} // namespace

BoneSums sum_bones(const ForefootState &state, unsigned level_number, const Vector &u) {
  const Level &level = *state.levels[level_number];
  u.update_ghost_values();
  level.position.update_ghost_values();
  Summing summing(state, level_number, u);
  for (const auto &cell : level.dofs.active_cell_iterators())
    if (cell->is_locally_owned() && cell->material_id() != tag_insole)
      summing.add(cell);
  u.zero_out_ghost_values();

  BoneSums sums = std::move(summing.sums);
  std::vector<double> numbers;
  const auto each = [&](const auto &act) {
    for (SectionPlane &plane : sums.plane)
      plane.each(act);
    for (V &place : sums.head)
      for (unsigned c = 0; c < 3; ++c)
        act(place[c]);
    for (double &weight : summing.head_weight)
      act(weight);
  };
  each([&](double &x) { numbers.push_back(x); });
  Utilities::MPI::sum(numbers, level.comm, numbers);
  std::size_t at = 0;
  each([&](double &x) { x = numbers[at++]; });
  for (int r = 0; r < 5; ++r) {
    sums.head[r] /= summing.head_weight[r];
    for (int k = 0; k < sums.planes; ++k) {
      sums.at(r + 1, k).head_share /= summing.head_weight[r];
      sums.at(r + 1, k).head_place /= summing.head_weight[r];
    }
  }
  for (const auto &theirs : Utilities::MPI::all_gather(level.comm, sums.highest))
    for (int r = 0; r < 5; ++r)
      if (theirs[r].value > sums.highest[r].value)
        sums.highest[r] = theirs[r];
  for (const auto &theirs : Utilities::MPI::all_gather(level.comm, sums.lowest))
    for (int r = 0; r < 5; ++r)
      if (theirs[r].value < sums.lowest[r].value)
        sums.lowest[r] = theirs[r];
  return sums;
}

} // namespace raybend
