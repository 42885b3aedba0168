// Warnings of layers that end under the forefoot.
#include "cases/forefoot/warnings/layer_warnings.hpp"
#include "cases/catalogue/support_kinds.hpp"
#include "cases/words/words.hpp"
#include "geometry/insole_shape.hpp"
#include "geometry/over_plan.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

constexpr double hardly_there = 0.05, nearly_whole = 0.95; // of a layer's thickness; assumed
constexpr double noticeable_share = 0.1;                   // of a support element's plan; assumed

/// `keys`: the layer's, up to the last dot.
void warn_of_layer(const Design &design, const Layer &layer, const InsoleShape &insole,
                   const FootShape &shape, const std::string &keys, ReadingLog &log) {
  const std::string from = keys + "from_behind_heads_mm", to = keys + "to_behind_heads_mm";
  if (!layer.begins() && !layer.ends())
    return;
  const std::string name = design.name + ": the " + role_name(layer.role);
  double most = 0, rearmost = 0, foremost = 1e9; // mm behind the heads: what is modelled
  over_plan([&](const double s, const double b) {
    most = std::max(most, insole.part(layer.role, s, b));
    rearmost = std::max(rearmost, shape.behind_heads(s, b));
    foremost = std::min(foremost, shape.behind_heads(s, b));
  });
  if (most < hardly_there) {
    log.warn(layer.ends() ? to : from, design.name + ": nothing of the " + role_name(layer.role) +
                                           " lies under the part of the foot that is modelled");
    return;
  }
  if (most < nearly_whole)
    log.warn(layer.ends() ? to : from, name + " is nowhere under the forefoot as thick as it says, at most " +
                                           number_text(most * layer.thickness, 2) + " of " +
                                           number_text(layer.thickness) + " mm: its bevel of " +
                                           number_text(layer.bevel) +
                                           " mm reaches beyond what is modelled; a shorter bevel_mm helps");
  const double bevel = layer.bevelled() ? layer.bevel : 0;
  if (layer.ends() && layer.to_behind_heads + bevel <= foremost)
    log.warn(to, name + " ends in front of the part of the foot that is modelled, which reaches " +
                     number_text(std::round(-foremost)) +
                     " mm in front of the heads: its end changes nothing");
  if (layer.begins() && layer.from_behind_heads - bevel >= rearmost)
    log.warn(from, name + " begins behind the part of the foot that is modelled, which reaches " +
                       number_text(std::round(rearmost)) + " mm behind the heads: its end changes nothing");
  else if (layer.begins() && !layer.ends() && layer.role == LayerRole::base)
    log.warn(from, name + " lies only in front of its end, from " +
                       number_text(std::abs(layer.from_behind_heads)) + " mm " +
                       (layer.from_behind_heads < 0 ? "in front of" : "behind") +
                       " the heads to the toes; to end it there, write to_behind_heads_mm = " +
                       number_text(layer.from_behind_heads));
}

void warn_of_element(const Design &design, const std::size_t i, const InsoleShape &insole,
                     const std::string &key, ReadingLog &log) {
  const SupportElement &e = design.support[i];
  // A plate lies under the base; a wedge under a shell tilts the filler foam, which goes on.
  if (e.kind == SupportKind::plate || (e.kind == SupportKind::wedge && design.is_moulded_shell()))
    return;
  double all = 0, missing = 0; // weighted by what it adds or takes
  over_plan([&](const double s, const double b) {
    if (!insole.covers(i, s, b))
      return;
    const double weight = e.kind == SupportKind::hardness ? 1 : std::abs(insole.rise_by(i, s, b));
    all += weight;
    missing += insole.part(LayerRole::base, s, b) < 0.5 ? weight : 0;
  });
  if (missing <= noticeable_share * all)
    return;
  const bool wholly = missing > (1 - noticeable_share) * all;
  const std::string what =
      e.kind == SupportKind::hardness ? "region of another hardness" : support_kind(e.kind).name;
  const std::string share = wholly ? "all" : "about " + number_text(std::round(100 * missing / all)) + " %";
  log.warn(key, design.name + ": " + share + " of the " + what + " lies where the base has ended, and " +
                    (raises(e.kind) ? "stands on what is below there" : "changes nothing there"));
}

} // namespace

void warn_of_ended_layers(const Case &c, ReadingLog &log) {
  const FootShape shape(c.foot);
  for (std::size_t d = 0; d < c.designs.size(); ++d) {
    const Design &design = c.designs[d];
    const std::string place = "designs[" + std::to_string(d + 1) + "].";
    const InsoleShape insole(design, shape);
    for (std::size_t i = 0; i < design.layers.size(); ++i)
      warn_of_layer(design, design.layers[i], insole, shape, place + "layers[" + std::to_string(i + 1) + "].",
                    log);
    for (std::size_t i = 0; i < design.support.size(); ++i)
      warn_of_element(design, i, insole, place + "support[" + std::to_string(i + 1) + "].kind", log);
  }
}

} // namespace raybend
