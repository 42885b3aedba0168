// Charts, maps and the 3D view as files, on a private display.
#include "geometry/constants.hpp"
#include "geometry/foot_shape.hpp"
#include "geometry/logical_frame.hpp"
#include "postprocess/canvas/display.hpp"
#include "postprocess/files/day_report.hpp"
#include "postprocess/files/report.hpp"
#include "postprocess/page/drawings/drawing.hpp"
#include "postprocess/pictures/bones_view.hpp"
#include "postprocess/pictures/charts.hpp"
#include "postprocess/pictures/patch_mesh.hpp"
#include "postprocess/pictures/plan_lines.hpp"
#include "postprocess/pictures/pressure.hpp"
#include "postprocess/words/picture_words.hpp"
#include "tests/report/sample_pictures.hpp"
#include "tests/sample_results.hpp"
#include "tests/scratch.hpp"
#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <regex>
#include <sstream>
#include <unistd.h>

using namespace raybend;
namespace fs = std::filesystem;

TEST_CASE("a private display starts, is named in DISPLAY and goes again", "[pictures][display]") {
  const Environment none("DISPLAY", nullptr);
  {
    const Display display;
    CHECK(display.is_private());
    REQUIRE(std::getenv("DISPLAY") != nullptr);
    CHECK(std::getenv("DISPLAY")[0] == ':');
  }
  CHECK(std::getenv("DISPLAY") == nullptr);
}

TEST_CASE("a display that cannot be opened is replaced", "[pictures][display]") {
  const Environment dead("DISPLAY", ":64999");
  {
    const Display display;
    CHECK(display.is_private());
  }
  CHECK(std::string(std::getenv("DISPLAY")) == ":64999");
}

TEST_CASE("without Xvfb the package to install is named", "[pictures][display]") {
  const Environment none("DISPLAY", nullptr);
  const Environment no_programs("PATH", "/nowhere-at-all");
  CHECK_THROWS_WITH(Display(), Catch::Contains("package xvfb"));
  CHECK(std::getenv("DISPLAY") == nullptr);
}

TEST_CASE("the report writes every picture, twice the same", "[pictures]") {
  const Environment none("DISPLAY", nullptr);
  const fs::path root = fs::temp_directory_path() / ("raybend-pictures-" + std::to_string(::getpid()));
  fs::remove_all(root);
  std::vector<std::string> said;
  for (const char *run : {"first", "second"}) {
    fs::create_directories(root / run);
    const std::string text =
        write_report(two_designs(), (root / run).string(), true, [&](const std::string &words) {
          said.push_back(words);
        }).summary;
    CHECK(text == content(root / run / "summary.md"));
  }
  CHECK(said.size() == 10); // tables, four pictures in three steps, the page; twice
  CHECK(content(root / "first" / "report.html").find("data:image/jpeg;base64,") != std::string::npos);
  CHECK(content(root / "first" / "report.html") == content(root / "second" / "report.html"));
  for (const char *name : {"shaft-strain.png", "bending-stress.png", "pressure.png", "bones.png"}) {
    INFO(name);
    const std::string png = content(root / "first" / name);
    REQUIRE(png.size() > 10000); // an empty page of this size takes less
    CHECK(png.compare(1, 3, "PNG") == 0);
    CHECK(big_endian(png, 16) >= 1600); // width in pixels, two a point
    CHECK(png == content(root / "second" / name));
  }
  for (const char *name : {"shaft-strain.svg", "bending-stress.svg"}) {
    INFO(name);
    const std::string svg = content(root / "first" / name);
    CHECK(svg.find("<svg") != std::string::npos);
    CHECK(svg.find("</svg>") != std::string::npos);
    CHECK(svg == content(root / "second" / name));
  }
  fs::remove_all(root);
}

