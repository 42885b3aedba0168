// A beam solved level by level in three dimensions: load steps, supports that lift, results.
#include "solver/beam/solid.hpp"
#include "geometry/beam_section.hpp"
#include "solver/beam/frame.hpp"
#include "solver/beam/section_read.hpp"
#include <algorithm>
#include <chrono>
#include <deal.II/numerics/data_out.h>
#include <deal.II/numerics/data_postprocessor.h>
#include <fstream>
#include <stdexcept>

namespace raybend {

namespace {

/// Scale of the loads, N: what residuals and pretensions are measured by. A slender beam turns a force into length
/// over depth times as large ones along its fibres, whose rounding no residual can undercut.
double force_scale(const Beam &beam) {
  const SectionStiffness k = section_stiffness(beam, 0);
  const FreeStrain free = free_strain(beam, 0);
  double sum = k.ea * (std::abs(free.axial) + std::abs(free.curvature) * largest_depth(beam));
  for (const BeamSupport &s : beam.supports)
    sum += k.ea * std::abs(s.settlement) / beam.length;
  for (const BeamLoad &l : beam.loads)
    sum += norm(l.vector) * (l.kind == LoadKindOfBeam::moment
                                 ? 4 / beam.section.start.depth
                                 : (l.kind == LoadKindOfBeam::distributed ? l.total_share() : 1.0) *
                                       (1 + beam.length / beam.section.start.depth));
  return std::max(sum, 1e-12);
}

Vec3 in_axes(const AxisFrame &a, const Vec3 &v) {
  return {dot(v, a.along), dot(v, a.across), dot(v, a.up)};
}

class StressFields : public dealii::DataPostprocessor<3> {
public:
  StressFields(const Body &body, bool finite) : body_(body), finite_(finite) {}
  std::vector<std::string> get_names() const override {
    std::vector<std::string> names(3, "displacement_mm");
    for (const char *c : {"xx", "yy", "zz", "xy", "xz", "yz"})
      names.push_back(std::string("stress_") + c + "_MPa");
    return names;
  }
  std::vector<dealii::DataComponentInterpretation::DataComponentInterpretation>
  get_data_component_interpretation() const override {
    using namespace dealii::DataComponentInterpretation;
    std::vector<DataComponentInterpretation> kinds(9, component_is_scalar);
    std::fill_n(kinds.begin(), 3, component_is_part_of_vector);
    return kinds;
  }
  dealii::UpdateFlags get_needed_update_flags() const override {
    return dealii::update_values | dealii::update_gradients | dealii::update_quadrature_points;
  }
  void evaluate_vector_field(const dealii::DataPostprocessorInputs::Vector<3> &in,
                             std::vector<dealii::Vector<double>> &out) const override {
    const auto cell = in.get_cell<3>();
    const Vec3 middle = Level::logical_point(cell, dealii::Point<3>(0.5, 0.5, 0.5));
    for (unsigned p = 0; p < out.size(); ++p) {
      Sample s;
      s.material = body_.problem().material_at(middle, cell->material_id());
      s.x = {in.evaluation_points[p][0], in.evaluation_points[p][1], in.evaluation_points[p][2]};
      for (unsigned i = 0; i < 3; ++i) {
        out[p][i] = in.solution_values[p][i];
        s.gradient[i] = in.solution_gradients[p][i];
      }
      const Sym2 stress = finite_ ? body_.cauchy_stress(s) : body_.small_stress(s);
      constexpr unsigned place[6][2] = {{0, 0}, {1, 1}, {2, 2}, {0, 1}, {0, 2}, {1, 2}};
      for (unsigned i = 0; i < 6; ++i)
        out[p][3 + i] = stress[place[i][0]][place[i][1]];
    }
  }

private:
  const Body &body_;
  bool finite_;
};

} // namespace

const SolidStation &SolidResult::at(const double s) const {
  const auto nearer = [s](const SolidStation &a, const SolidStation &b) {
    return std::abs(a.s - s) < std::abs(b.s - s);
  };
  return *std::min_element(stations.begin(), stations.end(), nearer);
}

Vec3 SolidResult::displacement(const double s) const {
  std::size_t i = 1;
  while (i + 1 < stations.size() && stations[i].s < s)
    ++i;
  const SolidStation &a = stations[i - 1], &b = stations[i];
  const double t = std::clamp((s - a.s) / (b.s - a.s), 0.0, 1.0);
  return (1 - t) * a.u + t * b.u;
}

struct BeamSolid::Parts {
  Beam beam;
  std::vector<double> wanted;
  BeamProblem from;
  std::unique_ptr<Body> body;
  SolidResult result;

