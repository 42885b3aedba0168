// Words on the pictures: all of them on the page, none on another, and names that stay apart.
#include "postprocess/canvas/display.hpp"
#include "postprocess/canvas/picture_font.hpp"
#include "postprocess/pictures/bones_view.hpp"
#include "postprocess/pictures/charts.hpp"
#include "postprocess/pictures/day_chart.hpp"
#include "postprocess/pictures/pressure.hpp"
#include "postprocess/words/picture_words.hpp"
#include "tests/report/sample_pictures.hpp"
#include "tests/scratch.hpp"
#include <algorithm>
#include <catch2/catch.hpp>
#include <map>

using namespace raybend;

namespace {

/// Six designs with support elements, the longest keys and longer titles, which differ at their ends only,
/// under the activity with the longest words; numbers of as many digits as occur.
ReportInput six_long_designs() {
  ReportInput in = two_designs();
  in.activity.name = std::string(13, 'm') + "-" + std::string(12, 'w') + "-" + std::string(13, 'm'); // 40
  in.activity.activity.name = "walking-mid-stance";
  in.activity.activity.force_bw = 2.8;
  in.activity.activity.carried_kg = 45;
  in.foot.painful_ray = 2;
  in.outcomes.clear();
  for (int i = 0; i < 6; ++i) {
    DesignOutcome o;
    o.design.name = std::string(38, 'm') + "-" + std::to_string(i);
    o.design.title =
        "Moulded total-contact insole of EVA 35 Shore A with a soft top cover of polyethylene foam, a "
        "metatarsal pad of the same EVA and a carbon plate, the pad's crest behind the heads by " +
        std::to_string(5 + 10 * i) + " mm";
    o.design.layers = sample_layers();
    o.design.support.emplace_back();
    o.with = picture_result(1020 + i);
    for (RayResult &ray : o.with.ray) {
      ray.peak_strain = {4321.0 + i, 1234};
      ray.peak_bending_stress = {123.4 + i, 23.4};
      ray.head_peak_pressure = {1020.0 + i, 234};
    }
    o.without = o.with;
    in.outcomes.push_back(o);
  }
  return in;
}

/// The same six designs in six activities with names as long.
DayInput long_day() {
  DayInput day;
  for (int k = 0; k < 6; ++k) {
    day.activities.push_back(six_long_designs());
    DayActivity &a = day.activities.back().activity;
    a.name.back() = static_cast<char>('a' + k);
    a.activity.steps_per_hour = k == 0 ? 0 : 9600;
    a.hours_per_day = 1.25;
  }
  return day;
}

/// Words of every picture of one case, by the picture's name; of those whose name begins with `only`.
std::map<std::string, std::vector<Label>> words_on_pictures(const ReportInput &in,
                                                            const std::string &only = "") {
  const Environment none("DISPLAY", nullptr);
  const Display display;
  const Scratch folder;
  const std::string file = (folder.path / "picture").string();
  std::map<std::string, std::vector<Label>> all;
  const auto wanted = [&](const std::string &name) { return name.rfind(only, 0) == 0; };
  for (const auto &[name, drawing] : {std::pair<std::string, Drawing>{"shaft-strain", shaft_strain_chart(in)},
                                      {"bending-stress", bending_stress_chart(in)}})
    if (wanted(name)) {
      all[name + ".png"] = write_png(drawing, chart_width, chart_height, file);
      all[name + ".svg"] = write_svg(drawing, chart_width, chart_height, file);
      for (const char *ending : {".png", ".svg"})
        all[name + ending].push_back({"", 0, 0, chart_width, chart_height});
    }
  for (const auto &[name, write] :
       {std::pair{"pressure.png", &write_pressure_maps}, {"bones.png", &write_bones_view}})
    if (wanted(name)) { // their size hangs on the number of designs
      REQUIRE(write(in, file, &all[name]));
      const std::string png = content(file);
      all[name].push_back({"", 0, 0, big_endian(png, 16) / 2.0, big_endian(png, 20) / 2.0});
    }
  return all;
}

/// Every label within the page, the last entry of `labels`, and none on another. Fails with the words meant.
void check_places(const std::string &picture, std::vector<Label> labels) {
  const Label page = labels.back();
  labels.pop_back();
  REQUIRE(labels.size() > 10);
  constexpr double hair = 0.5; // points: boxes are whole pixels
  std::vector<std::string> faults;
  for (std::size_t i = 0; i < labels.size(); ++i) {
    const Label &a = labels[i];
    if (!(a.w > 0 && a.h > 0))
      faults.push_back("no size: " + a.words);
    if (a.x < 0 || a.y < 0 || a.x + a.w > page.w || a.y + a.h > page.h)
      faults.push_back("outside: " + a.words);
    for (std::size_t k = 0; k < i; ++k) {
      const Label &b = labels[k];
      if (std::min(a.x + a.w, b.x + b.w) - std::max(a.x, b.x) > hair &&
          std::min(a.y + a.h, b.y + b.h) - std::max(a.y, b.y) > hair)
        faults.push_back("on one another: " + a.words + " | " + b.words);
    }
  }
  INFO(picture);
  CHECK(faults == std::vector<std::string>());
}

/// True if the label's words contain `part`.
bool any_has(const std::vector<Label> &labels, const std::string &part) {
  return std::any_of(labels.begin(), labels.end(),
                     [&](const Label &l) { return l.words.find(part) != std::string::npos; });
}

} // namespace

