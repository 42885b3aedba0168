// All designs of one activity beside each other: a table a number, a column a ray; and what changed.
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include "postprocess/words/answer.hpp"
#include "postprocess/words/summary_parts.hpp"
#include <cmath>

namespace raybend {

namespace {

constexpr auto L = Column::left, R = Column::right;

using Cell = std::string (*)(const DesignResult &, const RayResult &);

struct RayTable {
  const char *words; ///< the line above it: what the cells hold
  Cell cell;
};

std::string percent(const double part) {
  return fixed(100 * part);
}

std::string placed(const Banded &value, const double at) {
  return signed_banded(value) + "; " + percent(at);
}

const std::vector<RayTable> &ray_tables() {
  using Result = DesignResult;
  using Ray = RayResult;
  static const std::vector<RayTable> tables = {
      {"Peak strain, ue; side; at, %",
       [](const Result &, const Ray &r) {
         return banded(r.peak_strain) + "; " + side_words(r.peak_strain_towards) + "; " +
                percent(r.peak_strain_at);
       }},
      {"Range of strain at one spot over the step, from unloaded, ue; side; at, %",
       [](const Result &, const Ray &r) {
         return fixed(r.strain_range) + "; " + side_words(r.strain_range_towards) + "; " +
                percent(r.strain_range_at);
       }},
      {"Dorsal peak, ue; at, %",
       [](const Result &, const Ray &r) { return placed(r.peak_dorsal, r.peak_dorsal_at); }},
      {"Plantar peak, ue; at, %",
       [](const Result &, const Ray &r) { return placed(r.peak_plantar, r.peak_plantar_at); }},
      {"Moment M, N mm; at, %",
       [](const Result &, const Ray &r) { return placed(r.peak_moment, r.peak_moment_at); }},
      {"Head force, N; share, %",
       [](const Result &d, const Ray &r) { return banded(r.head_force) + "; " + head_share(d, r); }},
      {"Peak pressure under the head, kPa",
       [](const Result &, const Ray &r) { return banded(r.head_peak_pressure); }},
      {"Shaft force, N", [](const Result &, const Ray &r) { return fixed(r.shaft_force); }},
      {"Peak pressure under the shaft, kPa",
       [](const Result &, const Ray &r) { return banded(r.shaft_peak_pressure); }},
  };
  return tables;
}

/// One row a design and state.
std::string by_ray(const ReportInput &input, const std::vector<RankedDesign> &ranking, const Cell cell) {
  TextTable table({"design", "support", "ray 1", "ray 2", "ray 3", "ray 4", "ray 5"}, {L, L, R, R, R, R, R});
  const auto row = [&](const std::string &name, const std::string &support, const DesignResult &result) {
    std::vector<std::string> cells = {name, support};
    for (const RayResult &ray : result.ray)
      cells.push_back(result.converged ? cell(result, ray) : "-");
    table.add(cells);
  };
  for (const RankedDesign &d : ranking) {
    const DesignOutcome &o = input.outcomes[d.place];
    row(design_name(input, d.place), o.has_support() ? "with" : "none", o.with);
    if (o.has_support())
      row(design_name(input, d.place), "without", o.without);
  }
  return table.markdown();
}

/// Change in percent; in brackets where it is within its band.
std::string change_cell(const Banded &now, const Banded &before) {
  const double change = percent_change(now, before).value;
  if (!std::isfinite(change))
    return now.value > before.value ? "from 0" : "-";
  if (change > 999) // from next to nothing
    return "> 999";
  const std::string text = signed_fixed(change);
  return told_apart(now, before) ? text : "(" + text + ")";
}

} // namespace

std::string head_share(const DesignResult &result, const RayResult &ray) {
  double heads = 0;
  for (const RayResult &each : result.ray)
    heads += each.head_force.value;
  return heads != 0 ? percent(ray.head_force.value / heads) : "-";
}

bool reference_is_unsupported(const ReportInput &input, const RankedDesign &d) {
  const DesignOutcome &o = input.outcomes[d.place];
  return d.from_reference && d.from_unsupported && !o.without_solve.empty() &&
         o.without_solve == input.outcomes[reference_place(input)].with_solve;
}

std::string change_table(const ReportInput &input, const std::vector<RankedDesign> &designs) {
  const bool several = designs.size() > 1;
  std::vector<std::string> heads = {
      "against", "ray", "strain, %", "head force, %", "head peak, %", "shaft force, %", "shaft peak, %"};
  std::vector<Column> sides = {L, R, R, R, R, R, R};
  if (several) {
    heads.insert(heads.begin(), "design");
    sides.insert(sides.begin(), L);
  }
  TextTable table(heads, sides);
  bool any = false;
  const auto rows = [&](const std::size_t place, const std::string &words, const DesignResult &before) {
    any = true;
    for (int r = 0; r < 5; ++r) {
      const RayResult &a = input.outcomes[place].with.ray[r], &b = before.ray[r];
      std::vector<std::string> cells = {words,
                                        std::to_string(r + 1),
                                        change_cell(a.peak_strain, b.peak_strain),
                                        change_cell(a.head_force, b.head_force),
                                        change_cell(a.head_peak_pressure, b.head_peak_pressure),
                                        change_cell({a.shaft_force}, {b.shaft_force}),
                                        change_cell(a.shaft_peak_pressure, b.shaft_peak_pressure)};
      if (several)
        cells.insert(cells.begin(), design_name(input, place));
      table.add(cells);
    }
  };
  for (const RankedDesign &d : designs) {
    if (d.from_unsupported)
      rows(d.place, "without support", input.outcomes[d.place].without);
    if (d.from_reference && !reference_is_unsupported(input, d))
      rows(d.place, "reference", input.outcomes[reference_place(input)].with);
  }
  return any ? table.markdown() : "";
}

std::string by_ray_tables(const ReportInput &input, const std::vector<RankedDesign> &ranking) {
  if (!has_ray_tables(input))
    return "";
  std::string text;
  for (const RayTable &table : ray_tables())
    text += std::string("\n") + table.words + ":\n\n" + by_ray(input, ranking, table.cell);
  if (const std::string changes = change_table(input, ranking); !changes.empty())
    text += "\nWhat changed:\n\n" + changes;
  return text;
}

bool has_ray_tables(const ReportInput &input) {
  for (const DesignOutcome &o : input.outcomes)
    if (o.with.converged || (o.has_support() && o.without.converged))
      return true;
  return false;
}

} // namespace raybend
