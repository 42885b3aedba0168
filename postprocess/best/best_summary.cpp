// The words: answer, tolerance, where the load goes, what it costs, how sure.
#include "postprocess/best/best_summary.hpp"
#include "geometry/cautions.hpp"
#include "postprocess/best/best_tables.hpp"
#include "postprocess/study/study_words.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

std::string paragraph(const std::string &text) {
  return wrapped(text) + "\n\n";
}

/// "12 % less than", "the same as"
std::string against(const double value, const double other) {
  const double percent = 100 * (value / other - 1);
  if (std::abs(percent) < 0.5)
    return "as much as";
  return fixed(std::abs(percent)) + " % " + (percent < 0 ? "less" : "more") + " than";
}

std::string off_words(const double foretold, const double solved) {
  return fixed(100 * std::abs(foretold / solved - 1), 1) + " % off";
}

/// 0.02 -> "2 %"
std::string tolerance_words(const BestProblem &problem) {
  const double percent = 100 * problem.tolerance;
  return fixed(percent, std::abs(percent - std::round(percent)) < 1e-9 ? 0 : 1) + " %";
}

std::string tolerance_section(const BestReport &report, const BestProblem &problem, const BestSearch &search,
                              const BestAnalysis &analysis) {
  if (analysis.flat.empty())
    return "";
  const Candidate &best = search.candidates[*search.best];
  std::string text = "## How exact the workshop must be\n\n";
  text += paragraph("Each input alone, the others as in the best design: between these values the strain "
                    "rises by less than " +
                    tolerance_words(problem) +
                    " and no cap is broken, by the surrogate through the solved points. Solved beside it: "
                    "value, and how much "
                    "more strain there. Two inputs that are off at once may cost more; this is how flat the "
                    "model is, not a licence.");
  TextTable table(
      {"input", "best", "from", "to", "below ends by", "above ends by", "solved beside it"},
      {Column::left, Column::right, Column::right, Column::right, Column::left, Column::left, Column::left});
  for (const FlatRange &r : analysis.flat) {
    const BestInput &input = problem.inputs[r.input];
    std::vector<std::string> beside;
    for (const int side : {-1, 1}) { // on each side the one nearest to the range's end
      const double end = side < 0 ? r.low : r.high;
      const Candidate *nearest = nullptr;
      for (const std::size_t i : r.solved) {
        const Candidate &c = search.candidates[i];
        const double x = c.x[r.input];
        const double away = side * (x - best.x[r.input]);
        if (away > 0 && away <= 0.25 * input.range() &&
            (!nearest || std::abs(x - end) < std::abs(nearest->x[r.input] - end)))
          nearest = &c;
      }
      if (nearest)
        beside.push_back(input_value(input, nearest->x[r.input]) + ": " +
                         signed_fixed(100 * (nearest->aim / best.aim - 1), 1) + " %" +
                         (nearest->within() ? "" : ", over a cap"));
    }
    std::string list;
    for (const std::string &b : beside)
      list += (list.empty() ? "" : "; ") + b;
    const auto shown = [&](const double x) {
      const int digits = std::max(0, static_cast<int>(std::lround(-std::log10(input.step))));
      return fixed(x, digits);
    };
    table.add({spoken_name(input.name), input_value(input, best.x[r.input]), shown(r.low), shown(r.high),
               end_words(report, r.low_end, r.low_cap), end_words(report, r.high_end, r.high_cap), list});
  }
  return text + table.markdown() + "\n";
}

std::string load_section(const BestReport &report, const bool within_caps) {
  std::string text = "## Where the load goes\n\n";
  std::vector<std::string> heads = {"ray"};
  std::vector<Column> sides = {Column::left};
  std::vector<const BestNumbers *> designs = {&report.at_reference};
  std::vector<std::string> titles = {report.reference};
  if (report.stands.known) {
    designs.push_back(&report.stands);
    titles.push_back(report.design);
  }
  designs.push_back(&report.won);
  titles.push_back(within_caps ? "best" : "nearest");
  for (const char *what : {"strain, ", "head, "})
    for (const std::string &title : titles) {
      heads.push_back(what + title);
      sides.push_back(Column::right);
    }
  TextTable table(heads, sides);
  for (int r = 0; r < 5; ++r) {
    std::vector<std::string> cells = {std::to_string(r + 1) + (r + 1 == report.painful ? " (painful)" : "")};
    for (const BestNumbers *d : designs)
      cells.push_back(fixed(d->ray_strain[r]));
    for (const BestNumbers *d : designs)
      cells.push_back(fixed(d->ray_pressure[r]));
    table.add(cells);
  }
  return text +
         paragraph("Peak strain of each ray, microstrain, and peak pressure under its head, kPa" +
                   std::string(report.day ? ", the largest of all activities" : "") + ".") +
         table.markdown() + "\n";
}

