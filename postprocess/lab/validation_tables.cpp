// Tables of the validation rows.
#include "postprocess/lab/validation_tables.hpp"
#include "geometry/version.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <nlohmann/json.hpp>
#include <set>

namespace raybend {

using Json = nlohmann::ordered_json;

namespace {

std::string short_number(const double value) {
  char text[40];
  std::snprintf(text, sizeof text, "%.4g", value == 0 ? 0.0 : value);
  return std::isfinite(value) ? text : "-";
}

std::string with_unit(const std::string &text, const std::string &unit) {
  return unit.empty() ? text : text + " " + unit;
}

std::string range_words(const ValidationQuantity &q) {
  const bool from = std::isfinite(q.above), to = std::isfinite(q.below);
  return from && to ? with_unit(short_number(q.above) + " to " + short_number(q.below), q.unit)
         : from     ? with_unit("above " + short_number(q.above), q.unit)
         : to       ? with_unit("below " + short_number(q.below), q.unit)
                    : "for information";
}

std::string quantity_verdict(const ValidationQuantity &q) {
  return !q.decides() ? "-" : q.within() ? "met" : "missed";
}

const char *known_words(const std::string &known) {
  return known == "read"      ? "read in the source"
         : known == "memory"  ? "from memory"
         : known == "derived" ? "calculated from published numbers"
                              : "assumed";
}

const std::pair<const char *, const char *> groups[] = {
    {"independent", "Independent: nothing in the model was set by these; only here it predicts"},
    {"direction", "Direction only: no more than the sign or the order is published"},
    {"calibrated", "Calibrated: numbers of the model were set by these, which therefore prove nothing"},
};

std::string missed_part(const std::vector<ValidationRow> &rows) {
  std::string text;
  for (const ValidationRow &r : rows) {
    if (!r.failure.empty())
      text += "- " + r.name + ", not solved: " + one_line(r.failure) + "\n";
    for (const ValidationQuantity &q : r.quantities)
      if (r.failure.empty() && q.decides() && !q.within())
        text +=
            "- " + r.name + ", " + q.name + ": " + with_unit(short_number(q.value), q.unit) + " for " +
            range_words(q) + ". " +
            (q.miss.because.empty()
                 ? "No reason is declared."
                 : one_line(q.miss.because) + " (The miss is held between " +
                       with_unit(short_number(q.miss.above) + " and " + short_number(q.miss.below), q.unit) +
                       ".)") +
            "\n";
  }
  return text.empty() ? "None.\n" : text;
}

std::string group_part(const std::vector<ValidationRow> &rows, const std::string &group) {
  TextTable table({"row", "quantity", "published", "found", "verdict", "known"},
                  {Column::left, Column::left, Column::right, Column::right, Column::left, Column::left});
  bool any = false;
  for (const ValidationRow &r : rows)
    if (r.group == group)
      for (const ValidationQuantity &q : r.quantities) {
        table.add({r.name, q.name, range_words(q), with_unit(short_number(q.value), q.unit),
                   r.failure.empty() ? quantity_verdict(q) : "not solved", known_words(r.known)});
        any = true;
      }
  return any ? table.markdown() : "";
}

Json number_or_null(const double value) {
  return std::isfinite(value) ? Json(value) : Json(nullptr);
}

} // namespace

std::string validation_line(const ValidationRow &r) {
  std::string line = r.name, word = verdict_word(verdict(r));
  line.resize(std::max<std::size_t>(line.size() + 1, 30), ' ');
  word.resize(std::max<std::size_t>(word.size() + 1, 26), ' ');
  line += word;
  if (!r.failure.empty())
    return line + one_line(r.failure);
  std::vector<std::string> values, moved;
  bool never = false;
  for (const ValidationQuantity &q : r.quantities) {
    values.push_back(with_unit(short_number(q.value), q.unit));
    never |= !std::isfinite(q.pinned);
    if (r.pins_count && std::isfinite(q.pinned) && !q.as_pinned())
      moved.push_back(q.name + " was " + short_number(q.pinned));
  }
  return line + list_of(values) + (never ? "; not pinned yet" : "") +
         (moved.empty() ? "" : "; MOVED: " + list_of(moved));
}

std::string validation_summary(const std::vector<ValidationRow> &rows) {
  std::size_t met = 0, declared = 0;
  std::set<std::string> resolutions;
  for (const ValidationRow &r : rows) {
    met += verdict(r) == ValidationVerdict::met;
    declared += verdict(r) == ValidationVerdict::declared;
    resolutions.insert(r.resolution);
  }
  std::string text = "# Published values against the model\n\nWritten by `raybend validate`. A row is a file "
                     "in cases/validation/ "
                     "with foot, loads and designs. Resolution: " +
                     list_of({resolutions.begin(), resolutions.end()}) + ".\n" + std::to_string(met) +
                     " of " + std::to_string(rows.size()) + " rows are met, " + std::to_string(declared) +
                     " are missed with a declared reason, " + std::to_string(rows.size() - met - declared) +
                     " are missed without one or not solved.\n\n## Missed\n\n" + missed_part(rows);
  for (const auto &[group, words] : groups)
    if (const std::string part = group_part(rows, group); !part.empty())
      text += std::string("\n## ") + words + "\n\n" + part;
  text += "\n## Sources\n\n";
  for (const ValidationRow &r : rows)
    text += "- " + r.name + ": " + one_line(r.title) + ": " + one_line(r.source) + "." +
            (r.set_by_it.empty() ? "" : " Set by it: " + one_line(r.set_by_it) + ".") +
            (r.note.empty() ? "" : " " + one_line(r.note) + ".") + "\n";
  return text;
}

std::string validation_csv(const std::vector<ValidationRow> &rows) {
  std::string text = "row,quantity,unit,above,below,found,pinned,within,miss_above,miss_below,miss_reason,"
                     "row_verdict,group,known,resolution,source\n";
  for (const ValidationRow &r : rows)
    for (const ValidationQuantity &q : r.quantities) {
      const bool declared = !q.miss.because.empty();
      text += csv_text(r.name) + "," + csv_text(q.name) + "," + csv_text(q.unit);
      for (const double v : {q.above, q.below, q.value, q.pinned})
        text += "," + csv_exact(v);
      text += std::string(",") + (!q.decides() ? "" : q.within() ? "yes" : "no");
      for (const double v : {q.miss.above, q.miss.below})
        text += "," + (declared ? csv_exact(v) : "");
      text += "," + csv_text(q.miss.because) + "," + verdict_word(verdict(r)) + "," + r.group + "," +
              r.known + "," + r.resolution + "," + csv_text(r.source) + "\n";
    }
  return text;
}

std::string validation_json(const std::vector<ValidationRow> &rows) {
  Json j = {{"program", "Raybend"}, {"version", raybend_version}, {"pin_tolerance", pin_tolerance}};
  j["rows"] = Json::array();
  for (const ValidationRow &r : rows) {
    Json k = {{"name", r.name},       {"title", r.title},           {"source", r.source},
              {"known", r.known},     {"group", r.group},           {"set_by_it", r.set_by_it},
              {"note", r.note},       {"resolution", r.resolution}, {"verdict", verdict_word(verdict(r))},
              {"failure", r.failure}, {"as_stated", as_stated(r)}};
    k["quantities"] = Json::array();
    for (const ValidationQuantity &q : r.quantities) {
      Json one = {{"name", q.name},
                  {"unit", q.unit},
                  {"above", number_or_null(q.above)},
                  {"below", number_or_null(q.below)},
                  {"found", number_or_null(q.value)},
                  {"pinned", number_or_null(q.pinned)},
                  {"within", q.decides() ? Json(q.within()) : Json(nullptr)}};
      if (!q.miss.because.empty())
        one["declared_miss"] = {
            {"because", q.miss.because}, {"above", q.miss.above}, {"below", q.miss.below}};
      k["quantities"].push_back(one);
    }
    j["rows"].push_back(k);
  }
  return j.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

} // namespace raybend
