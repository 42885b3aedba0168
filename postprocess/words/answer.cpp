// The answer in words: which design leaves least in the painful ray, how sure that is, where the load goes.
#include "postprocess/words/answer.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include "postprocess/words/load_words.hpp"
#include "postprocess/words/painful.hpp"
#include "postprocess/words/summary_parts.hpp"
#include "postprocess/words/sure_words.hpp"
#include "postprocess/words/warnings.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

std::string quoted(const ReportInput &input, std::size_t place) {
  return quoted_name(input.outcomes[place]);
}

std::string change_words(const Banded &percent) {
  const Banded size{std::abs(percent.value), percent.band};
  return banded(size, percent_digits(percent)) + " % " + (percent.value < 0 ? "less" : "more");
}

/// "compression on the medial side"
std::string place_of_peak(const RayResult &ray) {
  return std::string(ray.peak_strain_tensile ? "tension" : "compression") + " on the " +
         side_words(ray.peak_strain_towards) + " side";
}

/// Says that nothing, or nothing against the reference, is told apart; "" where something is.
std::string open_sentence(const ReportInput &input, const std::vector<RankedDesign> &ranking) {
  std::size_t ranked = 0;
  bool all_open = true, any_better = false;
  for (const RankedDesign &d : ranking)
    ranked += d.ranked;
  for (const RankedDesign &d : ranking)
    if (d.ranked) {
      all_open &= d.not_told_apart.size() + 1 == ranked;
      any_better |= d.from_reference && d.from_reference->told_apart && d.from_reference->percent.value < 0;
    }
  if (ranked < 2)
    return "";
  const std::string ray = "ray " + std::to_string(input.foot.painful_ray);
  const std::string none = ranked == ranking.size() ? "No design" : "Of the designs that can be ranked, none";
  if (all_open)
    return none + " is told apart from another by the strain in " + ray + ".";
  if (ranking.front().from_reference && !any_better)
    return none + " is told apart from the reference " + quoted(input, reference_place(input)) +
           " as the better one for " + ray + ".";
  return "";
}

/// Which design leaves least, and by how much; of `open` designs the one whose number is least.
std::string least_sentence(const ReportInput &input, const RankedDesign &best, const bool all_ranked,
                           const bool open) {
  const std::string ray = "ray " + std::to_string(input.foot.painful_ray), name = quoted(input, best.place);
  const RayResult &result = input.outcomes[best.place].with.ray[input.foot.painful_ray - 1];
  std::string text = open ? "The least is calculated for " + name + ": "
                          : (all_ranked ? "" : "Of the designs that can be ranked, ") + name +
                                " leaves the least strain in " + ray + ", ";
  text += banded(best.strain) + " ue (microstrain; " + place_of_peak(result) + ")";
  const std::size_t reference = reference_place(input);
  if (best.from_reference)
    text +=
        ", " + change_words(best.from_reference->percent) + " than the reference " + quoted(input, reference);
  else if (best.place == reference)
    text += "; it is the reference itself";
  return text + ".";
}

/// What of the order the model itself leaves open, beyond the mesh; "" without any, or with the heel down.
std::string doubt_point(const ReportInput &input, const std::vector<RankedDesign> &ranking) {
  constexpr double doubt = 0.15; // how far forward_share 0 to 0.16 turned orders of designs
  const RankedDesign &best = ranking.front();
  std::vector<std::string> near;
  for (const RankedDesign &d : ranking)
    if (d.ranked && d.place != best.place && d.strain.value < (1 + doubt) * best.strain.value &&
        !std::count(best.not_told_apart.begin(), best.not_told_apart.end(), d.place))
      near.push_back(quoted(input, d.place));
  if (near.empty() || input.activity.activity.heel_rise_deg <= 0)
    return "";
  return list_of(near) + (near.size() > 1 ? " are" : " is") + " within " + fixed(100 * doubt) +
         " % of it: how far the ground pushes forward in push-off is not known well enough to be sure of "
         "that order (--sure says how sure).";
}

} // namespace

std::string open_point(const std::vector<std::string> &designs) {
  return designs.empty() ? "" : "Not told apart from it at this mesh: " + list_of(designs) + ".";
}

