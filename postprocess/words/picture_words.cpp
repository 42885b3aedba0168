// Words that all pictures write alike.
#include "postprocess/words/picture_words.hpp"
#include "postprocess/canvas/picture_font.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include "postprocess/words/day_answer.hpp"
#include <algorithm>
#include <cmath>
#include <optional>

namespace raybend {

std::string spoken(const DayActivity &activity) {
  std::string text = one_line(activity.words());
  std::replace(text.begin(), text.end(), '-', ' ');
  for (const std::string term : {"push-off", "mid-stance"}) { // terms with a hyphen of their own
    const std::size_t hyphen = term.find('-');
    std::string bare = term;
    bare[hyphen] = ' ';
    for (std::size_t at = text.find(bare); at != std::string::npos; at = text.find(bare, at + 1))
      text[at + hyphen] = '-';
  }
  return text;
}

std::string picture_topic(const std::string &topic, const ReportInput &input) {
  return topic + ", " + spoken(input.activity) + ", " +
         fixed(vertical_force(input.activity, input.foot.body_mass_kg)) + " N on forefoot and toes";
}

namespace {

using Value = std::function<Banded(const DesignResult &)>;

/// "A, B and C"; of more than four, how many.
std::string letters(const std::vector<std::size_t> &places) {
  constexpr std::size_t most = 4;
  if (places.size() > most)
    return std::to_string(places.size()) + " designs";
  std::vector<std::string> list;
  for (const std::size_t place : places)
    list.push_back(design_letter(place));
  return list_of(list);
}

/// "; WORDS: A and B", "" without any.
std::string behind(const std::string &words, const std::vector<std::size_t> &places) {
  return places.empty() ? "" : "; " + words + ": " + letters(places);
}

const char *const open_words = "not told apart from it";

/// The design with the least value, among those the ranking ranks, and those not told apart from it.
struct Least {
  std::size_t place;
  Banded value;
  std::vector<std::size_t> open;
};

std::optional<Least> least_of(const ReportInput &input, const Value &value) {
  std::vector<std::size_t> places;
  for (const RankedDesign &d : rank_designs(input))
    if (d.ranked && std::isfinite(value(input.outcomes[d.place].with).value))
      places.push_back(d.place);
  if (places.empty())
    return {};
  std::sort(places.begin(), places.end());
  const auto of = [&](const std::size_t place) { return value(input.outcomes[place].with); };
  Least least{*std::min_element(places.begin(), places.end(),
                                [&](std::size_t a, std::size_t b) { return of(a).value < of(b).value; }),
              {},
              {}};
  least.value = of(least.place);
  for (const std::size_t place : places)
    if (place != least.place && !told_apart(of(place), least.value))
      least.open.push_back(place);
  return least;
}

const RayResult &painful(const ReportInput &input, const DesignResult &result) {
  return result.ray[input.foot.painful_ray - 1];
}

std::string ray_words(const ReportInput &input) {
  return "ray " + std::to_string(input.foot.painful_ray);
}

/// "BEFORE A: VALUE AFTER; not told apart from it: B".
std::string least_words(const std::string &before, const Least &least, const int digits,
                        const std::string &unit) {
  return before + " " + design_letter(least.place) + ": " + banded(least.value, digits) + " " + unit +
         behind(open_words, least.open);
}

} // namespace

std::string strain_title(const ReportInput &input) {
  const auto least = least_of(input, [&](const DesignResult &r) { return painful(input, r).peak_strain; });
  return least ? least_words("Ray " + std::to_string(input.foot.painful_ray) + " is strained least with",
                             *least, 0, "microstrain")
               : "Strain along the five metatarsals";
}

std::string bending_title(const ReportInput &input) {
  const auto least =
      least_of(input, [&](const DesignResult &r) { return painful(input, r).peak_bending_stress; });
  return least ? least_words("Ray " + std::to_string(input.foot.painful_ray) + " is bent least with", *least,
                             1, "MPa")
               : "Peak bending stress of each metatarsal";
}

std::string pressure_title(const ReportInput &input) {
  const auto least =
      least_of(input, [&](const DesignResult &r) { return painful(input, r).head_peak_pressure; });
  const auto strain = least_of(input, [&](const DesignResult &r) { return painful(input, r).peak_strain; });
  if (!least || !strain)
    return "Plantar pressure";
  return least_words("Head " + std::to_string(input.foot.painful_ray) + " bears the least pressure with",
                     *least, 0, "kPa") +
         ". " +
         (strain->place == least->place
              ? "The strain in " + ray_words(input) + " is least with it too"
              : "But " + ray_words(input) + " is strained least with " + design_letter(strain->place)) +
         behind(open_words, strain->open);
}

std::string bones_title(const ReportInput &input) {
  const std::size_t reference = reference_place(input);
  std::vector<std::size_t> less, more, open;
  for (const RankedDesign &d : rank_designs(input))
    if (d.ranked && d.from_reference)
      (!d.from_reference->told_apart         ? open
       : d.from_reference->percent.value < 0 ? less
                                             : more)
          .push_back(d.place);
  for (auto *list : {&less, &more, &open})
    std::sort(list->begin(), list->end());
  if (less.empty() && more.empty() && open.empty())
    return strain_title(input);
  const std::string strain = "largest strain of " + ray_words(input),
                    from = "the reference " + design_letter(reference);
  if (less.empty() && more.empty())
    return "No design is told apart from " + from + " by the " + strain;
  return (less.empty() ? "No design is shown to lower the " + strain + " against " + from
                       : "The " + strain + " is lower with " + letters(less) + " than with " + from) +
         behind("higher", more) + behind("not told apart", open);
}

std::string day_title(const DayInput &input, const DayRanking &day) {
  const std::string ray = ray_words(input.common());
  std::vector<std::size_t> best, open; // over the exponents
  for (std::size_t l = 0; l < n_laws; ++l) {
    const DayDesign *least = nullptr;
    for (const DayDesign &d : day.designs)
      if (d.with.known && (least == nullptr || d.with.strain[l].value < least->with.strain[l].value))
        least = &d;
    if (least != nullptr && !std::count(best.begin(), best.end(), least->place))
      best.push_back(least->place);
  }
  if (best.empty())
    return "Peak strain of " + ray + " in each activity of the day";
  if (best.size() > 1)
    return "Which design strains " + ray +
           " least over the day depends on the exponent of bone fatigue: " + letters(best);
  const DayStrain &least = day.of(best.front()).with;
  for (const DayDesign &d : day.designs)
    for (std::size_t l = 0; d.with.known && d.place != best.front() && l < n_laws; ++l)
      if (!told_apart(d.with.strain[l], least.strain[l])) {
        open.push_back(d.place);
        break;
      }
  std::sort(open.begin(), open.end());
  return "Over the day " + ray + " is strained least with " + design_letter(best.front()) + ": " +
         range_words(values_of(least.strain)) + " microstrain" + behind(open_words, open);
}

std::string support_words(const ReportInput &input) {
  std::vector<std::size_t> less, more, open;
  for (std::size_t i = 0; i < input.outcomes.size(); ++i)
    if (const DesignOutcome &o = input.outcomes[i];
        o.has_support() && o.with.converged && o.without.converged) {
      const Banded &with = painful(input, o.with).peak_bending_stress,
                   &without = painful(input, o.without).peak_bending_stress;
      (!told_apart(with, without) ? open : with.value < without.value ? less : more).push_back(i);
    }
  const auto part = [](const std::string &words, const std::vector<std::size_t> &places) {
    return places.empty() ? "" : " " + words + " in " + letters(places) + ";";
  };
  std::string text = part("less bent", less) + part("more bent", more) + part("not told apart", open);
  if (text.empty())
    return "";
  text.pop_back();
  return "With support elements against without them, ray " + std::to_string(input.foot.painful_ray) + ":" +
         text + ".";
}

std::string to_reference(const ReportInput &input, const std::size_t place, const Value &value) {
  const std::size_t reference = reference_place(input);
  if (place == reference)
    return "reference";
  const Banded percent =
      percent_change(value(input.outcomes[place].with), value(input.outcomes[reference].with));
  return signed_banded(percent, percent_digits(percent)) + " % against " + design_letter(reference);
}

std::string design_letter(const std::size_t place) {
  return std::string(1, static_cast<char>('A' + place));
}

std::string picture_name(const ReportInput &input, const std::size_t place) {
  const DesignOutcome &o = input.outcomes.at(place);
  return one_line(drawable(o.name_for_people()) ? o.name_for_people() : o.design.name);
}

std::string lettered_name(const ReportInput &input, const std::size_t place) {
  return design_letter(place) + "  " + picture_name(input, place);
}

} // namespace raybend
