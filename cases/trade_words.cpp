#include "cases/trade_words.hpp"

namespace raybend {

const std::vector<std::pair<std::string, std::string>> &trade_words() {
  static const std::vector<std::pair<std::string, std::string>> words = {
      {"weight", "body_mass_kg"},
      {"body_weight", "body_mass_kg"},
      {"gender", "sex"},
      {"woman", "female"},
      {"man", "male"},
      {"arch_height", "arch_rise_mm"},
      {"ball_width", "forefoot_width_mm"},
      {"foot_width", "forefoot_width_mm"},
      {"cavus", "high-arch"},
      {"pes_cavus", "high-arch"},
      {"planus", "low-arch"},
      {"pes_planus", "low-arch"},
      {"flat_foot", "low-arch"},
      {"flatfoot", "low-arch"},
      {"jogging", "running-push-off"},
      {"outsole", "sole"},
      {"midsole", "sole"},
      {"insole", "base"},
      {"topcover", "cover"},
      {"metbar", "bar"},
      {"metpad", "pad"},
      {"dome", "pad"},
      {"cutout", "relief"},
      {"cut_out", "relief"},
      {"recess", "relief"},
      {"posting", "wedge"},
      {"plug", "hardness"},
      {"mt1", "ray1"},
      {"mt2", "ray2"},
      {"mt3", "ray3"},
      {"mt4", "ray4"},
      {"mt5", "ray5"},
      {"heel_wedge", ""},
      {"heel_pad", ""},
      {"heel_raise", ""},
      {"rearfoot_wedge", ""},
      {"carbon", "carbon-plate"},
      {"carbon_fibre", "carbon-plate"},
      {"carbon_fiber", "carbon-plate"},
  };
  return words;
}

} // namespace raybend
