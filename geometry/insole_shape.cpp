#include "geometry/insole_shape.hpp"
#include "geometry/constants.hpp"
#include "geometry/logical_frame.hpp"
#include "geometry/smooth_step.hpp"
#include <algorithm>
#include <stdexcept>

namespace raybend {

using namespace logical;

namespace {
constexpr double least_row = 0.8;        // mm, no row of cells is thinner
constexpr double filler_thickness = 1.0; // mm under the lowest point of a shell, assumed
} // namespace

InsoleShape::InsoleShape(const Design &design, const FootShape &foot) : design_(design), foot_(foot) {
  for (const Layer &layer : design.layers)
    switch (layer.role) {
    case LayerRole::sole:
      sole_ = layer.thickness;
      sole_material_ = add(layer.material);
      break;
    case LayerRole::plate:
      plate_ = layer.thickness;
      plate_material_ = add(layer.material);
      has_plate_ = true;
      plate_layer_ = layer;
      break;
    case LayerRole::base:
      base_ = layer.thickness;
      base_layer_ = layer;
      base_material_ = add(layer.material);
      break;
    case LayerRole::cover:
      cover_ = layer.thickness;
      cover_layer_ = layer;
      cover_material_ = add(layer.material);
      break;
    }
  if (sole_ <= 0 || base_ <= 0 || cover_ <= 0)
    throw std::logic_error("a design needs a sole, a base and a cover");
  for (const SupportElement &e : design.support) {
    if (e.kind == SupportKind::plate && !has_plate_) {
      plate_ = e.height;
      has_plate_ = true;
      plate_layer_.from_behind_heads = -1000; // no layer anywhere, the element's region alone
      plate_material_ = base_material_;
    }
    element_material_.push_back(
        e.kind == SupportKind::wedge || e.kind == SupportKind::relief ? base_material_ : add(e.material));
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
  total_ = cover_ + base_ + (has_plate_ ? plate_ : 0) + sole_;
  if (shell_) {
    double lowest = 0; // side of the shell that a wedge lets down
    for (double s = 0; s <= stations; s += 0.5)
      for (const double b : {0.0, 10.0})
        lowest = std::min(lowest, tilt(s, b));
    total_ += filler_thickness - lowest;
  }
}

unsigned InsoleShape::add(const InsoleMaterial &m) {
  materials_.push_back(m);
  return static_cast<unsigned>(materials_.size() - 1);
}

bool InsoleShape::in_region(const SupportElement &e, double s, double b) const {
  const double behind = foot_.behind_heads(s, b);
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
    return element_rise(e, s, b) != 0;
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
  case SupportKind::pad: { // dome with edges that run out flat: h (1 - r^2)^2
    const Vec3 head = foot_.axis(e.ray, head_station);
    const double xi = (p[0] - (head[0] - e.behind_heads - e.length / 2)) / (e.length / 2);
    const double eta = off_middle(e, s, b) / (e.width / 2);
    const double r2 = xi * xi + eta * eta;
    return r2 < 1 ? e.height * (1 - r2) * (1 - r2) : 0;
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
  case SupportKind::wedge:
    return std::tan(e.angle_deg * pi / 180) * (p[1] - centre_[1]);
  case SupportKind::plate:
  case SupportKind::hardness:
    return 0;
  }
  return 0;
}

double InsoleShape::part(const LayerRole role, const double s, const double b) const {
  if (role == LayerRole::sole)
    return 1;
  const Layer &layer = role == LayerRole::base    ? base_layer_
                       : role == LayerRole::cover ? cover_layer_
                                                  : plate_layer_;
  const double behind = foot_.behind_heads(s, b), from_front = behind - layer.to_behind_heads,
               from_back = layer.from_behind_heads - behind;
  if (role == LayerRole::plate)
    return has_plate_ && from_front >= 0 && from_back >= 0 ? 1 : 0;
  return smooth_step(from_front / layer.bevel) * smooth_step(from_back / layer.bevel);
}

double InsoleShape::full_base(double s, double b) const {
  return shell_ ? base_ : base_ + design_.fit * foot_.skin(s, b)[2];
}

double InsoleShape::full_tilt(double s, double b) const {
  double sum = 0;
  for (const SupportElement &e : design_.support)
    if (e.kind == SupportKind::wedge)
      sum += element_rise(e, s, b);
  return shell_ ? sum : std::max(sum, std::min(0.0, least_row - full_base(s, b)));
}

double InsoleShape::tilt(double s, double b) const {
  return (shell_ ? 1 : part(LayerRole::base, s, b)) * full_tilt(s, b);
}

double InsoleShape::added(double s, double b) const {
  double sum = 0;
  for (const SupportElement &e : design_.support)
    if (e.kind != SupportKind::wedge)
      sum += element_rise(e, s, b);
  if (sum >= 0)
    return sum;
  // What a relief can take from the base here.
  const double base = full_base(s, b) + (shell_ ? 0 : std::min(0.0, full_tilt(s, b)));
  return std::max(sum, std::min(0.0, least_row - part(LayerRole::base, s, b) * base));
}

double InsoleShape::top(double s, double b) const {
  const double ended =
      (1 - part(LayerRole::cover, s, b)) * cover_ + (1 - part(LayerRole::base, s, b)) * full_base(s, b);
  return design_.fit * foot_.skin(s, b)[2] - ended + rise(s, b);
}

InsoleShape::Heights InsoleShape::heights(double s, double b) const {
  Heights h;
  h.top = top(s, b);
  h.cover_bottom = h.top - part(LayerRole::cover, s, b) * cover_;
  h.sole_top = -total_ + sole_;
  if (shell_)
    h.base_bottom = h.cover_bottom - part(LayerRole::base, s, b) * base_ - added(s, b);
  else
    h.base_bottom = h.sole_top + (has_plate_ ? plate_ : 0);
  return h;
}

std::array<double, 5> InsoleShape::rows(double s, double b) const {
  const Heights h = heights(s, b);
  std::array<double, 5> level = {h.top, h.cover_bottom, h.base_bottom, h.sole_top, -total_};
  if (!shell_ && !has_plate_) // the lowest part of the base is a row of its own
    level[2] = h.sole_top +
               std::min(std::max(least_row, 0.35 * base_), 0.5 * std::max(0.0, h.cover_bottom - h.sole_top));
  // Where layers have ended, rows reach into what lies below.
  std::array<double, 4> least = {std::min(cover_, least_row), std::min(base_, least_row) / 2,
                                 has_plate_ ? std::min(plate_, least_row / 2)
                                            : std::min(base_, least_row) / 2,
                                 std::min(sole_, least_row)};
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
  const double s = logical[0], b = logical[1], d = logical[2];
  const std::array<double, 5> level = rows(s, b);
  const double row = std::clamp(-1 - d, 0.0, 4.0);
  const int i = std::min(static_cast<int>(row), 3);
  const double t = row - i;
  const Vec3 plan = foot_.skin(s, b);
  return {plan[0], plan[1], (1 - t) * level[i] + t * level[i + 1]};
}

unsigned InsoleShape::material_at(const Vec3 &logical) const {
  const double s = logical[0], b = logical[1], z = point(logical)[2];
  const Heights h = heights(s, b);
  if (z > h.cover_bottom)
    return cover_material_;
  if (z < h.sole_top)
    return sole_material_;
  if (shell_ && z < h.base_bottom)
    return filler_material_;
  const std::vector<SupportElement> &all = design_.support;
  if (has_plate_ && z < h.base_bottom) {
    for (std::size_t i = 0; i < all.size(); ++i)
      if (all[i].kind == SupportKind::plate && in_region(all[i], s, b))
        return element_material_[i];
    if (part(LayerRole::plate, s, b) > 0)
      return plate_material_;
  } else { // what support elements add to the base lies on top of it, just under the cover
    const double depth = h.cover_bottom - z;
    double added = 0;
    for (const std::size_t i : raising_) {
      added += element_rise(all[i], s, b);
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
  for (double s = 0; s <= stations; s += 0.125)
    for (double b = 0; b <= 10; b += 0.125)
      most = std::max(most, top(s, b) - foot_.skin(s, b)[2]);
  return most;
}

} // namespace raybend
