// Shape of the foot and of insole designs, toe statics: against the dimensions that were asked for and plane
// geometry. Label: fast (no solve).
#include "geometry/constants.hpp"
#include "geometry/foot_shape.hpp"
#include "geometry/insole_shape.hpp"
#include "geometry/logical_frame.hpp"
#include "meshing/tags.hpp"
#include "solver/force_line.hpp"
#include "solver/forefoot/forefoot_problem.hpp"
#include "tests/sample_foot.hpp"
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <vector>

using namespace raybend;
using namespace raybend::logical;

namespace {

constexpr double deg = pi / 180;

/// Outline of a bone seen along its axis: points of one station, moved along the axis into its normal plane.
/// Coordinates: across (medial) and up, mm. `radius` in the tile: `cortex_radius` outside, `core_radius`
/// inside.
std::vector<std::array<double, 2>> outline(const FootShape &shape, int ray, double s, double radius) {
  const Vec3 along = shape.axis_tangent(ray, s), across = unit(cross({0, 0, 1}, along)),
             up = cross(along, across), centre = shape.axis(ray, s);
  std::vector<std::array<double, 2>> points;
  const int n = 400;
  for (int i = 0; i < 4 * n; ++i) {
    const double t = -1 + 2.0 * (i % n) / n;
    const double square[4][2] = {{t, -1}, {1, t}, {-t, 1}, {-1, -t}};
    const double *p = square[i / n];
    const Vec3 x = shape.point({s, axis_of(ray) + radius * p[0], 2 + radius * p[1]}) - centre;
    points.push_back({dot(x, across), dot(x, up)});
  }
  return points;
}

/// Largest distance of an outline from the axis: component 0 across, 1 up.
double half_extent(const std::vector<std::array<double, 2>> &points, int component) {
  double most = 0;
  for (const auto &p : points)
    most = std::max(most, std::abs(p[component]));
  return most;
}

struct Moments {
  double yy = 0, zz = 0, yz = 0; ///< integrals of z^2, y^2 and yz over the inside, mm4
};
Moments moments(const std::vector<std::array<double, 2>> &p) { // of a polygon, by Green's theorem
  Moments m;
  for (std::size_t i = 0; i < p.size(); ++i) {
    const auto &a = p[i], &b = p[(i + 1) % p.size()];
    const double turn = a[0] * b[1] - b[0] * a[1];
    m.yy += turn * (a[1] * a[1] + a[1] * b[1] + b[1] * b[1]) / 12;
    m.zz += turn * (a[0] * a[0] + a[0] * b[0] + b[0] * b[0]) / 12;
    m.yz += turn * (a[0] * b[1] + 2 * a[0] * a[1] + 2 * b[0] * b[1] + b[0] * a[1]) / 24;
  }
  return m;
}

InsoleMaterial material(const char *name, MaterialLaw law, double e) {
  InsoleMaterial m;
  m.name = name;
  m.law = law;
  m.e = e;
  m.nu = 0.2;
  return m;
}

Design design(double fit, const InsoleMaterial &base, double base_thickness = 5) {
  Design d;
  d.fit = fit;
  d.layers = {{LayerRole::sole, 8, material("sole", MaterialLaw::foam, 4), 1000, -1000},
              {LayerRole::base, base_thickness, base, 1000, -1000},
              {LayerRole::cover, 3, material("cover", MaterialLaw::foam, 0.6), 1000, -1000}};
  return d;
}
Design foam_design(double fit = 0) {
  return design(fit, material("base", MaterialLaw::foam, 1.2));
}
Design shell_design() {
  return design(1, material("shell", MaterialLaw::solid, 1500), 2);
}

SupportElement element(SupportKind kind) {
  SupportElement e;
  e.kind = kind;
  e.material = material("added", MaterialLaw::foam, 2);
  return e;
}

/// Logical (s, b) under a ray whose skin lies `behind` mm proximal of the skin under its head.
double station_behind(const FootShape &shape, double b, double behind) {
  const double head = shape.skin(head_station, b)[0];
  double low = 0, high = head_station;
  for (int i = 0; i < 60; ++i) {
    const double middle = (low + high) / 2;
    (head - shape.skin(middle, b)[0] > behind ? low : high) = middle;
  }
  return low;
}

double thickness(const InsoleShape &insole, double s, double b, double top, double bottom) {
  return insole.point({s, b, top})[2] - insole.point({s, b, bottom})[2];
}

} // namespace

