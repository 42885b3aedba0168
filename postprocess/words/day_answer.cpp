// The whole day in words: which design uses the painful ray least, whether the exponent matters, what does the
// damage.
#include "postprocess/words/day_answer.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include "postprocess/words/painful.hpp"
#include "postprocess/words/picture_words.hpp"
#include "postprocess/words/summary_parts.hpp"
#include "postprocess/words/sure_words.hpp"
#include "postprocess/words/warnings.hpp"
#include <algorithm>
#include <cctype>
#include <cmath>
#include <map>

namespace raybend {

const char *const life_caution =
    "A relative figure of the model, not a prediction: it says nothing of how long a bone lasts, knows no "
    "repair of "
    "bone between the days, and goes with the exponent, so that no single number stands for it.";

namespace {

std::string quoted_design(const DayInput &input, const std::size_t place) {
  return quoted_name(input.common().outcomes[place]);
}

DesignWords quoted_designs(const DayInput &input) {
  return [&input](const std::size_t place) { return quoted_design(input, place); };
}

std::vector<const ReportInput *> all_activities(const DayInput &input) {
  std::vector<const ReportInput *> list;
  for (const ReportInput &a : input.activities)
    list.push_back(&a);
  return list;
}

std::string activity_name(const DayInput &input, const std::size_t i) {
  return "\"" + one_line(input.activities[i].activity.words()) + "\"";
}

std::vector<std::size_t> known_designs(const DayRanking &ranking) {
  std::vector<std::size_t> places;
  for (const DayDesign &d : ranking.designs)
    if (d.with.known)
      places.push_back(d.place);
  return places;
}

/// Which designs have the least strain, each with its exponents.
std::map<std::size_t, std::vector<std::size_t>> best_designs(const DayRanking &ranking) {
  std::map<std::size_t, std::vector<std::size_t>> best;
  for (std::size_t l = 0; l < n_laws; ++l) {
    const DayDesign *least = &ranking.designs.front();
    for (const DayDesign &d : ranking.designs)
      if (d.with.known && d.with.strain[l].value < least->with.strain[l].value)
        least = &d;
    best[least->place].push_back(l);
  }
  return best;
}

/// Designs from place `from` on that this one is not told apart from at one exponent at least.
std::vector<std::string> open_designs(const DayInput &input, const DayDesign &d, const DesignWords &words,
                                      const std::size_t from = 0) {
  std::vector<std::string> always, sometimes;
  for (std::size_t place = from; place < input.common().outcomes.size(); ++place) {
    std::vector<std::size_t> laws;
    for (std::size_t l = 0; l < n_laws; ++l)
      if (std::count(d.rank[l].not_told_apart.begin(), d.rank[l].not_told_apart.end(), place))
        laws.push_back(l);
    if (laws.size() == n_laws)
      always.push_back(words(place));
    else if (!laws.empty())
      sometimes.push_back(words(place) + " (at " + exponent_words(laws) + ")");
  }
  always.insert(always.end(), sometimes.begin(), sometimes.end());
  return always;
}

std::string open_words(const DayInput &input, const DayDesign &d) {
  const std::vector<std::string> open = open_designs(input, d, quoted_designs(input));
  return open.empty() ? "" : ", but this mesh cannot tell it apart from " + list_of(open);
}

std::string share_words(const DayInput &input, const DayDesign &d) {
  std::map<std::size_t, std::vector<std::size_t>> most; // activity, laws
  std::array<double, n_laws> percent{};
  for (std::size_t l = 0; l < n_laws; ++l) {
    const auto at = std::max_element(d.with.share[l].begin(), d.with.share[l].end());
    most[at - d.with.share[l].begin()].push_back(l);
    percent[l] = 100 * *at;
  }
  std::vector<std::string> items;
  for (const auto &[activity, laws] : most)
    items.push_back(activity_name(input, activity) +
                    (most.size() == 1 ? "" : " (at " + exponent_words(laws) + ")"));
  const bool one = *std::min_element(percent.begin(), percent.end()) == 100;
  return (one ? "All of its damage sum comes from "
              : "Most of its damage sum, " + range_words(percent) + " %, comes from ") +
         list_of(items) + ".";
}

/// What the design changes in the activity that does most of its damage.
std::vector<std::string> day_reason(const DayInput &input, const DayDesign &d) {
  std::vector<double> damage(input.activities.size(), 0);
  for (const std::vector<double> &share : d.with.share)
    for (std::size_t i = 0; i < share.size(); ++i)
      damage[i] += share[i];
  const std::size_t most = std::max_element(damage.begin(), damage.end()) - damage.begin();
  const ReportInput &activity = input.activities[most];
  for (const RankedDesign &ranked : rank_designs(activity))
    if (ranked.place == d.place)
      return reason_points(activity, ranked, "In " + activity_name(input, most));
  return {};
}

} // namespace

std::string idle_words(const DayActivity &activity) {
  return activity.cycles() > 0 ? "" : activity.hours_per_day > 0 ? "no steps" : "0 hours";
}

std::string exponent_words(const std::vector<std::size_t> &laws) {
  if (laws.size() == n_laws)
    return "all four exponents";
  std::vector<std::string> numbers;
  for (const std::size_t l : laws)
    numbers.push_back(fixed(fatigue_laws[l].exponent, 1));
  return "m = " + list_of(numbers);
}

std::array<Banded, n_laws> percent_changes(const DayStrain &now, const DayStrain &before) {
  std::array<Banded, n_laws> percent;
  for (std::size_t l = 0; l < n_laws; ++l)
    percent[l] = percent_change(now.strain[l], before.strain[l]);
  return percent;
}

std::array<double, n_laws> values_of(const std::array<Banded, n_laws> &numbers) {
  std::array<double, n_laws> values{};
  for (std::size_t l = 0; l < n_laws; ++l)
    values[l] = numbers[l].value;
  return values;
}

double largest_band(const std::array<Banded, n_laws> &numbers) {
  double largest = 0;
  for (const Banded &number : numbers)
    largest = std::max(largest, number.band);
  return largest;
}

std::string range_words(const std::array<double, n_laws> &values, const int digits) {
  double low = values[0], high = values[0];
  for (const double v : values) {
    if (!std::isfinite(v))
      return "-";
    low = std::min(low, v);
    high = std::max(high, v);
  }
  const std::string from = fixed(low, digits), to = fixed(high, digits);
  return from == to ? from : from + " to " + to;
}

std::string life_words(const LifeRatio &ratio) {
  const auto words = [](const double x) {
    return x > 1000    ? std::string("above 1000")
           : x < 0.001 ? "0"
                       : fixed(x, x < 0.1   ? 3
                                  : x < 10  ? 2
                                  : x < 100 ? 1
                                            : 0);
  };
  if (!std::isfinite(ratio.value))
    return "-";
  return words(ratio.value) +
         (ratio.low < ratio.high ? " (" + words(ratio.low) + " to " + words(ratio.high) + ")" : "");
}

namespace {

/// "A" is better than "B" at m = 5.3, worse at m = 14.1, not told apart at m = 6.6 and 10.3. Empty if they
/// are told apart at none.
std::string crossing_words(const DesignWords &design, const DayRanking &ranking, const Crossing &c) {
  std::vector<std::size_t> better, worse, open;
  for (std::size_t l = 0; l < n_laws; ++l) {
    const Banded &a = ranking.of(c.first).with.strain[l], &b = ranking.of(c.second).with.strain[l];
    (!told_apart(a, b) ? open : a.value < b.value ? better : worse).push_back(l);
  }
  if (open.size() == n_laws)
    return "";
  const std::string second = design(c.second);
  std::string words = design(c.first) + " is ";
  if (!better.empty())
    words += "better than " + second + " at " + exponent_words(better);
  if (!worse.empty())
    words +=
        (better.empty() ? "worse than " + second : std::string(", worse")) + " at " + exponent_words(worse);
  return open.empty() ? words : words + ", not told apart at " + exponent_words(open);
}

/// "1055 to 1065 ue (microstrain; ± 10 at most)"; "1000 ± 10 ue (microstrain)" where the numbers look alike.
std::string range_with_band(const std::array<Banded, n_laws> &numbers, const int digits,
                            const std::string &unit, const std::string &spoken = "") {
  const std::string range = range_words(values_of(numbers), digits);
  const double band = largest_band(numbers);
  const bool alike = range.find(" to ") == std::string::npos;
  std::string note = spoken;
  if (!alike && band != 0)
    note += (note.empty() ? "± " : "; ± ") + band_text(band, digits) + " at most";
  return (alike ? banded({numbers[0].value, band}, digits) : range) + " " + unit +
         (note.empty() ? "" : " (" + note + ")");
}

/// "a; b; c"
std::string joined(const std::vector<std::string> &items) {
  std::string text;
  for (const std::string &words : items)
    text += (text.empty() ? "" : "; ") + words;
  return text;
}

bool none_told_apart(const DayRanking &ranking) {
  const std::size_t known = known_designs(ranking).size();
  for (const DayDesign &d : ranking.designs)
    for (const OpenRank &rank : d.rank)
      if (d.with.known && rank.not_told_apart.size() + 1 != known)
        return false;
  return true;
}

/// True if a design has less strain than the reference at some exponent, and is told apart from it there.
bool any_better(const DayRanking &ranking, const DayStrain &reference) {
  for (const DayDesign &d : ranking.designs)
    for (std::size_t l = 0; d.with.known && l < n_laws; ++l)
      if (d.with.strain[l].value < reference.strain[l].value &&
          told_apart(d.with.strain[l], reference.strain[l]))
        return true;
  return false;
}

/// Says that nothing, or nothing against the reference, is told apart; "" where something is.
std::string open_sentence(const DayInput &input, const DayRanking &ranking) {
  const std::size_t known = known_designs(ranking).size(), reference = reference_place(input.common());
  if (known < 2)
    return "";
  const std::string ray = "ray " + std::to_string(input.common().foot.painful_ray);
  const std::string none =
      known == ranking.designs.size() ? "No design" : "Of the designs that can be ranked, none";
  if (none_told_apart(ranking))
    return none + " is told apart from another by the strain in " + ray + " over the whole day.";
  const DayDesign &from = ranking.of(reference);
  const auto best = best_designs(ranking);
  if (from.with.known && best.count(reference) == 0 && !any_better(ranking, from.with))
    return none + " is told apart from the reference " + quoted_design(input, reference) +
           " as the better one for " + ray + " over the whole day.";
  return "";
}

/// Which design leaves least at all exponents, and by how much; of `open` designs the one whose number is
/// least.
std::string least_sentence(const DayInput &input, const DayRanking &ranking, const DayDesign &d,
                           const bool open) {
  const std::size_t reference = reference_place(input.common());
  const bool all = known_designs(ranking).size() == ranking.designs.size();
  const std::string name = quoted_design(input, d.place);
  std::string text =
      (open ? "The least is calculated for " + name
            : std::string("Over the whole day") + (all ? " " : ", of the designs that can be ranked, ") +
                  name + " leaves the least strain in ray " +
                  std::to_string(input.common().foot.painful_ray)) +
      " at all four published exponents of bone fatigue: equal to " +
      range_with_band(d.with.strain, 0, "ue", "microstrain") + " at every step";
  const DayDesign &from = ranking.of(reference);
  if (d.place == reference)
    return text + "; it is the reference itself.";
  if (!from.with.known)
    return text + ".";
  std::array<Banded, n_laws> less = percent_changes(d.with, from.with);
  for (Banded &percent : less)
    percent.value = -percent.value;
  return text + ", " + range_with_band(less, 1, "%") + " less than the reference " +
         quoted_design(input, reference) + ".";
}

} // namespace

std::string order_words(const DayInput &input, const DayRanking &ranking, const DesignWords &words) {
  const DesignWords design = words ? words : quoted_designs(input);
  if (known_designs(ranking).size() < 2)
    return "";
  std::vector<std::string> apart, half; // told with both signs, with one
  for (const Crossing &c : ranking.crossings)
    if (const std::string crossing = crossing_words(design, ranking, c); !crossing.empty())
      (c.told_apart ? apart : half).push_back(crossing);
  if (!apart.empty()) {
    apart.insert(apart.end(), half.begin(), half.end());
    return "The order depends on the exponent: " + joined(apart) + ".";
  }
  if (!ranking.crossings.empty())
    return "The order changes with the exponent only where this mesh cannot tell the designs apart" +
           (half.empty() ? "" : ": " + joined(half)) + ".";
  return none_told_apart(ranking) ? "The order is the same at all four exponents; none is told apart."
                                  : "The order of the designs is the same at all four exponents.";
}

Answer day_answer(const DayInput &input, const DayRanking &ranking) {
  const ReportInput &common = input.common();
  if (!ranking.designs.front().with.known)
    return {
        {"No design converged in every activity that adds load cycles, so there is no answer for the day. "
         "The warnings below say why."},
        {}};
  const std::size_t known = known_designs(ranking).size();
  const auto best = best_designs(ranking);
  const std::string open = open_sentence(input, ranking), order = order_words(input, ranking);
  Answer said;
  if (!open.empty())
    said.sentences.push_back(open);
  if (best.size() > 1) {
    std::vector<std::string> items;
    for (const auto &[place, laws] : best)
      items.push_back(quoted_design(input, place) + " at " + exponent_words(laws) +
                      (open.empty() ? open_words(input, ranking.of(place)) : ""));
    said.sentences.push_back(
        std::string("Which ") +
        (known == ranking.designs.size() ? "design" : "of the designs that can be ranked") +
        (open.empty() ? " leaves the least strain in ray " + std::to_string(common.foot.painful_ray) +
                            " over the whole day"
                      : " has the least number") +
        " depends on the exponent of bone fatigue: " + list_of(items) + ".");
    for (const std::string &further : further_rays(input, ranking))
      said.sentences.push_back(further);
    said.points.push_back(order);
    for (const auto &[place, laws] : best)
      if (std::string beyond = beyond_point(all_activities(input), place); !beyond.empty()) {
        beyond[0] = static_cast<char>(std::tolower(beyond[0]));
        said.points.push_back(quoted_design(input, place) + ": " + beyond);
      }
    return said;
  }
  const DayDesign &d = ranking.of(best.begin()->first);
  said.sentences.push_back(least_sentence(input, ranking, d, !open.empty()));
  if (common.sure)
    said.sentences.push_back(sure_sentence(common, d.place));
  for (const std::string &further : further_rays(input, ranking))
    said.sentences.push_back(further);
  if (known == 1 && common.outcomes.size() > 1)
    said.sentences.push_back("It is the only design that converged in every activity that adds load cycles.");
  if (!none_told_apart(ranking)) {
    if (const std::string others = open_point(open_designs(input, d, quoted_designs(input))); !others.empty())
      said.points.push_back(others);
    if (!order.empty())
      said.points.push_back(order);
  }
  said.points.push_back(share_words(input, d));
  for (const std::string &point : day_reason(input, d))
    said.points.push_back(point);
  if (const std::string beyond = beyond_point(all_activities(input), d.place); !beyond.empty())
    said.points.push_back(beyond);
  return said;
}

std::vector<std::string> day_warnings(const DayInput &input, const DayRanking &ranking) {
  std::vector<std::string> list;
  for (const std::string &w : input.common().warnings)
    list.push_back(one_line(w));
  for (std::size_t i = 0; i < input.activities.size(); ++i)
    for (const auto &warnings : {solve_warnings(input.activities[i]), end_warnings(input.activities[i])})
      for (const std::string &w : warnings)
        list.push_back(activity_name(input, i) + ": " + w);
  for (const std::string &w : range_warnings(all_activities(input)))
    list.push_back(w);
  for (const DayDesign &d : ranking.designs)
    if (!d.with.known)
      list.push_back(quoted_design(input, d.place) + " is not ranked over the day: in an activity that adds "
                                                     "load cycles it did not converge or its heads hang.");
  std::string open; // "A" from "B" and "C"; "B" from ...
  for (const DayDesign &d : ranking.designs)
    if (const auto others = open_designs(input, d, design_letter, d.place + 1); !others.empty())
      open += (open.empty() ? "" : "; ") + design_letter(d.place) + " from " + list_of(others);
  if (!open.empty())
    list.push_back(
        "Not told apart over the day at this mesh, because the difference is smaller than its own band: " +
        open + ". A finer resolution may separate them.");
  return list;
}

} // namespace raybend
