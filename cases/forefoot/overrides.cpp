// Changes by --set key=value, put into the tables before they are read.
#include "cases/forefoot/overrides.hpp"
#include "cases/catalogue/support_kinds.hpp"
#include "cases/forefoot/day_reader.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <optional>

namespace raybend {

namespace {

struct Step {
  std::string name;
  std::optional<std::string> place; ///< between brackets
};

/// designs[1].fit -> steps; nothing if it is no key.
std::optional<std::vector<Step>> steps_of(const std::string &key) {
  std::vector<Step> steps;
  std::size_t at = 0;
  while (at <= key.size()) {
    const std::size_t dot = std::min(key.find('.', at), key.size());
    std::string part = key.substr(at, dot - at);
    Step step;
    if (const std::size_t open = part.find('['); open != std::string::npos) {
      if (part.back() != ']' || open + 2 >= part.size())
        return {};
      step.place = part.substr(open + 1, part.size() - open - 2);
      part.resize(open);
    }
    step.name = part;
    if (part.empty() ||
        part.find_first_not_of("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-") !=
            std::string::npos)
      return {};
    steps.push_back(step);
    at = dot + 1;
  }
  return steps;
}

/// The value as TOML reads it; a bare word is text.
void insert_value(toml::table &table, const std::string &name, const std::string &value, const bool words) {
  try {
    toml::table parsed = toml::parse("value = " + value);
    if (parsed.size() == 1 && parsed.get("value") && (!words || !parsed.get("value")->is_number())) {
      table.insert_or_assign(name, std::move(*parsed.get("value")));
      return;
    }
  } catch (const toml::parse_error &) {
    // a bare word
  } catch (const TomlAssertion &) {
  }
  table.insert_or_assign(name, value);
}

/// Keys of the same table that say what `name` says in another way.
std::vector<std::string> alternatives_of(const std::string &place, const std::string &name) {
  if (name == "material")
    return material_keys();
  if (name == "e_mpa" || name == "shore_a")
    return {"material", "e_mpa", "shore_a"};
  if (place == "patient" && name == "foot_length_mm")
    return {"shoe_size", "shoe_size_system"};
  if (place == "patient" && (name == "shoe_size" || name == "shoe_size_system"))
    return {"foot_length_mm"};
  if (general_key(place) == "activity" && name == "force_bw")
    return {"speed_m_s"};
  if (general_key(place) == "activity" && name == "speed_m_s")
    return {"force_bw"};
  return {};
}

/// Keys that say the same thing in another way give way to the one that is set.
void drop_alternatives(toml::table &root, toml::table &table, const std::string &place,
                       const std::string &name, const ReadingLog &log) {
  const auto drop = [&](toml::table &from, const std::string &where, const std::string &other) {
    if (other != name && !log.set_keys.count(where + "." + other))
      from.erase(other);
  };
  for (const std::string &other : alternatives_of(place, name))
    drop(table, place, other);
  // the factor on the tissue's stiffness and the two moduli it acts on stand in different tables
  if (toml::table *tissue = root["tissue"].as_table();
      tissue && place == "patient" && name == "tissue_stiffness")
    for (const char *modulus : {"mu_mpa", "bulk_mpa"})
      drop(*tissue, "tissue", modulus);
  if (toml::table *patient = root["patient"].as_table();
      patient && place == "tissue" && (name == "mu_mpa" || name == "bulk_mpa"))
    drop(*patient, "patient", "tissue_stiffness");
}

/// Names of the list's tables; of an activity its kind where it has none.
std::vector<std::string> names_in_list(const toml::array &list, const std::string &key) {
  std::vector<std::string> names;
  for (const toml::node &item : list) {
    const toml::table *t = item.as_table();
    names.push_back(!t                  ? ""
                    : key == "activity" ? activity_label(*t)
                    : t->get("name")    ? t->get("name")->value<std::string>().value_or("?")
                                        : "");
  }
  return names;
}

std::optional<std::size_t> place_in(const std::vector<std::string> &list, const std::string &place) {
  if (place.find_first_not_of("0123456789") == std::string::npos && place.size() < 6) {
    const unsigned long n = std::stoul(place);
    if (n >= 1 && n <= list.size())
      return n - 1;
    return {};
  }
  for (std::size_t i = 0; i < list.size(); ++i)
    if (!place.empty() && list[i] == place)
      return i;
  return {};
}

std::string without_outer_blanks(const std::string &text) {
  const char *const blanks = " \t";
  const std::size_t first = text.find_first_not_of(blanks);
  return first == std::string::npos ? "" : text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

void apply_one(toml::table &root, const std::string &set, ReadingLog &log) {
  const auto refuse = [&log](const std::string &key, const std::string &problem) -> Fault & {
    Fault &f = log.fault(key, 0, problem);
    f.from_set = true;
    return f;
  };
  const std::size_t equals = set.find('=');
  if (equals == std::string::npos || equals == 0) {
    refuse("", "not of the form key=value").found = "\"" + printable(set) + "\"";
    return;
  }
  const std::string key = without_outer_blanks(set.substr(0, equals)),
                    value = without_outer_blanks(set.substr(equals + 1));
  const auto steps = steps_of(key);
  if (!steps) {
    refuse("", "not a key").found = "\"" + printable(key) + "\"";
    return;
  }
  if (value.empty() || value.find_first_of("\n\r") != std::string::npos) {
    refuse(key, value.empty() ? "no value after \"=\"" : "a value has one line");
    return;
  }

  toml::table *table = &root;
  std::string where;
  for (std::size_t i = 0; i + 1 < steps->size() || (*steps)[i].place;) {
    Step step = (*steps)[i];
    const std::string here = where.empty() ? step.name : where + "." + step.name;
    toml::node *next = table->get(step.name);
    ++i;
    if (next && next->is_array()) {
      if (!step.place && i < steps->size()) // designs.NAME.fit
        step.place = (*steps)[i++].name;
      const toml::array &list = *next->as_array();
      std::vector<std::string> names = names_in_list(list, here);
      const auto n = place_in(names, step.place.value_or(""));
      if (!n || !list[*n].is_table()) {
        names.erase(std::remove(names.begin(), names.end(), ""), names.end());
        Fault &f = refuse(key, "no such place in " + here);
        f.found = "\"" + printable(step.place.value_or("")) + "\"";
        f.allowed = "1 to " + std::to_string(list.size()) + (names.empty() ? "" : ", or " + list_text(names));
        f.propose(likely_names(step.place.value_or(""), names));
        return;
      }
      where = here + "[" + std::to_string(*n + 1) + "]";
      table = (*next->as_array())[*n].as_table();
    } else if (step.place) {
      refuse(key, next               ? here + " is not a list"
                  : here == "layers" ? "--set changes the layers of one design: designs.NAME.layers[...]"
                                     : "the case has no list " + here);
      return;
    } else if (next && next->is_table()) {
      where = here;
      table = next->as_table();
    } else if (next) {
      refuse(key, here + " is not a table");
      return;
    } else {
      where = here;
      table->insert(step.name, toml::table{});
      table = table->get(step.name)->as_table();
    }
    if (i >= steps->size()) {
      refuse(key, "names a whole table, not one value");
      return;
    }
  }
  const std::string name = steps->back().name;
  const std::string full = where.empty() ? name : where + "." + name;
  const bool without = name == "support" && general_key(full) == "designs[].support" &&
                       (value == "none" || value == "\"none\"" || value == "'none'");
  if (const toml::node *old = table->get(name);
      old && !without && (old->is_table() || old->is_array_of_tables())) {
    Fault &f = refuse(key, "names a whole table, not one value");
    if (general_key(full) == "designs[].support")
      f.allowed =
          "none, which takes all support elements away, or a key of one of them: " + full + "[1].height_mm=5";
    return;
  }
  drop_alternatives(root, *table, where, name, log);
  const CatalogueRow *row = find_catalogue_row(general_key(full));
  insert_value(*table, name, value, row && is_text(row->type));
  log.set_keys.insert(full);
  log.set_values[full] = value;
}

} // namespace

void apply_overrides(toml::table &root, const std::vector<std::string> &sets, ReadingLog &log) {
  for (const std::string &set : sets)
    apply_one(root, set, log);
}

} // namespace raybend
