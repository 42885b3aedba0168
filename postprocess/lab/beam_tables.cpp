// The numbers of a beam for other programs: CSV and JSON.
#include "geometry/beam_cautions.hpp"
#include "geometry/version.hpp"
#include "postprocess/lab/beam_report.hpp"
#include "postprocess/text/number_text.hpp"
#include <cmath>
#include <nlohmann/json.hpp>

namespace raybend {

using Json = nlohmann::ordered_json;

namespace {

struct BeamColumn {
  std::string name;
  std::function<double(const SolidStation &)> value;
};

std::vector<BeamColumn> columns(const BeamReport &r) {
  std::vector<BeamColumn> list = {{"x_mm", [](const SolidStation &s) { return s.s; }}};
  constexpr const char *axes[3] = {"x", "y", "z"};
  constexpr const char *forces[3] = {"n_n", "vy_n", "vz_n"}, *moments[3] = {"t_n_mm", "my_n_mm", "mz_n_mm"};
  for (int c = 0; c < 3; ++c)
    list.push_back({std::string("u") + axes[c] + "_mm", [c](const SolidStation &s) { return s.u[c]; }});
  for (int c = 0; c < 3; ++c)
    list.push_back({std::string("u") + axes[c] + "_band_mm",
                    [c, &r](const SolidStation &s) { return std::abs(r.band(s.s, c)); }});
  for (int c = 0; c < 3; ++c)
    list.push_back({std::string("u") + axes[c] + "_euler_mm",
                    [c, &r](const SolidStation &s) { return r.euler.at(s.s).u[c]; }});
  for (int c = 0; c < 3; ++c)
    list.push_back({std::string("u") + axes[c] + "_timoshenko_mm",
                    [c, &r](const SolidStation &s) { return r.timoshenko.at(s.s).u[c]; }});
  list.push_back({"twist_rad", [](const SolidStation &s) { return s.rotation[0]; }});
  list.push_back({"twist_band_rad", [&r](const SolidStation &s) { return std::abs(r.twist_band(s.s)); }});
  list.push_back({"twist_theory_rad", [&r](const SolidStation &s) { return r.theory_twist(s.s); }});
  for (int c = 0; c < 3; ++c)
    list.push_back({forces[c], [c](const SolidStation &s) { return s.force[c]; }});
  for (int c = 0; c < 3; ++c)
    list.push_back({moments[c], [c](const SolidStation &s) { return s.moment[c]; }});
  for (int c = 0; c < 3; ++c)
    list.push_back(
        {std::string("statics_") + forces[c], [c](const SolidStation &s) { return s.statics_force[c]; }});
  for (int c = 0; c < 3; ++c)
    list.push_back(
        {std::string("statics_") + moments[c], [c](const SolidStation &s) { return s.statics_moment[c]; }});
  return list;
}

Json three(const Vec3 &v) {
  return Json::array({v[0], v[1], v[2]});
}

} // namespace

std::string beam_csv(const BeamReport &r) {
  const auto list = columns(r);
  std::string text;
  for (const BeamColumn &c : list)
    text += (text.empty() ? "" : ",") + c.name;
  text += "\n";
  for (const SolidStation &s : r.last().stations) {
    bool first = true;
    for (const BeamColumn &c : list) {
      text += (first ? "" : ",") + csv_number(c.value(s));
      first = false;
    }
    text += "\n";
  }
  return text;
}

std::string beam_json(const BeamReport &r) {
  Json j;
  j["program"] = "Raybend";
  j["version"] = raybend_version;
  if (!r.date.empty())
    j["date"] = r.date;
  j["versions"] = Json::object();
  for (const auto &[name, version] : r.versions)
    j["versions"][name] = version;
  j["cautions"] = Json::array();
  for (const char *words : beam_cautions)
    j["cautions"].push_back(words);
  j["title"] = r.beam.title;
  j["note"] = r.beam.note;
  j["warnings"] = r.warnings;
  j["where_theory_does_not_hold"] = r.beyond_theory;
  j["largest_rotation_deg"] = r.last().largest_rotation_deg;
  j["levels"] = Json::array();
  for (const SolidResult &l : r.levels) {
    double most = 0;
    for (const SolidStation &s : l.stations)
      most = std::max(most, norm(s.u));
    j["levels"].push_back({{"level", l.level},
                           {"unknowns", l.unknowns},
                           {"cells", l.cells},
                           {"cg_iterations", l.iterations},
                           {"time_s", l.seconds},
                           {"largest_displacement_mm", most}});
  }
  j["supports"] = Json::array();
  for (std::size_t i = 0; i < r.beam.supports.size(); ++i)
    j["supports"].push_back({{"x_mm", r.beam.supports[i].at},
                             {"touching", bool(r.last().touching[i])},
                             {"force_n", three(r.last().force[i])},
                             {"moment_n_mm", three(r.last().moment[i])},
                             {"timoshenko_force_n", three(r.timoshenko.force[i])},
                             {"timoshenko_moment_n_mm", three(r.timoshenko.moment[i])}});
  j["stations"] = Json::array();
  const auto list = columns(r);
  for (const SolidStation &s : r.last().stations) {
    Json k = Json::object();
    for (const BeamColumn &c : list)
      k[c.name] = c.value(s);
    j["stations"].push_back(k);
  }
  j["stresses"] = Json::array();
  for (const BeamStress &s : r.stresses)
    j["stresses"].push_back({{"x_mm", s.s},
                             {"y_mm", s.y},
                             {"z_mm", s.z},
                             {"axial_mpa", s.solid},
                             {"axial_band_mpa", std::abs(s.solid - s.before)},
                             {"navier_mpa", s.navier},
                             {"clear_of_loads", s.clear}});
  j["beam_file"] = {{"path", r.path}, {"text", r.text}};
  j["time_s"] = r.seconds;
  return j.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

WrittenReport write_beam_report(const BeamReport &report, const std::string &folder, const bool pictures,
                                const std::vector<std::string> &files) {
  ReportParts parts;
  parts.tables = {
      {"summary.json", beam_json(report)}, {"beam.csv", beam_csv(report)}, {"beam.txt", report.text}};
  parts.written_before = files;
  parts.pictures = {{"drawing charts", [&] { return write_beam_charts(report, folder); }}};
  parts.summary = [&](const std::vector<std::string> &all) { return beam_summary(report, all); };
  return write_parts(parts, folder, pictures, {});
}

} // namespace raybend
