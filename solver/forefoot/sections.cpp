// Section resultants, strains and statics along the rays.
#include "solver/forefoot/sections.hpp"
#include "geometry/logical_frame.hpp"
#include "solver/forefoot/bone_sums.hpp"
#include "solver/forefoot/forefoot_problem.hpp"
#include "solver/forefoot/section_strain.hpp"
#include "solver/operator/small_tensors.hpp"
#include <limits>

namespace raybend {

using namespace dealii;
using namespace logical;

namespace {

using V = Tensor<1, 3>;

// The shaft's peaks from its stations between two parts of the length; E in MPa.
void find_peaks(RayResult &r, const std::array<double, 2> &part, double cortical_e) {
  std::vector<const StationResult *> counted;
  for (const StationResult &station : r.shaft)
    if (is_counted(part, station.fraction))
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
  peak(&StationResult::strain_medial, r.peak_medial);
  peak(&StationResult::strain_lateral, r.peak_lateral);
  peak(&StationResult::moment_sagittal, r.peak_moment.value, &r.peak_moment_at);
  const auto bending = [](const StationResult &s) {
    return SectionStrain{s.strain_axial, s.strain_bending, s.strain_bending_transverse}.bending();
  };
  const StationResult *most_bent = largest(bending);
  r.peak_bending_stress.value = cortical_e * bending(*most_bent) * 1e-6;
  r.peak_bending_at = most_bent->fraction;
}

/// A force and its moment about the origin.
struct Load {
  V force, moment;
  void add(const V &f, const V &m) {
    force += f;
    moment += m;
  }
  V moment_about(const V &point) const { return moment - cross_product_3d(point, force); }
};

/// What ties, toe and ligaments exert on a ray's head.
Load load_on_head(const ForefootState &state, int ray, const V &head, const std::vector<Vec3> &ties) {
  V force = tensor(ties[ray - 1]) + toe_statics(state.shape.foot(), state.activity, ray).load *
                                        tensor(force_direction(state.activity));
  V ligaments; // deep transverse ligament, medial and lateral of this head
  for (int side = 0; side < 2; ++side) {
    const int tie = 5 + ray - 2 + side; // tie 5 joins rays 1 and 2
    if (tie >= 5 && tie < first_upper_tie)
      ligaments += (side == 0 ? -1.0 : 1.0) * tensor(ties[tie]);
  }
  force += ligaments;
  return {force, cross_product_3d(head, force)};
}

/// Axes of a section: t along the bone (distal), m medial, n dorsal.
struct SectionAxes {
  V t, m, n;
};

/// Those of the unloaded ray, turned with the bone: by R of the mean deformation F = R U round the section.
SectionAxes section_axes(const FootShape &shape, int ray, double s, const Tensor<2, 3> &deformation) {
  const V t = tensor(shape.axis_tangent(ray, s));
  V m = cross_product_3d(V({0, 0, 1}), t);
  m /= m.norm();
  const Tensor<2, 3> turn = rotation_part(deformation);
  return {turn * t, turn * m, turn * cross_product_3d(t, m)};
}

/// One station: resultants of the stress (`plane`) and the same by statics of all that acts distal of it, about the section's centre in the section's axes.
StationResult station_result(const FootShape &shape, int ray, double s, const SectionPlane &plane,
                             const Load &distal) {
  const V centre = plane.centre / plane.area;
  const auto [t, m, n] = section_axes(shape, ray, s, plane.deformation);
  StationResult station;
  station.distance = shape.distance(ray, s);
  station.fraction = station.distance / shape.foot().rays[ray - 1].length;
  // Force and moment about the centre, along the section's axes.
  const auto resolve = [&, &t = t, &m = m, &n = n](const Load &load, std::array<double *, 3> force,
                                                   std::array<double *, 3> moment) {
    const V about = load.moment_about(centre);
    *force[0] = load.force * t;
    *force[1] = load.force * n;
    *force[2] = load.force * m;
    *moment[0] = -(about * m);
    *moment[1] = about * n;
    *moment[2] = about * t;
  };
  resolve({plane.force, plane.moment},
          {&station.axial_force, &station.shear_sagittal, &station.shear_transverse},
          {&station.moment_sagittal, &station.moment_transverse, &station.torque});
  // Beside its base the joint's stop acts on the bone, spread over the first cell: statics is not said there.
  const double not_said = std::numeric_limits<double>::quiet_NaN();
  const Load known = s < 1 - 1e-9 ? Load{not_said * V({1, 1, 1}), not_said * V({1, 1, 1})} : distal;
  resolve(known,
          {&station.statics_axial_force, &station.statics_shear_sagittal, &station.statics_shear_transverse},
          {&station.statics_moment_sagittal, &station.statics_moment_transverse, &station.statics_torque});
  const auto mean = [&](const std::array<double, 4> &list, int place) {
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
  return station;
}

} // namespace

void extract_sections(const ForefootState &state, unsigned level_number, const Vector &u,
                      const std::vector<Vec3> &ties, DesignResult &result) {
  BoneSums sums = sum_bones(state, level_number, u);
  for (int ray = 1; ray <= 5; ++ray) {
    RayResult &r = result.ray[ray - 1];
    r.shaft.clear();
    const Load on_head = load_on_head(state, ray, sums.head[ray - 1], ties);
    Load outer = on_head; // distal of the plane at hand
    for (int k = sums.planes - 1; k >= 0; --k) {
      SectionPlane &plane = sums.at(ray, k);
      // The stress of the cells distal of the plane, tested with the plane's nodes, balances what acts on these cells
      // at these nodes as well: int P : grad phi - b . phi is what passes through the plane.
      plane.force += plane.head_share * on_head.force;
      plane.moment += cross_product_3d(plane.head_place, on_head.force);
      outer.add(plane.outer_force, plane.outer_moment);
      const Load distal = outer; // without the plane's own nodes
      outer.add(plane.plane_force, plane.plane_moment);
      const double s = double(k) / (1 << level_number);
      if (s <= head_station - 1 + 1e-9 && plane.area > 0)
        r.shaft.insert(r.shaft.begin(), station_result(state.shape, ray, s, plane, distal));
    }
    r.peak_tension = sums.highest[ray - 1].value;
    r.peak_tension_at = sums.highest[ray - 1].at;
    r.peak_compression = sums.lowest[ray - 1].value;
    r.peak_compression_at = sums.lowest[ray - 1].at;
    r.base_force_axial = r.shaft.front().axial_force;
    find_peaks(r, counted_part(state.shape.foot(), ray), state.shape.foot().materials.cortical_e);
  }
}

} // namespace raybend