TEST_CASE("a day of two activities has a chart of its own and pictures of each", "[pictures][day]") {
  const Environment none("DISPLAY", nullptr);
  const fs::path root = fs::temp_directory_path() / ("raybend-day-" + std::to_string(::getpid()));
  fs::create_directories(root);
  DayInput day;
  day.activities = {two_designs(), two_designs()};
  day.activities[0].activity.name = "standing";
  day.activities[1].activity.name = "crates";
  day.activities[1].activity.activity.steps_per_hour = 1600;
  std::ofstream(root / "pad_crates_0.pvtu") << "<Piece Source=\"pad_crates_0.0.vtu\"/><Piece "
                                               "Source=\"pad_crates_0.1.vtu\"/>";
  write_day_report(day, root.string(), true);
  const std::string text = content(root / "details.md");
  CHECK(text.find("- pad_crates_0.pvtu, with its parts pad_crates_0.0.vtu and pad_crates_0.1.vtu\n") !=
        std::string::npos);
  for (const char *name : {"day.png", "shaft-strain_standing.png", "bending-stress_crates.png",
                           "pressure_crates.png", "bones_standing.png"}) {
    INFO(name);
    const std::string png = content(root / name);
    REQUIRE(png.size() > 10000); // an empty page of this size takes less
    CHECK(png.compare(1, 3, "PNG") == 0);
    CHECK(text.find(std::string("- ") + name) != std::string::npos);
  }
  CHECK(content(root / "day.svg").find("</svg>") != std::string::npos);
  fs::remove_all(root);
}

TEST_CASE("without pictures no display is needed", "[pictures]") {
  const Environment none("DISPLAY", nullptr);
  const Environment no_programs("PATH", "/nowhere-at-all");
  const fs::path root = fs::temp_directory_path() / ("raybend-words-" + std::to_string(::getpid()));
  fs::create_directories(root);
  const WrittenReport report = write_report(two_designs(), root.string(), false);
  CHECK(report.missing_pictures.empty());
  CHECK(fs::exists(root / "rays.csv"));
  CHECK_FALSE(fs::exists(root / "bones.png"));
  CHECK_THAT(report.summary, !Catch::Contains("no pictures"));
  fs::remove_all(root);
}

TEST_CASE("without a display the report keeps all but its pictures and says so", "[pictures]") {
  const Environment none("DISPLAY", nullptr);
  const Environment no_programs("PATH", "/nowhere-at-all");
  const fs::path root = fs::temp_directory_path() / ("raybend-blind-" + std::to_string(::getpid()));
  fs::create_directories(root);
  const WrittenReport report = write_report(two_designs(), root.string(), true);
  CHECK_THAT(report.missing_pictures, Catch::Contains("package xvfb") && Catch::Contains("--no-pictures"));
  CHECK_THAT(report.summary, Catch::Contains("rays.csv") && Catch::Contains("- no pictures: "));
  CHECK_THAT(content(root / "details.md"),
             Catch::Contains("- rays.csv\n") && Catch::Contains("- no pictures: "));
  CHECK(content(root / "summary.md") == report.summary);
  CHECK_FALSE(fs::exists(root / "shaft-strain.svg"));
  fs::remove_all(root);
}

TEST_CASE("lines on bones tell tension from compression without colour", "[pictures]") {
  const std::vector<double> levels = tension_levels(60);
  REQUIRE(levels.size() == 3); // 0, 20, 40; the end of the scale has no line
  CHECK(levels[0] == Approx(0).margin(1e-12));
  CHECK(levels[2] == Approx(40));
  PatchMesh mesh;
  mesh.point = {Vec3{0, 0, 0}, Vec3{10, 0, 0}, Vec3{10, 4, 0}, Vec3{0, 4, 0}};
  mesh.quad = {{0, 1, 2, 3}};
  auto lines = [&](double left, double right) {
    mesh.value = {left, right, right, left};
    std::size_t n = 0;
    for (double level : levels)
      n += level_lines(mesh, level).size();
    return n;
  };
  CHECK(lines(5, 50) == 4);   // at 20 and 40, in both triangles
  CHECK(lines(-5, -50) == 0); // as much compression has none
  mesh.value = {-10, 30, 30, -10};
  for (const auto &line : level_lines(mesh, 0))
    for (const Vec3 &end : line)
      CHECK(end[0] == Approx(2.5));
  mesh.value = {-10, std::nan(""), 30, -10};
  CHECK(level_lines(mesh, 0).size() == 1);
}