  /// Solves and reads; results at the load steps before the last go to `steps`.
  BeamReading solve_body(const unsigned level, const double scale) {
    body = std::make_unique<Body>(from.problem, level);
    result.steps.clear();
    if (!beam.finite_strain) {
      body->solve_linear(1e-9);
      result.iterations += body->iterations;
      return read_sections(beam, from, *body, false, 1);
    }
    double reached = 0, part = 0.25;
    for (int step = 1;; ++step) {
      const double goal = double(step) / beam.load_steps;
      reach(goal, reached, part, scale);
      const BeamReading reading = read_sections(beam, from, *body, true, goal);
      if (step == beam.load_steps)
        return reading;
      take(reading);
      SolidResult here = result;
      here.steps.clear();
      here.load = goal;
      result.steps.push_back(here);
    }
  }

  /// Newton's method from the load factor reached to the goal, by parts that grow or shrink as it goes.
  void reach(const double goal, double &reached, double &part, const double scale) {
    // Rounding of the fibres' forces, which are (length/depth)^2 times those of bending, bounds the residual.
    const double slender = beam.length / beam.section.start.depth,
                 tolerance = 1e-9 * std::max(1.0, slender * slender / 2500);
    while (reached < goal - 1e-12) {
      const double next = std::min(goal, reached + part);
      const Vector before = body->u;
      const NewtonReport report = body->solve(next, scale, tolerance, 40);
      result.iterations += report.cg_iterations;
      if (report.converged) {
        reached = next;
        part *= 1.5;
        continue;
      }
      body->u = before;
      part /= 2;
      if (part < 1e-3)
        throw std::runtime_error("no equilibrium beyond load factor " + std::to_string(reached) + ": " +
                                 report.reason);
    }
  }

  /// Flips the unilateral supports that pull or that the beam passes through; false if there are none.
  bool correct(const BeamReading &reading) {
    bool changed = false;
    for (unsigned i = 0; i < beam.supports.size(); ++i) {
      const BeamSupport &s = beam.supports[i];
      if (s.kind != HoldKind::unilateral)
        continue;
      bool wrong = false;
      if (result.touching[i]) {
        for (unsigned t = 0; t < from.ties.size(); ++t)
          if (from.ties[t].hold.support == int(i))
            wrong = s.sign * reading.tie_force[t][s.axis] < 0;
      } else {
        wrong = s.sign * (result.displacement(s.at)[s.axis] - s.settlement) < 0;
      }
      if (wrong) {
        result.touching[i] = !result.touching[i];
        changed = true;
      }
    }
    return changed;
  }

