// Solves one contact problem with everything the operator knows, and one foot on an insole at coarse and at
// standard resolution, on the ranks it is given; prints numbers that must not depend on their number, each
// with the relative difference that it may have. Run by test_two_ranks.sh.
#include "solver/body/body.hpp"
#include "solver/forefoot_model.hpp"
#include "tests/sample_foot.hpp"
#include <cstdio>

using namespace raybend;

namespace {

// An arched block on a foam that lies on the ground, pressed by a carrier through springs, with a tie.
Problem pressed_blocks() {
  Problem p = box_problem({0, 0, 0}, {20, 10, 5}, {3, 2, 1}, std::make_shared<NeoHooke>(10.0, 0.3));
  append(p.mesh, box_mesh({0, 0, -6}, {20, 10, -1}, {3, 2, 1}, 2), 10);
  p.materials.push_back(std::make_shared<GasFoam>(3.0, 0.1, 0.1, 0.2));
  p.material_at = [](const Vec3 &, unsigned tag) { return tag - 1; };
  p.position = [](const Vec3 &l) {
    return l[2] < -0.5 ? Vec3{l[0], l[1], l[2] + 1.01}
                       : Vec3{l[0], l[1], l[2] + 0.001 * l[0] * l[0] * (1 - l[2] / 10)};
  };
  p.contact = {{5, 16, 2, 20, {0, 0, 1}, {0, 0, 1}}};
  p.ground = {{15, 50, {0, 0, 1}, {0, 0, 1}, [](const Vec3 &) { return -1e-3; }}};
  p.fixed = {{1, {true, false, false}, {}},  {3, {false, true, false}, {}},  {11, {true, false, false}, {}},
             {13, {false, true, false}, {}}, {12, {true, false, false}, {}}, {14, {false, true, false}, {}}};
  p.springs = {{6, {0, 0, 1}, 0.5, 0.1, true}};
  p.carrier.modes = {[](const Vec3 &) { return Vec3{0, 0, 1}; }};
  p.carrier.force = 60;
  p.ties = {{[](const Vec3 &l, unsigned tag) { return tag == 1 && l[0] > 10 ? l[0] - 10 : 0.0; },
             unit({1, 0, 0.3}),
             {-30, 5, -5},
             2,
             5,
             0.5}};
  return p;
}

DesignResult standing_foot(Resolution resolution, double newton_tolerance) {
  Activity standing;
  standing.force_bw = 0.25;
  standing.toe_share = 0.05;
  standing.fascia_bw = 0.1;
  Design flat;
  InsoleMaterial foam;
  foam.e = 2;
  foam.nu = 0.1;
  flat.layers = {{LayerRole::sole, 8, foam, 1000, -1000},
                 {LayerRole::base, 5, foam, 1000, -1000},
                 {LayerRole::cover, 3, foam, 1000, -1000}};
  Settings settings;
  settings.resolution = resolution;
  settings.newton_tolerance = newton_tolerance;
  ForefootModel model(sample_foot(), standing, settings, MPI_COMM_WORLD);
  return model.solve(flat);
}

void tell(const char *name, double value, double tolerance) {
  std::printf("%s %.15e %.0e\n", name, value, tolerance);
}

/// The second ray of a solved foot; `words` names its resolution.
void tell_foot(const std::string &words, const DesignResult &foot, double tolerance) {
  const RayResult &ray = foot.ray[1];
  const auto say = [&](const char *name, double value) { tell((words + name).c_str(), value, tolerance); };
  say("head_kpa", ray.head_peak_pressure.value);
  say("head_x", ray.head_sensor[0]);
  say("head_y", ray.head_sensor[1]);
  say("head_n", ray.head_force.value);
  say("shaft_kpa", ray.shaft_peak_pressure.value);
  say("dorsal_ue", ray.peak_dorsal.value);
  for (const std::size_t station : {ray.shaft.size() / 4, ray.shaft.size() / 2, 3 * ray.shaft.size() / 4})
    say(("moment_" + std::to_string(station)).c_str(), ray.shaft[station].moment_sagittal);
  say("drop_mm", foot.midfoot_drop);
  say("fascia_n", foot.fascia_total);
}

} // namespace

int main(int argc, char **argv) {
  const dealii::Utilities::MPI::MPI_InitFinalize mpi(argc, argv, 1);
  Body body(pressed_blocks(), 1);
  bool converged = true;
  unsigned steps = 0, cg = 0;
  for (const double load : {0.2, 0.6, 1.0}) {
    const NewtonReport report = body.solve(load, 60, 1e-10, 60);
    converged = converged && report.converged;
    steps += report.steps;
    cg += report.cg_iterations;
  }
  const double norm = body.u.l2_norm(), largest = body.u.linfty_norm();
  const double ground = body.op().faces().ground_force(body.u),
               energy = body.op().evaluate(body.u, 1.0, nullptr).energy;
  const double motion = body.op().ties().motion(body.u, 1.0)[0],
               tension = body.op().ties().tensions(body.u, 1.0)[0];
  // Sums run in another order, so each run stops with another residual below Newton's tolerance, a part of
  // the load. It changes an answer by that part times how much softer the residual's direction is than the
  // load's: a hundred is allowed. 1e-8 where Newton stops at 1e-10; 1e-5 for the standard foot, which stops
  // at the tolerance of a comparison, 1e-7.
  constexpr double tight = 1e-10;
  const DesignResult coarse = standing_foot(Resolution::coarse, tight),
                     standard = standing_foot(Resolution::standard, Settings().newton_tolerance);
  converged = converged && coarse.converged && standard.converged;
  if (dealii::Utilities::MPI::this_mpi_process(MPI_COMM_WORLD) == 0) {
    std::printf("converged %d 0\n", converged ? 1 : 0);
    tell("norm", norm, 1e-8);
    tell("largest", largest, 1e-8);
    tell("ground", ground, 1e-8);
    tell("energy", energy, 1e-8);
    tell("motion", motion, 1e-8);
    tell("tension", tension, 1e-8);
    tell_foot("coarse_", coarse, 1e-8);
    tell_foot("standard_", standard, 1e-5);
    std::printf("# %u Newton steps, %u CG iterations, %u ranks\n", steps, cg,
                dealii::Utilities::MPI::n_mpi_processes(MPI_COMM_WORLD));
  }
  return converged ? 0 : 1;
}