TEST_CASE("A metatarsal's shaft is the tube that was asked for, whatever its inclination", "[shapes]") {
  const Forefoot foot = sample_foot();
  const FootShape shape(foot);
  for (int ray = 1; ray <= 5; ++ray) {
    INFO("ray " << ray);
    // The cortex is thickest from 0.30 to 0.62 of the length, the shaft's width and height hold from 0.45 to
    // 0.55: fraction 0.5 at station 2 + 14 / 18.
    const double s = 2 + 14.0 / 18;
    const Ray &r = foot.rays[ray - 1];
    const auto outside = outline(shape, ray, s, cortex_radius), inside = outline(shape, ray, s, core_radius);
    const double half_width = half_extent(outside, 0), half_height = half_extent(outside, 1),
                 canal_width = half_extent(inside, 0), canal_height = half_extent(inside, 1);
    CHECK(2 * half_width == Approx(r.shaft_width).epsilon(0.01));
    CHECK(2 * half_height == Approx(r.shaft_height).epsilon(0.01));
    CHECK(half_width - canal_width == Approx(r.cortex).epsilon(0.02));
    CHECK(half_height - canal_height == Approx(r.cortex).epsilon(0.02));
    const Moments all = moments(outside), canal = moments(inside);
    // An elliptic tube: I = pi/64 (b h^3 - b_i h_i^3) (handbook), no product of inertia about its axes.
    const double b = r.shaft_width, h = r.shaft_height, bi = b - 2 * r.cortex, hi = h - 2 * r.cortex;
    CHECK(all.yy - canal.yy == Approx(pi / 64 * (b * h * h * h - bi * hi * hi * hi)).epsilon(0.02));
    CHECK(all.zz - canal.zz == Approx(pi / 64 * (h * b * b * b - hi * bi * bi * bi)).epsilon(0.02));
    CHECK(std::abs(all.yz - canal.yz) < 0.01 * (all.zz - canal.zz));
  }
}

TEST_CASE("A pad has its height at its crest and nothing at its edge", "[shapes]") {
  const Forefoot foot = sample_foot();
  const FootShape shape(foot);
  SupportElement pad = element(SupportKind::pad);
  pad.height = 6;
  pad.length = 40;
  pad.width = 30;
  pad.behind_heads = 8;
  Design with = foam_design();
  with.support = {pad};
  const InsoleShape insole(with, shape);
  // A teardrop's crest lies a quarter of its length behind its distal edge.
  CHECK(pad.crest_behind_heads() == 18);
  const double b = axis_of(2), middle = station_behind(shape, b, 18);
  CHECK(insole.rise(middle, b) == Approx(6).epsilon(0.01));
  CHECK(insole.rise(station_behind(shape, b, 7.9), b) == 0);
  CHECK(insole.rise(station_behind(shape, b, 48.1), b) == 0);
  CHECK(insole.rise(middle, axis_of(4)) == 0); // 27 mm and more beside it
  // Halfway to either edge (r = 1/2) h (1 - r^2) has 3/4 of its height.
  CHECK(insole.rise(station_behind(shape, b, 8 + 5), b) == Approx(6 * 0.75).epsilon(0.01));
  CHECK(insole.rise(station_behind(shape, b, 18 + 15), b) == Approx(6 * 0.75).epsilon(0.01));
  // Its own material just under the cover, the base's below; the cover keeps its thickness.
  const auto made_of = [&](double d) { return insole.materials()[insole.material_at({middle, b, d})].name; };
  CHECK(made_of(-1.5) == "cover");
  CHECK(made_of(-2.1) == "added");
  CHECK(made_of(-3.5) == "base");
  CHECK(made_of(-4.5) == "sole");
  CHECK(thickness(insole, middle, b, -1, -2) == Approx(3));
  CHECK(thickness(insole, middle, b, -2, -4) == Approx(5 + 6).epsilon(0.01));
}

