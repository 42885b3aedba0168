// What one design gives: its tables of the five rays, and what changed against other insoles.
#include "postprocess/answer.hpp"
#include "postprocess/number_text.hpp"
#include "postprocess/summary_parts.hpp"
#include "postprocess/text_table.hpp"
#include <cmath>
#include <utility>

namespace raybend {

namespace {

constexpr auto L = Column::left, R = Column::right;

/// Rows of the five rays with and without support elements, where they converged.
template <typename Cells> void ray_rows(TextTable &table, const DesignOutcome &o, const Cells &cells) {
  const auto rows = [&](const DesignResult &result, const std::string &words) {
    for (int r = 1; r <= 5; ++r) {
      std::vector<std::string> row = {words, std::to_string(r)};
      for (const std::string &cell : cells(result, result.ray[r - 1]))
        row.push_back(cell);
      table.add(row);
    }
  };
  if (o.with.converged)
    rows(o.with, o.has_support() ? "with" : "none");
  if (o.has_support() && o.without.converged)
    rows(o.without, "without");
}

std::string percent(double part) {
  return fixed(100 * part);
}

std::string strain_table(const DesignOutcome &o) {
  TextTable table(
      {"support", "ray", "peak strain, ue", "side", "at, %", "dorsal, ue", "at, %", "plantar, ue", "at, %"},
      {L, R, R, L, R, R, R, R, R});
  ray_rows(table, o, [](const DesignResult &, const RayResult &ray) {
    return std::vector<std::string>{banded(ray.peak_strain),     side_words(ray.peak_strain_towards),
                                    percent(ray.peak_strain_at), signed_banded(ray.peak_dorsal),
                                    percent(ray.peak_dorsal_at), signed_banded(ray.peak_plantar),
                                    percent(ray.peak_plantar_at)};
  });
  return table.markdown();
}

std::string bending_table(const DesignOutcome &o) {
  TextTable table({"support", "ray", "moment M, N mm", "at, %", "bending, MPa", "at, %", "toe, N",
                   "fascia, N", "tissue pressed, %"},
                  {L, R, R, R, R, R, R, R, R});
  ray_rows(table, o, [](const DesignResult &, const RayResult &ray) {
    return std::vector<std::string>{
        signed_banded(ray.peak_moment), percent(ray.peak_moment_at), banded(ray.peak_bending_stress, 1),
        percent(ray.peak_bending_at),   fixed(ray.toe_load),         fixed(ray.fascia_tension),
        percent(ray.tissue_compression)};
  });
  return table.markdown();
}

std::string load_table(const DesignOutcome &o) {
  TextTable table(
      {"support", "ray", "head, N", "share, %", "head peak, kPa", "mean, kPa", "shaft, N", "shaft peak, kPa"},
      {L, R, R, R, R, R, R, R});
  ray_rows(table, o, [](const DesignResult &result, const RayResult &ray) {
    double heads = 0;
    for (const RayResult &each : result.ray)
      heads += each.head_force.value;
    return std::vector<std::string>{
        banded(ray.head_force),         heads != 0 ? percent(ray.head_force.value / heads) : "-",
        banded(ray.head_peak_pressure), fixed(ray.head_mean_pressure),
        fixed(ray.shaft_force),         banded(ray.shaft_peak_pressure)};
  });
  return table.markdown();
}

/// Change in percent; in brackets where it is within its band.
std::string change_cell(const Banded &now, const Banded &before) {
  const double change = percent_change(now, before).value;
  if (!std::isfinite(change) || change > 999)
    return now.value > before.value ? "from 0" : "-";
  const std::string text = signed_fixed(change);
  return told_apart(now, before) ? text : "(" + text + ")";
}

std::string change_table(const DesignResult &now,
                         const std::vector<std::pair<std::string, const DesignResult *>> &befores) {
  TextTable table({"against", "ray", "strain, %", "head force, %", "head peak, %", "shaft peak, %"},
                  {L, R, R, R, R, R});
  for (const auto &[words, before] : befores)
    for (int r = 1; r <= 5; ++r) {
      const RayResult &a = now.ray[r - 1], &b = before->ray[r - 1];
      table.add({words, std::to_string(r), change_cell(a.peak_strain, b.peak_strain),
                 change_cell(a.head_force, b.head_force),
                 change_cell(a.head_peak_pressure, b.head_peak_pressure),
                 change_cell(a.shaft_peak_pressure, b.shaft_peak_pressure)});
    }
  return table.markdown();
}

/// The strongest of each kind.
std::string short_load_words(const ReportInput &input, const Difference &d) {
  return "load goes to: " + shift_words(strongest_shifts(d.shifts)) +
         "; relieved: " + relief_words(telling_reliefs(d.reliefs, input.foot.painful_ray)) + ".";
}

} // namespace

std::string design_section(const ReportInput &input, const RankedDesign &d) {
  const DesignOutcome &o = input.outcomes[d.place];
  std::string text = heading("Design: " + design_name(input, d.place));
  if (!o.with.converged && !(o.has_support() && o.without.converged))
    return text + "Not converged.\n";
  text += strain_table(o) + "\n" + bending_table(o) + "\n" + load_table(o);
  std::vector<std::pair<std::string, const DesignResult *>> befores;
  std::string words;
  if (o.has_support() && o.with.converged)
    words += item("Force over the plan of the support elements: " + fixed(o.with.support_force) + " N.");
  if (d.from_unsupported) {
    words += item("Against the same insole without its support elements, " +
                  short_load_words(input, *d.from_unsupported));
    befores.push_back({"without support", &o.without});
  }
  if (d.from_reference) {
    const DesignOutcome &reference = input.outcomes[reference_place(input)];
    if (d.from_unsupported && !o.without_solve.empty() && o.without_solve == reference.with_solve) {
      words += item("The reference is that insole.");
    } else {
      words += item("Against the reference, " + short_load_words(input, *d.from_reference));
      befores.push_back({"reference", &reference.with});
    }
  }
  if (!befores.empty())
    text += "\n" + change_table(o.with, befores);
  return words.empty() ? text : text + "\n" + words;
}

} // namespace raybend
