// Insoles too soft for their load, told before anything is solved.
#include "cases/forefoot/warnings/softness.hpp"
#include "cases/catalogue/anatomy.hpp"
#include "cases/words/words.hpp"
#include "solver/materials/invariant_material.hpp"
#include <cmath>
#include <memory>

namespace raybend {

namespace {

std::unique_ptr<Material> law_of(const InsoleMaterial &m) {
  if (m.law == MaterialLaw::solid)
    return std::make_unique<NeoHooke>(m.e, m.nu);
  return std::make_unique<GasFoam>(m.e, m.nu, m.gas_pressure, m.relative_density);
}

} // namespace

double lost_part(const InsoleMaterial &material, const double pressure) {
  const std::unique_ptr<Material> law = law_of(material);
  double low = 0, high = 1; // stretches; the stress grows without bound towards the smaller one
  for (int step = 0; step < 50; ++step) {
    const double stretch = (low + high) / 2;
    Tensor2 f;
    f[0][0] = f[1][1] = 1;
    f[2][2] = stretch;
    if (!law->admissible(f) || -stretch * law->stress(f)[2][2] > pressure)
      low = stretch;
    else
      high = stretch;
  }
  return 1 - high;
}

double mean_pressure(const Forefoot &foot, const Activity &activity) {
  const double force = vertical_force(activity, foot.body_mass_kg) * (1 - activity.toe_share);
  return force / (forefoot_width(foot) * foot.foot_length / 6);
}

std::string softness_words(const Forefoot &foot, const Activity &activity, const Design &design) {
  if (activity.barefoot)
    return "";
  const double mean = mean_pressure(foot, activity);
  double most = 0, sinking = 0;
  std::string softest;
  for (const Layer &layer : design.layers) {
    const double part = part_there(layer, 0); // under the heads
    if (part < 0.05)                          // next to nothing, assumed
      continue;
    const InsoleMaterial &m = layer.material;
    if (const double lost = lost_part(m, peak_over_mean * mean); lost > most) {
      most = lost;
      softest = m.name + ", E " + number_text(m.e, 3) + " MPa";
    }
    if (layer.role != LayerRole::sole)
      sinking += part * layer.thickness * lost_part(m, mean);
  }
  if (most <= largest_lost_part)
    return "";
  return "the foam (" + softest + ") is pressed to about " + number_text(100 * (1 - most), 2) +
         " % of its thickness under the most loaded head and the heads sink about " +
         number_text(sinking, 2) +
         " mm into base and cover (one-dimensional estimate: the forefoot's mean is " +
         number_text(std::round(1000 * mean)) + " kPa, at a point under one head " +
         number_text(peak_over_mean) +
         " times that); at standard resolution the calculation may stop before the full load; a firmer foam "
         "helps";
}

} // namespace raybend
