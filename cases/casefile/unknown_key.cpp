// Keys that a table does not have, and what is said of them.
#include "cases/casefile/table_reader.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <stdexcept>

namespace raybend {

void TableReader::refuse_unknown(const std::string &what, const std::vector<std::string> &takes) {
  if (!source)
    return;
  std::vector<std::string> known;
  for (const std::string &prefix : rows)
    for (const std::string &name : names_in(prefix))
      known.push_back(name);
  for (const auto &[key, value] : *source) {
    const std::string name(key.str());
    if (std::find(known.begin(), known.end(), name) != known.end()) {
      if (log.faults.empty() && !log.taken.count(path(name)))
        throw std::logic_error("the key \"" + path(name) +
                               "\" has a catalogue row but no reader asks for it");
      continue;
    }
    Fault &f = log.fault(path(printable(name)), static_cast<int>(key.source().begin.line), "unknown key");
    for (const std::string &set : log.set_keys)
      f.from_set |= set == path(name) || set.compare(0, path(name).size() + 1, path(name) + ".") == 0;
    explain_unknown(f, name, takes.empty() ? known : takes);
    if (!what.empty() && f.nearest.empty() && f.hint.empty()) {
      f.problem = "not a key of " + what;
      f.allowed = list_text(takes.empty() ? known : takes);
    }
  }
}

namespace {

/// Where a key or table of that name stands, "" if nowhere but in a table with the catalogue path `here`.
std::string place_elsewhere(const std::string &name, const std::string &here) {
  if (!here.empty() && name == "layers")
    return "the layers of all designs stand at the top of the file, above the first line in brackets, or as "
           "[[layers]]";
  if (!here.empty() && find_catalogue_row(name))
    return "it belongs at the top of the file, above the first line in brackets";
  const std::string general = general_key("patient." + name);
  if (here != "patient" && general != "patient." + name)
    return "write [patient." + name + "]";
  for (const char *list : {"layers", "support"})
    if (here.empty() && (name == list || name + "s" == list || name == list + std::string("s")))
      return std::string("write [[designs.") + list + "]]";
  const std::string ending = "." + name;
  for (const CatalogueRow &r : catalogue())
    if (r.key.size() > ending.size() && of_a_beam(r.key) == of_a_beam(here) &&
        r.key.compare(r.key.size() - ending.size(), std::string::npos, ending) == 0)
      return "it belongs to " + r.key;
  return "";
}

/// The scale of hardness that a key names (C of shore_c), "" if it is none or the one that is known.
std::string other_scale(const std::string &name) {
  for (const std::string scale : {"shore", "asker"}) {
    if (name.compare(0, scale.size(), scale) != 0)
      continue;
    std::string rest = trimmed(name.substr(scale.size()));
    rest.erase(0, std::min(rest.find_first_not_of("_- "), rest.size()));
    for (char &c : rest)
      c = c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
    if (rest == "A" || (rest.empty() && scale == "shore"))
      return "";
    return (scale == "shore" ? "Shore " : "Asker ") + rest;
  }
  return "";
}

} // namespace

/// What to say of a key that the table does not have, beside its problem.
void TableReader::explain_unknown(Fault &f, const std::string &name,
                                  const std::vector<std::string> &known) const {
  const bool hardness = std::find(known.begin(), known.end(), "shore_a") != known.end();
  if (const std::string scale = other_scale(name); hardness && !scale.empty()) {
    f.hint = trimmed(scale) +
             " is another scale, and nothing is converted: give the hardness as shore_a (Shore "
             "A), or e_mpa with nu, or a material";
    f.stands_for = "shore_a";
    return;
  }
  if (hardness && (name == "shore" || name == "hardness")) {
    f.hint = "write shore_a if it is Shore A";
    f.stands_for = "shore_a";
    return;
  }
  if (const std::size_t side = name.find("lateral"); side != std::string::npos) {
    const std::string medial = name.substr(0, side) + "medial" + name.substr(side + 7);
    if (std::find(known.begin(), known.end(), medial) != known.end()) {
      f.hint = medial + " takes negative numbers for lateral";
      return;
    }
  }
  f.propose(likely_names(name, known));
  if (!f.nearest.empty() && without_unit(name) == without_unit(f.nearest)) {
    const std::string unit = row(f.nearest).unit;
    f.problem += unit.empty() ? " (that key has no unit)" : " (the unit of that key is " + unit + ")";
  } else if (f.nearest.empty() && f.hint.empty()) {
    if (const std::string elsewhere = place_elsewhere(name, rows.front()); !elsewhere.empty())
      f.problem += " here; " + elsewhere;
    else
      f.allowed = list_text(known);
  }
}

} // namespace raybend
