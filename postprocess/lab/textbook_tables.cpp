// Results of textbook cases as text, CSV, JSON and a Markdown summary.
#include "postprocess/lab/textbook_tables.hpp"
#include "postprocess/lab/convergence.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include <algorithm>
#include <cmath>
#include <cstdio>

namespace raybend {

namespace {

std::string known_words(const std::string &known) {
  if (known == "calc")
    return "calculated from the formula";
  if (known == "read")
    return "read in the source named";
  if (known == "memory")
    return "from memory";
  return known;
}

std::string tolerance_words(const TextbookQuantity &q) {
  return q.tolerance > 0 ? six_digits(q.tolerance) + (q.unit.empty() ? "" : " " + q.unit)
                         : six_digits(q.tolerance_percent) + " %";
}

std::string error_words(const TextbookResult &r, std::size_t i, std::size_t level) {
  if (!std::isfinite(r.quantities[i].reference))
    return "";
  const double percent = r.error_percent(i, level);
  if (r.quantities[i].tolerance > 0 || !std::isfinite(percent))
    return six_digits(r.levels[level].values[i] - r.quantities[i].reference);
  char text[40];
  std::snprintf(text, sizeof text, "%+.2g %%", percent);
  return text;
}

/// Share of the tolerance that the finest level's error takes.
double share(const TextbookResult &r, std::size_t i) {
  const TextbookQuantity &q = r.quantities[i];
  const double limit = q.tolerance > 0 ? q.tolerance : q.tolerance_percent / 100 * std::abs(q.reference);
  const double s = std::abs(r.levels.back().values[i] - q.reference) / limit;
  return std::isfinite(s) ? s : 1e300;
}

} // namespace

std::string six_digits(double value) {
  if (!std::isfinite(value))
    return "-";
  char text[40];
  std::snprintf(text, sizeof text, "%.6g", value == 0 ? 0.0 : value); // never -0
  return text;
}

Extrapolation extrapolated(const TextbookResult &r, const std::size_t quantity, const std::size_t levels) {
  constexpr double rounding = 1e-10; // of the value; solves repeat to about that
  std::vector<double> values;
  for (std::size_t l = 0; l < levels; ++l)
    values.push_back(r.levels[l].values[quantity]);
  return extrapolate(values, r.quantities[quantity].formal_order, 2,
                     values.empty() ? 0 : rounding * std::abs(values.back()));
}

std::string textbook_report(const TextbookResult &r) {
  std::string text =
      r.name + "  " + one_line(r.title) + "\n" + wrapped("source: " + r.source, 100, "    ") + "\n";
  for (std::size_t i = 0; i < r.quantities.size() && !r.levels.empty(); ++i) {
    const TextbookQuantity &q = r.quantities[i];
    text += "\n" + one_line(q.name) + (q.unit.empty() ? "" : ", " + q.unit) + "\n";
    if (std::isfinite(q.reference))
      text += "reference " + six_digits(q.reference) + " (" + known_words(q.known) + ")" +
              (q.decides ? ", tolerance " + tolerance_words(q) : ", no part in the verdict") + "\n";
    if (q.source != r.source)
      text += wrapped("source: " + q.source, 100, "    ") + "\n";
    text += "\n";
    TextTable table({"level", "unknowns", "computed", "error", "observed order"},
                    {Column::right, Column::right, Column::right, Column::right, Column::right});
    for (std::size_t l = 0; l < r.levels.size(); ++l) {
      const Extrapolation e =
          l >= 2 && std::isfinite(r.levels[l - 2].values[i]) ? extrapolated(r, i, l + 1) : Extrapolation();
      table.add({std::to_string(l), std::to_string(r.levels[l].unknowns), six_digits(r.levels[l].values[i]),
                 error_words(r, i, l), e.valid ? fixed(e.order, 2) : e.why});
    }
    text += table.markdown();
    const Extrapolation e = extrapolated(r, i, r.levels.size());
    text += !std::isfinite(r.levels.front().values[i]) ? std::string()
            : e.valid ? "Richardson's value " + six_digits(e.value) + ", band of the finest value ± " +
                            six_digits(e.band) + "\n"
                      : "no Richardson value: " + e.why + "\n";
    if (q.decides)
      text += std::string(r.within(i) ? "met" : "missed") +
              (!r.within(i) && !q.why.empty()  ? ": " + one_line(q.why)
               : r.within(i) && !q.why.empty() ? " (a miss was declared)"
                                               : "") +
              "\n";
    if (!q.note.empty())
      text += wrapped("note: " + q.note, 100, "    ") + "\n";
  }
  if (!r.failure.empty())
    text += "\nstopped: " + one_line(r.failure) + "\n";
  text += "\n" + r.name + ": " + verdict_word(verdict(r)) + " (" + fixed(r.seconds, 1) + " s)\n";
  return text;
}

std::string textbook_line(const TextbookResult &r) {
  std::string line = r.name;
  line.resize(std::max<std::size_t>(line.size() + 1, 34), ' ');
  std::string word = verdict_word(verdict(r));
  word.resize(std::max<std::size_t>(word.size() + 1, 18), ' ');
  line += word;
  if (!r.failure.empty())
    return line + one_line(r.failure);
  std::size_t worst = r.quantities.size();
  for (std::size_t i = 0; i < r.quantities.size(); ++i)
    if (r.quantities[i].decides && (worst == r.quantities.size() || share(r, i) > share(r, worst)))
      worst = i;
  if (worst < r.quantities.size())
    line += one_line(r.quantities[worst].name) + ": " + six_digits(r.levels.back().values[worst]) + " for " +
            six_digits(r.quantities[worst].reference) + ", off " +
            error_words(r, worst, r.levels.size() - 1) + " of " + tolerance_words(r.quantities[worst]);
  return line + "; " + std::to_string(r.levels.back().unknowns) + " unknowns, " + fixed(r.seconds, 1) + " s";
}

std::string textbook_csv(const TextbookResult &r) {
  std::string text =
      "case,quantity,unit,level,unknowns,computed,reference,error_pct,observed_order,richardson,"
      "richardson_band,tolerance_pct,tolerance,decides,within,known,source\n";
  for (std::size_t i = 0; i < r.quantities.size(); ++i)
    for (std::size_t l = 0; l < r.levels.size(); ++l) {
      const TextbookQuantity &q = r.quantities[i];
      const Extrapolation e = extrapolated(r, i, l + 1);
      text += csv_text(r.name) + "," + csv_text(q.name) + "," + csv_text(q.unit) + "," + std::to_string(l) +
              "," + std::to_string(r.levels[l].unknowns);
      for (const double v :
           {r.levels[l].values[i], q.reference, r.error_percent(i, l), e.valid && l >= 2 ? e.order : NAN,
            e.valid ? e.value : NAN, e.valid ? e.band : NAN, q.tolerance_percent, q.tolerance})
        text += "," + csv_exact(v);
      text += std::string(",") + (q.decides ? "yes" : "no") + "," +
              (l + 1 == r.levels.size() && q.decides ? (r.within(i) ? "yes" : "no") : "") + "," + q.known +
              "," + csv_text(q.source) + "\n";
    }
  return text;
}

std::string textbook_summary(const std::vector<TextbookResult> &results) {
  TextTable table(
      {"case", "quantity", "computed", "reference", "error", "tolerance", "known", "verdict", "why"},
      {Column::left, Column::left, Column::right, Column::right, Column::right, Column::right, Column::left,
       Column::left, Column::left});
  for (const TextbookResult &r : results) {
    if (verdict(r) == Verdict::failed)
      table.add({r.name, one_line(r.title), "-", "-", "-", "-", "-", "failed", r.failure});
    else
      for (std::size_t i = 0; i < r.quantities.size(); ++i) {
        const TextbookQuantity &q = r.quantities[i];
        if (q.decides)
          table.add({r.name, q.name + (q.unit.empty() ? "" : ", " + q.unit),
                     six_digits(r.levels.back().values[i]), six_digits(q.reference),
                     error_words(r, i, r.levels.size() - 1), tolerance_words(q), q.known,
                     r.within(i) ? "met" : "missed", r.within(i) ? "" : q.why});
      }
  }
  std::size_t met = 0, declared = 0;
  for (const TextbookResult &r : results) {
    met += verdict(r) == Verdict::met;
    declared += verdict(r) == Verdict::declared;
  }
  return "# Textbook cases\n\n" + std::to_string(met) + " of " + std::to_string(results.size()) +
         " cases met, " + std::to_string(declared) + " missed with a declared reason, " +
         std::to_string(results.size() - met - declared) +
         " missed or failed.\nErrors are those of the finest level; where the tolerance is absolute, so is "
         "the "
         "error.\n\n" +
         table.markdown();
}

} // namespace raybend
