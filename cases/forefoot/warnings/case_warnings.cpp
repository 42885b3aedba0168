// Warnings that need the whole case: what is allowed and can be calculated, but likely is not what was meant.
#include "cases/forefoot/warnings/case_warnings.hpp"
#include "cases/catalogue/anatomy.hpp"
#include "cases/catalogue/support_kinds.hpp"
#include "cases/forefoot/design_reader.hpp"
#include "cases/forefoot/warnings/layer_warnings.hpp"
#include "cases/forefoot/warnings/overlap_warnings.hpp"
#include "cases/forefoot/warnings/softness.hpp"
#include "cases/words/words.hpp"
#include "geometry/foot_shape.hpp"
#include "geometry/insole_shape.hpp"
#include "geometry/logical_frame.hpp"
#include "geometry/over_plan.hpp"
#include "postprocess/canvas/picture_font.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

std::string design_place(const std::size_t d) {
  return "designs[" + std::to_string(d + 1) + "]";
}

// An edge is placed to the millimetre, and it runs out flat: a pad 45 mm long that ends 1 mm behind the base
// loses less than 1 % of its volume, the slant of the plane of the bases counted in.
constexpr double edge_tolerance_mm = 1;

/// Where the model ends behind a pad or bar.
struct ModelEnd {
  int ray = 0;     ///< whose base it is
  double room = 0; ///< mm along the foot, behind the head that the element's place counts from
};

/// Behind the middle of a pad, which counts from its ray's head; behind that ray under a bar whose base is
/// nearest to its head.
ModelEnd model_end(const FootShape &shape, const SupportElement &e) {
  const double middle = shape.axis(e.ray, 0)[1] + e.shift_medial;
  ModelEnd end;
  if (e.kind == SupportKind::pad) {
    double nearest = 1e9;
    for (int i = 0; i <= 200; ++i) {
      const double b = i / 20.0;
      const Vec3 base = shape.skin(0, b);
      if (const double off = std::abs(base[1] - middle); off < nearest) {
        nearest = off;
        end = {logical::ray_of(b), shape.axis(e.ray, logical::head_station)[0] - base[0]};
      }
    }
    return end;
  }
  for (int ray = 1; ray <= 5; ++ray) {
    const double room = shape.axis(ray, logical::head_station)[0] - shape.axis(ray, 0)[0];
    const bool under = e.width <= 0 || ray == e.ray || std::abs(shape.axis(ray, 0)[1] - middle) < e.width / 2;
    if (under && (end.ray == 0 || room < end.room))
      end = {ray, room};
  }
  return end;
}

/// Pads and bars whose proximal edge lies behind the bases, along the foot as the insole's shape has it: a
/// ray is shorter in plan than along its axis.
void warn_of_extents(const Case &c, ReadingLog &log) {
  const FootShape shape(c.foot);
  for (std::size_t d = 0; d < c.designs.size(); ++d)
    for (std::size_t s = 0; s < c.designs[d].support.size(); ++s) {
      const SupportElement &e = c.designs[d].support[s];
      if (e.kind != SupportKind::pad && e.kind != SupportKind::bar)
        continue;
      const ModelEnd end = model_end(shape, e);
      const double behind =
          e.behind_heads + e.length + (e.kind == SupportKind::bar ? e.proximal_bevel + e.distal_bevel : 0);
      if (behind <= end.room + edge_tolerance_mm)
        continue;
      const std::string place =
          "designs[" + std::to_string(d + 1) + "].support[" + std::to_string(s + 1) + "].";
      std::string key = place + "kind";
      for (const char *name : {"length_mm", "behind_heads_mm"}) // the last one that is given
        if (log.lines.count(place + name))
          key = place + name;
      log.warn(key, c.designs[d].name + ": the " + support_kind(e.kind).name + " reaches " +
                        number_text(behind, 3) + " mm behind the head" +
                        (e.kind == SupportKind::pad ? " of ray " + std::to_string(e.ray) : "s") +
                        ", but ray " + std::to_string(end.ray) + " ends at its base, " +
                        number_text(end.room, 3) + " mm behind; its last " +
                        number_text(behind - end.room, 2) + " mm carry nothing");
    }
}

/// Activities without an insole: what designs are compared by does not differ there.
void warn_of_barefoot(const Case &c, ReadingLog &log) {
  for (std::size_t a = 0; a < c.day.size(); ++a)
    if (c.day[a].activity.barefoot) {
      const std::string key =
          (c.day_is_list ? "activity[" + std::to_string(a + 1) + "]" : std::string("activity")) + ".barefoot";
      log.warn(key,
               (c.day.size() > 1 ? c.day[a].name + ": b" : std::string("b")) +
                   "arefoot on rigid ground no design is under the foot: all designs share one result there");
    }
}

/// Insoles that the load likely presses flat; of several activities the one that presses most.
void warn_of_softness(const Case &c, ReadingLog &log) {
  const auto pressure = [&c](const DayActivity &d) { return mean_pressure(c.foot, d.activity); };
  const auto hardest =
      std::max_element(c.day.begin(), c.day.end(),
                       [&](const DayActivity &a, const DayActivity &b) { return pressure(a) < pressure(b); });
  for (std::size_t d = 0; d < c.designs.size(); ++d)
    if (const std::string words = softness_words(c.foot, hardest->activity, c.designs[d]); !words.empty()) {
      const std::string key = "designs[" + std::to_string(d + 1) + "].name";
      log.warn(key, c.designs[d].name + ": under " + hardest->words() + " " + words);
    }
}