  void take(const BeamReading &reading) {
    result.stations.clear();
    for (const PlaneReading &p : reading.planes) {
      const AxisFrame a = axis_frame(beam, p.s);
      result.stations.push_back({p.s, p.u, p.rotation, in_axes(a, p.force), in_axes(a, p.moment),
                                 in_axes(a, p.statics_force), in_axes(a, p.statics_moment)});
    }
    result.force.assign(beam.supports.size(), {});
    result.moment.assign(beam.supports.size(), {});
    result.support_slip = 0;
    for (unsigned t = 0; t < from.ties.size(); ++t) {
      const Hold &h = from.ties[t].hold;
      if (h.support < 0)
        continue;
      result.force[h.support] = result.force[h.support] + reading.tie_force[t];
      result.moment[h.support] = result.moment[h.support] + reading.tie_moment[t];
      if (h.stiffness == 0)
        result.support_slip = std::max(result.support_slip, std::abs(reading.tie_motion[t] - h.moved));
    }
    for (unsigned i = 0; i < beam.supports.size(); ++i) {
      const BeamSupport &s = beam.supports[i];
      if (s.kind != HoldKind::clamped && s.kind != HoldKind::soft_clamped)
        continue;
      const bool start = from.start_fixed && s.at < beam.length / 2,
                 end = from.end_fixed && s.at > beam.length / 2;
      if (start) {
        result.force[i] = result.force[i] + reading.start_force;
        result.moment[i] = result.moment[i] + reading.start_moment;
      } else if (end) {
        result.force[i] = result.force[i] + reading.end_force;
        result.moment[i] = result.moment[i] + reading.end_moment;
      }
    }
    result.largest_rotation_deg = 0;
    for (const PlaneReading &p : reading.planes)
      result.largest_rotation_deg = std::max(result.largest_rotation_deg, norm(p.rotation) * 180 / pi);
  }
};

BeamSolid::BeamSolid(Beam beam, std::vector<double> stations) : parts_(std::make_unique<Parts>()) {
  parts_->beam = std::move(beam);
  parts_->wanted = std::move(stations);
}
BeamSolid::~BeamSolid() = default;

const Beam &BeamSolid::beam() const {
  return parts_->beam;
}
const SolidResult &BeamSolid::result() const {
  return parts_->result;
}

const SolidResult &BeamSolid::solve(const unsigned level,
                                    const std::function<void(const std::string &)> &progress) {
  const auto start = std::chrono::steady_clock::now();
  Parts &p = *parts_;
  const double scale = force_scale(p.beam);
  SolidResult &r = p.result;
  if (r.touching.empty())
    r.touching = solve_frame(p.beam, BeamTheory::timoshenko).touching; // a first guess, corrected below
  r.iterations = 0;
  for (unsigned attempt = 0;; ++attempt) {
    std::vector<Hold> holds;
    for (const Hold &h : holds_of(p.beam))
      if (r.touching[h.support])
        holds.push_back(h);
    if (attempt == 12 || !moving_away(p.beam, holds).empty())
      throw std::runtime_error("the beam lifts off its unilateral supports: nothing holds it any more");
    p.body.reset();
    p.from = beam_problem(p.beam, level, r.touching, scale, p.wanted);
    if (progress)
      progress("level " + std::to_string(level) + (attempt > 0 ? ", supports changed" : ""));
    const BeamReading reading = p.solve_body(level, scale);
    p.take(reading);
    if (!p.correct(reading))
      break;
  }
  r.level = level;
  r.unknowns = p.body->level().dofs.n_dofs();
  r.cells = p.body->level().triangulation.n_active_cells();
  r.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  return r;
}

double BeamSolid::stress(const double s, const double eta, const double zeta) const {
  const Parts &p = *parts_;
  const double step = 1e-6 * p.beam.length, low = p.from.planes.front(), high = p.from.planes.back();
  const AxisFrame a = axis_frame(p.beam, s);
  const dealii::Tensor<1, 3> t({a.along[0], a.along[1], a.along[2]});
  double sum = 0;
  for (const double x : {s - step, s + step}) {
    const Sample sample = p.body->at({std::clamp(x, low + step / 2, high - step / 2), eta, zeta});
    sum +=
        t * ((p.beam.finite_strain ? p.body->cauchy_stress(sample) : p.body->small_stress(sample)) * t) / 2;
  }
  return sum;
}

void BeamSolid::write_vtu(const std::string &path) const {
  const Parts &p = *parts_;
  StressFields fields(*p.body, p.beam.finite_strain);
  dealii::DataOut<3> out;
  out.attach_dof_handler(p.body->level().dofs);
  out.add_data_vector(p.body->u, fields);
  out.build_patches(*p.body->level().mapping, 2, dealii::DataOut<3>::curved_inner_cells);
  std::ofstream file(path);
  out.write_vtu(file);
  file.flush();
  if (!file)
    throw std::runtime_error("could not write " + path + "; is the disk full?");
}

} // namespace raybend
