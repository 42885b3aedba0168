// What a study shows: its numbers against those put in, its words on the page, pictures that read in grey.
#include "postprocess/canvas/display.hpp"
#include "postprocess/study/study_pictures.hpp"
#include "postprocess/study/study_summary.hpp"
#include "postprocess/study/study_tables.hpp"
#include "tests/report/lines.hpp"
#include "tests/report/sample_pictures.hpp"
#include "tests/scratch.hpp"
#include <algorithm>
#include <cmath>

using namespace raybend;

namespace {

/// A grid of 4 x 3 points; design "a" is 100 + 10 x + y, design "b" 130 everywhere.
StudyData small_grid() {
  StudyData data;
  data.title = "Small";
  data.case_title = "Invented";
  data.inputs = {{"place_mm", true, {}, {0, 1, 2, 3}}, {"height_mm", true, {}, {5, 6, 7}}};
  StudySeries a{"walking", "a", "peak_strain_ue", 2, {}, {}, {}}, b = a;
  b.design = "b";
  for (const double x : data.inputs[0].measure)
    for (const double y : data.inputs[1].measure) {
      for (StudySeries *s : {&a, &b})
        s->point.push_back(data.points.size());
      data.points.push_back({x, y});
      a.value.push_back(100 + 10 * x + y);
      b.value.push_back(130);
      a.band.push_back(1);
      b.band.push_back(1);
    }
  data.series = {a, b};
  data.runs = data.done = 24;
  return data;
}

StudyAnalysis analysis_of(const StudyData &data) {
  return analyse(data, [](const std::string &) {});
}

/// Twelve inputs with long names, six designs with the longest.
StudyData long_names(const StudyPlan plan) {
  StudyData data;
  data.title = "Long";
  data.plan = plan;
  data.coarse = true;
  data.several_activities = true;
  const std::size_t inputs = plan == StudyPlan::grid ? 3 : 12, points = plan == StudyPlan::sample ? 120 : 36;
  for (std::size_t j = 0; j < inputs; ++j) {
    StudyInput input{std::string(30, 'm') + std::to_string(j) + "_mm", true, {}, {1000.5, 1200.25, 1400.125}};
    if (j == 1) {
      input.words = {std::string(30, 'w'), std::string(30, 'v'), "c"};
      input.measure = {0, 1, 2};
    }
    data.inputs.push_back(input);
  }
  std::size_t state = 1;
  for (std::size_t i = 0; i < points; ++i) {
    data.points.emplace_back();
    for (std::size_t j = 0; j < inputs; ++j) {
      state = state * 16807 % 2147483647; // Park and Miller
      const std::size_t level = plan == StudyPlan::grid            ? i / std::size_t(std::pow(3, j)) % 3
                                : plan == StudyPlan::one_at_a_time ? (i % inputs == j ? i / inputs : 0)
                                                                   : state % 3;
      data.points.back().push_back(data.inputs[j].measure[level]);
    }
  }
  for (int d = 0; d < 6; ++d) {
    StudySeries s{std::string(40, 'n'),
                  std::string(38, 'm') + std::to_string(d),
                  "strain_lateral_at_50_pct_ue",
                  2,
                  {},
                  {},
                  {}};
    for (std::size_t i = 0; i < points; ++i) {
      s.point.push_back(i);
      s.value.push_back(-1234.5 - 0.3 * data.points[i][0] + 20 * data.points[i][1] * d + 50 * d);
      s.band.push_back(300);
    }
    data.series.push_back(s);
  }
  return data;
}

void check_labels(const StudyPicture &picture, const std::vector<Label> &labels) {
  INFO(picture.name);
  CHECK(labels.size() > 8);
  for (std::size_t i = 0; i < labels.size(); ++i) {
    const Label &a = labels[i];
    INFO(a.words);
    CHECK((a.x >= 0 && a.y >= 0 && a.x + a.w <= picture.width && a.y + a.h <= picture.height));
    for (std::size_t k = 0; k < i; ++k) {
      const Label &b = labels[k];
      INFO("on " << b.words);
      const bool apart = a.x + a.w <= b.x || b.x + b.w <= a.x || a.y + a.h <= b.y || b.y + b.h <= a.y;
      CHECK(apart);
    }
  }
}

} // namespace