TEST_CASE("the pressure scale ends at or above every pressure shown", "[pictures]") {
  ReportInput in = two_designs();
  in.outcomes[1].with.ray[3].head_peak_pressure = {437, 10};
  CHECK(pressure_scale_top(in, 200) == Approx(500)); // steps of 100 kPa
  CHECK(pressure_scale_top(in, 612) >= 612);
  in.outcomes[1].with.converged = false; // a failed design is not drawn
  CHECK(pressure_scale_top(in, 200) == Approx(200));
}

TEST_CASE("pictures say activities as one says them", "[pictures]") {
  DayActivity a;
  a.name = a.activity.name = "walking-push-off";
  CHECK(spoken(a) == "walking push-off");
  a.name = "between-the-racks";
  a.activity.name = "walking-mid-stance";
  CHECK(spoken(a) == "between the racks (walking mid-stance)");
}

TEST_CASE("a pressure map's facets reach the highest calculated pressure", "[pictures]") {
  Patch low, high;
  low.ray = high.ray = 2;
  low.corner = {Vec3{0, 0, 0}, Vec3{1, 0, 0}, Vec3{1, 1, 0}, Vec3{0, 1, 0}};
  high.corner = {Vec3{1, 0, 0}, Vec3{2, 0, 0}, Vec3{2, 1, 0}, Vec3{1, 1, 0}};
  low.value.fill(2);
  high.value.fill(744);
  for (const bool mirror : {false, true}) {
    const PatchMesh mesh = join_patches({low, high}, true, mirror);
    REQUIRE(mesh.facet.size() == 2);
    CHECK(mesh.facet[0] == Approx(2));
    CHECK(mesh.facet[1] == Approx(744));
    const auto border = facet_borders(mesh, 5); // between the two alone
    REQUIRE(border.size() == 1);
    for (const Vec3 &end : border[0])
      CHECK(end[0] == Approx(1));
    CHECK(facet_borders(mesh, 1).empty());
  }
}

TEST_CASE("a surface against another's: more stress or less, whatever its sign", "[pictures]") {
  Patch now, before;
  now.corner = before.corner = {Vec3{0, 0, 0}, Vec3{1, 0, 0}, Vec3{1, 1, 0}, Vec3{0, 1, 0}};
  now.value = {-30, 30, -10, 0};
  before.value = {20, -20, -25, 5};
  const std::vector<Patch> difference = patches_against({now}, {before});
  REQUIRE(difference.size() == 1);
  CHECK(difference[0].value == std::array<double, 4>{10, 10, -15, -5});
  CHECK(difference[0].corner == now.corner);
  CHECK_THROWS_AS(patches_against({now, now}, {before}), std::invalid_argument);
}

TEST_CASE("a facet of a pressure map is drawn in one colour", "[pictures]") {
  const Environment none("DISPLAY", nullptr);
  const Display display;
  const Scratch folder;
  ReportInput in = two_designs();
  const auto picture = [&](const std::array<double, 4> &corners) {
    for (DesignOutcome &o : in.outcomes)
      for (Patch &skin : o.with.plantar)
        skin.value = corners;
    const std::string file = (folder.path / "pressure.png").string();
    REQUIRE(write_pressure_maps(in, file));
    return content(file);
  };
  const bool mean_alone_counts = picture({100, 300, 300, 100}) == picture({200, 200, 200, 200});
  const bool mean_counts = picture({100, 300, 300, 300}) != picture({200, 200, 200, 200});
  CHECK(mean_alone_counts);
  CHECK(mean_counts);
}

TEST_CASE("a pressure map's square covers the skin its sensor covers", "[pictures]") {
  Patch skin; // just what the sensor covers
  skin.corner = {Vec3{55, -28, 0}, Vec3{65, -28, 0}, Vec3{65, -18, 0}, Vec3{55, -18, 0}};
  skin.value.fill(300);
  RayResult ray;
  ray.head_sensor = {60, -23, 0};
  for (const bool mirror : {false, true}) {
    const PatchMesh mesh = join_patches({skin}, true, mirror);
    const PlanSquare square = sensor_square(ray, mirror);
    double x_low = 1e9, x_high = -1e9, y_low = 1e9, y_high = -1e9;
    for (const Vec3 &p : mesh.point) {
      x_low = std::min(x_low, p[0]);
      x_high = std::max(x_high, p[0]);
      y_low = std::min(y_low, p[1]);
      y_high = std::max(y_high, p[1]);
    }
    CHECK(square.x_low == Approx(x_low));
    CHECK(square.x_high == Approx(x_high));
    CHECK(square.y_low == Approx(y_low));
    CHECK(square.y_high == Approx(y_high));
  }
}

