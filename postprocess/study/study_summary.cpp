// summary.md of a study.
#include "postprocess/study/study_summary.hpp"
#include "geometry/cautions.hpp"
#include "postprocess/study/study_words.hpp"
#include "postprocess/text/text_table.hpp"
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>

namespace raybend {

namespace {

std::string number_words(const double x) {
  char text[32];
  std::snprintf(text, sizeof text, std::abs(x) >= 1000 && std::abs(x) < 1e6 ? "%.0f" : "%.4g", x);
  return text;
}

std::string per_cent(const double part) {
  return number_words(std::round(100 * part)) + " %";
}

std::string paragraph(const std::string &text) {
  return wrapped(text) + "\n\n";
}

std::string place_words(const StudyData &data, const std::size_t point) {
  std::vector<std::string> parts;
  for (std::size_t j = 0; j < std::min<std::size_t>(4, data.inputs.size()); ++j)
    parts.push_back(data.inputs[j].name + " " + input_value(data.inputs[j], data.points[point][j]));
  return list_of(parts) + (data.inputs.size() > 4 ? " .." : "");
}

std::string range_table(const StudyData &data, const std::vector<std::size_t> &group) {
  TextTable table({"design", "points", "least", "there", "largest", "there"},
                  {Column::left, Column::right, Column::right, Column::left, Column::right, Column::left});
  for (const std::size_t i : group) {
    const StudySeries &s = data.series[i];
    if (s.value.empty()) {
      table.add({s.design, "0", "-", "", "-", ""});
      continue;
    }
    const auto [low, high] = std::minmax_element(s.value.begin(), s.value.end());
    table.add({s.design, std::to_string(s.value.size()), number_words(*low),
               place_words(data, s.point[low - s.value.begin()]), number_words(*high),
               place_words(data, s.point[high - s.value.begin()])});
  }
  return table.markdown() + "\n";
}

std::string drivers(const StudyData &data, const StudyAnalysis &analysis, const std::size_t i) {
  const StudySeries &s = data.series[i];
  const Indices &all = analysis.indices[i];
  if (is_constant(s))
    return s.value.empty() ? "" : s.design + ": " + number_words(s.value.front()) + " at every point.";
  std::string text;
  if (all.hold) {
    std::vector<std::size_t> order(data.inputs.size());
    for (std::size_t j = 0; j < order.size(); ++j)
      order[j] = j;
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return all.input[a].total > all.input[b].total; });
    std::vector<std::string> parts;
    std::size_t small = 0;
    for (const std::size_t j : order)
      if (const InputIndex &x = all.input[j]; x.total < 0.02)
        ++small;
      else
        parts.push_back(data.inputs[j].name + " " + per_cent(x.total) + " (" + per_cent(x.total_low) +
                        " to " + per_cent(x.total_high) + "; alone " + per_cent(x.first) + ")");
    text = s.design + ": mean " + number_words(all.mean) + ", standard deviation " +
           number_words(all.deviation) + ". Of its variance come from " + list_of(parts) +
           (small > 0 ? "; from " + std::to_string(small) + " other inputs less than 2 % each" : "") +
           ". The surrogate (" + std::to_string(all.terms) + " terms from " + std::to_string(all.points) +
           " points) misses " + number_words(std::round(1000 * all.error) / 10) +
           " % of the variance of points left out.";
    return text;
  }
  for (const Tornado &t : analysis.tornados)
    if (t.series == i && !t.swings.empty()) {
      std::vector<std::string> parts;
      for (std::size_t b = 0; b < std::min<std::size_t>(5, t.swings.size()); ++b) {
        const Swing &w = t.swings[b];
        const StudyInput &input = data.inputs[w.input];
        parts.push_back(input.name + " from " + number_words(w.low) + " (at " + input_value(input, w.at_low) +
                        ") to " + number_words(w.high) + " (at " + input_value(input, w.at_high) + ")");
      }
      text = s.design + ": moved most by " + list_of(parts) + ".";
    }
  if (text.empty())
    for (const ResponseCurve &c : analysis.curves)
      if (c.series == i && !c.points.empty()) {
        const auto less = [](const CurvePoint &a, const CurvePoint &b) { return a.y < b.y; };
        const auto [low, high] = std::minmax_element(c.points.begin(), c.points.end(), less);
        const StudyInput &input = data.inputs[c.input];
        text = s.design + ": least at " + input.name + " " + input_value(input, low->x) + " (" +
               number_words(low->y) + "), largest at " + input_value(input, high->x) + " (" +
               number_words(high->y) + "). The mesh's band is " + number_words((low->high - low->low) / 2) +
               " there.";
      }
  if (!all.why_not.empty())
    text += (text.empty() ? s.design + ": no" : " No") + std::string(" indices: ") + all.why_not + ".";
  return text;
}

