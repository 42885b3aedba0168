// The forefoot on an insole: from plain values to plain results.
#include "solver/forefoot_model.hpp"
#include "geometry/logical_frame.hpp"
#include "meshing/forefoot_mesh.hpp"
#include "meshing/tags.hpp"
#include "solver/forefoot/extract.hpp"
#include "solver/forefoot/forefoot_problem.hpp"
#include "solver/operator/folded_cell.hpp"
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <deal.II/base/utilities.h>
#include <fstream>
#include <limits>
#include <map>
#include <set>
#include <stdexcept>

namespace raybend {

using namespace dealii;

namespace {
constexpr double first_overlap = 0.02; // mm by which foot and insole overlap when the load path starts

// Residual relative to the applied force at which Newton's method stops where more would be wasted: on the
// way to the full load, and at the full load on levels that only start the next one and tell its band.
constexpr double loose_tolerance = 1e-4;
// Load steps that may fail on one path before it counts as hopeless, and Newton steps that it may take in all: on the
// coarsest level, and on a finer one, where a load step that fails costs half a minute. Usual are 15 to 25 Newton steps on a
// whole path and 10 to 15 on a finer level. On the coarsest, steps go on downhill (newton/descend.hpp):
// `descents_a_step` of those iterations cost what a Newton step does (9 ms, 0.13 s); beyond `most_descents` a load step
// begins no more of them (assumed; from a flat insole to a moulded one it takes 68). A foam pressed below `hopeless_volume`
// of its own where a load step fails is near the solid that it is made of, and less load would only fail later: full loads
// that were carried pressed the softest foams to 0.14 to 0.21 of theirs, where load steps failed it was 0.08 to 0.20 (six
// insoles of 0.1 to 0.35 MPa, running).
constexpr unsigned most_failures[] = {6, 1}, most_steps[] = {100, 80}, descents_a_step = 14,
                   most_descents = 400;
constexpr double hopeless_volume = 0.17;

// The kernel's record of this process's largest memory begins anew (proc(5), clear_refs), so that each design has its
// own; where that is not allowed it stays the largest since the start.
void forget_peak_memory() {
  std::ofstream("/proc/self/clear_refs") << 5;
}

double peak_memory_mib(MPI_Comm comm) {
  Utilities::System::MemoryStats stats;
  Utilities::System::get_memory_stats(stats);
  return Utilities::MPI::sum(stats.VmHWM / 1024.0, comm);
}

/// Discretisation bands of a result and of what it was on the level below.
void set_bands(DesignResult &result, const DesignResult *coarser) {
  constexpr std::pair<Banded RayResult::*, double> items[] = {
      {&RayResult::peak_strain, coarse_pair_strain},
      {&RayResult::peak_dorsal, coarse_pair_strain},
      {&RayResult::peak_plantar, coarse_pair_strain},
      {&RayResult::peak_moment, coarse_pair_strain},
      {&RayResult::peak_bending_stress, coarse_pair_strain},
      {&RayResult::head_force, coarse_pair_force},
      {&RayResult::head_peak_pressure, coarse_pair_head_pressure},
      {&RayResult::shaft_peak_pressure, coarse_pair_shaft_pressure}};
  for (unsigned r = 0; r < 5; ++r)
    for (const auto &[item, pair_part] : items) {
      Banded &here = result.ray[r].*item;
      if (!coarser) {
        here.band = coarse_band * std::abs(here.value);
        here.pair_part = pair_part;
        continue;
      }
      // Roache's grid convergence index for two grids (1994, from memory): 3 |difference| / (2^p - 1), p = 2 for
      // strain and stress of 27-node elements, which is the difference itself; half a per cent at least
      // (assumed), as two meshes can agree by chance.
      here.coarser = (coarser->ray[r].*item).value;
      here.band = std::max(std::abs(here.value - here.coarser), 0.005 * std::abs(here.value));
    }
}

void check_gaps(const FootShape &shape) {
  int a = 0, b = 0;
  if (shape.smallest_gap(a, b) < 0.2)
    throw std::runtime_error(
        "metatarsals " + std::to_string(a) + " and " + std::to_string(b) +
        " touch or overlap: their widths (head, shaft, base) are too large for their spacing");
}
} // namespace

struct ForefootModel::Parts {
  Forefoot foot;
  Settings settings;
  MPI_Comm comm;
  std::unique_ptr<ForefootState> state;
  bool solved_before = false;
  std::vector<Vector>
      first_of_foot;            ///< displacements of the first design solved with this foot; empty: none yet
  std::optional<Posture> about; ///< of the reference at this instant
  /// What each level added to what was carried up to it, by per cent of stance: of the design solved last and of the one
  /// before it.
  std::map<double, std::vector<Vector>> of_this, of_earlier;
  std::string this_design;
  double last_instant = -1; ///< of this design, per cent of stance; -1: none yet

