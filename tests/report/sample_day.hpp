// Activities of an invented day with their results, for tests of the sum over a day.
#pragma once
#include "postprocess/compare/report_input.hpp"
#include <cmath>
#include <string>
#include <vector>

namespace raybend {

inline DesignResult day_result(double strain, double band, double coarser = std::nan("")) {
  DesignResult d;
  d.converged = true;
  d.applied_force = d.ground_force = 700;
  for (RayResult &ray : d.ray) {
    ray.peak_strain = {strain, band, coarser};
    ray.peak_dorsal = {-strain, band, -coarser};
    ray.peak_plantar = {strain / 3, band, coarser / 3};
    ray.head_peak_pressure = {200, 5};
    ray.shaft.resize(2);
  }
  return d;
}

inline ReportInput part(const std::string &kind, double cycles, const std::vector<double> &strains,
                        double band = 10) {
  ReportInput in;
  in.title = "Shift";
  in.note = "Invented patient.";
  in.foot.body_mass_kg = 70;
  in.foot.painful_ray = 2;
  in.activity.name = in.activity.activity.name = kind;
  in.activity.activity.force_bw = 1;
  in.activity.activity.steps_per_hour = 2 * cycles;
  in.activity.hours_per_day = 1;
  for (std::size_t i = 0; i < strains.size(); ++i) {
    DesignOutcome o;
    o.design.name = std::string(1, char('a' + i));
    o.design.title = "Title " + o.design.name;
    o.with = o.without = day_result(strains[i], band);
    in.outcomes.push_back(o);
  }
  return in;
}

} // namespace raybend
