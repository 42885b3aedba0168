// The envelope of a step's instants.
#include "postprocess/compare/step.hpp"
#include "geometry/constants.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

/// A peak with what is said of it, taken over as a whole from the instant where its magnitude is largest.
void take_larger(Banded &into, const Banded &from) {
  const double coarser = std::abs(from.coarser) > std::abs(into.coarser) || std::isnan(into.coarser)
                             ? from.coarser
                             : into.coarser;
  if (std::abs(from.value) > std::abs(into.value))
    into = from;
  into.coarser = coarser;
}

void take_peaks(RayResult &into, const RayResult &from) {
  if (from.peak_strain.value > into.peak_strain.value) {
    into.shaft = from.shaft;
    into.peak_strain_tensile = from.peak_strain_tensile;
    into.peak_strain_at = from.peak_strain_at;
    into.peak_strain_towards = from.peak_strain_towards;
    into.peak_strain_at_end = from.peak_strain_at_end;
    into.peak_strain_stance = from.peak_strain_stance;
  }
  if (from.head_peak_pressure.value > into.head_peak_pressure.value) {
    into.head_sensor = from.head_sensor;
    into.head_pressure_stance = from.head_pressure_stance;
  }
  const auto placed = [&](Banded RayResult::*peak, double RayResult::*at) {
    if (std::abs((from.*peak).value) > std::abs((into.*peak).value))
      into.*at = from.*at;
    take_larger(into.*peak, from.*peak);
  };
  placed(&RayResult::peak_dorsal, &RayResult::peak_dorsal_at);
  placed(&RayResult::peak_plantar, &RayResult::peak_plantar_at);
  placed(&RayResult::peak_moment, &RayResult::peak_moment_at);
  placed(&RayResult::peak_bending_stress, &RayResult::peak_bending_at);
  for (Banded RayResult::*peak : {&RayResult::peak_strain, &RayResult::head_force,
                                  &RayResult::head_peak_pressure, &RayResult::shaft_peak_pressure})
    take_larger(into.*peak, from.*peak);
  if (from.peak_tension > into.peak_tension) {
    into.peak_tension = from.peak_tension;
    into.peak_tension_at = from.peak_tension_at;
  }
  if (from.peak_compression < into.peak_compression) {
    into.peak_compression = from.peak_compression;
    into.peak_compression_at = from.peak_compression_at;
  }
  for (double RayResult::*largest :
       {&RayResult::peak_medial, &RayResult::peak_lateral, &RayResult::shaft_force,
        &RayResult::head_peak_shear, &RayResult::head_mean_pressure, &RayResult::contact_area,
        &RayResult::contact_slip, &RayResult::contact_slip_cells, &RayResult::tissue_compression,
        &RayResult::fascia_tension, &RayResult::flexor_tension, &RayResult::toe_load,
        &RayResult::base_force_axial})
    if (std::abs(from.*largest) > std::abs(into.*largest))
      into.*largest = from.*largest;
}

/// The bones of each ray from the instant that strains it most, in the order of the patches that all designs share.
std::vector<Patch> worst_bones(const StepResult &step, const DesignResult &peaks) {
  std::vector<Patch> bones = step.front().bones;
  for (const DesignResult &instant : step)
    for (std::size_t i = 0; i < std::min(bones.size(), instant.bones.size()); ++i)
      if (const Patch &patch = instant.bones[i];
          patch.ray >= 1 && patch.ray <= 5 &&
          instant.stance_percent == peaks.ray[patch.ray - 1].peak_strain_stance)
        bones[i] = patch;
  return bones;
}

double strain_at(const StationResult &s, const double angle) {
  return s.strain_axial - s.strain_bending * std::cos(angle) - s.strain_bending_transverse * std::sin(angle);
}

DesignResult peaks_over(const StepResult &step) {
  const auto heaviest =
      std::max_element(step.begin(), step.end(), [](const DesignResult &a, const DesignResult &b) {
        return a.applied_force < b.applied_force;
      });
  DesignResult whole = *heaviest;
  whole.converged = true;
  whole.message.clear();
  whole.record = {};
  for (const DesignResult &instant : step) {
    if (!instant.converged) {
      whole.message += (whole.converged ? "" : "; ") +
                       ("at " + std::to_string(std::lround(instant.stance_percent))) +
                       " % of stance: " + instant.message;
      whole.converged = false;
      continue;
    }
    for (int r = 0; r < 5; ++r)
      if (&instant != &*heaviest)
        take_peaks(whole.ray[r], instant.ray[r]);
    for (std::size_t i = 0; i < std::min(whole.plantar.size(), instant.plantar.size()); ++i)
      for (int corner = 0; corner < 4; ++corner)
        whole.plantar[i].value[corner] =
            std::max(whole.plantar[i].value[corner], instant.plantar[i].value[corner]);
    whole.fascia_total = std::max(whole.fascia_total, instant.fascia_total);
    whole.upper_total = std::max(whole.upper_total, instant.upper_total);
    SolveRecord &sum = whole.record;
    const SolveRecord &one = instant.record;
    sum.newton_steps += one.newton_steps;
    sum.cg_iterations += one.cg_iterations;
    sum.descent_iterations += one.descent_iterations;
    sum.load_steps += one.load_steps;
    sum.seconds += one.seconds;
    sum.most_cg_in_a_step = std::max(sum.most_cg_in_a_step, one.most_cg_in_a_step);
    sum.peak_memory_mib = std::max(sum.peak_memory_mib, one.peak_memory_mib);
    sum.unknowns = one.unknowns;
    sum.cells = one.cells;
    sum.ranks = one.ranks;
  }
  if (whole.converged)
    whole.bones = worst_bones(step, whole);
  return whole;
}

} // namespace

void take_ranges(const std::vector<const RayResult *> &instants, const Forefoot &foot, const int ray,
                 RayResult &into) {
  const std::array<double, 2> part = counted_part(foot, ray);
  std::vector<double> lowest, highest;
  SpotRanges &spots = into.spots = {};
  for (const RayResult *instant : instants) {
    std::size_t spot = 0;
    for (const StationResult &s : instant->shaft) {
      if (!is_counted(part, s.fraction))
        continue;
      for (int a = 0; a < SpotRanges::angles; ++a, ++spot) {
        const double strain = strain_at(s, 2 * pi * a / SpotRanges::angles);
        if (spot == lowest.size()) {
          lowest.push_back(0);
          highest.push_back(0);
          if (a == 0)
            spots.fraction.push_back(s.fraction);
        }
        lowest[spot] = std::min(lowest[spot], strain);
        highest[spot] = std::max(highest[spot], strain);
      }
    }
  }
  into.strain_range = 0;
  for (std::size_t i = 0; i < lowest.size(); ++i) {
    spots.range.push_back(highest[i] - lowest[i]);
    if (spots.range[i] > into.strain_range) {
      into.strain_range = spots.range[i];
      into.strain_range_at = spots.fraction[i / SpotRanges::angles];
      into.strain_range_towards = 360.0 * (i % SpotRanges::angles) / SpotRanges::angles;
    }
  }
}

DesignResult over_step(const StepResult &step, const Forefoot &foot) {
  if (step.empty())
    return {};
  DesignResult whole = step.size() == 1 ? step.front() : peaks_over(step);
  for (int r = 1; r <= 5 && whole.converged; ++r) {
    std::vector<const RayResult *> instants;
    for (const DesignResult &instant : step)
      instants.push_back(&instant.ray[r - 1]);
    take_ranges(instants, foot, r, whole.ray[r - 1]);
  }
  return whole;
}

} // namespace raybend
