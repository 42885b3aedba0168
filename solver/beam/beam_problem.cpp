// A beam as a solid: planes between its cells, supports as ties to slices, loads as tractions and body forces.
#include "solver/beam/beam_problem.hpp"
#include "geometry/beam_section.hpp"
#include "geometry/constants.hpp"
#include "meshing/beam_mesh.hpp"
#include "solver/materials/invariant_material.hpp"
#include <algorithm>
#include <stdexcept>

namespace raybend {

namespace {

bool warmed(const Beam &beam) {
  return beam.temperature.rise != 0 || beam.temperature.top_less_bottom != 0;
}

Vec3 unit_vector(const int axis) {
  Vec3 e{};
  e[axis] = 1;
  return e;
}

constexpr double nowhere = 1e30; // ties are anchored in space: the carrier's motion vanishes there

/// Coordinates of a real point in the section at arc length s.
std::array<double, 2> in_section(const Beam &beam, const double s, const Vec3 &x) {
  const AxisFrame a = axis_frame(beam, s);
  return {dot(x - a.place, a.across), dot(x - a.place, a.up)};
}

bool boxy(const Beam &beam) {
  return beam.section.shape == SectionShape::rectangle;
}

bool rounded(const Beam &beam) {
  return !boxy(beam) && beam.section.shape != SectionShape::layered &&
         beam.section.shape != SectionShape::z_section;
}

/// Traction on an end face whose resultant on the beam is `force` at the elastic centroid and `moment`, on
/// the mesh of this level: round outlines lose some area to their arcs.
std::function<Vec3(const Vec3 &)> end_traction(const Beam &beam, const double s, const unsigned level,
                                               const Vec3 &force, const Vec3 &moment) {
  const SectionStiffness k = section_stiffness(beam, s);
  const SectionSize d = section_size(beam, s);
  const AxisFrame a = axis_frame(beam, s);
  double n = dot(force, a.along), vy = dot(force, a.across), vz = dot(force, a.up);
  double my = dot(moment, a.across), mz = dot(moment, a.up);
  // Half of the torque by the shear along y, half by that along z, each linear: Saint-Venant's of an ellipse.
  double ty = dot(moment, a.along) / 2, tz = ty;
  const bool box = boxy(beam);
  if (rounded(beam)) {
    const SectionSums sums = meshed_section(beam, s, level);
    const double e = beam.material.e, area = k.area / sums.area;
    n *= area;
    vy *= area;
    vz *= area;
    my *= k.eiy / (e * sums.iy);
    mz *= k.eiz / (e * sums.iz);
    ty *= k.eiy / (e * sums.iy);
    tz *= k.eiz / (e * sums.iz);
  }
  return [=](const Vec3 &x) {
    const auto [y, z] = in_section(beam, s, x);
    const double axial = navier_stress(beam, s, y, z, n, my, mz);
    const double py = box ? 1.5 * (1 - 4 * y * y / (d.width * d.width)) : 1;
    const double pz = box ? 1.5 * (1 - 4 * z * z / (d.depth * d.depth)) : 1;
    const double e = modulus_at(beam, s, z);
    return axial * a.along + e * (vy * py / k.ea - ty * z / k.eiy) * a.across +
           e * (vz * pz / k.ea + tz * y / k.eiz) * a.up;
  };
}

class Builder {
public:
  Builder(const Beam &beam, const unsigned level, const std::vector<bool> &touching, const double force_scale)
      : beam_(beam), level_(level), touching_(touching), force_scale_(force_scale),
        slice_(slice_length(beam)) {}

  BeamProblem build(const std::vector<double> &stations) {
    for (const Hold &h : holds_of(beam_))
      if (touching_[h.support])
        holds_.push_back(h);
    for (const Hold &g : gauges_for(beam_, holds_))
      holds_.push_back(g);
    find_ends();
    make_planes(stations);
    Problem &p = out_.problem;
    p.mesh = beam_mesh(beam_.section, out_.planes);
    const Beam beam = beam_;
    p.position = [beam](const Vec3 &l) {
      const AxisFrame a = axis_frame(beam, l[0]);
      const auto [y, z] = section_point(beam, l[0], l[1], l[2]);
      return a.place + y * a.across + z * a.up;
    };
    p.materials = {std::make_shared<NeoHooke>(beam.material.e, beam.material.nu)};
    p.material_at = [](const Vec3 &, unsigned) { return 0u; };
    if (beam.section.shape == SectionShape::layered) {
      p.materials.push_back(std::make_shared<NeoHooke>(beam.top_material.e, beam.top_material.nu));
      p.material_at = [](const Vec3 &, const unsigned tag) { return tag - 1; };
    }
    if (warmed(beam))
      p.thermal_strain = [beam](const Vec3 &x) {
        const double at = arc_length_of(beam, x);
        return thermal_strain(beam, at, in_section(beam, at, x)[1]);
      };
    add_fixed();
    add_ties();
    add_loads();
    add_foundations();
    add_carrier();
    return std::move(out_);
  }

private:
  bool at_start(const double s) const { return s < 1e-9 * beam_.length; }
  bool at_end(const double s) const { return s > beam_.length * (1 - 1e-9); }
  const BeamSupport *support(const Hold &h) const {
    return h.support < 0 ? nullptr : &beam_.supports[h.support];
  }