TEST_CASE("Support elements have the volume of their stated profiles", "[shapes]") {
  // Volume of what is added, over the plan, by the midpoint rule in (s, b) against the closed forms:
  // h (1 - r^2) over two half ellipses that meet at the crest: pi h w l / 8, wherever the crest is.
  const Forefoot foot = sample_foot();
  const FootShape shape(foot);
  const auto volume = [&](const SupportElement &e) {
    Design with = foam_design();
    with.support = {e};
    const InsoleShape insole(with, shape);
    constexpr int n = 400;
    const double ds = 8.0 / n, db = 10.0 / n;
    double sum = 0;
    for (int i = 0; i < n; ++i)
      for (int j = 0; j < n; ++j) {
        const double s = (i + 0.5) * ds, b = (j + 0.5) * db, h = 1e-4;
        const Vec3 along = shape.skin(s + h, b) - shape.skin(s - h, b),
                   across = shape.skin(s, b + h) - shape.skin(s, b - h);
        sum +=
            insole.rise(s, b) * std::abs(along[0] * across[1] - along[1] * across[0]) / (4 * h * h) * ds * db;
      }
    return sum;
  };
  SupportElement pad = element(SupportKind::pad);
  pad.ray = 3;
  pad.height = 6;
  pad.length = 40;
  pad.width = 30;
  pad.behind_heads = 6;
  for (const PadProfile profile : {PadProfile::teardrop, PadProfile::dome}) {
    pad.profile = profile;
    CHECK(volume(pad) ==
          Approx(pi * 6 * 30 * 40 / 8).epsilon(0.02)); // across, a pad follows its ray: within 2 %
  }
  // A plateau with a U cut out of it: at the head's centre nothing, beside the U its whole height.
  SupportElement u = element(SupportKind::u_cut_out);
  u.ray = 3;
  u.height = 5;
  u.length = 40;
  u.width = 60;
  u.radius = 8;
  Design with = foam_design();
  with.support = {u};
  const InsoleShape insole(with, shape);
  const double b = axis_of(3);
  CHECK(insole.rise(head_station, b) == 0);
  CHECK(insole.rise(station_behind(shape, b, 20), b) == Approx(5));
  CHECK(insole.rise(station_behind(shape, b, 41), b) == 0);
  CHECK(insole.rise(stations, b) == 0); // open to the toe
}

TEST_CASE("A shoe's sole bends as it was asked to at the ball", "[shapes]") {
  // Beam theory: a strip of 8 x 90 mm, E = 100 MPa, bent over 60 mm: E I / L = 100 * 90 * 512 / 12 / 60 N mm/rad.
  Shoe shoe;
  shoe.shank_from = 100; // none in the bent part
  const double ei = 100.0 * 90 * 8 * 8 * 8 / 12;
  CHECK(bending_test(shoe, 8, 100, 0, 90) == Approx(ei / 60 * pi / 180 / 1000));
  shoe.shank_from = 15;
  shoe.shank_e = 300; // over 25 of the 60 mm the sole is four times as stiff
  CHECK(bending_test(shoe, 8, 100, 0, 90) == Approx(ei / (35 + 25 / 4.0) * pi / 180 / 1000));
  shoe.ball_stiffness = 0.6;
  const double along = along_modulus(shoe, 8, 4, 90);
  CHECK(bending_test(shoe, 8, 4, along, 90) == Approx(0.6).epsilon(1e-6));
}

TEST_CASE("A relief takes its depth from the base and stops above the sole", "[shapes]") {
  const Forefoot foot = sample_foot();
  const FootShape shape(foot);
  SupportElement relief = element(SupportKind::relief);
  relief.ray = 3;
  relief.height = 3;
  relief.radius = 12;
  for (const double base : {5.0, 3.0, 0.5}) {
    INFO("base " << base);
    Design with = design(0, material("base", MaterialLaw::foam, 1), base);
    with.support = {relief};
    const InsoleShape insole(with, shape);
    const double b = axis_of(3);
    // 0.8 mm of the base are left; a base that has not so much is not raised either.
    const double taken = std::min(3.0, std::max(0.0, base - 0.8));
    CHECK(insole.rise(head_station, b) == Approx(-taken).margin(1e-12));
    CHECK(thickness(insole, head_station, b, -2, -4) == Approx(base - taken));
    CHECK(insole.rise(0, b) == 0);
  }
}

TEST_CASE("A wedge is a plane through the middle of the foot; a shell is tilted by it, not thickened",
          "[shapes]") {
  const Forefoot foot = sample_foot();
  const FootShape shape(foot);
  SupportElement wedge = element(SupportKind::wedge);
  wedge.angle_deg = 4;
  Design soft = foam_design(), shell = shell_design();
  soft.support = shell.support = {wedge};
  const InsoleShape foam(soft, shape), stiff(shell, shape), plain(shell_design(), shape);
  for (const double s : {1.0, 4.0, 6.0})
    for (const double b : {0.2, 5.0, 9.8}) {
      INFO(s << ", " << b);
      const double y = shape.skin(s, b)[1] - shape.skin(head_station, 5)[1];
      CHECK(foam.rise(s, b) == Approx(std::tan(4 * deg) * y).margin(1e-9));
      CHECK(stiff.rise(s, b) == Approx(std::tan(4 * deg) * y).margin(1e-9));
      CHECK(thickness(stiff, s, b, -2, -3) == Approx(2));               // the shell
      CHECK(thickness(stiff, s, b, -3, -4) >= Approx(1).epsilon(1e-6)); // the filler under it
      CHECK(thickness(plain, s, b, -2, -3) == Approx(2));
    }
}

