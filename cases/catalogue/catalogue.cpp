// The table of keys: its rows put together, found by path, their parts in words.
#include "cases/catalogue/catalogue.hpp"
#include "cases/catalogue/catalogue_rows.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <cmath>
#include <map>
#include <stdexcept>

namespace raybend {

namespace {

CatalogueRow row(const std::string &key, const KeyType type, const std::string &unit = "") {
  CatalogueRow r;
  r.key = key;
  r.type = type;
  r.unit = unit;
  return r;
}

std::vector<CatalogueRow> all_rows() {
  std::vector<CatalogueRow> rows;
  rows.push_back(
      text_row("title").otherwise("the file's name").means("Title of the comparison.").from(no_number));
  rows.push_back(text_row("question")
                     .otherwise("none")
                     .means("What the practitioner asks, in words; printed on the report.")
                     .from(no_number));
  rows.push_back(text_row("note")
                     .otherwise("none")
                     .means("Remarks printed on the report. An invented patient says so here.")
                     .from(no_number));
  rows.push_back(text_row("reference")
                     .otherwise("the first design")
                     .means("Name of the design that the others are compared with.")
                     .from(no_number));
  add_patient_rows(rows);
  add_ray_rows(rows);
  add_activity_rows(rows);
  add_shoe_rows(rows);
  add_material_rows(rows);
  add_mesh_rows(rows);
  add_design_rows(rows);
  add_support_rows(rows);
  add_beam_rows(rows);
  add_beam_quantity_rows(rows);
  return rows;
}

} // namespace

bool is_text(const KeyType type) {
  return type == KeyType::text || type == KeyType::label || type == KeyType::choice;
}

CatalogueRow number_row(const std::string &key, const std::string &unit) {
  return row(key, KeyType::number, unit);
}
CatalogueRow integer_row(const std::string &key, const std::string &unit) {
  return row(key, KeyType::integer, unit);
}
CatalogueRow text_row(const std::string &key) {
  return row(key, KeyType::text);
}
CatalogueRow label_row(const std::string &key) {
  return row(key, KeyType::label);
}
CatalogueRow choice_row(const std::string &key) {
  return row(key, KeyType::choice);
}
CatalogueRow choice_list_row(const std::string &key) {
  return row(key, KeyType::choice_list);
}
CatalogueRow boolean_row(const std::string &key) {
  return row(key, KeyType::boolean);
}

CatalogueRow &CatalogueRow::needed() {
  required = true;
  default_words = "must be given";
  return *this;
}

CatalogueRow &CatalogueRow::otherwise(const double value) {
  default_values = {value};
  default_words = number_text(value);
  return *this;
}

CatalogueRow &CatalogueRow::otherwise(const std::string &words) {
  default_words = words;
  return *this;
}

CatalogueRow &CatalogueRow::per_ray(const std::vector<double> &values, const std::string &scaling) {
  default_values = values;
  std::vector<std::string> words;
  for (const double v : values)
    words.push_back(number_text(v));
  default_words = list_text(words) + " for rays 1 to 5" + (scaling.empty() ? "" : ", " + scaling);
  return *this;
}

CatalogueRow &CatalogueRow::within(const double low, const double high) {
  allowed = {low, high};
  return *this;
}

CatalogueRow &CatalogueRow::usual(const double low, const double high, const std::string &words) {
  published = {{low, high}};
  usual_source = words;
  return *this;
}

CatalogueRow &CatalogueRow::usual_per_ray(const std::vector<Range> &ranges) {
  published = ranges;
  return *this;
}

CatalogueRow &CatalogueRow::one_of(const std::vector<std::string> &names) {
  choices = names;
  return *this;
}

CatalogueRow &CatalogueRow::means(const std::string &sentence) {
  meaning = sentence;
  return *this;
}

CatalogueRow &CatalogueRow::from(const std::string &words) {
  source = words;
  return *this;
}

CatalogueRow &CatalogueRow::written(const std::string &line) {
  example = line;
  return *this;
}

CatalogueRow &CatalogueRow::varies(const double low, const double high, const std::string &words) {
  own_spread = Spread{low, high, 0, words};
  return *this;
}

CatalogueRow &CatalogueRow::deviates(const double deviation, const std::string &words) {
  own_spread = Spread{0, 0, deviation, words};
  return *this;
}

CatalogueRow &CatalogueRow::deviates_by_part(const double part, const std::string &words) {
  own_spread = Spread{0, 0, part, words, true};
  return *this;
}

CatalogueRow &CatalogueRow::measured_to(const double deviation, const std::string &words) {
  measuring = Spread{0, 0, deviation, words};
  return *this;
}

double Spread::deviation_at(const double value, const bool usual_range) const {
  if (deviation > 0)
    return of_value ? deviation * std::abs(value) : deviation;
  return (high - low) / (usual_range ? 5 : std::sqrt(12.0));
}

double CatalogueRow::deviation(const double value, const bool measured, const int ray) const {
  if (measured && measuring)
    return measuring->deviation_at(value, false);
  const auto found = spread(ray);
  return found ? found->deviation_at(value, !own_spread) / (measured ? 3 : 1) : 0;
}

std::optional<Spread> CatalogueRow::spread(const int ray) const {
  if (own_spread)
    return own_spread;
  if (const Range *usual = published_for(ray))
    if (usual->low < usual->high)
      return Spread{usual->low, usual->high, 0, source_of_usual()};
  if (default_values.empty() || number(ray) == 0)
    return {};
  return Spread{0, 0, std::abs(number(ray)) / 10, "a tenth of the default (assumed)"};
}

const std::string &CatalogueRow::source_of_usual() const {
  return usual_source.empty() ? source : usual_source;
}

double CatalogueRow::number(const int ray) const {
  if (default_values.size() == 1)
    return default_values[0];
  if (default_values.size() == 5 && ray >= 1 && ray <= 5)
    return default_values[ray - 1];
  throw std::logic_error("catalogue key \"" + key + "\" has no default number");
}

const Range *CatalogueRow::published_for(const int ray) const {
  if (published.size() == 1)
    return &published[0];
  if (published.size() == 5 && ray >= 1 && ray <= 5)
    return &published[ray - 1];
  return nullptr;
}

std::string CatalogueRow::allowed_words() const {
  switch (type) {
  case KeyType::number:
  case KeyType::integer:
    return std::string(type == KeyType::integer ? "whole numbers " : "") + number_text(allowed.low) + " to " +
           number_text(allowed.high) + (unit.empty() ? "" : " " + unit);
  case KeyType::text:
    return "text in quotes";
  case KeyType::label:
    return "1 to 40 lower-case letters, digits and hyphens, in quotes";
  case KeyType::choice:
    return list_text(choices);
  case KeyType::choice_list:
    return "one or a list of " + list_text(choices);
  case KeyType::boolean:
    return "true or false";
  }
  return "";
}

const char *const no_number = "no number";

std::string table_meaning(const std::string &path) {
  static const std::vector<CatalogueTable> tables = [] {
    std::vector<CatalogueTable> list = {
        {"patient",
         "The patient: five values are needed, every other measure follows from the foot's length until it "
         "is given."},
        {"patient.rayN",
         "What was measured of one ray; 1 is the big-toe side. Each value given here replaces the one "
         "that follows from the foot's length."},
        {"activity",
         "What the foot does: the most loaded instant of a standing, a step or a stride, and how often "
         "it comes in a day."},
        {"shoe", "The shoe: how stiff its sole is at the ball and behind it, what its upper holds, whether "
                 "it rolls."},
        {"bone", "Stiffness of the bones. Seldom known of one patient: leave it out."},
        {"tissue", "Stiffness of plantar tissue and fascia. Seldom known of one patient: leave it out."},
        {"mesh",
         "How finely and how exactly is calculated. Only resolution is of use outside the laboratory."},
    };
    add_design_tables(list);
    return list;
  }();
  for (const CatalogueTable &t : tables)
    if (t.path == path)
      return t.meaning;
  return "";
}

const std::vector<CatalogueRow> &catalogue() {
  static const std::vector<CatalogueRow> rows = all_rows();
  return rows;
}

const CatalogueRow *find_catalogue_row(const std::string &key) {
  static const std::map<std::string, const CatalogueRow *> index = [] {
    std::map<std::string, const CatalogueRow *> m;
    for (const CatalogueRow &r : catalogue())
      if (!m.emplace(r.key, &r).second)
        throw std::logic_error("catalogue key \"" + r.key + "\" stands twice");
    return m;
  }();
  const auto it = index.find(key);
  return it == index.end() ? nullptr : it->second;
}

const CatalogueRow &catalogue_row(const std::string &key) {
  if (const CatalogueRow *r = find_catalogue_row(key))
    return *r;
  throw std::logic_error("no catalogue row for key \"" + key + "\"");
}

std::vector<const CatalogueRow *> member_rows(const std::string &table, const std::type_info &of) {
  std::vector<const CatalogueRow *> rows;
  const std::string prefix = table + ".";
  for (const CatalogueRow &r : catalogue())
    if (r.member.of && *r.member.of == of && r.key.compare(0, prefix.size(), prefix) == 0 &&
        r.key.find('.', prefix.size()) == std::string::npos)
      rows.push_back(&r);
  return rows;
}

std::string general_key(const std::string &concrete) {
  std::string out;
  for (std::size_t i = 0; i < concrete.size(); ++i) {
    out += concrete[i];
    if (concrete[i] != '[')
      continue;
    const std::size_t close = concrete.find(']', i);
    if (close == std::string::npos)
      break;
    const std::string inside = concrete.substr(i + 1, close - i - 1);
    if (inside.find_first_not_of("0123456789") != std::string::npos)
      out += inside; // a kind of support element
    i = close - 1;
  }
  const std::string listed = "activity[]"; // [activity] and [[activity]] have the same keys
  if (out.compare(0, listed.size(), listed) == 0)
    out.erase(listed.size() - 2, 2);
  const std::string own_shoe = "designs[].shoe"; // [shoe] and a design's own have the same keys
  if (out.compare(0, own_shoe.size(), own_shoe) == 0)
    out.erase(0, own_shoe.size() - 4);
  const std::string ray = "patient.ray";
  if (out.compare(0, ray.size(), ray) == 0 && out.size() > ray.size() && out[ray.size()] >= '1' &&
      out[ray.size()] <= '5' && (out.size() == ray.size() + 1 || out[ray.size() + 1] == '.'))
    out[ray.size()] = 'N';
  return out;
}

bool of_a_beam(const std::string &key) {
  return key == "beam" || key.compare(0, 5, "beam.") == 0 || key.compare(0, 5, "beam_") == 0;
}

std::vector<std::string> names_in(const std::string &table) {
  std::vector<std::string> names;
  const std::string prefix = table.empty() ? "" : table + ".";
  if (table == "designs[]")
    names.push_back("shoe");
  const auto add = [&names](const std::string &name) {
    if (std::find(names.begin(), names.end(), name) == names.end())
      names.push_back(name);
  };
  for (const CatalogueRow &r : catalogue()) {
    if (r.key.compare(0, prefix.size(), prefix) != 0 || of_a_beam(r.key) != of_a_beam(table))
      continue;
    const std::string rest = r.key.substr(prefix.size());
    const std::string name = rest.substr(0, rest.find_first_of(".["));
    if (table == "patient" && name == "rayN")
      for (const char *ray : {"ray1", "ray2", "ray3", "ray4", "ray5"})
        add(ray);
    else
      add(name);
  }
  return names;
}

} // namespace raybend
