// How sure an answer is, in sentences and tables.
#include "postprocess/words/sure_words.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
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
  return fixed(std::abs(percent)) + " % " + (percent < 0 ? "less" : "more");
}

bool known(const Sureness &sure, const std::size_t place) {
  return std::find(sure.order.begin(), sure.order.end(), place) != sure.order.end();
}

std::string in_hundred(const double chance) {
  return std::isfinite(chance) ? fixed(100 * chance) : "-";
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
  std::string text = "Of the feet that this patient may have, it leaves ";
  if (best != reference && known(sure, reference)) {
    const PairChance p = sure.pair(best, reference);
    text += "less than the reference in " + chance_words(p.less) + " (half of them at least " +
            change_words(p.median) + ", nine in ten between " + change_words(p.low) + " and " +
            change_words(p.high) + "), and ";
  }
  text += "least of all designs in " + chance_words(sure.rank[best][0]) + ".";
  if (sure.order.front() != best)
    text += " Over these feet " + quoted(input, sure.order.front()) + " comes out better: least in " +
            chance_words(sure.rank[sure.order.front()][0]) + ".";
  return text;
}

std::string measure_sentence(const ReportInput &input) {
  const Sureness &sure = *input.sure;
  if (!sure.why_not.empty() || sure.order.size() < 2 || sure.measurements.empty())
    return "";
  const std::string two = quoted(input, sure.order[0]) + " or " + quoted(input, sure.order[1]);
  const Measurement &m = sure.measurements.front();
  if (sure.wrong_now < 0.01)
    return "Between " + two + " nothing needs measuring: the first leaves less in " +
           chance_words(1 - sure.wrong_now) + ".";
  if (m.part < 0.02)
    return "No single measurement would settle much between " + two + ".";
  return "What would settle most, " + two + ": " + m.words +
         ". The chance of taking the worse of the two would fall from " + in_hundred(sure.wrong_now) +
         " to " + in_hundred(m.wrong_after) + " in 100.";
}

std::string sure_note(const Sureness &sure) {
  if (!sure.why_not.empty())
    return "How sure the answer is cannot be said: " + sure.why_not + ".";
  std::size_t open = 0;
  for (const UncertainNumber &u : sure.numbers)
    open += !u.measured;
  return std::to_string(sure.tried) + " feet were drawn, each with another value of the " +
         std::to_string(sure.numbers.size()) +
         " numbers of foot, load, shoe and insole that are not known exactly (" + std::to_string(open) +
         " of them not measured here), and walked barefoot in the model; the " + std::to_string(sure.solved) +
         " that came near to what is published of people were solved with every design, at one instant on "
         "the coarse "
         "mesh. Weighed by how near, they tell as much as " +
         fixed(sure.effective) + " feet, so that a chance of 50 in 100 is known to " +
         fixed(100 * sure.error_of(0.5)) +
         ". The spreads are published or assumed (raybend explain says which). What no such foot, no answer "
         "to the "
         "questions of the model and no finer mesh changes is not in these chances.";
}

std::string sure_part(const ReportInput &input, const bool whole) {
  const Sureness &sure = *input.sure;
  std::string text = heading("How sure");
  if (!sure.why_not.empty())
    return text + wrapped(sure_note(sure), 110) + "\n";
  const std::size_t reference = reference_place(input);
  const bool against = known(sure, reference);
  TextTable table(
      {"design", "least of all", "less than reference", "by %", "head pressure up", "other ray up"},
      {Column::left, Column::right, Column::right, Column::right, Column::right, Column::right});
  for (const std::size_t d : sure.order) {
    const bool other = d != reference && against;
    const PairChance p = other ? sure.pair(d, reference) : PairChance();
    table.add({design_name(input, d), in_hundred(sure.rank[d][0]), other ? in_hundred(p.less) : "-",
               other ? range_words(p) : "-", in_hundred(sure.cautions[d].head_pressure),
               in_hundred(sure.cautions[d].other_ray)});
  }
  text += wrapped("In 100 feet that this patient may have; by %: of strain in ray " +
                      std::to_string(input.foot.painful_ray) + ", median and nine in ten; up: by more than " +
                      fixed(100 * notable_rise) + " % against the reference, somewhere.",
                  110) +
          "\n\n" + table.markdown() + "\n";
  if (const std::string words = measure_sentence(input); !words.empty())
    text += wrapped(words, 110) + "\n\n";
  text += wrapped(sure_note(sure), 110) + "\n";
  if (!whole)
    return text;
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
              "the shoe's upper; give of skin and sock. Friction of the skin is not in the model.",
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
