// What `raybend explain` prints: rows, tables, named things.
#include "cases/catalogue/explain.hpp"
#include "cases/catalogue/activities.hpp"
#include "cases/catalogue/anatomy.hpp"
#include "cases/catalogue/catalogue.hpp"
#include "cases/catalogue/materials.hpp"
#include "cases/catalogue/shoes.hpp"
#include "cases/catalogue/support_kinds.hpp"
#include "cases/words/words.hpp"
#include <algorithm>

namespace raybend {

namespace {

const char *const support_table = "designs[].support[]";
constexpr std::size_t label_width = 14, text_width = 96;

std::string table_of(const std::string &key) {
  const std::size_t dot = key.find_last_of('.');
  return dot == std::string::npos ? "" : key.substr(0, dot);
}

bool ends_with(const std::string &text, const std::string &end) {
  return text.size() >= end.size() && text.compare(text.size() - end.size(), end.size(), end) == 0;
}

std::string name_of(const std::string &key) {
  return key.substr(key.find_last_of('.') + 1);
}

std::string type_words(const CatalogueRow &r) {
  switch (r.type) {
  case KeyType::number:
    return "number";
  case KeyType::integer:
    return "whole number";
  case KeyType::text:
    return "text";
  case KeyType::label:
    return "name";
  case KeyType::choice:
    return "one word of a list";
  case KeyType::choice_list:
    return "one or several words of a list";
  case KeyType::boolean:
    return "true or false";
  }
  return "";
}

std::string labelled(const std::string &label, const std::string &text) {
  return "  " + padded(label, label_width - 2) + folded(text, text_width, label_width) + "\n";
}

std::string range_words(const CatalogueRow &r) {
  std::vector<std::string> words;
  for (const Range &x : r.published)
    words.push_back(x.low == x.high ? number_text(x.low) : number_text(x.low) + " to " + number_text(x.high));
  return list_text(words) + (r.unit.empty() ? "" : " " + r.unit) +
         (words.size() == 5 ? " for rays 1 to 5" : "") +
         (r.usual_source.empty() ? "" : " (" + r.usual_source + ")") + "; outside it a warning";
}

/// A spread of its own (the usual range is said already), or a measuring error.
std::string spread_words(const CatalogueRow &r, const Spread &s) {
  if (s.of_value)
    return "standard deviation " + number_text(100 * s.deviation) + " % of the value (" + s.source + ")";
  return (s.deviation > 0 ? "standard deviation " + number_text(s.deviation)
                          : number_text(s.low) + " to " + number_text(s.high)) +
         (r.unit.empty() ? "" : " " + r.unit) + " (" + s.source + ")";
}

/// All that is said of a key but its path.
std::string row_words(const CatalogueRow &r) {
  std::string out = labelled("", r.meaning) + labelled("type", type_words(r));
  if (!r.unit.empty())
    out += labelled("unit", r.unit);
  out += labelled("default", r.default_words);
  out += labelled("allowed", r.allowed_words());
  if (!r.published.empty())
    out += labelled("usual", range_words(r));
  if (r.own_spread)
    out += labelled("spread", spread_words(r, *r.own_spread));
  if (r.measuring)
    out += labelled("measured", spread_words(r, *r.measuring));
  if (!r.example.empty())
    out += labelled("written", r.example);
  return out + labelled("source",
                        r.source == no_number ? "none needed: a choice, not a measured number" : r.source);
}

/// Keys of the same words, as a ray's in several support elements, share them.
std::string explain_rows(const std::vector<const CatalogueRow *> &rows) {
  std::vector<std::pair<std::string, std::string>> parts; // keys, words
  for (const CatalogueRow *r : rows) {
    const std::string words = row_words(*r);
    const auto same =
        std::find_if(parts.begin(), parts.end(), [&](const auto &p) { return p.second == words; });
    if (same == parts.end())
      parts.emplace_back(r->key + "\n", words);
    else
      same->first += r->key + "\n";
  }
  std::string out;
  for (const auto &[keys, words] : parts)
    out += (out.empty() ? "" : "\n") + keys + words;
  return out;
}

std::string one_line(const CatalogueRow &r) {
  std::string words = r.default_words;
  const std::size_t room = 56;
  if (words.size() > room)
    words = words.substr(0, words.find_last_of(' ', room - 3)) + " ...";
  return "  " + padded(name_of(r.key), 32) + padded(r.unit, 16) + words + "\n";
}

std::string section_head(const std::string &table) {
  if (table.empty())
    return "(top of the file)";
  if (table == "activity")
    return "[activity], or one [[activity]] for each activity of a day";
  if (table == "beam_quantity[]")
    return "[[quantity]] of a file with a table [beam]";
  std::string plain;
  for (std::size_t i = 0; i < table.size(); ++i)
    if (table[i] == '[')
      i = table.find(']', i);
    else
      plain += table[i];
  const std::size_t open = table.find_last_of('[');
  const std::string kind = table.back() == ']' ? table.substr(open + 1, table.size() - open - 2) : "";
  if (!kind.empty())
    return "[[" + plain + "]] with kind = \"" + kind + "\"";
  return table.back() == ']'       ? "[[" + plain + "]]"
         : table == "patient.rayN" ? "[patient.ray1] to [patient.ray5]"
                                   : "[" + plain + "]";
}

/// The kind between the last brackets of designs[].support[pad]; nullptr of another table.
const SupportKindInfo *kind_of(const std::string &table) {
  const std::size_t open = table.find_last_of('[');
  return table.empty() || table.back() != ']' || open == std::string::npos
             ? nullptr
             : find_support_kind(table.substr(open + 1, table.size() - open - 2));
}

enum class Words { none, all };

std::string explain_section(const std::string &table, const Words words) {
  std::string out = section_head(table) + "\n";
  if (const std::string meaning = table_meaning(table); words == Words::all && !meaning.empty())
    out += "  " + folded(meaning, text_width, 2) + "\n";
  for (const CatalogueRow &r : catalogue())
    if (table_of(r.key) == table)
      out += one_line(r);
  if (const SupportKindInfo *kind = kind_of(table); kind && kind->takes_material && words == Words::all)
    out += "  " + padded("material", 48) +
           (kind->default_material.empty() ? "must be given" : kind->default_material) +
           ", or e_mpa and nu, or shore_a\n";
  if (table == support_table && words == Words::all) {
    out += "  Kinds (`raybend explain KIND` says more)\n";
    for (const SupportKindInfo &kind : support_kinds())
      out += "  " + padded(kind.name, 21) + kind.meaning + "\n";
  }
  return out;
}

std::vector<std::string> sections() {
  std::vector<std::string> tables;
  for (const CatalogueRow &r : catalogue())
    if (std::find(tables.begin(), tables.end(), table_of(r.key)) == tables.end())
      tables.push_back(table_of(r.key));
  return tables;
}

std::string explain_material(const NamedMaterial &n) {
  const InsoleMaterial &m = n.material;
  std::string out =
      "material " + m.name + "\n" +
      labelled("", n.meaning + "; of a layer or support element: material = \"" + m.name + "\"") +
      labelled("E", number_text(m.e) + " MPa (Young's modulus: how stiff)") +
      labelled("nu", number_text(m.nu) + " (Poisson's ratio: how much it bulges when pressed)") +
      labelled("law", m.law == MaterialLaw::foam ? "foam: stiffens when its cells are crushed"
                                                 : "solid: no cells to crush");
  if (m.law == MaterialLaw::foam)
    out += labelled("R", number_text(m.relative_density) + " (foam density / solid density)") +
           labelled("p0", number_text(m.gas_pressure) + " MPa (gas in the cells)");
  return out + labelled("source", n.source);
}

std::string explain_activity(const NamedActivity &n) {
  const Activity &a = n.activity;
  return "activity " + a.name + "\n" + labelled("", n.meaning) +
         labelled("", "Below [activity]: kind = \"" + a.name + "\"; any number here can be given instead.") +
         labelled("force", number_text(a.force_bw) + " body weights on forefoot and toes") +
         labelled("toes", number_text(100 * a.toe_share) + " % of it under the toes") +
         labelled("heel rise", number_text(a.heel_rise_deg) + " deg") +
         labelled("forward", number_text(100 * a.forward_share) + " % of the force, forward as well") +
         labelled("fascia", number_text(a.fascia_bw) + " body weights") +
         labelled("flexors", number_text(a.flexor_effort) + " times what the toes' load asks for") +
         labelled("carried", number_text(a.carried_kg) + " kg") +
         labelled("steps", number_text(a.steps_per_hour) + " an hour, both feet") +
         labelled("source", n.source);
}

/// What is said of a key, table, material, activity or foot form of that very name; "" if nothing has it.
std::string explain_named(const std::string &name) {
  const std::string general = general_key(name);
  std::string out;
  const auto add = [&out](const std::string &text) { out += (out.empty() ? "" : "\n") + text; };
  const auto without_places = [](std::string key) {
    for (std::size_t open;
         (open = key.find('[')) != std::string::npos && key.find(']', open) != std::string::npos;)
      key.erase(open, key.find(']', open) - open + 1);
    return key;
  };
  for (const std::string &table : sections())
    if (!table.empty() && (table == general || without_places(table) == without_places(general) ||
                           ends_with(table, "[" + name + "]")))
      add(explain_section(table, Words::all));
  const std::vector<std::string> roles = role_names();
  if (const auto role = std::find(roles.begin(), roles.end(), name); role != roles.end())
    add("layer role \"" + name + "\"\n" +
        labelled("", role_meaning(static_cast<LayerRole>(role - roles.begin()))));
  if (!out.empty())
    return out;
  for (const char *table : {"designs[].layers[]", support_table}) // by the last name alone
    if (name_of(without_places(table)) == name)
      add(explain_section(table, Words::all));
  std::vector<const CatalogueRow *> rows;
  for (const CatalogueRow &r : catalogue())
    if (r.key == general || name_of(r.key) == name || without_places(r.key) == without_places(general))
      rows.push_back(&r);
  if (!rows.empty())
    add(explain_rows(rows));
  for (const NamedMaterial &n : named_materials())
    if (n.material.name == name)
      add(explain_material(n));
  for (const NamedActivity &n : named_activities())
    if (n.activity.name == name)
      add(explain_activity(n));
  for (const FootForm &f : foot_forms())
    if (f.name == name)
      add("foot form " + f.name + "\n" + labelled("", f.meaning) + labelled("source", "assumed"));
  return out;
}

std::string listed(const std::string &head, const std::vector<std::pair<std::string, std::string>> &entries) {
  std::string out = head + " (`raybend explain NAME` says more)\n";
  for (const auto &[name, meaning] : entries)
    out += "  " + padded(name, 20) + folded(meaning, text_width - 6, 22) + "\n";
  return out;
}

/// All there is of one sort, by the sort's name; "" if it is none.
std::string explain_sort(const std::string &sort) {
  std::vector<std::pair<std::string, std::string>> entries;
  if (sort == "materials") {
    for (const NamedMaterial &n : named_materials())
      entries.emplace_back(n.material.name, n.meaning);
    return listed("Materials of layers and support elements", entries);
  }
  if (sort == "activities") {
    for (const NamedActivity &n : named_activities())
      entries.emplace_back(n.activity.name, n.meaning);
    return listed("Activities", entries);
  }
  if (sort == "shoes") {
    for (const NamedShoe &n : named_shoes())
      entries.emplace_back(n.shoe.kind, n.meaning + " " + number_text(n.shoe.ball_stiffness) +
                                            " N m/deg at the ball; shank " + number_text(n.shoe.shank_e) +
                                            " MPa. Source: " + n.source);
    return listed("Shoes", entries);
  }
  if (sort == "foot_forms") {
    for (const FootForm &f : foot_forms())
      entries.emplace_back(f.name, f.meaning);
    return listed("Foot forms", entries);
  }
  if (sort == "kinds" || sort == "elements" || sort == "support_elements")
    return explain_section(support_table, Words::all);
  return sort == "rays" ? explain_section("patient.rayN", Words::all) : "";
}

} // namespace

std::string explain_all() {
  std::string out =
      "Keys of a case file, with unit and default. `raybend explain KEY` says what one means, its range and "
      "its source.\n";
  for (const std::string &table : sections())
    if (!of_a_beam(table))
      out += "\n" + explain_section(table, Words::none);
  out += "\nKeys of a beam file: raybend beam --keys\n";
  out += "\nNames that can be explained too; `raybend explain materials`, `activities` or `foot forms` lists "
         "them in "
         "words\n";
  out += "  " + padded("materials", 16) + folded(list_text(material_names()), text_width, 18) + "\n";
  out += "  " + padded("activities", 16) + folded(list_text(activity_names()), text_width, 18) + "\n";
  out += "  " + padded("foot forms", 16) + folded(list_text(foot_form_names()), text_width, 18) + "\n";
  return out;
}

std::string explain_beam_keys() {
  std::string out =
      "Keys of a beam file, with unit and default. `raybend explain beam.KEY` says what one means, its "
      "range and its source.\n";
  for (const std::string &table : sections())
    if (of_a_beam(table))
      out += "\n" + explain_section(table, Words::none);
  return out;
}

std::string explain_one(const std::string &given, std::string &nearest) {
  nearest.clear();
  const auto with = [&given](const char mark) {
    std::string name = given;
    std::replace_if(
        name.begin(), name.end(), [](char c) { return c == ' ' || c == '-' || c == '_'; }, mark);
    return name;
  };
  const std::string name = trimmed(given);
  if (const std::string out = explain_sort(with('_')); !out.empty())
    return out;
  std::vector<std::string> spellings = {name, with('_'), with('-'),
                                        "patient." + name}; // arch-fill, EVA 35, ray2
  if (name.size() > 3 && name.back() == 's')                // pads
    spellings.push_back(name.substr(0, name.size() - 1));
  for (const char *before : {"", "beam."}) // written [[quantity]] in the file
    if (name.rfind(before + std::string("quantity"), 0) == 0)
      spellings.push_back("beam_" + name.substr(std::string(before).size()));
  for (const std::string &spelling : spellings)
    if (const std::string out = explain_named(spelling); !out.empty())
      return out;

  std::vector<std::string> names;
  const auto put = [&names](const std::vector<std::string> &more) {
    names.insert(names.end(), more.begin(), more.end());
  };
  const bool dotted = name.find('.') != std::string::npos;
  for (const CatalogueRow &r : catalogue())
    names.push_back(dotted ? r.key : name_of(r.key));
  if (!dotted) {
    put(material_names());
    put(activity_names());
    put(foot_form_names());
    put(support_kind_names());
    put(role_names());
    put({"materials", "activities", "shoes", "foot forms", "layers", "support", "patient", "designs"});
  }
  put(sections());
  std::sort(names.begin(), names.end());
  names.erase(std::unique(names.begin(), names.end()), names.end());
  names.erase(std::remove(names.begin(), names.end(), ""), names.end());
  nearest = choice_text(likely_names(name, names));
  return "";
}

} // namespace raybend
