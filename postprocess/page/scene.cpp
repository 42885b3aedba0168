// What page.js turns in space: the metatarsals, the insole's top surface and the edges on it.
#include "postprocess/page/scene.hpp"
#include "geometry/insole_shape.hpp"
#include "geometry/logical_frame.hpp"
#include "postprocess/canvas/colours.hpp"
#include "postprocess/page/encoding.hpp"
#include "postprocess/pictures/bones_view.hpp"
#include "postprocess/pictures/patch_mesh.hpp"
#include "postprocess/pictures/plan_lines.hpp"
#include "postprocess/text/text_table.hpp"
#include "postprocess/words/picture_words.hpp"
#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

namespace raybend {

namespace {

using Json = nlohmann::ordered_json;

std::int16_t packed(const double x, const double unit) {
  return static_cast<std::int16_t>(std::lround(std::clamp(x / unit, -32767.0, 32767.0)));
}

std::string places(const std::vector<Vec3> &points) {
  std::vector<std::int16_t> numbers;
  for (const Vec3 &p : points)
    for (const double x : p)
      numbers.push_back(packed(x, 0.01));
  return base64(numbers);
}

/// Corners of triangles; places above 32767 as the negative numbers with the same two bytes.
std::string triangles(const std::vector<std::array<std::size_t, 4>> &quads) {
  std::vector<std::int16_t> numbers;
  for (const auto &q : quads)
    for (const std::size_t k : {q[0], q[1], q[2], q[0], q[2], q[3]})
      numbers.push_back(static_cast<std::int16_t>(static_cast<std::uint16_t>(k)));
  return base64(numbers);
}

constexpr int surface_along = 33, surface_across = 41; // points of the insole's surface

std::vector<Vec3> surface(const FootShape &shape, const Design &design, const bool left) {
  const InsoleShape insole(design, shape);
  std::vector<Vec3> points;
  for (int i = 0; i < surface_along; ++i)
    for (int k = 0; k < surface_across; ++k) {
      const double s = 8.0 * i / (surface_along - 1), b = 10.0 * k / (surface_across - 1);
      Vec3 p = shape.skin(s, b);
      p[1] = left ? -p[1] : p[1];
      p[2] = insole.top(s, b);
      points.push_back(p);
    }
  return points;
}

} // namespace

std::string scene_json(const ReportInput &input) {
  const bool left = input.foot.side == Side::left;
  std::vector<PatchMesh> meshes;
  std::vector<double> values;
  for (const DesignOutcome &o : input.outcomes) {
    meshes.push_back(o.with.converged ? join_patches(o.with.bones, false, left) : PatchMesh{});
    values.insert(values.end(), meshes.back().value.begin(), meshes.back().value.end());
  }
  const auto first =
      std::find_if(meshes.begin(), meshes.end(), [](const PatchMesh &m) { return !m.quad.empty(); });
  if (first == meshes.end() || first->point.size() > 65535)
    return "";
  const double limit = stress_limit(values);
  Json j = {{"limit", limit}, {"painful", input.foot.painful_ray}, {"left", left}};
  std::string colours;
  for (int i = 0; i <= 128; ++i) {
    const Colour c = diverging_colour(i / 64.0 - 1);
    for (const unsigned char part : {c.r, c.g, c.b})
      for (const int half : {part >> 4, part & 15})
        colours += "0123456789abcdef"[half];
  }
  j["colours"] = colours;
  j["triangles"] = triangles(first->quad);
  j["heads"] = Json::array();
  for (int r = 1; r <= 5; ++r) { // where the numbers of the rays stand
    Vec3 tip = {-1e9, 0, 0};
    for (std::size_t q = 0; q < first->quad.size(); ++q)
      if (first->ray[q] == r)
        for (const std::size_t k : first->quad[q])
          if (first->point[k][0] > tip[0])
            tip = first->point[k];
    j["heads"].push_back({std::round(tip[0] + 5), std::round(tip[1]), std::round(tip[2])});
  }
  j["surface"] = {surface_along, surface_across};
  j["designs"] = Json::array();
  for (std::size_t i = 0; i < meshes.size(); ++i) {
    if (meshes[i].quad != first->quad) // the same mesh in every design that was solved
      continue;
    const DesignOutcome &o = input.outcomes[i];
    std::vector<std::int16_t> stress;
    for (const double v : meshes[i].value)
      stress.push_back(packed(v, 2 * limit / 32767)); // the scale ends at half, beyond it may be more
    Json d = {{"letter", design_letter(i)},
              {"name", one_line(o.name_for_people())},
              {"points", places(meshes[i].point)},
              {"stress", base64(stress)},
              {"lines", Json::array()}};
    if (!o.design.layers.empty() && !input.activity.activity.barefoot) {
      d["surface"] = places(surface(FootShape(input.foot), o.design, left));
      for (const PlanLine &line : plan_lines(input.foot, o.design, left, true))
        d["lines"].push_back(places(line));
    }
    j["designs"].push_back(d);
  }
  std::string text = j.dump(-1, ' ', false, Json::error_handler_t::replace);
  for (std::size_t at = 0; (at = text.find('<', at)) != std::string::npos;)
    text.replace(at, 1, "\\u003c"); // no end of the script element inside it
  return text;
}

} // namespace raybend