TEST_CASE("six designs with the longest names: all words on the page, none on another",
          "[pictures][labels]") {
  ReportInput in = six_long_designs();
  for (const bool titles : {true, false}) {
    if (!titles)
      for (DesignOutcome &o : in.outcomes)
        o.design.title = o.design.name;
    for (const auto &[picture, labels] : words_on_pictures(in)) {
      check_places(picture, labels);
      for (int i = 0; i < 6; ++i) { // a shortened name keeps what tells it apart
        INFO(picture << ", design " << i);
        CHECK(any_has(labels, titles ? std::to_string(5 + 10 * i) + " mm" : "m-" + std::to_string(i)));
        CHECK(any_has(labels, std::string(1, static_cast<char>('A' + i)) + "  "));
      }
    }
  }
}

TEST_CASE("a title that the font cannot draw gives way to the name", "[pictures][labels]") {
  ReportInput in = two_designs();
  in.outcomes[0].design.title = "\xd0\x9c\xd1\x8f\xd0\xb3\xd0\xba\xd0\xb0\xd1\x8f"; // Russian
  in.outcomes[1].design.title = "Gew\xc3\xb6lbest\xc3\xbctze, 5 \xc2\xb0";
  for (const auto &[picture, labels] : words_on_pictures(in)) {
    INFO(picture);
    CHECK(any_has(labels, "A  flat"));
    CHECK_FALSE(any_has(labels, "\xd0"));
    CHECK(any_has(labels, "B  Gew\xc3\xb6lbest\xc3\xbctze, 5 \xc2\xb0"));
  }
}

TEST_CASE("what the pictures' font has", "[pictures][labels]") {
  for (const char *text : {"", "Flat, 3 mm (50 %)", "\xc3\xa4\xc3\x9f\xc3\xa9\xc3\xb1\xc3\x98",
                           "\xc5\x81\xc3\xb3"
                           "d\xc5\xba",
                           "2 \xe2\x80\x94 3 \xc2\xb1 1\xc2\xa0\xe2\x82\xac"}) {
    INFO(text);
    CHECK(drawable(text));
  }
  for (const char *text : {"\xd0\x96", "\xce\xb1", "flat \xe2\x86\x92 pad", "\xe4\xb8\xad",
                           "\xf0\x9f\x98\x80"}) { // Zhe, alpha, arrow, a Chinese letter, a face
    INFO(text);
    CHECK_FALSE(drawable(text));
  }
}

TEST_CASE("names whose middles differ stay apart where they are shortened", "[pictures][labels][day]") {
  const Environment none("DISPLAY", nullptr);
  const Display display;
  const Scratch folder;
  DayInput day = long_day();
  const auto title = [](const std::size_t i) {
    return "Moulded total-contact insole of EVA 35 Shore A with a soft top cover of polyethylene foam, the "
           "crest of its pad " +
           std::to_string(5 + 10 * i) +
           " mm behind the heads of the metatarsals, and with a plate of carbon under the whole of it";
  };
  for (ReportInput &a : day.activities)
    for (std::size_t i = 0; i < a.outcomes.size(); ++i)
      a.outcomes[i].design.title = title(i);
  const auto check = [](const std::string &picture, const std::vector<Label> &labels) {
    INFO(picture);
    for (std::size_t i = 0; i < 6; ++i)
      CHECK(any_has(labels, std::string(1, static_cast<char>('A' + i)) + "  ... " +
                                std::to_string(5 + 10 * i) + " mm"));
  };
  for (const auto &[picture, labels] : words_on_pictures(day.activities[0]))
    if (picture.rfind("bending", 0) == 0 || picture.rfind("bones", 0) == 0)
      check(picture, labels);
  const DayRanking ranking = rank_day(day);
  std::vector<Label> labels =
      write_png(day_chart(day, ranking), chart_width, chart_height, (folder.path / "picture").string());
  check("day.png", labels);
  labels.push_back({"", 0, 0, chart_width, chart_height});
  check_places("day.png", labels);
}

