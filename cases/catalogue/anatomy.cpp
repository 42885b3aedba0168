// The forefoot from few measurements: default foot, scaled; foot forms; what was measured.
#include "cases/catalogue/anatomy.hpp"
#include "cases/catalogue/catalogue.hpp"
#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace raybend {

namespace {

constexpr double base_foot_length = 271; // mm: the foot that the catalogue's ray numbers belong to

/// Changes that a foot form makes to the scaled default foot; `s` is the length scale. All assumed.
void apply_form(const std::string &form, const double s, std::array<Ray, 5> &rays) {
  if (form == "standard")
    return;
  if (form == "short-first-ray") {
    rays[0].length -= 6 * s;
    rays[0].head_behind_mt2 += 6 * s;
  } else if (form == "long-second-ray") {
    rays[1].length += 4 * s;
    for (const int r : {0, 2, 3, 4})
      rays[r].head_behind_mt2 += 4 * s;
  } else if (form == "high-arch" || form == "low-arch") {
    const bool high = form == "high-arch";
    const double turn[5] = {6, 6, 5, 4, 3};
    for (int r = 0; r < 5; ++r) {
      rays[r].declination_deg += high ? turn[r] : -0.8 * turn[r];
      rays[r].arch_rise *= high ? 1.5 : 0.5;
      rays[r].mobility_deg *= high ? 0.8 : 1.2;
    }
  } else if (form == "mobile-first-ray") {
    rays[0].mobility_deg *= 2;
  } else {
    throw std::logic_error("no foot form named \"" + form + "\"");
  }
}

/// The five sum to 1: what was not given shares the rest in proportion to its default.
void share_out(std::array<Ray, 5> &rays, double Ray::*member, const std::string &name,
               const std::array<std::map<std::string, double>, 5> &measured) {
  double given = 0, open = 0;
  for (int r = 0; r < 5; ++r)
    (measured[r].count(name) ? given : open) += rays[r].*member;
  for (int r = 0; r < 5; ++r) {
    if (open > 0 && !measured[r].count(name))
      rays[r].*member *= std::max(0.0, 1 - given) / open;
    else if (open == 0 && given > 0)
      rays[r].*member /= given; // all five given: their sum is 1 to rounding, checked by the reader
  }
}

} // namespace

const std::vector<RayField> &ray_fields() {
  static const std::vector<RayField> fields = {
      {"length_mm", &Ray::length, true},
      {"head_behind_mt2_mm", &Ray::head_behind_mt2, true},
      {"head_medial_of_mt2_mm", &Ray::head_medial_of_mt2, true},
      {"base_medial_of_mt2_mm", &Ray::base_medial_of_mt2, true},
      {"declination_deg", &Ray::declination_deg, false},
      {"camber_mm", &Ray::camber, true},
      {"shaft_width_mm", &Ray::shaft_width, true},
      {"shaft_height_mm", &Ray::shaft_height, true},
      {"cortex_mm", &Ray::cortex, true},
      {"head_width_mm", &Ray::head_width, true},
      {"head_height_mm", &Ray::head_height, true},
      {"base_width_mm", &Ray::base_width, true},
      {"base_height_mm", &Ray::base_height, true},
      {"tissue_under_head_mm", &Ray::tissue_under_head, true},
      {"tissue_over_shaft_mm", &Ray::tissue_over_shaft, true},
      {"arch_rise_mm", &Ray::arch_rise, true},
      {"mobility_deg", &Ray::mobility_deg, false},
      {"fascia_share", &Ray::fascia_share, false},
      {"toe_share", &Ray::toe_share, false},
      {"flexor_share", &Ray::flexor_share, false},
      {"toe_lever_mm", &Ray::toe_lever, true},
      {"flexor_lever_mm", &Ray::flexor_lever, true},
      {"toe_joint_n_mm_per_deg", &Ray::toe_joint, false},
  };
  return fields;
}

const std::vector<FootForm> &foot_forms() {
  static const std::vector<FootForm> forms = {
      {"standard", "The default foot, scaled to its length."},
      {"short-first-ray", "MT1 6 mm shorter, its head 6 mm further behind (at 271 mm foot length)."},
      {"long-second-ray", "MT2 4 mm longer, all other heads 4 mm further behind (at 271 mm foot length)."},
      {"high-arch", "Rays 6, 6, 5, 4, 3 degrees steeper, arch rise times 1.5, joint mobility times 0.8."},
      {"low-arch",
       "Rays 4.8, 4.8, 4, 3.2, 2.4 degrees flatter, arch rise times 0.5, joint mobility times 1.2."},
      {"mobile-first-ray", "Mobility of the first tarsometatarsal joint doubled."},
  };
  return forms;
}

std::vector<std::string> painful_place_names() {
  return {"shaft", "base", "neck"};
}

std::vector<std::string> foot_form_names() {
  std::vector<std::string> names;
  for (const FootForm &f : foot_forms())
    names.push_back(f.name);
  return names;
}

const Range &usual_foot_length(const Sex sex) {
  static const Range female{246 - 3 * 12, 246 + 3 * 12}, male{271 - 3 * 13, 271 + 3 * 13};
  return sex == Sex::female ? female : male;
}

