#include "solver/forefoot/extract.hpp"
#include "geometry/logical_frame.hpp"
#include "meshing/tags.hpp"
#include "solver/forefoot/forefoot_problem.hpp"
#include "solver/forefoot/sections.hpp"
#include "solver/forefoot/surfaces.hpp"
#include <deal.II/base/mpi.h>

namespace raybend {

using namespace dealii;
using namespace logical;

namespace {

constexpr int head_from = 4; // station: contact distal of it counts as the head's (distal 30 % of the ray)

// Displaced place of the node at a logical point of the foot (collective).
Vec3 place_of(const Level &level, const Vector &u, const Vec3 &logical,
              Vec3 &reference) {
  std::vector<double> sum(7, 0.0);
  std::vector<types::global_dof_index> index(level.fe.n_dofs_per_cell());
  const auto &support = level.fe.get_unit_support_points();
  u.update_ghost_values();
  for (const auto &cell : level.dofs.active_cell_iterators())
    if (cell->is_locally_owned() && cell->material_id() != tag_insole &&
        std::abs(cell->center()[0] - logical[0]) < 1 && std::abs(cell->center()[1] - logical[1]) < 1.5 &&
        std::abs(cell->center()[2] - logical[2]) < 1.5) {
      cell->get_dof_indices(index);
      for (unsigned i = 0; i < index.size(); ++i)
        if (level.fe.system_to_component_index(i).first == 0 &&
            norm(Level::logical_point(cell, support[i]) - logical) < 1e-9) {
          const unsigned node = level.fe.system_to_component_index(i).second;
          for (unsigned c = 0; c < 3; ++c) {
            const auto k = index[level.fe.component_to_system_index(c, node)];
            sum[c] += level.position[k];
            sum[3 + c] += level.position[k] + u[k];
          }
          sum[6] += 1;
        }
    }
  u.zero_out_ghost_values();
  Utilities::MPI::sum(sum, level.comm, sum);
  reference = {sum[0] / sum[6], sum[1] / sum[6], sum[2] / sum[6]};
  return {sum[3] / sum[6], sum[4] / sum[6], sum[5] / sum[6]};
}

void extract_contact(const ForefootState &state, unsigned number, const Vector &u, DesignResult &result,
                     bool surfaces) {
  const Level &level = *state.levels[number];
  // per ray: head force, shaft force, head area, total area; then maxima
  std::vector<double> sum(5 * 4 + 1, 0.0), peak(5 * 2, 0.0), patches;
  const double third[4] = {0.0, 0.28, 0.72, 1.0}; // a quadrature point stands for a ninth of its face
  state.operators[number]->visit_contact(u, [&](const SolidOperator::ContactPoint &p) {
    const int ray = ray_of(p.logical[1]) - 1;
    const bool head = p.logical[0] > head_from;
    const double force = p.pressure * p.area;
    sum[4 * ray + (head ? 0 : 1)] += force;
    if (p.pressure > 0.005) {
      sum[4 * ray + 2] += head ? p.area : 0;
      sum[4 * ray + 3] += p.area;
    }
    if (state.insole->under_support(p.logical[0], p.logical[1]))
      sum[20] += force;
    double &highest = peak[2 * ray + (head ? 0 : 1)];
    highest = std::max(highest, p.pressure);
    if (surfaces) {
      const double gauss[3] = {0.1127016653792583, 0.5, 0.8872983346207417};
      const double s0 = p.logical[0] - gauss[p.q % 3] * p.step_s,
                   b0 = p.logical[1] - gauss[p.q / 3] * p.step_b;
      const unsigned i = p.q % 3, j = p.q / 3;
      patches.insert(patches.end(),
                     {s0 + third[i] * p.step_s, s0 + third[i + 1] * p.step_s, b0 + third[j] * p.step_b,
                      b0 + third[j + 1] * p.step_b, 1000 * p.pressure});
    }
  });
  Utilities::MPI::sum(sum, level.comm, sum);
  Utilities::MPI::max(peak, level.comm, peak);
  for (int r = 0; r < 5; ++r) {
    RayResult &ray = result.ray[r];
    ray.head_force.value = sum[4 * r];
    ray.shaft_force = sum[4 * r + 1];
    ray.contact_area = sum[4 * r + 3];
    ray.head_mean_pressure = sum[4 * r + 2] > 0 ? 1000 * sum[4 * r] / sum[4 * r + 2] : 0;
    ray.head_peak_pressure.value = 1000 * peak[2 * r];
    ray.shaft_peak_pressure = 1000 * peak[2 * r + 1];
  }
  result.support_force = sum[20];
  if (!surfaces)
    return;
  result.plantar.clear();
  for (const auto &list : Utilities::MPI::gather(level.comm, patches))
    for (std::size_t i = 0; i < list.size(); i += 5) {
      Patch patch;
      const double s[4] = {list[i], list[i + 1], list[i + 1], list[i]};
      const double b[4] = {list[i + 2], list[i + 2], list[i + 3], list[i + 3]};
      for (int k = 0; k < 4; ++k) {
        patch.corner[k] = state.shape.skin(s[k], b[k]);
        patch.corner[k][2] = 0;
        patch.value[k] = list[i + 4];
      }
      patch.ray = ray_of(0.5 * (b[0] + b[2]));
      result.plantar.push_back(patch);
    }
}

} // namespace

void extract(const ForefootState &state, unsigned number, const Vector &u, DesignResult &result,
             bool surfaces) {
  const Level &level = *state.levels[number];
  const SolidOperator &op = *state.operators[number];
  const std::vector<double> tensions = op.tie_tensions(u, 1.0), motion = op.carrier_motion(u, 1.0);
  extract_sections(state, number, u, tensions, result);
  extract_contact(state, number, u, result, surfaces);

  const Vec3 up = vertical(state.activity);
  double toes = 0;
  result.fascia_total = 0;
  for (int ray = 1; ray <= 5; ++ray) {
    RayResult &r = result.ray[ray - 1];
    const ToeStatics toe = toe_statics(state.shape.foot(), state.activity, ray);
    r.toe_load = toe.load;
    r.flexor_tension = toe.flexor;
    r.fascia_tension = tensions[ray - 1] - toe.flexor;
    result.fascia_total += r.fascia_tension;
    toes += toe.load;
    Vec3 skin, bone;
    const Vec3 skin_now = place_of(level, u, {double(head_station), axis_of(ray), 0}, skin);
    const Vec3 bone_now =
        place_of(level, u, {double(head_station), axis_of(ray), 2 - cortex_radius}, bone);
    r.tissue_compression = 1 - dot(bone_now - skin_now, up) / dot(bone - skin, up);
  }
  result.applied_force = state.problem->carrier.force;
  result.ground_force = op.ground_force(u) + toes;
  result.midfoot_drop = -motion[0];
  if (surfaces)
    extract_bones(state, number, u, result);
}

} // namespace raybend