TEST_CASE("A bar has its height between the bevels, under all rays", "[shapes]") {
  const Forefoot foot = sample_foot();
  const FootShape shape(foot);
  SupportElement bar = element(SupportKind::bar);
  bar.height = 6;
  bar.length = 8;
  bar.behind_heads = 5;
  bar.distal_bevel = 10;
  bar.proximal_bevel = 25;
  Design with = foam_design();
  with.support = {bar};
  const InsoleShape insole(with, shape);
  for (int ray = 1; ray <= 5; ++ray) {
    INFO("ray " << ray);
    const double b = axis_of(ray);
    CHECK(insole.rise(station_behind(shape, b, 4.9), b) == 0);
    CHECK(insole.rise(station_behind(shape, b, 10), b) == Approx(3).epsilon(0.02)); // middle of the bevel
    for (const double behind : {15.0, 19.0, 23.0})
      CHECK(insole.rise(station_behind(shape, b, behind), b) == Approx(6).epsilon(0.01));
    CHECK(insole.rise(station_behind(shape, b, 48.1), b) == 0);
  }
}

TEST_CASE("A base or cover ends in a bevel, and the top comes down with it", "[shapes]") {
  const FootShape shape(sample_foot());
  // Thickness of a material over one place, from the sole up, in steps through the rows of cells.
  const auto thickness_of = [](const InsoleShape &insole, const std::string &name, const double s,
                               const double b) {
    const double step = 1.0 / 512;
    double sum = 0;
    for (double d = -1 - step / 2; d > -5; d -= step)
      if (insole.materials()[insole.material_at({s, b, d})].name == name)
        sum += thickness(insole, s, b, d + step / 2, d - step / 2);
    return sum;
  };
  Design thin_sole = foam_design(), plated = foam_design();
  thin_sole.layers.front().thickness = 1;
  plated.layers.insert(plated.layers.begin() + 1,
                       {LayerRole::plate, 1, material("plate", MaterialLaw::solid, 9000), 1000, -1000});
  for (const LayerRole ending : {LayerRole::base, LayerRole::cover})
    for (const double fit : {0.0, 1.0})
      for (Design d : {foam_design(), shell_design(), thin_sole, plated}) {
        d.fit = fit;
        const Design whole = d;
        double nominal = 0;
        std::string name;
        for (Layer &layer : d.layers)
          if (layer.role == ending) {
            nominal = layer.thickness;
            name = layer.material.name;
            layer.to_behind_heads = 8;
            layer.bevel = 12;
          }
        const InsoleShape ends(d, shape), full(whole, shape);
        for (const int ray : {2, 5}) {
          const double b = axis_of(ray);
          INFO(name << ", fit " << fit << ", ray " << ray << ", layers " << d.layers.size() << ", sole "
                    << d.layers.front().thickness);
          const double s_full = station_behind(shape, b, 20.1), s_half = station_behind(shape, b, 14),
                       s_none = station_behind(shape, b, 7.9);
          // A foam base fills what the fit leaves under the skin; cover and shell are equally thick all over.
          const bool fills = ending == LayerRole::base && !d.is_moulded_shell();
          for (const auto &[s, part] : {std::pair{s_full, 1.0}, {s_half, 0.5}, {s_none, 0.0}}) {
            const double there = nominal + (fills ? fit * shape.skin(s, b)[2] : 0);
            CHECK(thickness_of(ends, name, s, b) == Approx(part * there).margin(0.02));
            CHECK(full.top(s, b) - ends.top(s, b) == Approx((1 - part) * there).margin(0.01));
            const std::string other = ending == LayerRole::base ? "cover" : "sole";
            CHECK(thickness_of(ends, other, s, b) ==
                  Approx(thickness_of(full, other, s, b)).margin(0.02)); // goes on as thick as it was
          }
        }
        for (double s = 0; s <= stations; s += 0.125) // no row of cells vanishes
          for (double b = 0; b <= 10; b += 0.25)
            for (int row = 1; row < 5; ++row)
              if (thickness(ends, s, b, -row, -row - 1) < 0.2)
                FAIL("row " << row << " at " << s << ", " << b);
      }
  // A flat insole whose base ends behind the heads: the foot comes to touch it by going down.
  Design flat = foam_design();
  flat.fit = 0;
  CHECK(InsoleShape(flat, shape).largest_overlap() >= 0);
  for (Layer &layer : flat.layers)
    if (layer.role == LayerRole::base)
      layer.to_behind_heads = 8;
  CHECK(InsoleShape(flat, shape).largest_overlap() < 0);
}

