// Reads [patient], [bone] and [tissue] into a forefoot.
#include "cases/forefoot/patient_reader.hpp"
#include "cases/catalogue/anatomy.hpp"
#include "cases/catalogue/shoe_size.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

std::string ray_key(const int ray, const std::string &name) {
  return "patient.ray" + std::to_string(ray) + "." + name;
}

/// Foot length measured, or from the shoe size; 0 after a fault.
double read_foot_length(TableReader &patient) {
  const auto length = patient.number("foot_length_mm");
  const auto system = patient.text("shoe_size_system");
  const auto size = patient.number("shoe_size");
  const bool has_size = patient.has("shoe_size"), has_system = patient.has("shoe_size_system");
  if (has_size != has_system) {
    patient.fault(has_size ? "shoe_size" : "shoe_size_system",
                  has_size ? "needs shoe_size_system beside it" : "needs shoe_size beside it");
    return 0;
  }
  if (!has_size) {
    if (!patient.has("foot_length_mm"))
      patient.fault("foot_length_mm", "missing").allowed =
          catalogue_row("patient.foot_length_mm").allowed_words() + ", or shoe_size with shoe_size_system";
    return length.value_or(0);
  }
  if (!system || !size)
    return 0;
  const double from_size = foot_length_of(*system, *size);
  if (const Range &range = catalogue_row("patient.foot_length_mm").allowed; !range.holds(from_size)) {
    Fault &f =
        patient.fault("shoe_size", "is the size of a foot of " + number_text(std::round(from_size)) + " mm");
    f.found = number_text(*size);
    f.allowed = "a foot of " + number_text(range.low) + " to " + number_text(range.high) + " mm";
    return 0;
  }
  if (length && std::abs(*length - from_size) > 10) {
    Fault &f =
        patient.fault("foot_length_mm", "does not agree with the shoe size, which is that of a foot of " +
                                            number_text(std::round(from_size)) + " mm; give one of the two");
    f.found = number_text(*length);
    return 0;
  }
  patient.log.derive(patient.path("foot_length_mm"), patient.path("shoe_size"));
  return length.value_or(from_size);
}

void read_rays(TableReader &patient, Measurements &m) {
  for (int r = 1; r <= 5; ++r) {
    const std::string name = "ray" + std::to_string(r);
    const toml::table *source = patient.sub_table(name);
    if (!source)
      continue;
    TableReader ray(patient.log, source, patient.path(name), {"patient.rayN"});
    for (const RayField &field : ray_fields())
      if (const auto value = ray.number(field.name)) {
        m.rays[r - 1][field.name] = *value;
        if (r == 2 && *value != 0 && field.name.find("_mt2_mm") != std::string::npos)
          ray.fault(field.name, "ray 2 is the origin of this measure and takes 0 only").found =
              number_text(*value);
      }
    ray.refuse_unknown();
  }
}

void read_foot_forms(TableReader &patient, Measurements &m) {
  m.foot_forms = patient.choice_list("foot_form").value_or(std::vector<std::string>{});
  const auto has = [&m](const char *form) {
    return std::find(m.foot_forms.begin(), m.foot_forms.end(), form) != m.foot_forms.end();
  };
  if (has("high-arch") && has("low-arch"))
    patient.fault("foot_form", "a foot cannot have both a high and a low arch");
  if (has("standard") && m.foot_forms.size() > 1)
    patient.fault("foot_form", "\"standard\" stands alone");
  for (std::size_t i = 1; i < m.foot_forms.size(); ++i)
    if (std::find(m.foot_forms.begin(), m.foot_forms.begin() + i, m.foot_forms[i]) !=
        m.foot_forms.begin() + i)
      patient.fault("foot_form", "names a foot form twice").found = "\"" + m.foot_forms[i] + "\"";
}

void check_shares(ReadingLog &log, const Measurements &m, const std::string &name) {
  double given = 0;
  std::vector<std::string> keys;
  for (int r = 5; r >= 1; --r)
    if (const auto it = m.rays[r - 1].find(name); it != m.rays[r - 1].end()) {
      given += it->second;
      keys.push_back(ray_key(r, name));
    }
  if (keys.empty() || (given <= 1 + 1e-9 && keys.size() < 5) || std::abs(given - 1) < 0.005)
    return;
  Fault &f = log.fault_of(keys, "the shares of the five rays must sum to 1");
  f.found = "a sum of " + number_text(given);
}

