// What the supports hold, motion by motion, and what is left free.
#include "geometry/beam_holds.hpp"

namespace raybend {

namespace {

using Row = std::array<double, 6>; ///< work of a held motion with the six rigid motions

double product(const Row &a, const Row &b) {
  double sum = 0;
  for (int i = 0; i < 6; ++i)
    sum += a[i] * b[i];
  return sum;
}

/// Orthonormal rows; lengths are counted in `scale` so that displacements and rotations compare.
struct Span {
  double scale;
  std::vector<Row> rows;

  Row row(const Beam &beam, const double at, const int motion) const {
    Vec3 e{};
    e[motion % 3] = 1;
    Row r{};
    if (motion < 3) {
      const Vec3 arm = (1 / scale) * cross(axis_frame(beam, at).place, e);
      r = {e[0], e[1], e[2], arm[0], arm[1], arm[2]};
    } else {
      r = {0, 0, 0, e[0], e[1], e[2]};
    }
    return r;
  }
  Row rest(Row r) const {
    for (int pass = 0; pass < 2; ++pass)
      for (const Row &q : rows) {
        const double part = product(r, q);
        for (int i = 0; i < 6; ++i)
          r[i] -= part * q[i];
      }
    return r;
  }
  bool add(const Row &r) {
    Row left = rest(r);
    const double size = std::sqrt(product(left, left));
    if (size < 1e-7)
      return false;
    for (double &x : left)
      x /= size;
    rows.push_back(left);
    return true;
  }
};

Span span_of(const Beam &beam, const std::vector<Hold> &holds) {
  Span span{beam.length, {}};
  for (const Hold &h : holds)
    span.add(span.row(beam, h.at, h.motion));
  for (const BeamFoundation &f : beam.foundations)
    for (const double at : {f.from, f.to})
      span.add(span.row(beam, at, 2));
  return span;
}

} // namespace

std::string motion_words(const int motion) {
  return std::string(motion < 3 ? "displacement along " : "rotation about ") + "xyz"[motion % 3];
}

std::vector<Hold> holds_of(const Beam &beam) {
  std::vector<Hold> holds;
  for (std::size_t i = 0; i < beam.supports.size(); ++i) {
    const BeamSupport &s = beam.supports[i];
    const int number = static_cast<int>(i);
    const int all = s.kind == HoldKind::clamped || s.kind == HoldKind::soft_clamped ? 6
                    : s.kind == HoldKind::pinned                                    ? 3
                                                                                    : 0;
    for (int m = 0; m < all; ++m)
      holds.push_back({s.at, m, number, 0, 0, m == 2 ? s.settlement : 0});
    if (all == 0)
      holds.push_back({s.at, s.axis, number, s.kind == HoldKind::spring ? s.stiffness : 0,
                       s.kind == HoldKind::unilateral ? s.sign : 0, s.settlement});
  }
  return holds;
}

std::vector<Hold> gauges_for(const Beam &beam, const std::vector<Hold> &holds) {
  Span span = span_of(beam, holds);
  std::vector<Hold> gauges;
  for (int m = 0; m < 6; ++m)
    if (span.add(span.row(beam, 0, m)))
      gauges.push_back({0, m, -1, 0, 0, 0});
  return gauges;
}

LoadSum load_sum(const Beam &beam) {
  LoadSum sum;
  for (const BeamLoad &load : beam.loads) {
    if (load.kind == LoadKindOfBeam::moment) {
      sum.moment = sum.moment + load.vector;
      continue;
    }
    const auto add = [&](const double at, const Vec3 &f) {
      sum.force = sum.force + f;
      sum.moment = sum.moment + cross(axis_frame(beam, at).place, f);
    };
    if (load.kind == LoadKindOfBeam::force) {
      add(load.from, load.vector);
      continue;
    }
    constexpr int parts = 200; // two Gauss points each: exact on a straight axis
    const double step = (load.to - load.from) / parts;
    for (int i = 0; i < 2 * parts; ++i) {
      const double at = load.from + (i / 2 + 0.5 + (i % 2 - 0.5) / std::sqrt(3.0)) * step;
      add(at, step / 2 * load.share(at) * load.vector);
    }
  }
  return sum;
}

std::vector<double> concentrated_places(const Beam &beam) {
  std::vector<double> at;
  for (const BeamSupport &support : beam.supports)
    at.push_back(support.at);
  for (const BeamLoad &load : beam.loads)
    if (load.kind != LoadKindOfBeam::distributed)
      at.push_back(load.from);
  return at;
}

std::string moving_away(const Beam &beam, const std::vector<Hold> &holds) {
  const Span span = span_of(beam, holds);
  const LoadSum sum = load_sum(beam);
  Row load{};
  double size = 0;
  for (int i = 0; i < 3; ++i) {
    load[i] = sum.force[i];
    load[3 + i] = sum.moment[i] / span.scale;
  }
  for (const BeamLoad &l : beam.loads)
    size += norm(l.vector) * (l.kind == LoadKindOfBeam::distributed ? l.total_share()
                              : l.kind == LoadKindOfBeam::moment    ? 1 / span.scale
                                                                    : 1);
  const Row left = span.rest(load);
  int worst = 0;
  for (int i = 1; i < 6; ++i)
    if (std::abs(left[i]) > std::abs(left[worst]))
      worst = i;
  return std::abs(left[worst]) > 1e-9 * size ? motion_words(worst) : "";
}

} // namespace raybend
