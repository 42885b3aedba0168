// The named readings of a solved foot, one function each.
#include "postprocess/lab/foot_reading.hpp"
#include "postprocess/text/number_text.hpp"
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <stdexcept>

namespace raybend {

namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();

const RayResult &ray_of(const FootReading &reading, const DesignResult &r) {
  return r.ray[reading.ray - 1];
}

double StationResult::*side_strain(const std::string &side) {
  static const std::map<std::string, double StationResult::*> sides = {
      {"", &StationResult::strain_extreme},
      {"dorsal", &StationResult::strain_dorsal},
      {"plantar", &StationResult::strain_plantar},
      {"medial", &StationResult::strain_medial},
      {"lateral", &StationResult::strain_lateral}};
  return sides.at(side);
}

/// Straight between the stations on both sides of the place.
double strain_at(const RayResult &ray, const std::string &side, const double at) {
  const auto strain = side_strain(side);
  for (std::size_t i = 1; i < ray.shaft.size(); ++i) {
    const StationResult &a = ray.shaft[i - 1], &b = ray.shaft[i];
    if (a.fraction <= at && at <= b.fraction)
      return a.*strain + (b.*strain - a.*strain) * (at - a.fraction) / (b.fraction - a.fraction);
  }
  return nothing;
}

double strain(const FootReading &reading, const DesignResult &r, double) {
  const RayResult &ray = ray_of(reading, r);
  if (reading.at >= 0)
    return strain_at(ray, reading.side, reading.at);
  return reading.side == "dorsal"    ? ray.peak_dorsal.value
         : reading.side == "plantar" ? ray.peak_plantar.value
         : reading.side == "medial"  ? ray.peak_medial
         : reading.side == "lateral" ? ray.peak_lateral
                                     : ray.peak_strain.value;
}

/// Between 0.15 and 0.6 of the length: from there to the head both hang on where the ground's force enters.
double bending_over_axial(const FootReading &reading, const DesignResult &r, double) {
  double bending = 0, axial = 0;
  for (const StationResult &s : ray_of(reading, r).shaft)
    if (s.fraction > 0.15 && s.fraction < 0.6) {
      bending = std::max(bending, std::abs(s.strain_bending));
      axial = std::max(axial, std::abs(s.strain_axial));
    }
  return bending / axial;
}

double bending_stress(const FootReading &reading, const DesignResult &r, double) {
  return ray_of(reading, r).peak_bending_stress.value;
}

double head_force(const FootReading &reading, const DesignResult &r, double) {
  return ray_of(reading, r).head_force.value;
}

double head_pressure(const FootReading &reading, const DesignResult &r, double) {
  if (reading.ray)
    return ray_of(reading, r).head_peak_pressure.value;
  double largest = 0;
  for (const RayResult &ray : r.ray)
    largest = std::max(largest, ray.head_peak_pressure.value);
  return largest;
}

double shaft_pressure(const FootReading &reading, const DesignResult &r, double) {
  return ray_of(reading, r).shaft_peak_pressure.value;
}

double head_shear(const FootReading &reading, const DesignResult &r, double) {
  return ray_of(reading, r).head_peak_shear;
}

double tissue_compression(const FootReading &reading, const DesignResult &r, double) {
  return 100 * ray_of(reading, r).tissue_compression;
}

double fascia_tension(const FootReading &, const DesignResult &r, const double body_weight) {
  return r.fascia_total / body_weight;
}

using Reader = double (*)(const FootReading &, const DesignResult &, double body_weight);

/// The value of largest magnitude over the instants.
double largest(const Reader read, const FootReading &reading, const FootRun &run) {
  double found = nothing;
  for (const DesignResult &r : run.instants) {
    const double value = read(reading, r, run.body_weight);
    if (!(std::abs(value) <= std::abs(found)))
      found = value;
  }
  return found;
}

double head_share(const FootReading &reading, const FootRun &run) {
  double all = 0;
  for (int ray = 1; ray <= 5; ++ray)
    all += largest(head_force, {"head-force", ray, "", -1}, run);
  return 100 * largest(head_force, reading, run) / all;
}

/// Per cent of stance in which the pressure under a head is largest.
double head_pressure_instant(const FootReading &reading, const FootRun &run) {
  const auto worst = std::max_element(
      run.instants.begin(), run.instants.end(), [&](const DesignResult &a, const DesignResult &b) {
        return head_pressure(reading, a, run.body_weight) < head_pressure(reading, b, run.body_weight);
      });
  return worst == run.instants.end() ? nothing : worst->stance_percent;
}

struct Row {
  FootReadingKind kind;
  Reader read;                                                        ///< of one instant: the largest counts
  double (*read_run)(const FootReading &, const FootRun &) = nullptr; ///< of all instants together
};

const std::vector<Row> &rows() {
  static const std::vector<Row> all = {
      {{"strain", "ue", OfRay::must, true, "strain of MTRAY"}, strain},
      {{"bending-over-axial", "", OfRay::must, false, "bending over axial strain of MTRAY's shaft"},
       bending_over_axial},
      {{"bending-stress", "MPa", OfRay::must, false, "bending stress of MTRAY"}, bending_stress},
      {{"head-force", "N", OfRay::must, false, "force on head RAY"}, head_force},
      {{"head-share", "%", OfRay::must, false, "head RAY's part in the force on all heads"},
       nullptr,
       head_share},
      {{"head-pressure-instant", "% of stance", OfRay::must, false,
        "instant of the peak pressure under head RAY"},
       nullptr,
       head_pressure_instant},
      {{"head-pressure", "kPa", OfRay::may, false, "peak pressure under head RAY"}, head_pressure},
      {{"shaft-pressure", "kPa", OfRay::must, false, "peak pressure under MTRAY's shaft"}, shaft_pressure},
      {{"head-shear", "kPa", OfRay::must, false, "peak shear under head RAY"}, head_shear},
      {{"tissue-compression", "%", OfRay::must, false, "tissue under head RAY compressed by"},
       tissue_compression},
      {{"fascia-tension", "body weights", OfRay::never, false, "tension of the whole fascia"},
       fascia_tension},
  };
  return all;
}

const Row &row_of(const std::string &name) {
  for (const Row &row : rows())
    if (row.kind.name == name)
      return row;
  throw std::logic_error("nothing of a foot is read under the name " + name);
}

} // namespace

const std::vector<FootReadingKind> &foot_reading_kinds() {
  static const std::vector<FootReadingKind> kinds = [] {
    std::vector<FootReadingKind> list;
    for (const Row &row : rows())
      list.push_back(row.kind);
    return list;
  }();
  return kinds;
}

const FootReadingKind &foot_reading_kind(const std::string &name) {
  return row_of(name).kind;
}

double read_foot(const FootReading &reading, const FootRun &run) {
  const Row &row = row_of(reading.what);
  return row.read ? largest(row.read, reading, run) : row.read_run(reading, run);
}

std::string words_of(const FootReading &reading) {
  const FootReadingKind &kind = foot_reading_kind(reading.what);
  std::string words = kind.words;
  if (const std::size_t place = words.find("RAY"); place != std::string::npos)
    words.replace(place, 3, std::to_string(reading.ray));
  if (kind.ray == OfRay::may && reading.ray == 0)
    words = words.substr(0, words.find(" head 0")) + " any head";
  if (!kind.of_strain)
    return words;
  const std::string side = reading.side.empty() ? "" : reading.side + " ";
  return reading.at < 0 ? "largest " + side + words
                        : side + words + " at " + exact(reading.at) + " of its length";
}

} // namespace raybend
