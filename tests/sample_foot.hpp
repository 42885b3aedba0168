// An adult right forefoot for tests: the catalogue's default ray values scaled to a 260 mm foot.
#pragma once
#include "geometry/forefoot.hpp"

namespace raybend {

inline Forefoot sample_foot() {
  struct Row {
    double length, behind, medial, base_medial, declination, camber, width, height, cortex, head_width,
        head_height, base_width, base_height, tissue, arch, mobility, fascia, toe, toe_lever, flexor_lever;
  };
  const Row rows[5] = {
      {56, -0.94, 25, 18, 20, 1, 13, 13.5, 2.2, 20, 19, 17, 22, 13, 16, 3.5, 0.30, 0.7, 30, 12},
      {68, 0, 0, 0, 15, 2, 8, 8.5, 2, 11, 16.1, 12.5, 17, 15, 16, 0.6, 0.25, 0.12, 27, 8},
      {65, 4.44, -16, -13.5, 10, 2, 8, 8.5, 1.9, 11, 15, 12, 16, 14, 13, 1.6, 0.21, 0.08, 25, 8},
      {64, 11.17, -31.5, -27, 8, 1.8, 8, 8.5, 1.8, 11, 14, 12, 15, 13, 9, 9.6, 0.15, 0.06, 23, 7},
      {60, 20.21, -46.5, -41, 5, 1.5, 9.5, 8, 1.9, 11.5, 13, 13.5, 13, 11, 5, 10.2, 0.09, 0.04, 20, 7}};
  Forefoot foot;
  foot.body_mass_kg = 70;
  foot.foot_length = 260;
  const double scale = 260.0 / 271;
  for (int i = 0; i < 5; ++i) {
    const Row &row = rows[i];
    Ray &r = foot.rays[i];
    r.length = row.length * scale;
    r.head_behind_mt2 = row.behind * scale;
    r.head_medial_of_mt2 = row.medial * scale;
    r.base_medial_of_mt2 = row.base_medial * scale;
    r.declination_deg = row.declination;
    r.camber = row.camber * scale;
    r.shaft_width = row.width * scale;
    r.shaft_height = row.height * scale;
    r.cortex = row.cortex * scale;
    r.head_width = row.head_width * scale;
    r.head_height = row.head_height * scale;
    r.base_width = row.base_width * scale;
    r.base_height = row.base_height * scale;
    r.tissue_under_head = row.tissue;
    r.tissue_over_shaft = 5;
    r.arch_rise = row.arch;
    r.mobility_deg = row.mobility;
    r.fascia_share = row.fascia;
    r.toe_share = row.toe;
    r.flexor_share = row.toe; // as the toes' loads
    r.toe_lever = row.toe_lever;
    r.flexor_lever = row.flexor_lever;
  }
  foot.medial_margin = 12;
  foot.lateral_margin = 9;
  foot.hindfoot_anchor_behind = 0.53 * 260;
  foot.hindfoot_anchor_height = 20;
  FootMaterials &m = foot.materials;
  m.cortical_e = 17000;
  m.cortical_nu = 0.3;
  m.cortical_e_transverse = 11500;
  m.cortical_g = 3300;
  m.trabecular_e = 700;
  m.trabecular_nu = 0.3;
  m.tissue_mu = 0.08;
  m.tissue_stiffening = 1.5;
  m.tissue_bulk = 1.5;
  m.fascia_stiffness = 700;
  m.joint_moment = 2000;
  return foot;
}

} // namespace raybend
