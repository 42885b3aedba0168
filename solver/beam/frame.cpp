// Beam theory along a chain of elements: equations, supports, section forces.
#include "solver/beam/frame.hpp"
#include "solver/beam/frame_element.hpp"
#include <algorithm>
#include <stdexcept>

namespace raybend {

namespace {

/// Symmetric band matrix of the chain: node i couples with i + 1 only.
class Band {
public:
  explicit Band(const unsigned n) : n_(n), a_(12 * n, 0.0) {}
  double &at(unsigned i, unsigned j) {
    if (i > j)
      std::swap(i, j);
    return a_[12 * i + (j - i)];
  }
  unsigned last(const unsigned i) const { return std::min(n_ - 1, i + 11); }

  void add_column(const unsigned i, const double factor, std::vector<double> &b) {
    for (unsigned j = i > 11 ? i - 11 : 0; j <= last(i); ++j)
      b[j] += factor * at(j, i);
  }

  void hold(const unsigned i) {
    for (unsigned j = i > 11 ? i - 11 : 0; j <= last(i); ++j)
      at(i, j) = j == i ? 1 : 0;
  }

  /// L D L^T in place, then the solution of A x = b in b. False if a pivot is not positive.
  bool solve(std::vector<double> &b) {
    std::vector<double> scale(n_);
    for (unsigned i = 0; i < n_; ++i)
      scale[i] = at(i, i);
    for (unsigned i = 0; i < n_; ++i) {
      const double d = at(i, i);
      if (!(d > 1e-13 * scale[i]))
        return false;
      for (unsigned j = i + 1; j <= last(i); ++j) {
        const double f = at(i, j) / d;
        for (unsigned k = j; k <= last(i); ++k)
          at(j, k) -= f * at(i, k);
        b[j] -= f * b[i];
      }
    }
    for (unsigned i = n_; i-- > 0;) {
      for (unsigned j = i + 1; j <= last(i); ++j)
        b[i] -= at(i, j) * b[j];
      b[i] /= at(i, i);
    }
    return true;
  }

private:
  unsigned n_;
  std::vector<double> a_;
};

std::vector<double> make_nodes(const Beam &beam, const std::vector<double> &wanted, const unsigned elements) {
  std::vector<double> must = {0, beam.length};
  const auto add = [&](const double s) { must.push_back(std::clamp(s, 0.0, beam.length)); };
  for (const double s : wanted)
    add(s);
  for (const BeamSupport &s : beam.supports)
    add(s.at);
  for (const BeamFoundation &f : beam.foundations) {
    add(f.from);
    add(f.to);
  }
  for (const BeamLoad &l : beam.loads) {
    add(l.from);
    add(l.to);
  }
  for (const SectionStep &s : beam.section.steps)
    for (const double half : {-0.5, 0.5})
      add(s.at + half * slice_length(beam));
  std::sort(must.begin(), must.end());
  std::vector<double> nodes = {0};
  const double count = beam.radius == 0 ? elements : 3 * elements;
  for (const double s : must) {
    const double gap = s - nodes.back(), from = nodes.back();
    if (gap < 1e-9 * beam.length)
      continue;
    const int parts = std::max(1, int(std::ceil(gap / beam.length * count - 1e-9)));
    for (int i = 1; i <= parts; ++i)
      nodes.push_back(from + gap * i / parts);
  }
  return nodes;
}

class Frame {
public:
  Frame(const Beam &beam, const BeamTheory theory, const std::vector<double> &wanted, const unsigned elements)
      : beam_(beam), nodes_(make_nodes(beam, wanted, elements)), load_(6 * nodes_.size(), 0.0),
        element_load_(nodes_.size()) {
    for (unsigned e = 0; e + 1 < nodes_.size(); ++e) {
      elements_.emplace_back(beam, theory, nodes_[e], nodes_[e + 1]);
      const double middle = (nodes_[e] + nodes_[e + 1]) / 2;
      Vec3 q0{}, q1{};
      for (const BeamLoad &l : beam.loads)
        if (l.kind == LoadKindOfBeam::distributed && middle > l.from && middle < l.to) {
          q0 = q0 + l.share(nodes_[e]) * l.vector;
          q1 = q1 + l.share(nodes_[e + 1]) * l.vector;
        }
      element_load_[e] = elements_[e].linear_load(q0, q1);
      const Vector12 thermal = elements_[e].thermal_load(beam);
      for (int i = 0; i < 12; ++i) {
        element_load_[e][i] += thermal[i];
        load_[6 * e + i] += element_load_[e][i];
      }
      for (const BeamFoundation &f : beam.foundations)
        if (middle > f.from && middle < f.to)
          elements_[e].add_foundation(f.modulus);
    }
    for (const BeamLoad &l : beam.loads)
      if (l.kind != LoadKindOfBeam::distributed)
        for (int c = 0; c < 3; ++c)
          load_[6 * node(l.from) + (l.kind == LoadKindOfBeam::moment ? 3 : 0) + c] += l.vector[c];
  }

