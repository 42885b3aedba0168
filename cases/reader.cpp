#include "cases/reader.hpp"
#include "cases/day_reader.hpp"
#include "cases/design_reader.hpp"
#include "cases/overrides.hpp"
#include "cases/patient_reader.hpp"
#include "cases/resolved.hpp"
#include "cases/softness.hpp"
#include "cases/source_file.hpp"
#include "cases/toml_text.hpp"
#include "cases/words.hpp"
#include <algorithm>

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

/// Support elements that reach beyond what the model holds.
void warn_of_extents(const Case &c, ReadingLog &log) {
  for (std::size_t d = 0; d < c.designs.size(); ++d)
    for (std::size_t s = 0; s < c.designs[d].support.size(); ++s) {
      const SupportElement &e = c.designs[d].support[s];
      if (e.kind != SupportKind::pad && e.kind != SupportKind::bar)
        continue;
      const double room = c.foot.rays[e.kind == SupportKind::pad ? e.ray - 1 : 1].length;
      const double behind =
          e.behind_heads + e.length + (e.kind == SupportKind::bar ? e.proximal_bevel + e.distal_bevel : 0);
      const std::string key =
          "designs[" + std::to_string(d + 1) + "].support[" + std::to_string(s + 1) + "].kind";
      if (behind > room + 5)
        log.warn(key, log.lines.count(key) ? log.lines.at(key) : 0,
                 "reaches " + number_text(behind, 3) + " mm behind the heads, past the bases (" +
                     number_text(room, 3) + " mm), where the model ends; what lies beyond carries nothing");
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
