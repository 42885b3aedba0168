// The painful rays in words.
#include "postprocess/words/painful.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include "postprocess/words/answer.hpp"
#include "postprocess/words/summary_parts.hpp"
#include <algorithm>
#include <functional>

namespace raybend {

namespace {

/// What is told of one further ray.
struct Further {
  std::size_t least = 0, first = 0; ///< places: of the design that leaves least there, of the ranking's first
  Banded strain;                    ///< of `least`
  Banded more;                      ///< per cent that `first` leaves more there
  bool apart = false, known = false; ///< those two are told apart; `first` is ranked there
};

std::string further_words(const int ray, const std::string &unit, const Further &f,
                          const std::function<std::string(std::size_t)> &name) {
  const std::string text = "Ray " + std::to_string(ray) + " hurts too: ";
  const std::string strain = banded(f.strain) + " " + unit;
  if (f.least == f.first)
    return text + name(f.first) + " leaves least there as well, " + strain + ".";
  return text + name(f.least) + " leaves least there, " + strain + "; " + name(f.first) +
         (!f.known  ? " cannot be ranked there."
          : f.apart ? " leaves " + banded(f.more, percent_digits(f.more)) + " % more."
                    : " is not told apart from it.");
}

} // namespace

std::string painful_words(const Forefoot &foot) {
  std::string text = std::to_string(foot.painful_ray);
  if (foot.painful_place != PainfulPlace::shaft)
    text += foot.painful_place == PainfulPlace::base ? ", at its base" : ", at its neck";
  std::vector<std::string> further;
  for (const int ray : foot.also_painful)
    further.push_back(std::to_string(ray));
  if (!further.empty())
    text += std::string("; also painful: ray") + (further.size() > 1 ? "s " : " ") + list_of(further);
  return text;
}

std::string counted_words(const Forefoot &foot) {
  const std::array<double, 2> part = counted_part(foot, foot.painful_ray);
  return fixed(100 * part[0]) + " and " + fixed(100 * part[1]) + " %";
}

std::vector<std::string> further_rays(const ReportInput &input, const std::vector<RankedDesign> &ranking) {
  std::vector<std::string> list;
  for (const int ray : input.foot.also_painful) {
    const std::vector<RankedDesign> by = rank_designs_by(input, ray);
    if (!by.front().ranked || !ranking.front().ranked)
      continue;
    Further f{by.front().place, ranking.front().place, by.front().strain, {}, false, false};
    for (const RankedDesign &d : by)
      if (d.place == f.first && d.ranked) {
        f.known = true;
        f.more = percent_change(d.strain, f.strain);
        f.apart = told_apart(d.strain, f.strain);
      }
    list.push_back(further_words(
        ray, "ue", f, [&](const std::size_t place) { return quoted_name(input.outcomes[place]); }));
  }
  return list;
}

std::vector<std::string> further_rays(const DayInput &input, const DayRanking &day) {
  std::vector<std::string> list;
  for (const int ray : input.common().foot.also_painful) {
    const DayRanking by = rank_day_by(input, ray);
    const DayDesign &least = by.designs.front();
    if (!least.with.known || !day.designs.front().with.known)
      continue;
    const DayDesign &first = by.of(day.designs.front().place);
    const Banded &a = first.with.strain[one_law], &b = least.with.strain[one_law];
    list.push_back(
        further_words(ray, "ue over the day at m = " + fixed(fatigue_laws[one_law].exponent, 1),
                      {least.place, first.place, b, percent_change(a, b), told_apart(a, b), first.with.known},
                      [&](const std::size_t place) { return quoted_name(input.common().outcomes[place]); }));
  }
  return list;
}

} // namespace raybend
