// Where the points of one insole design are, and what they are made of.
#include "geometry/insole_shape.hpp"
#include "geometry/constants.hpp"
#include "geometry/logical_frame.hpp"
#include "geometry/over_plan.hpp"
#include "geometry/smooth_step.hpp"
#include <algorithm>
#include <stdexcept>

namespace raybend {

using namespace logical;

namespace {
constexpr double least_row = 0.8;        // mm, no row of cells is thinner
constexpr double edge_bevel = 6;         // mm over which cut edges rise (assumed)
constexpr double filler_thickness = 1.0; // mm under the lowest point of a shell, assumed
} // namespace

// The sole's material with what the shoe adds along the foot.
InsoleMaterial InsoleShape::reinforced(const Layer &sole, const double shank_e) const {
  InsoleMaterial m = sole.material;
  m.along_e = along_modulus(design_.shoe, sole.thickness, m.e, ball_width()) + shank_e;
  return m;
}

double InsoleShape::ball_width() const {
  return foot_.skin(head_station, 10)[1] - foot_.skin(head_station, 0)[1];
}

double InsoleShape::ball_stiffness() const {
  return bending_test(design_.shoe, sole_.thickness, sole_.material.e, materials_[sole_material_].along_e,
                      ball_width());
}

InsoleShape::ToeBed InsoleShape::toe_bed(const int ray) const {
  const double behind = -foot_.foot().rays[ray - 1].toe_lever, base = part_there(base_, behind),
               cover = part_there(cover_, behind), plate = has_plate_ ? part_there(plate_, behind) : 0;
  const auto give = [](const Layer &layer, const double part) {
    return part * layer.thickness / layer.material.e;
  };
  ToeBed bed;
  bed.height =
      column(stations, axis_of(ray)).rise - (1 - cover) * cover_.thickness - (1 - base) * base_.thickness;
  bed.give = give(cover_, cover) + give(base_, base) + give(sole_, 1) + (plate > 0 ? give(plate_, plate) : 0);
  return bed;
}

InsoleShape::InsoleShape(const Design &design, const FootShape &foot) : design_(design), foot_(foot) {
  for (const Layer &layer : design.layers)
    switch (layer.role) {
    case LayerRole::sole:
      sole_ = layer;
      sole_material_ = add(reinforced(layer, 0));
      shank_material_ =
          design.shoe.shank_e > 0 ? add(reinforced(layer, design.shoe.shank_e)) : sole_material_;
      break;
    case LayerRole::plate:
      plate_material_ = add(layer.material);
      has_plate_ = true;
      plate_ = layer;
      break;
    case LayerRole::base:
      base_ = layer;
      base_material_ = add(layer.material);
      break;
    case LayerRole::cover:
      cover_ = layer;
      cover_material_ = add(layer.material);
      break;
    }
  if (sole_.thickness <= 0 || base_.thickness <= 0 || cover_.thickness <= 0)
    throw std::logic_error("a design needs a sole, a base and a cover");
  for (const SupportElement &e : design.support) {
    if (e.kind == SupportKind::plate && !has_plate_) {
      has_plate_ = true;
      plate_.role = LayerRole::plate;
      plate_.thickness = e.height;
      plate_.from_behind_heads = -whole_foot; // no layer anywhere, the element's region alone
      plate_material_ = base_material_;
    }
    element_material_.push_back(e.kind == SupportKind::wedge || e.kind == SupportKind::relief ||
                                        e.kind == SupportKind::first_ray_cut_out
                                    ? base_material_
                                    : add(e.material));
    if (raises(e.kind))
      raising_.push_back(element_material_.size() - 1);
    if (e.kind == SupportKind::hardness)
      regions_.push_back(element_material_.size() - 1);
  }
  const std::vector<SupportElement> &all = design_.support;
  std::stable_sort(raising_.begin(), raising_.end(),
                   [&all](std::size_t i, std::size_t j) { return lies_above(all[i], all[j]); });
  std::stable_sort(regions_.begin(), regions_.end(),
                   [&all](std::size_t i, std::size_t j) { return counts_over(all[i], all[j]); });
  shell_ = design.is_moulded_shell() && !has_plate_; // with a plate the base fills the space down to it
  filler_material_ = shell_ ? add(filler_foam()) : base_material_;
  centre_ = foot_.skin(head_station, 5.0);
  total_ = cover_.thickness + base_.thickness + (has_plate_ ? plate_.thickness : 0) + sole_.thickness;
  if (shell_) {
    double lowest = 0; // side of the shell that a wedge lets down
    for (double s = 0; s <= stations; s += 0.5)
      for (const double b : {0.0, 10.0}) {
        double tilt = 0;
        for (const SupportElement &e : design.support)
          if (e.kind == SupportKind::wedge)
            tilt += element_rise(e, s, b);
        lowest = std::min(lowest, tilt);
      }
    total_ += filler_thickness - lowest;
  }
}

unsigned InsoleShape::add(const InsoleMaterial &m) {
  materials_.push_back(m);
  return static_cast<unsigned>(materials_.size() - 1);
}

bool InsoleShape::in_region(const SupportElement &e, double s, double b) const {
  const double behind = column(s, b).behind;
  if (behind < e.behind_heads || behind > e.behind_heads + e.length)
    return false;
  if (e.width <= 0)
    return true;
  return std::abs(off_middle(e, s, b)) <= e.width / 2;
}

bool InsoleShape::covers(const std::size_t i, const double s, const double b) const {
  const SupportElement &e = design_.support[i];
  switch (e.kind) {
  case SupportKind::wedge:
    return true;
  case SupportKind::plate:
  case SupportKind::hardness:
    return in_region(e, s, b);
  case SupportKind::pad:
  case SupportKind::bar:
  case SupportKind::arch_fill:
  case SupportKind::relief:
  case SupportKind::u_cut_out:
  case SupportKind::first_ray_cut_out:
  case SupportKind::first_ray_extension:
    return rise_by(i, s, b) != 0;
  }
  return false;
}

bool InsoleShape::has_counted_support() const {
  return std::any_of(design_.support.begin(), design_.support.end(),
                     [](const SupportElement &e) { return counts_in_plan(e.kind); });
}

bool InsoleShape::under_support(const double s, const double b) const {
  for (std::size_t i = 0; i < design_.support.size(); ++i)
    if (counts_in_plan(design_.support[i].kind) && covers(i, s, b))
      return true;
  return false;
}

// Distance of (s, b) medial of the middle of an element under one ray.
double InsoleShape::off_middle(const SupportElement &e, double s, double b) const {
  return foot_.skin(s, b)[1] - foot_.axis(e.ray, s)[1] - e.shift_medial;
}

double InsoleShape::element_rise(const SupportElement &e, double s, double b) const {
  const Vec3 p = foot_.skin(s, b);
  switch (e.kind) {
  case SupportKind::pad: { // h (1 - r^2), two half ellipses in plan that meet at the crest
    const double off = foot_.axis(e.ray, head_station)[0] - p[0] - e.crest_behind_heads(); // behind the crest
    const double front = crest_part(e.profile) * e.length;
    const double xi = off / (off < 0 ? front : e.length - front);
    const double eta = off_middle(e, s, b) / (e.width / 2);
    return e.height * std::max(0.0, 1 - xi * xi - eta * eta);
  }
  case SupportKind::bar: {
    const double behind = foot_.behind_heads(s, b) - e.behind_heads;
    double h = e.height * smooth_step(behind / std::max(e.distal_bevel, 1.0)) *
               smooth_step((e.distal_bevel + e.length + e.proximal_bevel - behind) /
                           std::max(e.proximal_bevel, 1.0));
    if (e.width > 0) {
      const double off = std::abs(off_middle(e, s, b)) - e.width / 2;
      h *= 1 - smooth_step(off / 5.0 + 0.5);
    }
    return h;
  }
  case SupportKind::arch_fill: { // highest under ray 1 at the bases, a third under ray 3, none lateral of it
    const double along = smooth_step((foot_.behind_heads(s, b) - 15) / 35);
    const double medial = smooth_step((p[1] + 25) / 25);
    return e.height * along * medial;
  }
  case SupportKind::relief: {
    const Vec3 head = foot_.axis(e.ray, head_station);
    const double dx = p[0] - head[0], dy = p[1] - head[1];
    const double r2 = (dx * dx + dy * dy) / (e.radius * e.radius);
    return r2 < 1 ? -e.height * (1 - r2) * (1 - r2) : 0;
  }
  case SupportKind::u_cut_out: { // plateau with bevelled edges but for the U round the head, open distally
    const Vec3 head = foot_.axis(e.ray, head_station);
    const double back = head[0] - p[0], across = p[1] - head[1];
    const double plateau = smooth_step((e.behind_heads + e.length - back) / edge_bevel) *
                           smooth_step((e.width / 2 - std::abs(off_middle(e, s, b))) / edge_bevel);
    const double from_middle = back < 0 ? std::abs(across) : std::hypot(back, across);
    return e.height * plateau * smooth_step((from_middle - e.radius) / edge_bevel + 1);
  }
  case SupportKind::first_ray_cut_out:
  case SupportKind::first_ray_extension: {
    const double along = smooth_step((e.behind_heads - foot_.behind_heads(s, b)) / edge_bevel + 0.5);
    const double across = smooth_step((b - 8) / 0.5 + 0.5); // b = 8 runs between rays 1 and 2
    return (e.kind == SupportKind::first_ray_cut_out ? -1 : 1) * e.height * along * across;
  }
  case SupportKind::wedge:
    return std::tan(e.angle_deg * pi / 180) * (p[1] - centre_[1]);
  case SupportKind::plate:
  case SupportKind::hardness:
    return 0;
  }
  return 0;
}

double InsoleShape::part(const LayerRole role, const double s, const double b) const {
  switch (role) {
  case LayerRole::sole:
    return 1;
  case LayerRole::plate:
    return has_plate_ ? part_there(plate_, column(s, b).behind) : 0;
  case LayerRole::base:
    return column(s, b).part_of_base;
  case LayerRole::cover:
    return column(s, b).part_of_cover;
  }
  return 0;
}

const InsoleShape::Column &InsoleShape::column(const double s, const double b) const {
  const auto [place, is_new] = columns_.try_emplace({s, b});
  if (is_new)
    place->second = new_column(s, b);
  return place->second;
}

InsoleShape::Column InsoleShape::new_column(const double s, const double b) const {
  Column c;
  c.plan = foot_.skin(s, b);
  c.behind = foot_.behind_heads(s, b);
  c.part_of_base = part_there(base_, c.behind);
  c.part_of_cover = part_there(cover_, c.behind);
  double wedges = 0, others = 0;
  for (const SupportElement &e : design_.support) {
    c.rise_of.push_back(element_rise(e, s, b));
    (e.kind == SupportKind::wedge ? wedges : others) += c.rise_of.back();
  }
  // A foam base fills what the fit leaves under the cover and carries wedges; a shell is tilted as it is. A
  // least rest of the base stays under reliefs, and under wedges the part of it that is there.
  const double fit = design_.fit * c.plan[2];
  double base = base_.thickness, tilt = wedges;
  if (!shell_) {
    base += fit;
    tilt = std::max(wedges, std::min(0.0, least_row - base));
    others = std::max(others, std::min(0.0, least_row - c.part_of_base * (base + std::min(0.0, tilt))));
    tilt *= c.part_of_base;
  } else {
    others = std::max(others, std::min(0.0, least_row - c.part_of_base * base));
  }
  c.base = c.part_of_base * base;
  c.rise = tilt + others;
  c.top = fit + c.rise - (1 - c.part_of_cover) * cover_.thickness - (base - c.base);
  c.cover_bottom = c.top - c.part_of_cover * cover_.thickness;
  c.sole_top = -total_ + sole_.thickness;
  c.base_bottom = shell_       ? c.cover_bottom - c.part_of_base * base_.thickness - others
                  : has_plate_ ? c.sole_top + plate_.thickness
                               : c.sole_top;
  c.rows = rows(c);
  return c;
}

std::array<double, 5> InsoleShape::rows(const Column &c) const {
  std::array<double, 5> level = {c.top, c.cover_bottom, c.base_bottom, c.sole_top, -total_};
  if (!shell_ && !has_plate_) // the lowest part of the base is a row of its own
    level[2] = c.sole_top + std::min(std::max(least_row, 0.35 * base_.thickness),
                                     0.5 * std::max(0.0, c.cover_bottom - c.sole_top));
  // Where layers have ended, rows reach into what lies below. They keep a fifth of their height there: between
  // the nodes of a cell a parabola through heights 1, 0, 0 falls to -1/8.
  const double half_base = std::min(base_.thickness, least_row) / 2,
               lost_base = (1 - c.part_of_base) * (base_.thickness + (shell_ ? 0 : design_.fit * c.plan[2])),
               lost_cover = (1 - c.part_of_cover) * cover_.thickness;
  std::array<double, 4> least = {std::max(std::min(cover_.thickness, least_row), 0.2 * lost_cover),
                                 std::max(half_base, 0.2 * lost_base),
                                 has_plate_ ? std::min(plate_.thickness, least_row / 2) : half_base,
                                 std::min(sole_.thickness, least_row)};
  const double needed = least[0] + least[1] + least[2] + least[3], there = level[0] - level[4];
  for (double &x : least)
    x *= std::min(1.0, there / needed);
  for (int i = 0; i < 3; ++i)
    level[i + 1] = std::min(level[i + 1], level[i] - least[i]);
  for (int i = 3; i > 0; --i)
    level[i] = std::max(level[i], level[i + 1] + least[i]);
  return level;
}

Vec3 InsoleShape::point(const Vec3 &logical) const {
  const Column &c = column(logical[0], logical[1]);
  const double row = std::clamp(-1 - logical[2], 0.0, 4.0);
  const int i = std::min(static_cast<int>(row), 3);
  const double t = row - i;
  return {c.plan[0], c.plan[1], (1 - t) * c.rows[i] + t * c.rows[i + 1]};
}

unsigned InsoleShape::sole_at(const Column &c) const {
  return c.behind > design_.shoe.shank_from ? shank_material_ : sole_material_;
}

unsigned InsoleShape::material_at(const Vec3 &logical) const {
  const double s = logical[0], b = logical[1], z = point(logical)[2];
  const Column &c = column(s, b);
  if (z > c.cover_bottom)
    return cover_material_;
  if (z < c.sole_top)
    return sole_at(c);
  if (shell_ && z < c.base_bottom)
    return filler_material_;
  const std::vector<SupportElement> &all = design_.support;
  if (has_plate_ && z < c.base_bottom) {
    for (std::size_t i = 0; i < all.size(); ++i)
      if (all[i].kind == SupportKind::plate && in_region(all[i], s, b))
        return element_material_[i];
    if (part_there(plate_, c.behind) > 0)
      return plate_material_;
    if (c.part_of_base < 0.5) // assumed
      return sole_at(c);
  } else { // what support elements add to the base lies on top of it, just under the cover
    const double depth = c.cover_bottom - z;
    double added = 0;
    for (const std::size_t i : raising_) {
      added += c.rise_of[i];
      if (depth < added)
        return element_material_[i];
    }
  }
  for (const std::size_t i : regions_)
    if (in_region(all[i], s, b))
      return element_material_[i];
  return base_material_;
}

double InsoleShape::largest_overlap() const {
  double most = -1e9;
  over_plan([&](const double s, const double b) { most = std::max(most, top(s, b) - column(s, b).plan[2]); });
  return most;
}

} // namespace raybend