/// What several numbers say together. Each message names the measure to look at.
void check_anatomy(ReadingLog &log, const Forefoot &foot) {
  for (int r = 1; r <= 5; ++r) {
    const Ray &ray = foot.rays[r - 1];
    const auto key = [r](const char *name) { return ray_key(r, name); };
    const double thinnest = std::min(ray.shaft_width, ray.shaft_height);
    if (2 * ray.cortex > thinnest - 0.5) {
      Fault &f = log.fault_of({key("cortex_mm"), key("shaft_height_mm"), key("shaft_width_mm")},
                              "the cortex leaves no canal in a shaft of " + number_text(thinnest, 4) + " mm");
      f.found = number_text(ray.cortex, 4);
      f.allowed = "at most " + number_text((thinnest - 0.5) / 2, 4) + " mm";
    }
    if (const double room = tissue_under_base(ray); room < 2) {
      Fault &f = log.fault_of({key("arch_rise_mm"), key("declination_deg"), key("base_height_mm"),
                               key("length_mm"), key("tissue_under_head_mm"), key("head_height_mm"),
                               "patient.arch_rise_mm", "patient.foot_form"},
                              "ray " + std::to_string(r) +
                                  ": the base of the metatarsal comes too near to the skin of the "
                                  "arch below it; lower arch_rise_mm or raise declination_deg");
      f.found = number_text(room, 3) + " mm of tissue between them";
      f.allowed = "2 mm or more";
    }
    if (r == 5)
      continue;
    const Ray &next = foot.rays[r];
    const auto apart = [&](const char *name, const double distance, const double needed, const char *part) {
      if (distance >= needed)
        return;
      Fault &f = log.fault_of({ray_key(r, name), ray_key(r + 1, name), "patient.forefoot_width_mm"},
                              std::string("the ") + part + "s of rays " + std::to_string(r) + " and " +
                                  std::to_string(r + 1) + " run into each other");
      f.found = number_text(distance, 4) + " mm between their centres";
      f.allowed = number_text(needed, 4) + " mm or more";
    };
    apart("head_medial_of_mt2_mm", ray.head_medial_of_mt2 - next.head_medial_of_mt2,
          (ray.head_width + next.head_width) / 2 + 1, "head");
    apart("base_medial_of_mt2_mm", ray.base_medial_of_mt2 - next.base_medial_of_mt2,
          (ray.base_width + next.base_width) / 2 + 0.2, "base");
  }
  if (foot.hindfoot_anchor_behind > 0.9 * foot.foot_length)
    log.fault_of({"patient.fascia_anchor_behind_mm"}, "lies behind the heel").found =
        number_text(foot.hindfoot_anchor_behind);
}

/// Positive strain energy (Lempriere 1968, from memory; one Poisson's ratio for all planes).
void check_energy(TableReader &bone, const std::string &kind, const double along, const double across,
                  const double nu) {
  if (1 - nu - 2 * nu * nu * across / along > 0)
    return;
  const std::string key = kind + "_e_transverse_mpa";
  Fault &f =
      bone.fault(bone.has(key) ? key : kind + "_nu",
                 "no material has such a Poisson's ratio with such a stiffness across: its strain energy "
                 "would be negative");
  f.found = number_text(across) + " MPa across, " + number_text(along) + " MPa along, Poisson's ratio " +
            number_text(nu);
  f.allowed = "less than " + number_text(nu > 0 ? (1 - nu) / (2 * nu * nu) * along : along, 3) +
              " MPa across with these two";
}

void read_foot_materials(TableReader &top, FootMaterials &mat) {
  TableReader bone(top.log, top.sub_table("bone"), "bone", {"bone"});
  TableReader tissue(top.log, top.sub_table("tissue"), "tissue", {"tissue"});
  mat.trabecular_e_transverse = mat.trabecular_g = std::nan("");
  bone.into(mat);
  const bool transverse = mat.bone_law == BoneLaw::transverse;
  if (std::isnan(mat.trabecular_e_transverse))
    mat.trabecular_e_transverse = mat.trabecular_e;
  if (std::isnan(mat.trabecular_g))
    mat.trabecular_g = mat.trabecular_e / (2 * (1 + mat.trabecular_nu));
  for (const char *name :
       {"cortical_e_transverse_mpa", "cortical_g_mpa", "trabecular_e_transverse_mpa", "trabecular_g_mpa"})
    if (bone.has(name) && !transverse)
      bone.fault(name,
                 "has no effect while bone.law is \"isotropic\"; set law = \"transverse\" or leave it out");
    else if (transverse && !bone.has(name) && bone.has("trabecular_e_mpa") &&
             std::string(name).rfind("trabecular", 0) == 0)
      top.log.derive(bone.path(name), bone.path("trabecular_e_mpa"));
  if (transverse) {
    check_energy(bone, "cortical", mat.cortical_e, mat.cortical_e_transverse, mat.cortical_nu);
    check_energy(bone, "trabecular", mat.trabecular_e, mat.trabecular_e_transverse, mat.trabecular_nu);
  }
  bone.refuse_unknown();

  const char *const factor_key = "patient.tissue_stiffness"; // already in `mat`
  const double factor = mat.tissue_mu / catalogue_row("tissue.mu_mpa").number();
  tissue.into(mat);
  for (const char *name : {"mu_mpa", "bulk_mpa"})
    if (std::abs(factor - 1) > 1e-9) {
      if (tissue.has(name))
        tissue.fault(name, std::string(factor_key) + " is given too; give one of the two");
      else
        top.log.derive(tissue.path(name), factor_key);
    }
  tissue.refuse_unknown();
}