  /// How far the body goes on beyond its ends. The moment that a soft clamp takes grows linearly over its slice c,
  /// from the free face inwards; the mean rotation of the slice is then that of the section 2c/3 from that face,
  /// and so is the mean twist: that section stands where the clamp does.
  void find_ends() {
    for (const Hold &h : holds_) {
      const BeamSupport *s = support(h);
      if (!s || s->kind == HoldKind::clamped)
        continue;
      double &beyond = at_start(s->at) ? beyond_start_ : beyond_end_;
      if (at_start(s->at) || at_end(s->at))
        beyond = std::max(beyond, (s->kind == HoldKind::soft_clamped ? 2.0 / 3 : 0.5) * slice_);
    }
    for (const BeamSupport &s : beam_.supports)
      if (s.kind == HoldKind::clamped)
        (at_start(s.at) ? beyond_start_ : beyond_end_) = 0;
    low_ = -beyond_start_;
    high_ = beam_.length + beyond_end_;
  }

  /// The slice that stands for a point of the axis.
  std::array<double, 2> slice(const double s) const {
    if (at_start(s))
      return {low_, low_ + slice_};
    if (at_end(s))
      return {high_ - slice_, high_};
    return {s - slice_ / 2, s + slice_ / 2};
  }

  bool on_face(const BeamLoad &load) const {
    if (load.kind == LoadKindOfBeam::moment)
      return at_start(load.from) || at_end(load.from);
    return load.kind == LoadKindOfBeam::force &&
           ((at_start(load.from) && beyond_start_ == 0) || (at_end(load.from) && beyond_end_ == 0));
  }

  void make_planes(const std::vector<double> &stations) {
    std::vector<double> must = {low_, high_};
    const auto both = [&must](const std::array<double, 2> &range) {
      must.insert(must.end(), {range[0], range[1]});
    };
    for (const Hold &h : holds_)
      if (const BeamSupport *s = support(h); !s || s->kind != HoldKind::clamped) {
        both(slice(h.at));
        if (s && s->kind == HoldKind::soft_clamped)
          must.push_back(h.at);
      }
    for (const BeamLoad &load : beam_.loads)
      if (load.kind == LoadKindOfBeam::distributed)
        both({load.from, load.to});
      else if (!on_face(load))
        both(slice(load.from));
    for (const BeamFoundation &f : beam_.foundations)
      both({f.from, f.to});
    for (const SectionStep &step : beam_.section.steps)
      both({step.at - slice_ / 2, step.at + slice_ / 2});
    must.insert(must.end(), stations.begin(), stations.end());
    for (double &s : must)
      s = std::clamp(s, low_, high_);
    std::sort(must.begin(), must.end());
    const double cell = std::max(block_size(beam_), beam_.length / 48);
    std::vector<double> &planes = out_.planes;
    planes = {must.front()};
    for (const double s : must) {
      const double from = planes.back(), gap = s - from;
      if (gap < 0.1 * slice_) { // no slivers: the later plane gives way, unless it is the end
        if (s >= high_ && planes.size() > 1)
          planes.back() = s;
        continue;
      }
      const int parts = std::max(1, int(std::ceil(gap / cell - 0.25)));
      for (int i = 1; i <= parts; ++i)
        planes.push_back(from + gap * i / parts);
    }
  }

  void add_fixed() {
    for (const BeamSupport &s : beam_.supports)
      if (s.kind == HoldKind::clamped) {
        const bool start = at_start(s.at);
        const Vec3 moved = {0, 0, s.settlement};
        out_.problem.fixed.push_back({start ? beam_start_id : beam_end_id,
                                      {true, true, true},
                                      [moved](const Vec3 &) { return moved; }});
        (start ? out_.start_fixed : out_.end_fixed) = true;
      }
  }

