// From nodal displacements to the quantities people read.
#include "solver/forefoot/extract.hpp"
#include "geometry/logical_frame.hpp"
#include "meshing/tags.hpp"
#include "solver/forefoot/forefoot_problem.hpp"
#include "solver/forefoot/sections.hpp"
#include "solver/forefoot/sensor_pressure.hpp"
#include "solver/forefoot/surfaces.hpp"
#include "solver/operator/contact_points.hpp"
#include <algorithm>
#include <cmath>
#include <deal.II/base/mpi.h>
#include <limits>
#include <numeric>
#include <string>
#include <tuple>

namespace raybend {

using namespace dealii;
using namespace logical;

namespace {

constexpr int head_from = 4; // station: contact distal of it counts as the head's (distal 30 % of the ray)

// Displaced place of the node at a logical point of the foot (collective).
Vec3 place_of(const Level &level, const Vector &u, const Vec3 &logical, Vec3 &reference) {
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

/// What a contact point stands for: its rectangle of plan in the logical frame, its pressure and its shear.
struct Facet {
  double s0, s1, b0, b1;
  double pressure, shear; ///< kPa

  auto place() const { return std::tie(s0, b0); }
  template <typename Archive> void serialize(Archive &a, unsigned) { a &s0 &s1 &b0 &b1 &pressure &shear; }
};

Facet facet_of(const ContactPoint &p) {
  constexpr double gauss[3] = {0.1127016653792583, 0.5, 0.8872983346207417};
  constexpr double limit[4] = {0.0, 5.0 / 18, 13.0 / 18, 1.0}; // each point's share of the face is its weight
  const unsigned i = p.q % 3, j = p.q / 3;
  const double s = p.logical[0] - gauss[i] * p.step_s, b = p.logical[1] - gauss[j] * p.step_b;
  return {s + limit[i] * p.step_s,     s + limit[i + 1] * p.step_s, b + limit[j] * p.step_b,
          b + limit[j + 1] * p.step_b, 1000 * p.pressure,           1000 * p.shear};
}

Patch patch_of(const Facet &f, const FootShape &shape) {
  const double s[4] = {f.s0, f.s1, f.s1, f.s0}, b[4] = {f.b0, f.b0, f.b1, f.b1};
  Patch patch;
  for (int k = 0; k < 4; ++k) {
    patch.corner[k] = shape.skin(s[k], b[k]);
    patch.corner[k][2] = 0;
    patch.value[k] = f.pressure;
  }
  patch.ray = ray_of(0.5 * (f.b0 + f.b1));
  return patch;
}

constexpr double under_head =
    10; // mm along the foot from the head's centre: there it is the head's (assumed)

/// Reading ray - 1: under the head, the sensor's square on the ray's own skin across.
SensorPlace under_heads(const FootShape &shape) {
  struct Head {
    double x, middle, free; // mm: `free` is how far across the centre may stand from the middle
  };
  std::array<Head, 5> heads;
  for (int ray = 1; ray <= 5; ++ray) {
    const double b = axis_of(ray), inside = 1 - 1e-9;
    const double lateral = shape.skin(head_station, b - inside)[1],
                 medial = shape.skin(head_station, b + inside)[1];
    heads[ray - 1] = {shape.axis(ray, head_station)[0], (lateral + medial) / 2,
                      std::max((medial - lateral - sensor_side) / 2, 0.5)};
  }
  return [heads](int ray, double x, double y) {
    const Head &head = heads[ray];
    return std::abs(x - head.x) <= under_head && std::abs(y - head.middle) <= head.free ? ray : -1;
  };
}

/// Peak pressures under heads and shafts and shear under heads, on all ranks; the plantar patches, on rank 0, if `surfaces`.
void extract_pressure(const ForefootState &state, const std::vector<Facet> &own, MPI_Comm comm,
                      DesignResult &result, bool surfaces) {
  std::vector<Facet> facets; // of all ranks; only rank 0 has any
  for (const auto &list : Utilities::MPI::gather(comm, own))
    facets.insert(facets.end(), list.begin(), list.end());
  // The same order of summation on any number of ranks.
  std::sort(facets.begin(), facets.end(),
            [](const Facet &a, const Facet &b) { return a.place() < b.place(); });
  // Shafts see the skin proximal of the heads alone, or they would show the edge of the heads' pressure.
  std::vector<Patch> plantar, under_shafts, sheared;
  std::vector<int> region; // ray - 1
  for (const Facet &f : facets) {
    plantar.push_back(patch_of(f, state.shape));
    under_shafts.push_back(plantar.back());
    if (0.5 * (f.s0 + f.s1) > head_from)
      under_shafts.back().value.fill(0);
    sheared.push_back(plantar.back());
    sheared.back().value.fill(f.shear);
    region.push_back(plantar.back().ray - 1);
  }
  std::array<double, 5 * 5> peak{}; // per ray: under the head, its sensor's x and y, under the shaft; shear
  if (!facets.empty()) {
    const std::vector<SensorReading> heads =
        sensor_readings(plantar, region, 5, sensor_side, under_heads(state.shape));
    const std::vector<SensorReading> shafts = sensor_readings(under_shafts, region, 5);
    const std::vector<SensorReading> shears =
        sensor_readings(sheared, region, 5, sensor_side, under_heads(state.shape));
    for (int r = 0; r < 5; ++r) {
      const std::array<double, 5> of_ray = {heads[r].pressure, heads[r].centre[0], heads[r].centre[1],
                                            shafts[r].pressure, shears[r].pressure};
      std::copy(of_ray.begin(), of_ray.end(), peak.begin() + 5 * r);
    }
  }
  peak = Utilities::MPI::broadcast(comm, peak);
  for (int r = 0; r < 5; ++r) {
    RayResult &ray = result.ray[r];
    ray.head_peak_pressure.value = peak[5 * r];
    ray.head_sensor = {peak[5 * r + 1], peak[5 * r + 2], 0};
    ray.shaft_peak_pressure.value = peak[5 * r + 3];
    ray.head_peak_shear = peak[5 * r + 4];
  }
  if (surfaces)
    result.plantar = std::move(plantar);
}

void extract_contact(const ForefootState &state, unsigned number, const Vector &u, DesignResult &result,
                     bool surfaces) {
  const Level &level = *state.levels[number];
  // Per ray: head force, shaft force, loaded area within 10 mm of the head, force on it, loaded area.
  std::vector<double> sum(5 * 5 + 1, 0.0), slip(2 * 5, 0.0); // slip: mm and cells per ray
  std::vector<Facet> facets;
  visit_contact(*state.operators[number], u, [&](const ContactPoint &p) {
    const int ray = ray_of(p.logical[1]) - 1;
    const bool head = p.logical[0] > head_from;
    const double force = p.pressure * p.area;
    sum[5 * ray + (head ? 0 : 1)] += force;
    if (p.pressure > 0.005) {
      const double x = state.shape.skin(p.logical[0], p.logical[1])[0];
      if (std::abs(x - state.shape.axis(ray + 1, head_station)[0]) <= under_head) {
        sum[5 * ray + 2] += p.area;
        sum[5 * ray + 3] += force;
      }
      sum[5 * ray + 4] += p.area;
      slip[2 * ray] = std::max(slip[2 * ray], p.slip);
      slip[2 * ray + 1] = std::max(slip[2 * ray + 1], p.slip_cells);
    }
    if (state.insole->under_support(p.logical[0], p.logical[1]))
      sum[25] += force;
    facets.push_back(facet_of(p));
  });
  Utilities::MPI::sum(sum, level.comm, sum);
  Utilities::MPI::max(slip, level.comm, slip);
  for (int r = 0; r < 5; ++r) {
    RayResult &ray = result.ray[r];
    ray.contact_slip = slip[2 * r];
    ray.contact_slip_cells = slip[2 * r + 1];
    ray.head_force.value = sum[5 * r];
    ray.shaft_force = sum[5 * r + 1];
    ray.head_mean_pressure = sum[5 * r + 2] > 0 ? 1000 * sum[5 * r + 3] / sum[5 * r + 2] : 0;
    ray.contact_area = sum[5 * r + 4];
  }
  result.support_force =
      state.insole->has_counted_support() ? sum[25] : std::numeric_limits<double>::quiet_NaN();
  extract_pressure(state, facets, level.comm, result, surfaces);
}

} // namespace

void extract(const ForefootState &state, unsigned number, const Vector &u, DesignResult &result,
             bool surfaces) {
  const Level &level = *state.levels[number];
  const SolidOperator &op = *state.operators[number];
  const std::vector<TiePull> pulls = op.ties().pulls(u, 1.0);
  for (int ray = 1; ray <= 5; ++ray)
    result.ray[ray - 1].toe_load =
        toe_statics(state.shape.foot(), state.activity, ray).load + pulls[ray - 1].toe;
  extract_sections(state, number, u, op.ties().forces(u, 1.0), result);
  extract_contact(state, number, u, result, surfaces);

  double toes = 0;
  result.fascia_total = 0;
  for (int ray = 1; ray <= 5; ++ray) {
    RayResult &r = result.ray[ray - 1];
    const ToeStatics toe = toe_statics(state.shape.foot(), state.activity, ray);
    r.flexor_tension = toe.flexor;
    r.fascia_tension = pulls[ray - 1].tension - toe.flexor;
    result.fascia_total += r.fascia_tension;
    toes += r.toe_load;
    Vec3 skin, bone;
    const Vec3 skin_now = place_of(level, u, {double(head_station), axis_of(ray), 0}, skin);
    const Vec3 bone_now = place_of(level, u, {double(head_station), axis_of(ray), 2 - cortex_radius}, bone);
    // Normal to the sole. Along the vertical, with the heel up, the pad's shear would count as compression.
    r.tissue_compression = 1 - (bone_now[2] - skin_now[2]) / (bone[2] - skin[2]);
  }
  result.upper_total = 0;
  for (int i = 0; i < uppers; ++i)
    result.upper_total += pulls[first_upper_tie + i].tension;
  result.applied_force = state.problem->carrier.force;
  result.ground_force = op.faces().ground_force(u) + toes;
  result.midfoot_drop = -op.ties().motion(u, 1.0)[0];
  if (surfaces)
    extract_bones(state, number, u, result);
}

std::string impossible_words(const DesignResult &result) {
  // Cortical bone breaks at 2 to 3 % (Reilly & Burstein 1975, from memory); a pad keeps some thickness (assumed).
  constexpr double breaking_strain = 20000, most_pressed = 0.95;
  for (int ray = 1; ray <= 5; ++ray) {
    const RayResult &r = result.ray[ray - 1];
    const std::string metatarsal = "MT" + std::to_string(ray);
    if (!(std::abs(r.peak_strain.value) < breaking_strain))
      return "the balance that was found strains " + metatarsal + " by " +
             std::to_string(static_cast<long>(std::round(std::abs(r.peak_strain.value)))) +
             " microstrain, more than bone bears (20000): such loads on such a foot are no state to compare";
    if (!(r.tissue_compression < most_pressed))
      return "the balance that was found presses the tissue under the head of " + metatarsal +
             " to nothing: such loads on such tissue are no state to compare";
  }
  return "";
}

} // namespace raybend
