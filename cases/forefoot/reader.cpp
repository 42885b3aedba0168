// From a case file to a Case: the tables in turn, then all faults at once, then warnings.
#include "cases/forefoot/reader.hpp"
#include "cases/casefile/source_file.hpp"
#include "cases/casefile/toml_text.hpp"
#include "cases/forefoot/day_reader.hpp"
#include "cases/forefoot/design_reader.hpp"
#include "cases/forefoot/overrides.hpp"
#include "cases/forefoot/patient_reader.hpp"
#include "cases/forefoot/resolved.hpp"
#include "cases/forefoot/shared_parts.hpp"
#include "cases/forefoot/warnings/case_warnings.hpp"
#include "cases/words/words.hpp"
#include <algorithm>

namespace raybend {

namespace {

void read_mesh(TableReader &top, Settings &s) {
  TableReader table(top.log, top.sub_table("mesh"), "mesh", {"mesh"});
  table.into(s);
  table.refuse_unknown();
}

/// A file of another command is no fault of spelling: the command is named instead of what is missing.
void refuse_other_file(const toml::table &root, const std::string &path) {
  if (root.contains("patient"))
    return;
  const auto is = [&](const char *what, const char *command) {
    throw other_file(path, what, "forefoot case", command);
  };
  if (root.contains("case") && root.contains("vary"))
    root.contains("plan") ? is("study", "study") : is("file of what is to be chosen", "best");
  if (root.contains("designs"))
    return;
  if (root.contains("quantity") || (root.contains("known") && root.contains("source")))
    is("textbook case", "textbook");
  if (root.contains("beam"))
    is("beam file", "beam");
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
                         const std::vector<std::string> &sets, const ReadingRules &rules) {
  Case c;
  c.path = path;
  c.source_text = text;
  toml::table root = parse_toml(text, path);
  refuse_other_file(root, path);
  ReadingLog log;
  log.file = path;
  log.text = text;
  write_out_shared(root, log);
  apply_overrides(root, sets, log);
  c.sets = sets;

  TableReader top(log, &root, "", {""});
  c.title = top.text("title").value_or(case_stem(path));
  c.question = top.text("question").value_or("");
  c.note = top.text("note").value_or("");
  c.foot = read_forefoot(top);
  c.day = read_day(top, c.day_is_list);
  read_mesh(top, c.settings);
  c.designs = read_designs(top, c.foot.painful_ray, rules.least_designs);
  c.reference = top.text("reference").value_or(c.designs.empty() ? "" : c.designs.front().name);
  std::vector<std::string> names;
  for (const Design &d : c.designs)
    names.push_back(d.name);
  if (top.has("reference") && std::find(names.begin(), names.end(), c.reference) == names.end()) {
    Fault &f = top.fault("reference", "no design has this name");
    f.found = "\"" + printable(c.reference) + "\"";
    f.allowed = list_text(names);
    f.propose(likely_names(c.reference, names));
  }
  top.refuse_unknown();

  log.end_if_faulty();
  if (rules.warnings)
    warn_of_case(c, log);
  c.warnings = log.warnings;
  c.resolved = list_resolved(c, log.origins);
  return c;
}

} // namespace raybend