  void add_ties() {
    for (const Hold &h : holds_) {
      if (const BeamSupport *s = support(h); s && s->kind == HoldKind::clamped)
        continue;
      if (h.motion < 3)
        add_tie(h, unit_vector(h.motion), [](const Vec3 &) { return 1.0; }, {});
      else if (h.motion > 3) // displacement along the axis, above less below or right (y < 0) less left
        add_rotation(h, axis_frame(beam_, h.at).along, h.motion == 4 ? 2 : 1, h.motion == 4 ? 1 : -1);
      else {
        // Displacement up, left less right, and across, below less above. A torque is held half by either, as
        // Saint-Venant's stress has it; one alone would take it as a shear of the section's own plane and bend a
        // thin wall. A gauge takes none.
        const SectionSize d = section_size(beam_, h.at);
        const bool gauge = h.support<0, wide = d.width> d.depth;
        if (!gauge || wide)
          add_rotation(h, axis_frame(beam_, h.at).up, 1, 1);
        if (!gauge || !wide)
          add_rotation(h, axis_frame(beam_, h.at).across, 2, -1);
      }
    }
  }

  /// The difference of two means, weighted by 1 +- side coordinate / reach, is a first moment; times E, so that the
  /// tie's force is spread like a bending stress. `axis` of the coordinate: 1 y, 2 z.
  void add_rotation(const Hold &h, const Vec3 &direction, const int axis, const double side) {
    const Beam beam = beam_;
    const double reach = axis == 1 ? largest_width(beam) : largest_depth(beam);
    const auto slope = [=](const double sign) {
      return [=](const Vec3 &l) {
        const auto place = section_point(beam, l[0], l[1], l[2]);
        return (1 + sign * place[axis - 1] / reach) * modulus_at(beam, l[0], place[1]) / beam.material.e;
      };
    };
    add_tie(h, direction, slope(side), slope(-side));
  }

  void add_tie(const Hold &h, const Vec3 &direction, const std::function<double(const Vec3 &)> &weight,
               const std::function<double(const Vec3 &)> &other) {
    // Rigid: a hundred times the stiffness of a cube of the section's size; a held rotation twenty times that
    // again, for it acts by the section's small first moment. Stiffer ones cost iterations.
    const SectionStiffness k = section_stiffness(beam_, 0);
    const double rigid = 100 * k.ea / std::sqrt(k.area);
    const auto [a, b] = slice(h.at);
    const auto within = [a = a, b = b](const std::function<double(const Vec3 &)> &w) -> Region {
      if (!w)
        return {};
      return [=](const Vec3 &l, unsigned) { return l[0] > a && l[0] < b ? w(l) : 0.0; };
    };
    Tie tie;
    tie.region = within(weight);
    tie.other = within(other);
    tie.direction = direction;
    tie.anchor = {nowhere, nowhere, nowhere};
    tie.stiffness = h.stiffness > 0 ? h.stiffness : h.motion < 3 || h.support < 0 ? rigid : 20 * rigid;
    // Pretension that stays: the tie pushes as well as it pulls.
    const double pretension = 1e3 * force_scale_ + 2 * tie.stiffness * std::abs(h.moved);
    tie.force = pretension - tie.stiffness * h.moved;
    tie.constant = -pretension;
    out_.problem.ties.push_back(tie);
    out_.ties.push_back({h, a, b});
  }

  void add_loads() {
    Vec3 force[2] = {}, moment[2] = {};
    bool loaded[2] = {false, false};
    for (const BeamLoad &load : beam_.loads) {
      if (on_face(load)) {
        const int end = at_end(load.from) ? 1 : 0;
        loaded[end] = true;
        Vec3 &sum = (load.kind == LoadKindOfBeam::moment ? moment : force)[end];
        sum = sum + load.vector;
        continue;
      }
      if (load.kind == LoadKindOfBeam::moment) {
        add_couple(load);
        continue;
      }
      // Divided by the area, so that a tapered beam carries the same load on each millimetre.
      const bool line = load.kind == LoadKindOfBeam::distributed;
      const auto [low, high] = line ? std::array<double, 2>{load.from, load.to} : slice(load.from);
      const Beam beam = beam_;
      add_body_force(low, high, (line ? load.total_share() : 1.0) * load.vector,
                     [beam, load, line](const Vec3 &l) {
                       return (line ? load.share(l[0]) : 1.0) / section_area(beam, l[0]);
                     });
    }
    for (const int end : {0, 1})
      if (loaded[end])
        out_.problem.tractions.push_back(
            {end == 0 ? beam_start_id : beam_end_id,
             end_traction(beam_, end == 0 ? 0 : beam_.length, level_, force[end], moment[end])});
  }

  /// A force spread over a stretch of the body by a weight of the logical place.
  void add_body_force(const double low, const double high, const Vec3 &force,
                      const std::function<double(const Vec3 &)> &weight) {
    out_.problem.region_forces.push_back(
        {[=](const Vec3 &l, unsigned) { return l[0] > low && l[0] < high ? weight(l) : 0.0; }, force});
  }

