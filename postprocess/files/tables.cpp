// The numbers for other programs: one JSON document and CSV tables, every key or head with its unit.
#include "postprocess/files/tables.hpp"
#include "geometry/cautions.hpp"
#include "geometry/version.hpp"
#include "postprocess/files/table_parts.hpp"
#include "postprocess/sure/sure_tables.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include "postprocess/words/answer.hpp"
#include "postprocess/words/columns.hpp"
#include "postprocess/words/warnings.hpp"
#include <cmath>
#include <nlohmann/json.hpp>

namespace raybend {

/// Whole numbers as integers, so that counts do not read as 12.0.
Json number(double value) {
  constexpr double exact_integers = 9007199254740992.0; // 2^53
  if (std::isfinite(value) && value == std::floor(value) && std::abs(value) < exact_integers)
    return static_cast<std::int64_t>(value);
  return value;
}

namespace {

Json result_json(const DesignResult &result, const Side side) {
  const auto numbers = [&](const auto &object, const auto &columns) {
    Json j = Json::object();
    for (const auto &c : columns)
      j[c.name] = number(shown(c, object, result, side));
    return j;
  };
  Json j = {{"converged", result.converged}, {"message", result.message}};
  j.update(numbers(result, design_columns()));
  for (const auto &c : record_columns())
    j[c.name] = number(c.value(result.record));
  j["rays"] = Json::array();
  for (int r = 1; r <= 5; ++r) {
    const RayResult &ray = result.ray[r - 1];
    Json k = {{"ray", r}};
    k.update(numbers(ray, ray_columns()));
    k["shaft"] = Json::array();
    for (const StationResult &s : ray.shaft)
      k["shaft"].push_back(numbers(s, station_columns()));
    j["rays"].push_back(k);
  }
  return j;
}

const char *kind_name(LoadKind kind) {
  switch (kind) {
  case LoadKind::ray_strain:
    return "ray_strain_ue";
  case LoadKind::head_pressure:
    return "head_pressure_peak_kpa";
  case LoadKind::head_force:
    return "head_force_n";
  case LoadKind::shaft_force:
    return "shaft_force_n";
  case LoadKind::toe_force:
    return "toe_force_n";
  case LoadKind::shaft_pressure:
    break;
  }
  return "shaft_pressure_peak_kpa";
}

Json shifts_json(const std::vector<LoadShift> &shifts) {
  Json list = Json::array();
  for (const LoadShift &s : shifts)
    list.push_back({{"quantity", kind_name(s.kind)},
                    {"ray", s.ray},
                    {"before", number(s.before)},
                    {"after", number(s.after)},
                    {"change_pct", number(s.percent)},
                    {"beyond_band", s.beyond_band ? Json(*s.beyond_band) : Json(nullptr)}});
  return list;
}

Json difference_json(const std::optional<Difference> &d) {
  if (!d)
    return nullptr;
  Json j = {{"peak_strain_change_pct", number(d->percent.value)},
            {"peak_strain_change_band_pct", number(d->percent.band)},
            {"told_apart", d->told_apart},
            {"load_went_to", shifts_json(d->shifts)},
            {"relieved", shifts_json(d->reliefs)}};
  return j;
}

} // namespace

Json ranking_json(const ReportInput &input, const std::vector<RankedDesign> &ranking) {
  Json list = Json::array();
  for (const RankedDesign &d : ranking) {
    Json j = {{"design", input.outcomes[d.place].design.name}, {"ranked", d.ranked}};
    if (!d.ranked)
      j["why_not"] = d.why_not;
    if (d.ranked) {
      j["rank_best"] = d.best_rank;
      j["rank_worst"] = d.worst_rank;
      j["peak_strain_ue"] = number(d.strain.value);
      j["peak_strain_band_ue"] = number(d.strain.band);
      j["not_told_apart_from"] = Json::array();
      for (std::size_t place : d.not_told_apart)
        j["not_told_apart_from"].push_back(input.outcomes[place].design.name);
      j["from_reference"] = difference_json(d.from_reference);
      j["from_without_support"] = difference_json(d.from_unsupported);
    }
    list.push_back(j);
  }
  return list;
}

namespace {

/// Calls visit(outcome, "with" | "without" | "none", result) in the order of the case.
template <typename Visit> void each_result(const ReportInput &input, Visit visit) {
  for (const DesignOutcome &o : input.outcomes) {
    visit(o, o.has_support() ? "with" : "none", o.with);
    if (o.has_support())
      visit(o, "without", o.without);
  }
}

template <typename T> std::string csv_head(const std::vector<NumberColumn<T>> &columns) {
  std::string line = "design,support,converged,ray";
  for (const NumberColumn<T> &c : columns)
    line += std::string(",") + c.name;
  return line + "\n";
}

template <typename T>
std::string csv_line(const DesignOutcome &o, const char *support, const DesignResult &result, const Side side,
                     int ray, const T &object, const std::vector<NumberColumn<T>> &columns) {
  std::string line = csv_text(o.design.name) + "," + support + "," + (result.converged ? "yes" : "no") + "," +
                     std::to_string(ray);
  for (const NumberColumn<T> &c : columns)
    line += "," + csv_number(shown(c, object, result, side));
  return line + "\n";
}

} // namespace

Json common_json(const ReportInput &input, const std::string &answer,
                 const std::vector<std::string> &warnings) {
  const Forefoot &f = input.foot;
  Json j;
  j["program"] = "Raybend";
  j["version"] = raybend_version;
  if (!input.date.empty())
    j["date"] = input.date;
  j["versions"] = Json::object();
  for (const auto &[name, version] : input.versions)
    j["versions"][name] = version;
  j["cautions"] = Json::array();
  for (const char *words : cautions)
    j["cautions"].push_back(words);
  j["title"] = input.title;
  j["question"] = input.question;
  j["note"] = input.note;
  j["answer"] = answer;
  j["warnings"] = warnings;
  if (is_coarse(input))
    j["warnings"].insert(j["warnings"].begin(), resolution_words(input));
  j["patient"] = {{"sex", f.sex == Sex::female ? "female" : "male"},
                  {"side", f.side == Side::left ? "left" : "right"},
                  {"painful_ray", f.painful_ray},
                  {"also_painful", f.also_painful},
                  {"painful_part_pct",
                   {100 * counted_part(f, f.painful_ray)[0], 100 * counted_part(f, f.painful_ray)[1]}},
                  {"body_mass_kg", number(f.body_mass_kg)},
                  {"foot_length_mm", number(f.foot_length)}};
  return j;
}

Json activity_json(const ReportInput &input) {
  const Activity &a = input.activity.activity;
  const std::string &name = input.activity.name;
  Json j = {{"name", name.empty() ? a.name : name}};
  if (!name.empty() && name != a.name)
    j["kind"] = a.name;
  j.update({{"vertical_force_n", number(vertical_force(a, input.foot.body_mass_kg))},
            {"force_body_weights", number(a.force_bw)},
            {"toe_share", number(a.toe_share)},
            {"heel_rise_deg", number(a.heel_rise_deg)},
            {"forward_share", number(a.forward_share)},
            {"fascia_body_weights", number(a.fascia_bw)},
            {"flexor_effort", number(a.flexor_effort)},
            {"steps_per_hour", number(a.steps_per_hour)},
            {"carried_kg", number(a.carried_kg)},
            {"free_roll", a.free_roll},
            {"flexors", a.flexors},
            {"fascia", a.fascia},
            {"clamped_bases", a.clamped_bases},
            {"barefoot", a.barefoot}});
  return j;
}

Json designs_json(const ReportInput &input) {
  Json list = Json::array();
  for (const DesignOutcome &o : input.outcomes) {
    Json d = {{"design", o.design.name},
              {"title", o.design.title},
              {"support_elements", o.design.support.size()},
              {"with_support", result_json(o.with, input.foot.side)}};
    d["without_support"] = o.has_support() ? result_json(o.without, input.foot.side) : Json(nullptr);
    list.push_back(d);
  }
  return list;
}

void add_case(Json &j, const ReportInput &input) {
  j["case"] = {{"path", input.case_path}, {"text", input.case_text}, {"resolved", Json::array()}};
  for (const ReportInput::Resolved &r : input.resolved)
    j["case"]["resolved"].push_back(
        {{"key", r.key}, {"value", r.value}, {"unit", r.unit}, {"origin", r.origin}});
  j["time_s"] = number(input.seconds);
  if (input.sure)
    j["sure"] = sure_json(*input.sure);
}

std::string json_text(const Json &j) {
  return j.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string summary_json(const ReportInput &input, const std::vector<RankedDesign> &ranking) {
  Json j = common_json(input, answer_text(answer(input, ranking)), report_warnings(input, ranking));
  j["activity"] = activity_json(input);
  j["reference"] = input.outcomes[reference_place(input)].design.name;
  j["ranking"] = ranking_json(input, ranking);
  for (const int ray : input.foot.also_painful)
    j["ranking_by_ray"][std::to_string(ray)] = ranking_json(input, rank_designs_by(input, ray));
  j["designs"] = designs_json(input);
  add_case(j, input);
  return json_text(j);
}

std::string rays_head() {
  return csv_head(ray_columns());
}

std::string rays_lines(const ReportInput &input, const std::string &before) {
  std::string text;
  each_result(input, [&](const DesignOutcome &o, const char *support, const DesignResult &result) {
    for (int r = 1; r <= 5; ++r)
      text += before + csv_line(o, support, result, input.foot.side, r, result.ray[r - 1], ray_columns());
  });
  return text;
}

std::string instants_head() {
  return "stance_pct,vertical_force_n," + rays_head();
}

std::string instants_lines(const ReportInput &input, const std::string &before) {
  std::string text;
  const auto add = [&](const DesignOutcome &o, const char *support, const StepResult &step) {
    for (const DesignResult &instant : step)
      for (int r = 1; r <= 5; ++r)
        text += before + csv_number(instant.stance_percent) + "," + csv_number(instant.applied_force) + "," +
                csv_line(o, support, instant, input.foot.side, r, instant.ray[r - 1], ray_columns());
  };
  for (const DesignOutcome &o : input.outcomes) {
    add(o, o.has_support() ? "with" : "none", o.with_instants);
    if (o.has_support())
      add(o, "without", o.without_instants);
  }
  return text;
}

std::string instants_csv(const ReportInput &input) {
  return instants_head() + instants_lines(input, "");
}

std::string shaft_head() {
  return csv_head(station_columns());
}

std::string shaft_lines(const ReportInput &input, const std::string &before) {
  std::string text;
  each_result(input, [&](const DesignOutcome &o, const char *support, const DesignResult &result) {
    for (int r = 1; r <= 5; ++r)
      for (const StationResult &s : result.ray[r - 1].shaft)
        text += before + csv_line(o, support, result, input.foot.side, r, s, station_columns());
  });
  return text;
}

namespace {
/// A ray's numbers whose change means something: no bands, no places.
std::vector<NumberColumn<RayResult>> changing_columns() {
  std::vector<NumberColumn<RayResult>> columns;
  for (const NumberColumn<RayResult> &c : ray_columns()) {
    const std::string name = c.name;
    const auto has = [&](const char *part) { return name.find(part) != std::string::npos; };
    if (!has("_band_") && !has("_at_") && !has("_sensor_") && !has("_deg"))
      columns.push_back(c);
  }
  return columns;
}
} // namespace

std::string changes_head() {
  std::string line = "design,against,ray";
  for (const NumberColumn<RayResult> &c : changing_columns())
    line += std::string(",change_") + c.name + ",change_" + c.name + "_pct";
  return line + "\n";
}

std::string changes_lines(const ReportInput &input, const std::string &before) {
  const std::vector<NumberColumn<RayResult>> columns = changing_columns();
  std::string text;
  const auto add = [&](const DesignOutcome &o, const char *against, const DesignResult &other) {
    for (int r = 0; r < 5; ++r) {
      text += before + csv_text(o.design.name) + "," + against + "," + std::to_string(r + 1);
      for (const NumberColumn<RayResult> &c : columns) {
        const double now = shown(c, o.with.ray[r], o.with, input.foot.side),
                     then = shown(c, other.ray[r], other, input.foot.side);
        // In per cent of the amount before, with the sign of the change; from nothing there is no number.
        text += "," + csv_number(now - then) + "," + csv_number(100 * (now - then) / std::abs(then));
      }
      text += "\n";
    }
  };
  const DesignOutcome &reference = input.outcomes[reference_place(input)];
  for (const DesignOutcome &o : input.outcomes) {
    if (&o != &reference)
      add(o, "reference", reference.with);
    if (o.has_support())
      add(o, "without", o.without);
  }
  return text;
}

std::string changes_csv(const ReportInput &input) {
  return changes_head() + changes_lines(input, "");
}

std::string rays_csv(const ReportInput &input) {
  return rays_head() + rays_lines(input, "");
}

std::string shaft_csv(const ReportInput &input) {
  return shaft_head() + shaft_lines(input, "");
}

} // namespace raybend