  /// False if the active holds leave a motion free that loads drive.
  bool solve(const std::vector<Hold> &holds) {
    Band band(load_.size());
    for (unsigned e = 0; e < elements_.size(); ++e)
      for (int i = 0; i < 12; ++i)
        for (int j = i; j < 12; ++j)
          band.at(6 * e + i, 6 * e + j) += elements_[e].fixed[i][j];
    u_ = load_;
    for (const Hold &h : holds) {
      const unsigned i = 6 * node(h.at) + h.motion;
      if (h.stiffness > 0) {
        band.at(i, i) += h.stiffness;
        u_[i] += h.stiffness * h.moved;
      }
    }
    for (const Hold &h : holds)
      if (h.stiffness == 0 && h.moved != 0)
        band.add_column(6 * node(h.at) + h.motion, -h.moved, u_);
    for (const Hold &h : holds)
      if (h.stiffness == 0) {
        const unsigned i = 6 * node(h.at) + h.motion;
        band.hold(i);
        u_[i] = h.moved;
      }
    return band.solve(u_);
  }

  /// Displacement beyond the support's own.
  double displacement(const Hold &h) const { return u_[6 * node(h.at) + h.motion] - h.moved; }

  /// Force that a rigid hold exerts: what the elements need beyond the loads.
  double reaction(const Hold &h) const {
    if (h.stiffness > 0)
      return -h.stiffness * displacement(h);
    const unsigned n = node(h.at);
    double sum = -load_[6 * n + h.motion];
    for (const unsigned e : {n - 1, n})
      if (e < elements_.size())
        for (int j = 0; j < 12; ++j)
          sum += elements_[e].fixed[6 * (n - e) + h.motion][j] * u_[6 * e + j];
    return sum;
  }

  std::vector<FrameStation> stations() const {
    std::vector<FrameStation> out(nodes_.size());
    for (unsigned n = 0; n < nodes_.size(); ++n) {
      FrameStation &p = out[n];
      p.s = nodes_[n];
      for (int c = 0; c < 3; ++c) {
        p.u[c] = u_[6 * n + c];
        p.rotation[c] = u_[6 * n + 3 + c];
      }
      const unsigned e = n == 0 ? 0 : n - 1;
      Vector12 motion{};
      for (int i = 0; i < 12; ++i)
        motion[i] = u_[6 * e + i];
      const FrameElement &element = elements_[e];
      const Vector12 v = element.to_local(motion), f = element.to_local(element_load_[e]);
      Vector12 end{};
      for (int i = 0; i < 12; ++i) {
        end[i] = -f[i];
        for (int j = 0; j < 12; ++j)
          end[i] += element.local[i][j] * v[j];
      }
      const double sign =
          n == 0 ? -1 : 1; // forces at an element's end come from beyond, at its start from before
      const int at = n == 0 ? 0 : 6;
      for (int c = 0; c < 3; ++c) {
        p.force[c] = sign * end[at + c];
        p.moment[c] = sign * end[at + 3 + c];
      }
    }
    return out;
  }

private:
  unsigned node(const double s) const {
    unsigned best = 0;
    for (unsigned i = 1; i < nodes_.size(); ++i)
      if (std::abs(nodes_[i] - s) < std::abs(nodes_[best] - s))
        best = i;
    return best;
  }

  const Beam &beam_;
  std::vector<double> nodes_, load_, u_;
  std::vector<FrameElement> elements_;
  std::vector<Vector12> element_load_;
};

} // namespace

const FrameStation &FrameResult::at(const double s) const {
  const auto nearer = [s](const FrameStation &a, const FrameStation &b) {
    return std::abs(a.s - s) < std::abs(b.s - s);
  };
  return *std::min_element(stations.begin(), stations.end(), nearer);
}

FrameResult solve_frame(const Beam &beam, const BeamTheory theory, const std::vector<double> &wanted,
                        const unsigned elements) {
  Frame frame(beam, theory, wanted, elements);
  const std::vector<Hold> all = holds_of(beam);
  std::vector<bool> active(all.size(), true);
  std::vector<Hold> holds;
  for (unsigned attempt = 0;; ++attempt) {
    holds.clear();
    for (unsigned i = 0; i < all.size(); ++i)
      if (active[i])
        holds.push_back(all[i]);
    if (attempt == 30 || !moving_away(beam, holds).empty())
      throw std::runtime_error("the beam lifts off its unilateral supports: nothing holds it any more");
    std::vector<Hold> with_gauges = holds;
    for (const Hold &g : gauges_for(beam, holds))
      with_gauges.push_back(g);
    if (!frame.solve(with_gauges))
      throw std::runtime_error("beam theory finds the beam held by nothing");
    bool changed = false;
    for (unsigned i = 0; i < all.size(); ++i) {
      if (all[i].sign == 0)
        continue;
      const bool was = active[i];
      // Pressed: the force has the allowed sign. Lifted: the beam has moved away to that side.
      active[i] =
          was ? all[i].sign * frame.reaction(all[i]) >= 0 : all[i].sign * frame.displacement(all[i]) < 0;
      changed |= was != active[i];
    }
    if (!changed)
      break;
  }
  FrameResult result;
  result.stations = frame.stations();
  result.force.assign(beam.supports.size(), {});
  result.moment.assign(beam.supports.size(), {});
  result.touching.assign(beam.supports.size(), true);
  for (unsigned i = 0; i < all.size(); ++i) {
    if (!active[i])
      result.touching[all[i].support] = false;
    else
      (all[i].motion < 3 ? result.force : result.moment)[all[i].support][all[i].motion % 3] =
          frame.reaction(all[i]);
  }
  return result;
}

} // namespace raybend
