#include "cases/reader.hpp"
#include "cases/day_reader.hpp"
#include "cases/design_reader.hpp"
#include "cases/overrides.hpp"
#include "cases/patient_reader.hpp"
#include "cases/resolved.hpp"
#include "cases/softness.hpp"
#include "cases/source_file.hpp"
#include "cases/support_kinds.hpp"
#include "cases/toml_text.hpp"
#include "cases/words.hpp"
#include "geometry/foot_shape.hpp"
#include "geometry/logical_frame.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

void read_mesh(TableReader &top, Settings &s) {
  TableReader table(top.log, top.sub_table("mesh"), "mesh", {"mesh"});
  if (const auto resolution = table.text("resolution"))
    s.resolution = *resolution == "coarse" ? Resolution::coarse
                   : *resolution == "fine" ? Resolution::fine
                                           : Resolution::standard;
  table.number_into("contact_stiffness_mpa_per_mm", s.contact_stiffness);
  table.number_into("ground_stiffness_mpa_per_mm", s.ground_stiffness);
  table.number_into("ground_grip_mpa_per_mm", s.ground_grip);
  table.number_into("newton_tolerance", s.newton_tolerance);
  table.number_into("linear_tolerance", s.linear_tolerance);
  if (const auto given = table.integer("max_newton"))
    s.max_newton = *given;
  if (const auto given = table.integer("load_steps"))
    s.load_steps = *given;
  table.refuse_unknown();
}

/// A file of the laboratory's commands is no fault of spelling: the command is named instead of what is
/// missing.
void refuse_lab_file(const toml::table &root, const std::string &path) {
  if (root.contains("patient") || root.contains("designs"))
    return;
  const bool textbook = root.contains("quantity") || (root.contains("known") && root.contains("source"));
  if (!textbook && !root.contains("beam"))
    return;
  throw other_file(path, textbook ? "textbook case" : "beam file", "forefoot case",
                   textbook ? "textbook" : "beam");
}

// An edge is placed to the millimetre, and it runs out flat: a pad 45 mm long that ends 1 mm behind the base
// loses less than 1 % of its volume, the slant of the plane of the bases counted in.
constexpr double edge_tolerance_mm = 1;

/// Where the model ends behind a pad or bar.
struct ModelEnd {
  int ray = 0;     ///< whose base it is
  double room = 0; ///< mm along the foot, behind the line that the element's place counts from
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
      log.warn(key, log.lines.count(key) ? log.lines.at(key) : 0,
               c.designs[d].name + ": the " + support_kind(e.kind).name + " reaches " +
                   number_text(behind, 3) + " mm behind the heads, but ray " + std::to_string(end.ray) +
                   " ends at its base, " + number_text(end.room, 3) + " mm behind; its last " +
                   number_text(behind - end.room, 2) + " mm carry nothing");
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
      log.warn(key, log.lines.count(key) ? log.lines.at(key) : 0,
               c.designs[d].name + ": under " + hardest->words() + " " + words);
    }
}

} // namespace

std::string case_stem(const std::string &path) {
  std::string name = path.substr(path.find_last_of('/') + 1); // npos + 1 is 0
  const std::size_t dot = name.find_last_of('.');
  if (dot != std::string::npos && dot > 0)
    name.resize(dot);
  return name;
}

Case read_case(const std::string &path, const std::vector<std::string> &sets) {
  return read_case_from_text(read_case_text(path), path, sets);
}

Case read_case_from_text(const std::string &text, const std::string &path,
                         const std::vector<std::string> &sets) {
  Case c;
  c.path = path;
  c.source_text = text;
  toml::table root = parse_toml(text, path);
  refuse_lab_file(root, path);
  ReadingLog log;
  log.file = path;
  apply_overrides(root, sets, log);

  TableReader top(log, &root, "", {""});
  c.title = top.text("title").value_or(case_stem(path));
  c.question = top.text("question").value_or("");
  c.note = top.text("note").value_or("");
  c.foot = read_forefoot(top);
  c.day = read_day(top, c.day_is_list);
  read_mesh(top, c.settings);
  c.designs = read_designs(top, c.foot.painful_ray);
  c.reference = top.text("reference").value_or(c.designs.empty() ? "" : c.designs.front().name);
  std::vector<std::string> names;
  for (const Design &d : c.designs)
    names.push_back(d.name);
  if (top.has("reference") && std::find(names.begin(), names.end(), c.reference) == names.end()) {
    Fault &f = top.fault("reference", "no design has this name");
    f.found = "\"" + printable(c.reference) + "\"";
    f.allowed = list_text(names);
    f.nearest = nearest_name(c.reference, names);
  }
  top.refuse_unknown();

  log.tidy();
  if (!log.faults.empty())
    throw CaseError(log.faults);
  warn_of_extents(c, log);
  warn_of_softness(c, log);
  c.warnings = log.warnings;
  c.resolved = list_resolved(c, log.origins);
  return c;
}

} // namespace raybend