TEST_CASE("The order in which support elements are listed changes nothing", "[shapes]") {
  const Forefoot foot = sample_foot();
  const FootShape shape(foot);
  const auto made_of = [](SupportElement e, const char *name, double modulus) {
    e.material = material(name, MaterialLaw::foam, modulus);
    return e;
  };
  SupportElement pad = element(SupportKind::pad), fill = element(SupportKind::arch_fill),
                 plug = element(SupportKind::hardness), core = plug, plate = element(SupportKind::plate);
  pad.height = 6;
  pad.length = 40;
  pad.width = 30;
  pad.behind_heads = 5;
  fill.height = 4;
  plug.length = 60;
  plug.width = 40;
  plug.behind_heads = -10;
  core.length = 30;
  core.width = 20;
  core.behind_heads = 10;
  plate.height = 1;
  plate.length = 20;
  plate.behind_heads = -15;
  std::vector<SupportElement> list = {made_of(pad, "pad", 2),   made_of(pad, "hard pad", 4),
                                      made_of(fill, "fill", 1), made_of(plug, "plug", 0.5),
                                      made_of(core, "core", 3), made_of(plate, "plate", 9000)};
  std::vector<std::size_t> order = {0, 1, 2, 3, 4, 5};
  std::vector<std::string> first;
  std::size_t orders = 0;
  do {
    Design with = foam_design();
    for (const std::size_t i : order)
      with.support.push_back(list[i]);
    const InsoleShape insole(with, shape);
    std::vector<std::string> names;
    for (double s = 0.05; s < stations; s += 0.9)
      for (double b = 0.05; b < 10; b += 0.45)
        for (double d = -3.95; d < -2; d += 0.25)
          names.push_back(insole.materials()[insole.material_at({s, b, d})].name);
    if (orders++ == 0)
      first = names;
    REQUIRE(names == first);
  } while (std::next_permutation(order.begin(), order.end()));
  CHECK(orders == 720);

  // Under ray 2, 25 mm behind its head, from the cover down: pads, the stiffer one lower, the fill, the base,
  // which is the core's material there, not the plug's around it; in the row of the plate, which ends before, too.
  Design with = foam_design();
  with.support = list;
  const InsoleShape insole(with, shape);
  const double b = axis_of(2), s = station_behind(shape, b, 25);
  std::vector<std::string> down;
  for (double d = -2.001; d > -4; d -= 0.002)
    if (const std::string name = insole.materials()[insole.material_at({s, b, d})].name;
        down.empty() || down.back() != name)
      down.push_back(name);
  CHECK(down == std::vector<std::string>{"pad", "hard pad", "fill", "core"});
  CHECK(insole.materials()[insole.material_at({station_behind(shape, b, -5), b, -2.5})].name == "plug");
}

TEST_CASE("The line of the heads runs through all five: under a ray, places count from its own head",
          "[shapes]") {
  const FootShape shape(sample_foot());
  for (int ray = 1; ray <= 5; ++ray)
    for (double s = 0; s <= stations; s += 0.5) {
      INFO("ray " << ray << ", s " << s);
      const double behind = shape.axis(ray, head_station)[0] - shape.axis(ray, s)[0]; // its own head
      CHECK(shape.behind_heads(s, axis_of(ray)) == Approx(behind).margin(1e-9));
    }
}