TEST_CASE("a pressure map shows where the painful head's sensor stands", "[pictures]") {
  const Environment none("DISPLAY", nullptr);
  const Display display;
  const Scratch folder;
  ReportInput in = two_designs();
  const auto picture = [&] {
    const std::string file = (folder.path / "pressure.png").string();
    REQUIRE(write_pressure_maps(in, file));
    return content(file);
  };
  const std::string here = picture();
  RayResult &painful = in.outcomes[1].with.ray[in.foot.painful_ray - 1];
  RayResult &other = in.outcomes[1].with.ray[in.foot.painful_ray % 5];
  other.head_sensor[0] -= 3;
  const bool others_have_none = picture() == here;
  painful.head_sensor[0] -= 3;
  const bool moved = picture() != here;
  CHECK(others_have_none);
  CHECK(moved);
  painful.head_peak_pressure = {0.2, 0.1}; // nothing carries there: no square to say what carries most
  const std::string unloaded = picture();
  painful.head_sensor[0] -= 3;
  CHECK(picture() == unloaded);
}

TEST_CASE("the drawing shows the ground under a rocker and under a sole whose heel is up", "[pictures]") {
  ReportInput in = three_designs();
  in.foot = sample_foot();
  in.foot.painful_ray = 2;
  in.outcomes[0].design.layers = sample_layers();
  const auto drawn = [&] { return design_drawing(in, 0, true); };
  CHECK_THAT(drawn(), !Catch::Matchers::Contains("ground under") && !Catch::Matchers::Contains("heel up"));
  in.outcomes[0].design.shoe.rocker_deg = 15;
  in.outcomes[0].design.shoe.rocker_apex = 15;
  in.activity.activity.heel_rise_deg = 13;
  const std::string svg = drawn();
  CHECK_THAT(svg, Catch::Matchers::Contains("ground under the unloaded rocker") &&
                      Catch::Matchers::Contains("ground with the heel up by 13 deg"));
  // Beyond its rounded corner the unloaded rocker rises by the sine of its angle, and with the heel up by 13 degrees the
  // ground falls away behind it by the sine of these (plane geometry).
  const std::regex line("<path d=\"M([^\"]*)\" fill=\"none\" stroke-width=\"0.35\"");
  std::vector<std::vector<std::array<double, 2>>> lines;
  for (std::sregex_iterator it(svg.begin(), svg.end(), line), end; it != end; ++it) {
    std::string numbers = (*it)[1];
    std::replace(numbers.begin(), numbers.end(), 'L', ' ');
    std::istringstream in_order(numbers);
    lines.emplace_back();
    for (double x, y; in_order >> x >> y;)
      lines.back().push_back({x, y});
  }
  REQUIRE(lines.size() == 2);
  const auto slope = [](const std::array<double, 2> &a, const std::array<double, 2> &b) {
    return (b[1] - a[1]) / (b[0] - a[0]);
  };
  const auto &rocker = lines[0], &up = lines[1];
  CHECK(slope(rocker[rocker.size() - 6], rocker.back()) == Approx(std::sin(15 * pi / 180)).margin(0.01));
  CHECK(slope(up[0], up[5]) == Approx(-std::sin(13 * pi / 180)).margin(0.01)); // y points down
}

