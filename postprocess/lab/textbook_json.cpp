// A textbook case's result as JSON, and read back from it.
#include "geometry/version.hpp"
#include "postprocess/lab/textbook_tables.hpp"
#include <cmath>
#include <limits>
#include <nlohmann/json.hpp>
#include <stdexcept>

namespace raybend {

using Json = nlohmann::ordered_json;

namespace {

Json numbers(const std::vector<double> &values) {
  Json j = Json::array();
  for (const double v : values)
    j.push_back(std::isfinite(v) ? Json(v) : Json(nullptr));
  return j;
}

double number(const Json &j) {
  return j.is_number() ? j.get<double>() : std::numeric_limits<double>::quiet_NaN();
}

std::vector<double> list(const Json &j) {
  std::vector<double> values;
  for (const Json &v : j)
    values.push_back(number(v));
  return values;
}

} // namespace

std::string textbook_json(const TextbookResult &r) {
  Json j = {{"program", "Raybend"}, {"version", raybend_version}, {"name", r.name},
            {"title", r.title},     {"source", r.source},         {"verdict", verdict_word(verdict(r))},
            {"failure", r.failure}, {"time_s", r.seconds}};
  j["quantities"] = Json::array();
  for (std::size_t i = 0; i < r.quantities.size(); ++i) {
    const TextbookQuantity &q = r.quantities[i];
    Json k = {{"name", q.name},
              {"unit", q.unit},
              {"reference", std::isfinite(q.reference) ? Json(q.reference) : Json(nullptr)},
              {"known", q.known},
              {"source", q.source},
              {"tolerance_pct", q.tolerance_percent},
              {"tolerance", q.tolerance},
              {"decides", q.decides},
              {"note", q.note},
              {"why", q.why},
              {"formal_order", q.formal_order}};
    std::vector<double> values, errors;
    for (std::size_t l = 0; l < r.levels.size(); ++l) {
      values.push_back(r.levels[l].values[i]);
      errors.push_back(r.error_percent(i, l));
    }
    k["computed"] = numbers(values);
    k["error_pct"] = numbers(errors);
    const Extrapolation e = extrapolated(r, i, r.levels.size());
    k["richardson"] =
        e.valid ? Json{{"value", e.value}, {"band", e.band}, {"order", e.order}} : Json{{"why_not", e.why}};
    k["within"] = q.decides ? Json(r.within(i)) : Json(nullptr);
    j["quantities"].push_back(k);
  }
  j["levels"] = Json::array();
  for (const TextbookLevel &l : r.levels)
    j["levels"].push_back({{"unknowns", l.unknowns}, {"time_s", l.seconds}, {"values", numbers(l.values)}});
  j["curves"] = Json::array();
  for (const TextbookCurve &c : r.curves)
    j["curves"].push_back({{"title", c.title},
                           {"x_label", c.x_label},
                           {"y_label", c.y_label},
                           {"x", numbers(c.x)},
                           {"computed", numbers(c.computed)},
                           {"closed_form", numbers(c.closed_form)}});
  return j.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

TextbookResult read_textbook_json(const std::string &text) try {
  const Json j = Json::parse(text);
  TextbookResult r;
  r.name = j.at("name");
  r.title = j.at("title");
  r.source = j.at("source");
  r.failure = j.at("failure");
  r.seconds = j.at("time_s");
  for (const Json &k : j.at("quantities"))
    r.quantities.push_back({k.at("name"), k.at("unit"), number(k.at("reference")), k.at("known"),
                            k.at("source"), k.at("tolerance_pct"), k.at("decides"), k.at("note"),
                            k.at("tolerance"), k.at("why"), k.at("formal_order")});
  for (const Json &k : j.at("levels"))
    r.levels.push_back({k.at("unknowns"), k.at("time_s"), list(k.at("values"))});
  for (const Json &k : j.at("curves"))
    r.curves.push_back({k.at("title"), k.at("x_label"), k.at("y_label"), list(k.at("x")),
                        list(k.at("computed")), list(k.at("closed_form"))});
  return r;
} catch (const Json::exception &error) {
  throw std::runtime_error(std::string("the result of a case cannot be read back: ") + error.what());
}

} // namespace raybend
