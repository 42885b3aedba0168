// CSV tables beside a study's pictures.
#include "postprocess/study/study_tables.hpp"
#include "postprocess/study/study_words.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include <cmath>

namespace raybend {

namespace {

const char *const series_head = "activity,design,ray,output";

std::string series_fields(const StudySeries &s) {
  return csv_text(s.activity) + "," + csv_text(s.design) + "," + std::to_string(s.ray) + "," + s.output;
}

std::string input_field(const StudyInput &input, const double x) {
  return input.words.empty() || x != std::floor(x) ? csv_number(x) : csv_text(input_value(input, x));
}

std::string numbers(const std::vector<double> &list) {
  std::string text;
  for (const double x : list)
    text += "," + csv_number(x);
  return text;
}

} // namespace

std::string curves_csv(const StudyData &data, const StudyAnalysis &analysis) {
  std::string text = std::string(series_head) + ",input,at,value,low,high,band_is\n";
  for (const ResponseCurve &c : analysis.curves)
    for (const CurvePoint &p : c.points)
      text += series_fields(data.series[c.series]) + "," + data.inputs[c.input].name + "," +
              input_field(data.inputs[c.input], p.x) + numbers({p.y, p.low, p.high}) + "," +
              csv_text(c.band) + "\n";
  return text;
}

std::string maps_csv(const StudyData &data, const StudyAnalysis &analysis) {
  std::string text = series_head;
  if (data.inputs.size() > 1)
    text += "," + data.inputs[0].name + "," + data.inputs[1].name;
  text += ",value\n";
  for (const HeatMap &m : analysis.maps)
    for (std::size_t j = 0; j < m.y.size(); ++j)
      for (std::size_t i = 0; i < m.x.size(); ++i)
        text += series_fields(data.series[m.series]) + "," + input_field(data.inputs[m.x_input], m.x[i]) +
                "," + input_field(data.inputs[m.y_input], m.y[j]) + numbers({m.value[j * m.x.size() + i]}) +
                "\n";
  return text;
}

std::string tornado_csv(const StudyData &data, const StudyAnalysis &analysis) {
  std::string text = std::string(series_head) + ",input,middle,least,least_at,largest,largest_at\n";
  for (const Tornado &t : analysis.tornados)
    for (const Swing &s : t.swings)
      text += series_fields(data.series[t.series]) + "," + data.inputs[s.input].name +
              numbers({t.middle, s.low}) + "," + input_field(data.inputs[s.input], s.at_low) +
              numbers({s.high}) + "," + input_field(data.inputs[s.input], s.at_high) + "\n";
  return text;
}

std::string indices_csv(const StudyData &data, const StudyAnalysis &analysis) {
  std::string text = std::string(series_head) +
                     ",input,first,first_low,first_high,total,total_low,total_high," +
                     "points,terms,cross_validated_error,mean,standard_deviation,why_not\n";
  for (std::size_t i = 0; i < data.series.size(); ++i) {
    const Indices &all = analysis.indices[i];
    for (std::size_t j = 0; j < all.input.size(); ++j) {
      const InputIndex &x = all.input[j];
      text += series_fields(data.series[i]) + "," + data.inputs[j].name +
              (all.hold ? numbers({x.first, x.first_low, x.first_high, x.total, x.total_low, x.total_high})
                        : std::string(6, ',')) +
              numbers({double(all.points), double(all.terms), all.error}) +
              (all.hold ? numbers({all.mean, all.deviation}) : ",,") + "," + csv_text(all.why_not) + "\n";
    }
  }
  return text;
}

} // namespace raybend