double forefoot_width(const Forefoot &foot) {
  const Ray &first = foot.rays[0], &fifth = foot.rays[4];
  return first.head_medial_of_mt2 - fifth.head_medial_of_mt2 +
         std::max(foot.medial_margin, first.head_width / 2 + 3) +
         std::max(foot.lateral_margin, fifth.head_width / 2 + 3); // margins as FootShape draws them
}

double tissue_under_base(const Ray &ray) {
  const double slope = ray.declination_deg * std::acos(-1.0) / 180;
  // Half heights of vertical cuts, about as FootShape draws them.
  const double head_centre = ray.tissue_under_head + ray.head_height / 2 / std::cos(slope);
  return head_centre + ray.length * std::sin(slope) - ray.base_height / 2 / std::cos(slope) - ray.arch_rise;
}

Forefoot build_forefoot(const Measurements &m) {
  Forefoot foot;
  foot.body_mass_kg = m.body_mass_kg;
  foot.foot_length = m.foot_length;
  foot.side = m.side;
  foot.sex = m.sex;
  foot.painful_ray = m.painful_ray;
  foot.also_painful = m.also_painful;
  foot.painful_place = m.painful_place;

  const double s = m.foot_length / base_foot_length;
  for (int r = 0; r < 5; ++r)
    for (const RayField &f : ray_fields())
      foot.rays[r].*f.member = catalogue_row("patient.rayN." + f.name).number(r + 1) * (f.scales ? s : 1);
  foot.medial_margin = s * catalogue_row("patient.medial_margin_mm").number();
  foot.lateral_margin = s * catalogue_row("patient.lateral_margin_mm").number();
  foot.hindfoot_anchor_behind = m.anchor_behind.value_or(0.53 * m.foot_length);
  foot.hindfoot_anchor_height =
      m.anchor_height.value_or(s * catalogue_row("patient.fascia_anchor_height_mm").number());

  for (const std::string &form : m.foot_forms)
    apply_form(form, s, foot.rays);

  if (m.forefoot_width) {
    // spacing and margins stretch, head widths stay
    const Forefoot before = foot;
    const auto stretch = [&](const double factor) {
      for (int r = 0; r < 5; ++r) {
        foot.rays[r].head_medial_of_mt2 = factor * before.rays[r].head_medial_of_mt2;
        foot.rays[r].base_medial_of_mt2 = factor * before.rays[r].base_medial_of_mt2;
      }
      foot.medial_margin = factor * before.medial_margin;
      foot.lateral_margin = factor * before.lateral_margin;
      return forefoot_width(foot);
    };
    double low = 0, high = 10;
    for (int i = 0; i < 60; ++i)
      (stretch((low + high) / 2) < *m.forefoot_width ? low : high) = (low + high) / 2;
    stretch(high);
  }
  if (m.arch_rise) {
    const double factor = *m.arch_rise / foot.rays[1].arch_rise;
    for (Ray &ray : foot.rays)
      ray.arch_rise *= factor;
  }
  foot.medial_margin = m.medial_margin.value_or(foot.medial_margin);
  foot.lateral_margin = m.lateral_margin.value_or(foot.lateral_margin);

  for (int r = 0; r < 5; ++r)
    for (const RayField &f : ray_fields())
      if (const auto it = m.rays[r].find(f.name); it != m.rays[r].end())
        foot.rays[r].*f.member = it->second;
  share_out(foot.rays, &Ray::fascia_share, "fascia_share", m.rays);
  share_out(foot.rays, &Ray::toe_share, "toe_share", m.rays);
  share_out(foot.rays, &Ray::flexor_share, "flexor_share", m.rays);

  foot.ankle_roll_stiffness =
      m.ankle_roll.value_or(catalogue_row("patient.ankle_roll_stiffness_nm_per_deg").number());
  foot.ankle_pitch_stiffness =
      m.ankle_pitch.value_or(catalogue_row("patient.ankle_pitch_stiffness_nm_per_deg").number());
  foot.materials = default_foot_materials();
  foot.materials.tissue_mu *= m.tissue_stiffness;
  foot.materials.tissue_bulk *= m.tissue_stiffness;
  return foot;
}

FootMaterials default_foot_materials() {
  const auto value = [](const char *key) { return catalogue_row(key).number(); };
  FootMaterials mat;
  mat.bone_law = BoneLaw::isotropic;
  mat.cortical_e = value("bone.cortical_e_mpa");
  mat.cortical_nu = value("bone.cortical_nu");
  mat.cortical_e_transverse = value("bone.cortical_e_transverse_mpa");
  mat.cortical_g = value("bone.cortical_g_mpa");
  mat.trabecular_e = value("bone.trabecular_e_mpa");
  mat.trabecular_nu = value("bone.trabecular_nu");
  mat.tissue_mu = value("tissue.mu_mpa");
  mat.tissue_stiffening = value("tissue.stiffening");
  mat.tissue_bulk = value("tissue.bulk_mpa");
  mat.fascia_stiffness = value("tissue.fascia_stiffness_n_per_mm");
  mat.joint_moment = value("tissue.joint_moment_n_mm");
  return mat;
}

} // namespace raybend