TEST_CASE("The plan under support elements reaches to their edges, whatever their height there", "[shapes]") {
  const Forefoot foot = sample_foot();
  const FootShape shape(foot);
  const auto share = [&](const std::vector<SupportElement> &support) { // of the points that count as under it
    Design with = foam_design();
    with.support = support;
    const InsoleShape insole(with, shape);
    int under = 0, all = 0;
    for (double s = 0.05; s < stations; s += 0.1)
      for (double b = 0.05; b < 10; b += 0.1, ++all)
        under += insole.under_support(s, b);
    CHECK(insole.has_counted_support() == (under > 0));
    return double(under) / all;
  };
  SupportElement pad = element(SupportKind::pad), flat = pad, wedge = element(SupportKind::wedge),
                 plate = element(SupportKind::plate), region = element(SupportKind::hardness);
  pad.height = 6;
  pad.length = 40;
  pad.width = 30;
  pad.behind_heads = 8;
  flat = pad;
  flat.height = 0.5;
  wedge.angle_deg = 4;
  plate.height = 1;
  plate.length = 200;
  plate.behind_heads = -80;
  region.length = region.width = 30;
  CHECK(share({pad}) > 0.03);
  CHECK(share({flat}) == share({pad}));
  CHECK(share({region}) > 0.03);
  CHECK(share({wedge}) == 0);
  CHECK(share({plate}) == 0);
  CHECK(share({wedge, pad, plate}) == share({pad}));
}

TEST_CASE("Toe statics: the flexor balances the toe about its joint", "[shapes]") {
  // Source: equilibrium of the toe cut free at the joint (approach of Stokes 1979; Gross & Bunch 1989).
  const Forefoot foot = sample_foot();
  Activity activity;
  activity.force_bw = 1.0;
  activity.toe_share = 0.2;
  double total = 0, asked = 0, pulled = 0;
  for (int ray = 1; ray <= 5; ++ray) {
    const ToeStatics toe = toe_statics(foot, activity, ray);
    const Ray &r = foot.rays[ray - 1];
    asked +=
        toe.load * r.toe_lever / r.flexor_lever; // of all flexors together, shared as the tendons are strong
    pulled += toe.flexor;
    total += toe.load;
  }
  CHECK(pulled == Approx(asked));
  CHECK(toe_statics(foot, activity, 1).flexor == Approx(foot.rays[0].flexor_share * asked));
  CHECK(total == Approx(0.2 * 70 * 9.80665)); // a fifth of the body's weight, 70 kg
  const double alone = toe_statics(foot, activity, 2).flexor;
  activity.flexor_effort = 1.5;
  CHECK(toe_statics(foot, activity, 2).flexor == Approx(1.5 * alone));
  activity.flexors = false;
  CHECK(toe_statics(foot, activity, 1).flexor == 0);
}

TEST_CASE("The insole goes on under the toes, as far as its layers do", "[shapes]") {
  // Plane geometry, and springs in series: thickness over modulus.
  const FootShape shape(sample_foot());
  Design d = foam_design(1); // 8 mm of 4 MPa, 5 of 1.2, 3 of 0.6; the mould ends at the heads
  const double whole = 8 / 4.0 + 5 / 1.2 + 3 / 0.6;
  CHECK(InsoleShape(d, shape).toe_bed(1).height == Approx(0).margin(1e-9));
  CHECK(InsoleShape(d, shape).toe_bed(4).give == Approx(whole));
  d.layers[1].to_behind_heads = 8; // a base of three quarters' length
  for (int ray = 1; ray <= 5; ++ray) {
    CHECK(InsoleShape(d, shape).toe_bed(ray).height == Approx(-5));
    CHECK(InsoleShape(d, shape).toe_bed(ray).give == Approx(whole - 5 / 1.2));
  }
  d.layers[1].to_behind_heads =
      -30; // behind the toes, whose levers are 26 to 38 mm: on its bevel under the small one
  CHECK(InsoleShape(d, shape).toe_bed(1).height == Approx(-5));
  CHECK(InsoleShape(d, shape).toe_bed(5).height > -5);
  CHECK(InsoleShape(d, shape).toe_bed(5).height < 0);
  d = foam_design();
  d.support = {element(SupportKind::first_ray_extension)};
  d.support[0].height = 3;
  d.support[0].behind_heads = 20;
  CHECK(InsoleShape(d, shape).toe_bed(1).height == Approx(3));
  CHECK(InsoleShape(d, shape).toe_bed(2).height == Approx(0).margin(1e-9));
  d.support = {element(SupportKind::wedge)};
  d.support[0].angle_deg = 4;
  CHECK(InsoleShape(d, shape).toe_bed(1).height > 0);
  CHECK(InsoleShape(d, shape).toe_bed(5).height < 0);
  d.support = {element(SupportKind::pad)}; // ends behind its head
  d.support[0].height = 6;
  d.support[0].length = 60;
  d.support[0].width = 50;
  d.support[0].behind_heads = 8;
  CHECK(InsoleShape(d, shape).toe_bed(2).height == Approx(0).margin(1e-9));
  // A rocker of 15 degrees keeps the toe in line with its metatarsal until the heel has risen so far.
  Activity activity;
  d.shoe.kind = "rocker";
  d.shoe.rocker_deg = 15;
  for (const auto &[rise, rolled] : {std::pair{8.0, 8.0}, {22.0, 15.0}, {0.0, 0.0}}) {
    activity.heel_rise_deg = rise;
    CHECK(toe_support(InsoleShape(d, shape), activity, 1).height ==
          Approx(-sample_foot().rays[0].toe_lever * std::sin(rolled * pi / 180)).margin(1e-9));
  }
}

