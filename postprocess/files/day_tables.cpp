// The numbers of a day of several activities for other programs; tables.hpp says how they are written.
#include "postprocess/files/day_tables.hpp"
#include "postprocess/files/table_parts.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include "postprocess/words/answer.hpp"
#include "postprocess/words/day_answer.hpp"
#include <limits>

namespace raybend {

namespace {

LifeRatio life(const DayStrain &reference, const DayStrain &strain, const std::size_t l) {
  const double nothing = std::numeric_limits<double>::quiet_NaN();
  return reference.known && strain.known
             ? life_ratio(reference.strain[l], strain.strain[l], fatigue_laws[l].exponent)
             : LifeRatio{nothing, nothing, nothing};
}

Json strain_json(const DayInput &input, const DayStrain &reference, const DayStrain &strain,
                 const std::size_t l) {
  const LifeRatio ratio = life(reference, strain, l);
  Json j = {{"exponent", fatigue_laws[l].exponent},
            {"equivalent_strain_ue", number(strain.strain[l].value)},
            {"equivalent_strain_band_ue", number(strain.strain[l].band)},
            {"life_ratio_to_reference", number(ratio.value)},
            {"life_ratio_low", number(ratio.low)},
            {"life_ratio_high", number(ratio.high)},
            {"worst_spot_at_pct", number(100 * strain.spot[l].fraction)},
            {"worst_spot_from_dorsal_over_medial_deg", number(strain.spot[l].towards)},
            {"damage_share_pct", Json::object()}};
  for (std::size_t i = 0; i < input.activities.size(); ++i)
    j["damage_share_pct"][input.activities[i].activity.name] = number(100 * strain.share[l][i]);
  return j;
}

Json design_json(const DayInput &input, const DayDesign &d, const DayStrain &reference) {
  const std::vector<DesignOutcome> &outcomes = input.common().outcomes;
  Json j = {{"design", outcomes[d.place].design.name}, {"ranked", d.with.known}};
  if (d.with.known) {
    j["rank_best"] = d.best_rank;
    j["rank_worst"] = d.worst_rank;
    j["with_support"] = Json::array();
    for (std::size_t l = 0; l < n_laws; ++l) {
      Json at = strain_json(input, reference, d.with, l);
      at["rank_best"] = d.rank[l].best;
      at["rank_worst"] = d.rank[l].worst;
      at["not_told_apart_from"] = Json::array();
      for (const std::size_t place : d.rank[l].not_told_apart)
        at["not_told_apart_from"].push_back(outcomes[place].design.name);
      j["with_support"].push_back(at);
    }
  }
  j["without_support"] = nullptr;
  if (d.without.known && outcomes[d.place].has_support()) {
    j["without_support"] = Json::array();
    for (std::size_t l = 0; l < n_laws; ++l)
      j["without_support"].push_back(strain_json(input, reference, d.without, l));
  }
  return j;
}

} // namespace

std::string day_json(const DayInput &input, const DayRanking &day,
                     const std::vector<std::vector<RankedDesign>> &rankings) {
  const ReportInput &common = input.common();
  Json j = common_json(common, answer_text(day_answer(input, day)), day_warnings(input, day));
  j["reference"] = common.outcomes[reference_place(common)].design.name;
  Json &whole = j["day"] = {{"steps_of_this_foot", number(input.cycles())},
                            {"order", order_words(input, day)},
                            {"life_ratio_means", life_caution},
                            {"exponents", Json::array()},
                            {"ranking", Json::array()}};
  for (const FatigueLaw &law : fatigue_laws)
    whole["exponents"].push_back({{"exponent", law.exponent}, {"source", law.source}});
  for (const DayDesign &d : day.designs)
    whole["ranking"].push_back(design_json(input, d, day.of(reference_place(input.common())).with));
  for (const int ray : common.foot.also_painful) {
    const DayRanking by = rank_day_by(input, ray);
    for (const DayDesign &d : by.designs)
      whole["ranking_by_ray"][std::to_string(ray)].push_back(
          design_json(input, d, by.of(reference_place(common)).with));
  }
  j["activities"] = Json::array();
  for (std::size_t i = 0; i < input.activities.size(); ++i) {
    const ReportInput &a = input.activities[i];
    Json k = activity_json(a);
    k["kind"] = a.activity.activity.name;
    k["hours_per_day"] = number(a.activity.hours_per_day);
    k["steps_of_this_foot"] = number(a.activity.cycles());
    k["answer"] = answer_text(answer(a, rankings[i]));
    k["ranking"] = ranking_json(a, rankings[i]);
    k["designs"] = designs_json(a);
    j["activities"].push_back(k);
  }
  add_case(j, common);
  return json_text(j);
}

std::string day_rays_csv(const DayInput &input) {
  std::string text = "activity," + rays_head();
  for (const ReportInput &a : input.activities)
    text += rays_lines(a, csv_text(a.activity.name) + ",");
  return text;
}

std::string day_instants_csv(const DayInput &input) {
  std::string text = "activity," + instants_head();
  for (const ReportInput &a : input.activities)
    text += instants_lines(a, csv_text(a.activity.name) + ",");
  return text;
}

std::string day_changes_csv(const DayInput &input) {
  std::string text = "activity," + changes_head();
  for (const ReportInput &a : input.activities)
    text += changes_lines(a, csv_text(a.activity.name) + ",");
  return text;
}

std::string day_shaft_csv(const DayInput &input) {
  std::string text = "activity," + shaft_head();
  for (const ReportInput &a : input.activities)
    text += shaft_lines(a, csv_text(a.activity.name) + ",");
  return text;
}

std::string day_csv(const DayInput &input, const DayRanking &day) {
  std::string text = "design,support,converged,exponent,rank_best,rank_worst,equivalent_strain_ue,"
                     "equivalent_strain_band_ue,life_ratio_to_reference,life_ratio_low,life_ratio_high";
  for (const ReportInput &a : input.activities)
    text += "," + csv_text("damage_share_" + a.activity.name + "_pct");
  text += "\n";
  const DayStrain &reference = day.of(reference_place(input.common())).with;
  const double nothing = std::numeric_limits<double>::quiet_NaN();
  for (std::size_t place = 0; place < input.common().outcomes.size(); ++place)
    for (const DayDesign &d : day.designs) {
      if (d.place != place)
        continue;
      const DesignOutcome &o = input.common().outcomes[place];
      for (const bool with : {true, false}) {
        if (!with && !o.has_support())
          continue;
        const DayStrain &s = with ? d.with : d.without;
        for (std::size_t l = 0; l < n_laws; ++l) {
          const LifeRatio ratio = life(reference, s, l);
          const bool ranked = with && s.known;
          text += csv_text(o.design.name) + "," +
                  (!o.has_support() ? "none"
                   : with           ? "with"
                                    : "without") +
                  "," + (s.known ? "yes" : "no") + "," + exact(fatigue_laws[l].exponent);
          for (const double x : {ranked ? d.rank[l].best : nothing, ranked ? d.rank[l].worst : nothing,
                                 s.known ? s.strain[l].value : nothing, s.known ? s.strain[l].band : nothing,
                                 ratio.value, ratio.low, ratio.high})
            text += "," + csv_number(x);
          for (std::size_t i = 0; i < input.activities.size(); ++i)
            text += "," + csv_number(s.known ? 100 * s.share[l][i] : nothing);
          text += "\n";
        }
      }
    }
  return text;
}

} // namespace raybend
