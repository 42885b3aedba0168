// Where the points of one forefoot are: the map from the logical frame to millimetres.
#include "geometry/foot_shape.hpp"
#include "geometry/constants.hpp"
#include "geometry/logical_frame.hpp"
#include "geometry/smooth_step.hpp"
#include <algorithm>

namespace raybend {

using namespace logical;

namespace {

constexpr double deg = pi / 180;
constexpr double plantar_row_share = 0.5; // of the tissue under the bone lies in the plantar row
constexpr double least_canal = 0.5;       // mm, width of what every section keeps free of cortex

/// mm: half height of a vertical cut through the head's centre. The axis falls there by the ray's declination and,
/// with its camber, some more.
double half_cut_of_head(const Ray &r) {
  const double forward = r.length * std::cos(r.declination_deg * deg),
               medial = r.head_medial_of_mt2 - r.base_medial_of_mt2,
               down = r.length * std::sin(r.declination_deg * deg) + 4 * r.camber;
  return r.head_height / 2 * std::sqrt(1 + down * down / (forward * forward + medial * medial));
}

double clamp01(double t) {
  return std::clamp(t, 0.0, 1.0);
}

// Parabola through (-1, left), (0, middle), (1, right): exactly what a Q2 element can follow.
double parabola(double t, double left, double middle, double right) {
  return middle + 0.5 * t * (right - left) + 0.5 * t * t * (left + right - 2 * middle);
}

} // namespace

FootShape::FootShape(const Forefoot &foot) : foot_(foot) {}

double FootShape::beyond_head(int ray, double s) const {
  const double half = foot_.rays[ray - 1].head_height / 2;
  const double pole = 0.75 * half;
  if (s <= head_station)
    return 0;
  if (s <= pole_station)
    return pole * (s - head_station);
  return pole + 7.0 * (s - pole_station);
}

double FootShape::fraction(double s) {
  if (s >= head_station)
    return 1;
  const int i = std::min(static_cast<int>(s), head_station - 1);
  return fraction_at[i] + (s - i) * (fraction_at[i + 1] - fraction_at[i]);
}

double FootShape::distance(int ray, double s) const {
  return fraction(s) * foot_.rays[ray - 1].length + beyond_head(ray, s);
}

Vec3 FootShape::axis(int ray, double s) const {
  const Ray &r = foot_.rays[ray - 1];
  const double t = fraction(s), d = beyond_head(ray, s);
  const double cosine = std::cos(r.declination_deg * deg), sine = std::sin(r.declination_deg * deg);
  const double x_head = -r.head_behind_mt2;
  const double z_head = r.tissue_under_head + half_cut_of_head(r);
  const double splay = (r.head_medial_of_mt2 - r.base_medial_of_mt2) / (r.length * cosine);
  return {x_head - r.length * cosine * (1 - t) + d,
          r.base_medial_of_mt2 * (1 - t) + r.head_medial_of_mt2 * t + splay * d,
          z_head + r.length * sine * (1 - t) + 4 * r.camber * t * (1 - t)};
}

Vec3 FootShape::axis_tangent(int ray, double s) const {
  const double h = 0.01, low = std::max(0.0, s - h), high = std::min<double>(stations, s + h);
  return unit(axis(ray, high) - axis(ray, low));
}

FootShape::Section FootShape::section(int ray, double s) const {
  const Ray &r = foot_.rays[ray - 1];
  const double t = fraction(s), d = beyond_head(ray, s);
  const double to_base = clamp01((0.45 - t) / 0.45), to_head = smooth_step((t - 0.55) / 0.40);
  const double swell_base = to_base * to_base;
  double width =
      r.shaft_width + (r.base_width - r.shaft_width) * swell_base + (r.head_width - r.shaft_width) * to_head;
  double height = r.shaft_height + (r.base_height - r.shaft_height) * swell_base +
                  (r.head_height - r.shaft_height) * to_head;
  if (d > 0) { // ellipsoid round the head's centre up to its pole, then tissue that closes in
    const double pole = 0.75 * r.head_height / 2, e = std::min(d, pole) / (0.55 * r.head_height);
    double shrink = std::sqrt(1 - e * e);
    if (d > pole)
      shrink *= 1 - 0.25 * (d - pole) / 7.0;
    width *= shrink;
    height *= shrink;
  }
  const double thin = 0.45; // cortex at the ends, part of mid-shaft
  const double ends = std::max(smooth_step((0.30 - t) / 0.30), smooth_step((t - 0.62) / 0.3));
  const double cortex = r.cortex * (1 - (1 - thin) * ends);
  // A vertical cut of an inclined tube is taller than its normal section.
  const double cosine = std::cos(r.declination_deg * deg);
  const double wall = std::min(cortex, std::min(width, height) / 2 - least_canal / 2);
  return {width / 2, height / 2 / cosine, wall, wall / cosine};
}

double FootShape::skin_height(int ray, double s) const {
  const Ray &r = foot_.rays[ray - 1];
  const double t = 1 - fraction(s), d = beyond_head(ray, s);
  return r.arch_rise * std::pow(clamp01((t - 0.12) / 0.88), 1.5) + 0.02 * d * d;
}

double FootShape::mid_height(int ray, double s) const {
  const double skin = skin_height(ray, s);
  const double bone = axis(ray, s)[2] - section(ray, s).half_height;
  return skin + plantar_row_share * (bone - skin);
}

double FootShape::dorsal_height(int ray, double s) const {
  return axis(ray, s)[2] + section(ray, s).half_height + foot_.rays[ray - 1].tissue_over_shaft;
}

// y of the line between tiles; edge 0 is the lateral margin, 5 the medial one.
double FootShape::boundary_y(int edge, double s) const {
  if (edge == 0) {
    const double w = section(5, s).half_width;
    return axis(5, s)[1] - w - std::max(3.0, foot_.lateral_margin - 0.5 * foot_.rays[4].head_width);
  }
  if (edge == 5) {
    const double w = section(1, s).half_width;
    return axis(1, s)[1] + w + std::max(3.0, foot_.medial_margin - 0.5 * foot_.rays[0].head_width);
  }
  const int lateral = 6 - edge, medial = 5 - edge; // rays on the two sides
  const double yl = axis(lateral, s)[1] + section(lateral, s).half_width;
  const double ym = axis(medial, s)[1] - section(medial, s).half_width;
  return 0.5 * (yl + ym);
}

double FootShape::plan_y(double b, double s) const {
  const int ray = ray_of(b), edge = 5 - ray;
  return parabola(b - axis_of(ray), boundary_y(edge, s), axis(ray, s)[1], boundary_y(edge + 1, s));
}

double FootShape::across(double b, double s, double (FootShape::*value)(int, double) const,
                         bool round_edges) const {
  const int ray = ray_of(b);
  const double here = (this->*value)(ray, s), margin = round_edges ? 2.5 : 0.0;
  const double left = ray == 5 ? here + margin : 0.5 * (here + (this->*value)(ray + 1, s));
  const double right = ray == 1 ? here + margin : 0.5 * (here + (this->*value)(ray - 1, s));
  return parabola(b - axis_of(ray), left, here, right);
}

Vec3 FootShape::skin(double s, double b) const {
  return {across(b, s, &FootShape::x_axis, false), plan_y(b, s), across(b, s, &FootShape::skin_height, true)};
}

double FootShape::behind_heads(double s, double b) const {
  return skin(head_station, b)[0] - skin(s, b)[0];
}

// Point of the section at tile coordinates (u, v), radius at most cortex_radius. Squares become ellipses by
// (u, v) -> (u sqrt(1 - v^2/2), v sqrt(1 - u^2/2)); where the section is filled, the innermost square stays
// partly square so that no cell has a straight corner.
Vec3 FootShape::bone(int ray, double s, double u, double v) const {
  const Section sec = section(ray, s);
  const double rho = std::max(std::abs(u), std::abs(v));
  double roundness = 1;
  if (s < canal_from + 1)
    roundness = 0.6 + 0.4 * clamp01(s - canal_from);
  if (s > canal_to - 1)
    roundness = 0.6 + 0.4 * clamp01(canal_to - s);
  const double a_in = sec.half_width - sec.cortex, b_in = sec.half_height - sec.cortex_above;
  const auto disc = [](double p, double q) {
    return std::array<double, 2>{p * std::sqrt(1 - q * q / 2), q * std::sqrt(1 - p * p / 2)};
  };
  const auto inner = [&](double p, double q) { // p, q in [-1, 1]
    const auto round = disc(p, q);
    return std::array<double, 2>{a_in * ((1 - roundness) * 0.8 * p + roundness * round[0]),
                                 b_in * ((1 - roundness) * 0.8 * q + roundness * round[1])};
  };
  std::array<double, 2> yz;
  if (rho <= core_radius) {
    yz = inner(u / core_radius, v / core_radius);
  } else {
    const double p = u / rho, q = v / rho;
    const double mix = (rho - core_radius) / (cortex_radius - core_radius);
    const auto in = inner(p, q);
    const auto out = disc(p, q);
    yz = {(1 - mix) * in[0] + mix * sec.half_width * out[0],
          (1 - mix) * in[1] + mix * sec.half_height * out[1]};
  }
  // Station surfaces run obliquely through the bones, as they do through the tissue between, which keeps thin
  // tissue between far offset bases from folding: the points of the normal section move along the axis (beyond
  // the head along the shaft's end), so that the tube stays as it is.
  const Vec3 c = axis(ray, s), along = axis_tangent(ray, std::min(s, head_station - 0.01)),
             sideways = unit(cross({0, 0, 1}, along)), up = cross(along, sideways);
  const double normal = std::cos(foot_.rays[ray - 1].declination_deg * deg); // height of the normal section
  const Vec3 offset = yz[0] * sideways + normal * yz[1] * up;
  const int edge = 5 - ray + (yz[0] > 0 ? 1 : 0);
  const double side = std::abs(boundary_y(edge, s) - c[1]);
  const double x =
      across(axis_of(ray) + std::clamp(yz[0] / side, -0.999999, 0.999999), s, &FootShape::x_axis, false);
  return c + offset + (x - c[0] - offset[0]) / along[0] * along;
}

Vec3 FootShape::point(const Vec3 &logical) const {
  const double s = logical[0], b = logical[1], d = logical[2];
  const Vec3 ground = skin(s, b);
  const double mid = across(b, s, &FootShape::mid_height, false);
  if (d <= 1)
    return {ground[0], ground[1], (1 - d) * ground[2] + d * mid};
  const int ray = ray_of(b);
  const double u = b - axis_of(ray), v = d - 2;
  const double rho = std::max(std::abs(u), std::abs(v));
  if (rho <= cortex_radius)
    return bone(ray, s, u, v);
  // Tissue ring: straight lines from the bone's surface to the tile's frame.
  const double p = u / rho, q = v / rho, bb = axis_of(ray) + p;
  const double bottom =
      across(std::abs(p) < 1 ? bb : axis_of(ray) + p * (1 - 1e-14), s, &FootShape::mid_height, false);
  const double top =
      across(std::abs(p) < 1 ? bb : axis_of(ray) + p * (1 - 1e-14), s, &FootShape::dorsal_height, false);
  const Vec3 plan = skin(s, std::abs(p) < 1 ? bb : axis_of(ray) + p * (1 - 1e-14));
  const Vec3 frame = {plan[0], plan[1], bottom + (q + 1) / 2 * (top - bottom)};
  const Vec3 on_bone = bone(ray, s, cortex_radius * p, cortex_radius * q);
  const double mix = (rho - cortex_radius) / (1 - cortex_radius);
  return (1 - mix) * on_bone + mix * frame;
}

double FootShape::smallest_gap(int &ray_a, int &ray_b) const {
  double least = 1e9;
  for (int ray = 1; ray < 5; ++ray)
    for (double s = 0; s <= pole_station; s += 0.25) {
      const double gap =
          axis(ray, s)[1] - section(ray, s).half_width - axis(ray + 1, s)[1] - section(ray + 1, s).half_width;
      if (gap < least) {
        least = gap;
        ray_a = ray;
        ray_b = ray + 1;
      }
    }
  return least;
}

} // namespace raybend