std::string cap_section(const BestReport &report, const Candidate &best) {
  std::string text = "## Caps\n\n";
  TextTable table({"cap", "used, %"}, {Column::left, Column::right});
  for (std::size_t k = 0; k < report.caps.size(); ++k)
    table.add({report.caps[k], fixed(100 * best.use[k], 1)});
  return text + table.markdown() + "\n";
}

std::string front_section(const BestReport &report, const BestProblem &problem, const BestSearch &search,
                          const BestAnalysis &analysis) {
  std::string text = "## What less strain costs elsewhere\n\n";
  text += paragraph(
      "Solved designs " + std::string(search.best ? "within the caps " : "") +
      "than which no other such one has both less strain in the painful ray and less pressure under "
      "the worst of the other heads:");
  TextTable table({"inputs", report.aim_words, "other heads, kPa", ""},
                  {Column::left, Column::right, Column::right, Column::left});
  const std::size_t n = analysis.front.size(), most = 8;
  for (std::size_t i = 0; i < std::min(n, most); ++i) {
    const std::size_t at = analysis.front[n <= most ? i : i * (n - 1) / (most - 1)];
    const Candidate &c = search.candidates[at];
    table.add(
        {place_words(problem.inputs, c.x), fixed(c.aim), fixed(c.pressure), search.best == at ? "best" : ""});
  }
  return text + table.markdown() + "\n";
}

std::string day_section(const BestReport &report, const BestProblem &problem, const BestSearch &search) {
  if (!report.day || !search.best)
    return "";
  std::string text = "## At other fatigue exponents\n\n";
  text += paragraph("The day-equivalent strain needs an exponent that is not well known; the search used " +
                    fixed(report.exponent, 1) + ".");
  TextTable table({"exponent", report.reference, "best", "least of all within the caps at"},
                  {Column::right, Column::right, Column::right, Column::left});
  for (std::size_t l = 0; l < report.exponents.size(); ++l)
    table.add({fixed(report.exponents[l], 1), fixed(report.at_reference.aims[l]), fixed(report.won.aims[l]),
               search.best == report.least_at[l]
                   ? "the same"
                   : place_words(problem.inputs, search.candidates[report.least_at[l]].x)});
  return text + table.markdown() + "\n";
}

std::string sure_section(const BestReport &report, const BestProblem &problem, const BestSearch &search,
                         const BestAnalysis &analysis) {
  std::string text = "## How sure\n\n";
  std::size_t sample = 0, hanging = 0, failed = 0, over = 0;
  int rounds = 0;
  for (const Candidate &c : search.candidates) {
    sample += c.round == 0;
    rounds = std::max(rounds, c.round);
    failed += !c.solved;
    hanging += c.solved && c.use.back() > 1;
    over += c.solved && c.use.back() <= 1 && !c.within();
  }
  std::string words = std::to_string(search.candidates.size()) +
                      " designs were looked at: " + std::to_string(sample) + " of a sample, the others in " +
                      std::to_string(rounds) + (rounds == 1 ? " round." : " rounds.");
  if (failed > 0)
    words += " Failed: " + std::to_string(failed) + ".";
  if (over > 0)
    words += " Over a cap: " + std::to_string(over) + ".";
  if (hanging > 0)
    words += " In " + std::to_string(hanging) +
             " the heads hang (the insole holds the foot up behind them): they are never the best.";
  const BestModel &aim = *search.models.aim;
  words += " Left out in turn, the solved points are missed by " + fixed(analysis.missed) +
           " microstrain (root mean square) by the surrogate made without them";
  if (std::isfinite(aim.polynomial_error()))
    words +=
        "; its polynomial alone misses " + fixed(100 * aim.polynomial_error(), 1) + " % of their variance";
  words += ". The answer is a solved point, not a foretold one.";
  text += paragraph(words);
  TextTable table({"round", "inputs", "foretold", "solved", "off"},
                  {Column::right, Column::left, Column::right, Column::right, Column::right});
  int last = 0;
  for (const Candidate &c : search.candidates)
    if (c.round > last) { // the round's first: what the surrogate held to be best, or a neighbour of it
      last = c.round;
      table.add({std::to_string(c.round), place_words(problem.inputs, c.x), fixed(c.predicted),
                 c.solved ? fixed(c.aim) : "failed",
                 c.solved ? fixed(100 * std::abs(c.predicted / c.aim - 1), 1) + " %" : "-"});
    }
  if (last > 0)
    text +=
        paragraph("The first design of each round, foretold before it was solved:") + table.markdown() + "\n";
  text += paragraph(
      "Peaks are the largest of the whole shaft and step: between neighbouring designs they can change "
      "station, side, sign "
      "and instant, so that their curves have kinks. The model's own error and the mesh's are not in these "
      "numbers; designs "
      "share the mesh, so that most of its error is in all of them alike." +
      std::string(
          report.coarse
              ? " Solved at coarse resolution: good for a first look; a close difference needs standard."
              : ""));
  text += paragraph(
      "Do not build a choice on less than some 15 %: what nobody measured in this patient (the direction of "
      "the ground's push, the "
      "pull of the fascia) moves designs against one another by as much." +
      std::string(report.doubt_words.empty() ? " [[uncertain]] takes such inputs into the search." : ""));
  return text;
}

} // namespace

