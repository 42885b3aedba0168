// Columns' names and values as words.
#include "postprocess/study/study_words.hpp"
#include <algorithm>
#include <cstdio>

namespace raybend {

std::string spoken_name(const std::string &column) {
  static const std::vector<std::pair<std::string, std::string>> units = {
      {"_n_mm", "N mm"}, {"_ue", "microstrain"}, {"_kpa", "kPa"},
      {"_mpa", "MPa"},   {"_mm2", "mm²"},        {"_mm", "mm"},
      {"_n", "N"},       {"_pct", "%"},          {"_deg", "degree"},
      {"_kg", "kg"},     {"_bw", "body weights"}};
  std::string words = column, unit;
  for (const auto &[ending, spoken] : units)
    if (column.size() > ending.size() &&
        column.compare(column.size() - ending.size(), ending.size(), ending) == 0) {
      words.resize(column.size() - ending.size());
      unit = ", " + spoken;
      break;
    }
  std::replace(words.begin(), words.end(), '_', ' ');
  return words + unit;
}

std::string series_words(const StudyData &data, const StudySeries &series) {
  std::string words = spoken_name(series.output);
  const std::size_t unit = std::min(words.find(", "), words.size());
  return words.substr(0, unit) + " of ray " + std::to_string(series.ray) +
         (data.several_activities ? " in " + series.activity : "") + words.substr(unit);
}

std::string input_value(const StudyInput &input, const double value) {
  if (!input.words.empty())
    return input.words[static_cast<std::size_t>(value)];
  char text[32];
  std::snprintf(text, sizeof text, "%.4g", value);
  return text;
}

std::vector<std::vector<std::size_t>> series_groups(const StudyData &data) {
  std::vector<std::vector<std::size_t>> groups;
  for (std::size_t i = 0; i < data.series.size(); ++i) {
    const StudySeries &s = data.series[i];
    const auto same = [&](const std::vector<std::size_t> &g) {
      const StudySeries &o = data.series[g.front()];
      return o.output == s.output && o.activity == s.activity && o.ray == s.ray;
    };
    const auto it = std::find_if(groups.begin(), groups.end(), same);
    if (it != groups.end())
      it->push_back(i);
    else
      groups.push_back({i});
  }
  return groups;
}

} // namespace raybend
