// Parameters and fields of a textbook case that no formula uses.
#include "cases/lab/unused_names.hpp"
#include "cases/lab/formula_set.hpp"
#include <set>

namespace raybend {

namespace {

/// Keys whose text is no formula.
const std::set<std::string> words = {"title",   "source",  "known", "note",  "why",     "name",    "unit",
                                     "x_label", "y_label", "kind",  "law",   "id",      "face",    "hold",
                                     "variant", "upper",   "lower", "along", "follows", "material"};

/// Tables that define names.
const std::set<std::string> definitions = {"parameters", "fields", "let", "variant"};

/// Every text of the tables below that may be a formula, without what defines `own`. `key`: of the node.
void collect(const toml::node &node, const std::string &key, const std::string &own,
             std::vector<Entry> &texts) {
  if (const auto *text = node.as_string()) {
    if (!words.count(key))
      texts.push_back({text->get(), 1, ""});
  } else if (const auto *list = node.as_array())
    for (const auto &item : *list)
      collect(item, key, own, texts);
  else if (const auto *table = node.as_table())
    for (const auto &[name, value] : *table)
      if (const std::string below(name.str()); !definitions.count(key) || below != own)
        collect(value, below, own, texts);
}

} // namespace

void warn_of_unused(ReadingLog &log, const toml::table &root, const GeneralCase &c) {
  for (const auto *list : {&c.parameters, &c.fields, &c.map_fields})
    for (const Entry &e : *list) {
      std::vector<Entry> texts;
      collect(root, "", last_name(e.key), texts);
      if (!names_used(texts, {}).count(last_name(e.key)))
        log.warn(e.key, e.line, "no formula uses it");
    }
}

} // namespace raybend