std::string best_answer(const BestReport &report, const BestProblem &problem, const BestSearch &search) {
  if (!search.best) {
    const Candidate &near = search.candidates[*search.nearest];
    const std::size_t cap = std::max_element(near.use.begin(), near.use.end()) - near.use.begin();
    return "No design within these limits keeps to all caps. Nearest to it comes " +
           place_words(problem.inputs, near.x) + ": " + report.aim_words + " " + fixed(near.aim) +
           " microstrain, with " + fixed(100 * near.use[cap]) + " % of what is allowed (" + report.caps[cap] +
           ").";
  }
  const Candidate &best = search.candidates[*search.best];
  std::string words = "Best of " + std::to_string(search.candidates.size()) +
                      " designs looked at: " + place_words(problem.inputs, best.x) + ". " + "The " +
                      report.aim_words + " is then " + fixed(best.aim) + " microstrain, ";
  if (report.stands.known && search.candidates.front().x != best.x)
    words += against(best.aim, report.stands.aim) + " with " + report.design + " as it stands in the case (" +
             fixed(report.stands.aim) + ") and ";
  else if (report.stands.known)
    words += "the design as it stands in the case, and ";
  words += against(best.aim, report.at_reference.aim) + " with the reference " + report.reference + " (" +
           fixed(report.at_reference.aim) + ").";
  words += " Within limits and caps the surrogate expects ";
  words += search.gain_left < problem.tolerance
               ? "nothing that is better by " + tolerance_words(problem) + " elsewhere."
               : "up to " + fixed(100 * search.gain_left, 1) + " % less elsewhere, which is not solved yet.";
  if (std::isfinite(search.foretold))
    words += " A surrogate from all other solves foretells " + fixed(search.foretold) + " (" +
             off_words(search.foretold, best.aim) + ").";
  if (best.aim >= report.at_reference.aim)
    words += " No choice within these limits leaves less than the reference does.";
  std::vector<std::string> at_limit;
  for (std::size_t j = 0; j < problem.inputs.size(); ++j)
    if (const BestInput &input = problem.inputs[j];
        input.between_limits() && (best.x[j] == input.low || best.x[j] == input.high))
      at_limit.push_back(name_words(input));
  if (!at_limit.empty())
    words += " At its limit: " + list_of(at_limit) + "; beyond it may be better still.";
  if (!search.agreed)
    words += " They do not agree within " + tolerance_words(problem) +
             ": the best place is not settled; more points or rounds may mend it.";
  return words;
}

std::string best_summary(const BestReport &report, const BestProblem &problem, const BestSearch &search,
                         const BestAnalysis &analysis) {
  std::string text = "# " + one_line(report.title) + "\n\n" + paragraph(best_answer(report, problem, search));
  std::vector<std::string> limits;
  for (const BestInput &input : problem.inputs) {
    std::vector<std::string> values;
    for (const double value : input.list ? input.measure : std::vector<double>{})
      values.push_back(input_value(input, value));
    limits.push_back(name_words(input) + (input.list ? " (" + list_of(values) + ")"
                                                     : " " + input_value(input, input.low) + " to " +
                                                           value_words(input, input.high)));
  }
  text +=
      paragraph("Case: " + one_line(report.case_title) + ". " +
                (report.note.empty() ? "" : one_line(report.note) + " ") + "Chosen for " + report.design +
                ": " + list_of(limits) + "." + (report.doubt_words.empty() ? "" : " " + report.doubt_words) +
                (report.failed > 0 ? " " + std::to_string(report.failed) + " of " +
                                         std::to_string(report.runs) + " solves failed."
                                   : ""));
  text += tolerance_section(report, problem, search, analysis);
  text += load_section(report, search.best.has_value());
  text += cap_section(report, search.candidates[*analysis.shown]);
  text += front_section(report, problem, search, analysis);
  text += day_section(report, problem, search);
  text += sure_section(report, problem, search, analysis);
  if (!report.case_file.empty()) {
    std::string sets;
    for (const std::string &set : report.sets)
      sets += " --set " + set;
    text += "## What next\n\n";
    if (!report.warnings.empty())
      text += paragraph("`raybend check` warns of this design:");
    for (const std::string &warning : report.warnings)
      text += wrapped("- " + one_line(warning), 100, "  ") + "\n";
    if (!report.warnings.empty())
      text += "\n";
    text += paragraph(report.case_file + " is the case with the design " + report.winner +
                      (report.winner == report.design ? " in the place of the one that was improved"
                                                      : " behind its others") +
                      ": `raybend compare " + report.case_file +
                      "` sets it against them, over the whole step and at standard resolution." +
                      (sets.empty() ? "" : " Here it was solved with" + sets + "."));
  }
  for (const char *caution : cautions)
    text += wrapped(std::string("- ") + caution, 100, "  ") + "\n";
  return text;
}

} // namespace raybend
