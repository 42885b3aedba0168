// What one design gives: its tables of the five rays, and what changed against other insoles.
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include "postprocess/words/answer.hpp"
#include "postprocess/words/load_words.hpp"
#include "postprocess/words/picture_words.hpp"
#include "postprocess/words/summary_parts.hpp"
#include <algorithm>

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

bool counted(const SupportElement &e) {
  return counts_in_plan(e.kind);
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
    return std::vector<std::string>{banded(ray.head_force),         head_share(result, ray),
                                    banded(ray.head_peak_pressure), fixed(ray.head_mean_pressure),
                                    fixed(ray.shaft_force),         banded(ray.shaft_peak_pressure)};
  });
  return table.markdown();
}

} // namespace

std::string design_section(const ReportInput &input, const RankedDesign &d) {
  const DesignOutcome &o = input.outcomes[d.place];
  std::string text = heading("Design " + design_letter(d.place) + ": " + design_name(input, d.place));
  if (!o.with.converged && !(o.has_support() && o.without.converged))
    return text + "Not converged: the warnings say why.\n";
  text += strain_table(o) + "\n" + bending_table(o) + "\n" + load_table(o);
  if (const std::string changes = change_table(input, {d}); !changes.empty())
    text += "\n" + changes;
  std::string words;
  if (const std::vector<SupportElement> &all = o.design.support;
      o.with.converged && std::any_of(all.begin(), all.end(), counted)) {
    const bool each = std::all_of(all.begin(), all.end(), counted);
    words += item("Force over the plan of the support elements, edge to edge" +
                  std::string(each ? "" : " (not of wedges and plates, which lie under the whole width)") +
                  ": " + fixed(o.with.support_force) + " N.");
  }
  if (d.from_unsupported)
    words += item("Against the same insole without its support elements, " +
                  short_load_words(*d.from_unsupported, input.foot.painful_ray));
  if (reference_is_unsupported(input, d))
    words += item("The reference is that insole.");
  else if (d.from_reference)
    words += item("Against the reference, " + short_load_words(*d.from_reference, input.foot.painful_ray));
  return words.empty() ? text : text + "\n" + words;
}

} // namespace raybend
