#include "solver/forefoot/sections.hpp"
#include "geometry/logical_frame.hpp"
#include "meshing/tags.hpp"
#include "solver/forefoot/forefoot_problem.hpp"
#include "solver/forefoot/section_strain.hpp"
#include "solver/operator/mixed_cell.hpp"
#include "solver/operator/small_tensors.hpp"
#include <deal.II/base/quadrature_lib.h>
#include <deal.II/fe/fe_values.h>

namespace raybend {

using namespace dealii;
using namespace logical;

namespace {

using V = Tensor<1, 3>;

// Sums at one station plane of one ray; plain doubles so that ranks can add them up.
struct Plane {
  double area = 0;
  V centre, force, moment;                                // about the origin
  double strain[4] = {}, stress[4] = {}, samples[4] = {}; // dorsal, plantar, medial, lateral
  V outer_force,
      outer_moment; // exerted on the bone by the tissue just distal of the plane, but not on the plane itself
  V plane_force, plane_moment; // the same on the nodes of the plane

  template <typename Act> void each(const Act &act) {
    act(area);
    for (V *v : {&centre, &force, &moment, &outer_force, &outer_moment, &plane_force, &plane_moment})
      for (unsigned i = 0; i < 3; ++i)
        act((*v)[i]);
    for (double *list : {strain, stress, samples})
      for (unsigned i = 0; i < 4; ++i)
        act(list[i]);
  }
};

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

// The shaft's peaks from its stations between 15 and 85 % of the length; E in MPa.
void find_peaks(RayResult &r, double cortical_e) {
  std::vector<const StationResult *> counted;
  for (const StationResult &station : r.shaft)
    if (station.fraction >= 0.15 && station.fraction <= 0.85 + 1e-9)
      counted.push_back(&station);
  const auto largest = [&](const auto &value) {
    const StationResult *best = counted.front();
    for (const StationResult *station : counted)
      if (std::abs(value(*station)) > std::abs(value(*best)))
        best = station;
    return best;
  };
  const auto peak = [&](double StationResult::*value, double &of, double *at = nullptr) {
    const StationResult *station = largest([value](const StationResult &s) { return s.*value; });
    of = station->*value;
    if (at)
      *at = station->fraction;
    return station;
  };
  const StationResult *worst = peak(&StationResult::strain_extreme, r.peak_strain.value, &r.peak_strain_at);
  r.peak_strain_tensile = r.peak_strain.value > 0;
  r.peak_strain.value = std::abs(r.peak_strain.value);
  r.peak_strain_towards = worst->strain_extreme_towards;
  r.peak_strain_at_end = worst == counted.front() || worst == counted.back();
  peak(&StationResult::strain_dorsal, r.peak_dorsal.value, &r.peak_dorsal_at);
  peak(&StationResult::strain_plantar, r.peak_plantar.value, &r.peak_plantar_at);
  peak(&StationResult::strain_medial, r.medial_at_peak);
  peak(&StationResult::strain_lateral, r.lateral_at_peak);
  peak(&StationResult::moment_sagittal, r.peak_moment.value, &r.peak_moment_at);
  const auto bending = [](const StationResult &s) {
    return SectionStrain{s.strain_axial, s.strain_bending, s.strain_bending_transverse}.bending();
  };
  const StationResult *most_bent = largest(bending);
  r.peak_bending_stress.value = cortical_e * bending(*most_bent) * 1e-6;
  r.peak_bending_at = most_bent->fraction;
}

} // namespace

void extract_sections(const ForefootState &state, unsigned level_number, const Vector &u,
                      const std::vector<double> &tensions, DesignResult &result) {
  const Level &level = *state.levels[level_number];
  const Problem &problem = *state.problem;
  const int per_station = 1 << level_number, planes = stations * per_station + 1;
  std::vector<Plane> sums(5 * planes);
  std::vector<double> highest(5, -1e30), lowest(5, 1e30);
  std::vector<double> head(5 * 4, 0.0); // weighted place of each head and weight

  FEValues<3> ends(*level.mapping, level.fe, end_planes(),
                   update_values | update_JxW_values | update_inverse_jacobians | update_quadrature_points);
  FEValues<3> nodes(*level.mapping, level.fe, end_nodes(), update_gradients);
  FEValues<3> inside(*level.mapping, level.fe, QGauss<3>(n_points_1d),
                     update_values | update_gradients | update_JxW_values | update_quadrature_points);
  const FEValuesExtractors::Vector displacement(0);
  std::vector<Tensor<2, 3>> gradient(27), end_gradient(18);
  std::vector<V> value(18), inner_value(27);
  std::vector<types::global_dof_index> index(level.fe.n_dofs_per_cell());
  const auto &support = level.fe.get_unit_support_points();

  u.update_ghost_values();
  level.position.update_ghost_values();
  for (const auto &cell : level.dofs.active_cell_iterators()) {
    const unsigned tag = cell->material_id();
    if (!cell->is_locally_owned() || tag == tag_insole)
      continue;
    const Vec3 middle = Level::logical_point(cell, Point<3>(0.5, 0.5, 0.5));
    const int ray = ray_of(middle[1]);
    const bool bone = tag == tag_cortical || tag == tag_trabecular;
    const int slab =
        static_cast<int>(std::floor(middle[0] * per_station)); // cell between planes slab, slab + 1

    // Forces that the stress in this cell exerts on the bone's nodes.
    bool touches = false;
    std::vector<char> on_bone(index.size(), 0), on_plane(index.size(), 0);
    for (unsigned i = 0; i < index.size(); ++i) {
      const Vec3 l = Level::logical_point(cell, support[i]);
      on_bone[i] = bone || (l[2] > 1 - 1e-9 && l[0] < pole_station + 1e-9 &&
                            tile_radius(l[1], l[2], ray) < cortex_radius + 1e-9);
      on_plane[i] = support[i][0] < 1e-9;
      touches = touches || on_bone[i];
    }
    if (!touches)
      continue;
    inside.reinit(cell);
    inside[displacement].get_function_gradients(u, gradient);
    inside[displacement].get_function_values(u, inner_value);
    cell->get_dof_indices(index);
    std::vector<double> nodal(index.size(), 0.0);
    std::array<Tensor2, 27> f;
    std::array<Sym2, 27> stress;
    const Material &middle_material = *problem.materials[problem.material_at(middle, tag)];
    for (unsigned q = 0; q < 27; ++q) {
      const Vec3 l = Level::logical_point(cell, inside.get_quadrature().point(q));
      f[q] = deformation(gradient[q]);
      stress[q] = problem.materials[problem.material_at(l, tag)]->stress(f[q]);
    }
    if (middle_material.mixed()) {
      std::array<Point<3>, 27> place;
      MixedCell::Values weight;
      for (unsigned q = 0; q < 27; ++q) {
        place[q] = inside.quadrature_point(q);
        weight[q] = inside.JxW(q);
      }
      MixedCell mixed;
      mixed.reinit(place, weight);
      project_pressure(middle_material, mixed, f.data(), stress.data());
    }
    for (unsigned q = 0; q < 27; ++q) {
      const Tensor2 p = f[q] * Tensor2(stress[q]);
      for (unsigned i = 0; i < index.size(); ++i)
        if (on_bone[i] && (!bone || on_plane[i]))
          nodal[i] +=
              inside.JxW(q) * (p[level.fe.system_to_component_index(i).first] * inside.shape_grad(i, q));
    }
    Plane &cut = sums[(ray - 1) * planes + slab];
    for (unsigned node = 0; node < 27; ++node) {
      V f, x;
      const bool plane_node = on_plane[level.fe.component_to_system_index(0, node)];
      if (bone && !plane_node)
        continue;
      for (unsigned c = 0; c < 3; ++c) {
        const unsigned i = level.fe.component_to_system_index(c, node);
        f[c] = -nodal[i];
        x[c] = level.position[index[i]] + u[index[i]];
      }
      (bone ? cut.force : plane_node ? cut.plane_force : cut.outer_force) += f;
      (bone ? cut.moment : plane_node ? cut.plane_moment : cut.outer_moment) += cross_product_3d(x, f);
    }
    if (!bone)
      continue;

    ends.reinit(cell);
    ends[displacement].get_function_values(u, value);
    for (unsigned q = 0; q < 9; ++q) { // centre of the plane
      const double area = ends.JxW(q) * std::sqrt(contravariant(ends.inverse_jacobian(q)));
      cut.area += area;
      cut.centre += area * (ends.quadrature_point(q) + value[q]);
    }
    if (tag == tag_cortical) {
      nodes.reinit(cell);
      nodes[displacement].get_function_gradients(u, end_gradient);
      for (unsigned q = 0; q < 18; ++q) {
        const Vec3 l = Level::logical_point(cell, nodes.get_quadrature().point(q));
        const int place = surface_place(l, ray);
        if (place < 0)
          continue;
        Plane &plane = sums[(ray - 1) * planes + slab + (q < 9 ? 0 : 1)];
        const Tensor2 f = deformation(end_gradient[q]);
        const V t = tensor(state.shape.axis_tangent(ray, l[0]));
        const Sym2 e = 0.5 * (symmetrize(transpose(f) * f) - unit_symmetric_tensor<3>());
        plane.strain[place] += 1e6 * (t * (e * t));
        plane.stress[place] += t * (problem.materials[problem.material_at(l, tag)]->stress(f) * t);
        plane.samples[place] += 1;
      }
    }
    const double fraction = state.shape.distance(ray, middle[0]) / state.shape.foot().rays[ray - 1].length;
    const bool in_shaft = tag == tag_cortical && fraction > 0.15 && fraction < 0.85;
    if (in_shaft || middle[0] > head_station - 1) {
      for (unsigned q = 0; q < inside.n_quadrature_points; ++q) {
        const Vec3 l = Level::logical_point(cell, inside.get_quadrature().point(q));
        if (in_shaft) {
          const auto principal =
              eigenvalues(problem.materials[problem.material_at(l, tag)]->stress(deformation(gradient[q])));
          highest[ray - 1] = std::max(highest[ray - 1], principal[0]);
          lowest[ray - 1] = std::min(lowest[ray - 1], principal[2]);
        }
        const double w = problem.ties[ray - 1].region(l, tag) * inside.JxW(q);
        for (unsigned c = 0; c < 3; ++c)
          head[4 * (ray - 1) + c] += w * (inside.quadrature_point(q)[c] + inner_value[q][c]);
        head[4 * (ray - 1) + 3] += w;
      }
    }
  }
  u.zero_out_ghost_values();

  std::vector<double> flat;
  for (Plane &plane : sums)
    plane.each([&](double &x) { flat.push_back(x); });
  Utilities::MPI::sum(flat, level.comm, flat);
  Utilities::MPI::sum(head, level.comm, head);
  Utilities::MPI::max(highest, level.comm, highest);
  Utilities::MPI::min(lowest, level.comm, lowest);
  std::size_t at = 0;
  for (Plane &plane : sums)
    plane.each([&](double &x) { x = flat[at++]; });

  const V up = tensor(vertical(state.activity));
  for (int ray = 1; ray <= 5; ++ray) {
    RayResult &r = result.ray[ray - 1];
    const Ray &anatomy = state.shape.foot().rays[ray - 1];
    r.shaft.clear();
    const V head_place({head[4 * (ray - 1)] / head[4 * ray - 1], head[4 * (ray - 1) + 1] / head[4 * ray - 1],
                        head[4 * (ray - 1) + 2] / head[4 * ray - 1]});
    const V at_head = -tensions[ray - 1] * tensor(problem.ties[ray - 1].direction) +
                      toe_statics(state.shape.foot(), state.activity, ray).load * up;
    V at_ligaments; // deep transverse ligament, medial and lateral of this head
    for (int side = 0; side < 2; ++side) {
      const int tie = 5 + ray - 2 + side; // tie 5 joins rays 1 and 2
      if (tie >= 5 && tie < 9)
        at_ligaments += (side == 0 ? 1.0 : -1.0) * tensions[tie] * tensor(problem.ties[tie].direction);
    }
    V outer_force = at_head + at_ligaments, outer_moment = cross_product_3d(head_place, outer_force);
    for (int k = planes - 1; k >= 0; --k) {
      const Plane &plane = sums[(ray - 1) * planes + k];
      outer_force += plane.outer_force;
      outer_moment += plane.outer_moment;
      const V distal_force = outer_force, distal_moment = outer_moment; // without the plane's own nodes
      outer_force += plane.plane_force;
      outer_moment += plane.plane_moment;
      const double s = double(k) / per_station;
      if (s > head_station - 1 + 1e-9 || plane.area <= 0)
        continue;
      const V a = plane.centre / plane.area, t = tensor(state.shape.axis_tangent(ray, s));
      V m = cross_product_3d(V({0, 0, 1}), t);
      m /= m.norm();
      const V n = cross_product_3d(t, m);
      const V force = plane.force, couple = plane.moment - cross_product_3d(a, force);
      StationResult station;
      station.distance = state.shape.distance(ray, s);
      station.fraction = station.distance / anatomy.length;
      station.axial_force = force * t;
      station.shear_sagittal = force * n;
      station.shear_transverse = force * m;
      station.moment_sagittal = -(couple * m);
      station.moment_transverse = couple * n;
      station.torque = couple * t;
      station.statics_moment_sagittal = -((distal_moment - cross_product_3d(a, distal_force)) * m);
      const auto mean = [&](const double *list, int place) {
        return plane.samples[place] > 0 ? list[place] / plane.samples[place] : 0.0;
      };
      station.strain_dorsal = mean(plane.strain, 0);
      station.strain_plantar = mean(plane.strain, 1);
      station.strain_medial = mean(plane.strain, 2);
      station.strain_lateral = mean(plane.strain, 3);
      station.stress_dorsal = mean(plane.stress, 0);
      station.stress_plantar = mean(plane.stress, 1);
      const SideStrains sides{station.strain_dorsal, station.strain_plantar, station.strain_medial,
                              station.strain_lateral};
      const SectionStrain section = section_strain(sides);
      station.strain_axial = section.axial;
      station.strain_bending = section.sagittal;
      station.strain_bending_transverse = section.transverse;
      const ExtremeStrain extreme = extreme_strain(sides);
      station.strain_extreme = extreme.value;
      station.strain_extreme_towards = extreme.towards;
      r.shaft.insert(r.shaft.begin(), station);
    }
    r.peak_tension = highest[ray - 1];
    r.peak_compression = lowest[ray - 1];
    r.base_force_axial = r.shaft.front().axial_force;
    find_peaks(r, state.shape.foot().materials.cortical_e);
  }
}

} // namespace raybend