/// How often each design is least, over the points where all are done.
std::string order_words(const StudyData &data, const std::vector<std::size_t> &group) {
  std::map<std::size_t, std::vector<std::pair<double, std::size_t>>> at; // by point
  for (const std::size_t i : group)
    for (std::size_t k = 0; k < data.series[i].value.size(); ++k)
      at[data.series[i].point[k]].push_back({data.series[i].value[k], i});
  std::map<std::size_t, std::size_t> least;
  std::size_t whole = 0;
  for (auto &[point, list] : at)
    if (list.size() == group.size()) {
      ++whole;
      ++least[std::min_element(list.begin(), list.end())->second];
    }
  if (group.size() < 2 || whole == 0)
    return "";
  std::vector<std::string> parts;
  for (const std::size_t i : group)
    parts.push_back(data.series[i].design + " in " + std::to_string(least[i]));
  return paragraph("Least of all designs, of " + std::to_string(whole) + " points: " + list_of(parts) +
                   ". Differences smaller than the mesh's bands count here too.");
}

} // namespace

std::string study_summary(const StudyData &data, const StudyAnalysis &analysis) {
  std::string text = "# " + one_line(data.title) + "\n\n";
  const char *const plans[] = {"full grid", "one input at a time", "sample"};
  std::vector<std::string> names;
  for (const StudyInput &input : data.inputs)
    names.push_back(input.name);
  text +=
      paragraph("Case: " + one_line(data.case_title) + ". " +
                (data.note.empty() ? "" : one_line(data.note) + " ") + "Varied: " + list_of(names) + " (" +
                plans[static_cast<int>(data.plan)] + ", " + std::to_string(data.points.size()) + " points).");
  std::string runs = std::to_string(data.done) + " of " + std::to_string(data.runs) + " runs are done";
  if (data.failed > 0)
    runs += ", " + std::to_string(data.failed) + " failed";
  if (data.refused > 0)
    runs += ", " + std::to_string(data.refused) + " are refused (the values make no valid case)";
  if (const std::size_t open = data.runs - data.done - data.failed - data.refused; open > 0)
    runs += ", " + std::to_string(open) + " are still to be solved";
  text += paragraph(runs + ".");
  for (const std::string &reason : data.reasons)
    text += wrapped("- " + one_line(reason), 100, "  ") + "\n";
  if (!data.reasons.empty())
    text += "\n";
  if (data.coarse)
    text +=
        paragraph("Solved at coarse resolution: good for a first look; a close difference needs standard.");
  for (const auto &group : series_groups(data)) {
    const StudySeries &first = data.series[group.front()];
    text += "## " + series_words(data, first) + "\n\n" + range_table(data, group);
    for (const std::size_t i : group)
      if (const std::string words = drivers(data, analysis, i); !words.empty())
        text += paragraph(words);
    text += order_words(data, group);
  }
  text += "## How to read it\n\n";
  text += paragraph(
      "Peaks are the largest of the whole shaft and step: from point to point they can change station, "
      "side, sign and instant, so that their curves may have kinks. strain_SIDE_at_N_pct_ue in runs.csv "
      "stand at fixed stations and the instant that strains the reference most. Bands are the mesh's or the "
      "sample's; the model's own error is in "
      "neither. Indices hold for the spreads that the study gives its inputs, taken as independent.");
  for (const char *caution : cautions)
    text += wrapped(std::string("- ") + caution, 100, "  ") + "\n";
  return text;
}

} // namespace raybend