std::string beyond_point(const std::vector<const ReportInput *> &activities, const std::size_t place) {
  std::vector<int> rays;
  std::string where;
  for (const ReportInput *input : activities) {
    const DesignResult &result = input->outcomes[place].with;
    const std::vector<std::string> strained =
        result.converged ? overstrained(result) : std::vector<std::string>{};
    if (strained.empty())
      continue;
    where += (where.empty() ? "" : "; ") +
             (activities.size() > 1 ? "in \"" + one_line(input->activity.words()) + "\" " : std::string()) +
             list_of(strained);
    for (const int r : overstrained_rays(result))
      rays.push_back(r);
  }
  if (where.empty())
    return "";
  const std::string caveat = over_bent_words(rays);
  return "Beyond " + fixed(failing_strain) + " ue, which bone bears for some thousand cycles only: " + where +
         "." + (caveat.empty() ? "" : " " + caveat);
}

std::vector<std::string> reason_points(const ReportInput &input, const RankedDesign &design,
                                       const std::string &before) {
  const auto its = [&before](const char *low, const char *high) {
    return before.empty() ? std::string(high) : before + " " + low;
  };
  const int ray = input.foot.painful_ray;
  std::vector<std::string> points;
  const auto add_loads = [&](const Difference &d, const std::string &verb) {
    for (const std::string &sentence : sure_load_sentences(d, ray, verb))
      points.push_back(sentence);
  };
  if (const auto &d = design.from_unsupported) {
    points = {its("its", "Its") + " support elements change the peak strain of ray " + std::to_string(ray) +
              " by " + signed_banded(d->percent, percent_digits(d->percent)) + " %" +
              (d->told_apart ? "." : ": not told apart from no change.")};
    add_loads(*d, "They relieve");
    return points;
  }
  // There is no difference to no support elements, because it has none or because that solve failed.
  const std::size_t reference = reference_place(input);
  const bool failed = input.outcomes[design.place].has_support();
  const std::string text = failed ? its("its", "Its") + " solve without its support elements did not converge"
                                  : its("it", "It") + " has no support elements";
  if (design.from_reference) {
    points = {text + "; what follows is against the reference " + quoted(input, reference) + "."};
    add_loads(*design.from_reference, "It relieves");
  } else if (design.place != reference) {
    points = {text + (failed ? ", nor did the reference " : ", and the reference ") +
              quoted(input, reference) + (failed ? "" : " did not converge") +
              ": what the design relieves and loads cannot be said."};
  } else {
    points = {text + (failed ? ", and the design" : " and") +
              " is the reference: what the others relieve and load is told further down."};
  }
  return points;
}

std::string side_words(double towards) {
  static const char *const names[] = {"dorsal",  "dorsomedial",   "medial",  "plantomedial",
                                      "plantar", "plantolateral", "lateral", "dorsolateral"};
  const long sector = std::lround(towards / 45);
  return names[((sector % 8) + 8) % 8];
}

Answer answer(const ReportInput &input, const std::vector<RankedDesign> &ranking) {
  if (ranking.empty() || !ranking.front().ranked)
    return {{"No design converged, so there is no answer. The warnings below say why."}, {}};
  const RankedDesign &best = ranking.front();
  const std::string open = open_sentence(input, ranking);
  Answer said;
  if (!open.empty())
    said.sentences.push_back(open);
  said.sentences.push_back(least_sentence(input, best, ranking.back().ranked, !open.empty()));
  if (input.sure && !input.sure->of_day)
    said.sentences.push_back(sure_sentence(input, best.place));
  for (const std::string &further : further_rays(input, ranking))
    said.sentences.push_back(further);
  std::size_t ranked = 0;
  for (const RankedDesign &d : ranking)
    ranked += d.ranked;
  std::vector<std::string> names;
  for (const std::size_t place : best.not_told_apart)
    names.push_back(quoted(input, place));
  // Where no design is told apart from another, that is said already.
  if (!names.empty() && (open.empty() || names.size() + 1 < ranked))
    said.points.push_back(open_point(names));
  if (const std::string doubt = doubt_point(input, ranking); !doubt.empty() && !input.sure)
    said.points.push_back(doubt);
  for (const std::string &point : reason_points(input, best))
    said.points.push_back(point);
  if (const std::string beyond = beyond_point({&input}, best.place); !beyond.empty())
    said.points.push_back(beyond);
  return said;
}

std::string answer_text(const Answer &answer) {
  std::string text;
  for (const auto &list : {answer.sentences, answer.points})
    for (const std::string &words : list)
      text += (text.empty() ? "" : " ") + words;
  return text;
}

std::string answer_part(const Answer &answer) {
  std::string text = wrapped(answer_text({answer.sentences, {}}), 110) + "\n";
  for (const std::string &point : answer.points)
    text += (&point == &answer.points.front() ? "\n" : "") + item(point);
  return text;
}

} // namespace raybend
