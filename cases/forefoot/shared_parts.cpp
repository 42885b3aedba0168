// What designs share is written out in each of them before anything is read.
#include "cases/forefoot/shared_parts.hpp"
#include "cases/casefile/table.hpp"
#include "cases/casefile/toml_text.hpp"
#include "cases/catalogue/support_kinds.hpp"
#include "cases/words/words.hpp"
#include <algorithm>

namespace raybend {

namespace {

std::string text_of(const toml::table &table, const char *key) {
  const toml::node *node = table.get(key);
  return node ? node->value<std::string>().value_or("") : "";
}

const toml::table *design_at(const toml::table &root, const std::size_t i) {
  return root["designs"].as_array()->get(i)->as_table();
}

/// Place of a layer's role from the ground up; unknown ones last.
std::ptrdiff_t role_place(const toml::node &layer) {
  const std::vector<std::string> names = role_names();
  const std::string role = layer.is_table() ? text_of(*layer.as_table(), "role") : "";
  return std::find(names.begin(), names.end(), role) - names.begin();
}

void take(toml::table &into, const std::string &key, toml::node &value) {
  value.visit([&](auto &node) { into.insert_or_assign(key, std::move(node)); });
}

/// A design's own layers, and those of the base whose roles it has not, from the ground up.
void merge_layers(toml::array &own, toml::array &base) {
  for (toml::node &layer : base) {
    const std::ptrdiff_t role = role_place(layer);
    const auto same = [role](const toml::node &other) { return role_place(other) == role; };
    if (!layer.is_table() || std::any_of(own.cbegin(), own.cend(), same))
      continue;
    auto at = own.cbegin();
    while (at != own.cend() && role_place(*at) < role)
      ++at;
    own.insert(at, std::move(*layer.as_table()));
  }
}

void merge(toml::table &own, toml::table &base) {
  for (auto &&[key, value] : base) {
    const std::string name(key.str());
    toml::node *mine = own.get(name);
    if (!mine)
      take(own, name, value);
    else if (name == "layers" && mine->is_array() && value.is_array())
      merge_layers(*mine->as_array(), *value.as_array());
    else if (name == "shoe" && mine->is_table() && value.is_table())
      merge(*mine->as_table(), *value.as_table());
  }
}

/// Designs of a case by what they are like.
class Likes {
public:
  Likes(const toml::table &root, ReadingLog &log) : log(log) {
    const toml::array &designs = *root["designs"].as_array();
    for (std::size_t i = 0; i < designs.size(); ++i)
      names.push_back(text_of(*design_at(root, i), "name"));
    for (std::size_t i = 0; i < designs.size(); ++i)
      like.push_back(find(*design_at(root, i), i));
    for (std::size_t i = 0; i < like.size(); ++i)
      refuse_circle(root, i);
  }

  /// The design with all it shares, its nodes from a reading of the file of their own.
  toml::table written_out(const std::size_t i) const {
    toml::table root = parse_toml(log.text, log.file);
    toml::table own = std::move(*root["designs"].as_array()->get(i)->as_table());
    own.erase("like");
    toml::table base;
    if (like[i] != none) {
      base = written_out(like[i]);
      base.erase("name");
      base.erase("title");
    } else if (toml::node *layers = root.get("layers")) {
      take(base, "layers", *layers);
    }
    merge(own, base);
    return own;
  }

private:
  static constexpr std::size_t none = static_cast<std::size_t>(-1);

  std::size_t find(const toml::table &design, const std::size_t i) {
    const std::string place = "designs[" + std::to_string(i + 1) + "]";
    Table table(log, &design, place);
    if (!table.has("like"))
      return none;
    const toml::node &node = *design.get("like");
    const std::string wanted = text_of(design, "like");
    const auto at = std::find(names.begin(), names.end(), wanted);
    if (node.is_string() && at != names.end() && static_cast<std::size_t>(at - names.begin()) != i)
      return static_cast<std::size_t>(at - names.begin());
    std::vector<std::string> others = names;
    others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
    others.erase(std::remove(others.begin(), others.end(), ""), others.end());
    Fault &f = table.fault("like", !node.is_string()   ? "the name of another design is wanted"
                                   : at != names.end() ? "a design cannot be like itself"
                                                       : "no design has this name");
    f.found = found_words(node);
    f.allowed = list_text(others);
    if (node.is_string())
      f.propose(likely_names(wanted, others));
    return none;
  }

  void refuse_circle(const toml::table &root, const std::size_t i) {
    std::string way = names[i];
    std::size_t at = like[i];
    for (std::size_t steps = 0; at != none && at != i && steps < like.size(); ++steps) {
      way += " -> " + names[at];
      at = like[at];
    }
    if (at != i)
      return;
    Table(log, design_at(root, i), "designs[" + std::to_string(i + 1) + "]")
        .fault("like", "the designs are like one another in a circle")
        .found = way + " -> " + names[i];
    like[i] = none;
  }

  ReadingLog &log;
  std::vector<std::string> names;
  std::vector<std::size_t> like;
};

} // namespace

void write_out_shared(toml::table &root, ReadingLog &log) {
  const toml::array *designs = root["designs"].as_array();
  Table top(log, &root, "");
  if (top.has("layers"))
    top.table_list("layers"); // refuses anything else
  const auto is_table = [](const toml::node &node) { return node.is_table(); };
  if (designs &&
      std::all_of(designs->begin(), designs->end(), is_table)) { // others are refused by their reader
    const bool like = std::any_of(designs->begin(), designs->end(),
                                  [](const toml::node &node) { return node.as_table()->contains("like"); });
    if (like || root.contains("layers")) {
      const std::size_t before = log.faults.size();
      const Likes likes(root, log);
      if (log.faults.size() != before)
        throw CaseError(log.faults); // what a design lacks for that reason is no fault of its own
      toml::array written;
      for (std::size_t i = 0; i < designs->size(); ++i) {
        written.push_back(likes.written_out(i));
        if (like || i > 0)
          log.shared.insert("designs[" + std::to_string(i + 1) + "]");
      }
      for (std::size_t i = 0; i < written.size(); ++i)
        *root["designs"].as_array()->get(i)->as_table() = std::move(*written[i].as_table());
    }
  }
  root.erase("layers");
}

} // namespace raybend