/// The place where the base has least of what reliefs and wedges would take.
struct Cut {
  double wanted = 0, left_out = 0; ///< mm; what is taken is the difference
  double base = 0;                 ///< mm thick there without them
  std::vector<double> by;          ///< mm, what each support element takes there; negative: it adds
};

Cut deepest_cut(const Design &design, const FootShape &shape) {
  Design thick = design;
  for (Layer &layer : thick.layers)
    if (layer.role == LayerRole::base)
      layer.thickness += 1000; // nothing is kept back then
  const InsoleShape insole(design, shape), uncut(thick, shape);
  Cut cut;
  over_plan([&](const double s, const double b) {
    if (insole.part(LayerRole::base, s, b) < 0.999)
      return; // on its bevel the base is thinner by itself; beyond it see warn_of_ended_layers
    const double left_out = insole.rise(s, b) - uncut.rise(s, b);
    if (left_out <= cut.left_out)
      return;
    cut = {-uncut.rise(s, b), left_out, insole.base_thickness(s, b), {}};
    for (std::size_t i = 0; i < design.support.size(); ++i)
      cut.by.push_back(-insole.rise_by(i, s, b));
  });
  return cut;
}

/// Reliefs and wedges that would cut the base: a rest of it is kept, so that what is calculated is shallower.
void warn_of_cuts(const Case &c, ReadingLog &log) {
  const FootShape shape(c.foot);
  for (std::size_t d = 0; d < c.designs.size(); ++d) {
    const Design &design = c.designs[d];
    const Cut cut = deepest_cut(design, shape);
    if (cut.left_out <= 0.01) // a hundredth of a millimetre is nothing to an insole
      continue;
    std::vector<std::size_t> takers; // the one that takes most first
    for (std::size_t i = 0; i < cut.by.size(); ++i)
      if (cut.by[i] > 0)
        takers.push_back(i);
    std::stable_sort(takers.begin(), takers.end(),
                     [&cut](std::size_t i, std::size_t j) { return cut.by[i] > cut.by[j]; });
    std::string what;
    for (const std::size_t i : takers)
      if (const std::string &kind = support_kind(design.support[i].kind).name; !contains(what, kind))
        what += (what.empty() ? "" : " and ") + kind;
    const std::string place = design_place(d) + ".support[" + std::to_string(takers.front() + 1) + "].";
    const bool relief = design.support[takers.front()].kind == SupportKind::relief;
    std::string key = place + (relief ? "depth_mm" : "angle_deg");
    if (!log.lines.count(key))
      key = place + "kind"; // its depth or angle is the default
    log.warn(key, design.name + ": " + what + " would take " + number_text(cut.wanted, 3) +
                      " mm off the base of " + number_text(cut.base, 3) +
                      (design.fit > 0 ? " mm there" : " mm") + ", which keeps at least " +
                      number_text(least_base_mm) + " mm: calculated with " +
                      number_text(std::max(cut.wanted - cut.left_out, 0.0), 3) + " mm there");
  }
}

/// A foot length that is unusual for the sex, though not for people at large.
void warn_of_length(const Case &c, ReadingLog &log) {
  const Range &usual = usual_foot_length(c.foot.sex),
              *all = catalogue_row("patient.foot_length_mm").published_for(0);
  if (usual.holds(c.foot.foot_length) || (all && !all->holds(c.foot.foot_length)))
    return; // the reader has warned of what is outside both
  const bool measured = log.lines.count("patient.foot_length_mm") > 0;
  log.warn(measured ? "patient.foot_length_mm" : "patient.shoe_size",
           "a foot of " + number_text(c.foot.foot_length) + " mm lies outside the usual range of a " +
               (c.foot.sex == Sex::female ? "female" : "male") + " foot, " + number_text(usual.low) + " to " +
               number_text(usual.high) + " mm (mean +- 3 SD, ANSUR II 2012, from memory)");
}

/// Where the painful place has bone that the model does not.
void warn_of_place(const Case &c, ReadingLog &log) {
  if (c.foot.painful_place != PainfulPlace::base)
    return;
  log.warn("patient.painful_place",
           std::string("base: read from 15 to 40 % of the length; nearer the joint the model's bone "
                       "is held by the joint and its strain means nothing") +
               (is_painful(c.foot, 5)
                    ? "; the tuberosity of the fifth ray and the tendon that pulls on it are not in the model"
                    : ""));
}

/// Titles with letters that the pictures cannot show.
void warn_of_titles(const Case &c, ReadingLog &log) {
  std::vector<std::string> names;
  std::string key;
  for (std::size_t d = 0; d < c.designs.size(); ++d)
    if (!drawable(c.designs[d].title)) {
      if (names.empty())
        key = design_place(d) + ".title";
      names.push_back(c.designs[d].name);
    }
  if (!names.empty())
    log.warn(key, list_text(names) +
                      (names.size() == 1 ? ": the title has characters" : ": the titles have characters") +
                      " that the pictures' font lacks; pictures show the name in its place");
}

} // namespace

void warn_of_case(const Case &c, ReadingLog &log) {
  warn_of_length(c, log);
  warn_of_extents(c, log);
  warn_of_ended_layers(c, log);
  warn_of_cuts(c, log);
  warn_of_overlaps(c, log);
  warn_of_softness(c, log);
  warn_of_barefoot(c, log);
  warn_of_titles(c, log);
  warn_of_place(c, log);
}

} // namespace raybend