TEST_CASE("a grid's curves, map, tornado and indices are those of the function", "[study]") {
  const StudyData data = small_grid();
  const StudyAnalysis analysis = analysis_of(data);
  REQUIRE(analysis.curves.size() == 4);
  const ResponseCurve &place = analysis.curves[0];
  REQUIRE(place.points.size() == 4);
  CHECK(place.points[2].x == 2);
  CHECK(place.points[2].y == Approx(126)); // mean of 125, 126, 127
  CHECK(place.points[2].low == Approx(125));
  CHECK(place.points[2].high == Approx(127));
  REQUIRE(analysis.maps.size() == 1); // the other design does not change
  CHECK(analysis.maps[0].value[1 * 4 + 2] == Approx(126));
  REQUIRE(analysis.tornados.size() == 1);
  CHECK(analysis.tornados[0].middle == Approx(121));
  CHECK(analysis.tornados[0].swings[0].input == 0);
  CHECK(analysis.tornados[0].swings[0].low == Approx(106));
  CHECK(analysis.tornados[0].swings[0].high == Approx(136));
  REQUIRE(analysis.indices[0].hold); // variances 100 * 15/12 and 8/12
  CHECK(analysis.indices[0].input[0].first == Approx(125 / (125 + 2.0 / 3)));
  CHECK_FALSE(analysis.indices[1].hold);
}

TEST_CASE("a study's tables have what its pictures show, and the same number of fields in each line",
          "[study]") {
  const StudyData data = small_grid();
  const StudyAnalysis analysis = analysis_of(data);
  const auto has = [](const std::string &text, const std::string &line) {
    const auto lines = lines_of(text);
    return std::find(lines.begin(), lines.end(), line) != lines.end();
  };
  CHECK(has(curves_csv(data, analysis),
            "walking,a,2,peak_strain_ue,place_mm,2,126,125,127,least and largest over the other inputs"));
  CHECK(has(maps_csv(data, analysis), "walking,a,2,peak_strain_ue,2,6,126"));
  CHECK(has(tornado_csv(data, analysis), "walking,a,2,peak_strain_ue,place_mm,121,106,0,136,3"));
  for (const std::string &table : {curves_csv(data, analysis), maps_csv(data, analysis),
                                   tornado_csv(data, analysis), indices_csv(data, analysis)}) {
    const auto lines = lines_of(table);
    REQUIRE(lines.size() > 1);
    for (const std::string &line : lines)
      CHECK(std::count(line.begin(), line.end(), ',') == std::count(lines[0].begin(), lines[0].end(), ','));
  }
}

TEST_CASE("a study's summary says what drives the result and which design is least how often", "[study]") {
  StudyData data = small_grid();
  const std::string text = study_summary(data, analysis_of(data));
  CHECK(text.find("24 of 24 runs are done.") != std::string::npos);
  CHECK(text.find("place_mm 99 %") != std::string::npos);
  CHECK(text.find("b: 130 at every point.") != std::string::npos);
  // 100 + 10 x + y < 130 for x up to 2: nine of twelve points
  CHECK(text.find("of 12 points: a in 9 and b in 3") != std::string::npos);
  CHECK(text.find("not a\n  diagnosis") + text.find("not a diagnosis") != 2 * std::string::npos);
  data.plan = StudyPlan::sample;
  data.correlated = true;
  CHECK(study_summary(data, analysis_of(data)).find("correlated") != std::string::npos);
}

TEST_CASE("words on a study's pictures stay on the page and off one another", "[pictures]") {
  const Environment none("DISPLAY", nullptr);
  const Display display;
  const Scratch folder;
  const std::string file = (folder.path / "picture").string();
  std::size_t drawn = 0;
  std::vector<StudyData> all = {small_grid()};
  for (const StudyPlan plan : {StudyPlan::grid, StudyPlan::one_at_a_time, StudyPlan::sample})
    all.push_back(long_names(plan));
  for (const StudyData &data : all) {
    const StudyAnalysis analysis = analysis_of(data);
    for (const StudyPicture &picture : study_pictures(data, analysis)) {
      check_labels(picture, write_png(picture.drawing, picture.width, picture.height, file));
      check_labels(picture, write_svg(picture.drawing, picture.width, picture.height, file));
      ++drawn;
    }
  }
  CHECK(drawn >= 3 + 1 + 2 + 6 + 2 + 3);
}
