// How sure an answer is, in sentences and tables.
#include "postprocess/words/sure_words.hpp"
#include "postprocess/compare/day.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include "postprocess/words/picture_words.hpp"
#include "postprocess/words/summary_parts.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

std::string quoted(const ReportInput &input, const std::size_t place) {
  return quoted_name(input.outcomes[place]);
}

/// "12 % less", "3 % more"
std::string change_words(const double percent) {
  return std::abs(percent) < 0.5 ? "about the same"
                                 : fixed(std::abs(percent)) + " % " + (percent < 0 ? "less" : "more");
}

bool known(const Sureness &sure, const std::size_t place) {
  return std::find(sure.order.begin(), sure.order.end(), place) != sure.order.end();
}

std::string in_hundred(const double chance) {
  const double hundred = std::round(100 * chance);
  return !std::isfinite(chance)       ? "-"
         : chance > 0 && hundred < 1  ? "<1"
         : chance < 1 && hundred > 99 ? ">99"
                                      : fixed(hundred);
}

/// What a stated 50 in 100 may be: two standard errors to both sides.
std::string open_range(const Sureness &sure) {
  const double two = 200 * sure.error_of(0.5);
  return fixed(std::max(0.0, 50 - two)) + " to " + fixed(std::min(100.0, 50 + two));
}

std::string range_words(const PairChance &p) {
  return signed_fixed(p.median) + " (" + signed_fixed(p.low) + " to " + signed_fixed(p.high) + ")";
}

} // namespace

std::string chance_words(const double chance) {
  const double hundred = std::round(100 * chance);
  return chance > 0 && hundred < 1    ? "fewer than 1 in 100"
         : chance < 1 && hundred > 99 ? "more than 99 in 100"
                                      : fixed(hundred) + " in 100";
}

std::string sure_sentence(const ReportInput &input, const std::size_t best) {
  const Sureness &sure = *input.sure;
  if (!sure.why_not.empty())
    return "How sure that is cannot be said: " + sure.why_not + ".";
  if (!known(sure, best))
    return "How sure that is cannot be said: too few of the feet that this patient may have carry it.";
  const std::size_t reference = reference_place(input);
  std::string text;
  if (best != reference) {
    const PairChance p = sure.pair(best, reference);
    text += "Of feet that fit this patient, " + chance_words(p.less) +
            " have less strain with it than with the reference: in the middle case " +
            change_words(p.median) + ", in nine of ten feet between " + change_words(p.low) + " and " +
            change_words(p.high) + ". ";
  }
  text += "It is the best of all designs for " + chance_words(sure.rank[best][0]) + ".";
  if (const std::size_t other = sure.order.front(); other != best)
    text += " Over these feet " + quoted(input, other) + " is ahead of it for " +
            chance_words(sure.pair(other, best).less) + ".";
  return text;
}

std::string measure_sentence(const ReportInput &input) {
  const Sureness &sure = *input.sure;
  if (!sure.why_not.empty() || sure.measurements.empty())
    return "";
  const std::string two = quoted(input, sure.order[0]) + " or " + quoted(input, sure.order[1]);
  const Measurement &m = sure.measurements.front();
  if (m.part < std::max(0.02, sure.told_by_chance))
    return "Which measurement would settle best between " + two + " does not stand out from so few feet.";
  return "What would settle most, " + two + ": " + m.words +
         ". The chance of taking the worse of the two would fall from " + in_hundred(sure.wrong_now) +
         " to " + in_hundred(m.wrong_after) +
         " in 100. X-rays only for a clinical reason besides this comparison.";
}

std::string model_sentence(const ReportInput &input) {
  const Sureness &sure = *input.sure;
  if (sure.own_order.size() < 2 || sure.model_orders.empty())
    return "";
  const auto letters = [](const std::vector<std::size_t> &order) {
    std::string text;
    for (const std::size_t d : order)
      text += (text.empty() ? "" : ", ") + design_letter(d);
    return text;
  };
  std::string turned;
  bool asked = false, posture = false; // of posture; an answer turns the order
  for (const ModelOrder &m : sure.model_orders) {
    asked |= m.question == posture_question;
    posture |= m.question == posture_question && m.turned;
    if (m.turned)
      turned += "; " + m.question + ", " + m.answer + ": " + letters(m.order);
  }
  return "At the case's own numbers on the coarse mesh, least strain first: " + letters(sure.own_order) +
         ". " +
         (turned.empty()
              ? "No answer to what the model leaves open turns two designs that differ by more than " +
                    fixed(100 * least_turn) + " %."
              : "What the model leaves open turns the order" + turned.replace(0, 1, ":") + ".") +
         (posture || !asked
              ? ""
              : " Posture kept and moments kept, the two limits of how people take another insole, agree.");
}

std::string sure_note(const Sureness &sure) {
  if (!sure.why_not.empty())
    return "How sure the answer is cannot be said: " + sure.why_not + ".";
  std::size_t open = 0;
  for (const UncertainNumber &u : sure.numbers)
    open += !u.measured;
  return std::to_string(sure.tried) + " feet were drawn, each with other values of the " +
         std::to_string(sure.numbers.size()) +
         " numbers of foot, load, shoe and insole that are not known exactly (" + std::to_string(open) +
         " of them not measured here), and walked barefoot in the model; " + std::to_string(sure.solved) +
         " of them, rather those that walk like people, were solved with every design on the coarse mesh, at "
         "the instant that "
         "strains the "
         "painful ray most with the reference" +
         (sure.of_day
              ? ", each activity for itself; strain is that of the day, at an exponent of fatigue of " +
                    fixed(fatigue_laws[one_law].exponent, 1)
              : "") +
         ". Weighed by how like, they tell as much as " + fixed(sure.effective) +
         " feet: a stated 50 in 100 may be " + open_range(sure) +
         ". The spreads are published or assumed (raybend explain). Not in these chances: what the model "
         "leaves out "
         "(sesamoids, slip of the skin, gait that changes with the insole), heights and thicknesses as "
         "made, other "
         "instants of the step. Nobody has checked them against bone strain measured over insoles.";
}

