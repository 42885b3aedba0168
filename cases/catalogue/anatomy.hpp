// The forefoot from few measurements: default foot, scaled; foot forms; what was measured.
#pragma once
#include "cases/catalogue/catalogue.hpp"
#include "geometry/forefoot.hpp"
#include <array>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace raybend {

/// What a case says of the patient. Anything left out takes its default.
struct Measurements {
  double body_mass_kg = 0;
  double foot_length = 0;
  Side side = Side::right;
  Sex sex = Sex::female;
  int painful_ray = 2;
  std::vector<int> also_painful;
  PainfulPlace painful_place = PainfulPlace::shaft;
  std::vector<std::string> foot_forms;
  std::optional<double> forefoot_width, arch_rise;
  std::optional<double> medial_margin, lateral_margin, anchor_behind, anchor_height;
  std::optional<double> ankle_roll, ankle_pitch; ///< N m/deg
  double tissue_stiffness = 1;                   ///< factor
  std::array<std::map<std::string, double>, 5>
      rays; ///< per ray: catalogue name (length_mm, ...) -> measured value
};

/// One value of a ray that a case may give.
struct RayField {
  std::string name; ///< as in the catalogue: patient.rayN.<name>
  double Ray::*member;
  bool scales; ///< with foot length
};

const std::vector<RayField> &ray_fields();

struct FootForm {
  std::string name;
  std::string meaning;
};

const std::vector<FootForm> &foot_forms();
std::vector<std::string> foot_form_names();
/// In the order of PainfulPlace.
std::vector<std::string> painful_place_names();

/// Default foot of this length, then foot forms, then widths and arch rise, then each ray's measured values.
/// Measured values never change others, but for the two shares, whose other rays take the rest.
/// Materials are left alone: see default_foot_materials().
Forefoot build_forefoot(const Measurements &m);

/// Usual length of a foot, mm: mean +- 3 SD of female 246 +- 12 and male 271 +- 13 mm, ANSUR II 2012 (from memory).
const Range &usual_foot_length(Sex sex);

/// Skin to skin across the heads of MT1 and MT5.
double forefoot_width(const Forefoot &foot);

/// Room between the underside of a ray's base and the plantar skin below it, mm; must be positive.
double tissue_under_base(const Ray &ray);

/// Catalogue defaults of [bone] and [tissue].
FootMaterials default_foot_materials();

} // namespace raybend
