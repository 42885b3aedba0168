// One tie at a given displacement of its ends: elongation, tension, energy and their derivatives.
#include "solver/operator/tie_pull.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

/// x / (1 - |x|) - x, its integral and its derivative; from |x| = 0.9 on along the tangent, so that every x is
/// admissible.
struct Stop {
  double energy, force, stiffness;
};
Stop stop_pull(const double x) {
  const double a = std::min(std::abs(x), 0.9), beyond = std::abs(x) - a;
  const double stiffness = 1 / ((1 - a) * (1 - a)) - 1, force = a / (1 - a) - a,
               energy = -std::log1p(-a) - a - a * a / 2;
  return {energy + force * beyond + stiffness / 2 * beyond * beyond,
          (x < 0 ? -1 : 1) * (force + stiffness * beyond), stiffness};
}

/// Tie, joint and bed in balance at an elongation e without winding and a bed that is higher than the toe's tip by s.
struct Wound {
  double tension = 0, push = 0, energy = 0; // T, N; what of the energy depends on e and s, N mm
  bool taut = false;
  double ee = 0, es = 0, ss = 0; // second derivatives of the energy
};

// The balance of moments about the joint, w T + c + j x - b <s - x>_+ = 0, grows with x and bends where the tie
// gets taut and where the toe leaves the bed: its signs there say on which sides of them x lies.
Wound wound(const Tie &tie, const double load, const double e, const double s, const unsigned level) {
  const Toe &toe = *tie.toe;
  const double w = toe.lever, at_rest = load * tie.force + tie.stiffness * e,
               c = load * (toe.load - w * of_level(toe.tension, level));
  const auto tension = [&](const double x) { return std::max(0.0, at_rest + tie.stiffness * w * x); };
  const auto balance = [&](const double x) {
    return w * tension(x) + c + toe.joint * x - toe.bed * std::max(0.0, s - x);
  };
  Wound wound;
  wound.taut = tie.stiffness > 0 ? balance(-at_rest / (tie.stiffness * w)) < 0 : at_rest > 0;
  const bool on_bed = balance(s) > 0;
  const double k = wound.taut ? tie.stiffness : 0, b = on_bed ? toe.bed : 0, all = w * w * k + toe.joint + b,
               x = (b * s - c - (wound.taut ? w * at_rest : 0)) / all;
  wound.tension = tension(x);
  wound.push = b * (s - x);
  wound.energy =
      (tie.stiffness > 0 ? wound.tension * wound.tension / (2 * tie.stiffness) : at_rest * (e + w * x)) +
      c * x + toe.joint / 2 * x * x + b / 2 * (s - x) * (s - x);
  wound.ee = k * (toe.joint + b) / all;
  wound.es = k * w * b / all;
  wound.ss = b * (w * w * k + toe.joint) / all;
  return wound;
}

} // namespace

std::vector<Vec3> tie_axes(const Tie &tie) {
  std::vector<Vec3> axes = {tie.direction};
  if (tie.length > 0)
    axes = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  if (tie.toe)
    axes.push_back(tie.toe->up);
  return axes;
}

TiePull tie_pull(const Tie &tie, const double load, const std::array<double, TiePull::most_axes> &d,
                 const unsigned level) {
  TiePull p;
  double span = 0;
  std::array<double, 3> pointing{}; // de / dd
  const int axes = tie.length > 0 ? 3 : 1;
  if (tie.length > 0) {
    const Vec3 now = tie.length * tie.direction + Vec3{d[0], d[1], d[2]};
    span = norm(now);
    // |now| - L without the cancellation of two nearly equal lengths
    p.elongation = (2 * tie.length * dot(tie.direction, Vec3{d[0], d[1], d[2]}) + d[0] * d[0] + d[1] * d[1] +
                    d[2] * d[2]) /
                   (span + tie.length);
    for (int i = 0; i < 3; ++i)
      pointing[i] = now[i] / span;
  } else {
    p.elongation = d[0];
    pointing[0] = 1;
  }
  double along = 0;
  if (tie.toe) {
    const double q = d[axes], dead = load * tie.toe->load;
    const Wound w =
        wound(tie, load, p.elongation, load * (tie.toe->raised + of_level(tie.toe->head, level)) - q, level);
    p.taut = w.taut;
    p.tension = w.tension;
    p.toe = w.push - dead;
    p.energy = w.energy + dead * q;
    along = w.ee;
    p.force[axes] = -p.toe;
    p.stiffness[axes][axes] = w.ss;
    for (int i = 0; i < axes; ++i)
      p.stiffness[i][axes] = p.stiffness[axes][i] = -w.es * pointing[i];
  } else {
    const double stretched = load * tie.force + tie.stiffness * p.elongation;
    p.taut = stretched > 0;
    p.tension = std::max(stretched, 0.0);
    if (tie.stiffness > 0)
      p.energy = p.taut ? stretched * stretched / (2 * tie.stiffness) : 0;
    else
      p.energy = load * tie.force * p.elongation;
    along = p.taut ? tie.stiffness : 0;
  }
  p.tension += load * tie.constant;
  p.energy += load * tie.constant * p.elongation;
  if (tie.stop > 0) {
    const Stop stop = stop_pull(p.elongation / tie.stop);
    p.energy += tie.stop_force * tie.stop * stop.energy;
    p.tension += tie.stop_force * stop.force;
    along += tie.stop_force / tie.stop * stop.stiffness;
  }
  const double across = tie.length > 0 ? p.tension / span : 0;
  for (int i = 0; i < axes; ++i) {
    p.force[i] = p.tension * pointing[i];
    for (int j = 0; j < axes; ++j)
      p.stiffness[i][j] = (along - across) * pointing[i] * pointing[j] + (i == j ? across : 0.0);
  }
  return p;
}

} // namespace raybend
