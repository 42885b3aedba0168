// Tables of how sure an answer is.
#include "postprocess/sure/sure_tables.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include <cmath>
#include <nlohmann/json.hpp>

namespace raybend {

namespace {

nlohmann::ordered_json value(const double x) {
  return std::isfinite(x) ? nlohmann::ordered_json(x) : nlohmann::ordered_json(nullptr);
}

} // namespace

std::string feet_csv(const FootSample &s) {
  std::vector<std::string> head = {"foot"};
  for (const UncertainNumber &u : s.numbers)
    head.push_back(csv_text(u.name + " (deviations from " + csv_number(u.value) + ", one is " +
                            csv_number(u.deviation) + ")"));
  for (const std::string &design : s.designs)
    for (const char *what : {" strain ue", " head pressure rise", " other ray rise"})
      head.push_back(csv_text(design + what));
  head.push_back("ln of how much likelier drawn than in people");
  head.push_back("chance that its designs were to be solved");
  for (const PublishedNumber &p : s.published)
    head.push_back(csv_text("barefoot: " + p.name));
  std::string text = csv_row(head);
  for (std::size_t i = 0; i < s.feet.size(); ++i) {
    std::vector<std::string> cells = {std::to_string(i + 1)};
    for (const double z : s.feet[i].z)
      cells.push_back(csv_number(z));
    const FootOutputs &o = s.feet[i].outputs;
    for (std::size_t d = 0; d < s.designs.size(); ++d)
      for (const double x : {o.strain[d], std::expm1(o.head_rise[d]), std::expm1(o.ray_rise[d])})
        cells.push_back(csv_number(x));
    cells.push_back(csv_number(s.feet[i].log_proposal));
    cells.push_back(csv_number(s.feet[i].kept));
    for (std::size_t j = 0; j < s.published.size(); ++j)
      cells.push_back(j < o.evidence.size() ? csv_number(o.evidence[j]) : "");
    text += csv_row(cells);
  }
  return text;
}

std::string pairs_csv(const Sureness &sure) {
  std::string text = csv_row({"design", "other", "chance_less", "median_pct", "low_pct", "high_pct",
                              "person_pct", "model_pct", "mesh_pct", "why_not"});
  if (!sure.why_not.empty())
    return text + csv_row({"", "", "", "", "", "", "", "", "", csv_text(sure.why_not)});
  for (const PairChance &kept : sure.pairs)
    for (const PairChance &p : {kept, sure.pair(kept.b, kept.a)})
      text += csv_row({csv_text(sure.designs[p.a]), csv_text(sure.designs[p.b]), csv_number(p.less),
                       csv_number(p.median), csv_number(p.low), csv_number(p.high), csv_number(p.person),
                       csv_number(p.model), csv_number(p.mesh), ""});
  return text;
}

std::string ranks_csv(const Sureness &sure) {
  std::vector<std::string> head = {"design"};
  for (std::size_t r = 1; r <= sure.designs.size(); ++r)
    head.push_back("chance_rank_" + std::to_string(r));
  head.insert(head.end(), {"chance_head_pressure_rises", "chance_other_ray_rises", "part_not_carried"});
  std::string text = csv_row(head);
  for (std::size_t d = 0; d < sure.rank.size(); ++d) {
    std::vector<std::string> cells = {csv_text(sure.designs[d])};
    for (const double x : sure.rank[d])
      cells.push_back(csv_number(x));
    for (const double x :
         {sure.cautions[d].head_pressure, sure.cautions[d].other_ray, sure.cautions[d].not_carried})
      cells.push_back(csv_number(x));
    text += csv_row(cells);
  }
  return text;
}

std::string measurements_csv(const Sureness &sure) {
  std::string text = csv_row({"measurement", "part_of_doubt", "chance_wrong_now", "chance_wrong_after"});
  for (const Measurement &m : sure.measurements)
    text += csv_row(
        {csv_text(m.words), csv_number(m.part), csv_number(sure.wrong_now), csv_number(m.wrong_after)});
  return text;
}

std::string evidence_csv(const Sureness &sure) {
  std::string text = csv_row({"walking_barefoot", "published_mean", "published_deviation", "drawn_mean",
                              "drawn_deviation", "weighed_mean", "weighed_deviation", "source"});
  for (std::size_t j = 0; j < sure.evidence.size(); ++j) {
    const PublishedNumber &p = sure.published[j];
    const EvidenceFit &e = sure.evidence[j];
    text += csv_row({csv_text(p.name), csv_number(p.mean), csv_number(p.deviation), csv_number(e.before),
                     csv_number(e.before_deviation), csv_number(e.after), csv_number(e.after_deviation),
                     csv_text(p.source)});
  }
  return text;
}

nlohmann::ordered_json sure_json(const Sureness &sure) {
  using Json = nlohmann::ordered_json;
  const auto percent = [](double chance) { return value(100 * chance); };
  Json j = {{"why_not", sure.why_not},        {"feet_solved", sure.solved},
            {"feet_tried", sure.tried},       {"feet_effective", value(sure.effective)},
            {"seconds", value(sure.seconds)}, {"wrong_choice_percent", percent(sure.wrong_now)}};
  for (const char *list : {"designs", "pairs", "measurements", "walking_barefoot", "model"})
    j[list] = Json::array();
  const auto names = [&](const std::vector<std::size_t> &order) {
    Json list = Json::array();
    for (const std::size_t d : order)
      list.push_back(sure.designs[d]);
    return list;
  };
  j["own_order"] = names(sure.own_order);
  for (const ModelOrder &m : sure.model_orders)
    j["model"].push_back(
        {{"question", m.question}, {"answer", m.answer}, {"order", names(m.order)}, {"turned", m.turned}});
  for (std::size_t d = 0; d < sure.rank.size(); ++d) {
    Json ranks = Json::array();
    for (const double x : sure.rank[d])
      ranks.push_back(percent(x));
    const CautionChance &c = sure.cautions[d];
    j["designs"].push_back({{"design", sure.designs[d]},
                            {"rank_percent", ranks},
                            {"head_pressure_rises_percent", percent(c.head_pressure)},
                            {"other_ray_rises_percent", percent(c.other_ray)},
                            {"not_carried_percent", percent(c.not_carried)}});
  }
  for (const PairChance &kept : sure.pairs)
    for (const PairChance &p : {kept, sure.pair(kept.b, kept.a)})
      j["pairs"].push_back({{"design", sure.designs[p.a]},
                            {"other", sure.designs[p.b]},
                            {"less_percent", percent(p.less)},
                            {"change_percent", value(p.median)},
                            {"change_low_percent", value(p.low)},
                            {"change_high_percent", value(p.high)},
                            {"doubt_person_percent", value(p.person)},
                            {"doubt_model_percent", value(p.model)},
                            {"doubt_mesh_percent", value(p.mesh)}});
  for (const Measurement &m : sure.measurements)
    j["measurements"].push_back({{"words", m.words},
                                 {"part_of_doubt_percent", percent(m.part)},
                                 {"wrong_choice_percent", percent(m.wrong_after)}});
  for (std::size_t k = 0; k < sure.evidence.size(); ++k) {
    const EvidenceFit &e = sure.evidence[k];
    const PublishedNumber &p = sure.published[k];
    j["walking_barefoot"].push_back({{"name", p.name},
                                     {"source", p.source},
                                     {"published", {p.mean, p.deviation}},
                                     {"by_spreads", {value(e.before), value(e.before_deviation)}},
                                     {"weighed", {value(e.after), value(e.after_deviation)}}});
  }
  return j;
}

} // namespace raybend