  /// A couple inside the span: pairs of opposite forces over a slice, of weight 1 + d and 1 - d with d linear in the
  /// section, times E. Bending: along the axis, d in proportion to Navier's strain. Torque: half by forces along y, half
  /// along z. Where the mean of d^2 is m, forces of F make a couple of 2 F m over d's slope.
  void add_couple(const BeamLoad &load) {
    const Beam beam = beam_;
    const double at = load.from;
    const auto [low, high] = slice(at);
    const AxisFrame a = axis_frame(beam, at);
    const SectionStiffness k = section_stiffness(beam, at);
    double ea = k.ea, eiy = k.eiy, eiz = k.eiz;
    if (rounded(beam)) { // round outlines lose some area to their arcs
      const SectionSums sums = meshed_section(beam, at, level_);
      ea = beam.material.e * sums.area;
      eiy = beam.material.e * sums.iy;
      eiz = beam.material.e * sums.iz;
    }
    const auto pair = [&](const Vec3 &direction, const double force, const double slope_y,
                          const double slope_z) {
      for (const double side : {1.0, -1.0})
        add_body_force(low, high, side * force * direction, [=](const Vec3 &l) {
          const auto place = section_point(beam, l[0], l[1], l[2]);
          return (1 + side * (slope_y * place[0] + slope_z * place[1])) * modulus_at(beam, l[0], place[1]) /
                 beam.material.e;
        });
    };
    const double by_y = 1 / largest_width(beam), by_z = 1 / largest_depth(beam);
    const double torque = dot(load.vector, a.along), my = dot(load.vector, a.across),
                 mz = dot(load.vector, a.up);
    if (torque != 0) {
      pair(a.up, torque / 2 * ea / (2 * by_y * eiz), by_y, 0);
      pair(a.across, -torque / 2 * ea / (2 * by_z * eiy), 0, by_z);
    }
    if (my == 0 && mz == 0)
      return;
    const double det = eiy * eiz - k.eiyz * k.eiyz;
    const double ky = (eiz * my + k.eiyz * mz) / det,
                 kz = (k.eiyz * my + eiy * mz) / det; // strain ky z - kz y
    const double most = std::abs(ky) * largest_depth(beam) + std::abs(kz) * largest_width(beam);
    pair(a.along, ea * most / 2, -kz / most, ky / most);
  }

  void add_foundations() {
    const bool flat =
        beam_.section.shape == SectionShape::rectangle || beam_.section.shape == SectionShape::layered;
    const SectionSize d = beam_.section.start;
    const double a = d.width / 2, c = d.depth / 2, t = beam_.section.thickness;
    // Half the perimeter of the ellipse after Ramanujan (1914, from memory); of a z_section: half its
    // outline.
    const double breadth = flat ? d.width
                           : beam_.section.shape == SectionShape::z_section
                               ? d.depth + 2 * d.width - 2 * t
                               : pi / 2 * (3 * (a + c) - std::sqrt((3 * a + c) * (a + 3 * c)));
    for (const BeamFoundation &f : beam_.foundations)
      for (unsigned k = 0; k + 1 < out_.planes.size(); ++k) {
        const double middle = (out_.planes[k] + out_.planes[k + 1]) / 2;
        if (middle > f.from && middle < f.to)
          out_.problem.springs.push_back({beam_side_id + 2 * k, {0, 0, 1}, f.modulus / breadth, 0, false});
      }
  }

  /// The level matrices need a body that is held in space even without its ties: weak springs to a weightless
  /// body that follows every rigid motion. They resist only the change of shape of one strip, a
  /// ten-thousandth as much as the beam itself.
  void add_carrier() {
    const SectionStiffness k = section_stiffness(beam_, 0);
    const double weak = 1e-4 * k.ea / k.area / largest_depth(beam_);
    out_.problem.springs.push_back(
        {beam_side_id + 1, {1, 0, 0}, weak, weak, true}); // the first strip, not its lower face
    const double size = beam_.length;
    for (int m = 0; m < 6; ++m)
      out_.problem.carrier.modes.push_back([m, size](const Vec3 &x) -> Vec3 {
        if (x[0] == nowhere)
          return {};
        Vec3 e{};
        e[m % 3] = 1;
        return m < 3 ? e : (1 / size) * cross(e, x);
      });
  }

  const Beam &beam_;
  unsigned level_;
  const std::vector<bool> &touching_;
  double force_scale_, slice_, low_ = 0, high_ = 0;
  double beyond_start_ = 0, beyond_end_ = 0; ///< mm of body beyond the ends
  std::vector<Hold> holds_;
  BeamProblem out_;
};

} // namespace

BeamProblem beam_problem(const Beam &beam, const unsigned level, const std::vector<bool> &touching,
                         const double force_scale, const std::vector<double> &stations) {
  return Builder(beam, level, touching, force_scale).build(stations);
}

} // namespace raybend
