// The numbers of a result with their names and units, named once for JSON, CSV and tests.
#include "postprocess/words/columns.hpp"
#include "postprocess/words/warnings.hpp"
#include <algorithm>

namespace raybend {

namespace {

double largest_of_rays(const DesignResult &d, double RayResult::*number) {
  double most = 0;
  for (const RayResult &ray : d.ray)
    most = std::max(most, ray.*number);
  return most;
}

} // namespace

const std::vector<NumberColumn<RayResult>> &ray_columns() {
  using R = RayResult;
  static const std::vector<NumberColumn<R>> columns = {
      {"peak_strain_ue", [](const R &r) { return r.peak_strain.value; }},
      {"peak_strain_band_ue", [](const R &r) { return r.peak_strain.band; }},
      {"peak_strain_signed_ue",
       [](const R &r) { return r.peak_strain_tensile ? r.peak_strain.value : -r.peak_strain.value; }},
      {"peak_strain_at_pct", [](const R &r) { return 100 * r.peak_strain_at; }},
      {"peak_strain_at_stance_pct", [](const R &r) { return r.peak_strain_stance; }},
      {"peak_strain_from_dorsal_over_medial_deg", [](const R &r) { return r.peak_strain_towards; }},
      {"strain_range_ue", [](const R &r) { return r.strain_range; }},
      {"strain_range_at_pct", [](const R &r) { return 100 * r.strain_range_at; }},
      {"strain_range_from_dorsal_over_medial_deg", [](const R &r) { return r.strain_range_towards; }},
      {"strain_dorsal_peak_ue", [](const R &r) { return r.peak_dorsal.value; }},
      {"strain_dorsal_peak_band_ue", [](const R &r) { return r.peak_dorsal.band; }},
      {"strain_dorsal_peak_at_pct", [](const R &r) { return 100 * r.peak_dorsal_at; }},
      {"strain_plantar_peak_ue", [](const R &r) { return r.peak_plantar.value; }},
      {"strain_plantar_peak_band_ue", [](const R &r) { return r.peak_plantar.band; }},
      {"strain_plantar_peak_at_pct", [](const R &r) { return 100 * r.peak_plantar_at; }},
      {"strain_medial_peak_ue", [](const R &r) { return r.peak_medial; }},
      {"strain_lateral_peak_ue", [](const R &r) { return r.peak_lateral; }},
      {"moment_peak_n_mm", [](const R &r) { return r.peak_moment.value; }},
      {"moment_peak_band_n_mm", [](const R &r) { return r.peak_moment.band; }},
      {"moment_peak_at_pct", [](const R &r) { return 100 * r.peak_moment_at; }},
      {"bending_stress_peak_mpa", [](const R &r) { return r.peak_bending_stress.value; }},
      {"bending_stress_peak_band_mpa", [](const R &r) { return r.peak_bending_stress.band; }},
      {"bending_stress_peak_at_pct", [](const R &r) { return 100 * r.peak_bending_at; }},
      {"principal_tension_peak_mpa", [](const R &r) { return r.peak_tension; }},
      {"principal_tension_peak_at_pct", [](const R &r) { return 100 * r.peak_tension_at; }},
      {"principal_compression_peak_mpa", [](const R &r) { return r.peak_compression; }},
      {"principal_compression_peak_at_pct", [](const R &r) { return 100 * r.peak_compression_at; }},
      {"head_force_n", [](const R &r) { return r.head_force.value; }},
      {"head_force_band_n", [](const R &r) { return r.head_force.band; }},
      {"shaft_force_n", [](const R &r) { return r.shaft_force; }},
      {"head_pressure_peak_kpa", [](const R &r) { return r.head_peak_pressure.value; }},
      {"head_pressure_peak_band_kpa", [](const R &r) { return r.head_peak_pressure.band; }},
      {"head_pressure_at_stance_pct", [](const R &r) { return r.head_pressure_stance; }},
      {"head_sensor_x_mm", [](const R &r) { return r.head_sensor[0]; }},
      {"head_sensor_y_mm", [](const R &r) { return r.head_sensor[1]; }, true},
      {"head_shear_peak_kpa", [](const R &r) { return r.head_peak_shear; }},
      {"head_pressure_mean_kpa", [](const R &r) { return r.head_mean_pressure; }},
      {"shaft_pressure_peak_kpa", [](const R &r) { return r.shaft_peak_pressure.value; }},
      {"shaft_pressure_peak_band_kpa", [](const R &r) { return r.shaft_peak_pressure.band; }},
      {"contact_area_mm2", [](const R &r) { return r.contact_area; }},
      {"contact_slip_mm", [](const R &r) { return r.contact_slip; }},
      {"contact_slip_cells", [](const R &r) { return r.contact_slip_cells; }},
      {"tissue_compression_pct", [](const R &r) { return 100 * r.tissue_compression; }},
      {"fascia_tension_n", [](const R &r) { return r.fascia_tension; }},
      {"flexor_tension_n", [](const R &r) { return r.flexor_tension; }},
      {"toe_load_n", [](const R &r) { return r.toe_load; }},
      {"base_force_axial_n", [](const R &r) { return r.base_force_axial; }}};
  return columns;
}

const std::vector<NumberColumn<StationResult>> &station_columns() {
  using S = StationResult;
  static const std::vector<NumberColumn<S>> columns = {
      {"distance_mm", [](const S &s) { return s.distance; }},
      {"distance_pct", [](const S &s) { return 100 * s.fraction; }},
      {"axial_force_n", [](const S &s) { return s.axial_force; }},
      {"shear_sagittal_n", [](const S &s) { return s.shear_sagittal; }},
      {"shear_transverse_n", [](const S &s) { return s.shear_transverse; }},
      {"moment_sagittal_n_mm", [](const S &s) { return s.moment_sagittal; }},
      {"moment_transverse_n_mm", [](const S &s) { return s.moment_transverse; }},
      // About the bone's axis. Positive: the distal part turns the medial side up. That is the same on either
      // foot, though by the right-hand rule in a left foot's frame the sign would be the other one.
      {"torque_n_mm", [](const S &s) { return s.torque; }},
      {"axial_force_statics_n", [](const S &s) { return s.statics_axial_force; }},
      {"shear_sagittal_statics_n", [](const S &s) { return s.statics_shear_sagittal; }},
      {"shear_transverse_statics_n", [](const S &s) { return s.statics_shear_transverse; }},
      {"moment_sagittal_statics_n_mm", [](const S &s) { return s.statics_moment_sagittal; }},
      {"moment_transverse_statics_n_mm", [](const S &s) { return s.statics_moment_transverse; }},
      {"torque_statics_n_mm", [](const S &s) { return s.statics_torque; }},
      {"strain_dorsal_ue", [](const S &s) { return s.strain_dorsal; }},
      {"strain_plantar_ue", [](const S &s) { return s.strain_plantar; }},
      {"strain_medial_ue", [](const S &s) { return s.strain_medial; }},
      {"strain_lateral_ue", [](const S &s) { return s.strain_lateral; }},
      {"strain_axial_ue", [](const S &s) { return s.strain_axial; }},
      {"strain_bending_sagittal_ue", [](const S &s) { return s.strain_bending; }},
      {"strain_bending_transverse_ue", [](const S &s) { return s.strain_bending_transverse; }},
      {"strain_extreme_ue", [](const S &s) { return s.strain_extreme; }},
      {"strain_extreme_from_dorsal_over_medial_deg", [](const S &s) { return s.strain_extreme_towards; }},
      {"stress_dorsal_mpa", [](const S &s) { return s.stress_dorsal; }},
      {"stress_plantar_mpa", [](const S &s) { return s.stress_plantar; }}};
  return columns;
}

const std::vector<NumberColumn<DesignResult>> &design_columns() {
  using D = DesignResult;
  static const std::vector<NumberColumn<D>> columns = {
      {"applied_force_n", [](const D &d) { return d.applied_force; }},
      {"ground_force_n", [](const D &d) { return d.ground_force; }},
      {"balance_error", [](const D &d) { return balance_error(d); }},
      {"moment_error", [](const D &d) { return moment_error(d); }},
      {"midfoot_drop_mm", [](const D &d) { return d.midfoot_drop; }},
      {"support_force_n", [](const D &d) { return d.support_force; }},
      {"fascia_total_n", [](const D &d) { return d.fascia_total; }},
      {"shoe_upper_n", [](const D &d) { return d.upper_total; }},
      {"contact_slip_mm", [](const D &d) { return largest_of_rays(d, &RayResult::contact_slip); }},
      {"contact_slip_cells", [](const D &d) { return largest_of_rays(d, &RayResult::contact_slip_cells); }}};
  return columns;
}

const std::vector<NumberColumn<SolveRecord>> &record_columns() {
  using S = SolveRecord;
  static const std::vector<NumberColumn<S>> columns = {
      {"unknowns", [](const S &s) { return double(s.unknowns); }},
      {"cells", [](const S &s) { return double(s.cells); }},
      {"newton_steps", [](const S &s) { return double(s.newton_steps); }},
      {"cg_iterations", [](const S &s) { return double(s.cg_iterations); }},
      {"cg_iterations_most_in_a_step", [](const S &s) { return double(s.most_cg_in_a_step); }},
      {"descent_iterations", [](const S &s) { return double(s.descent_iterations); }},
      {"load_steps", [](const S &s) { return double(s.load_steps); }},
      {"time_s", [](const S &s) { return s.seconds; }},
      {"memory_peak_mib", [](const S &s) { return s.peak_memory_mib; }},
      {"mpi_ranks", [](const S &s) { return double(s.ranks); }}};
  return columns;
}

} // namespace raybend
