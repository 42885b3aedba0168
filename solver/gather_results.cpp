// Results go between ranks and processes: every member of every result by the serialization library.
#include "solver/gather_results.hpp"
#include <boost/serialization/array.hpp>
#include <boost/serialization/map.hpp>
#include <boost/serialization/string.hpp>
#include <boost/serialization/vector.hpp>
#include <deal.II/base/mpi.h>
#include <deal.II/base/utilities.h>

namespace raybend {

template <typename Archive> void serialize(Archive &a, Banded &b, unsigned) {
  a &b.value &b.band &b.coarser &b.pair_part;
}
template <typename Archive> void serialize(Archive &a, Patch &p, unsigned) {
  a &p.corner &p.value &p.ray;
}
template <typename Archive> void serialize(Archive &a, StationResult &s, unsigned) {
  a &s.distance &s.fraction &s.axial_force &s.shear_sagittal &s.shear_transverse &s.moment_sagittal &s
      .moment_transverse &s.torque &s.statics_axial_force &s.statics_shear_sagittal &s
      .statics_shear_transverse &s.statics_moment_sagittal &s.statics_moment_transverse &s.statics_torque &s
      .strain_dorsal &s.strain_plantar &s.strain_medial &s.strain_lateral &s.stress_dorsal &s
      .stress_plantar &s.strain_axial &s.strain_bending &s.strain_bending_transverse &s.strain_extreme &s
      .strain_extreme_towards;
}
template <typename Archive> void serialize(Archive &a, RayResult &r, unsigned) {
  a &r.shaft &r.peak_strain &r.peak_strain_tensile &r.peak_strain_stance &r.head_pressure_stance &r
      .peak_strain_at &r.peak_strain_towards &r.peak_strain_at_end &r.peak_dorsal &r.peak_plantar &r
      .peak_dorsal_at &r.peak_plantar_at &r.peak_moment &r.peak_moment_at &r.peak_bending_stress &r
      .peak_bending_at &r.peak_tension &r.peak_tension_at &r.peak_compression &r.peak_compression_at &r
      .peak_medial &r.peak_lateral &r.head_force &r.shaft_force &r.head_peak_pressure &r.head_sensor &r
      .head_peak_shear &r.head_mean_pressure &r.contact_area &r.contact_slip &r.contact_slip_cells &r
      .shaft_peak_pressure &r.tissue_compression &r.fascia_tension &r.flexor_tension &r.toe_load &r
      .base_force_axial;
}
template <typename Archive> void serialize(Archive &a, SolveRecord &s, unsigned) {
  a &s.unknowns &s.cells &s.newton_steps &s.cg_iterations &s.most_cg_in_a_step &s.descent_iterations &s
      .load_steps &s.seconds &s.peak_memory_mib &s.ranks;
}
template <typename Archive> void serialize(Archive &a, MidfootTurn &t, unsigned) {
  a &t.motion &t.reaction;
}
template <typename Archive> void serialize(Archive &a, ToePosture &t, unsigned) {
  a &t.head &t.tension &t.bed;
}
template <typename Archive> void serialize(Archive &a, Posture &p, unsigned) {
  a &p.roll &p.pitch &p.toe;
}
template <typename Archive> void serialize(Archive &a, DesignResult &d, unsigned) {
  a &d.design &d.with_support &d.converged &d.stance_percent &d.message &d.ray &d.applied_force &d
      .ground_force &d.midfoot_drop &d.posture &d.support_force &d.fascia_total &d.upper_total &d.bones &d
      .plantar &d.record;
}

std::map<std::string, StepResult> gather_results(const std::map<std::string, StepResult> &own,
                                                 MPI_Comm comm) {
  std::map<std::string, StepResult> all;
  for (auto &part : dealii::Utilities::MPI::gather(comm, own))
    all.merge(part);
  return all;
}

std::string packed_result(const std::string &key, const StepResult &result) {
  const std::vector<char> bytes =
      dealii::Utilities::pack(std::map<std::string, StepResult>{{key, result}}, false);
  return {bytes.begin(), bytes.end()};
}

void unpack_result(const std::string &bytes, std::map<std::string, StepResult> &results) {
  const std::vector<char> data(bytes.begin(), bytes.end());
  auto part = dealii::Utilities::unpack<std::map<std::string, StepResult>>(data, false);
  results.merge(part);
}

std::string gather_failure(const std::string &own, MPI_Comm comm) {
  for (const std::string &text : dealii::Utilities::MPI::all_gather(comm, own))
    if (!text.empty())
      return text;
  return "";
}

} // namespace raybend