/// Values of the foot that are not as they would be without this measure follow from it.
void note_origins(ReadingLog &log, const Forefoot &foot, const Forefoot &without, const std::string &cause) {
  for (int r = 1; r <= 5; ++r)
    for (const RayField &f : ray_fields())
      if (foot.rays[r - 1].*f.member != without.rays[r - 1].*f.member)
        log.derive(ray_key(r, f.name), cause);
  if (foot.medial_margin != without.medial_margin)
    log.derive("patient.medial_margin_mm", cause);
  if (foot.lateral_margin != without.lateral_margin)
    log.derive("patient.lateral_margin_mm", cause);
}

/// Origins of what follows from measures that stand for several others. What two of them change is noted as of
/// the one that came last in build_forefoot.
void note_derived(ReadingLog &log, const Measurements &m, const Forefoot &foot) {
  Measurements plain = m;
  const auto without = [&](const std::string &cause) {
    if (log.origins.count(cause))
      note_origins(log, foot, build_forefoot(plain), cause);
    plain = m;
  };
  plain.arch_rise.reset();
  without("patient.arch_rise_mm");
  plain.forefoot_width.reset();
  without("patient.forefoot_width_mm");
  plain.foot_forms.clear();
  without("patient.foot_form");
  for (const char *share : {"fascia_share", "toe_share"})
    for (int r = 1; r <= 5; ++r) {
      plain.rays[r - 1].erase(share);
      without(ray_key(r, share));
    }
}

} // namespace

Forefoot read_forefoot(TableReader &top) {
  ReadingLog &log = top.log;
  Measurements m;
  const std::size_t faults_before = log.faults.size();
  if (!top.has("patient"))
    top.fault("patient",
              "missing table [patient], with at least body_mass_kg, foot_length_mm, side, sex, painful_ray");
  const toml::table *source = top.sub_table("patient");
  if (source) {
    TableReader patient(log, source, "patient", {"patient"});
    m.body_mass_kg = patient.number("body_mass_kg").value_or(0);
    m.foot_length = read_foot_length(patient);
    m.side = patient.text("side").value_or("right") == "left" ? Side::left : Side::right;
    m.sex = patient.text("sex").value_or("female") == "male" ? Sex::male : Sex::female;
    m.painful_ray = patient.integer("painful_ray").value_or(2);
    for (const std::string &ray : patient.choice_list("also_painful").value_or(std::vector<std::string>{}))
      if (const int r = ray.back() - '0';
          r == m.painful_ray || std::count(m.also_painful.begin(), m.also_painful.end(), r) > 0)
        patient.fault("also_painful", "\"" + ray + "\" is named twice, beside painful_ray = " +
                                          std::to_string(m.painful_ray));
      else
        m.also_painful.push_back(r);
    if (const auto place = patient.text("painful_place")) {
      const std::vector<std::string> places = painful_place_names();
      m.painful_place =
          static_cast<PainfulPlace>(std::find(places.begin(), places.end(), *place) - places.begin());
    }
    read_foot_forms(patient, m);
    m.forefoot_width = patient.number("forefoot_width_mm");
    m.arch_rise = patient.number("arch_rise_mm");
    m.tissue_stiffness = patient.number("tissue_stiffness").value_or(1);
    m.medial_margin = patient.number("medial_margin_mm");
    m.lateral_margin = patient.number("lateral_margin_mm");
    m.anchor_behind = patient.number("fascia_anchor_behind_mm");
    m.ankle_roll = patient.number("ankle_roll_stiffness_nm_per_deg");
    m.ankle_pitch = patient.number("ankle_pitch_stiffness_nm_per_deg");
    m.anchor_height = patient.number("fascia_anchor_height_mm");
    read_rays(patient, m);
    check_shares(log, m, "fascia_share");
    check_shares(log, m, "toe_share");
    patient.refuse_unknown();
  }
  const bool clean = source && log.faults.size() == faults_before;
  Forefoot foot;
  if (clean)
    foot = build_forefoot(m);
  else
    foot.materials = default_foot_materials();
  foot.painful_ray = m.painful_ray;
  read_foot_materials(top, foot.materials);
  if (clean)
    check_anatomy(log, foot);
  if (clean)
    note_derived(log, m, foot);
  return foot;
}

} // namespace raybend