TEST_CASE("a failed design is named on every picture, and why it has no result", "[pictures][labels]") {
  ReportInput in = six_long_designs();
  in.outcomes[1].with.converged = in.outcomes[1].without.converged = false;
  in.outcomes[1].with.plantar.clear();
  in.outcomes[1].with.bones.clear();
  for (const auto &[picture, labels] : words_on_pictures(in)) {
    check_places(picture, labels);
    INFO(picture);
    CHECK(any_has(labels, "B  "));
    CHECK(any_has(labels, "not converged"));
  }
}

TEST_CASE("a left foot and two designs: all words on the page, none on another", "[pictures][labels]") {
  ReportInput in = six_long_designs();
  in.foot.side = Side::left;
  in.outcomes.resize(2);
  for (const auto &[picture, labels] : words_on_pictures(in)) {
    check_places(picture, labels);
    INFO(picture);
    // Only names and titles may be shortened, not what explains the picture.
    const auto about = std::find_if(labels.begin(), labels.end(),
                                    [](const Label &l) { return l.words.rfind("Left foot", 0) == 0; });
    if (about == labels.end())
      continue;
    CHECK(about->words.find("...") == std::string::npos);
    if (picture == "pressure.png") { // its caption takes two lines
      REQUIRE(about + 1 != labels.end());
      const std::string caption = about->words + " " + (about + 1)->words;
      CHECK(caption.find("that carry most; the peak is their mean.") != std::string::npos);
      CHECK(caption.find("...") == std::string::npos);
    }
  }
  std::vector<Label> labels = words_on_pictures(in, "pressure").at("pressure.png");
  const auto x_of = [&](const char *words) {
    return std::find_if(labels.begin(), labels.end(), [&](const Label &l) { return l.words == words; })->x;
  };
  CHECK(x_of("medial") > x_of("lateral"));
  CHECK(x_of("1") > x_of("5"));
}

TEST_CASE("a long day's chart: all words on the page, none on another", "[pictures][labels][day]") {
  const Environment none("DISPLAY", nullptr);
  const Display display;
  const Scratch folder;
  DayInput day = long_day();
  for (const bool failed : {false, true}) {
    if (failed)
      for (ReportInput &a : day.activities)
        a.outcomes[1].with.converged = a.outcomes[1].without.converged = false;
    const DayRanking ranking = rank_day(day);
    const std::string file = (folder.path / "picture").string();
    for (const bool svg : {false, true}) {
      std::vector<Label> labels = svg ? write_svg(day_chart(day, ranking), chart_width, chart_height, file)
                                      : write_png(day_chart(day, ranking), chart_width, chart_height, file);
      CHECK(any_has(labels, "not converged") == failed);
      CHECK(any_has(labels, ", 1.25 h, no steps: not in the day's sum"));
      labels.push_back({"", 0, 0, chart_width, chart_height});
      check_places(svg ? "day.svg" : "day.png", labels);
    }
  }
}

TEST_CASE("a row a design: bones from both sides, and beside them what differs from the reference",
          "[pictures][labels]") {
  ReportInput in = two_designs();
  in.reference = "pad";
  const auto places = [](const std::vector<Label> &labels, const std::string &words) {
    std::vector<Label> found;
    std::copy_if(labels.begin(), labels.end(), std::back_inserter(found),
                 [&](const Label &l) { return l.words == words; });
    return found;
  };
  const std::vector<Label> labels = words_on_pictures(in, "bones").at("bones.png");
  const auto above = places(labels, "from above (dorsal)"), below = places(labels, "from below (plantar)");
  REQUIRE(above.size() == 2);
  REQUIRE(below.size() == 2);
  CHECK(above[0].x + above[0].w < below[0].x);
  CHECK(below[0].x + below[0].w < above[1].x);
  CHECK(above[1].x + above[1].w < below[1].x);
  for (const Label &l : {below[0], above[1], below[1]})
    CHECK(l.y == Approx(above[0].y).margin(2));
  // Four views of A, two of the reference B, each with the numbers of the rays.
  const auto threes = places(labels, "3");
  const double between = places(labels, "B  pad").at(0).y + 30;
  CHECK(std::count_if(threes.begin(), threes.end(), [&](const Label &l) { return l.y > between; }) == 4);
  CHECK(std::count_if(threes.begin(), threes.end(), [&](const Label &l) { return l.y < between; }) == 2);
  CHECK(any_has(labels, "Stressed more than with B, MPa"));
  const std::vector<Label> maps = words_on_pictures(in, "pressure").at("pressure.png");
  CHECK(places(maps, "3").size() == 3);
  CHECK(any_has(maps, "More than with B, kPa"));

  in.outcomes[1].with.converged = false; // without a reference there is nothing to compare with
  for (const std::string picture : {"bones.png", "pressure.png"}) {
    INFO(picture);
    const std::vector<Label> words = words_on_pictures(in, picture).at(picture);
    CHECK_FALSE(any_has(words, "than with B"));
    CHECK_FALSE(any_has(words, "against B"));
  }
}