TEST_CASE("A thick cortex is kept, as long as a canal is left", "[shapes]") {
  Forefoot foot = sample_foot();
  for (Ray &ray : foot.rays) // thinnest shaft but for a canal of 1 mm
    ray.cortex = (std::min(ray.shaft_width, ray.shaft_height) - 1) / 2;
  const FootShape shape(foot);
  for (int ray = 1; ray <= 5; ++ray) {
    INFO("ray " << ray);
    const Ray &r = foot.rays[ray - 1];
    const double s = 2 + 14.0 / 18;
    const double half_width = half_extent(outline(shape, ray, s, cortex_radius), 0),
                 canal_width = half_extent(outline(shape, ray, s, core_radius), 0);
    CHECK(half_width - canal_width == Approx(r.cortex).epsilon(0.02));
  }
}

TEST_CASE("Tissue under a head is as thick as measured, whatever the ray's inclination", "[shapes]") {
  for (const double steeper : {0.0, 15.0}) {
    Forefoot foot = sample_foot();
    for (Ray &ray : foot.rays)
      ray.declination_deg += steeper;
    const FootShape shape(foot);
    for (int ray = 1; ray <= 5; ++ray) {
      INFO("ray " << ray << ", steeper by " << steeper);
      const double bone = shape.point({double(head_station), axis_of(ray), 2 - cortex_radius})[2];
      const double skin = shape.point({double(head_station), axis_of(ray), 0})[2];
      CHECK(bone - skin == Approx(foot.rays[ray - 1].tissue_under_head).epsilon(0.005));
    }
  }
}

TEST_CASE("Ties pull at the middle of the head", "[shapes]") {
  const Forefoot foot = sample_foot();
  const FootShape shape(foot);
  const InsoleShape insole(foam_design(), shape);
  const Problem problem = forefoot_problem(foot, shape, insole, Activity(), Settings(), CoarseMesh());
  for (int ray = 1; ray <= 5; ++ray) {
    INFO("ray " << ray);
    double sum = 0, moment = 0, before = shape.distance(ray, head_station - 1);
    const int n = 2000;
    for (int i = 0; i < n; ++i) { // along the bone, slice by slice of its section's area
      const double s = head_station - 1 + (i + 0.5) * (pole_station - head_station + 1) / n;
      const double end = shape.distance(ray, s + 0.5 * (pole_station - head_station + 1) / n);
      const auto section = shape.section(ray, s);
      const double weight = problem.ties[ray - 1].region({s, axis_of(ray), 2}, tag_trabecular) *
                            section.half_width * section.half_height * (end - before);
      sum += weight;
      moment += weight * (0.5 * (before + end) - foot.rays[ray - 1].length);
      before = end;
    }
    // The bone is thicker behind the middle than at the pole.
    CHECK(std::abs(moment / sum) < 0.01 * foot.rays[ray - 1].length);
  }
}

TEST_CASE("The force's line passes through the centre of the published loads", "[shapes]") {
  // Head loads of 104 healthy adults (computed from public measurements): 25, 30, 21.5, 14, 9 %; heads 25, 0, -16,
  // -31.5 and -46.5 mm medial of the second; toes 0.7, 0.12, 0.08, 0.06, 0.04 of theirs. By hand: heads' centre
  // -578.5 / 99.5 = -5.814 mm, toes' centre 12.47 mm.
  Forefoot foot = sample_foot();
  for (Ray &ray : foot.rays)
    ray.head_medial_of_mt2 *= 271.0 / 260;
  Activity activity;
  activity.toe_share = 0;
  CHECK(force_line_medial(foot, activity) == Approx(-5.814).margin(0.002));
  activity.toe_share = 0.21;
  CHECK(force_line_medial(foot, activity) == Approx(0.79 * -5.814 + 0.21 * 12.47).margin(0.002));
  activity.line_medial = 3;
  CHECK(force_line_medial(foot, activity) == 3);
}