std::string lost_words(const ReportInput &input) {
  const Sureness &sure = *input.sure;
  std::vector<std::string> list;
  for (std::size_t d = 0; d < sure.cautions.size(); ++d)
    if (const double lost = sure.cautions[d].not_carried; lost >= 0.01)
      list.push_back(quoted(input, d) + " in " + in_hundred(lost));
  return list.empty() ? ""
                      : "In 100 feet, not solved or with its heads hanging: " + list_of(list) +
                            ". These feet are left out of the comparison.";
}

std::string sure_part(const ReportInput &input, const bool whole) {
  const Sureness &sure = *input.sure;
  std::string text = heading("How sure");
  const std::string model = model_sentence(input);
  if (!sure.why_not.empty())
    return text + wrapped(sure_note(sure), 110) + "\n" +
           (model.empty() ? "" : "\n" + wrapped(model, 110) + "\n");
  const std::size_t reference = reference_place(input);
  TextTable table(
      {"design", "best of all", "less than reference", "by %", "head pressure up", "other ray up"},
      {Column::left, Column::right, Column::right, Column::right, Column::right, Column::right});
  for (const std::size_t d : sure.order) {
    const bool other = d != reference;
    const PairChance p = other ? sure.pair(d, reference) : PairChance();
    table.add({design_name(input, d), in_hundred(sure.rank[d][0]), other ? in_hundred(p.less) : "-",
               other ? range_words(p) : "-", in_hundred(sure.cautions[d].head_pressure),
               in_hundred(sure.cautions[d].other_ray)});
  }
  text += wrapped("In 100 feet that fit this patient; by %: of strain in ray " +
                      std::to_string(input.foot.painful_ray) + ", median and nine in ten; up: by more than " +
                      fixed(100 * notable_rise) + " % against the reference, somewhere.",
                  110) +
          "\n\n" + table.markdown() + "\n";
  if (const std::string lost = lost_words(input); !lost.empty())
    text += wrapped(lost, 110) + "\n\n";
  for (const std::string &words : {measure_sentence(input), model})
    if (!words.empty())
      text += wrapped(words, 110) + "\n\n";
  if (!whole)
    return text +
           wrapped("They tell as much as " + fixed(sure.effective) + " feet: a stated 50 in 100 may be " +
                       open_range(sure) +
                       ". Nobody has checked such chances against bone strain measured over insoles; "
                       "details.md says what they leave out.",
                   110) +
           "\n";
  text += wrapped(sure_note(sure), 110) + "\n";
  TextTable sources({"design", "against", "less", "by %", "person", "model", "mesh"},
                    {Column::left, Column::left, Column::right, Column::right, Column::right, Column::right,
                     Column::right});
  for (std::size_t i = 0; i < sure.order.size(); ++i)
    for (std::size_t j = i + 1; j < sure.order.size(); ++j) {
      const PairChance p = sure.pair(sure.order[i], sure.order[j]);
      sources.add({design_name(input, p.a), design_name(input, p.b), in_hundred(p.less), range_words(p),
                   fixed(p.person, 1), fixed(p.model, 1), fixed(p.mesh, 1)});
    }
  text +=
      "\n" +
      wrapped("Every two designs; person, model, mesh: standard deviation of the change that each source of "
              "doubt makes alone, per cent points. Model: posture held by the ankle, kept or with its "
              "moments kept; hold of "
              "the shoe's upper; give of skin and sock. Slip of the skin is not in the model.",
              110) +
      "\n\n" + sources.markdown() + "\n";
  TextTable ways({"measurement", "part of the doubt %", "wrong choice in 100"},
                 {Column::left, Column::right, Column::right});
  for (const Measurement &m : sure.measurements)
    ways.add({m.words, fixed(100 * m.part), in_hundred(m.wrong_after)});
  text += wrapped("What a measurement would tell of the doubt between the two best designs, now " +
                      in_hundred(sure.wrong_now) + " wrong choices in 100:",
                  110) +
          "\n\n" + ways.markdown() + "\n";
  TextTable fits({"walking barefoot", "published", "by the spreads", "weighed"},
                 {Column::left, Column::right, Column::right, Column::right});
  for (std::size_t k = 0; k < sure.evidence.size(); ++k) {
    const PublishedNumber &p = sure.published[k];
    const EvidenceFit &e = sure.evidence[k];
    const int digits = std::abs(p.mean) < 10 && p.deviation < 1 ? 2 : 0;
    const auto both = [&](double mean, double deviation) {
      return fixed(mean, digits) + " ± " + fixed(deviation, digits);
    };
    fits.add({p.name, both(p.mean, p.deviation), both(e.before, e.before_deviation),
              both(e.after, e.after_deviation)});
  }
  text += wrapped("What is published, and what the feet have of it, by the spreads of their numbers alone "
                  "and weighed by it:",
                  110) +
          "\n\n" + fits.markdown() + "\n";
  return text;
}

} // namespace raybend