  void say(const Progress &progress, const std::string &line) const {
    if (progress && Utilities::MPI::this_mpi_process(comm) == 0)
      progress(line);
  }
  void count(DesignResult &result, const NewtonReport &report) const {
    result.record.newton_steps += report.steps;
    result.record.cg_iterations += report.cg_iterations;
    result.record.descent_iterations += report.descent_iterations;
    result.record.most_cg_in_a_step = std::max(result.record.most_cg_in_a_step, report.most_cg);
  }
  NewtonControl newton_control() const;
  Posture posture() const;
  bool coarsest_level(DesignResult &result, const NewtonControl &control, const Progress &progress,
                      bool &warm);
  Vector start_of_level(unsigned level, const std::vector<Vector> &previous, bool warm);
  double out_of_balance(unsigned level, const Vector &u) const;
  bool add_earlier_change(unsigned level, Vector &u) const;
  bool finer_level(unsigned level, Vector start, const NewtonControl &control, DesignResult &result,
                   const Progress &progress);
  bool load_path(unsigned level, DesignResult &result, const NewtonControl &control,
                 const Progress &progress);
  void lift(unsigned level, Vector &u, double height) const;
  NewtonReport run(unsigned level, Vector &u, double load, const NewtonControl &control,
                   const Progress &progress, DesignResult &result);
  std::string likely_cause(const Design &design) const;
  void take_shape(const Problem &problem, unsigned finest, const Progress &progress);
  void forget();
  std::string place_words(const InsoleShape &insole, const Vec3 &logical, unsigned tag) const;
  std::string folded_words(const InsoleShape &insole, const FoldedCell &folded) const;
};

ForefootModel::ForefootModel(const Forefoot &foot, const Activity &activity, const Settings &settings,
                             MPI_Comm comm)
    : parts_(std::make_unique<Parts>()) {
  Parts &p = *parts_;
  p.foot = foot;
  p.settings = settings;
  p.comm = comm;
  p.state = std::make_unique<ForefootState>(foot);
  p.state->activity = activity;
  check_gaps(p.state->shape);
  p.state->mesh = build_forefoot_mesh();
}

void ForefootModel::take_foot(const Forefoot &foot) {
  Parts &p = *parts_;
  const FootShape shape(foot);
  check_gaps(shape);
  p.foot = foot;
  p.state->shape = shape;
  if (!p.first_of_foot.empty())
    p.state->displacement.swap(p.first_of_foot);
  p.first_of_foot.clear();
}

void ForefootModel::take_instant(const Activity &activity, const std::optional<Posture> &about) {
  parts_->state->activity = activity;
  parts_->about = about;
}

ForefootModel::~ForefootModel() = default;
const ForefootState &ForefootModel::state() const {
  return *parts_->state;
}

// Nodes of 27-node cells on a mesh are the vertices of the mesh refined once more. One refinement of
// hexahedra turns vertices, edges, faces, cells (V, E, F, C) into (V + E + F + C, 2 E + 4 F + 6 C, 4 F + 12
// C, 8 C).
unsigned long ForefootModel::unknowns(Resolution resolution) {
  const CoarseMesh mesh = build_forefoot_mesh();
  std::set<std::array<unsigned, 2>> edges;
  std::set<std::array<unsigned, 4>> faces;
  for (const auto &c : mesh.cells) {
    for (unsigned v = 0; v < 8; ++v)
      for (unsigned axis = 0; axis < 3; ++axis)
        if (!((v >> axis) & 1u))
          edges.insert({std::min(c[v], c[v | (1u << axis)]), std::max(c[v], c[v | (1u << axis)])});
    for (const auto &f : {std::array<unsigned, 4>{0, 1, 2, 3},
                          {4, 5, 6, 7},
                          {0, 1, 4, 5},
                          {2, 3, 6, 7},
                          {0, 2, 4, 6},
                          {1, 3, 5, 7}}) {
      std::array<unsigned, 4> key = {c[f[0]], c[f[1]], c[f[2]], c[f[3]]};
      std::sort(key.begin(), key.end());
      faces.insert(key);
    }
  }
  unsigned long v = mesh.vertices.size(), e = edges.size(), f = faces.size(), c = mesh.cells.size();
  for (int refinement = 0; refinement <= static_cast<int>(resolution); ++refinement) {
    v = v + e + f + c;
    e = 2 * e + 4 * f + 6 * c;
    f = 4 * f + 12 * c;
    c = 8 * c;
  }
  return 3 * v;
}

// Start of the load path: the foot as high as it takes to clear the insole but for a small overlap, and the
// insole overlapping the ground a little, so that nothing floats. `height`: the overlap at rest along z; the
// gap is measured along the vertical.
void ForefootModel::Parts::lift(unsigned number, Vector &u, double height) const {
  const Level &level = *state->levels[number];
  const Vec3 up = force_direction(state->activity);
  std::vector<types::global_dof_index> index(level.fe.n_dofs_per_cell());
  for (const auto &cell : level.dofs.active_cell_iterators())
    if (cell->is_locally_owned()) {
      const double rise = cell->center()[2] > -0.5 ? height * up[2] - 2 * first_overlap : -first_overlap;
      cell->get_dof_indices(index);
      for (unsigned i = 0; i < index.size(); ++i)
        if (u.in_local_range(index[i]))
          u[index[i]] = rise * up[level.fe.system_to_component_index(i).first];
    }
}

NewtonReport ForefootModel::Parts::run(unsigned level, Vector &u, double load, const NewtonControl &control,
                                       const Progress &progress, DesignResult &result) {
  const NewtonReport report =
      newton(*state->operators[level], *state->preconditioners[level], u, load, control,
             [&](unsigned step, double residual, unsigned cg) {
               char line[160];
               std::snprintf(line, sizeof line,
                             "level %u, load %3.0f %%, Newton step %u: out of balance %.1e, CG %u", level,
                             100 * load, step, residual, cg);
               say(progress, line);
             });
  count(result, report);
  return report;
}

// From nothing to the full load on one level, in steps that shrink where Newton fails.
bool ForefootModel::Parts::load_path(unsigned level, DesignResult &result, const NewtonControl &control,
                                     const Progress &progress) {
  Vector &u = state->displacement[level];
  u = 0;
  lift(level, u, state->insole->largest_overlap());
  double reached = 0, step = 1.0 / settings.load_steps,
         failed = 1; // no load is tried beyond one that failed before that one is reached
  unsigned failures = 0, taken = 0;
  NewtonControl loose = control;
  loose.tolerance = std::max(control.tolerance, loose_tolerance);
  while (reached < 1) {
    const double most = failed > reached ? failed : 1,
                 target = reached + step > most - 1e-9 ? most : reached + step;
    Vector trial(u);
    const NewtonReport report = run(level, trial, target, target < 1 ? loose : control, progress, result);
    result.record.load_steps++;
    taken += report.steps + report.descent_iterations / descents_a_step;
    if (report.converged) {
      u = trial;
      reached = target;
      step *= 1.5;
    } else {
      failed = target;
      step = (target - reached) / 2;
      const Bulk::Pressed worst = state->operators[level]->bulk().most_pressed(trial);
      if (step < 0.01 || ++failures > most_failures[level > 0] || taken > most_steps[level > 0] ||
          worst.volume < hopeless_volume) {
        char text[200];
        std::snprintf(
            text, sizeof text,
            "stopped at %.0f %% of the load: %s; most pressed together then, to %.0f %% of its volume: ",
            100 * reached, report.reason.c_str(), 100 * worst.volume);
        result.message = text + place_words(*state->insole, worst.logical, worst.tag);
        return false;
      }
    }
  }
  return true;
}

std::string ForefootModel::Parts::likely_cause(const Design &design) const {
  double softest = 1e9;
  std::string name;
  for (const Layer &layer : design.layers)
    if (layer.material.e < softest) {
      softest = layer.material.e;
      name = layer.material.name;
    }
  char text[200];
  std::snprintf(
      text, sizeof text,
      "; most likely the softest layer (%s, E %.2g MPa) is pressed flat or the top surface (%.1f mm "
      "above the resting foot) is too steep",
      name.c_str(), softest, std::max(0.0, state->insole->largest_overlap()));
  return text;
}

// All levels with the shape and the materials of a problem. Throws FoldedCell.
void ForefootModel::Parts::take_shape(const Problem &problem, unsigned finest, const Progress &progress) {
  ForefootState &s = *state;
  if (!s.levels.empty()) {
    for (unsigned l = 0; l <= finest; ++l) {
      s.levels[l]->update_shape(problem);
      s.operators[l]->update_problem(problem);
    }
    return;
  }
  say(progress, "building the mesh");
  for (unsigned l = 0; l <= finest; ++l) {
    s.levels.push_back(std::make_unique<Level>(problem, l, comm));
    s.operators.push_back(std::make_unique<SolidOperator>(problem, *s.levels[l]));
  }
  for (unsigned l = 0; l <= finest; ++l) {
    s.preconditioners.push_back(
        std::make_shared<Preconditioner>(*s.operators[l], l > 0 ? s.preconditioners[l - 1] : nullptr));
    s.displacement.emplace_back();
    s.carried.emplace_back();
    s.levels[l]->initialize(s.displacement[l]);
  }
}

// The next design starts from nothing.
void ForefootModel::Parts::forget() {
  state->preconditioners.clear();
  state->operators.clear();
  state->levels.clear();
  state->displacement.clear();
  state->carried.clear();
  first_of_foot.clear();
  of_this.clear();
  of_earlier.clear();
  solved_before = false;
}

// "the insole (eva-35) under ray 2, 4 mm behind the heads".
std::string ForefootModel::Parts::place_words(const InsoleShape &insole, const Vec3 &logical,
                                              unsigned tag) const {
  const double s = logical[0], b = logical[1];
  const int ray = logical::ray_of(b);
  const double behind = state->shape.skin(logical::head_station, b)[0] - state->shape.skin(s, b)[0];
  const std::string part =
      tag == tag_insole ? "the insole (" + insole.materials()[insole.material_at(logical)].name + ") under"
      : tag == tag_cortical   ? "the cortex of"
      : tag == tag_trabecular ? "the spongy bone of"
                              : "the soft tissue at";
  char text[120];
  std::snprintf(text, sizeof text, " ray %d, %.0f mm %s the heads", ray, std::abs(behind),
                behind < 0 ? "beyond" : "behind");
  return part + text;
}

std::string ForefootModel::Parts::folded_words(const InsoleShape &insole, const FoldedCell &folded) const {
  const std::string place = place_words(insole, folded.logical, folded.tag);
  if (folded.tag == tag_insole)
    return place + " folds over: thicknesses, ends, fit and support elements there contradict one another";
  return place +
         " folds over: widths, heights, lengths, declination and offsets of this ray and its neighbours "
         "contradict one another";
}

// Turns of the midfoot on every level and what holds them; the heads, on which the toes hang.
Posture ForefootModel::Parts::posture() const {
  Posture posture;
  for (std::size_t l = 0; l < state->displacement.size(); ++l) {
    const SolidOperator &op = *state->operators[l];
    const std::vector<double> motion = op.ties().motion(state->displacement[l], 1.0),
                              held = op.ties().holding_forces(motion, 1.0);
    posture.roll.motion.push_back(motion[1]);
    posture.roll.reaction.push_back(held[1]);
    posture.pitch.motion.push_back(motion[2]);
    posture.pitch.reaction.push_back(held[2]);
    const std::vector<double> tensions = op.ties().tensions(state->displacement[l], 1.0);
    for (int r = 0; r < 5; ++r) {
      posture.toe[r].head.push_back(
          dot(force_direction(state->activity), op.ties().mean_motion(state->displacement[l], r)));
      posture.toe[r].tension.push_back(tensions[r] - state->problem->ties[r].constant);
    }
  }
  for (int ray = 1; ray <= 5; ++ray) {
    const ToeSupport support = toe_support(*state->insole, state->activity, ray);
    posture.toe[ray - 1].bed =
        support.height - toe_statics(foot, state->activity, ray).load / support.stiffness;
  }
  return posture;
}

NewtonControl ForefootModel::Parts::newton_control() const {
  NewtonControl control;
  control.force_scale = state->problem->carrier.force;
  control.tolerance = settings.newton_tolerance;
  control.forcing = settings.linear_tolerance;
  control.max_steps = settings.max_newton;
  control.max_descent = most_descents;
  control.more_steps = settings.max_newton; // once nearly in balance: soft foam cells settle slowly
  return control;
}

// N; infinite where a cell is inside out.
double ForefootModel::Parts::out_of_balance(const unsigned l, const Vector &u) const {
  Vector residual(u);
  const bool admissible = state->operators[l]->evaluate(u, 1.0, &residual).admissible;
  return admissible ? residual.l2_norm() : std::numeric_limits<double>::infinity();
}

// By how much the earlier design's share of this level changed from the instant that this design was at to the one it
// comes to: designs change alike. False where that is not known.
bool ForefootModel::Parts::add_earlier_change(const unsigned l, Vector &u) const {
  const auto to = of_earlier.find(state->activity.stance_percent), from = of_earlier.find(last_instant);
  if (to == of_earlier.end() || from == of_earlier.end())
    return false;
  u.add(1, to->second[l], -1, from->second[l]);
  return true;
}

// From the last solution if there is one, with the earlier design's change from that instant to this one where that is
// nearer to balance (`warm` if that does), else the whole load path.
bool ForefootModel::Parts::coarsest_level(DesignResult &result, const NewtonControl &control,
                                          const Progress &progress, bool &warm) {
  warm = false;
  if (solved_before) {
    Vector trial(state->displacement[0]);
    Vector changed(trial);
    if (add_earlier_change(0, changed) && out_of_balance(0, changed) < out_of_balance(0, trial))
      trial.swap(changed);
    warm = run(0, trial, 1.0, control, progress, result).converged;
    result.record.load_steps++;
    if (warm)
      state->displacement[0] = trial;
  }
  return warm || load_path(0, result, control, progress);
}

// The level below's solution; after an earlier solve with what this level added to it then, and by how much the earlier
// design's changed from that instant to this one, where that halves what is out of balance: designs of very different
// shape have little in common. `previous`: the earlier solve's displacements.
Vector ForefootModel::Parts::start_of_level(unsigned l, const std::vector<Vector> &previous, bool warm) {
  ForefootState &s = *state;
  Vector carried;
  s.levels[l]->initialize(carried);
  s.preconditioners[l]->prolongate(carried, s.displacement[l - 1]);
  Vector start(carried);
  if (warm && previous.size() > l) {
    double least = 0.5 * out_of_balance(l, carried);
    const auto try_start = [&](Vector &trial) {
      if (const double here = out_of_balance(l, trial); here < least) {
        least = here;
        start.swap(trial);
      }
    };
    Vector added(carried);
    added.add(1, previous[l], -1, s.carried[l]);
    Vector changed(added);
    if (add_earlier_change(l, changed))
      try_start(changed);
    try_start(added);
  }
  s.carried[l].swap(carried);
  return start;
}

// At full load from `start`; if that fails, slower but from firm ground, the whole load path on this level.
bool ForefootModel::Parts::finer_level(unsigned l, Vector start, const NewtonControl &control,
                                       DesignResult &result, const Progress &progress) {
  NewtonControl quick = control;
  quick.keep_factor = true; // of the level below's last step
  quick.bounded_steps = 2;  // what the level below gives can press foam cells beyond where they are stable
  const bool converged = run(l, start, 1.0, quick, progress, result).converged;
  state->displacement[l] = start;
  if (converged || load_path(l, result, control, progress))
    return true;
  result.message = "refinement " + std::to_string(l) + " " + result.message;
  return false;
}

DesignResult ForefootModel::solve(const Design &asked, const Progress &progress) {
  Parts &p = *parts_;
  ForefootState &s = *p.state;
  const auto start = std::chrono::steady_clock::now();
  forget_peak_memory();
  const Design design = s.activity.barefoot ? rigid_board() : asked;
  const unsigned finest = static_cast<unsigned>(p.settings.resolution);

  auto insole = std::make_unique<InsoleShape>(design, s.shape);
  auto problem = std::make_unique<Problem>(forefoot_problem(p.foot, s.shape, *insole, s.activity, p.settings,
                                                            s.mesh, p.about ? &*p.about : nullptr));
  DesignResult result;
  result.design = asked.name;
  result.stance_percent = s.activity.stance_percent;
  std::vector<Vector> previous = s.displacement;
  if (p.this_design != asked.name) {
    p.this_design = asked.name;
    p.of_earlier.swap(p.of_this);
    p.of_this.clear();
    p.last_instant = -1;
  }
  try {
    p.take_shape(*problem, finest, progress);
  } catch (const FoldedCell &folded) {
    p.forget();
    const std::string words = p.folded_words(*insole, folded);
    if (folded.tag != tag_insole)
      throw std::runtime_error(words);
    result.message = words;
    return result;
  }
  s.problem = std::move(problem);
  s.insole = std::move(insole);

  const NewtonControl control = p.newton_control();
  NewtonControl start_control = control; // of levels that only start the next
  if (finest > 0)
    start_control.tolerance = std::max(control.tolerance, loose_tolerance);
  bool warm = false;
  bool done = p.coarsest_level(result, start_control, progress, warm);
  DesignResult coarser;
  for (unsigned l = 1; l <= finest && done; ++l) {
    if (l == finest)
      extract(s, l - 1, s.displacement[l - 1], coarser, false);
    done = p.finer_level(l, p.start_of_level(l, previous, warm), l < finest ? start_control : control, result,
                         progress);
  }
  result.converged = done;
  if (!done)
    result.message += p.likely_cause(design);
  p.solved_before = done;
  if (done) {
    if (p.first_of_foot.empty())
      p.first_of_foot = s.displacement;
    p.last_instant = s.activity.stance_percent;
    std::vector<Vector> &added = p.of_this[p.last_instant] = s.displacement;
    for (unsigned l = 1; l <= finest; ++l)
      added[l] -= s.carried[l];
    extract(s, finest, s.displacement[finest], result, true);
    set_bands(result, finest > 0 ? &coarser : nullptr);
    result.posture = p.posture();
    if (const std::string words = impossible_words(result); !words.empty()) {
      result.converged = false;
      result.message = words;
    }
    for (RayResult &ray : result.ray)
      ray.peak_strain_stance = ray.head_pressure_stance = result.stance_percent;
  }
  result.record.unknowns = s.levels[finest]->dofs.n_dofs();
  result.record.cells = s.levels[finest]->triangulation.n_global_active_cells();
  result.record.ranks = Utilities::MPI::n_mpi_processes(p.comm);
  result.record.peak_memory_mib = peak_memory_mib(p.comm);
  result.record.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  return result;
}

} // namespace raybend