TEST_CASE("edges of support elements and layers are drawn where the insole's shape has them", "[pictures]") {
  const FootShape shape(sample_foot());
  Design d;
  d.layers = sample_layers();
  CHECK(plan_lines(sample_foot(), d, false).empty()); // everything goes on
  SupportElement wedge;
  wedge.kind = SupportKind::wedge;
  wedge.angle_deg = 4;
  d.support = {wedge};
  CHECK(plan_lines(sample_foot(), d, false).empty());

  SupportElement pad;
  pad.height = 6;
  pad.length = 30;
  pad.width = 20;
  pad.behind_heads = 10;
  pad.profile = PadProfile::dome;
  d.support = {pad};
  for (const bool left : {false, true}) {
    const std::vector<PlanLine> lines = plan_lines(sample_foot(), d, left);
    REQUIRE(lines.size() == 1);
    CHECK(norm(lines[0].front() - lines[0].back()) < 1e-3); // closed
    // The dome h (1 - r^2) has 2 % of its height at r = 0.990 (calc).
    const Vec3 head = shape.axis(2, logical::head_station);
    for (const Vec3 &x : lines[0]) {
      const double xi = (x[0] - (head[0] - 10 - 15)) / 15, eta = ((left ? -x[1] : x[1]) - head[1]) / 10;
      CHECK(std::hypot(xi, eta) == Approx(0.990).margin(0.1)); // 1 mm, the grid's step: it ends in a kink
    }
  }
  d.support.clear();
  d.layers[1].to_behind_heads = 8;
  const std::vector<PlanLine> end = plan_lines(sample_foot(), d, false);
  REQUIRE(end.size() == 1); // from side to side
  CHECK(std::abs(end[0].front()[1] - end[0].back()[1]) > 80);
  double most = -1e9, least = 1e9; // of x over the line: that of the heads is 20 mm further back at ray 5
  for (const Vec3 &x : end[0]) {
    most = std::max(most, x[0]);
    least = std::min(least, x[0]);
  }
  CHECK(most == Approx(0.94 - 8).margin(0.4));    // MT1's head
  CHECK(least == Approx(-20.21 - 8).margin(0.4)); // MT5's
}

TEST_CASE("a strain chart's axis has numbers enough to read it by", "[pictures]") {
  const Environment none("DISPLAY", nullptr);
  const Display display;
  const Scratch folder;
  ReportInput in = two_designs();
  for (const double size : {900.0, 1300.0, 2500.0, 4900.0, 9000.0, 14000.0}) {
    for (DesignOutcome &o : in.outcomes)
      for (RayResult &ray : o.with.ray)
        for (StationResult &s : ray.shaft) {
          s.strain_dorsal = -size * std::sin(M_PI * s.fraction);
          s.strain_plantar = 0.9 * size * std::sin(M_PI * s.fraction);
        }
    const auto labels =
        write_svg(shaft_strain_chart(in), chart_width, chart_height, (folder.path / "chart.svg").string());
    std::size_t numbers = 0; // of the first panel's axis: they end at its left edge
    for (const Label &l : labels)
      numbers += l.x + l.w < 88 && l.y > chart_height - 400 && !l.words.empty() &&
                 l.words.find_first_not_of("-0123456789") == std::string::npos;
    INFO(size);
    CHECK(numbers >= 5);
    CHECK(numbers <= 11);
  }
}

TEST_CASE("small spots of tension carry no line on a bone", "[pictures]") {
  // A strip of points along x: two humps above zero, one of 2 and one of 30.
  PatchMesh mesh;
  const std::vector<double> values = {-10, 2, -10, 20, 30, -10};
  for (std::size_t i = 0; i < values.size(); ++i)
    for (double y : {0.0, 1.0}) {
      mesh.point.push_back({double(i), y, 0});
      mesh.value.push_back(values[i]);
    }
  for (std::size_t i = 0; i + 1 < values.size(); ++i)
    mesh.quad.push_back({2 * i, 2 * i + 2, 2 * i + 3, 2 * i + 1});
  const auto starts = [&](double least) {
    std::vector<double> x;
    for (const auto &line : level_lines(mesh, 0, least))
      x.push_back(line[0][0]);
    return x;
  };
  CHECK(starts(0).size() == 8); // four borders, two triangles each
  const std::vector<double> kept = starts(5);
  CHECK(kept.size() == 4);
  for (double x : kept)
    CHECK(x > 2);
  CHECK(starts(40).empty());
}
