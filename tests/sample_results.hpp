// Three invented designs with their results, for tests of ranking, words and tables.
#pragma once
#include "postprocess/compare/report_input.hpp"
#include <string>

namespace raybend {

/// A result whose painful ray 2 has the given dorsal strain as its peak; the other rays stay at -800 ue.
inline DesignResult result(double dorsal_2, double band = 20) {
  DesignResult d;
  d.converged = true;
  d.applied_force = d.ground_force = 700;
  for (RayResult &ray : d.ray) {
    ray.peak_strain = {800, band};
    ray.peak_dorsal = {-800, band};
    ray.peak_plantar = {300, band};
    ray.head_peak_pressure = {200, 5};
    ray.head_force = {100, 2};
    ray.shaft_peak_pressure = {20, 1};
    ray.shaft.resize(3);
    for (int i = 0; i < 3; ++i)
      ray.shaft[i].fraction = 0.5 * i;
  }
  d.ray[1].peak_strain = {-dorsal_2, band};
  d.ray[1].peak_dorsal = {dorsal_2, band};
  return d;
}

inline DesignOutcome outcome(const std::string &name, double dorsal_2, double without = 0) {
  DesignOutcome o;
  o.design.name = name;
  o.design.title = "Title of " + name;
  o.with = result(dorsal_2);
  o.without = without != 0 ? result(without) : o.with;
  if (without != 0)
    o.design.support.emplace_back();
  return o;
}

inline ReportInput three_designs() {
  ReportInput in;
  in.title = "Three";
  in.question = "Which one?";
  in.note = "Invented patient.";
  in.foot.body_mass_kg = 70;
  in.foot.painful_ray = 2;
  in.activity.activity.name = "standing";
  in.activity.activity.force_bw = 1;
  in.outcomes = {outcome("flat", -1500), outcome("pad", -1200, -1480), outcome("bar", -1230, -1480)};
  in.reference = "flat";
  return in;
}

} // namespace raybend