TEST_CASE("titles say what the pictures say", "[pictures][labels][titles]") {
  ReportInput in = two_designs();
  in.outcomes.push_back(in.outcomes.back());
  in.outcomes[2].design.name = "bar";
  const auto set = [&](std::size_t design, Banded strain, Banded bending, Banded pressure) {
    RayResult &ray = in.outcomes[design].with.ray[in.foot.painful_ray - 1];
    ray.peak_strain = strain;
    ray.peak_bending_stress = bending;
    ray.head_peak_pressure = pressure;
  };
  in.foot.painful_ray = 2;
  set(0, {1000, 20}, {20, 1}, {300, 10});
  set(1, {800, 20}, {15, 1}, {200, 10});
  set(2, {1015, 20}, {15.5, 1}, {100, 10});
  CHECK(strain_title(in) == "Ray 2 is strained least with B: 800 \u00b1 20 microstrain");
  CHECK(bending_title(in) == "Ray 2 is bent least with B: 15.0 \u00b1 1.0 MPa; not told apart from it: C");
  CHECK(pressure_title(in) ==
        "Head 2 bears the least pressure with C: 100 \u00b1 10 kPa. But ray 2 is strained "
        "least with B");
  CHECK(bones_title(in) ==
        "The largest strain of ray 2 is lower with B than with the reference A; not told apart: C");
  in.reference = "pad";
  CHECK(bones_title(in) ==
        "No design is shown to lower the largest strain of ray 2 against the reference B; higher: A and C");
  set(2, {790, 30}, {15.5, 1}, {190, 20});
  CHECK(strain_title(in) ==
        "Ray 2 is strained least with C: 790 \u00b1 30 microstrain; not told apart from it: B");
  CHECK(pressure_title(in) ==
        "Head 2 bears the least pressure with C: 190 \u00b1 20 kPa; not told apart from it: B. "
        "The strain in ray 2 is least with it too; not told apart from it: B");
  in.outcomes[2].with.converged = false; // what has no result is no answer
  CHECK(strain_title(in) == "Ray 2 is strained least with B: 800 \u00b1 20 microstrain");
  in.outcomes.resize(1);
  in.reference.clear();
  CHECK(bones_title(in) == strain_title(in));
  in.outcomes[0].with.converged = false;
  CHECK(strain_title(in) == "Strain along the five metatarsals");

  in = two_designs();
  CHECK(support_words(in).empty());
  in.outcomes[1].design.support.emplace_back();
  in.outcomes[1].without.ray[in.foot.painful_ray - 1].peak_bending_stress = {10, 0.5};
  const std::string ray = std::to_string(in.foot.painful_ray);
  CHECK(support_words(in) == "With support elements against without them, ray " + ray + ": more bent in B.");
  CHECK(to_reference(in, 0, [](const DesignResult &r) { return r.ray[0].peak_strain; }) == "reference");
  in.outcomes[1].with.ray[0].peak_strain = {900, 10};
  CHECK(to_reference(in, 1, [](const DesignResult &r) { return r.ray[0].peak_strain; }) ==
        "-10 \u00b1 3 % against A");
}

TEST_CASE("a day's title names the design that is strained least over it",
          "[pictures][labels][titles][day]") {
  DayInput day;
  day.activities = {two_designs(), two_designs()};
  const auto set = [&](std::size_t activity, std::size_t design, double strain) {
    ReportInput &a = day.activities[activity];
    a.foot.painful_ray = 2;
    a.outcomes[design].with.ray[1].peak_strain = {strain, 10};
  };
  for (std::size_t i : {0, 1}) {
    day.activities[i].activity.name = i == 0 ? "walking" : "stairs";
    day.activities[i].activity.activity.steps_per_hour = i == 0 ? 2000 : 20;
    day.activities[i].activity.hours_per_day = 1;
    set(i, 0, 1000);
    set(i, 1, 900);
  }
  CHECK(day_title(day, rank_day(day)) == "Over the day ray 2 is strained least with B: 900 microstrain");
  set(1, 1, 1900); // few steps, twice the strain: a large exponent counts them most
  CHECK(day_title(day, rank_day(day)) ==
        "Which design strains ray 2 least over the day depends on the exponent of bone fatigue: B and A");
}

TEST_CASE("a colour bar has a number at both ends", "[pictures][labels]") {
  ReportInput in = two_designs();
  for (DesignOutcome &o : in.outcomes)
    for (Patch &bone : o.with.bones)
      bone.value = {0, -70, 10, 0}; // ticks every 20
  const std::vector<Label> labels = words_on_pictures(in, "bones").at("bones.png");
  for (const char *number : {"-70", "-40", "0", "40", "70"}) {
    INFO(number);
    CHECK(std::any_of(labels.begin(), labels.end(), [&](const Label &l) { return l.words == number; }));
  }
}