TEST_CASE("The ground's force has the vertical part that was asked for, and its forward part", "[shapes]") {
  Activity activity;
  activity.force_bw = 1.1;
  activity.heel_rise_deg = 20;
  activity.forward_share = 0.15;
  // The vertical in the foot frame, x distal and z dorsal: the heel up by 20 degrees leans it proximally.
  const Vec3 vertical = {-std::sin(20 * deg), 0, std::cos(20 * deg)},
             forward = {std::cos(20 * deg), 0, std::sin(20 * deg)};
  const Vec3 force = ground_force(activity, 70) * force_direction(activity);
  CHECK(dot(force, vertical) == Approx(1.1 * 70 * 9.80665));
  CHECK(dot(force, forward) == Approx(0.15 * 1.1 * 70 * 9.80665));
  CHECK(force[1] == 0);
}

TEST_CASE("The lowest place of a sole stands on the ground, whatever its rocker and the heel's rise",
          "[shapes]") {
  // A foot whose sole touches nowhere has nothing that bears it (calc).
  const Forefoot foot = sample_foot();
  const FootShape shape(foot);
  for (const double rocker : {0.0, 5.0, 15.0, 30.0})
    for (const double rise : {0.0, 8.0, 15.0, 35.0}) {
      INFO("rocker " << rocker << " deg, heel rise " << rise << " deg");
      Design design = foam_design();
      design.shoe.rocker_deg = rocker;
      design.shoe.rocker_apex = 15;
      Activity activity;
      activity.force_bw = 1;
      activity.heel_rise_deg = rise;
      const InsoleShape insole(design, shape);
      const Problem problem = forefoot_problem(foot, shape, insole, activity, Settings(), CoarseMesh());
      const auto gap = [&](const double behind) { // under MT2
        const Vec3 head = shape.skin(head_station, axis_of(2));
        return problem.ground.front().gap({head[0] - behind, head[1], insole.underside()});
      };
      double lowest = 100;
      for (double behind = -20; behind <= 60; behind += 0.1)
        lowest = std::min(lowest, gap(behind));
      CHECK(lowest == Approx(0).margin(0.02));
      CHECK(gap(60) - gap(50) == Approx(10 * std::sin(rise * deg)).margin(1e-9));
      if (rocker > rise) // it rises distal of the apex by what the heel has not risen
        CHECK(gap(-20) - gap(-10) == Approx(10 * std::sin((rocker - rise) * deg)).margin(1e-9));
    }
}

TEST_CASE("A turned base costs what the joint's mobility says", "[shapes]") {
  // Half of the mobility at `joint_moment`: moment of the base's springs about the face's centre for a turn
  // about the mediolateral axis, from the springs' traction over the face (calc, no part of the program).
  const Forefoot foot = sample_foot();
  const FootShape shape(foot);
  const InsoleShape insole(foam_design(), shape);
  const Problem problem = forefoot_problem(foot, shape, insole, Activity(), Settings(), CoarseMesh());
  for (int ray = 1; ray <= 5; ++ray) {
    INFO("ray " << ray);
    const SpringFace &spring = problem.springs[ray - 1];
    const double turn = foot.rays[ray - 1].mobility_deg / 2 * deg;
    const int n = 60;
    const double side = 2 * cortex_radius / n;
    const auto at = [&](double i, double j) {
      return shape.point({0, axis_of(ray) - cortex_radius + i * side, 2 - cortex_radius + j * side});
    };
    std::vector<std::pair<Vec3, double>> pieces; // middle, area
    Vec3 centre = {0, 0, 0};
    double area = 0;
    for (int i = 0; i < n; ++i)
      for (int j = 0; j < n; ++j) {
        const double a = norm(cross(at(i + 1, j) - at(i, j), at(i, j + 1) - at(i, j)));
        pieces.push_back({at(i + 0.5, j + 0.5), a});
        centre = centre + a * pieces.back().first;
        area += a;
      }
    centre = (1 / area) * centre;
    double moment = 0;
    for (const auto &[x, a] : pieces) {
      const Vec3 arm = x - centre, u = turn * cross({0, 1, 0}, arm);
      const double along = dot(u, spring.axis);
      const Vec3 traction =
          spring.normal * along * spring.axis + spring.tangential * (u - along * spring.axis);
      moment += a * cross(arm, traction)[1];
    }
    CHECK(moment == Approx(foot.materials.joint_moment).epsilon(0.01));
  }
}
